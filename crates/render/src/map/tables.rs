//! The table of a map: every digit, money in the currency.
//!
//! Belongs here: which rows it has. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::map_report::{MapReport, Measure};

use crate::table::{MAP, Rows, header};

/// [`MAP`] as text: one row per cell, column by column from the left, each from below.
pub fn map_csv(report: &MapReport) -> String {
    let mut rows = Rows::new(&header(MAP, &report.currency, &report.basis));
    let name = |index: usize| report.options.get(index).map_or("", String::as_str);
    for (column, x) in report.columns.iter().zip(&report.x.values) {
        for (cell, y) in column.iter().zip(&report.y.values) {
            rows.text(&report.contract);
            rows.text(&report.prices_of);
            rows.number(report.trials as f64);
            rows.text(match report.measure {
                Measure::Mole => "mole",
                Measure::Room => "room",
            });
            for (axis, value) in [(&report.x, x), (&report.y, y)] {
                rows.text(&axis.name);
                rows.text(&axis.unit);
                rows.finite(Some(*value));
            }
            let single = cell.winner == cell.second;
            rows.text(name(cell.winner));
            rows.text(if single { "" } else { name(cell.second) });
            rows.finite(Some(cell.lead).filter(|_| !single));
            rows.finite(Some(cell.lead_se).filter(|_| !single));
            rows.finite(Some(cell.chance));
            rows.end();
        }
    }
    rows.finish()
}
