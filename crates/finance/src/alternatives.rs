//! Two alternatives that do the same work, after NIST Handbook 135 and ASTM E917 and E964.
//!
//! Belongs here: measures made of present values. Does not belong here: how present values come about.

use crate::factors::recovery_factor;
use crate::fault::{Fault, demand, demand_amount, demand_finite, demand_positive, demand_rate};

/// Present values of what an alternative costs over the study period, split as the handbook splits them. All of one
/// kind of money, real or nominal, at one discount rate; costs above 0.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LifeCycle {
    /// First cost.
    pub first: f64,
    /// Capital replacements.
    pub replacement: f64,
    /// What is left at the end of the study period, less what it costs to dispose of; taken off.
    pub residual: f64,
    /// Energy, water, operation, maintenance and repair.
    pub operation: f64,
}

impl LifeCycle {
    /// Costs that count as investment: first cost and replacements, less what is left.
    pub fn investment(&self) -> f64 {
        self.first + self.replacement - self.residual
    }

    /// Life-cycle cost: investment and operation. Of alternatives that meet the same requirement the lowest is best.
    pub fn cost(&self) -> f64 {
        self.investment() + self.operation
    }

    /// Net savings against a base case: its life-cycle cost less this one's.
    ///
    /// ```
    /// use finance::LifeCycle;
    /// let base = LifeCycle { first: 100.0, operation: 300.0, ..LifeCycle::default() };
    /// let better = LifeCycle { first: 160.0, residual: 10.0, operation: 200.0, ..LifeCycle::default() };
    /// assert_eq!(better.net_savings(&base), 50.0);
    /// ```
    pub fn net_savings(&self, base: &Self) -> f64 {
        base.cost() - self.cost()
    }

    /// Savings-to-investment ratio against a base case; see [`savings_to_investment`].
    ///
    /// # Errors
    /// An alternative that needs no more investment than the base case: there is nothing to set savings against.
    pub fn savings_to_investment(&self, base: &Self) -> Result<f64, Fault> {
        savings_to_investment(base.operation - self.operation, self.investment() - base.investment())
    }
}

/// Savings-to-investment ratio SIR: present value of savings in operation over present value of additional investment
/// (first cost and replacements, less what is left). Above 1 is worth while; it ranks independent projects under a
/// budget and must not choose between alternatives that exclude each other.
///
/// Source: NIST Handbook 135 (1995), ASTM E964 (from memory).
///
/// # Errors
/// An additional investment that is not above 0, savings that are no number.
pub fn savings_to_investment(savings: f64, investment: f64) -> Result<f64, Fault> {
    demand_amount("the present value of savings", savings)?;
    demand_positive("the present value of additional investment", investment)?;
    demand_finite("the savings-to-investment ratio", savings / investment)
}

/// Benefit-to-cost ratio: present value of all benefits over present value of all costs, both above 0 when they are
/// there. It depends on what is called a benefit and what a cost avoided; SIR does not.
///
/// # Errors
/// Costs that are not above 0, benefits that are no number.
pub fn benefit_to_cost(benefits: f64, costs: f64) -> Result<f64, Fault> {
    demand_amount("the present value of benefits", benefits)?;
    demand_positive("the present value of costs", costs)?;
    demand_finite("the benefit-to-cost ratio", benefits / costs)
}

/// Adjusted internal rate of return AIRR = (1 + r)·SIR^(1/n) − 1, per year: the rate earned over n years when savings
/// are reinvested at r, which is the discount rate unless there is reason for another. −1 where nothing is saved.
///
/// Source: 10 CFR 436.22: the n-th root of the terminal value of savings over the present value of investment, less 1;
/// formula of NIST Handbook 135 (1995) from memory.
///
/// # Errors
/// A ratio below 0 (it has no root), a rate that is not above −1, years that are not above 0.
///
/// ```
/// // a ratio of 1 earns what the reinvestment earns, no more
/// assert!((finance::adjusted_rate(1.0, 0.03, 20.0)? - 0.03).abs() < 1e-15);
/// # Ok::<(), finance::Fault>(())
/// ```
pub fn adjusted_rate(ratio: f64, reinvestment: f64, years: f64) -> Result<f64, Fault> {
    demand(ratio >= 0.0 && ratio.is_finite(), "the savings-to-investment ratio", ratio, "0 or more, finite")?;
    demand_rate("the rate of reinvestment", reinvestment)?;
    demand_positive("the number of years", years)?;
    demand_finite("the adjusted rate", (reinvestment.ln_1p() + ratio.ln() / years).exp_m1())
}

/// Equivalent annual cost: the equal amount at the end of each of n years that is worth `present` now, present·UCR.
/// `rate` is per year, effective. Alternatives of different life are compared by it when each is replaced by its like.
///
/// Source: NIST Handbook 135 (1995), there called annualized; formula from memory.
///
/// # Errors
/// A present value that is no number, a rate that is not above −1, years that are not above 0.
///
/// ```
/// let yearly = finance::equivalent_annual(1000.0, 0.08, 5.0)?;
/// assert!((yearly * finance::uniform_factor(0.08, 5.0) - 1000.0).abs() < 1e-9);
/// # Ok::<(), finance::Fault>(())
/// ```
pub fn equivalent_annual(present: f64, rate: f64, years: f64) -> Result<f64, Fault> {
    demand(present.is_finite(), "the present value", present, "finite")?;
    demand_rate("the discount rate", rate)?;
    demand_positive("the number of years", years)?;
    demand_finite("the equivalent annual cost", present * recovery_factor(rate, years))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_adjusted_rate_carries_savings_to_the_end() {
        // 50 saved at the ends of two years on 80 more: at 4 % they come to 50·1.04 + 50 = 102 at the end
        let saved = 50.0 / 1.04 + 50.0 / 1.0816;
        let ratio = savings_to_investment(saved, 80.0).unwrap();
        let rate = adjusted_rate(ratio, 0.04, 2.0).unwrap();
        assert!((80.0 * (1.0 + rate) * (1.0 + rate) - 102.0).abs() < 1e-11);
        assert_eq!(adjusted_rate(0.0, 0.04, 2.0).unwrap(), -1.0);
    }

    #[test]
    fn ratios_without_something_to_set_against_are_refused() {
        for investment in [0.0, -5.0, f64::NAN] {
            assert!(savings_to_investment(10.0, investment).is_err());
            assert!(benefit_to_cost(10.0, investment).is_err());
        }
        assert!(savings_to_investment(f64::NAN, 1.0).is_err() && benefit_to_cost(f64::INFINITY, 1.0).is_err());
        assert_eq!(benefit_to_cost(30.0, 20.0).unwrap(), 1.5);
        for (ratio, rate, years) in [(-0.1, 0.03, 5.0), (1.0, -1.0, 5.0), (1.0, 0.03, 0.0), (f64::NAN, 0.03, 5.0)] {
            assert!(adjusted_rate(ratio, rate, years).is_err());
        }
        assert!(equivalent_annual(f64::NAN, 0.1, 5.0).is_err() && equivalent_annual(1.0, -1.0, 5.0).is_err());
        let cheaper = LifeCycle { first: 5.0, ..LifeCycle::default() };
        let base = LifeCycle { first: 6.0, ..LifeCycle::default() };
        assert!(cheaper.savings_to_investment(&base).is_err());
    }
}
