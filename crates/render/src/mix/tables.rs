//! The table of mixes: every digit, money in the currency.
//!
//! Belongs here: which rows it has. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::mix_report::MixReport;

use super::lowest_in;
use crate::table::{MIX, Rows, header};

/// Options that the table has room for.
const OPTIONS: usize = 4;

/// [`MIX`] as text: one row for each mix.
pub fn mix_csv(report: &MixReport) -> String {
    let mut rows = Rows::new(&header(MIX, &report.currency, &report.basis));
    for (index, mix) in report.mixes.iter().enumerate() {
        for k in 0..OPTIONS {
            rows.text(report.options.get(k).map_or("", String::as_str));
            rows.finite(mix.parts.get(k).map(|&part| f64::from(part) / f64::from(report.parts)));
        }
        rows.text(&report.contract);
        rows.text(&report.prices_of);
        rows.number(f64::from(report.rooms));
        rows.number(report.trials as f64);
        rows.finite(Some(mix.mean.value));
        rows.finite(Some(mix.mean.se));
        rows.finite(Some(mix.sd));
        for estimate in [mix.p90, mix.regret_mean, mix.regret_p95] {
            rows.finite(Some(estimate.value));
            rows.finite(Some(estimate.se));
        }
        rows.text(if mix.is_frontier { "yes" } else { "no" });
        rows.text(&lowest_in(report, index));
        rows.end();
    }
    rows.finish()
}
