//! The finished numbers of one run: everything that a table, a chart or a file may show, and nothing else.
//!
//! Belongs here: plain data with units in the names, stored as `result.json`. Does not belong here: arithmetic.
//! Money per mole is in the scenario's currency per mol; a person reads it as hundredths of the currency ("ct/mol").

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use engine::{Cause, Ended};

/// Version of the shape of `result.json`; it rises whenever a member changes its meaning or goes away.
pub const RESULT_FORMAT: &str = "lampledger-result/1";

/// The finished numbers of one run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RunResult {
    /// [`RESULT_FORMAT`].
    pub format: String,
    /// Version of the program that simulated.
    pub program: String,
    /// Title of the scenario.
    pub title: String,
    /// How the numbers came about.
    pub method: Method,
    /// Every input, stated or assumed.
    pub inputs: Vec<InputLine>,
    /// Cautions that the scenario calls for, one sentence each.
    pub cautions: Vec<String>,
    /// Things a reader should know about this scenario's inputs, one sentence each.
    pub remarks: Vec<String>,
    /// The contracts, in the scenario's order.
    pub contracts: Vec<ContractLine>,
    /// The options, in the scenario's order.
    pub options: Vec<OptionResult>,
}

/// How the numbers came about.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Method {
    /// Seed of every draw.
    pub seed: u64,
    /// Trials that were simulated.
    pub trials: u64,
    /// Why the run ended there.
    pub ended: Ended,
    /// SHA-256 of the gathered scenario, what-ifs included, hexadecimal.
    pub input_digest: String,
    /// SHA-256 of every trial's results in order, hexadecimal: the same for any number of threads.
    pub trial_digest: String,
    /// Currency code.
    pub currency: String,
    /// "real" or "nominal".
    pub basis: String,
    /// Discount rate per year, mean over trials.
    pub discount_rate: f64,
    /// General inflation per year, mean over trials; present when money is nominal.
    pub inflation: Option<f64>,
    /// When in its month money counts, in words: "end of month" or "mid-month".
    pub booked: String,
    /// Month of the price level, YYYY-MM.
    pub prices_of: String,
    /// First day, YYYY-MM-DD.
    pub start: String,
    /// Years simulated.
    pub horizon_years: u32,
    /// IANA time zone.
    pub time_zone: String,
    /// Canopy area, m².
    pub canopy_m2: f64,
    /// PPFD that the room should hold, µmol/m²/s, if stated.
    pub target_ppfd: Option<f64>,
    /// What-ifs that were applied, as given.
    pub what_ifs: Vec<String>,
}

/// One input as it was used.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct InputLine {
    /// JSON Pointer to where it stands or would stand: what a what-if takes.
    pub pointer: String,
    /// Where it stands, such as `options["A cheap arc"].lamp.price`.
    pub place: String,
    /// Its unit.
    pub unit: String,
    /// 10 % point, or the value itself when it is certain.
    pub p10: f64,
    /// Median.
    pub p50: f64,
    /// 90 % point.
    pub p90: f64,
    /// "measured", "invoice", "datasheet" or "guess".
    pub grade: String,
    /// Whether the scenario states it; if not, the program assumed it.
    pub stated: bool,
    /// Note of the scenario, or the reason for the assumption.
    pub note: String,
}

/// One contract.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ContractLine {
    /// Its name.
    pub name: String,
    /// Clock times of the light windows in the first phase, such as "21:00–09:00".
    pub lights: String,
    /// Burn hours of the schedule over the horizon, h.
    pub burn_h: f64,
    /// How its prices move over the years, part by part; additions since the first version of the shape.
    #[serde(default)]
    pub price_levels: Vec<PriceLevel>,
    /// Questions about its rate sheet that are open; while there are any, no bill is complete.
    #[serde(default)]
    pub open_questions: Vec<String>,
    /// How the options rank under it.
    pub ranking: Ranking,
    /// Every pair of options, the earlier option first.
    pub races: Vec<Race>,
}

