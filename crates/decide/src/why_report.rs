//! Why light costs what it costs, and why one option leads another: plain data, stored as `why.json`.
//!
//! Belongs here: shapes with units in the names. Does not belong here: arithmetic.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::result::{Cause, Ended, Estimate, Verdict};
use crate::why_terms::Term;

/// Version of the shape of `why.json`.
pub const WHY_FORMAT: &str = "lampledger-why/1";

/// Why light costs what it costs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WhyReport {
    /// [`WHY_FORMAT`].
    pub format: String,
    /// Version of the program.
    pub program: String,
    /// Title of the scenario.
    pub title: String,
    /// Currency code.
    pub currency: String,
    /// "real" or "nominal".
    pub basis: String,
    /// Discount rate per year, mean over the trials.
    pub discount_rate: f64,
    /// When in its month money counts.
    pub booked: String,
    /// Month of the price level, YYYY-MM.
    pub prices_of: String,
    /// First day, YYYY-MM-DD.
    pub start: String,
    /// Years simulated.
    pub horizon_years: u32,
    /// Name of the contract under which everything is priced.
    pub contract: String,
    /// Clock times of its light windows.
    pub lights: String,
    /// Seed of every draw.
    pub seed: u64,
    /// Trials, all options on the same luck.
    pub trials: u64,
    /// Why the trials ended there.
    pub ended: Ended,
    /// The lead of one option over another, split into its parts; absent when there is none to be compared with.
    pub lead: Option<Lead>,
    /// The headline of each option as arithmetic.
    pub sums: Vec<OptionSum>,
    /// Cautions that the scenario calls for.
    pub cautions: Vec<String>,
    /// Things a reader should know.
    pub remarks: Vec<String>,
}

/// The lead of one option over another: its levelized cost less that of the other, on the same luck, below zero where it is
/// cheaper.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Lead {
    /// Name of the option.
    pub option: String,
    /// Name of the option that it is compared with.
    pub against: String,
    /// Mean of the lead, currency per mol.
    pub lead: Estimate,
    /// Share of the trials in which the option is cheaper; equal cost counts half.
    pub chance_cheaper: Estimate,
    /// `a` for the option, `b` for the other, `tie` when the noise does not tell.
    pub verdict: Verdict,
    /// The parts in the order of the causes, light held last; they add up to the lead.
    pub parts: Vec<LeadPart>,
    /// The part of energy once more, as kWh and as price.
    pub energy: EnergyParts,
    /// The part of light held once more, as darkness and as dimming.
    pub held: HeldParts,
}

/// One part of a lead, currency per mol.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LeadPart {
    /// The cause of cost; absent for light held.
    pub cause: Option<Cause>,
    /// What it is called.
    pub name: String,
    /// What it adds to the lead.
    pub lead: Estimate,
    /// The share of it that money for a fixture explains; absent for light held.
    pub by_money: Option<Estimate>,
    /// The share of it that the light of a new fixture explains; absent for light held.
    pub by_new_light: Option<Estimate>,
}

/// The part of energy, currency per mol.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct EnergyParts {
    /// By kWh for the same light when new: efficacy, and sockets that were dark.
    pub by_kwh: Estimate,
    /// By what a kWh costs, discounting included.
    pub by_price: Estimate,
}

/// The part of light held, currency per mol.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HeldParts {
    /// By dark sockets.
    pub by_dark: Estimate,
    /// By whatever dims a lamp that burns: fading, dirt, starts.
    pub by_dimming: Estimate,
}

/// The headline of an option as arithmetic.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct OptionSum {
    /// Name of the option.
    pub option: String,
    /// Where its light was measured.
    pub light_basis: String,
    /// The headline: levelized cost, mean over the trials of PV(cost) / PV(mol), currency per mol.
    pub levelized: Estimate,
    /// Mean PV(cost) over mean PV(mol), currency per mol: what arithmetic on means gives.
    pub ratio_of_means: f64,
    /// The lines that lead there, in order.
    pub lines: Vec<SumLine>,
    /// The last line: terms that come to [`Self::ratio_of_means`], in hundredths of the currency per mol.
    pub formula: Vec<Term>,
    /// Inputs that stand in no line: the simulator makes its numbers of them.
    pub behind: Vec<Given>,
}

/// Where a number comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Origin {
    /// Stated or assumed inputs and counts, redone as the line says.
    Inputs,
    /// A mean over the trials.
    Simulated,
    /// Worked out of lines above.
    Lines,
}

/// Groups of lines.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Group {
    /// Years and hours.
    Time,
    /// What is paid at the start.
    Start,
    /// Lamps, labour and the like, as a constant amount a year.
    Upkeep,
    /// Electricity.
    Electricity,
    /// Photons.
    Light,
}

/// One line.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SumLine {
    /// Its group.
    pub group: Group,
    /// What it says.
    pub what: String,
    /// The sum that comes to the value; one number where there is none to redo.
    pub working: Vec<Term>,
    /// The value.
    pub value: f64,
    /// Its unit.
    pub unit: String,
    /// Where the value comes from.
    pub origin: Origin,
    /// Why it is what it is, where that is not plain; may be empty.
    pub note: String,
    /// Inputs that stand in it.
    pub inputs: Vec<Given>,
}

/// An input as it was used.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Given {
    /// JSON Pointer to it.
    pub pointer: String,
    /// Where it stands in the scenario.
    pub place: String,
    /// Mean over the trials; the value itself when it is certain.
    pub value: f64,
    /// Its unit.
    pub unit: String,
    /// Whether it is certain.
    pub certain: bool,
    /// How well it is known: measured, invoice, datasheet or guess.
    pub grade: String,
    /// Whether the scenario states it; the program assumed it otherwise.
    pub stated: bool,
}
