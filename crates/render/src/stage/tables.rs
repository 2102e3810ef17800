//! The table of stages: every digit, money in the currency.
//!
//! Belongs here: which rows it has. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::result::Estimate;
use decide::stage_report::{Advice, StageKind, StageReport};

use crate::table::{Rows, STAGE, header};

/// Pairs of value and standard error, in the order of the columns: cost, above the lowest, worth, extra, net, saving.
type Money = [Option<Estimate>; 6];

/// [`STAGE`] as text: one row for each way of doing it, each number of watched lamps and each number of dead ones.
pub fn stage_csv(report: &StageReport) -> String {
    let mut rows = Rows::new(&header(STAGE, &report.currency, &report.basis));
    for policy in &report.policies {
        let name = match policy.kind {
            StageKind::NowThroughout => "now_throughout",
            StageKind::LaterThroughout => "later_throughout",
            StageKind::Planned => "planned",
            StageKind::Watched => "watched",
            StageKind::Known => "known",
        };
        let money = [Some(policy.cost), Some(policy.above_best), None, None, None, None];
        row(&mut rows, report, ("policy", name, ""), (None, None, None), money);
    }
    for watching in &report.watchings {
        let worth = Estimate { value: watching.worth.value, se: watching.worth.se };
        let money = [None, None, Some(worth), Some(watching.extra), Some(watching.net), None];
        row(&mut rows, report, ("watching", "", ""), (Some(watching.lamps), None, None), money);
    }
    for outcome in &report.rule {
        let advice = match outcome.advice {
            Advice::Change => "change",
            Advice::Stay => "stay",
            Advice::TooClose => "too_close",
            Advice::TooRare => "too_rare",
        };
        let counts = (Some(report.watched), Some(outcome.dead), Some(outcome.chance));
        row(&mut rows, report, ("outcome", "", advice), counts, [None, None, None, None, None, outcome.saving]);
    }
    rows.finish()
}

fn row(
    rows: &mut Rows,
    report: &StageReport,
    (kind, policy, advice): (&str, &str, &str),
    (lamps, dead, chance): (Option<u32>, Option<u32>, Option<Estimate>),
    money: Money,
) {
    rows.text(kind);
    for text in [&report.now, &report.later, &report.contract, &report.prices_of, &report.change] {
        rows.text(text);
    }
    rows.number(f64::from(report.rooms));
    rows.number(report.trials as f64);
    rows.text(policy);
    rows.finite(lamps.map(f64::from));
    rows.finite(dead.map(f64::from));
    for estimate in [[chance].as_slice(), money.as_slice()].concat() {
        rows.finite(estimate.map(|found| found.value));
        rows.finite(estimate.map(|found| found.se));
    }
    rows.text(advice);
    rows.end();
}
