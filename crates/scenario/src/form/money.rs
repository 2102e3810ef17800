//! Tax and a loan, as written: what an accountant adds to the money of a room.
//!
//! Belongs here: shapes and their documentation. Does not belong here: any judgement of the values.

use schemars::JsonSchema;
use serde::Deserialize;

use crate::figure::Figure;

/// Tax on what the room's owner earns. Only `cash` reads it: the cost of a mole stays before tax.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tax {
    /// Share of income that is paid as tax, state and local tax included, unit "1" or "%".
    pub rate: Figure,
    /// How the outlay at the start is spread over years as a cost.
    pub depreciation: Depreciation,
    /// What tax makes of a rebate at the start; "lowers_basis" when absent.
    #[serde(default)]
    pub rebate: Option<TaxedRebate>,
}

/// How an outlay is spread over years as a cost. Exactly one of `years`, `half_year` and `shares` is given.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Depreciation {
    /// Equal shares over so many years.
    #[serde(default)]
    pub years: Option<u32>,
    /// Equal shares over so many years, from the middle of the first year on: half a share in the first and in one year more.
    #[serde(default)]
    pub half_year: Option<u32>,
    /// The share of each year, the first year first, as a tax table states them; they add up to 1.
    #[serde(default)]
    pub shares: Option<Vec<f64>>,
}

/// What tax makes of a rebate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum TaxedRebate {
    /// Less is depreciated.
    LowersBasis,
    /// It is income of the first year; all of the outlay is depreciated.
    Income,
}

/// A loan for the outlay at the start, paid off in equal monthly amounts. Only `cash` reads it: the cost of a mole stays
/// without a loan.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Loan {
    /// Share of the outlay at the start, rebates taken off, that is borrowed, unit "1" or "%".
    pub share: Figure,
    /// Interest per year in money of the day, whatever the basis, unit "1/yr" or "%/yr".
    pub rate: Figure,
    /// Whole years until it is paid off; what is still owed at the horizon is paid back then.
    pub years: u32,
    /// What the rate means; "nominal_monthly" when absent.
    #[serde(default)]
    pub interest: Option<LoanInterest>,
}

/// What a rate of interest means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum LoanInterest {
    /// A twelfth of it is due each month.
    NominalMonthly,
    /// It is what the monthly interest comes to after a year.
    Effective,
}
