//! What a search for relamping intervals finds: plain data, stored as `relamp.json`.
//!
//! Belongs here: shapes with units in the names. Does not belong here: arithmetic.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::result::{Ended, Estimate};

/// Version of the shape of `relamp.json`.
pub const RELAMP_FORMAT: &str = "lampledger-relamp/1";

/// What a search for relamping intervals finds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RelampReport {
    /// [`RELAMP_FORMAT`].
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
    /// Burn hours of the schedule over the horizon, h.
    pub burn_h: f64,
    /// Name of the contract under which everything is priced.
    pub contract: String,
    /// Seed of every draw.
    pub seed: u64,
    /// Trials lived for every policy and interval, all on the same luck.
    pub trials: u64,
    /// Why the search ended there.
    pub ended: Ended,
    /// Share of the lowest cost within which intervals count as equally good.
    pub flat_within: f64,
    /// Options with lamps.
    pub options: Vec<RelampOption>,
    /// Options that were left out, and why, one sentence each.
    pub left_out: Vec<String>,
    /// Cautions that the scenario calls for.
    pub cautions: Vec<String>,
    /// Things a reader should know.
    pub remarks: Vec<String>,
}

/// One option's lamps.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RelampOption {
    /// Name of the option.
    pub name: String,
    /// Where its light was measured, such as "into 2.25 m² at 0.90 m".
    pub light_basis: String,
    /// Sockets in the room.
    pub sockets: u32,
    /// Median life of a lamp on this photoperiod, burn hours, at the medians of the inputs; early and random failures counted.
    pub median_life_h: f64,
    /// How its lamps are replaced as the scenario is written, in words.
    pub as_written: String,
    /// Levelized cost as written, currency per mol.
    pub cost_as_written: Estimate,
    /// Policies, each over its intervals, on the same luck.
    pub policies: Vec<PolicyCurve>,
    /// Index of the policy with the lowest cost.
    pub best_policy: usize,
    /// What the best policy saves against the option as written, share of the cost as written; paired.
    pub saving: Estimate,
    /// What may be done about the last group relamp; empty without group relamps.
    pub endings: Vec<Ending>,
    /// When groups are relamped as written, at the medians of the inputs.
    pub visits: Vec<DatedRelamp>,
    /// Lamps by calendar month, as written.
    pub months: Vec<LampMonth>,
    /// Months of demand that spares must bridge: the lead time of the scenario, or one month.
    pub lead_months: u32,
    /// What the warranty is worth; absent without one.
    pub warranty: Option<WarrantyWorth>,
    /// The exact cross-check, if it was asked for.
    pub exact: Option<Exact>,
}

/// Kinds of policies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PolicyKind {
    /// Each lamp when it has failed; it has no interval.
    OnFailure,
    /// All together, failed ones in between as well.
    GroupWithSpot,
    /// All together; failed ones stay dark until then.
    GroupOnly,
    /// Each lamp at an age, or when it has failed.
    ByAge,
}

/// Cost over intervals under one policy.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PolicyCurve {
    /// Kind.
    pub kind: PolicyKind,
    /// The kind in words.
    pub name: String,
    /// Intervals, burn hours, rising; empty for a policy without one.
    pub intervals_h: Vec<f64>,
    /// Levelized cost at each, currency per mol; one entry for a policy without an interval.
    pub levelized: Vec<Estimate>,
    /// Lamps bought after the first fill at each, mean.
    pub lamps: Vec<f64>,
    /// Photons delivered at each, as a share of those of the option as written, mean.
    pub light: Vec<f64>,
    /// Dark socket-hours at each as a share of all, mean.
    pub dark: Vec<f64>,
    /// The interval with the lowest cost; absent for a policy without one.
    pub best: Option<BestInterval>,
    /// The lowest cost of the policy, currency per mol.
    pub lowest: Estimate,
}

