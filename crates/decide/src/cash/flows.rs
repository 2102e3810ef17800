//! Mean flows by line and month, and the rows made of them.
//!
//! Belongs here: sums over trials, months and years. Does not belong here: what is said of them.

use engine::{CAUSES, Cause};

use super::Note;
use crate::cash_report::CashLine;

/// Lines of a flow: the causes, and what fixtures are worth at the horizon.
pub(crate) const LINES: usize = CAUSES + 1;
/// Position of the worth.
pub(crate) const WORTH: usize = CAUSES;

/// Mean over trials, by line, the start and each month.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct MeanFlow {
    pub lines: [Vec<f64>; LINES],
    /// Tax and loan, where there are any.
    pub taxed: Option<(Vec<f64>, Vec<f64>)>,
}

impl MeanFlow {
    /// Of the trials that are wanted, of which there must be one.
    pub fn new(notes: &[&Note], wanted: impl Fn(usize) -> bool) -> Self {
        let months = notes.first().map_or(0, |note| note.months.len());
        let mut lines: [Vec<f64>; LINES] = std::array::from_fn(|_| vec![0.0; months]);
        let mut count = 0.0;
        for (_, note) in notes.iter().enumerate().filter(|(trial, _)| wanted(*trial)) {
            count += 1.0;
            for (month, row) in note.months.iter().enumerate() {
                lines.iter_mut().zip(row).for_each(|(line, amount)| line[month] += amount);
            }
        }
        lines.iter_mut().flatten().for_each(|sum| *sum /= count);
        Self { lines, taxed: None }
    }

    /// This flow less another, line by line.
    pub fn less(&self, other: &Self) -> Self {
        let lines = std::array::from_fn(|line| minus(&self.lines[line], &other.lines[line]));
        let taxed = self.taxed.as_ref().zip(other.taxed.as_ref());
        Self { lines, taxed: taxed.map(|(a, b)| (minus(&a.0, &b.0), minus(&a.1, &b.1))) }
    }

    /// Sum of all lines, before tax and loan.
    pub fn total(&self) -> Vec<f64> {
        let months = self.lines[0].len();
        (0..months).map(|month| self.lines.iter().map(|line| line[month]).sum()).collect()
    }

    /// The total with tax and loan.
    pub fn after_tax(&self) -> Vec<f64> {
        let total = self.total();
        match &self.taxed {
            None => total,
            Some((tax, loan)) => {
                total.iter().zip(tax).zip(loan).map(|((total, tax), loan)| total + tax + loan).collect()
            }
        }
    }

    /// Rows of the lines that are shown, the total below them, and tax and loan below that.
    pub fn lines(&self, shown: &[usize], factors: &[f64]) -> Vec<CashLine> {
        let mut rows: Vec<CashLine> = shown.iter().map(|&line| row(name(line), &self.lines[line], factors)).collect();
        rows.push(row("total", &self.total(), factors));
        if let Some((tax, loan)) = &self.taxed {
            rows.extend([row("tax", tax, factors), row("loan", loan, factors)]);
            rows.push(row("after tax", &self.after_tax(), factors));
        }
        rows
    }
}

fn minus(a: &[f64], b: &[f64]) -> Vec<f64> {
    // 0 less 0 is 0 without a sign
    a.iter().zip(b).map(|(a, b)| if a == b { 0.0 } else { a - b }).collect()
}

pub(crate) fn name(line: usize) -> &'static str {
    Cause::ALL.get(line).map_or("worth at the end", |cause| cause.label())
}

fn row(name: &str, months: &[f64], factors: &[f64]) -> CashLine {
    CashLine {
        name: name.into(),
        months: months.to_vec(),
        years: by_year(months),
        total: months.iter().sum(),
        present: months.iter().zip(factors).map(|(amount, factor)| amount * factor).sum(),
    }
}

/// The start, then the sum of each twelve months.
pub(crate) fn by_year(months: &[f64]) -> Vec<f64> {
    let Some((start, months)) = months.split_first() else { return vec![] };
    std::iter::once(*start).chain(months.chunks(12).map(|year| year.iter().sum())).collect()
}

/// Positions of the lines in which some option has an amount.
pub(super) fn shown(flows: &[MeanFlow]) -> Vec<usize> {
    let is_used = |line: &usize| flows.iter().any(|flow| flow.lines[*line].iter().any(|amount| *amount != 0.0));
    (0..LINES).filter(is_used).collect()
}

/// The start, then for each year the amount at its end that is worth as much as its months at a discount rate.
pub(super) fn at_year_ends(months: &[f64], moments: &[f64], rate: f64) -> Vec<f64> {
    let log = rate.ln_1p();
    let carried: Vec<f64> = months
        .iter()
        .zip(moments)
        .enumerate()
        .map(
            |(k, (amount, moment))| {
                if k == 0 { *amount } else { amount * ((k.div_ceil(12) as f64 - moment) * log).exp() }
            },
        )
        .collect();
    by_year(&carried)
}
