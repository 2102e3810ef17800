//! What a workbook is made of: plain data with units in the names, stored as `workbook.json`. No arithmetic here.
//!
//! A workbook is drawn again from this, without a simulation. Amounts that are paid are above 0; savings are above 0 when an
//! option costs less than the reference.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::rank_report::Word;
use crate::result::{Ended, Estimate, InputLine, Spread};

/// Version of the shape of `workbook.json`.
pub const WORKBOOK_FORMAT: &str = "lampledger-workbook/1";

/// Everything that a workbook shows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WorkbookReport {
    /// [`WORKBOOK_FORMAT`].
    pub format: String,
    /// Version of the program.
    pub program: String,
    /// Title of the scenario.
    pub title: String,
    /// SHA-256 of the gathered scenario, what-ifs included, hexadecimal.
    pub input_digest: String,
    /// What-ifs that were applied, as given.
    pub what_ifs: Vec<String>,
    /// Currency code.
    pub currency: String,
    /// Kind of money of all amounts: "real" or "nominal".
    pub basis: String,
    /// Month of the price level, YYYY-MM.
    pub prices_of: String,
    /// First day, YYYY-MM-DD.
    pub start: String,
    /// Years simulated.
    pub horizon_years: u32,
    /// When in its month an amount is booked, in words.
    pub booked: String,
    /// By how much that is before the month's end, months: 0 or 0.5.
    pub booked_before_end_months: f64,
    /// Name of the contract.
    pub contract: String,
    /// Clock times of its light windows in the first phase.
    pub lights: String,
    /// Index of the option with which the others are compared.
    pub reference: usize,
    /// Seed of all luck.
    pub seed: u64,
    /// Trials behind everything that is called simulated.
    pub trials: u64,
    /// Trials over whose luck the base path is a mean.
    pub path_trials: u64,
    /// Why the simulation ended.
    pub ended: Ended,
    /// What the simulation says.
    pub answer: Answered,
    /// The discount rate per year, an input that is live.
    pub rate: LiveInput,
    /// Prices that are live.
    pub prices: Vec<LiveInput>,
    /// All other inputs.
    pub others: Vec<OtherInput>,
    /// Days of booking, YYYY-MM-DD: the start, then one for each month.
    pub dates: Vec<String>,
    /// Their moments, years from the start.
    pub moments_yr: Vec<f64>,
    /// Names of the causes of cost, in the order in which they are listed.
    pub lines: Vec<String>,
    /// The options, in the scenario's order.
    pub options: Vec<WorkbookOption>,
    /// What the base path comes to at the prices and the rate above.
    pub figures: Figures,
    /// What a change of an input in the workbook does not reach, one sentence each.
    pub not_live: Vec<String>,
    /// Cautions that the scenario calls for.
    pub cautions: Vec<String>,
    /// Things a reader should know.
    pub remarks: Vec<String>,
}

/// What the simulation says about the cheapest mole.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Answered {
    /// Index of the option of the lowest mean cost per mole.
    pub cheapest: usize,
    /// Index of the next; absent where there is no other.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub next: Option<usize>,
    /// Cost per mole of the cheapest less that of the next, currency per mol.
    pub lead: Estimate,
    /// How sure that is.
    pub word: Word,
}

/// An input that may be overwritten in the workbook.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LiveInput {
    /// Its place, its unit, how well it is known; [`InputLine::p50`] is the value that the base path takes.
    #[serde(flatten)]
    pub input: InputLine,
    /// Between which values the program found the base path to be a straight line of the prices; absent where every value is
    /// as good.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub held: Option<(f64, f64)>,
}

/// An input that only a new simulation takes into account.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct OtherInput {
    /// Its place, its unit, its value, how well it is known.
    #[serde(flatten)]
    pub input: InputLine,
    /// Why it is not live.
    pub why: String,
}

/// One option.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WorkbookOption {
    /// Name.
    pub name: String,
    /// Where its light was measured.
    pub light_basis: String,
    /// Photons delivered at the start (none) and in each month, mol; base path.
    pub moles: Vec<f64>,
    /// What is paid for, in the order of [`WorkbookReport::lines`].
    pub quantities: Vec<Quantity>,
    /// Cost of the base path as the program priced it, undiscounted, currency.
    pub priced: f64,
    /// What quantities times prices come to, less that: rounding of sums.
    pub off: f64,
    /// Its first bills.
    pub bill: WorkbookBill,
    /// What the simulation says.
    pub simulated: Simulated,
}

/// How much of something is paid for at a price, month by month; base path.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Quantity {
    /// Index of the cause of cost.
    pub line: usize,
    /// Index of the price; absent for an amount that no live price explains, in the currency.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<usize>,
    /// At the start and in each month: so many of the unit that the price is for.
    pub months: Vec<f64>,
}

