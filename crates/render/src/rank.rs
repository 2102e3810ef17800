//! The options ranked: what `rank` prints, and its tables.
//!
//! Belongs here: the order of what is said. Does not belong here: what may be said of a pair (`words`), losses and pairs of a
//! contract (`pairs`), futures by name (`futures`), rooms at equal light (`service`), CSV (`tables`).

mod futures;
mod pairs;
mod service;
mod tables;
mod words;

#[cfg(test)]
mod tests;

use decide::rank_report::{Material, RankContract, RankReport};
use decide::result::Ended;

use crate::breakeven::noisy;
use crate::number;
use crate::page::{Column, Page, first_column};
use crate::relamp::scaled;
use crate::words::{clean, columns, distinct, shorten};

pub use tables::{rank_csv, rank_pairs_csv, rank_regret_csv, rank_service_csv};
pub(crate) use words::{against_first, headline, overall, word};

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &RankReport, width: usize) -> Page {
    let mut page = Page::new(width);
    head(&mut page, report);
    let names = option_names(report, page.width);
    let mut light = vec![];
    for contract in &report.contracts {
        page.rule();
        page.bold(&clean(&contract.contract));
        page.hanging("", &format!("lights {}", clean(&contract.lights)));
        costs(&mut page, contract, &names);
        pairs::losses(&mut page, report, contract, &names);
        pairs::pairs(&mut page, report, contract, &names);
        pairs::dominance(&mut page, report, contract);
        service::service(&mut page, report, contract, &names, &mut light);
    }
    page.rule();
    futures::futures(&mut page, report, &names);
    if report.target_ppfd.is_none() {
        page.heading("Rooms at equal light");
        page.hanging("", "They need a target: state canopy.target_ppfd, the PPFD that every room should hold.");
    }
    page.list("How to read this", &reading(report));
    page.list("Cautions", &report.cautions);
    page.list("Remarks", &report.remarks);
    page
}

fn head(page: &mut Page, report: &RankReport) {
    if report.ended == Ended::Interrupted {
        page.bold(&format!(
            "INTERRUPTED: stopped after {}; what was not come to is missing",
            number::counted(report.trials, "trial")
        ));
        page.gap();
    }
    page.bold(&format!("{}: the options ranked", clean(&report.title)));
    page.gap();
    page.bold(&words::overall(report));
    for contract in &report.contracts {
        page.hanging("- ", &format!("{}: {}", clean(&contract.contract), headline(report, contract)));
    }
    page.gap();
    let currency = clean(&report.currency);
    page.hanging(
        "Basis     ",
        &format!(
            "{} {currency} discounted at {} a year, prices of {}; {} from {}",
            clean(&report.basis),
            number::percent(report.discount_rate, 0.0),
            clean(&report.prices_of),
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start),
        ),
    );
    page.hanging("Rule      ", &rule(report));
    page.hanging(
        "Money     ",
        &format!(
            "present value in {} {currency} of {}{}",
            clean(&report.basis),
            number::counted(report.rooms.into(), "room"),
            report.contracts.first().map_or_else(String::new, |contract| format!(
                " at equal light, {}: there 1 ct/mol comes to {} {currency}",
                clean(&contract.service),
                number::to_noise(contract.service_mol * 0.01 * f64::from(report.rooms), 0.0),
            )),
        ),
    );
    page.hanging(
        "Luck      ",
        &format!(
            "{}, seed {}; all options live through the same ones",
            number::counted(report.trials, "trial"),
            report.seed
        ),
    );
    for (k, (option, basis)) in report.options.iter().zip(&report.light_bases).enumerate() {
        let start = if k == 0 { "Light     " } else { "          " };
        page.hanging(start, &format!("{}: counted {}", clean(option), clean(basis)));
    }
}

/// The rule by which a lead is called.
pub(crate) fn rule(report: &RankReport) -> String {
    let beyond = match report.material {
        Material::Share(0.0) | Material::Amount(0.0) => String::new(),
        Material::Share(share) => format!(" and by more than {} of the cheaper mean cost", number::percent(share, 0.0)),
        Material::Amount(amount) => format!(" and by more than {} ct/mol", number::to_noise(100.0 * amount, 0.0)),
    };
    format!(
        "a lead counts when it is beyond 1.96 standard errors{beyond}; it is clear when the option is cheaper in 90\u{202f}% of \
         trials or more, else leaning; all else is too close to call"
    )
}

fn costs(page: &mut Page, contract: &RankContract, names: &[String]) {
    page.heading("Levelized cost of light, ct/mol");
    page.gap();
    let rows = &contract.order;
    let row_names: Vec<String> = rows.iter().map(|&o| name(names, o)).collect();
    let column = |head: &str, cell: &dyn Fn(usize) -> Vec<String>| Column {
        name: head.to_owned(),
        cells: rows.iter().map(|&o| cell(o)).collect(),
    };
    let table = [
        column("mean", &|o| {
            contract.costs.get(o).map_or_else(Vec::new, |cost| {
                let (mean, error) = noisy(scaled(cost.mean, 100.0));
                vec![mean, error]
            })
        }),
        column("10–90\u{202f}% of trials", &|o| {
            contract.costs.get(o).map_or_else(Vec::new, |cost| vec![number::mean_and_range(cost, 100.0).1])
        }),
        column("place", &|o| vec![words::place(contract, o).to_string()]),
        column("against the first", &|o| vec![words::against_first(contract, o).map_or("–", word).to_owned()]),
    ];
    page.grid(&row_names, &table);
}

pub(crate) fn name(names: &[String], option: usize) -> String {
    names.get(option).cloned().unwrap_or_default()
}

fn option_names(report: &RankReport, width: usize) -> Vec<String> {
    let limit = (first_column(width) * 2) as f64;
    distinct(report.options.iter().map(String::as_str), |name| shorten(name, limit, |text| columns(text) as f64))
}

fn reading(report: &RankReport) -> Vec<String> {
    let mut told = vec![
        "±: 1.96 standard errors of the simulation; they shrink with more trials, the range from 10 to 90\u{202f}% does not"
            .to_owned(),
    ];
    if report.options.len() > 1 {
        told.push(
            "loss: what the pick costs above the cheapest of the same trial, nothing where it is the cheapest; one trial in \
             twenty exceeds the bad case"
                .to_owned(),
        );
        told.push("regret: mean cost in a future above that of the best option there".to_owned());
    }
    if report.target_ppfd.is_some() {
        told.push(
            "surplus: light beyond the target, priced apart: the electricity that dimming it away would save, at the option's \
             own energy, demand and cooling per mole"
                .to_owned(),
        );
    }
    told
}
