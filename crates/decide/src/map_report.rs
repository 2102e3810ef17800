//! What `map` finds out: plain data with units in the names, stored as `map.json`. No arithmetic here.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use crate::breakeven_report::Measure;
use crate::result::Ended;

/// Version of the shape of `map.json`.
pub const MAP_FORMAT: &str = "lampledger-map/1";

/// Who wins where, over two inputs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MapReport {
    /// [`MAP_FORMAT`].
    pub format: String,
    /// Version of the program.
    pub program: String,
    /// Title of the scenario.
    pub title: String,
    /// Currency code.
    pub currency: String,
    /// "real" or "nominal".
    pub basis: String,
    /// Discount rate per year, median.
    pub discount_rate: f64,
    /// Month of the price level, YYYY-MM.
    pub prices_of: String,
    /// First day, YYYY-MM-DD.
    pub start: String,
    /// Years simulated.
    pub horizon_years: u32,
    /// Name of the contract.
    pub contract: String,
    /// Names of the options, in the scenario's order.
    pub options: Vec<String>,
    /// Where the light of each option was measured.
    pub light_bases: Vec<String>,
    /// What is compared.
    pub measure: Measure,
    /// Photons by which a lead per mole is turned into money, present value, mol.
    pub service_mol: f64,
    /// What these photons are, in words.
    pub service: String,
    /// Seed of all luck.
    pub seed: u64,
    /// Trials that were lived at every point.
    pub trials: u64,
    /// Why it ended; after an interruption the last columns are missing.
    pub ended: Ended,
    /// The input to the right.
    pub x: MapAxis,
    /// The input upwards.
    pub y: MapAxis,
    /// Columns from the left, each with its cells from below.
    pub columns: Vec<Vec<MapCell>>,
    /// How the cost between the points that were priced was found, in words: "priced at every point", "exact between the
    /// corners, because cost is linear in both prices" …
    pub method: String,
    /// Where the scenario stands: values drawn for x and y in the first trials; one pair when both are certain.
    pub here: Vec<(f64, f64)>,
    /// What wins there, at the medians of x and y; absent after an interruption.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stands: Option<MapCell>,
    /// Cautions that the scenario calls for.
    pub cautions: Vec<String>,
    /// Things a reader should know.
    pub remarks: Vec<String>,
}

/// One input of a map.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MapAxis {
    /// The input as people read it.
    pub name: String,
    /// Its unit.
    pub unit: String,
    /// What is believed of it: 10 % point, median, 90 % point.
    pub belief: (f64, f64, f64),
    /// Values at the cells' centres, rising.
    pub values: Vec<f64>,
    /// Whether steps are even in the logarithm.
    pub logarithmic: bool,
}

/// One cell of a map.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MapCell {
    /// Index of the option with the lowest mean cost.
    pub winner: usize,
    /// Index of the option with the next lowest; equal to `winner` when there is a single option.
    pub second: usize,
    /// By how much the winner's mean cost is below the next: money at equal light (per mole times
    /// [`MapReport::service_mol`]) or of the whole room, present value, currency.
    pub lead: f64,
    /// Monte-Carlo standard error of that.
    pub lead_se: f64,
    /// Share of trials in which the winner is the cheapest.
    pub chance: f64,
}
