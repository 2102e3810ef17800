//! What `mix` finds out: plain data with units in the names, stored as `mix.json`. No arithmetic here.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::result::{Ended, Estimate};

/// Version of the shape of `mix.json`.
pub const MIX_FORMAT: &str = "lampledger-mix/1";

/// Rooms lit by several options at once, each by its share: what that costs, and what it may cost too much.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MixReport {
    /// [`MIX_FORMAT`].
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
    /// Names of the options that are mixed.
    pub options: Vec<String>,
    /// Where the light of each option was measured.
    pub light_bases: Vec<String>,
    /// Parts into which the light is divided; shares are whole numbers of them.
    pub parts: u32,
    /// Photons by which a cost per mole is turned into money, present value, mol, for one room.
    pub service_mol: f64,
    /// What these photons are, in words.
    pub service: String,
    /// Rooms for which the choice is made. All money below is present value, for so many.
    pub rooms: u32,
    /// Seed of all luck.
    pub seed: u64,
    /// Trials that were lived.
    pub trials: u64,
    /// Why it ended.
    pub ended: Ended,
    /// Every mix, those of one option first, in the order of the options.
    pub mixes: Vec<Mix>,
    /// Index of the mix with the lowest mean cost: always one option alone, the first of equals.
    pub lowest_mean: usize,
    /// The mix with the lowest 95 % point of regret, the cheapest of equals.
    pub lowest_regret: Hedge,
    /// The mix with the lowest 90 % point of cost, the cheapest of equals.
    pub lowest_p90: Hedge,
    /// Cautions that the scenario calls for.
    pub cautions: Vec<String>,
    /// Things a reader should know.
    pub remarks: Vec<String>,
}

/// One mix.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Mix {
    /// Parts of the light that each option gives.
    pub parts: Vec<u32>,
    /// Mean cost, currency.
    pub mean: Estimate,
    /// Standard deviation of the cost, currency.
    pub sd: f64,
    /// 90 % point of the cost, currency.
    pub p90: Estimate,
    /// Mean regret: cost less that of the option that was the cheapest in the trial, currency.
    pub regret_mean: Estimate,
    /// 95 % point of the regret, currency.
    pub regret_p95: Estimate,
    /// Whether no other mix has both a lower mean cost and a lower 95 % point of regret.
    pub is_frontier: bool,
}

/// A mix that is chosen for safety, and what that costs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Hedge {
    /// Index of the mix.
    pub mix: usize,
    /// What it costs more on average than the mix with the lowest mean, currency.
    pub premium: Estimate,
    /// By how much it lowers the number that it is chosen for, against the mix with the lowest mean, currency.
    pub lowers: Estimate,
}