/// Level of one part of a contract's prices in one year of the horizon, as a multiple of the prices as written; general
/// inflation is in it where money is nominal. The mean over the year's bills, over the first trials.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PriceLevel {
    /// Year of the horizon, 1 first.
    pub year: u32,
    /// "energy", "riders", "demand" or "fixed".
    pub part: String,
    /// Mean.
    pub mean: f64,
    /// 10 % of trials lie below.
    pub p10: f64,
    /// Half of the trials lie below.
    pub p50: f64,
    /// 90 % of trials lie below.
    pub p90: f64,
}

/// How the options rank under one contract.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Ranking {
    /// Indices of the options from the lowest mean levelized cost upwards.
    pub order: Vec<usize>,
    /// Options whose difference to the first is within simulation noise, the first included; one entry: no tie.
    pub tied_first: Vec<usize>,
}

/// One option against another on the same luck.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Race {
    /// Index of the first option.
    pub a: usize,
    /// Index of the second option.
    pub b: usize,
    /// Mean of (levelized cost of a − levelized cost of b), currency per mol.
    pub lead: Estimate,
    /// 10 % point of that difference.
    pub lead_p10: f64,
    /// 90 % point of that difference.
    pub lead_p90: f64,
    /// Share of trials in which a is cheaper; a trial with equal cost counts half.
    pub chance_a_cheaper: Estimate,
    /// What may be said.
    pub verdict: Verdict,
}

/// What may be said of a pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Option a costs less on average.
    A,
    /// Option b costs less on average.
    B,
    /// The difference is within simulation noise.
    Tie,
}

/// A number with its Monte-Carlo standard error.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Estimate {
    /// The number.
    pub value: f64,
    /// Its Monte-Carlo standard error; 0 when every trial gave the same.
    pub se: f64,
}

/// Distribution of one number over the trials.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Spread {
    /// Mean.
    pub mean: Estimate,
    /// Standard deviation over trials.
    pub sd: f64,
    /// 5 % of trials lie below.
    pub p5: Estimate,
    /// 10 % of trials lie below.
    pub p10: Estimate,
    /// Half of the trials lie below.
    pub p50: Estimate,
    /// 80 % of trials lie below.
    pub p80: Estimate,
    /// 90 % of trials lie below.
    pub p90: Estimate,
    /// 95 % of trials lie below.
    pub p95: Estimate,
}

/// A curve as points.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Curve {
    /// Abscissae, rising.
    pub x: Vec<f64>,
    /// Ordinates.
    pub y: Vec<f64>,
}

/// One option's results.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct OptionResult {
    /// Its name.
    pub name: String,
    /// Where its light was measured, such as "into 2.25 m² at 0.90 m".
    pub light_basis: String,
    /// Fixtures in the room.
    pub fixtures: u32,
    /// Sockets in the room.
    pub sockets: u32,
    /// Delivered photon flux of one new fixture, µmol/s, mean over trials.
    pub new_flux_umol_s: f64,
    /// Readings of its light, where the scenario states a grid.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub readings: Option<LightReadings>,
    /// Wall power of one fixture, W, mean over trials.
    pub wall_power_w: f64,
    /// Delivered efficacy when new, µmol/J, on `light_basis`.
    pub efficacy_umol_j: f64,
    /// Delivered flux of the whole room month by month, as a share of its new flux, lit hours only.
    pub light: Band,
    /// Lamps, failures and dark hours by year of the horizon.
    pub years: Vec<YearLine>,
    /// Moles delivered by the room over the horizon, mol, under the first contract's clock.
    pub moles: Spread,
    /// Those below the ceiling of PPFD, mol; absent without one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub useful_moles: Option<Spread>,
    /// Lamps bought after the first fill.
    pub lamps_bought: Spread,
    /// Failures of lamps and gear.
    pub failures: Spread,
    /// Socket-hours of the schedule in which a socket was dark, h.
    pub dark_h: Spread,
    /// Moles delivered as a share of what the target PPFD would need; absent without a target.
    pub target_met: Option<Spread>,
    /// Costs under each contract, in the order of [`RunResult::contracts`].
    pub costs: Vec<CostResult>,
}

