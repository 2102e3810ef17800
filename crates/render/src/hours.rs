//! The search for the hours to light: what `hours` prints, and its table.
//!
//! Belongs here: what is said of starts, in which order, and its units. Does not belong here: arithmetic on amounts,
//! what small changes cost (`changes`), spans of times (`spans`), CSV (`tables`).

mod changes;
mod rooms;
pub(crate) mod spans;
mod tables;

use decide::hours::{Choice, Finding, HoursReport};
use decide::result::{Ended, Estimate};

use crate::number;
use crate::page::{Column, Page};
use crate::relamp::{Told, told};
use crate::words::{clean, columns, distinct, shorten};

pub(crate) use changes::decimals as price_decimals;
pub use tables::starts_csv;

/// Most spans of starts that are written out in a table.
const MOST_SPANS: usize = 3;
/// Columns of a name in a table, on the narrowest page: two lines.
const NAME: f64 = 28.0;
/// Differences of the electricity that are a smaller share of it decide nothing.
const SMALLEST_SHARE: f64 = 0.001;
/// Standard errors that a saving must exceed.
const NOISE: f64 = 1.96;
const NONE: &str = "–";

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &HoursReport, width: usize) -> Page {
    let mut page = Page::new(width);
    head(&mut page, report);
    for sheet in 0..report.sheets.len() {
        starts(&mut page, report, sheet);
    }
    notes(&mut page, report);
    changes::changes(&mut page, report);
    rooms::rooms(&mut page, report);
    method(&mut page, report);
    page
}

fn head(page: &mut Page, report: &HoursReport) {
    if report.ended == Ended::Interrupted {
        page.bold(&format!(
            "INTERRUPTED: the search was stopped after {}; the numbers are of no more than that",
            number::counted(report.trials, "trial")
        ));
        page.gap();
    }
    page.bold(&format!("{}: when to light", clean(&report.title)));
    page.gap();
    let currency = clean(&report.currency);
    page.hanging(
        "Basis      ",
        &format!(
            "{} {currency}, prices of {}; ct/mol is the levelized cost of a delivered mole over {} (1 ct is 0.01 {currency})",
            clean(&report.basis),
            clean(&report.prices_of),
            number::counted(report.horizon_years.into(), "year")
        ),
    );
    page.hanging("Futures    ", &format!("{}, seed {}", number::counted(report.trials, "trial"), report.seed));
    page.hanging("Starts     ", &format!("every {} minutes", report.step_minutes));
    if !report.conditions.is_empty() {
        let conditions: Vec<String> = report.conditions.iter().map(|condition| clean(condition)).collect();
        page.hanging("Conditions ", &conditions.join("; "));
    }
    if report.patterns.len() > 1 {
        let patterns: Vec<String> = report
            .patterns
            .iter()
            .map(|pattern| {
                let tried = number::counted(pattern.on.len() as u64, "start");
                format!("{} ({tried})", clean(&pattern.name))
            })
            .collect();
        page.hanging("Patterns   ", &patterns.join("; "));
    }
    let sheets = report.sheets.len() as u64;
    page.hanging(
        "Rates      ",
        &format!("{}; contracts that differ in their hours alone are one", number::counted(sheets, "rate sheet")),
    );
}

/// One sheet: as written, cheapest and dearest hours of each option.
fn starts(page: &mut Page, report: &HoursReport, sheet: usize) {
    page.heading(&sheet_names(report)[sheet]);
    page.gap();
    let found: Vec<&Finding> = report.findings.iter().filter(|finding| finding.sheet == sheet).collect();
    if found.is_empty() {
        page.hanging("", "Nothing was found.");
        return;
    }
    let all = option_names(report);
    let name = |finding: &&Finding| all.get(finding.option).cloned().unwrap_or_default();
    let names: Vec<String> = found.iter().map(name).collect();
    let column = |name: &str, cell: &dyn Fn(&Finding) -> Vec<String>| Column {
        name: name.to_owned(),
        cells: found.iter().map(|finding| cell(finding)).collect(),
    };
    let currency = clean(&report.currency);
    let mut table = vec![
        column("as written, ct/mol, start", &|finding| at(&finding.written)),
        column("cheapest, ct/mol, start", &|finding| at(&finding.cheapest)),
        column(&format!("electricity saved, {currency} a year"), &saved),
        column("starts within 1 % of it", &|finding| vec![within(report, finding)]),
        column("dearest, ct/mol, start", &|finding| at(&finding.dearest)),
    ];
    if report.patterns.len() > 1 {
        table.push(column("pattern of the cheapest", &|finding| vec![pattern(report, finding.cheapest.pattern)]));
        table.push(column("pattern of the dearest", &|finding| vec![pattern(report, finding.dearest.pattern)]));
    }
    page.grid(&names, &table);
    any_start(page, report, &found, &names);
}

/// Says where it does not matter when the lights start.
fn any_start(page: &mut Page, report: &HoursReport, found: &[&Finding], names: &[String]) {
    let (free, counts): (Vec<&str>, Vec<usize>) = found
        .iter()
        .zip(names)
        .filter_map(|(finding, name)| Some((name.as_str(), any_will_do(report, finding)?)))
        .unzip();
    let Some(&count) = counts.first() else { return };
    let what = if report.patterns.len() > 1 { " of the cheapest pattern" } else { "" };
    let all =
        if counts.iter().all(|other| *other == count) { format!("all {count} starts") } else { "all starts".into() };
    let whom = if free.len() == found.len() { String::new() } else { format!(" for {}", free.join(", ")) };
    page.gap();
    page.hanging("", &format!("Any start will do{whom}: {all}{what} are within 1 % of the cheapest."));
}

