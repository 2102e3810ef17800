//! The table of all starts: every digit, money in the currency.
//!
//! Belongs here: which rows it has. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::hours::HoursReport;

use crate::table::{Rows, STARTS, header};

/// [`STARTS`] as text: one row per pattern, start, sheet and option.
pub fn starts_csv(report: &HoursReport) -> String {
    let mut rows = Rows::new(&header(STARTS, &report.currency, &report.basis));
    for pattern in &report.patterns {
        let costs = pattern.levelized.iter().zip(&pattern.electricity);
        for (on, (levelized, electricity)) in pattern.on.iter().zip(costs) {
            for (sheet, (levelized, electricity)) in report.sheets.iter().zip(levelized.iter().zip(electricity)) {
                for (option, (levelized, electricity)) in report.options.iter().zip(levelized.iter().zip(electricity)) {
                    rows.text(&pattern.name);
                    rows.number(pattern.starts as f64);
                    for text in [on, sheet, option, &report.prices_of] {
                        rows.text(text);
                    }
                    rows.number(report.trials as f64);
                    for number in [*levelized, *electricity] {
                        // a start that no calendar can hold has no cost
                        if number.is_finite() { rows.number(number) } else { rows.absent() }
                    }
                    rows.end();
                }
            }
        }
    }
    rows.finish()
}
