//! A row after tax on income.
//!
//! Belongs here: what tax does to the amounts of one investment. Does not belong here: what any country's law says;
//! rates, shares and the treatment of a rebate come from the accountant.

use crate::depreciation::Depreciation;
use crate::factors::Booking;
use crate::fault::{Fault, demand, demand_amount, demand_cost};
use crate::flows::Flows;

/// Most years of a row.
const LONGEST: usize = 200;

/// Money from a utility or a state towards an investment, received at the start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rebate {
    /// It lowers the basis of depreciation and is no income.
    LowersBasis(f64),
    /// It is income, taxed with the first year's; the basis stays whole.
    Income(f64),
}

/// One investment and what tax looks at, year by year, in nominal money (tax law knows no other). A cost below 0 in
/// `operation` is expensed in its year. Losses are used: the owner has other income of the same years to set against
/// them.
#[derive(Debug, Clone, Copy)]
pub struct Investment<'a> {
    /// Price paid at the start, 0 or more: it is capitalised.
    pub price: f64,
    /// Rebate, if any.
    pub rebate: Option<Rebate>,
    /// How the basis is spread over years.
    pub depreciation: &'a Depreciation,
    /// Taxable amounts of each year before tax, booked at its end: savings above 0, expensed costs below. Its length is
    /// that of the study.
    pub operation: &'a [f64],
    /// What is borrowed at the start, 0 or more.
    pub borrowed: f64,
    /// Interest paid in each year, 0 or more: deductible. May be empty; may not go beyond the study.
    pub interest: &'a [f64],
    /// Principal repaid in each year, 0 or more: not deductible. May be empty; may not go beyond the study.
    pub principal: &'a [f64],
    /// What a sale at the end of the last year brings; what is not yet depreciated is taken off it before tax. None if
    /// nothing is sold: what is not yet depreciated then stays on the books.
    pub sale: Option<f64>,
    /// Tax rate on income, a share from 0 to 1.
    pub tax: f64,
}

/// An investment after tax, line by line; signs as in a cash flow. The lines of a year add up to its net amount.
#[derive(Debug, Clone, PartialEq)]
pub struct AfterTax {
    /// Price, rebate and loan at the start.
    pub start: f64,
    /// Basis of depreciation.
    pub basis: f64,
    /// Operation after tax: amount·(1 − t).
    pub operation: Vec<f64>,
    /// Tax saved by depreciation: t·depreciation.
    pub shield: Vec<f64>,
    /// Tax on a rebate that is income, in the first year.
    pub rebate: Vec<f64>,
    /// Loan after tax: −interest·(1 − t) − principal.
    pub loan: Vec<f64>,
    /// Sale after tax, in the last year: proceeds − t·(proceeds − what is not yet depreciated).
    pub sale: Vec<f64>,
    /// Basis that is neither depreciated nor written off at the end.
    pub left: f64,
}

impl AfterTax {
    /// Net amount of each year.
    pub fn net(&self) -> Vec<f64> {
        let lines = [&self.operation, &self.shield, &self.rebate, &self.loan, &self.sale];
        (0..self.operation.len()).map(|year| lines.iter().map(|line| line[year]).sum()).collect()
    }

    /// The net amounts as a row of year ends.
    ///
    /// # Errors
    /// Amounts that add up to more than 1e100.
    pub fn flows(&self) -> Result<Flows, Fault> {
        Flows::of_periods(self.start, &self.net(), Booking::End, 1.0)
    }
}

