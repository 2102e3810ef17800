//! What `cash` finds out: plain data with units in the names, stored as `cash.json`. No arithmetic here.
//!
//! Costs of an option are above 0 when they are paid. Savings against the reference are above 0 when less is paid than
//! there: they are what a spreadsheet's NPV and IRR take.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::result::{Ended, Estimate, Spread};

/// Version of the shape of `cash.json`.
pub const CASH_FORMAT: &str = "lampledger-cash/1";

/// What becomes of fixtures whose service does not end with the horizon.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Lives {
    /// All end with the horizon; only what the scenario says is worth anything then.
    Horizon,
    /// What is stated to last longer is worth the straight-line rest of its price at the horizon.
    Residual,
    /// The outlay is borne in equal yearly amounts over the service that is stated.
    Annual,
}

/// Cash flows and what they say.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CashReport {
    /// [`CASH_FORMAT`].
    pub format: String,
    /// Version of the program.
    pub program: String,
    /// Title of the scenario.
    pub title: String,
    /// Currency code.
    pub currency: String,
    /// Kind of money of all amounts: "real" or "nominal".
    pub basis: String,
    /// Kind of money in which the scenario is written.
    pub basis_as_written: String,
    /// Discount rate per year for money of `basis`, median.
    pub discount_rate: f64,
    /// The same for money as written.
    pub discount_rate_as_written: f64,
    /// General inflation per year, median; absent where none is needed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inflation: Option<f64>,
    /// Month of the price level, YYYY-MM.
    pub prices_of: String,
    /// First day, YYYY-MM-DD.
    pub start: String,
    /// Years simulated.
    pub horizon_years: u32,
    /// When in its month an amount is booked.
    pub booked: String,
    /// Present value of 1 a year over the horizon: paid at the ends of years, and in twelfths as booked here.
    pub annuity: (f64, f64),
    /// Name of the contract.
    pub contract: String,
    /// Index of the option with which the others are compared.
    pub reference: usize,
    /// What becomes of fixtures whose service does not end with the horizon.
    pub lives: Lives,
    /// Photons that are asked for, present value, mol.
    pub service_mol: f64,
    /// What these photons are, in words.
    pub service: String,
    /// Seed of all luck.
    pub seed: u64,
    /// Trials that were lived.
    pub trials: u64,
    /// Why it ended.
    pub ended: Ended,
    /// Days of booking, YYYY-MM-DD: the start, then one for each month.
    pub dates: Vec<String>,
    /// Their moments, years from the start.
    pub moments_yr: Vec<f64>,
    /// Present value of 1 at each, at `discount_rate`.
    pub factors: Vec<f64>,
    /// Tax and loan in words; empty without them.
    pub after_tax_words: Vec<String>,
    /// One for each option of the scenario.
    pub options: Vec<CashOption>,
    /// Cautions that the scenario calls for.
    pub cautions: Vec<String>,
    /// Things a reader should know.
    pub remarks: Vec<String>,
}

/// A row of a cash flow, mean over trials.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CashLine {
    /// What it is.
    pub name: String,
    /// Amount of the start and of each month.
    pub months: Vec<f64>,
    /// Amount of the start and of each year.
    pub years: Vec<f64>,
    /// Sum of all.
    pub total: f64,
    /// Present value at the median discount rate.
    pub present: f64,
}

/// One option.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CashOption {
    /// Name.
    pub name: String,
    /// Where its light was measured.
    pub light_basis: String,
    /// Rows by cause, with "total" after the causes and, with tax or a loan, "tax", "loan" and "after tax" after that.
    pub lines: Vec<CashLine>,
    /// The total with each year's amounts moved to the year's end at the discount rate; the start first.
    pub at_year_ends: Vec<f64>,
    /// Cash paid since the start, at the start and after each month.
    pub cumulative: Vec<Stretch>,
    /// Present value of what is paid at the start.
    pub outlay: Estimate,
    /// Present value of what fixtures are worth at the horizon.
    pub left: Estimate,
    /// Present value of everything else.
    pub running: Estimate,
    /// Life-cycle cost: outlay and everything else, less what is left; present value, each trial at its own rate.
    pub life_cycle_cost: Spread,
    /// Equal amount at each year's end that comes to the life-cycle cost, at the median rate.
    pub equivalent_annual: Estimate,
    /// Photons delivered, present value, mol.
    pub light_mol: Estimate,
    /// The same as a share of the reference's.
    pub light_of_reference: Estimate,
    /// The same as a share of what is asked for.
    pub light_of_service: f64,
    /// What the money has to be there for, year by year.
    pub budget: Budget,
    /// The comparison with the reference; absent for the reference itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub against: Option<Against>,
}

