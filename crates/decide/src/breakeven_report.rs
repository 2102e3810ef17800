//! What `breakeven` finds out: plain data with units in the names, stored as `breakeven.json`. No arithmetic here.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::result::{Ended, Estimate};

/// Version of the shape of `breakeven.json`.
pub const BREAKEVEN_FORMAT: &str = "lampledger-breakeven/1";

/// What two options are compared by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    /// Levelized cost of a delivered mole, currency per mol.
    Mole,
    /// Present value of the whole room as written, currency, however much light it gives.
    Room,
}

/// Where two options tie, input by input and contract by contract.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BreakevenReport {
    /// [`BREAKEVEN_FORMAT`].
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
    /// Name of the option whose lead is told.
    pub a: String,
    /// Where its light was measured.
    pub a_light: String,
    /// Name of the option that it is compared with.
    pub b: String,
    /// Where its light was measured.
    pub b_light: String,
    /// Places of both among the options of the scenario, from 0, so that pictures show them as elsewhere; absent in older answers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub places: Option<(usize, usize)>,
    /// What is compared. Leads are in currency per mol or in currency, as it says.
    pub measure: Measure,
    /// Photons by which a lead per mole is turned into money, present value, mol.
    pub service_mol: f64,
    /// What these photons are, in words.
    pub service: String,
    /// Seed of all luck.
    pub seed: u64,
    /// Trials that were lived at every value.
    pub trials: u64,
    /// Why it ended.
    pub ended: Ended,
    /// One for each input that was asked about.
    pub inputs: Vec<BreakevenInput>,
    /// Cautions that the scenario calls for.
    pub cautions: Vec<String>,
    /// Things a reader should know.
    pub remarks: Vec<String>,
}

/// One input that was asked about.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BreakevenInput {
    /// The input as people read it, such as "B long-life arc: lamp.life.b50".
    pub name: String,
    /// Its unit.
    pub unit: String,
    /// What is believed of it: 10 % point, median, 90 % point; all equal when it is certain.
    pub belief: (f64, f64, f64),
    /// How sure that is: "measured", "invoice", "datasheet" or "guess"; "setting" for what is no figure of the scenario.
    pub grade: String,
    /// Values that were searched, least and most.
    pub searched: (f64, f64),
    /// Smallest step in which the value can be set; 0 for none.
    pub grain: f64,
    /// One for each contract.
    pub contracts: Vec<BreakevenContract>,
}

/// One input under one contract.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BreakevenContract {
    /// Name of the contract.
    pub contract: String,
    /// Lead of a over b as the scenario stands: mean of (cost of a − cost of b), below zero when a is cheaper.
    pub lead_now: Estimate,
    /// Share of trials in which a is cheaper as the scenario stands.
    pub chance_a_now: f64,
    /// Where they tie, rising; empty for never.
    pub ties: Vec<Tie>,
    /// Lead at each value that was looked at, rising.
    pub curve: Vec<(f64, Estimate)>,
    /// Share of the belief under which a is cheaper on average; absent for a certain input.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub belief_for_a: Option<f64>,
}

/// A value at which both options cost the same on average.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Tie {
    /// The value, with the standard error that the noise of the leads gives it.
    pub at: Estimate,
    /// Values between which the lead changes its sign for certain, on the luck that was lived.
    pub bracket: (f64, f64),
    /// Lead when the value is put back: it must be within its noise of nothing.
    pub lead_there: Estimate,
    /// Whether a is cheaper below the value; it is dearer above then.
    pub a_below: bool,
}
