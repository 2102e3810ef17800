//! Rooms lit by several options: what `mix` prints, and its table.
//!
//! Belongs here: the order of what is said, and how a mix is named. Does not belong here: arithmetic on costs, CSV
//! (`tables`).

mod tables;

use decide::mix_report::{Hedge, Mix, MixReport};
use decide::result::{Ended, Estimate};

use crate::number;
use crate::page::{Column, Page};
use crate::relamp::{Told, told};
use crate::stage::{exact_or_noisy, for_rooms, pair};
use crate::words::{clean, columns};

pub use tables::mix_csv;

/// Widest first word that stands for an option.
const SHORT: usize = 12;
/// Most rows of the table.
const MOST: usize = 24;

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &MixReport, width: usize) -> Page {
    let mut page = Page::new(width);
    head(&mut page, report);
    if report.mixes.is_empty() {
        page.gap();
        page.hanging("", "No mix was tried.");
    } else {
        picks(&mut page, report);
        table(&mut page, report);
        page.list("How to read this", &reading());
    }
    page.list("Cautions", &report.cautions);
    page.list("Remarks", &report.remarks);
    page
}

fn head(page: &mut Page, report: &MixReport) {
    if report.ended == Ended::Interrupted {
        page.bold(&format!(
            "INTERRUPTED: this was stopped after {}; the numbers are of no more than that",
            number::counted(report.trials, "trial")
        ));
        page.gap();
    }
    page.bold(&format!("{}: several options in one room", clean(&report.title)));
    page.gap();
    page.hanging(
        "Basis     ",
        &format!(
            "present value, {} {} discounted at {} a year, prices of {}; {} from {}{}",
            clean(&report.basis),
            clean(&report.currency),
            number::percent(report.discount_rate, 0.0),
            clean(&report.prices_of),
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start),
            for_rooms(report.rooms),
        ),
    );
    page.hanging("Contract  ", &clean(&report.contract));
    let short = labels(report);
    for (k, (name, basis)) in report.options.iter().zip(&report.light_bases).enumerate() {
        let first = if k == 0 { "Options   " } else { "          " };
        let name = clean(name);
        let label = short.get(k).map_or("", String::as_str);
        let label = if name.starts_with(label) { String::new() } else { format!("{label}: ") };
        page.hanging(first, &format!("{label}{name}, light counted {}", clean(basis)));
    }
    page.hanging("Compared  ", &format!("at equal light: {}", clean(&report.service)));
    page.hanging(
        "Futures   ",
        &format!(
            "{}, seed {}; {} mixes of {} parts on the same luck",
            number::counted(report.trials, "trial"),
            report.seed,
            number::count(report.mixes.len() as u64),
            report.parts
        ),
    );
}

/// What stands for each option in a mix: the first word of its name where that is short and tells them apart, or its number.
pub(crate) fn labels(report: &MixReport) -> Vec<String> {
    let words: Vec<String> = report
        .options
        .iter()
        .map(|name| clean(name).split_whitespace().next().unwrap_or_default().to_owned())
        .collect();
    let tells = words.iter().enumerate().all(|(k, word)| columns(word) <= SHORT && !words[..k].contains(word));
    if tells { words } else { (1..=words.len()).map(|k| format!("({k})")).collect() }
}

/// A mix by its shares, such as "60 % A, 40 % B".
pub(crate) fn mixed(report: &MixReport, mix: &Mix) -> String {
    let share = |part: u32| {
        let share = f64::from(part) / f64::from(report.parts.max(1));
        number::percent((share * 1000.0).round() / 1000.0, 0.0)
    };
    let named = mix.parts.iter().zip(labels(report)).filter(|(part, _)| **part > 0);
    let all: Vec<String> = named.map(|(&part, label)| format!("{} {label}", share(part))).collect();
    all.join(", ")
}

/// A mix in a sentence: an option alone by its name.
fn called(report: &MixReport, index: usize) -> String {
    let Some(mix) = report.mixes.get(index) else { return "no mix".to_owned() };
    let alone = mix.parts.iter().position(|&part| part == report.parts && part > 0);
    alone
        .and_then(|k| report.options.get(k))
        .map_or_else(|| mixed(report, mix), |name| format!("{} alone", clean(name)))
}

fn picks(page: &mut Page, report: &MixReport) {
    page.heading("What to hang");
    let currency = clean(&report.currency);
    let mean = report.mixes.get(report.lowest_mean).map_or(Estimate { value: f64::NAN, se: 0.0 }, |mix| mix.mean);
    page.hanging(
        "- ",
        &format!(
            "Lowest mean cost: {}, {}\u{202f}{currency}. It is always one option alone: a mix costs the mean of its parts.",
            called(report, report.lowest_mean),
            exact_or_noisy(mean)
        ),
    );
    page.hanging("- ", &hedged(report, "Lowest 95\u{202f}% point of regret", &report.lowest_regret));
    page.hanging("- ", &hedged(report, "Lowest 90\u{202f}% point of cost", &report.lowest_p90));
}

