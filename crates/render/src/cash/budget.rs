//! What the money has to be there for: percentiles by year and of the whole, the worst month.
//!
//! Belongs here: the tables and the sentences under them. Does not belong here: arithmetic.

use decide::cash_report::{CashOption, CashReport};
use decide::result::{Estimate, Spread};

use super::against::plain;
use super::{money, year_name};
use crate::number;
use crate::page::{Column, Page};
use crate::words::{clean, columns};

pub(super) fn budget(page: &mut Page, report: &CashReport, names: &[String]) {
    page.heading(&format!("Budget, {}, not discounted", money(report)));
    page.hanging(
        "",
        "in each column the 10 %, 50 %, 80 % and 90 % points of the trials; a column of percentiles does not add up",
    );
    page.gap();
    let count = report.options.iter().map(|option| option.budget.years.len()).max().unwrap_or(0);
    let rows: Vec<String> = (0..count).map(|year| year_name(report, year)).chain(["total".to_owned()]).collect();
    let column = |(option, name): (&CashOption, &String)| {
        let years = option.budget.years.iter().chain([&option.budget.total]);
        Column { name: name.clone(), cells: in_line(&years.map(points).collect::<Vec<_>>()) }
    };
    page.ledger(&rows, &report.options.iter().zip(names).map(column).collect::<Vec<_>>());
    page.gap();
    for (option, name) in report.options.iter().zip(names) {
        page.hanging("- ", &format!("{name}: {}", contingency(report, option)));
    }
}

/// The four points, none finer than the least certain of them.
fn points(spread: &Spread) -> [String; 4] {
    let all = [spread.p10, spread.p50, spread.p80, spread.p90];
    let noise = all.iter().map(|point| noise(spread, *point)).fold(0.0, f64::max);
    all.map(|point| plain(point.value, noise))
}

/// Rows of numbers as single cells whose numbers stand below each other: parts of a cell would be taken for a number, its
/// range and a mark.
fn in_line(rows: &[[String; 4]]) -> Vec<Vec<String>> {
    let width = |place: usize| rows.iter().map(|row| columns(&row[place])).max().unwrap_or(0);
    let widths: [usize; 4] = std::array::from_fn(width);
    let padded =
        |(text, width): (&String, &usize)| format!("{}{text}", " ".repeat(width.saturating_sub(columns(text))));
    let line = |row: &[String; 4]| row.iter().zip(&widths).map(padded).collect::<Vec<_>>().join(" ");
    rows.iter().map(|row| vec![line(row)]).collect()
}

/// The noise of a percentile. Where trials come out in a few amounts only, a percentile hardly moves and looks surer than
/// it is: it gets no more digits than the mean.
fn noise(spread: &Spread, point: Estimate) -> f64 {
    point.se.max(spread.mean.se)
}

fn contingency(report: &CashReport, option: &CashOption) -> String {
    let budget = &option.budget;
    let currency = clean(&report.currency);
    let p80 = budget.total.p80;
    let se = noise(&budget.total, p80);
    let shown = |value: f64| format!("{}\u{202f}{currency}", number::to_noise(value, se));
    let month = &budget.worst_month;
    let worst = if month.date.is_empty() {
        String::new()
    } else {
        format!(
            "; worst month after the start: {}, {}\u{202f}{currency} on average, 90 % point {}",
            clean(&month.date),
            number::estimate(month.mean),
            number::to_noise(month.p90.value, month.p90.se.max(month.mean.se))
        )
    };
    let extra = budget.sum_of_p80 - p80.value;
    let wrong = if extra.abs() <= se.max(1e-9 * p80.value.abs()) {
        "adding up the yearly 80 % points would give the same here, as all years are as good or bad together".to_owned()
    } else if extra > 0.0 {
        format!(
            "adding up the yearly 80 % points would give {}: too much, because bad years do not all come in the same trial",
            shown(budget.sum_of_p80)
        )
    } else {
        format!("adding up the yearly 80 % points would give {}: too little here", shown(budget.sum_of_p80))
    };
    if option.budget.total.sd == 0.0 {
        return format!("every trial costs the same, so there is nothing to set aside{worst}");
    }
    let contingency = Estimate { value: budget.contingency.value, se };
    format!(
        "80 % of the trials stay within {}; contingency {}\u{202f}{currency} = 80 % point less the mean; {wrong}{worst}",
        shown(p80.value),
        number::estimate(contingency),
    )
}