/// A grid of readings under one fixture as the scenario states it: before the meter's errors, neighbours' light and fading.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LightReadings {
    /// PPFD, row by row, µmol/m²/s.
    pub umol_m2_s: Vec<Vec<f64>>,
    /// Where the points stand: "cell_centred" or "edge_to_edge".
    pub points: String,
    /// Mapped area, m².
    pub area_m2: f64,
    /// Height of the fixture above the readings, m, median.
    pub height_m: f64,
    /// Mean over the area, µmol/m²/s.
    pub mean_umol_m2_s: f64,
    /// Smallest reading over the mean.
    pub min_to_mean: f64,
}

/// A band of values over the months of the horizon.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Band {
    /// End of each month, years since the start.
    pub years: Vec<f64>,
    /// 10 % of trials lie below.
    pub p10: Vec<f64>,
    /// Half of the trials lie below.
    pub p50: Vec<f64>,
    /// 90 % of trials lie below.
    pub p90: Vec<f64>,
    /// Trials that the band is drawn from: the first so many of the run.
    pub trials: u64,
}

/// One year of an option's upkeep: means over all trials and 10 % and 90 % points over the band's trials.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct YearLine {
    /// Year of the horizon, 1 first.
    pub year: u32,
    /// Lamps bought to replace a failed one: mean.
    pub spot_lamps: f64,
    /// Lamps bought for a planned relamping (group or by age): mean.
    pub planned_lamps: f64,
    /// Lamps bought in all: 10 % point.
    pub lamps_p10: f64,
    /// Lamps bought in all: 90 % point.
    pub lamps_p90: f64,
    /// Failures of lamps and gear: mean.
    pub failures: f64,
    /// Failures: 10 % point.
    pub failures_p10: f64,
    /// Failures: 90 % point.
    pub failures_p90: f64,
}

/// One option's costs under one contract.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CostResult {
    /// What one kWh of the option's lights cost on average over trials and horizon, demand and cooling included,
    /// currency per kWh. A result, never an input.
    pub effective_price_per_kwh: f64,
    /// Levelized cost of a delivered mole, PV(cost) / PV(mol), currency per mol.
    pub levelized: Spread,
    /// The same for a useful mole, one below the ceiling of PPFD; absent without one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub levelized_useful: Option<Spread>,
    /// How much of the spread of the levelized cost is ignorance, how much luck, and how well its mean is simulated.
    #[serde(default)]
    pub split: Split,
    /// Plain cost of a delivered mole, cost / mol, undiscounted, currency per mol.
    pub plain: Spread,
    /// Total cost of the room over the horizon, undiscounted, currency.
    pub total: Spread,
    /// Present value of that cost, currency.
    pub present_value: Spread,
    /// Probability density of the levelized cost: x in currency per mol, y per (currency per mol). Empty when every
    /// trial gave the same.
    pub density: Curve,
    /// Cumulative curve of the levelized cost: x in currency per mol, y = share of trials that cost less.
    pub cumulative: Curve,
    /// The levelized cost split by cause; the parts add up to its mean.
    pub causes: Vec<CauseLine>,
    /// Undiscounted cost by year of the horizon, mean, currency; year 0 is the outlay at the start.
    pub by_year: Vec<f64>,
}

/// Three things that are often taken for one: not knowing the inputs, the luck of each lamp and of the market, and the noise
/// of the simulation. Standard deviations, currency per mol; the squares of the first two add up to that of the whole.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Split {
    /// Standard deviation over trials.
    pub whole: f64,
    /// Standard deviation of the cost expected for each set of inputs: what knowing the inputs would take away.
    pub ignorance: Estimate,
    /// Standard deviation around that: what no knowledge of the inputs takes away.
    pub luck: Estimate,
    /// Standard error of the mean: what more trials take away.
    pub simulation: f64,
    /// Trials lived twice, from which the first two are told apart.
    pub twins: u64,
}

/// One cause of cost.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CauseLine {
    /// The cause.
    pub cause: Cause,
    /// Its part of the levelized cost, mean, currency per mol.
    pub levelized: f64,
    /// Its part of the plain cost, mean, currency per mol.
    pub plain: f64,
    /// Its present value over the horizon, mean, currency.
    pub present_value: f64,
    /// Its undiscounted sum over the horizon, mean, currency.
    pub total: f64,
}