/// What a hedge is and what it costs.
fn hedged(report: &MixReport, what: &str, hedge: &Hedge) -> String {
    let currency = clean(&report.currency);
    let name = called(report, hedge.mix);
    if hedge.mix == report.lowest_mean {
        return format!("{what}: {name} as well; no mix is safer.");
    }
    let lowers = match told(hedge.lowers) {
        Told::More => format!("lower by {}\u{202f}{currency}", exact_or_noisy(hedge.lowers)),
        _ => "lower by no more than the noise of these trials".to_owned(),
    };
    let premium = match told(hedge.premium) {
        Told::More => format!("for {}\u{202f}{currency} more on average", exact_or_noisy(hedge.premium)),
        _ => "for no more on average than these trials can tell from nothing".to_owned(),
    };
    format!("{what}: {name}, {lowers} than with the lowest mean, {premium}.")
}

/// Mixes that are worth a row: options alone, the ones picked, and those that none beats in both, by their mean cost.
pub(crate) fn shown(report: &MixReport) -> Vec<usize> {
    let picked = [report.lowest_mean, report.lowest_regret.mix, report.lowest_p90.mix];
    let must = |k: &usize| *k < report.options.len() || picked.contains(k);
    let mut rows: Vec<usize> = (0..report.mixes.len()).filter(must).collect();
    let room = MOST.saturating_sub(rows.len());
    let frontier: Vec<usize> = (0..report.mixes.len()).filter(|k| report.mixes[*k].is_frontier && !must(k)).collect();
    // evenly over the frontier where it is long
    let step = frontier.len().div_ceil(room.max(1)).max(1);
    rows.extend(frontier.into_iter().step_by(step));
    rows.sort_by(|a, b| report.mixes[*a].mean.value.total_cmp(&report.mixes[*b].mean.value));
    rows
}

fn table(page: &mut Page, report: &MixReport) {
    page.heading("Mixes that none beats in both mean and regret, and the options alone");
    let rows: Vec<(usize, &Mix)> = shown(report).into_iter().map(|k| (k, &report.mixes[k])).collect();
    let names: Vec<String> = rows.iter().map(|(_, mix)| mixed(report, mix)).collect();
    let currency = clean(&report.currency);
    let column = |name: &str, cell: &dyn Fn(&Mix) -> Vec<String>| Column {
        name: format!("{name}, {currency}"),
        cells: rows.iter().map(|(_, mix)| cell(mix)).collect(),
    };
    let mut said = column("", &|_| vec![]);
    said.name = "lowest in".to_owned();
    said.cells = rows.iter().map(|(k, _)| vec![lowest_in(report, *k)]).collect();
    page.grid(
        &names,
        &[
            column("mean", &|mix| pair(mix.mean)),
            column("p90", &|mix| pair(mix.p90)),
            column("p95 regret", &|mix| pair(mix.regret_p95)),
            said,
            column("sd", &|mix| vec![number::to_noise(mix.sd, mix.mean.se)]),
            column("mean regret", &|mix| pair(mix.regret_mean)),
        ],
    );
}

/// In what a mix is the lowest.
pub(crate) fn lowest_in(report: &MixReport, index: usize) -> String {
    let picks = [(report.lowest_mean, "mean"), (report.lowest_regret.mix, "regret"), (report.lowest_p90.mix, "p90")];
    let all: Vec<&str> = picks.iter().filter(|(mix, _)| *mix == index).map(|(_, word)| *word).collect();
    all.join(", ")
}

fn reading() -> Vec<String> {
    vec![
        "±: 1.96 standard errors of the simulation; it says nothing of what the inputs are worth".to_owned(),
        "regret: what the mix costs more than the option that turned out the cheapest in that future; p95: 95\u{202f}% of \
         futures lie below"
            .to_owned(),
        "a mix that is safer is dearer on average or as dear: a hedge is paid for like an insurance".to_owned(),
    ]
}

/// What to hang, a sentence each.
pub(crate) fn sentences(report: &MixReport) -> Vec<String> {
    vec![
        format!("Lowest mean cost: {}.", called(report, report.lowest_mean)),
        hedged(report, "Lowest 95\u{202f}% point of regret", &report.lowest_regret),
    ]
}

#[cfg(test)]
mod tests;