/// A mean and the middle 80 % of the trials.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Stretch {
    /// Mean.
    pub mean: f64,
    /// 10 % of trials lie below.
    pub p10: f64,
    /// 90 % of trials lie below.
    pub p90: f64,
}

/// Undiscounted cash of an option.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Budget {
    /// The start, then each year.
    pub years: Vec<Spread>,
    /// All of the horizon.
    pub total: Spread,
    /// 80 % point of the total less its mean.
    pub contingency: Estimate,
    /// Sum of the 80 % points of all years: not the 80 % point of the total.
    pub sum_of_p80: f64,
    /// The month after the start with the highest mean.
    pub worst_month: Month,
}

/// One month's amount.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Month {
    /// Day of booking, YYYY-MM-DD.
    pub date: String,
    /// Mean.
    pub mean: Estimate,
    /// 90 % point over trials.
    pub p90: Estimate,
}

/// An option against the reference. Measures are those of the mean flow at the median discount rate.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Against {
    /// Rows of savings by cause, as in [`CashOption::lines`].
    pub lines: Vec<CashLine>,
    /// The total with each year's amounts moved to the year's end at the discount rate; the start first.
    pub at_year_ends: Vec<f64>,
    /// Net present value = net savings: life-cycle cost of the reference less that of the option.
    pub npv: Spread,
    /// Share of trials in which it is above 0; exactly 0 counts half.
    pub chance: Estimate,
    /// Net present value of the mean flow.
    pub npv_of_mean_flow: f64,
    /// Net present value with the option brought to the reference's light at its own cost per mole.
    pub npv_equal_light: Spread,
    /// What is invested in addition, present value: outlay less what is left.
    pub investment: Estimate,
    /// What is saved in running costs, present value.
    pub savings: Estimate,
    /// Savings-to-investment ratio.
    pub sir: Measured,
    /// Adjusted internal rate of return per year.
    pub airr: Measured,
    /// Internal rates of return per year, effective.
    pub irr: Rates,
    /// Modified internal rate of return per year, financed and reinvested at the discount rate.
    pub mirr: Measured,
    /// Payback, undiscounted.
    pub simple_payback: Repaid,
    /// Payback, discounted.
    pub discounted_payback: Repaid,
    /// The most cash that the option ever needs beyond the reference, and when: 0 or below.
    pub deepest: Month,
    /// The same after tax and loan; absent without them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after_tax: Option<AfterTaxed>,
}

/// A number with the noise of the simulation, or why there is none.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Measured {
    /// The number.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub value: Option<f64>,
    /// Its standard error, by groups of trials; absent where too few groups have it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub se: Option<f64>,
    /// Why there is none, or what is to be known of it; may be empty.
    pub note: String,
}

/// Internal rates of return.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Rates {
    /// All of them, rising.
    pub rates: Vec<f64>,
    /// Standard error of the rate where there is exactly one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub se: Option<f64>,
    /// How often the flow changes its sign.
    pub sign_changes: usize,
    /// Whether the flow begins with money that comes in: a rate is then the price of that money.
    pub begins_with_income: bool,
    /// What is to be known of it; may be empty.
    pub note: String,
}

/// When a running sum has come back to 0 for good.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Repaid {
    /// Years from the start; absent for never.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub years: Option<f64>,
    /// Standard error by groups of trials.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub se: Option<f64>,
    /// Day of booking, YYYY-MM-DD; empty for never.
    pub date: String,
    /// Why there is none, or what is to be known of it; may be empty.
    pub note: String,
}

/// After tax and loan, of the mean flows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct AfterTaxed {
    /// Net present value, at the same discount rate.
    pub npv: f64,
    /// Internal rates of return per year, effective.
    pub irr: Rates,
}

/// What a row of pasted amounts says.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PastedReport {
    /// [`PASTED_FORMAT`].
    pub format: String,
    /// Version of the program.
    pub program: String,
    /// Amounts read.
    pub rows: usize,
    /// Length of the row, years.
    pub years: f64,
    /// Discount rate per year.
    pub discount_rate: f64,
    /// Rate per year at which what comes in is reinvested.
    pub reinvestment_rate: f64,
    /// Sum of all amounts.
    pub total: f64,
    /// Net present value.
    pub npv: f64,
    /// Internal rates of return per year, effective.
    pub irr: Rates,
    /// Modified internal rate of return per year.
    pub mirr: Measured,
    /// Payback in years, undiscounted.
    pub simple_payback: Repaid,
    /// Payback in years, discounted.
    pub discounted_payback: Repaid,
    /// Equal amount at each year's end that comes to the net present value.
    pub equivalent_annual: Measured,
}

/// Version of the shape of `cash-flows.json`.
pub const PASTED_FORMAT: &str = "lampledger-cash-flows/1";
