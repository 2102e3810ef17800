//! The tables of bills: every digit, money in the currency, one row for each line and each demand.
//!
//! Belongs here: which rows they have. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::bill::{BillReport, PeakLine};

use super::unit;
use crate::table::{LINES, PEAKS, Rows, header};

/// Every line of every bill; those of a bill add up to it.
pub fn lines_csv(report: &BillReport) -> String {
    let mut rows = Rows::new(&header(LINES, &report.currency, ""));
    for sheet in &report.sheets {
        for bill in &sheet.bills {
            for line in &bill.lines {
                rows.text(&sheet.contract);
                rows.number(sheet.open_questions.len() as f64);
                for text in [&report.prices_of, &bill.first, &bill.last, &line.part, &line.name] {
                    rows.text(text);
                }
                rows.text(unit(report, &line.unit));
                let amount = line.amount;
                let numbers = [line.quantity_with, line.quantity_without, line.price];
                for number in numbers.into_iter().chain([amount.with, amount.without, amount.difference]) {
                    rows.number(number);
                }
                rows.number(line.lifted_kw);
                rows.end();
            }
        }
    }
    rows.finish()
}

/// Every demand of every bill: those of its demand charges, and the highest of any time.
pub fn peaks_csv(report: &BillReport) -> String {
    let mut rows = Rows::new(&header(PEAKS, &report.currency, ""));
    for sheet in &report.sheets {
        for bill in &sheet.bills {
            for PeakLine { name, kw_with, at_with, power_factor_with, kw_without, at_without } in &bill.peaks {
                for text in [&sheet.contract, &bill.first, &bill.last, name] {
                    rows.text(text);
                }
                rows.number(*kw_with);
                rows.text(at_with.as_deref().unwrap_or_default());
                rows.number(*power_factor_with);
                rows.number(*kw_without);
                rows.text(at_without.as_deref().unwrap_or_default());
                rows.end();
            }
        }
    }
    rows.finish()
}
