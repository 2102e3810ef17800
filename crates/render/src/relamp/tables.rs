//! The tables of a search for relamping intervals: every digit, money in the currency.
//!
//! Belongs here: which rows they have. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::relamp_report::RelampReport;

use crate::table::{RELAMP_CURVE, RELAMP_MONTHS, Rows, header};

/// [`RELAMP_CURVE`] as text: one row per option, policy and interval.
pub fn relamp_curve_csv(report: &RelampReport) -> String {
    let mut rows = Rows::new(&header(RELAMP_CURVE, &report.currency, &report.basis));
    for option in &report.options {
        for policy in &option.policies {
            for (at, cost) in policy.levelized.iter().enumerate() {
                rows.text(&option.name);
                rows.text(&policy.name);
                number(&mut rows, policy.intervals_h.get(at).copied());
                rows.text(&report.contract);
                rows.text(&report.prices_of);
                rows.number(report.trials as f64);
                let mean = |list: &[f64]| list.get(at).copied();
                let means = [&policy.light, &policy.lamps, &policy.dark].map(|list| mean(list));
                for value in [Some(cost.value), Some(cost.se)].into_iter().chain(means) {
                    number(&mut rows, value);
                }
                rows.end();
            }
        }
    }
    rows.finish()
}

/// [`RELAMP_MONTHS`] as text: one row per option and month.
pub fn relamp_months_csv(report: &RelampReport) -> String {
    let mut rows = Rows::new(&header(RELAMP_MONTHS, &report.currency, &report.basis));
    for option in &report.options {
        for month in &option.months {
            rows.text(&option.name);
            rows.text(&month.month);
            for value in [month.planned, month.spot].into_iter().chain(month.buy) {
                number(&mut rows, Some(value));
            }
            rows.number(option.lead_months.into());
            for value in month.hold {
                number(&mut rows, Some(value));
            }
            rows.number(month.hold_by_table as f64);
            rows.end();
        }
    }
    rows.finish()
}

/// A number; what is none leaves its cell empty.
fn number(rows: &mut Rows, value: Option<f64>) {
    match value.filter(|value| value.is_finite()) {
        Some(value) => rows.number(value),
        None => rows.absent(),
    }
}
