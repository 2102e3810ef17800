//! What `stage` finds out: plain data with units in the names, stored as `stage.json`. No arithmetic here.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use crate::drivers_report::Worth;
use crate::result::{Ended, Estimate};

/// Version of the shape of `stage.json`.
pub const STAGE_FORMAT: &str = "lampledger-stage/1";

/// Buy one option now and decide about another at a later relamp: what each way of doing that costs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StageReport {
    /// [`STAGE_FORMAT`].
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
    /// Day of the change, YYYY-MM-DD.
    pub change: String,
    /// Years simulated, both stages.
    pub horizon_years: u32,
    /// Years of the first stage.
    pub after_years: u32,
    /// Name of the contract.
    pub contract: String,
    /// Name of the option that is bought now.
    pub now: String,
    /// Where its light was measured.
    pub now_light: String,
    /// Name of the option that may follow.
    pub later: String,
    /// Where its light was measured.
    pub later_light: String,
    /// Whether the later option's lamps go into the fixtures that hang already.
    pub keeps_fixtures: bool,
    /// Photons by which a cost per mole is turned into money, both stages, present value at the start, mol, for one room.
    pub service_mol: f64,
    /// What these photons are, in words.
    pub service: String,
    /// Rooms for which the choice is made. All money below is present value at the start, for so many.
    pub rooms: u32,
    /// Burn hours of the first stage.
    pub burn_h: f64,
    /// What is believed of the later lamp's median life on this photoperiod, burn hours: 10 % point, median, 90 % point.
    pub median_life_h: (f64, f64, f64),
    /// Seed of all luck.
    pub seed: u64,
    /// Trials that were lived.
    pub trials: u64,
    /// Why it ended.
    pub ended: Ended,
    /// Ways of doing it, in the order of [`StageKind`]; "watched" is missing where no lamp is watched.
    pub policies: Vec<StagePolicy>,
    /// Index of the policy with the lowest mean cost, the bound left aside.
    pub best: usize,
    /// Mean saving of changing at the relamp over staying, as it is believed today, currency; below zero where changing
    /// costs more.
    pub saving: Estimate,
    /// Share of trials in which changing is the cheaper course.
    pub chance_saves: Estimate,
    /// Whether changing is what today's belief advises.
    pub would_change: bool,
    /// Lamps of the later option that are watched.
    pub watched: u32,
    /// What watching is worth, the fewest lamps first; one of them is [`Self::watched`]. Empty where no lamp is watched.
    pub watchings: Vec<Watching>,
    /// What to do for each number of dead lamps, from none to all.
    pub rule: Vec<Outcome>,
    /// Whether watching would change nobody's mind: it is worth nothing, and no number of dead lamps advises clearly
    /// against what is believed today.
    pub is_idle: bool,
    /// What knowing every uncertain input at the change is worth, currency.
    pub known: Worth,
    /// What the two stages take for granted, sentence by sentence.
    pub assumptions: Vec<String>,
    /// Cautions that the scenario calls for.
    pub cautions: Vec<String>,
    /// Things a reader should know.
    pub remarks: Vec<String>,
}

/// A way of doing it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum StageKind {
    /// The option of now in both stages.
    NowThroughout,
    /// The later option in both stages.
    LaterThroughout,
    /// The option of now, then whichever is better on what is believed today.
    Planned,
    /// The option of now, then whichever is better on what watched lamps have shown.
    Watched,
    /// The option of now, then whichever is better with every input known: nobody can, so it is a bound.
    Known,
}

/// One way of doing it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StagePolicy {
    /// Which.
    pub kind: StageKind,
    /// Mean cost, currency.
    pub cost: Estimate,
    /// How far it is above the best one, currency; the bound is below.
    pub above_best: Estimate,
}

/// Watching so many lamps.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Watching {
    /// Lamps.
    pub lamps: u32,
    /// What the better choice saves on average, currency, before the lamps are paid.
    pub worth: Worth,
    /// What the lamps cost more than those of now, currency.
    pub extra: Estimate,
    /// Worth less extra, currency.
    pub net: Estimate,
}

/// What so many dead lamps say.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Outcome {
    /// Watched lamps that have died by the change.
    pub dead: u32,
    /// Chance of seeing that, 1 = certain.
    pub chance: Estimate,
    /// Mean saving of changing then, currency; absent where fewer than two trials saw it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub saving: Option<Estimate>,
    /// What to do.
    pub advice: Advice,
}

/// What to do at the change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Advice {
    /// Change to the later option.
    Change,
    /// Stay with the option of now.
    Stay,
    /// The trials cannot tell.
    TooClose,
    /// Too few trials saw it to tell.
    TooRare,
}
