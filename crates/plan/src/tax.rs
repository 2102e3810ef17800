//! Reading tax and a loan: what only cash flows know.

use finance::Depreciation;
use scenario::form;
use units::Dimension;

use crate::inputs::InputId;
use crate::reader::{Field, Reader, Spot};

/// Longest loan, years.
const LONGEST_LOAN: u32 = 60;

/// Tax on what the owner earns.
#[derive(Debug, Clone, PartialEq)]
pub struct TaxPlan {
    /// Share of income that is paid as tax.
    pub rate: InputId,
    /// How the outlay is spread over years as a cost.
    pub depreciation: Depreciation,
    /// Whether a rebate is income; it lowers the basis of depreciation otherwise.
    pub rebate_is_income: bool,
}

/// A loan for the outlay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoanPlan {
    /// Share of the outlay, rebates taken off, that is borrowed.
    pub share: InputId,
    /// Interest per year, in money of the day.
    pub rate: InputId,
    /// Years until it is paid off.
    pub years: u32,
    /// Whether the rate is effective; a twelfth of it is due each month otherwise.
    pub is_effective: bool,
}

pub(crate) fn tax(tax: &form::Tax, at: &Spot, reader: &mut Reader) -> TaxPlan {
    TaxPlan {
        rate: reader.figure(&tax.rate, &at.member("rate"), Field::new(Dimension::Share, 0.0, 0.95)),
        depreciation: depreciation(&tax.depreciation, &at.member("depreciation"), reader),
        rebate_is_income: tax.rebate == Some(form::TaxedRebate::Income),
    }
}

pub(crate) fn loan(loan: &form::Loan, at: &Spot, reader: &mut Reader) -> LoanPlan {
    if !(1..=LONGEST_LOAN).contains(&loan.years) {
        let allowed = format!("1 to {LONGEST_LOAN} whole years");
        reader.fault(&at.member("years"), format!("{} years", loan.years), allowed);
    }
    LoanPlan {
        share: reader.figure(&loan.share, &at.member("share"), Field::new(Dimension::Share, 0.0, 1.0)),
        rate: reader.figure(&loan.rate, &at.member("rate"), Field::new(Dimension::PerYear, 0.0, 1.0)),
        years: loan.years.clamp(1, LONGEST_LOAN),
        is_effective: loan.interest == Some(form::LoanInterest::Effective),
    }
}

fn depreciation(written: &form::Depreciation, at: &Spot, reader: &mut Reader) -> Depreciation {
    let form::Depreciation { years, half_year, shares } = written;
    let given = [("years", years.is_some()), ("half_year", half_year.is_some()), ("shares", shares.is_some())];
    reader.exactly_one(at, &given);
    let count = |years: u32| usize::try_from(years).unwrap_or(usize::MAX);
    let (spot, made) = match (years, half_year, shares) {
        (Some(years), ..) => (at.member("years"), Depreciation::straight_line(count(*years))),
        (_, Some(years), _) => (at.member("half_year"), Depreciation::straight_line_half_year(count(*years))),
        (.., Some(shares)) => (at.member("shares"), Depreciation::table(shares)),
        (None, None, None) => (at.clone(), Depreciation::straight_line(1)),
    };
    made.unwrap_or_else(|fault| {
        reader.fault(&spot, format!("{}: {}", fault.what, fault.found), fault.allowed);
        whole()
    })
}

/// All of it in the first year: stands in for what has a fault.
fn whole() -> Depreciation {
    Depreciation::table(&[1.0]).unwrap_or_else(|_| unreachable!("one whole share is a table"))
}
