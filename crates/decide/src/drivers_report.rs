//! What `drivers` finds out: plain data with units in the names, stored as `drivers.json`. No arithmetic here.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use crate::breakeven_report::Measure;
use crate::result::{Ended, Estimate};

/// Version of the shape of `drivers.json`.
pub const DRIVERS_FORMAT: &str = "lampledger-drivers/1";

/// Which inputs move the answer, which can change the winner, and what knowing them is worth.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DriversReport {
    /// [`DRIVERS_FORMAT`].
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
    /// Names of the options that compete, in the scenario's order.
    pub options: Vec<String>,
    /// Where the light of each option was measured.
    pub light_bases: Vec<String>,
    /// What is compared. All money below is present value, for [`Self::rooms`] rooms: at equal light per mole times
    /// [`Self::service_mol`], or of the room as written.
    pub measure: Measure,
    /// Photons by which a cost per mole is turned into money, present value, mol, for one room.
    pub service_mol: f64,
    /// What these photons are, in words.
    pub service: String,
    /// Rooms for which the choice is made.
    pub rooms: u32,
    /// Seed of all luck.
    pub seed: u64,
    /// Trials behind the costs, the bars and the worth of knowledge.
    pub trials: u64,
    /// Trials behind the search for changes of the winner: the first so many.
    pub search_trials: u64,
    /// Pairs of trials behind the shares of variance.
    pub variance_trials: u64,
    /// Why it ended.
    pub ended: Ended,
    /// Mean cost of each option, currency.
    pub costs: Vec<Estimate>,
    /// Index of the option with the lowest mean cost.
    pub favourite: usize,
    /// Index of the next; equal to `favourite` with a single option.
    pub runner_up: usize,
    /// Mean cost of the runner-up less that of the favourite, currency.
    pub lead: Estimate,
    /// Share of trials in which the favourite is the cheapest.
    pub chance: f64,
    /// The inputs, those that move the lead most first.
    pub inputs: Vec<Driver>,
    /// Luck of lamps, gear and market: its shares of the lead's variance.
    pub luck: Shares,
    /// Standard deviation of the lead over trials, currency.
    pub lead_sd: f64,
    /// Worth of knowing every uncertain input before choosing, currency.
    pub all_inputs: Worth,
    /// Worth of knowing every input and all luck before choosing, currency: nobody can, so it bounds everything else.
    pub clairvoyance: Estimate,
    /// Cautions that the scenario calls for.
    pub cautions: Vec<String>,
    /// Things a reader should know.
    pub remarks: Vec<String>,
}

/// One input, or several that share their luck.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Driver {
    /// The input as people read it.
    pub name: String,
    /// Further inputs that move with it, because they share its luck.
    pub tied: Vec<String>,
    /// Its unit.
    pub unit: String,
    /// "measured", "invoice", "datasheet", "guess", or "setting".
    pub grade: String,
    /// Whether the scenario says how uncertain it is. If not, a doubt by its grade is taken for the bar: a judgement.
    pub is_uncertain: bool,
    /// Low end of the bar (10 % point, or the doubt), median, and high end.
    pub values: (f64, f64, f64),
    /// What comes out at the low end.
    pub low: Turned,
    /// What comes out at the high end.
    pub high: Turned,
    /// Nearest values at which another option becomes the cheapest: below, above, or none within the values searched.
    pub flips: Vec<Flip>,
    /// Values searched, least and most.
    pub searched: (f64, f64),
    /// Its shares of the variance of the lead; absent for a certain input.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shares: Option<Shares>,
    /// Worth of knowing it before choosing, currency; absent for a certain input.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub worth: Option<Worth>,
}

/// What comes out at one value.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Turned {
    /// Index of the cheapest option there.
    pub winner: usize,
    /// Lead of the favourite over the runner-up there, currency; below zero when the runner-up is cheaper.
    pub lead: Estimate,
}

/// A value at which another option becomes the cheapest.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Flip {
    /// The value.
    pub at: f64,
    /// The value over the median; absent when that is 0.
    pub of_median: Option<f64>,
    /// Index of the option that wins beyond it.
    pub winner: usize,
    /// Share of the belief that lies beyond it; absent for a certain input.
    pub believed: Option<f64>,
    /// Whether it lies within the bar: such an input can change the winner.
    pub within: bool,
}

/// Shares of the variance of the lead (Sobol indices).
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Shares {
    /// By itself: what knowing it alone would take away.
    pub first: Estimate,
    /// With everything it acts together with: what would be left if all else were known.
    pub total: Estimate,
}

/// Worth of knowing something before choosing, currency.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Worth {
    /// The worth.
    pub value: f64,
    /// Its Monte-Carlo standard error.
    pub se: f64,
    /// Whether it is told from nothing at all.
    pub is_seen: bool,
    /// A worth below this would not have been seen.
    pub unseen: f64,
}
