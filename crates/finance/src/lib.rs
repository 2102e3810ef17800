//! Money over time: discounting, rows of amounts and their rates of return, loans, depreciation and tax, alternatives
//! of different first cost and different life.
//!
//! Floor 1. Pure functions over amounts: no lamp, no file, no luck, no currency. Symbols follow NIST Handbook 135
//! (1995) and ASTM E917: d is the discount rate per year, SPV the single and UPV the uniform present-value factor, n a
//! number of years. Nothing here knows whether money is real or nominal; whoever calls keeps rate and amounts of one
//! kind, and [`Flows::to_nominal`] and [`nominal_rate`] change both together.
//!
//! - [`discount_factors`], [`uniform_factor`], …: factors by the formulas of the handbook
//! - [`Flows`]: a row of amounts; net present value, [`InternalRates`], modified rate, payback, deepest need of cash
//! - [`LifeCycle`] and [`adjusted_rate`]: two alternatives after the handbook
//! - [`Loan`], [`Depreciation`], [`Investment`]: level payments, shares of a basis, a row after tax
//!
//! Amounts of [`Flows`] and [`Investment`] are signed: what comes in is above 0, what is paid below.

mod alternatives;
mod cumulative;
mod depreciation;
mod factors;
mod fault;
mod flows;
mod loan;
mod roots;
mod tax;

pub use alternatives::{LifeCycle, adjusted_rate, benefit_to_cost, equivalent_annual, savings_to_investment};
pub use cumulative::{Crossing, Payback, Point};
pub use depreciation::{Depreciation, by_year};
pub use factors::{
    Booking, discount_factors, escalated_factor, escalation_factors, levelized_cost, nominal_rate, present_value,
    real_rate, recovery_factor, single_factor, uniform_factor,
};
pub use fault::Fault;
pub use flows::Flows;
pub use loan::{Interest, Loan, Schedule};
pub use roots::{InternalRate, InternalRates};
pub use tax::{AfterTax, Investment, Rebate};
