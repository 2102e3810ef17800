//! Loans of equal monthly payments.

use crate::factors::{single_factor, uniform_factor};
use crate::fault::{Fault, demand, demand_cost};

/// Longest loan, months.
const LONGEST: usize = 1_200;

/// A yearly rate of interest, and what is meant by it. As a share: 0.06 is 6 %.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Interest {
    /// Nominal, compounded monthly: a twelfth of it is due each month, as contracts in North America mostly say.
    Nominal(f64),
    /// Effective: what it comes to after a year; (1 + r)^(1/12) − 1 is due each month.
    Effective(f64),
}

impl Interest {
    /// Interest due each month, as a share of what is owed.
    pub fn monthly(self) -> f64 {
        match self {
            Self::Nominal(rate) => rate / 12.0,
            Self::Effective(rate) => (rate.ln_1p() / 12.0).exp_m1(),
        }
    }

    /// The effective yearly rate.
    ///
    /// ```
    /// // 12 % compounded monthly is 12.68 % after a year
    /// assert!((finance::Interest::Nominal(0.12).effective() - (1.01f64.powi(12) - 1.0)).abs() < 1e-14);
    /// ```
    pub fn effective(self) -> f64 {
        match self {
            Self::Nominal(rate) => (12.0 * (rate / 12.0).ln_1p()).exp_m1(),
            Self::Effective(rate) => rate,
        }
    }
}

/// A loan paid off in equal amounts at the ends of months. Contracts are in nominal money, so amounts are too.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loan {
    /// What is borrowed.
    pub principal: f64,
    /// The rate of interest.
    pub interest: Interest,
    /// Number of payments.
    pub months: usize,
}

/// Month by month what is paid on a loan, all amounts 0 or more.
#[derive(Debug, Clone, PartialEq)]
pub struct Schedule {
    /// What is due at the end of each month.
    pub payment: f64,
    /// Interest in it.
    pub interest: Vec<f64>,
    /// Principal in it; all of them add up to what was borrowed, within rounding.
    pub principal: Vec<f64>,
    /// What is still owed after it; 0 at the end.
    pub owed: Vec<f64>,
}

impl Loan {
    /// The payments: principal/UPV at the monthly rate i. With n − k still to come after it, payment k holds
    /// payment·(1 + i)^−(n − k + 1) of principal; the rest is the interest on what was owed before.
    ///
    /// # Errors
    /// A principal below 0, a rate below 0 or above 10 (1 000 % a year), no month or more than 1 200.
    ///
    /// ```
    /// use finance::{Interest, Loan};
    /// let loan = Loan { principal: 1200.0, interest: Interest::Nominal(0.0), months: 12 };
    /// let schedule = loan.schedule()?;
    /// assert_eq!(schedule.payment, 100.0);
    /// assert_eq!(schedule.owed[11], 0.0);
    /// # Ok::<(), finance::Fault>(())
    /// ```
    pub fn schedule(&self) -> Result<Schedule, Fault> {
        let (Interest::Nominal(rate) | Interest::Effective(rate)) = self.interest;
        demand_cost("the principal", self.principal)?;
        demand((0.0..=10.0).contains(&rate), "the rate of interest", rate, "from 0 to 10 (0 to 1 000 % a year)")?;
        demand((1..=LONGEST).contains(&self.months), "the number of months", self.months as f64, "from 1 to 1 200")?;
        let monthly = self.interest.monthly();
        let payment = self.principal / uniform_factor(monthly, self.months as f64);
        // what is owed is the worth of the payments still to come; subtracting month by month would let rounding grow
        // with interest
        let still = |month: usize| (self.months - month) as f64;
        let months = || 1..=self.months;
        let principal: Vec<f64> = months().map(|month| payment * single_factor(monthly, still(month) + 1.0)).collect();
        let interest = principal.iter().map(|repaid| payment - repaid).collect();
        let owed = months().map(|month| payment * uniform_factor(monthly, still(month))).collect();
        Ok(Schedule { payment, interest, principal, owed })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Booking, Flows};

    #[test]
    fn what_is_paid_is_worth_what_was_borrowed_and_adds_up() {
        for interest in
            [Interest::Nominal(0.0), Interest::Nominal(0.055), Interest::Effective(0.055), Interest::Nominal(3.0)]
        {
            for months in [1, 7, 360, 1_200] {
                let schedule = Loan { principal: 25_000.0, interest, months }.schedule().unwrap();
                let total: f64 = schedule.principal.iter().sum();
                assert!((total / 25_000.0 - 1.0).abs() < 1e-10, "{interest:?}, {months}: {total}");
                assert_eq!(schedule.owed.last(), Some(&0.0));
                for (interest, principal) in schedule.interest.iter().zip(&schedule.principal) {
                    assert!((interest + principal - schedule.payment).abs() < 1e-6, "{interest} and {principal}");
                    assert!(*interest >= 0.0 && *principal >= 0.0);
                }
                let before = std::iter::once(&25_000.0).chain(&schedule.owed);
                for (interest_due, owed) in schedule.interest.iter().zip(before) {
                    assert!((interest_due - owed * interest.monthly()).abs() < 1e-8, "{interest_due} on {owed}");
                }
                // to the lender it is a row that earns the effective rate
                let paid: Vec<f64> = schedule.interest.iter().zip(&schedule.principal).map(|(a, b)| a + b).collect();
                let row = Flows::of_periods(-25_000.0, &paid, Booking::End, 12.0).unwrap();
                let earned = row.internal_rates().unwrap().only().unwrap();
                assert!(
                    (earned - interest.effective()).abs() < 1e-9 * (1.0 + earned),
                    "{interest:?}, {months}: {earned}"
                );
            }
        }
    }

    #[test]
    fn nominal_and_effective_differ() {
        let monthly = [Interest::Nominal(0.12), Interest::Effective(0.12)].map(Interest::monthly);
        assert_eq!(monthly[0], 0.01);
        assert!(((1.0 + monthly[1]).powi(12) - 1.12).abs() < 1e-13);
    }

    #[test]
    fn loans_that_cannot_be_are_refused() {
        let of = |principal, interest, months| Loan { principal, interest, months }.schedule();
        for rate in [-0.01, 10.1, f64::NAN] {
            assert!(of(1.0, Interest::Nominal(rate), 12).is_err() && of(1.0, Interest::Effective(rate), 12).is_err());
        }
        assert!(of(-1.0, Interest::Nominal(0.1), 12).is_err() && of(f64::NAN, Interest::Nominal(0.1), 12).is_err());
        assert!(of(1.0, Interest::Nominal(0.1), 0).is_err() && of(1.0, Interest::Nominal(0.1), 1_201).is_err());
    }
}