/// The interval with the lowest cost.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BestInterval {
    /// Burn hours, and how far they move from one eighth of the trials to the next, as a standard error.
    pub interval_h: Estimate,
    /// Whether it is the longest that was tried: then running on is as good.
    pub at_the_end: bool,
    /// Stretches of intervals that cost at most `flat_within` more, burn hours.
    pub flat: Vec<(f64, f64)>,
    /// The same relamping moved to what the room allows.
    pub snapped: Vec<Snapped>,
}

/// A relamping moved to what the room allows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Snapped {
    /// To what it was moved, in words, such as "the next crop turn".
    pub to: String,
    /// Levelized cost then, currency per mol.
    pub levelized: Estimate,
    /// What it costs more than the best interval, share of its cost; paired.
    pub extra: Estimate,
    /// First dates, YYYY-MM-DD, at the medians of the inputs.
    pub dates: Vec<String>,
}

/// A way of dealing with the last group relamp before the horizon.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Ending {
    /// What is done, in words.
    pub what: String,
    /// Group relamps over the horizon, at the medians of the inputs.
    pub relamps: u32,
    /// Levelized cost then, currency per mol.
    pub levelized: Estimate,
    /// Present value that it saves against the scenario as written, currency; paired.
    pub saves: Estimate,
}

/// A group relamp.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DatedRelamp {
    /// Day, YYYY-MM-DD.
    pub date: String,
    /// Zone, 1 first; 1 where there is one only.
    pub zone: u32,
    /// Burn hours of the schedule by then, h.
    pub burn_h: f64,
    /// Lamps in the zone.
    pub sockets: u32,
}

/// Lamps of one month: over trials.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LampMonth {
    /// Month, YYYY-MM.
    pub month: String,
    /// Lamps put in as planned, mean.
    pub planned: f64,
    /// Lamps put in for failed ones, mean.
    pub spot: f64,
    /// Lamps to buy in all, broken ones included: half, 80 % and 95 % of trials need at most so many.
    pub buy: [f64; 3],
    /// Spares to hold at the beginning of the month for failures until a delivery comes: half, 80 % and 95 % of trials need at
    /// most so many.
    pub hold: [f64; 3],
    /// The smallest stock that a Poisson demand of the same mean leaves unexhausted with 95 %: what a table would say.
    pub hold_by_table: u64,
}

/// What a warranty is worth: the option with it against the same without it, on the same luck.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WarrantyWorth {
    /// Why it is worth nothing here, one sentence each; empty within its terms.
    pub outside: Vec<String>,
    /// Present value of credits less what claiming costs, currency.
    pub worth: Estimate,
    /// The same per socket, currency.
    pub per_socket: f64,
    /// Claims over the horizon, mean.
    pub claims: f64,
    /// Cost of a claim at which claiming stops to pay, currency per claim; absent without claims.
    pub claim_stops_paying: Option<f64>,
    /// Cost of a claim as written, median, currency per claim.
    pub claim_cost: f64,
}

/// An exact cross-check without random numbers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Exact {
    /// Why it does not apply; then the rest is empty.
    pub does_not_apply: Vec<String>,
    /// What was taken for it, in words.
    pub taken: String,
    /// Expected numbers against those of the simulation under the same conditions.
    pub lines: Vec<ExactLine>,
    /// Best intervals if the room ran for ever, without the end of the horizon.
    pub for_ever: Vec<ForEver>,
}

/// One number, exact and simulated.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ExactLine {
    /// What, in words.
    pub what: String,
    /// Unit.
    pub unit: String,
    /// By the renewal equation.
    pub exact: f64,
    /// By the simulation.
    pub simulated: Estimate,
    /// Whether the two agree within three standard errors.
    pub agrees: bool,
}

/// The best interval of a policy if the room ran for ever.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ForEver {
    /// Kind.
    pub kind: PolicyKind,
    /// The kind in words.
    pub name: String,
    /// Best interval, burn hours; absent when running to failure is best.
    pub interval_h: Option<f64>,
    /// Cost of a mole at it, currency per mol, capital spread over the horizon.
    pub cost_per_mol: f64,
    /// Intervals that cost at most `flat_within` more, burn hours; the later is absent when there is none.
    pub flat: (f64, Option<f64>),
}