/// The first bills of an option with every socket lit, at medians and prices as written.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WorkbookBill {
    /// Power of all lights at the wall, kW.
    pub lights_kw: f64,
    /// First and last day of each bill.
    pub periods: Vec<(String, String)>,
    /// Whether each line is rounded to 0.01.
    pub rounded: bool,
    /// Lines in the order of the bill.
    pub lines: Vec<WorkbookLine>,
    /// Sum of all lines by bill: with the lights, without them, and the difference.
    pub totals: Vec<[f64; 3]>,
    /// The same over all bills.
    pub total: [f64; 3],
}

/// One line of the bills.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WorkbookLine {
    /// Part of the bill.
    pub part: String,
    /// Name.
    pub name: String,
    /// Unit of its quantity.
    pub unit: String,
    /// How its amount comes about.
    pub kind: LineKind,
    /// With the lights: quantity and amount of each bill.
    pub with: Vec<(f64, f64)>,
    /// Without them.
    pub without: Vec<(f64, f64)>,
    /// Amount with the lights less that without, by bill.
    pub difference: Vec<f64>,
    /// Quantity over all bills with the lights and without them; then the amounts with, without and their difference.
    pub sums: [f64; 5],
}

/// How the amount of a bill's line comes about.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum LineKind {
    /// Quantity times a live price, by its index.
    Price(usize),
    /// A share of other lines above it, by their indices.
    Share(f64, Vec<usize>),
    /// What is missing to quantity times a live price, by its index, of the sum of other lines above it, by their indices.
    Minimum(usize, Vec<usize>),
    /// An amount that is neither.
    ByValue,
}

/// What the simulation says of one option, every input as uncertain as it is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Simulated {
    /// Levelized cost, currency per mol.
    pub levelized: Spread,
    /// Share of the futures in which it is the cheapest.
    pub cheapest: Estimate,
    /// What is lost on average by picking it, currency per mol.
    pub loss: Estimate,
}

/// What the base path comes to at some prices and a discount rate.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Figures {
    /// Discount rate per year.
    pub rate: f64,
    /// Present value of 1 at each day of booking.
    pub factors: Vec<f64>,
    /// Index of the option of the lowest cost per mole; the first of equal ones.
    pub cheapest: usize,
    /// One for each option.
    pub options: Vec<OptionFigures>,
}

/// What one option's base path comes to.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct OptionFigures {
    /// By cause: the start and each month, currency.
    pub lines: Vec<Vec<f64>>,
    /// All causes: the start and each month, currency.
    pub total: Vec<f64>,
    /// By cause: all of the horizon, currency.
    pub sums: Vec<f64>,
    /// All causes and all of the horizon, currency.
    pub sum: f64,
    /// By cause: the start and each year, currency.
    pub years: Vec<Vec<f64>>,
    /// All causes: the start and each year, currency.
    pub total_years: Vec<f64>,
    /// Photons by year, the start (none) first, mol.
    pub moles_years: Vec<f64>,
    /// By cause: present value, currency.
    pub present_lines: Vec<f64>,
    /// Present value of the cost, currency.
    pub present: f64,
    /// Equal amount at each year's end that comes to it, currency.
    pub equivalent_annual: f64,
    /// Present value of the photons, mol.
    pub present_moles: f64,
    /// Levelized cost, currency per mol; absent without light.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub levelized: Option<f64>,
    /// Rank by levelized cost, 1 for the lowest; equal ones share theirs.
    pub rank: usize,
    /// Present value of what is paid at the start, and of what fixtures are worth at the horizon, currency.
    pub outlay: f64,
    /// See above.
    pub left: f64,
    /// Against the reference; absent for the reference itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub saved: Option<Saved>,
}

/// Savings against the reference.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Saved {
    /// At the start and in each month, currency.
    pub months: Vec<f64>,
    /// Running sum, currency.
    pub running: Vec<f64>,
    /// Present value of each, currency.
    pub present: Vec<f64>,
    /// Running sum of present values, currency.
    pub running_present: Vec<f64>,
    /// First amount that is not 0, currency; 0 where there is none.
    pub first: f64,
    /// Net present value, currency.
    pub npv: f64,
    /// What is invested in addition, present value, currency.
    pub investment: f64,
    /// What is saved in running costs, present value, currency.
    pub savings: f64,
    /// Savings-to-investment ratio; absent where no more is invested.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sir: Option<f64>,
    /// Internal rates of return per year, effective: all of them.
    pub irr: Vec<f64>,
    /// Payback in years, undiscounted; absent for never.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub simple_yr: Option<f64>,
    /// Payback in years, discounted; absent for never.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub discounted_yr: Option<f64>,
}
