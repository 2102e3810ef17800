//! What knowing is worth before choosing.
//!
//! Belongs here: the table of worths and what is said of those that are nothing. Does not belong here: the worths.

use decide::drivers_report::{DriversReport, Worth};
use decide::result::Estimate;

use super::{NAMED, NONE, Names, left_out, parts, with_tied};
use crate::number;
use crate::page::{Column, Page};
use crate::words::clean;

/// Most inputs.
const ROWS: usize = 12;

/// Writes the table; says so where there is nothing to learn.
pub(super) fn worth(page: &mut Page, report: &DriversReport, names: &Names) {
    let currency = clean(&report.currency);
    page.heading("What knowing is worth");
    let rooms = number::counted(report.rooms.into(), "room");
    let years = number::counted(report.horizon_years.into(), "year");
    page.hanging(
        "",
        &format!(
            "The most that it pays to spend on knowing before this choice for {rooms} and {years}, {} {currency} of present \
             value.",
            clean(&report.basis)
        ),
    );
    let mut known: Vec<(usize, Worth)> = vec![];
    for (k, driver) in report.inputs.iter().enumerate() {
        known.extend(driver.worth.map(|worth| (k, worth)));
    }
    let nothing: Vec<usize> = known.iter().filter(|(_, worth)| is_nothing(worth)).map(|(k, _)| *k).collect();
    let mut rows: Vec<(usize, Worth)> = known.iter().filter(|(_, worth)| !is_nothing(worth)).copied().collect();
    rows.sort_by(|a, b| b.1.is_seen.cmp(&a.1.is_seen).then(b.1.value.total_cmp(&a.1.value)));
    let rest = rows.len().saturating_sub(ROWS);
    rows.truncate(ROWS);
    page.gap();
    let mut first: Vec<String> = rows.iter().map(|(k, _)| names.input(*k)).collect();
    let mut cells: Vec<Vec<String>> = rows.iter().map(|(_, worth)| cell(worth)).collect();
    if !known.is_empty() {
        first.push("all inputs together".to_owned());
        cells.push(cell(&report.all_inputs));
    }
    first.push("clairvoyance: all inputs and all luck".to_owned());
    cells.push(parts(report.clairvoyance));
    page.grid(&first, &[Column { name: format!("worth, {currency}"), cells }]);
    page.gap();
    said(page, report, (&known, &nothing), rest);
}

/// What the table leaves out, in sentences.
fn said(page: &mut Page, report: &DriversReport, (known, nothing): (&[(usize, Worth)], &[usize]), rest: usize) {
    if known.is_empty() {
        page.hanging("", "No input is uncertain, so there is none to be known better.");
    }
    if rest > 0 {
        page.hanging("", &format!("{} worth less.", left_out(rest, "further input", ("is", "are"))));
    }
    if known.len() == nothing.len() && is_nothing(&report.all_inputs) && !known.is_empty() {
        page.hanging("", "Worth nothing: nothing that you could learn about any input would change the choice.");
    } else if !nothing.is_empty() {
        let mut names: Vec<String> =
            nothing.iter().take(NAMED).filter_map(|k| Some(with_tied(report.inputs.get(*k)?))).collect();
        if nothing.len() > NAMED {
            names.push(format!("and {} more", nothing.len() - NAMED));
        }
        page.hanging(
            "",
            &format!(
                "Worth nothing: nothing that you could learn about it would change the choice: {}.",
                names.join("; ")
            ),
        );
    }
    let unseen = known.iter().map(|(_, worth)| worth).chain([&report.all_inputs]).any(is_unseen);
    if unseen {
        page.hanging("", "Less than: an effect on the choice that is worth so little cannot be told from none.");
    }
    page.hanging("", "Clairvoyance is a bound: nobody can know luck, so no knowledge is worth more.");
}

/// Whether what could be learned would change nothing.
fn is_nothing(worth: &Worth) -> bool {
    worth.value == 0.0 && (worth.is_seen || worth.unseen == 0.0)
}

/// Whether no effect was seen, although there may be one.
fn is_unseen(worth: &Worth) -> bool {
    !worth.is_seen && !is_nothing(worth)
}

fn cell(worth: &Worth) -> Vec<String> {
    if is_nothing(worth) {
        return vec!["0".to_owned(), String::new()];
    }
    if is_unseen(worth) {
        let least = worth.unseen;
        let text = || format!("less than {}", number::to_noise(least, f64::INFINITY));
        return vec![if least.is_finite() { text() } else { NONE.to_owned() }, String::new()];
    }
    parts(Estimate { value: worth.value, se: worth.se })
}
