//! Futures by name: the table of regrets, and what to pick.
//!
//! Belongs here: the table and its sentence. Does not belong here: the numbers.

use decide::rank_report::{Futures, RankReport};

use super::name;
use super::words::joined;
use crate::number;
use crate::page::{Column, Page, first_column};
use crate::relamp::scaled;
use crate::words::{clean, columns, shorten};

/// Writes the regrets; says so where there are none.
pub(super) fn futures(page: &mut Page, report: &RankReport, names: &[String]) {
    if report.options.len() < 2 {
        return;
    }
    page.heading("Regret by future, ct/mol");
    let Some(futures) = &report.futures else {
        page.hanging("", "It was stopped before all futures were lived.");
        return;
    };
    page.hanging("", "Mean cost above that of the best option of the row; \"best\" marks that one.");
    page.gap();
    let limit = (first_column(page.width) * 2 - 2) as f64;
    let mut rows: Vec<String> =
        futures.rows.iter().map(|row| shorten(&row_name(row), limit, |text| columns(text) as f64)).collect();
    rows.push("largest".to_owned());
    let table: Vec<Column> = (0..report.options.len())
        .map(|o| {
            let of_row = |row: &decide::rank_report::FutureRow| {
                let regret = row.regret.get(o).copied().unwrap_or_default();
                if regret.value <= 0.0 { "best".to_owned() } else { number::estimate(scaled(regret, 100.0)) }
            };
            let mut cells: Vec<Vec<String>> = futures.rows.iter().map(|row| vec![of_row(row)]).collect();
            cells.push(vec![largest(futures, o)]);
            Column { name: name(names, o), cells }
        })
        .collect();
    page.ledger(&rows, &table);
    page.gap();
    page.hanging("", &pick(report, futures));
    let mut told: Vec<&str> = vec![];
    for row in futures.rows.iter().filter(|row| !row.moved.is_empty()) {
        if !told.contains(&row.future.as_str()) {
            told.push(&row.future);
            page.hanging("- ", &format!("{}: {}", clean(&row.future), clean(&row.moved)));
        }
    }
}

fn row_name(row: &decide::rank_report::FutureRow) -> String {
    if row.moved.is_empty() {
        clean(&row.contract)
    } else {
        format!("{}: {}", clean(&row.contract), clean(&row.future))
    }
}

/// The largest regret of an option to the noise of the future in which it is met.
fn largest(futures: &Futures, option: usize) -> String {
    let of = |row: &decide::rank_report::FutureRow| row.regret.get(option).copied();
    let worst = futures.rows.iter().filter_map(of).max_by(|a, b| a.value.total_cmp(&b.value));
    number::estimate(scaled(worst.unwrap_or_default(), 100.0))
}

/// What to pick if no chances can be given to the futures.
pub(super) fn pick(report: &RankReport, futures: &Futures) -> String {
    let names: Vec<String> =
        futures.picks.iter().map(|&o| report.options.get(o).map_or_else(String::new, |n| clean(n))).collect();
    let Some(&first) = futures.picks.first() else { return "Nothing can be picked.".to_owned() };
    let count = futures.rows.len();
    let of_futures = match count {
        1 => "in the one future".to_owned(),
        _ => format!("in any of the {} futures", number::count(count as u64)),
    };
    let most = |read: &dyn Fn(&decide::rank_report::FutureRow) -> Option<decide::result::Estimate>| {
        let worst = futures.rows.iter().filter_map(read).max_by(|a, b| a.value.total_cmp(&b.value));
        worst.unwrap_or_default()
    };
    let ct = scaled(most(&|row| row.regret.get(first).copied()), 100.0);
    let money = most(&|row| row.regret_money.get(first).copied());
    let are = if names.len() > 1 { "are the safest picks" } else { "is the safest pick" };
    let best = match futures.best_in.get(first).copied().unwrap_or(0) {
        0 => "though the best in none of them".to_owned(),
        all if all as usize == count && count == 1 => "and the best there".to_owned(),
        all if all as usize == count => "and the best in all of them".to_owned(),
        1 => "though the best in only one".to_owned(),
        some => format!("and the best in {some} of them"),
    };
    if ct.value <= 0.0 {
        return format!("{} {are}: never above the best {of_futures}.", joined(&names));
    }
    format!(
        "{} {are}: never more than {} ct/mol ({} {} for {}) above the best {of_futures}, {best}.",
        joined(&names),
        number::estimate(ct),
        number::estimate(money),
        clean(&report.currency),
        number::counted(report.rooms.into(), "room"),
    )
}
