//! Losses and pairs of one contract.
//!
//! Belongs here: their tables, and which pairs are printed. Does not belong here: the sentences (`words`).

use decide::rank_report::{RankContract, RankReport, Rule};
use decide::result::Estimate;

use super::name;
use super::words::{self, view, word};
use crate::breakeven::noisy;
use crate::number;
use crate::page::{Column, Page};
use crate::relamp::scaled;
use crate::words::clean;

/// Options up to which every pair is printed; of more, those with the first. The table has them all.
const ALL_PAIRS: usize = 6;

/// What is lost if an option is picked and is not the cheapest.
pub(super) fn losses(page: &mut Page, report: &RankReport, contract: &RankContract, names: &[String]) {
    if contract.order.len() < 2 {
        return;
    }
    let currency = clean(&report.currency);
    page.heading(&format!(
        "If it is picked: what may be lost, {currency} for {}",
        number::counted(report.rooms.into(), "room")
    ));
    page.gap();
    let rows: Vec<String> = contract.order.iter().map(|&o| name(names, o)).collect();
    let column = |head: &str, cell: &dyn Fn(usize) -> Vec<String>| Column {
        name: head.to_owned(),
        cells: contract.order.iter().map(|&o| cell(o)).collect(),
    };
    let losses = &contract.losses;
    let table = [
        column("expected loss", &|o| losses.get(o).map_or_else(Vec::new, |loss| pair(exact_or_noisy(loss.mean_money)))),
        column("1 in 20 loses more than", &|o| {
            losses.get(o).map_or_else(Vec::new, |loss| vec![number::estimate(loss.p95_money)])
        }),
        column("cheapest of all in", &|o| {
            losses.get(o).map_or_else(Vec::new, |loss| vec![number::percent(loss.cheapest.value, loss.cheapest.se)])
        }),
    ];
    page.grid(&rows, &table);
}

/// What never varied has no error to be told.
fn exact_or_noisy(amount: Estimate) -> (String, String) {
    if amount.se == 0.0 { (number::estimate(amount), String::new()) } else { noisy(amount) }
}

fn pair((value, error): (String, String)) -> Vec<String> {
    vec![value, error]
}

/// The pairs that are printed, the cheaper one first.
fn printed(contract: &RankContract) -> Vec<(usize, usize)> {
    let order = &contract.order;
    let firsts = if order.len() > ALL_PAIRS { 1 } else { order.len() };
    let of = |place: usize| order[place + 1..].iter().map(move |&dearer| (order[place], dearer));
    (0..firsts).flat_map(of).collect()
}

/// The end of a range that the noise hides is nothing.
fn plain(end: String) -> String {
    if end.contains('±') { "0".to_owned() } else { end }
}

/// Every pair, the cheaper one first.
pub(super) fn pairs(page: &mut Page, report: &RankReport, contract: &RankContract, names: &[String]) {
    let shown = printed(contract);
    if shown.is_empty() {
        return;
    }
    let currency = clean(&report.currency);
    page.heading("Pair by pair");
    if contract.order.len() > ALL_PAIRS {
        page.hanging("", "Only the pairs with the first; rank-pairs.csv has all of them.");
    }
    page.gap();
    let rows: Vec<String> = shown
        .iter()
        .map(|&(cheaper, dearer)| format!("{} against {}", name(names, cheaper), name(names, dearer)))
        .collect();
    let views: Vec<_> = shown.iter().map(|&(cheaper, dearer)| view(contract, cheaper, dearer)).collect();
    let column = |head: &str, cell: &dyn Fn(&words::View) -> Vec<String>| Column {
        name: head.to_owned(),
        cells: views.iter().map(|view| view.as_ref().map_or_else(Vec::new, cell)).collect(),
    };
    let table = [
        column("saves, ct/mol", &|view| pair(noisy(scaled(view.saving, 100.0)))),
        column("10–90\u{202f}%", &|view| {
            let se = 100.0 * view.low.se.max(view.high.se);
            let [low, high] = [view.low, view.high].map(|at| plain(number::to_noise(100.0 * at.value, se)));
            vec![number::range(&low, &high)]
        }),
        column("cheaper in", &|view| vec![number::percent(view.chance.value, view.chance.se)]),
        column("said", &|view| vec![word(view.word).to_owned()]),
        column(&format!("saves, {currency}"), &|view| pair(noisy(view.money))),
        column("expected loss if picked", &|view| vec![number::estimate(view.loss)]),
        column("if the other is", &|view| vec![number::estimate(view.loss_of_other)]),
    ];
    page.grid(&rows, &table);
}

/// Which option is better whoever chooses.
pub(super) fn dominance(page: &mut Page, report: &RankReport, contract: &RankContract) {
    let shown = printed(contract);
    let of_shown = |a: usize, b: usize| shown.iter().any(|&(x, y)| (x.min(y), x.max(y)) == (a, b));
    let pairs = || contract.pairs.iter().filter(|pair| of_shown(pair.a, pair.b));
    if shown.is_empty() {
        return;
    }
    page.heading("Whoever chooses");
    for sentence in pairs().filter_map(|pair| words::dominance(report, pair)) {
        page.hanging("- ", &sentence);
    }
    let open = pairs().filter(|pair| pair.dominance.rule == Rule::Neither);
    let open: Vec<String> = open
        .map(|pair| {
            let [a, b] = [pair.a, pair.b].map(|o| report.options.get(o).map_or_else(String::new, |name| clean(name)));
            format!("{a} or {b}")
        })
        .collect();
    if !open.is_empty() {
        page.hanging("- ", &format!("{}: neither dominates; it depends on how risk is weighed.", open.join("; ")));
    }
}
