//! Buying now and deciding later: what `stage` prints, and its table.
//!
//! Belongs here: the order of what is said. Does not belong here: what dead lamps say and what watching is worth
//! (`watching`), CSV (`tables`), arithmetic on costs.

mod tables;
mod watching;

use decide::result::{Ended, Estimate};
use decide::stage_report::{StageKind, StagePolicy, StageReport};

use crate::breakeven::{TOO_CLOSE, noisy, with_noise};
use crate::number;
use crate::page::{Column, Page, first_column};
use crate::relamp::{Told, hours, told};
use crate::words::{clean, columns, shorten};

pub use tables::stage_csv;
pub(crate) use watching::{advised, dead};

/// What stands beside a cost that no trial tells from the lowest.
const SAME: &str = "the same";

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &StageReport, width: usize) -> Page {
    let mut page = Page::new(width);
    head(&mut page, report);
    policies(&mut page, report);
    change(&mut page, report);
    watching::rule(&mut page, report);
    watching::worths(&mut page, report);
    page.list("Taken for granted", &report.assumptions);
    page.list("How to read this", &reading(report));
    page.list("Cautions", &report.cautions);
    page.list("Remarks", &report.remarks);
    page
}

fn head(page: &mut Page, report: &StageReport) {
    if report.ended == Ended::Interrupted {
        page.bold(&format!(
            "INTERRUPTED: this was stopped after {}; the numbers are of no more than that",
            number::counted(report.trials, "trial")
        ));
        page.gap();
    }
    page.bold(&format!("{}: buy now, decide later", clean(&report.title)));
    page.gap();
    let currency = clean(&report.currency);
    page.hanging(
        "Basis     ",
        &format!(
            "present value, {} {currency} discounted at {} a year, prices of {}; {} from {}{}",
            clean(&report.basis),
            number::percent(report.discount_rate, 0.0),
            clean(&report.prices_of),
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start),
            for_rooms(report.rooms),
        ),
    );
    page.hanging("Contract  ", &clean(&report.contract));
    page.hanging("Now       ", &format!("{}, light counted {}", clean(&report.now), clean(&report.now_light)));
    page.hanging("Later     ", &format!("{}, light counted {}", clean(&report.later), clean(&report.later_light)));
    let fixtures = if report.keeps_fixtures { "the fixtures stay" } else { "with fixtures of its own" };
    page.hanging(
        "Change    ",
        &format!(
            "{}, after {} and {}\u{202f}h of burning; {fixtures}",
            clean(&report.change),
            number::counted(report.after_years.into(), "year"),
            hours(report.burn_h)
        ),
    );
    page.hanging("Compared  ", &format!("at equal light: {}", clean(&report.service)));
    page.hanging(
        "Futures   ",
        &format!("{}, seed {}; all ways on the same inputs", number::counted(report.trials, "trial"), report.seed),
    );
}

/// For how many rooms money is, where that is not one.
pub(crate) fn for_rooms(rooms: u32) -> String {
    if rooms == 1 { String::new() } else { format!("; for {}", number::counted(rooms.into(), "room")) }
}

/// A way of doing it, in words.
pub(crate) fn way(report: &StageReport, kind: StageKind) -> String {
    let (now, later) = (clean(&report.now), clean(&report.later));
    let then = if report.would_change { &later } else { &now };
    match kind {
        StageKind::NowThroughout => format!("{now} throughout"),
        StageKind::LaterThroughout => format!("{later} throughout"),
        StageKind::Planned => format!("{now}, then what is believed today: {then}"),
        StageKind::Watched => {
            format!("{now}, then what {} advise", number::counted(report.watched.into(), "watched lamp"))
        }
        StageKind::Known => format!("{now}, then with every input known (a bound)"),
    }
}

/// The same in few words, for the name of a row.
pub(crate) fn short_way(report: &StageReport, kind: StageKind) -> String {
    let now = clean(&report.now);
    match kind {
        StageKind::Planned => format!("{now}, then today's choice"),
        StageKind::Watched => format!("{now}, then as lamps advise"),
        StageKind::Known => format!("{now}, then all known (bound)"),
        StageKind::NowThroughout | StageKind::LaterThroughout => way(report, kind),
    }
}

/// What is said beside a cost.
pub(crate) fn beside_best(report: &StageReport, index: usize, policy: &StagePolicy) -> &'static str {
    if index == report.best {
        return "lowest";
    }
    match (policy.kind, told(policy.above_best)) {
        (StageKind::Known, _) => "",
        (_, Told::Nothing) => SAME,
        (_, Told::TooClose) => TOO_CLOSE,
        _ => "",
    }
}

