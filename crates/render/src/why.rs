//! Why light costs what it costs: what `why` prints, and its tables.
//!
//! Belongs here: the order of what is said, the sentence on a lead and its parts. Does not belong here: arithmetic on
//! amounts, the sums of an option (`sums`), how many digits a sum needs (`digits`), CSV (`tables`).

mod digits;
mod sums;
mod tables;

use decide::result::{Ended, Estimate, Verdict};
use decide::why_report::{Lead, LeadPart, WhyReport};

use crate::number;
use crate::page::{Column, Page};
use crate::words::{clean, columns, distinct, shorten};

pub(crate) use tables::tables;
pub use tables::{why_csv, why_sums_csv};

/// Standard errors that a difference must exceed.
const NOISE: f64 = 1.96;
/// Reasons that a sentence names on either side.
const REASONS: usize = 3;
/// Parts that are smaller than this share of the largest are no reason that a sentence names.
const SMALL: f64 = 0.05;
/// Widest name in a sentence, columns.
const NAME: f64 = 40.0;

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &WhyReport, width: usize) -> Page {
    let mut page = Page::new(width);
    head(&mut page, report);
    if let Some(lead) = &report.lead {
        page.gap();
        page.bold(&sentence(lead));
        parts(&mut page, lead);
    }
    for sum in &report.sums {
        page.rule();
        sums::sum(&mut page, sum);
    }
    reading(&mut page, report);
    page.list("Cautions", &report.cautions);
    page.list("Remarks", &report.remarks);
    page
}

fn head(page: &mut Page, report: &WhyReport) {
    if report.ended == Ended::Interrupted {
        page.bold(&format!("INTERRUPTED: stopped after {}", number::counted(report.trials, "trial")));
        page.gap();
    }
    page.bold(&format!("{}: why light costs what it costs", clean(&report.title)));
    page.gap();
    let currency = clean(&report.currency);
    page.hanging(
        "Basis     ",
        &format!(
            "{} {currency} discounted at {} a year, booked {}, prices of {}; ct/mol is the levelized cost of a delivered \
             mole over {} from {} (1 ct is 0.01 {currency})",
            clean(&report.basis),
            number::percent(report.discount_rate, 0.0),
            clean(&report.booked),
            clean(&report.prices_of),
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start),
        ),
    );
    page.hanging("Contract  ", &format!("{}, lights {}", clean(&report.contract), clean(&report.lights)));
    let luck = if report.sums.len() > 1 { ", both options on the same luck" } else { "" };
    page.hanging("Futures   ", &format!("{}, seed {}{luck}", number::counted(report.trials, "trial"), report.seed));
}

/// Names of both options, as they can be told apart in a sentence.
fn names(lead: &Lead) -> (String, String) {
    let short = |name: &str| shorten(name, NAME, |text| columns(text) as f64);
    let mut names: Vec<String> =
        distinct([lead.option.as_str(), lead.against.as_str()], short).iter().map(|name| short(name)).collect();
    if lead.option == lead.against {
        names = vec![short(&clean(&lead.option)), "itself".to_owned()];
    }
    (names[0].clone(), names[1].clone())
}

/// Who leads by how much, and the largest reasons for and against it.
pub(crate) fn sentence(lead: &Lead) -> String {
    let (option, against) = names(lead);
    let Estimate { value, se } = lead.lead;
    if lead.parts.iter().all(|part| part.lead.value == 0.0) && value == 0.0 {
        return format!("{option} and {against} cost the same to the last bit, in every part.");
    }
    let gap = |value: f64| {
        let (text, error) = number::with_error(Estimate { value: 100.0 * value, se: 100.0 * NOISE * se });
        // what the noise hides comes with its error already
        if text.contains('±') || error == "± 0" { text } else { format!("{text} {error}") }
    };
    match lead.verdict {
        Verdict::Tie => {
            let (helps, hurts) = reasons(lead, 1.0);
            let told = |what: &str, reasons: &[String]| match reasons {
                [] => String::new(),
                reasons => format!("; {what} {option}: {}", reasons.join(", ")),
            };
            format!(
                "Too close to call: {option} less {against} is {} ct/mol, within the noise{}{}.",
                gap(value),
                told("for", &helps),
                told("against", &hurts)
            )
        }
        verdict => {
            let (first, second, turn) =
                if verdict == Verdict::A { (option, against, 1.0) } else { (against, option, -1.0) };
            let (helps, hurts) = reasons(lead, turn);
            let takes = if hurts.len() == 1 { "takes" } else { "take" };
            let back = match hurts.as_slice() {
                [] => String::new(),
                hurts => format!("; {} {takes} part of it back", hurts.join(", ")),
            };
            format!("{first} leads {second} by {} ct/mol: {}{back}.", gap(value.abs()), helps.join(", "))
        }
    }
}

