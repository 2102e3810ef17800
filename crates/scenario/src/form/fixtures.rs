//! What hangs over the canopy, as written: the fixture options, their light, lamps and upkeep.
//!
//! Belongs here: shapes and their documentation. Does not belong here: any judgement of the values.

use schemars::JsonSchema;
use serde::Deserialize;

use crate::figure::{Figure, Grade, Linked};

/// One fixture option: what hangs over the canopy, and how it is kept.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FixtureOption {
    /// What the option is called on every page and chart.
    pub name: String,
    /// Kind of light source; it decides which cautions are shown.
    pub technology: Technology,
    /// How many fixtures hang in the room.
    pub fixtures: u32,
    /// Lamps in each fixture; 1 when absent.
    #[serde(default)]
    pub lamps_per_fixture: Option<u32>,
    /// Power of one fixture AT THE WALL, lamp and control gear, unit "W" or "kW".
    pub wall_power: Figure,
    /// Power factor at the wall (0.05 to 1); 1 when absent. It counts only where a tariff bills it.
    #[serde(default)]
    pub power_factor: Option<f64>,
    /// Light that one fixture with new lamps brings to the canopy.
    pub light: Light,
    /// How that light fades with burn hours.
    pub maintenance: Maintenance,
    /// The fixture itself.
    pub fixture: Fixture,
    /// The replaceable lamp; leave it out for a fixture without one.
    #[serde(default)]
    pub lamp: Option<Linked<Lamp>>,
    /// Control gear (ballast or driver) that may fail; never fails when absent.
    #[serde(default)]
    pub gear: Option<Gear>,
    /// How failed and old lamps are replaced.
    pub upkeep: Upkeep,
}

/// Kind of light source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Technology {
    /// High-pressure sodium lamp.
    HighPressureSodium,
    /// Metal-halide lamp with a quartz arc tube.
    MetalHalide,
    /// Metal-halide lamp with a ceramic arc tube.
    CeramicMetalHalide,
    /// Fluorescent tube.
    Fluorescent,
    /// Light-emitting diodes.
    Led,
}

/// Light that one fixture brings to the canopy. Exactly one of `grid`, `mean` and `ppf` is given.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Light {
    /// From a clipboard of PPFD readings, written here or in a file of their own.
    #[serde(default)]
    pub grid: Option<Linked<Grid>>,
    /// From a mean PPFD over a stated area.
    #[serde(default)]
    pub mean: Option<MeanPpfd>,
    /// From the lamp's photon flux and the share of it that lands on the canopy.
    #[serde(default)]
    pub ppf: Option<Ppf>,
    /// Burn hours of the lamp when the light was measured; its fading until then is divided out. 0 when absent.
    #[serde(default)]
    pub lamp_hours: Option<Figure>,
    /// Factor for light that spills in from neighbouring fixtures in the room; 1 (none credited) when absent.
    #[serde(default)]
    pub spill: Option<Figure>,
    /// Standard deviation of initial output between single lamps, as a share of the mean; 0 when absent.
    #[serde(default)]
    pub lamp_to_lamp: Option<Figure>,
}

/// A clipboard of PPFD readings.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Grid {
    /// Where an editor finds the schema of this file; the program ignores it.
    #[serde(rename = "$schema", default)]
    pub schema: Option<String>,
    /// Anything a reader should know about the readings.
    #[serde(default)]
    pub note: Option<String>,
    /// Rows of readings, µmol/m²/s; all rows equally long.
    pub readings: Vec<Vec<f64>>,
    /// Where the readings stand: at the centres of equal cells, or with the outer ones on the edge of the area.
    pub points: GridPoints,
    /// Mapped area, unit "m²" or "ft²".
    pub area: Figure,
    /// Height of the fixture above the readings, unit "m" or "ft".
    pub height: Figure,
    /// How sure the readings are; "guess" when absent.
    #[serde(default)]
    pub grade: Option<Grade>,
}

/// Where grid readings stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum GridPoints {
    /// At the centres of equal cells that tile the area: plain mean.
    CellCentred,
    /// From edge to edge of the area: trapezoid weights (corner 1/4, edge 1/2, inside 1).
    EdgeToEdge,
}

/// A mean PPFD over a stated area at a stated height.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MeanPpfd {
    /// Mean PPFD, unit "µmol/m²/s".
    pub ppfd: Figure,
    /// Area over which it is the mean, unit "m²" or "ft²".
    pub area: Figure,
    /// Height of the fixture above that area, unit "m" or "ft".
    pub height: Figure,
}

/// Photon flux of a new fixture and the share of it that lands on the canopy.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Ppf {
    /// Photosynthetic photon flux in all directions, unit "µmol/s".
    pub ppf: Figure,
    /// Share of it that lands on the canopy (0 to 1), unit "1" or "%".
    pub utilisation: Figure,
}