impl Investment<'_> {
    /// The lines after tax.
    ///
    /// # Errors
    /// A tax rate that is not from 0 to 1, no year or more than 200, an amount that is no number or has the wrong sign,
    /// a rebate above the price that would lower the basis below 0, loan payments beyond the study.
    ///
    /// ```
    /// use finance::{Depreciation, Investment};
    /// let depreciation = Depreciation::straight_line(2)?;
    /// let plain = Investment {
    ///     price: 100.0, rebate: None, depreciation: &depreciation, operation: &[80.0, 80.0],
    ///     borrowed: 0.0, interest: &[], principal: &[], sale: None, tax: 0.25,
    /// };
    /// // 80·0.75 saved and 50·0.25 of tax shielded, each year
    /// assert_eq!(plain.after_tax()?.net(), [72.5, 72.5]);
    /// # Ok::<(), finance::Fault>(())
    /// ```
    pub fn after_tax(&self) -> Result<AfterTax, Fault> {
        self.check()?;
        let (keep, years) = (1.0 - self.tax, self.operation.len());
        let (received, lowers, taxed) = match self.rebate {
            None => (0.0, 0.0, 0.0),
            Some(Rebate::LowersBasis(amount)) => (amount, amount, 0.0),
            Some(Rebate::Income(amount)) => (amount, 0.0, amount),
        };
        let basis = self.price - lowers;
        demand_cost("the basis of depreciation", basis)?;
        let of = |line: &[f64], year: usize| line.get(year).copied().unwrap_or(0.0);
        let lines = |line: &dyn Fn(usize) -> f64| (0..years).map(line).collect::<Vec<f64>>();
        let depreciated = self.depreciation.amounts(basis);
        // shares add up to 1 only within rounding: what has run to its end leaves nothing
        let still: f64 = depreciated.iter().skip(years).sum();
        let sale = self.sale.map_or(0.0, |proceeds| proceeds - self.tax * (proceeds - still));
        Ok(AfterTax {
            start: received + self.borrowed - self.price,
            basis,
            operation: lines(&|year| self.operation[year] * keep),
            shield: lines(&|year| of(&depreciated, year) * self.tax),
            rebate: lines(&|year| if year == 0 { -taxed * self.tax } else { 0.0 }),
            loan: lines(&|year| -of(self.interest, year) * keep - of(self.principal, year)),
            sale: lines(&|year| if year + 1 == years { sale } else { 0.0 }),
            left: if self.sale.is_some() { 0.0 } else { still },
        })
    }

    fn check(&self) -> Result<(), Fault> {
        let years = self.operation.len();
        demand((1..=LONGEST).contains(&years), "the number of years", years as f64, "from 1 to 200")?;
        demand((0.0..=1.0).contains(&self.tax), "the tax rate", self.tax, "a share from 0 to 1")?;
        demand_cost("the price", self.price)?;
        demand_cost("the loan", self.borrowed)?;
        if let Some(Rebate::LowersBasis(amount) | Rebate::Income(amount)) = self.rebate {
            demand_cost("the rebate", amount)?;
        }
        demand_amount("the proceeds of a sale", self.sale.unwrap_or(0.0))?;
        for &amount in self.operation {
            demand_amount("a yearly amount", amount)?;
        }
        for line in [self.interest, self.principal] {
            let within = "not more than the years of the study";
            demand(line.len() <= years, "the number of years with loan payments", line.len() as f64, within)?;
            for &amount in line {
                demand_cost("a loan payment", amount)?;
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Fixtures for 9 000, spread 50, 30 and 20 %; 4 000, 3 500 and, with lamps expensed, 1 200 saved; half borrowed at
    /// 10 % and repaid in three years; taxed at 30 %.
    fn fixtures<'a>(depreciation: &'a Depreciation, rebate: Option<Rebate>, sale: Option<f64>) -> Investment<'a> {
        Investment {
            price: 9_000.0,
            rebate,
            depreciation,
            operation: &[4_000.0, 3_500.0, 1_200.0],
            borrowed: 4_500.0,
            interest: &[450.0, 300.0, 150.0],
            principal: &[1_500.0, 1_500.0, 1_500.0],
            sale,
            tax: 0.3,
        }
    }

    fn table() -> Depreciation {
        Depreciation::table(&[0.5, 0.3, 0.2]).unwrap()
    }

    #[track_caller]
    fn assert_net(of: &Investment<'_>, start: f64, net: [f64; 3]) {
        let found = of.after_tax().unwrap();
        assert_eq!(found.start, start);
        for (found, expected) in found.net().iter().zip(net) {
            assert!((found - expected).abs() < 1e-9, "{found} against {expected}");
        }
    }

    #[test]
    fn a_tax_return_worked_by_hand_leaves_the_same_cash() {
        // taxable: 4000 − 4500 − 450 = −950, 3500 − 2700 − 300 = 500, 1200 − 1800 − 150 = −750; tax −285, 150, −225;
        // cash: 4000 − 450 − 1500 + 285, 3500 − 300 − 1500 − 150, 1200 − 150 − 1500 + 225
        assert_net(&fixtures(&table(), None, None), -4_500.0, [2_335.0, 1_550.0, -225.0]);
        // sold for 600 with nothing left on the books: 600 more income, 180 more tax
        assert_net(&fixtures(&table(), None, Some(600.0)), -4_500.0, [2_335.0, 1_550.0, 195.0]);
        // disposal that costs 100 is deductible
        assert_net(&fixtures(&table(), None, Some(-100.0)), -4_500.0, [2_335.0, 1_550.0, -295.0]);
    }

    #[test]
    fn a_rebate_is_taxed_at_once_or_by_depreciating_less() {
        // income: 1000 more is taxable in the first year, 300 of tax
        assert_net(&fixtures(&table(), Some(Rebate::Income(1_000.0)), None), -3_500.0, [2_035.0, 1_550.0, -225.0]);
        // lower basis: 500, 300 and 200 less depreciated, 150, 90 and 60 more tax; 300 in all, but later
        assert_net(&fixtures(&table(), Some(Rebate::LowersBasis(1_000.0)), None), -3_500.0, [2_185.0, 1_460.0, -285.0]);
    }

    #[test]
    fn what_is_not_yet_depreciated_is_written_off_by_a_sale_only() {
        // half a year more than the study: shares 1/6, 1/3, 1/3 and 1/6, so 1500 are left
        let longer = Depreciation::straight_line_half_year(3).unwrap();
        let kept = fixtures(&longer, None, None).after_tax().unwrap();
        assert!((kept.left - 1_500.0).abs() < 1e-9);
        let sold = fixtures(&longer, None, Some(0.0)).after_tax().unwrap();
        assert_eq!(sold.left, 0.0);
        // a loss of 1500 saves 450 of tax
        assert!((sold.net()[2] - kept.net()[2] - 450.0).abs() < 1e-9);
        let taxed: f64 = sold.shield.iter().chain(&sold.sale).sum();
        assert!((taxed - 0.3 * 9_000.0).abs() < 1e-9, "the whole price is deducted in the end");
    }

    #[test]
    fn without_tax_there_is_only_cash_and_lines_add_up() {
        let spread = table();
        let untaxed = Investment { tax: 0.0, ..fixtures(&spread, Some(Rebate::Income(500.0)), Some(80.0)) };
        assert_net(&untaxed, -4_000.0, [2_050.0, 1_700.0, -370.0]);
        let row = untaxed.after_tax().unwrap().flows().unwrap();
        assert_eq!(row.amounts().collect::<Vec<_>>(), [-4_000.0, 2_050.0, 1_700.0, -370.0]);
    }

    #[test]
    fn investments_that_cannot_be_are_refused() {
        let spread = table();
        let plain = || fixtures(&spread, None, None);
        for tax in [-0.1, 1.1, f64::NAN] {
            assert!(Investment { tax, ..plain() }.after_tax().is_err());
        }
        for cost in [-1.0, f64::NAN, f64::INFINITY] {
            assert!(Investment { price: cost, ..plain() }.after_tax().is_err());
            assert!(Investment { borrowed: cost, ..plain() }.after_tax().is_err());
            assert!(Investment { interest: &[cost], ..plain() }.after_tax().is_err());
            assert!(Investment { principal: &[cost], ..plain() }.after_tax().is_err());
            assert!(Investment { rebate: Some(Rebate::Income(cost)), ..plain() }.after_tax().is_err());
        }
        assert!(Investment { rebate: Some(Rebate::LowersBasis(9_001.0)), ..plain() }.after_tax().is_err());
        assert!(Investment { operation: &[], ..plain() }.after_tax().is_err());
        assert!(Investment { operation: &[f64::NAN; 3], ..plain() }.after_tax().is_err());
        assert!(Investment { interest: &[1.0; 4], ..plain() }.after_tax().is_err());
        assert!(Investment { sale: Some(f64::NAN), ..plain() }.after_tax().is_err());
    }
}
