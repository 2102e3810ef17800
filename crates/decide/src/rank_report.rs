//! What `rank` finds out: plain data with units in the names, stored as `rank.json`. No arithmetic here.
//!
//! Costs per mole are in the currency per mol; a person reads them as hundredths of the currency ("ct/mol"). Money is present
//! value at equal light ([`RankContract::service_mol`]) for [`RankReport::rooms`] rooms, unless it is said to be of whole rooms.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::result::{Ended, Estimate, Spread};

/// Version of the shape of `rank.json`.
pub const RANK_FORMAT: &str = "lampledger-rank/1";

/// The options ranked under every contract, and what is lost if the wrong one is picked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RankReport {
    /// [`RANK_FORMAT`].
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
    /// Names of the options, in the scenario's order.
    pub options: Vec<String>,
    /// Where the light of each option was measured.
    pub light_bases: Vec<String>,
    /// Rooms for which the choice is made.
    pub rooms: u32,
    /// From which difference on a lead matters.
    pub material: Material,
    /// PPFD that the room should hold, median, µmol/m²/s, if stated.
    pub target_ppfd: Option<f64>,
    /// PPFD that the darkest point should hold, median, µmol/m²/s, if stated.
    pub least_ppfd: Option<f64>,
    /// Seed of all luck.
    pub seed: u64,
    /// Trials lived.
    pub trials: u64,
    /// Why it ended.
    pub ended: Ended,
    /// The contracts asked for, in the scenario's order.
    pub contracts: Vec<RankContract>,
    /// Futures by name, and what to pick if no chances can be given to them; absent when it was interrupted before.
    pub futures: Option<Futures>,
    /// Cautions that the scenario calls for.
    pub cautions: Vec<String>,
    /// Things that the reader should know, one sentence each.
    pub remarks: Vec<String>,
}

/// From which difference on a lead matters.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Material {
    /// This share of the cheaper option's mean cost, 1 = all of it; 0 for noise alone.
    Share(f64),
    /// So much, currency per mol.
    Amount(f64),
}

/// How sure it is that one option is cheaper than another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Word {
    /// The lead is beyond noise and materiality, and the cheaper one is so in nine futures of ten at the least.
    Clear,
    /// The lead is beyond both, but the cheaper one is so in fewer futures.
    Leaning,
    /// The lead is within the noise of the simulation.
    WithinNoise,
    /// The lead is beyond the noise, but too small to matter.
    Immaterial,
}

impl Word {
    /// Whether the two are too close to call.
    pub fn is_too_close(self) -> bool {
        matches!(self, Self::WithinNoise | Self::Immaterial)
    }
}

/// The options under one contract.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RankContract {
    /// Its name.
    pub contract: String,
    /// Clock times of the light windows in the first phase.
    pub lights: String,
    /// Photons by which a cost per mole is turned into money, present value, mol, for one room.
    pub service_mol: f64,
    /// What these photons are, in words.
    pub service: String,
    /// Indices of the options from the lowest mean levelized cost upwards.
    pub order: Vec<usize>,
    /// Options that share the first place: the first one, and those too close to it to call.
    pub first_place: Vec<usize>,
    /// Levelized cost of each option, currency per mol.
    pub costs: Vec<Spread>,
    /// Every pair of options, the earlier option of the scenario first.
    pub pairs: Vec<Pair>,
    /// What is lost if the option is picked and turns out not to be the cheapest, by option.
    pub losses: Vec<Loss>,
    /// Equal light; absent without a target PPFD.
    pub service_held: Option<Held>,
}

/// One option against another on the same luck. "Lead" is the cost of a less that of b.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Pair {
    /// Index of the first option.
    pub a: usize,
    /// Index of the second option.
    pub b: usize,
    /// Mean lead, currency per mol; negative where a is cheaper.
    pub lead: Estimate,
    /// 10 % point of the lead, currency per mol.
    pub lead_p10: Estimate,
    /// 90 % point of the lead, currency per mol.
    pub lead_p90: Estimate,
    /// Share of trials in which a is cheaper; a trial with equal cost counts half.
    pub chance_a_cheaper: Estimate,
    /// Smallest lead that matters, currency per mol.
    pub material: f64,
    /// How sure it is.
    pub word: Word,
    /// Mean lead in money, currency.
    pub lead_money: Estimate,
    /// Expected loss if a is picked, from the trials in which b is cheaper, currency.
    pub loss_if_a: Estimate,
    /// Expected loss if b is picked, from the trials in which a is cheaper, currency.
    pub loss_if_b: Estimate,
    /// Whether one is better for everybody, or for everybody who is cautious.
    pub dominance: Dominance,
}

/// Whether one of a pair is better at every level of cost.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Dominance {
    /// What may be said.
    pub rule: Rule,
    /// Whether the better one is a; without meaning where none is.
    pub a_is_better: bool,
    /// Largest excess of the chances against the better one, at any level of cost, 0 to 1.
    pub against: f64,
    /// Share of the rule that may be broken and is put down to noise, 0 to ½.
    pub allowed: f64,
}

/// A rule by which one option is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Rule {
    /// Both cost the same in every future, or their costs cannot be told apart.
    Alike,
    /// First order: at every level of cost, the other one is more likely to exceed it.
    ForAll,
    /// Second order: at every level of cost, the other one exceeds it by more on average.
    ForTheCautious,
    /// Neither: it depends on how risk is weighed.
    Neither,
}

