//! The tables of a ranking: every digit, money in the currency.
//!
//! Belongs here: which rows they have. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::rank_report::{RankContract, RankReport, Rule, Word};
use decide::result::{Estimate, Spread};

use super::words;
use crate::table::{RANK, RANK_PAIRS, RANK_REGRET, RANK_SERVICE, Rows, header};

fn start(file: &str, report: &RankReport) -> Rows {
    Rows::new(&header(file, &report.currency, &report.basis))
}

fn estimate(rows: &mut Rows, estimate: Option<Estimate>) {
    rows.finite(estimate.map(|estimate| estimate.value));
    rows.finite(estimate.map(|estimate| estimate.se));
}

fn spread(rows: &mut Rows, spread: &Spread) {
    estimate(rows, Some(spread.mean));
    rows.finite(Some(spread.sd));
    for point in [spread.p5, spread.p10, spread.p50, spread.p80, spread.p90, spread.p95] {
        estimate(rows, Some(point));
    }
}

fn word(word: Word) -> &'static str {
    match word {
        Word::Clear => "clear",
        Word::Leaning => "leaning",
        Word::WithinNoise => "within noise",
        Word::Immaterial => "immaterial",
    }
}

fn yes(is: bool) -> &'static str {
    if is { "yes" } else { "no" }
}

fn name(report: &RankReport, option: usize) -> &str {
    report.options.get(option).map_or("", String::as_str)
}

/// [`RANK`] as text: one row per contract and option, in the order of the ranking.
pub fn rank_csv(report: &RankReport) -> String {
    let mut rows = start(RANK, report);
    for contract in &report.contracts {
        for &option in &contract.order {
            let (Some(cost), Some(loss)) = (contract.costs.get(option), contract.losses.get(option)) else { continue };
            rows.text(&contract.contract);
            rows.text(name(report, option));
            rows.number(words::place(contract, option) as f64);
            rows.text(report.light_bases.get(option).map_or("", String::as_str));
            rows.text(&report.prices_of);
            rows.number(report.trials as f64);
            rows.number(report.rooms.into());
            spread(&mut rows, cost);
            rows.text(words::against_first(contract, option).map_or("", word));
            estimate(&mut rows, Some(loss.mean));
            rows.finite(Some(loss.p95.value));
            estimate(&mut rows, Some(loss.mean_money));
            rows.finite(Some(loss.p95_money.value));
            estimate(&mut rows, Some(loss.cheapest));
            rows.end();
        }
    }
    rows.finish()
}

/// [`RANK_PAIRS`] as text: one row per contract and pair.
pub fn rank_pairs_csv(report: &RankReport) -> String {
    let mut rows = start(RANK_PAIRS, report);
    for contract in &report.contracts {
        pairs(&mut rows, report, contract);
    }
    rows.finish()
}

fn pairs(rows: &mut Rows, report: &RankReport, contract: &RankContract) {
    for pair in &contract.pairs {
        rows.text(&contract.contract);
        rows.text(name(report, pair.a));
        rows.text(name(report, pair.b));
        estimate(rows, Some(pair.lead));
        rows.finite(Some(pair.lead_p10.value));
        rows.finite(Some(pair.lead_p90.value));
        estimate(rows, Some(pair.chance_a_cheaper));
        rows.finite(Some(pair.material));
        rows.text(word(pair.word));
        for money in [pair.lead_money, pair.loss_if_a, pair.loss_if_b] {
            estimate(rows, Some(money));
        }
        let told = pair.dominance;
        rows.text(match told.rule {
            Rule::Alike => "alike",
            Rule::ForAll => "for all",
            Rule::ForTheCautious => "for the cautious",
            Rule::Neither => "neither",
        });
        let dominant = matches!(told.rule, Rule::ForAll | Rule::ForTheCautious);
        let better = if told.a_is_better { pair.a } else { pair.b };
        rows.text(if dominant { name(report, better) } else { "" });
        rows.finite(Some(told.against).filter(|_| dominant));
        rows.finite(Some(told.allowed));
        rows.end();
    }
}

/// [`RANK_REGRET`] as text: one row per contract, future and option.
pub fn rank_regret_csv(report: &RankReport) -> String {
    let mut rows = start(RANK_REGRET, report);
    if let Some(futures) = &report.futures {
        for row in &futures.rows {
            for option in 0..row.costs.len() {
                rows.text(&row.contract);
                rows.text(&row.future);
                rows.text(&row.moved);
                rows.text(name(report, option));
                for of in [&row.costs, &row.regret, &row.regret_money] {
                    estimate(&mut rows, of.get(option).copied());
                }
                rows.text(yes(row.regret.get(option).is_some_and(|regret| regret.value <= 0.0)));
                rows.finite(futures.worst.get(option).copied());
                rows.text(yes(futures.picks.contains(&option)));
                rows.end();
            }
        }
    }
    rows.finish()
}

/// [`RANK_SERVICE`] as text: one row per contract and option; none without a target PPFD.
pub fn rank_service_csv(report: &RankReport) -> String {
    let mut rows = start(RANK_SERVICE, report);
    for (contract, held) in report.contracts.iter().filter_map(|c| Some((c, c.service_held.as_ref()?))) {
        for (option, of) in held.options.iter().enumerate() {
            rows.text(&contract.contract);
            rows.text(name(report, option));
            rows.number(report.rooms.into());
            rows.finite(report.target_ppfd);
            rows.finite(Some(held.target_mol));
            rows.number(of.fixtures.into());
            estimate(&mut rows, Some(of.share));
            estimate(&mut rows, Some(of.worst_share));
            rows.number(of.worst_month.into());
            rows.text(yes(of.is_short()));
            rows.finite(of.darkest_ratio);
            rows.finite(of.darkest_ppfd);
            rows.finite(Some(of.needed_for_mean.value));
            rows.finite(of.needed_for_darkest);
            rows.number(of.whole.into());
            estimate(&mut rows, Some(of.as_written));
            estimate(&mut rows, of.whole_cost);
            rows.finite(Some(of.surplus_mol));
            estimate(&mut rows, Some(of.surplus_cost));
            estimate(&mut rows, Some(of.less_surplus));
            rows.end();
        }
    }
    rows.finish()
}