fn policies(page: &mut Page, report: &StageReport) {
    page.heading("Ways of doing it");
    let limit = (2 * first_column(page.width)) as f64;
    let names: Vec<String> = report
        .policies
        .iter()
        .map(|policy| shorten(&short_way(report, policy.kind), limit, |text| columns(text) as f64))
        .collect();
    let currency = clean(&report.currency);
    let cost = report.policies.iter().map(|policy| pair(policy.cost)).collect();
    let above = |(index, policy): (usize, &StagePolicy)| {
        let said = beside_best(report, index, policy);
        if index == report.best || said == SAME {
            return vec![String::new(), said.to_owned()];
        }
        let mut cells = pair(policy.above_best);
        cells[1] = format!("{} {said}", cells[1]).trim().to_owned();
        cells
    };
    let above = report.policies.iter().enumerate().map(above).collect();
    page.grid(
        &names,
        &[
            Column { name: format!("cost, {currency}"), cells: cost },
            Column { name: format!("above the lowest, {currency}"), cells: above },
        ],
    );
    page.gap();
    page.hanging("", &verdict(report));
}

/// A number and its noise, which what is exact has not.
pub(crate) fn pair(estimate: Estimate) -> Vec<String> {
    if estimate.se == 0.0 {
        return vec![number::to_noise(estimate.value, 0.0), String::new()];
    }
    let (value, error) = noisy(estimate);
    vec![value, error]
}

/// [`pair`] as one text.
pub(crate) fn exact_or_noisy(estimate: Estimate) -> String {
    if estimate.se == 0.0 { number::to_noise(estimate.value, 0.0) } else { with_noise(estimate) }
}

/// Which way is best, and which could be.
pub(crate) fn verdict(report: &StageReport) -> String {
    let Some(best) = report.policies.get(report.best) else { return "No way was tried.".to_owned() };
    let others = |wanted: Told| -> Vec<String> {
        let fits = |(index, policy): &(usize, &StagePolicy)| {
            *index != report.best && policy.kind != StageKind::Known && told(policy.above_best) == wanted
        };
        report.policies.iter().enumerate().filter(fits).map(|(_, policy)| way(report, policy.kind)).collect()
    };
    let name = way(report, best.kind);
    let (same, close, worse) = (others(Told::Nothing), others(Told::TooClose), others(Told::More));
    let mut told = if close.is_empty() {
        format!("Cheapest: {name}")
    } else {
        format!("{}: {name}; {}", capital(TOO_CLOSE), close.join("; "))
    };
    if !same.is_empty() {
        told.push_str(&format!(" (the same in every trial: {})", same.join("; ")));
    }
    let next = report
        .policies
        .iter()
        .filter(|policy| policy.kind != StageKind::Known && worse.contains(&way(report, policy.kind)))
        .min_by(|a, b| a.above_best.value.total_cmp(&b.above_best.value));
    if let (true, Some(next)) = (close.is_empty(), next) {
        told.push_str(&format!(
            ", by {}\u{202f}{} before {}",
            exact_or_noisy(next.above_best),
            clean(&report.currency),
            way(report, next.kind)
        ));
    }
    told.push('.');
    told
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn change(page: &mut Page, report: &StageReport) {
    page.heading("The change as it is believed today");
    let (now, later, currency) = (clean(&report.now), clean(&report.later), clean(&report.currency));
    let saving = match told(report.saving) {
        Told::Nothing => format!("{later} and {now} cost the same after the change in every trial"),
        Told::TooClose => {
            format!("{TOO_CLOSE}: changing to {later} saves {}\u{202f}{currency}", exact_or_noisy(report.saving))
        }
        Told::More => format!("Changing to {later} saves {}\u{202f}{currency}", exact_or_noisy(report.saving)),
        Told::Less => {
            let loss = Estimate { value: -report.saving.value, ..report.saving };
            format!("Staying with {now} saves {}\u{202f}{currency}", exact_or_noisy(loss))
        }
    };
    let chance = number::percent(report.chance_saves.value, report.chance_saves.se);
    page.hanging("", &format!("{saving}; changing is the cheaper course in {chance} of trials."));
    let (low, middle, high) = report.median_life_h;
    page.hanging(
        "",
        &format!(
            "What is believed of {later}: half of its lamps live {} – {} – {}\u{202f}burn hours or longer on this \
             photoperiod (10\u{202f}% point, median, 90\u{202f}% point).",
            rounded(low),
            rounded(middle),
            rounded(high)
        ),
    );
}

/// Burn hours of a belief, to three digits.
fn rounded(value: f64) -> String {
    hours(if value.abs() >= 1000.0 { (value / 100.0).round() * 100.0 } else { value })
}

fn reading(report: &StageReport) -> Vec<String> {
    let mut told = vec![
        "±: 1.96 standard errors of the simulation; it says nothing of what the inputs are worth".to_owned(),
        format!("{TOO_CLOSE}: the difference is smaller than that, so that these trials cannot tell it from none"),
    ];
    told.push(
        "today's choice: after the change whichever is cheaper on what is believed today; all known: whichever is cheaper \
         with every input known, which nobody can know and no advice can beat"
            .to_owned(),
    );
    if report.watched > 0 {
        told.push(
            "what watched lamps advise goes by how many died and by how many hours all have burned; the table by the \
             number of the dead is the short of it"
                .to_owned(),
        );
    }
    told
}

#[cfg(test)]
mod tests;