/// What is lost if an option is picked: its cost less that of the cheapest in the same future.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Loss {
    /// Expected loss, currency per mol.
    pub mean: Estimate,
    /// Loss that one future in twenty exceeds, currency per mol.
    pub p95: Estimate,
    /// Expected loss, currency.
    pub mean_money: Estimate,
    /// Loss that one future in twenty exceeds, currency.
    pub p95_money: Estimate,
    /// Chance that the option is the cheapest; equal costs share it.
    pub cheapest: Estimate,
}

/// Futures by name: each contract as written, and with the inputs of each named future.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Futures {
    /// The futures.
    pub rows: Vec<FutureRow>,
    /// Largest regret of each option over all futures, currency per mol.
    pub worst: Vec<f64>,
    /// The same in money, currency.
    pub worst_money: Vec<f64>,
    /// The options whose largest regret per mole is smallest: more than one where they tie.
    pub picks: Vec<usize>,
    /// Futures in which each option is the cheapest on average.
    pub best_in: Vec<u32>,
}

/// One future.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FutureRow {
    /// Name of the contract.
    pub contract: String,
    /// Name of the future; "as written" for the scenario's own.
    pub future: String,
    /// What it moves, in words; empty as written.
    pub moved: String,
    /// Mean levelized cost of each option, currency per mol.
    pub costs: Vec<Estimate>,
    /// Mean cost less that of the option with the lowest mean, currency per mol; exactly 0 for that one.
    pub regret: Vec<Estimate>,
    /// The same in money, at the light of the contract as written, currency.
    pub regret_money: Vec<Estimate>,
    /// Index of the option with the lowest mean.
    pub best: usize,
}

/// How well the options hold the target, and what whole rooms cost. Money is of [`RankReport::rooms`] rooms.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Held {
    /// Photons that hold the target over the horizon in one room, mol, not discounted.
    pub target_mol: f64,
    /// The options, in the scenario's order.
    pub options: Vec<HeldOption>,
    /// Indices of the options by the cost of the room as written, lowest first.
    pub order_as_written: Vec<usize>,
    /// Indices by the cost of the room with whole fixtures, lowest first; those that could not be priced come last.
    pub order_whole: Vec<usize>,
    /// A pair that ranks the other way round per room as written than per mole, if there is one.
    pub turned_as_written: Option<Turned>,
    /// A pair that ranks the other way round per room of whole fixtures than per mole, if there is one.
    pub turned_whole: Option<Turned>,
}

/// Two options that rank the other way round per whole room than per mole.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Turned {
    /// Cheaper per mole.
    pub per_mole: usize,
    /// Cheaper per room.
    pub per_room: usize,
    /// Cost of the room of the one that is cheaper per mole less that of the other, currency.
    pub lead: Estimate,
    /// Why.
    pub reason: Reason,
}

/// Why two options rank otherwise per room than per mole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Reason {
    /// The rooms give unequal light.
    UnequalLight,
    /// Fixtures come in whole numbers.
    WholeFixtures,
    /// The darkest point, not the mean, says how many fixtures are needed.
    DarkestPoint,
    /// Neither: their light, or their money, comes at different times.
    Time,
}

/// One option against the target.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HeldOption {
    /// Fixtures as written.
    pub fixtures: u32,
    /// Share of the target's photons that the room gives over the horizon, 1 = all.
    pub share: Estimate,
    /// Share of the target held in the worst month, mean over trials.
    pub worst_share: Estimate,
    /// The worst month, counted from 1.
    pub worst_month: u32,
    /// PPFD of the darkest point as a share of the mean; absent where only a mean or a flux was measured.
    pub darkest_ratio: Option<f64>,
    /// PPFD at the darkest point, mean over the horizon, µmol/m²/s; present when `canopy.least_ppfd` is stated.
    pub darkest_ppfd: Option<f64>,
    /// Fixtures that the mean needs, fractional.
    pub needed_for_mean: Estimate,
    /// Fixtures that the darkest point needs, fractional; present when `canopy.least_ppfd` is stated.
    pub needed_for_darkest: Option<f64>,
    /// The larger of both, as whole fixtures.
    pub whole: u32,
    /// Present cost of the room as written, currency.
    pub as_written: Estimate,
    /// Present cost of the room with `whole` fixtures, lived anew, currency; absent where that is beyond what can be lived.
    pub whole_cost: Option<Estimate>,
    /// Light of the room as written beyond the target, mol, not discounted; 0 for a room that is short.
    pub surplus_mol: f64,
    /// Electricity that this surplus costs, present value, currency: energy, demand and cooling at the option's own cost per mole.
    pub surplus_cost: Estimate,
    /// Present cost of the room as written less that, currency.
    pub less_surplus: Estimate,
}

impl HeldOption {
    /// Whether the room as written gives less light than the target over the horizon.
    pub fn is_short(&self) -> bool {
        !(self.share.value >= 1.0 - 1e-9)
    }

    /// Whether its darkest point gets less than it should; false where that is not stated.
    pub fn darkest_is_short(&self) -> bool {
        self.needed_for_darkest.is_some_and(|needed| !(needed <= f64::from(self.fixtures) * (1.0 + 1e-9)))
    }
}