/// How light fades with burn hours. Exactly one of `exponential`, `table` and `constant` is given.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Maintenance {
    /// M(b) = start · exp(−rate · b).
    #[serde(default)]
    pub exponential: Option<Exponential>,
    /// Straight lines between points; beyond the last point the last slope goes on, never below 0.
    #[serde(default)]
    pub table: Option<Vec<MaintenancePoint>>,
    /// No fading at all: write {}.
    #[serde(default)]
    pub constant: Option<Nothing>,
}

/// M(b) = start · exp(−rate · b).
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Exponential {
    /// Decay rate, unit "1/h" or "1/kh" (per 1000 h).
    pub rate: Figure,
    /// Fraction at 0 h; 1 when absent.
    #[serde(default)]
    pub start: Option<Figure>,
}

/// One point of a maintenance table.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MaintenancePoint {
    /// Burn hours, h.
    pub hours: f64,
    /// Fraction of initial photon flux left.
    pub fraction: f64,
}

/// An object with nothing in it.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Nothing {}

/// The fixture itself.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fixture {
    /// Price of one fixture without lamps, unit such as "USD/fixture".
    pub price: Figure,
    /// Cost of hanging and connecting one fixture, unit such as "USD/fixture".
    pub installation: Figure,
}

/// A replaceable lamp.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Lamp {
    /// Where an editor finds the schema of this file; the program ignores it.
    #[serde(rename = "$schema", default)]
    pub schema: Option<String>,
    /// Anything a reader should know about the lamp.
    #[serde(default)]
    pub note: Option<String>,
    /// Price of one lamp, unit such as "USD/lamp".
    pub price: Figure,
    /// Cost of disposing of one old lamp, unit such as "USD/lamp".
    pub disposal: Figure,
    /// When it fails.
    pub life: LampLife,
}

/// When a lamp fails: the first of an early failure and wear-out.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LampLife {
    /// Rated life as a MEDIAN: burn hours by which half have failed, unit "h" or "kh".
    pub b50: Figure,
    /// Weibull shape of wear-out, unit "1"; larger means closer to the median.
    pub shape: Figure,
    /// Burn hours per start at which `b50` was rated, unit "h".
    pub rated_hours_per_start: Figure,
    /// Burn hours of life that each start costs, unit "h"; 0 when absent.
    #[serde(default)]
    pub start_cost: Option<Figure>,
    /// Early failures beside wear-out; none when absent.
    #[serde(default)]
    pub early: Option<EarlyFailure>,
}

/// Early failures: a share of new lamps fails at some moment, evenly spread, within a first window.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EarlyFailure {
    /// Share of new lamps, unit "1" or "%".
    pub share: Figure,
    /// Window in hours of rated life (burn hours at the rated hours per start), unit "h".
    pub within: Figure,
}

/// Control gear: it fails at a constant rate and is repaired.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Gear {
    /// Failures per gear and calendar year of this photoperiod, a constant rate, unit "1/yr" or "%/yr". Each lamp of a
    /// fixture has a gear of its own.
    pub failures_per_year: Figure,
    /// Price of the part, unit such as "USD/repair".
    pub price: Figure,
    /// Labour of one repair, unit such as "USD/repair".
    pub labour: Figure,
}

/// How failed and old lamps are replaced.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Upkeep {
    /// When lamps are replaced; needed when the option has a lamp.
    #[serde(default)]
    pub relamp: Option<Relamp>,
    /// Days between a failure and its mending, unit "d"; 0 when absent.
    #[serde(default)]
    pub found_after: Option<Figure>,
    /// Labour of replacing one failed lamp on its own, unit such as "USD/lamp".
    #[serde(default)]
    pub spot_labour: Option<Figure>,
    /// Labour of one planned replacement (in a group or by age), unit such as "USD/lamp".
    #[serde(default)]
    pub planned_labour: Option<Figure>,
}

/// When lamps are replaced. Exactly one of `on_failure`, `group` and `by_age` is given.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Relamp {
    /// Each lamp when it has failed: write {}.
    #[serde(default)]
    pub on_failure: Option<Nothing>,
    /// All lamps together.
    #[serde(default)]
    pub group: Option<GroupRelamp>,
    /// Each lamp at a stated age or when it has failed, whichever comes first.
    #[serde(default)]
    pub by_age: Option<AgeRelamp>,
}

/// All lamps are replaced together.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GroupRelamp {
    /// Burn hours of the room's schedule between two group relamps, unit "h" or "kh".
    pub every: Figure,
    /// Whether a lamp that fails in between is replaced on its own; true when absent.
    #[serde(default)]
    pub spot_between: Option<bool>,
    /// Whether the crew waits for the next turnaround of the crop; false when absent.
    #[serde(default)]
    pub at_turnaround: Option<bool>,
}

/// Each lamp is replaced at a stated age.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AgeRelamp {
    /// Burn hours of the lamp at which it is replaced, unit "h" or "kh".
    pub at: Figure,
}