/// What the tables leave to be said, once for all sheets.
fn notes(page: &mut Page, report: &HoursReport) {
    let any = |holds: &dyn Fn(&Finding) -> bool| report.findings.iter().any(holds);
    let mut told = vec![];
    if any(&|finding| worth_naming(finding).is_none()) {
        told.push(
            "none: no difference worth naming, for it is smaller than 1.96 of its standard errors or than 0.1 % of the \
             electricity"
                .to_owned(),
        );
    }
    if any(&|finding| worth_naming(finding).is_some()) {
        told.push("±: standard error of the simulation".to_owned());
    }
    if any(&|finding| worth_naming(finding).is_some_and(|saving| saving.value < 0.0)) {
        told.push(
            "a saving below 0: the electricity of the cheapest hours costs so much more than that of the hours as \
             written"
                .to_owned(),
        );
    }
    if any(&|finding| tried(report, &finding.written) == Some(false)) {
        told.push(
            "the hours as written are not among the starts tried: they do not meet the conditions, or fall between two \
             steps"
                .to_owned(),
        );
    }
    page.list("How to read the tables", &told);
}

fn method(page: &mut Page, report: &HoursReport) {
    page.heading("Method");
    let again = if report.patterns.len() > 1 { "; each pattern is lived on the same luck" } else { "" };
    page.hanging(
        "",
        &format!(
            "Every start is priced at the mean of {}{again}. Where a bill bends (blocks, peaks that dark sockets might \
             lower) the mean load is billed; `run` with lights_on gives the whole distribution.",
            number::counted(report.trials, "lived future")
        ),
    );
}

/// Cost and start.
fn at(choice: &Choice) -> Vec<String> {
    vec![number::ct(choice.levelized), clean(&choice.on)]
}

/// Currency a year and its standard error.
fn saved(finding: &Finding) -> Vec<String> {
    match worth_naming(finding) {
        Some(saving) => {
            let (value, error) = number::with_error(saving);
            vec![value, error]
        }
        None => vec!["none".to_owned(), String::new()],
    }
}

/// The saving, unless it is lost in the noise or too small to matter; what is not a number is no saving.
pub(crate) fn worth_naming(finding: &Finding) -> Option<Estimate> {
    let Estimate { value, se } = finding.saving;
    let least = (NOISE * se).max(SMALLEST_SHARE * finding.written.electricity.abs());
    (value.is_finite() && value != 0.0 && value.abs() >= least).then_some(finding.saving)
}

/// How many starts there are when all are within 1 % of the cheapest.
pub(crate) fn any_will_do(report: &HoursReport, finding: &Finding) -> Option<usize> {
    let tried = report.patterns.get(finding.cheapest.pattern)?.on.len();
    (tried > 1 && finding.within_one_percent.len() == tried).then_some(tried)
}

/// Spans of the starts that cost little more than the cheapest.
fn within(report: &HoursReport, finding: &Finding) -> String {
    if let Some(count) = any_will_do(report, finding) {
        return format!("any of {count}");
    }
    let spans = spans::of_starts(&finding.within_one_percent, report.step_minutes);
    match spans.len() {
        0 => NONE.to_owned(),
        count if count > MOST_SPANS => format!("{} in {count} spans", finding.within_one_percent.len()),
        _ => spans.join(", "),
    }
}

fn pattern(report: &HoursReport, index: usize) -> String {
    report.patterns.get(index).map_or_else(|| NONE.to_owned(), |pattern| clean(&pattern.name))
}

/// Whether hours are among those that were tried; nothing when there is no such pattern.
pub(crate) fn tried(report: &HoursReport, choice: &Choice) -> Option<bool> {
    Some(report.patterns.get(choice.pattern)?.on.contains(&choice.on))
}

/// Currency without noise: cents where they are a part worth seeing.
fn money(amount: f64) -> String {
    number::fixed(amount, if amount.abs() < 100.0 { 2 } else { 0 })
}

/// Cleaned names of the options; those that would look alike in a table are numbered.
fn option_names(report: &HoursReport) -> Vec<String> {
    distinct(report.options.iter().map(String::as_str), short)
}

/// Cleaned names of the sheets, treated alike.
fn sheet_names(report: &HoursReport) -> Vec<String> {
    distinct(report.sheets.iter().map(String::as_str), short)
}

fn short(name: &str) -> String {
    shorten(name, NAME, |text| columns(text) as f64)
}

/// What the best hours are under each sheet for the option that was asked about, a sentence each.
pub(crate) fn sentences(report: &HoursReport) -> Vec<String> {
    let asked = report.findings.iter().filter(|finding| finding.option == report.asked);
    let (options, sheets) = (option_names(report), sheet_names(report));
    let currency = clean(&report.currency);
    asked
        .filter_map(|finding| {
            let (option, sheet) = (options.get(finding.option)?, sheets.get(finding.sheet)?);
            let cost = number::ct(finding.cheapest.levelized);
            let saving = match told(finding.saving) {
                Told::More => format!(
                    ", {}\u{202f}{currency} a year of electricity below the hours as written ({})",
                    number::estimate(finding.saving),
                    clean(&finding.written.on)
                ),
                _ => ", no less than the hours as written, as far as these futures tell".to_owned(),
            };
            Some(format!("{sheet}, {option}: cheapest from {} at {cost} ct/mol{saving}.", clean(&finding.cheapest.on)))
        })
        .collect()
}

#[cfg(test)]
mod tests;
