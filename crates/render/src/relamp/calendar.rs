//! Lamps by month, or by a longer time where months would fill pages.
//!
//! Belongs here: which months are told, and how they are gathered. Does not belong here: the lamps.

use decide::relamp_report::{LampMonth, RelampOption, RelampReport};

use super::{NONE, lamps};
use crate::number;
use crate::page::{Column, Page};
use crate::words::clean;

/// Most lines of the table.
const MOST_LINES: usize = 24;
/// Months that may stand in one line.
const STEPS: [usize; 3] = [1, 3, 12];
/// Lamps a month, on average, that are not worth a line.
const FEW: f64 = 0.005;

/// One line: its months, the means summed, and the highest of their needs.
#[derive(Debug, PartialEq)]
struct Line {
    name: String,
    planned: f64,
    spot: f64,
    buy: [f64; 3],
    hold: [f64; 3],
    by_table: u64,
}

/// Writes the table.
pub(super) fn calendar(page: &mut Page, report: &RelampReport, option: &RelampOption) {
    if option.months.is_empty() {
        return;
    }
    let (step, lines) = lines(&option.months);
    page.heading(match step {
        1 => "Lamps by month, as written",
        3 => "Lamps by quarter, as written",
        _ => "Lamps by year, as written",
    });
    if lines.is_empty() {
        page.hanging("", "No month needs a lamp.");
        return;
    }
    let of = if step == 1 { "the month" } else { "the month that needs most" };
    page.hanging(
        "",
        &format!(
            "Means of lamps put in{}; then how many half / 80 % / 95 % of trials need at most: to buy in {of}, broken \
             ones included, and as spares at its beginning for failures of {} until a delivery comes. By table: what a \
             Poisson demand of the same mean asks for with 95 %. Months without lamps are left out.",
            if step == 1 { "" } else { ", summed" },
            if option.lead_months == 1 { "1 month".to_owned() } else { format!("{} months", option.lead_months) },
        ),
    );
    page.gap();
    let column = |name: &str, cell: &dyn Fn(&Line) -> String| Column {
        name: name.to_owned(),
        cells: lines.iter().map(|line| vec![cell(line)]).collect(),
    };
    let names: Vec<String> = lines.iter().map(|line| line.name.clone()).collect();
    let table = [
        column("planned, mean", &|line| lamps(line.planned, report.trials)),
        column("for failed ones, mean", &|line| lamps(line.spot, report.trials)),
        column("to buy: half / 80 % / 95 %", &|line| at_most(line.buy)),
        column("spares: half / 80 % / 95 %", &|line| at_most(line.hold)),
        column("spares by table", &|line| number::count(line.by_table)),
    ];
    page.grid(&names, &table);
}

/// The lines, and how many months stand in each.
fn lines(months: &[LampMonth]) -> (usize, Vec<Line>) {
    let mut found = (1, vec![]);
    for step in STEPS {
        found = (step, months.chunks(step).map(gathered).filter(worth_a_line).collect());
        if found.1.len() <= MOST_LINES {
            break;
        }
    }
    found
}

fn gathered(months: &[LampMonth]) -> Line {
    // points of distributions do not add up, so that the highest month stands for all
    let highest = |of: fn(&LampMonth) -> [f64; 3]| {
        let most = |most: [f64; 3], month: &LampMonth| {
            let here = of(month);
            [most[0].max(here[0]), most[1].max(here[1]), most[2].max(here[2])]
        };
        months.iter().fold([f64::NEG_INFINITY; 3], most)
    };
    let name = |month: Option<&LampMonth>| month.map_or_else(String::new, |month| clean(&month.month));
    let (first, last) = (name(months.first()), name(months.last()));
    Line {
        name: if first == last { first } else { format!("{first} to {last}") },
        planned: months.iter().map(|month| month.planned).sum(),
        spot: months.iter().map(|month| month.spot).sum(),
        buy: highest(|month| month.buy),
        hold: highest(|month| month.hold),
        by_table: months.iter().map(|month| month.hold_by_table).max().unwrap_or(0),
    }
}

fn worth_a_line(line: &Line) -> bool {
    let few = line.planned < FEW && line.spot < FEW;
    !(few && line.buy.iter().chain(&line.hold).all(|most| *most <= 0.0))
}

/// Three points of a count, rounded up: so many are enough.
pub(crate) fn at_most(points: [f64; 3]) -> String {
    let whole = |point: f64| if point.is_finite() { number::fixed((point - 1e-9).ceil(), 0) } else { NONE.to_owned() };
    points.map(whole).join(" / ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::relamp as sample;

    #[test]
    fn many_months_are_gathered_and_empty_ones_left_out() {
        let report = sample::realistic();
        let (step, quarters) = lines(&report.options[0].months);
        assert_eq!((step, quarters.len()), (3, 20));
        assert_eq!(quarters[7].name, "2032-12 to 2033-02");
        assert_eq!((quarters[7].planned, quarters[7].buy), (24.0, [24.0, 25.0, 26.0]));
        assert!((quarters[7].spot - 0.93).abs() < 1e-12);
        assert_eq!(lines(&report.options[1].months).0, 1);
        let (step, years) = lines(&sample::long().options[0].months);
        assert_eq!((step, years.len()), (12, 30));
        let mut months = report.options[1].months.clone();
        (months[4].spot, months[4].buy, months[4].hold) = (0.001, [0.0; 3], [0.0; 3]);
        let left: Vec<String> = lines(&months).1.into_iter().map(|line| line.name).collect();
        assert_eq!(left.len(), 8);
        assert!(!left.contains(&months[4].month));
    }

    #[test]
    fn points_are_rounded_up() {
        assert_eq!(at_most([0.0, 2.000_000_000_1, 2.3]), "0 / 2 / 3");
        assert_eq!(at_most([f64::NAN, 1.0, f64::INFINITY]), "– / 1 / –");
    }
}
