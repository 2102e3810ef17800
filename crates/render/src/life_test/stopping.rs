//! When to stop a life test, in words and as a table.
//!
//! Belongs here: numbers of dead lamps put together that call for the same. Does not belong here: the rule itself.

use decide::life_test_report::{Check, StopAdvice, StopTable, TestReport};
use decide::result::Estimate;

use super::{NONE, named, rooms_from};
use crate::number;
use crate::page::{Column, Page};
use crate::relamp::hours;
use crate::stage::exact_or_noisy;
use crate::words::clean;

/// What is to be done for some numbers of dead lamps, least and most.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Range {
    pub least: u32,
    pub most: u32,
    /// The option to choose, or none to go on.
    pub choose: Option<usize>,
}

/// Numbers of dead lamps that follow one another and call for the same.
pub(crate) fn ranges(check: &Check) -> Vec<Range> {
    let mut found: Vec<Range> = vec![];
    for count in check.counts.iter().filter(|count| count.advice != StopAdvice::CannotBe) {
        let choose = (count.advice == StopAdvice::Choose).then_some(count.choice);
        match found.last_mut() {
            Some(last) if last.choose == choose => last.most = count.dead,
            _ => found.push(Range { least: count.dead, most: count.dead, choose }),
        }
    }
    found
}

/// Numbers of dead lamps in words: "none", "2 or more", "1 to 3".
fn span(range: Range, all: u32) -> String {
    let Range { least, most, .. } = range;
    match (least, most) {
        (0, most) if most >= all => "any number".to_owned(),
        (0, 0) => "none".to_owned(),
        (0, most) => format!("{most} or fewer"),
        (least, most) if most >= all && least >= all => format!("all {all}"),
        (least, most) if most >= all => format!("{least} or more"),
        (least, most) if least == most => format!("{least}"),
        (least, most) => format!("{least} to {most}"),
    }
}

/// One check-point as a sentence.
pub(crate) fn sentence(report: &TestReport, stop: &StopTable, check: &Check) -> String {
    let is_end = check.hours >= stop.hours;
    let parts: Vec<String> = ranges(check)
        .into_iter()
        .map(|range| {
            let dead = match (range.least, range.most) {
                (0, most) if most >= stop.lamps => "whatever is seen".to_owned(),
                (0, 0) => format!("with none of {} dead", stop.lamps),
                _ => format!("with {} of {} dead", span(range, stop.lamps), stop.lamps),
            };
            match range.choose {
                Some(option) if is_end => format!("{dead}, choose {}", named(report, option)),
                Some(option) => format!("{dead}, stop: choose {}", named(report, option)),
                None => format!("{dead}, go on"),
            }
        })
        .collect();
    format!("At {}\u{202f}h, {}.", hours(check.hours), parts.join("; "))
}

pub(super) fn stopping(page: &mut Page, report: &TestReport) {
    let Some(stop) = &report.stop else { return };
    page.heading(&format!(
        "When to stop: {} × {}\u{202f}h, for {}",
        stop.lamps,
        hours(stop.hours),
        number::counted(stop.rooms, "room")
    ));
    let names: Vec<String> = stop.checks.iter().map(|check| format!("{}\u{202f}h", hours(check.hours))).collect();
    let said = |check: &Check, choose: Option<usize>| {
        let of: Vec<String> = ranges(check)
            .into_iter()
            .filter(|range| range.choose == choose)
            .map(|range| span(range, stop.lamps))
            .collect();
        vec![if of.is_empty() { NONE.to_owned() } else { of.join(", ") }]
    };
    let used = (0..report.options.len()).filter(|&option| {
        stop.checks.iter().any(|check| ranges(check).iter().any(|range| range.choose == Some(option)))
    });
    let mut columns: Vec<Column> = used
        .map(|option| Column {
            name: format!("dead: choose {}", named(report, option)),
            cells: stop.checks.iter().map(|check| said(check, Some(option))).collect(),
        })
        .collect();
    columns.push(Column {
        name: "dead: go on".to_owned(),
        cells: stop.checks.iter().map(|check| said(check, None)).collect(),
    });
    columns.push(Column {
        name: "chance to end here".to_owned(),
        cells: stop.checks.iter().map(|check| vec![chance(ends(check))]).collect(),
    });
    page.grid(&names, &columns);
    page.gap();
    // the first moment that may end it says how to read the table
    if let Some(check) = stop.checks.iter().find(|check| ends(check) > 0.0) {
        page.hanging("", &sentence(report, stop, check));
    }
    let chances: Vec<String> = stop
        .chances
        .iter()
        .enumerate()
        .filter(|(_, chance)| **chance > 0.0)
        .map(|(option, chance)| format!("{} in {}", named(report, option), self::chance(*chance)))
        .collect();
    page.hanging(
        "",
        &format!(
            "Kept to, it ends after {}\u{202f}h on average, with {}.",
            number::to_noise(stop.expected_h, f64::INFINITY),
            if chances.is_empty() { NONE.to_owned() } else { chances.join(", ") }
        ),
    );
    page.hanging("", &kept(report, stop));
}

/// A chance in per cent, to two digits; what is all but nothing has no digits to count.
pub(crate) fn chance(share: f64) -> String {
    if share > 0.0 && share < 1e-4 { "<0.01\u{202f}%".to_owned() } else { number::percent(share, f64::INFINITY) }
}

/// What the test costs and is worth if the rule is kept.
fn kept(report: &TestReport, stop: &StopTable) -> String {
    let currency = clean(&report.currency);
    let design = report.designs.get(report.best);
    let worth = Estimate { value: stop.expected_worth, se: design.map_or(f64::NAN, |design| design.worth.se) };
    let pays = stop.pays_from_rooms.map_or_else(
        || "it pays for no number of rooms that can be told".to_owned(),
        |rooms| format!("it pays from {}", rooms_from(rooms, worth)),
    );
    let to_the_end = design.map_or_else(String::new, |design| {
        format!(" instead of the {} to its end", number::to_noise(design.cost.round(), 0.0))
    });
    format!(
        "Then it costs {}\u{202f}{currency} on average{to_the_end} and is worth {}\u{202f}{currency} a room: {pays}. The table \
         of designs knows nothing of the rule.",
        number::to_noise(stop.expected_cost.round(), 0.0),
        exact_or_noisy(worth),
    )
}

/// Chance that the test ends at a check-point.
pub(crate) fn ends(check: &Check) -> f64 {
    check.counts.iter().filter(|count| count.advice != StopAdvice::GoOn).map(|count| count.chance).sum()
}
