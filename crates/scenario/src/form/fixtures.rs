//! What hangs over the canopy, as written: the fixture options and their light.
//!
//! Belongs here: shapes and their documentation. Does not belong here: any judgement of the values.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{Build, Component, Dirt, Gear, Lamp, Maintenance, StartLoss, Upkeep, UsedLamps};
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
    pub maintenance: Linked<Maintenance>,
    /// The fixture itself.
    pub fixture: Fixture,
    /// The replaceable lamp; leave it out for a fixture without one.
    #[serde(default)]
    pub lamp: Option<Linked<Lamp>>,
    /// Control gear (ballast or driver) that fails at a constant rate; never fails when absent.
    #[serde(default)]
    pub gear: Option<Gear>,
    /// Further parts, each with a clock, a price and labour of its own: ballast or driver that wears out, capacitor, fan.
    #[serde(default)]
    pub components: Vec<Component>,
    /// Dirt on lamps and optics, and optics that do not recover; none when absent.
    #[serde(default)]
    pub dirt: Option<Dirt>,
    /// Light lost at each start; none when absent.
    #[serde(default)]
    pub start_loss: Option<StartLoss>,
    /// By how much the wall power rises per burn hour of the lamp, as a share of the new lamp's power, unit "1/h",
    /// "1/kh" or "%/kh"; below zero for falling power. 0 when absent.
    #[serde(default)]
    pub power_drift: Option<Figure>,
    /// Used lamps that burn in the sockets at the start; new ones, bought at the start, when absent.
    #[serde(default)]
    pub in_sockets: Option<UsedLamps>,
    /// How lamp and fixture are built, as far as it decides about cautions.
    #[serde(default)]
    pub build: Option<Build>,
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
    /// Days since the last cleaning when the light was measured, unit "d"; the dirt of those days is divided out. 0 when
    /// absent.
    #[serde(default)]
    pub since_cleaning: Option<Figure>,
    /// Name of the meter with which the light was measured, one of the scenario's `meters`; taken as read when absent.
    #[serde(default)]
    pub meter: Option<String>,
    /// Standard deviation of a single reading of `grid` about the true PPFD at its point, as a share of it, beyond what the
    /// meter does to all readings alike, unit "1" or "%": level, position, the digits that were written. The mean is the
    /// better known the more points there are. 0 when absent.
    #[serde(default)]
    pub point_error: Option<Figure>,
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

/// The fixture itself.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fixture {
    /// Price of one fixture without lamps, unit such as "USD/fixture".
    pub price: Figure,
    /// Cost of hanging and connecting one fixture, unit such as "USD/fixture".
    pub installation: Figure,
    /// What comes back for each fixture at the start, such as a utility's rebate, unit such as "USD/fixture"; 0 when absent.
    #[serde(default)]
    pub rebate: Option<Figure>,
    /// Share of its price that a fixture is still worth at the horizon, unit "1" or "%"; 0 when absent.
    #[serde(default)]
    pub worth_at_end: Option<Figure>,
    /// Years of service that a fixture is expected to give, unit "yr" or "month". Only `cash` reads it, where lives differ.
    #[serde(default)]
    pub lasts: Option<Figure>,
    /// Share of initial photon flux at which a fixture WITHOUT a replaceable lamp is replaced as a whole, unit "1" or "%";
    /// never replaced for its fading when absent.
    #[serde(default)]
    pub ends_at_light: Option<Figure>,
}

/// An object with nothing in it.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Nothing {}
