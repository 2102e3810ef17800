//! Electricity contracts as written: whose rate sheet, when it is read, how its prices move over the years.
//!
//! Belongs here: shapes and their documentation. Does not belong here: the rate sheet itself (`tariff`), and any
//! judgement of the values.

use schemars::JsonSchema;
use serde::Deserialize;

use super::hours::When;
use super::tariff::Tariff;
use crate::figure::{Figure, Linked};

/// One electricity contract under which every option is priced.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Contract {
    /// What the contract is called on every page and chart.
    pub name: String,
    /// Its prices, written here or in a file of their own.
    pub tariff: Linked<Tariff>,
    /// Under this contract the first light window of each phase starts at this time, HH:MM; the others move along.
    #[serde(default)]
    pub lights_on: Option<String>,
    /// Factor on all its prices, a pure number: 1.1 is a tenth dearer than written. 1 when absent.
    #[serde(default)]
    pub price_level: Option<Figure>,
    /// Yearly change of all its prices beyond general inflation, unit "1/yr" or "%/yr"; 0 when absent.
    #[serde(default)]
    pub price_change: Option<Figure>,
    /// How its prices move over the years, part by part; they stay where they are when absent.
    #[serde(default)]
    pub price_path: Option<PricePath>,
    /// Day of the month (1 to 28) on whose beginning the meter is read; the first of the month when absent.
    #[serde(default)]
    pub read_day: Option<u8>,
    /// The very days, as YYYY-MM-DD, on whose beginning the meter is read, instead of `read_day`. They must reach the
    /// end of the horizon.
    #[serde(default)]
    pub read_dates: Option<Vec<String>>,
    /// Peaks measured before the start, for charges that look back; none are assumed when absent.
    #[serde(default)]
    pub peaks_before: Vec<PeaksBefore>,
}

/// Peaks of one demand charge in the months before the start.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PeaksBefore {
    /// Name of the demand charge.
    pub demand: String,
    /// Measured peaks in kW, one for each billing period before the start, the last one last.
    pub kw: Vec<f64>,
}

/// How a contract's prices move over the years. Thresholds (kWh, kW) and percentages never move.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PricePath {
    /// "beyond_inflation" (the default): on top of general inflation. "nominal": inflation is in it already; only where
    /// money is nominal.
    #[serde(default)]
    pub basis: Option<PathBasis>,
    /// When a year's step is taken; "anniversary" of the start when absent.
    #[serde(default)]
    pub step: Option<PathStep>,
    /// Energy prices.
    #[serde(default)]
    pub energy: Option<Path>,
    /// Riders.
    #[serde(default)]
    pub riders: Option<Path>,
    /// Demand charges, and what the power factor adds to them.
    #[serde(default)]
    pub demand: Option<Path>,
    /// Fixed charges and the minimum bill.
    #[serde(default)]
    pub fixed: Option<Path>,
    /// A market that moves at random, on top of the paths above.
    #[serde(default)]
    pub market: Option<Market>,
}

/// Whether a price path holds general inflation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PathBasis {
    /// It comes on top of general inflation.
    BeyondInflation,
    /// It holds general inflation already.
    Nominal,
}

/// When a year's step is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PathStep {
    /// On each anniversary of the scenario's start.
    Anniversary,
    /// On each first of January.
    January,
}

/// How one part of the prices moves.
///
/// Exactly one of `rise` and `levels` is given.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Path {
    /// Rise from each year to the next, unit "1/yr" or "%/yr".
    #[serde(default)]
    pub rise: Option<Figure>,
    /// Level of each year as a multiple of the prices as written, the first year first; one for every year that the
    /// horizon touches.
    #[serde(default)]
    pub levels: Option<Vec<f64>>,
}

/// A market that moves at random: all contracts see the same one.
///
/// Exactly one of `yearly_steps` and `history` is given.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Market {
    /// Independent lognormal yearly steps.
    #[serde(default)]
    pub yearly_steps: Option<YearlySteps>,
    /// Steps drawn from a price history, some years in a row.
    #[serde(default)]
    pub history: Option<HistorySteps>,
    /// The parts that move with it; all when absent.
    #[serde(default)]
    pub moves: Option<Vec<PathPart>>,
}

/// A part of the prices that may move on its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PathPart {
    /// Energy prices.
    Energy,
    /// Riders.
    Riders,
    /// Demand charges.
    Demand,
    /// Fixed charges and the minimum bill.
    Fixed,
}

/// Independent yearly steps: the logarithm of the price changes by `drift` + `volatility` · a standard normal number.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct YearlySteps {
    /// Mean yearly change of the price's logarithm, unit "1/yr" or "%/yr"; best uncertain, because it is never well known.
    pub drift: Figure,
    /// Standard deviation of that change from year to year, unit "1/yr" or "%/yr".
    pub volatility: Figure,
}

/// Yearly steps taken from a price history in blocks of following years (a block bootstrap).
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HistorySteps {
    /// The history, written here or in a file of its own.
    pub prices: Linked<PriceHistory>,
    /// Years in a row that are taken together; 3 when absent.
    #[serde(default)]
    pub block_years: Option<u32>,
}

/// A price in each of some years in a row.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PriceHistory {
    /// Where an editor finds the schema of this file; the program ignores it.
    #[serde(rename = "$schema", default)]
    pub schema: Option<String>,
    /// What was priced.
    #[serde(default)]
    pub name: Option<String>,
    /// Where the numbers come from.
    pub source: String,
    /// Anything a reader should know about it.
    #[serde(default)]
    pub note: Option<String>,
    /// The first year.
    pub first_year: i32,
    /// The price in each year, in any one unit: only its changes count.
    pub prices: Vec<f64>,
}

/// A load of the site beside the lights: what the meter would see without them.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BaseLoad {
    /// What draws it.
    pub name: String,
    /// Its power while it runs, a certain number, unit "W" or "kW".
    pub power: Figure,
    /// When it runs; always when absent. Seasons and holidays belong to a tariff and are not known here.
    #[serde(default)]
    pub when: Option<When>,
    /// Its power factor (0.05 to 1); 1 when absent.
    #[serde(default)]
    pub power_factor: Option<f64>,
}
