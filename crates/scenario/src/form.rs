//! The scenario file as written: dumb, strict shapes, one per object of the file.
//!
//! Belongs here: what may be written, and its documentation (it becomes the JSON Schema that editors show).
//! Does not belong here: any judgement of the values. That is the plan's work.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use crate::figure::Figure;

mod fading;
mod fixtures;
mod hours;
mod lamps;
mod money;
mod prices;
mod tariff;
mod upkeep;

pub use fading::*;
pub use fixtures::*;
pub use hours::*;
pub use lamps::*;
pub use money::*;
pub use prices::*;
pub use tariff::*;
pub use upkeep::*;

/// A whole scenario: one bay, its hours, its prices and the fixture options that compete for it.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Scenario {
    /// Where an editor finds the schema of this file; the program ignores it.
    #[serde(rename = "$schema", default)]
    pub schema: Option<String>,
    /// What the scenario is called on every page and chart.
    pub title: String,
    /// Anything a reader should know about where the numbers come from.
    #[serde(default)]
    pub note: Option<String>,
    /// First day, as YYYY-MM-DD; it must be the first of a month, because costs are booked by calendar month.
    pub start: String,
    /// How many whole years are simulated.
    pub horizon_years: u32,
    /// IANA time zone of the room, such as "America/Chicago".
    pub time_zone: String,
    /// ISO 4217 code of the currency in which every price is written, such as "USD".
    pub currency: String,
    /// Month of the price level, as YYYY-MM; the start month when absent.
    #[serde(default)]
    pub prices_of: Option<String>,
    /// How money over time is counted.
    pub money: Money,
    /// The canopy that is to be lit.
    pub canopy: Canopy,
    /// When the lights burn.
    pub photoperiod: Photoperiod,
    /// The electricity contracts under which every option is priced; at least one.
    pub contracts: Vec<Contract>,
    /// Loads of the site beside the lights; they ADD UP. Each contract then prices the lights on top of them: the bill with
    /// the lights less the bill without. Without any, the lights have a meter of their own and the whole bill is theirs.
    #[serde(default)]
    pub base_load: Vec<BaseLoad>,
    /// The cooling plant that removes the lamps' heat; no cooling cost when absent.
    #[serde(default)]
    pub cooling: Option<Cooling>,
    /// What the building needs for the lights and does not have yet; nothing is charged when absent.
    #[serde(default)]
    pub build_out: Option<BuildOut>,
    /// The meters with which light was measured, by name. An option's `light.meter` names one; light that names none is
    /// taken as read.
    #[serde(default)]
    pub meters: BTreeMap<String, Meter>,
    /// The competing fixture options; at least one.
    pub options: Vec<FixtureOption>,
}

/// A meter of light. What is wrong with it is wrong with every reading that it took, so it cancels where options were
/// measured with the same one; what is wrong with it under one kind of source cancels between sources of that kind only.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Meter {
    /// Anything a reader should know about it, such as its kind and when it was calibrated.
    #[serde(default)]
    pub note: Option<String>,
    /// Photons that are there for each one that it reads, under any source, unit "1" or "%"; uncertain by its calibration,
    /// 1 give or take 5 % (one standard deviation) when absent.
    #[serde(default)]
    pub gain: Option<Figure>,
    /// The same on top for each kind of source, because no sensor weighs all colours alike.
    #[serde(default)]
    pub by_source: BySource,
}

/// A factor for each kind of source, unit "1" or "%"; 1 give or take 2 % for discharge lamps and 4 % for LEDs (one standard
/// deviation) where absent.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BySource {
    /// Under high-pressure sodium lamps.
    #[serde(default)]
    pub high_pressure_sodium: Option<Figure>,
    /// Under metal-halide lamps with a quartz arc tube.
    #[serde(default)]
    pub metal_halide: Option<Figure>,
    /// Under metal-halide lamps with a ceramic arc tube.
    #[serde(default)]
    pub ceramic_metal_halide: Option<Figure>,
    /// Under fluorescent tubes.
    #[serde(default)]
    pub fluorescent: Option<Figure>,
    /// Under light-emitting diodes.
    #[serde(default)]
    pub led: Option<Figure>,
}