/// The largest parts for and against a side; `turn` is −1 for that of the other option.
fn reasons(lead: &Lead, turn: f64) -> (Vec<String>, Vec<String>) {
    let mut parts: Vec<&LeadPart> = lead.parts.iter().filter(|part| part.lead.value.is_finite()).collect();
    parts.sort_by(|a, b| b.lead.value.abs().total_cmp(&a.lead.value.abs()));
    let least = parts.first().map_or(0.0, |part| SMALL * part.lead.value.abs());
    let of = |sign: f64| -> Vec<String> {
        let on_side = parts.iter().filter(|part| part.lead.value * turn * sign > 0.0 && part.lead.value.abs() >= least);
        on_side
            .take(REASONS)
            .map(|part| {
                let value = part.lead.value * turn * 100.0;
                // two or three digits tell a reason; the table has all that are sure
                let amount = number::to_noise(value, (part.lead.se * 100.0).max(value.abs() / 150.0));
                format!("{} {}", part.name, plus(&amount, value))
            })
            .collect()
    };
    (of(-1.0), of(1.0))
}

/// A printed amount with its sign, also above zero.
pub(crate) fn plus(text: &str, value: f64) -> String {
    if value > 0.0 && !text.contains('±') { format!("+{text}") } else { text.to_owned() }
}

/// An estimate in ct/mol with its sign, and its standard error; nothing beside an exact zero.
fn signed(estimate: Estimate) -> Vec<String> {
    if estimate.value == 0.0 && estimate.se == 0.0 {
        return vec!["0".to_owned()];
    }
    let estimate = Estimate { value: 100.0 * estimate.value, se: 100.0 * estimate.se };
    let (text, error) = number::with_error(estimate);
    if text.contains('±') { vec![text] } else { vec![plus(&text, estimate.value), error] }
}

/// Whether a part says anything.
pub(crate) fn matters(part: &LeadPart) -> bool {
    part.lead.value != 0.0 || part.lead.se != 0.0
}

fn parts(page: &mut Page, lead: &Lead) {
    let (option, against) = names(lead);
    let parts: Vec<&LeadPart> = lead.parts.iter().filter(|part| matters(part)).collect();
    if parts.is_empty() {
        return;
    }
    page.heading(&format!("{option} less {against}, ct/mol: below zero speaks for {option}"));
    page.gap();
    let mut rows: Vec<String> = parts.iter().map(|part| part.name.clone()).collect();
    rows.push("lead".to_owned());
    let column = |name: &str, cell: &dyn Fn(&LeadPart) -> Vec<String>, last: Vec<String>| Column {
        name: name.to_owned(),
        cells: parts.iter().map(|part| cell(part)).chain([last]).collect(),
    };
    let half = |estimate: Option<Estimate>| estimate.map_or_else(|| vec!["–".to_owned()], signed);
    let sum = |read: &dyn Fn(&LeadPart) -> Option<Estimate>| {
        let all: f64 = parts.iter().filter_map(|part| read(part)).map(|estimate| 100.0 * estimate.value).sum();
        let (text, _) = number::with_error(Estimate { value: all, se: 100.0 * lead.lead.se });
        vec![plus(&text, all)]
    };
    page.ledger(
        &rows,
        &[
            column("adds", &|part| signed(part.lead), signed(lead.lead)),
            column("of it: money for a fixture", &|part| half(part.by_money), sum(&|part| part.by_money)),
            column("of it: light of a new fixture", &|part| half(part.by_new_light), sum(&|part| part.by_new_light)),
        ],
    );
    page.gap();
    let two = |estimate: Estimate| signed(estimate).join(" ");
    if lead.energy.by_kwh.value != 0.0 || lead.energy.by_price.value != 0.0 {
        page.hanging(
            "Energy      ",
            &format!(
                "{} by kWh for the same light when new (efficacy), {} by the price of a kWh",
                two(lead.energy.by_kwh),
                two(lead.energy.by_price)
            ),
        );
    }
    if lead.held.by_dark.value != 0.0 || lead.held.by_dimming.value != 0.0 {
        page.hanging(
            "Light held  ",
            &format!(
                "{} by sockets that were dark, {} by fading, dirt and starts",
                two(lead.held.by_dark),
                two(lead.held.by_dimming)
            ),
        );
    }
    let chance = lead.chance_cheaper;
    page.hanging(
        "Futures     ",
        &format!("{option} is cheaper in {} of them", number::percent(chance.value, chance.se)),
    );
}

fn reading(page: &mut Page, report: &WhyReport) {
    let mut told = vec![];
    if report.lead.is_some() {
        told.push(
            "A cause is its money for the same light when new, at the mean light held of both; light held is what fading, \
             dirt and dark sockets left, at the mean money of both. The parts add up exactly, and only turn their signs \
             when the two change places."
                .to_owned(),
        );
        told.push(
            "± in the table: standard error of the simulation; in the sentence: 1.96 of them. Neither says what the inputs \
             are worth."
                .to_owned(),
        );
    }
    told.push(
        "~: the simulator's number, a mean over the trials, and no input. The sums have as many digits as they need to \
         close; how sure they are is what ± beside the headline says."
            .to_owned(),
    );
    page.list("How to read this", &told);
}

#[cfg(test)]
mod tests;
