//! What dead lamps say, and what it is worth to watch so many.
//!
//! Belongs here: the rule as a table, the worth by number of lamps, the sentence when watching is idle. Does not belong
//! here: who is best.

use decide::result::Estimate;
use decide::stage_report::{Advice, Outcome, StageReport, Watching};

use crate::breakeven::{TOO_CLOSE, with_noise};
use crate::number;
use crate::page::{Column, Page};
use crate::relamp::{Told, told};
use crate::stage::pair;
use crate::words::clean;

const NONE: &str = "–";
const IDLE: &str = "Watching is worth nothing: no outcome would change your mind.";

/// An advice in a word or two.
pub(crate) fn advised(advice: Advice) -> &'static str {
    match advice {
        Advice::Change => "change",
        Advice::Stay => "stay",
        Advice::TooClose => TOO_CLOSE,
        Advice::TooRare => "seen too rarely",
    }
}

/// So many of all are dead.
pub(crate) fn dead(outcome: &Outcome, of: u32) -> String {
    format!("{} of {of}", outcome.dead)
}

/// The rule by the number of dead lamps; what no trial saw is left out.
pub(super) fn rule(page: &mut Page, report: &StageReport) {
    if report.watched == 0 {
        return;
    }
    page.heading(&format!("What {} say at the change", number::counted(report.watched.into(), "watched lamp")));
    let seen: Vec<&Outcome> = report.rule.iter().filter(|outcome| outcome.chance.value > 0.0).collect();
    let currency = clean(&report.currency);
    let column = |name: &str, cell: &dyn Fn(&Outcome) -> Vec<String>| Column {
        name: name.to_owned(),
        cells: seen.iter().map(|outcome| cell(outcome)).collect(),
    };
    let names: Vec<String> = seen.iter().map(|outcome| format!("{} dead", dead(outcome, report.watched))).collect();
    let table = [
        column("chance", &|outcome| vec![number::percent(outcome.chance.value, outcome.chance.se)]),
        column(&format!("changing saves, {currency}"), &|outcome| match outcome.saving {
            Some(saving) => pair(saving),
            None => vec![NONE.to_owned(), String::new()],
        }),
        column("do", &|outcome| vec![advised(outcome.advice).to_owned()]),
    ];
    if seen.is_empty() {
        page.hanging("", "Nothing was seen.");
    } else {
        page.grid(&names, &table);
    }
    if seen.len() < report.rule.len() {
        page.gap();
        page.hanging("", "Other numbers of dead lamps were seen in no trial.");
    }
    if report.is_idle {
        page.gap();
        page.bold(IDLE);
    }
}

/// What watching is worth, lamp count by lamp count.
pub(super) fn worths(page: &mut Page, report: &StageReport) {
    if report.watchings.is_empty() {
        bound(page, report);
        return;
    }
    page.heading("What more or fewer lamps would be worth");
    let currency = clean(&report.currency);
    let names: Vec<String> =
        report.watchings.iter().map(|watching| number::counted(watching.lamps.into(), "lamp")).collect();
    let column = |name: String, cell: &dyn Fn(&Watching) -> Vec<String>| Column {
        name,
        cells: report.watchings.iter().map(cell).collect(),
    };
    let worth = |watching: &Watching| {
        let worth = watching.worth;
        if worth.value == 0.0 {
            let least = if worth.is_seen || worth.unseen == 0.0 {
                String::new()
            } else {
                format!("(less than {})", number::to_noise(worth.unseen, f64::INFINITY))
            };
            return vec!["0".to_owned(), least];
        }
        pair(Estimate { value: worth.value, se: worth.se })
    };
    page.grid(
        &names,
        &[
            column(format!("worth, {currency}"), &worth),
            column(format!("extra price, {currency}"), &|watching| pair(watching.extra)),
            column(format!("left, {currency}"), &|watching| {
                let mut cells = pair(watching.net);
                if told(watching.net) == Told::TooClose {
                    cells[1] = format!("{} {TOO_CLOSE}", cells[1]).trim().to_owned();
                }
                cells
            }),
        ],
    );
    page.gap();
    bound(page, report);
}

fn bound(page: &mut Page, report: &StageReport) {
    let currency = clean(&report.currency);
    let known = report.known;
    let text = if known.value == 0.0 {
        "Knowing every input at the change would be worth nothing that these trials can see".to_owned()
    } else {
        let worth = with_noise(Estimate { value: known.value, se: known.se });
        format!("Knowing every input at the change would be worth {worth}\u{202f}{currency}; no lamps can tell more")
    };
    page.hanging("", &format!("{text}."));
}