/// How money over time is counted.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Money {
    /// "real": amounts stay at the start month's price level. "nominal": they rise with `inflation`.
    pub basis: Basis,
    /// Discount rate per year on that same basis, unit "1/yr" or "%/yr".
    pub discount_rate: Figure,
    /// General inflation per year; needed when the basis is nominal, unit "1/yr" or "%/yr".
    #[serde(default)]
    pub inflation: Option<Figure>,
    /// When in its month a running cost counts; "end_of_month" when absent.
    #[serde(default)]
    pub booked: Option<Booked>,
    /// Tax, for `cash` alone; the cost of a mole stays before tax. Before tax when absent.
    #[serde(default)]
    pub tax: Option<Tax>,
    /// A loan, for `cash` alone; the cost of a mole stays without it. None when absent.
    #[serde(default)]
    pub loan: Option<Loan>,
}

/// Level at which money is stated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// Money of the start month.
    Real,
    /// Money of the day it is paid.
    Nominal,
}

/// When in its month a running cost (and the light it buys) counts for discounting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Booked {
    /// On the month's last day.
    EndOfMonth,
    /// In the middle of the month.
    MidMonth,
}

/// The canopy that is to be lit.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Canopy {
    /// Lit canopy area, unit "m²" or "ft²".
    pub area: Figure,
    /// Mean PPFD that the room should hold while the lights are on, unit "µmol/m²/s".
    #[serde(default)]
    pub target_ppfd: Option<Figure>,
    /// PPFD that the darkest point should hold, unit "µmol/m²/s"; it is judged by each lamp's own map.
    #[serde(default)]
    pub least_ppfd: Option<Figure>,
    /// PPFD above which photons do not count as useful, unit "µmol/m²/s"; useful moles are then reported beside all moles.
    #[serde(default)]
    pub ppfd_ceiling: Option<Figure>,
}

/// When the lights burn: phases that follow one another, then empty days, over and over.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Photoperiod {
    /// Whether the timers follow summer time ("civil", the default) or stay on standard time ("standard").
    #[serde(default)]
    pub timer: Option<Timer>,
    /// The phases of one crop cycle, in order; at least one.
    pub phases: Vec<Phase>,
    /// Days without light between two cycles; 0 when absent.
    #[serde(default)]
    pub turnaround_days: Option<u32>,
    /// true: a light window that begins on the evening before the first day runs on into it, as in a room that has been in
    /// use for long. false, the default: the room's first light is the first window of the first day.
    #[serde(default)]
    pub already_running: Option<bool>,
}

/// What a timer takes for the time of day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Timer {
    /// The clock on the wall, summer time included.
    Civil,
    /// The zone's standard time all year.
    Standard,
}

/// One phase of a crop cycle.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Phase {
    /// What the phase is called.
    pub name: String,
    /// How many days it lasts.
    pub days: u32,
    /// The daily light windows; they must not overlap.
    pub lights: Vec<LightWindow>,
    /// Share of full wall power drawn in this phase (0.01 to 1); 1 when absent.
    #[serde(default)]
    pub power: Option<f64>,
    /// Share of full photon flux given in this phase (0.01 to 1); 1 when absent. It need not equal `power`.
    #[serde(default)]
    pub flux: Option<f64>,
}

/// One daily light window on the room's clock. "00:00" to "00:00" burns round the clock.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LightWindow {
    /// Lights on, as HH:MM.
    pub on: String,
    /// Lights off, as HH:MM; on the next day when not later than `on`.
    pub off: String,
}

/// What the building needs for the lights and does not have yet: paid at the start, for each kW of lights at the wall.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BuildOut {
    /// Electrical service, unit such as "USD/kW"; 0 when absent.
    #[serde(default)]
    pub service: Option<Figure>,
    /// Cooling plant, unit such as "USD/kW" of lights, not of plant; 0 when absent.
    #[serde(default)]
    pub cooling_plant: Option<Figure>,
}

/// The plant that removes the lamps' heat.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cooling {
    /// Heat removed per electric energy: a coefficient of performance, unit "1", or an EER, unit "Btu/Wh" (3.412 Btu/Wh
    /// are a COP of 1).
    pub cop: Figure,
    /// Share of the lamps' wall power that the plant must remove; 1 when absent.
    #[serde(default)]
    pub heat_share: Option<Figure>,
    /// Factor on the COP for each month, January first; twelve ones when absent. 0 switches the plant off in that month.
    #[serde(default)]
    pub cop_by_month: Option<Vec<f64>>,
    /// Whole minutes by which the plant's power follows the lights'; 0 when absent.
    #[serde(default)]
    pub lag_minutes: Option<u32>,
    /// Power factor of the plant (0.05 to 1); 1 when absent.
    #[serde(default)]
    pub power_factor: Option<f64>,
}
