//! The tables of planned life tests: every digit, money in the currency.
//!
//! Belongs here: which rows they have. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::life_test_report::{StopAdvice, TestReport};

use crate::table::{Rows, TEST, TEST_STOP, header};

/// [`TEST`] as text: one row for each design, and one more for the same lamps in production sockets.
pub fn test_csv(report: &TestReport) -> String {
    let mut rows = Rows::new(&header(TEST, &report.currency, &report.basis));
    let on = if report.terms.in_sockets { "sockets" } else { "bench" };
    let best = report.designs.get(report.best);
    for (place, design) in
        report.designs.iter().map(|design| (on, design)).chain(report.in_sockets.iter().map(|d| ("sockets", d)))
    {
        rows.text(&report.of);
        rows.text(&report.options.join(" | "));
        rows.text(&report.contract);
        rows.text(&report.prices_of);
        rows.number(f64::from(report.rooms));
        rows.number(report.trials as f64);
        rows.number(report.simulated as f64);
        rows.text(place);
        rows.number(f64::from(design.lamps));
        rows.number(design.hours);
        rows.number(f64::from(design.looks));
        rows.number(design.days);
        rows.number(design.price_per_kwh);
        for cost in [design.lamps_cost, design.electricity_cost, design.labour_cost, design.cost] {
            rows.number(cost);
        }
        rows.number(design.worth.value);
        rows.number(design.worth.se);
        rows.number(report.known.value);
        rows.number(report.known.se);
        rows.number(design.net.value);
        rows.number(design.net.se);
        rows.finite(design.pays_from_rooms.map(|rooms| rooms as f64));
        rows.number(design.changes);
        rows.text(if design.is_idle { "yes" } else { "no" });
        rows.text(if best == Some(design) && place == on { "yes" } else { "no" });
        rows.end();
    }
    rows.finish()
}

/// [`TEST_STOP`] as text: one row for each check-point and number of dead lamps.
pub fn test_stop_csv(report: &TestReport) -> String {
    let mut rows = Rows::new(&header(TEST_STOP, &report.currency, &report.basis));
    if let Some(stop) = &report.stop {
        for check in &stop.checks {
            for count in &check.counts {
                rows.text(&report.of);
                rows.text(&report.contract);
                rows.number(stop.rooms as f64);
                rows.number(f64::from(stop.lamps));
                rows.number(stop.hours);
                rows.number(check.hours);
                rows.number(f64::from(count.dead));
                rows.number(count.chance);
                rows.number(count.worth_of_going_on);
                rows.number(count.cost_of_going_on);
                rows.text(match count.advice {
                    StopAdvice::Choose => "choose",
                    StopAdvice::GoOn => "go_on",
                    StopAdvice::CannotBe => "cannot_be",
                });
                let choice = report.options.get(count.choice).map_or("", String::as_str);
                rows.text(if count.advice == StopAdvice::Choose { choice } else { "" });
                rows.end();
            }
        }
    }
    rows.finish()
}

/// All tables of a report.
pub(crate) fn tables(report: &TestReport) -> Vec<(String, String)> {
    vec![(TEST.into(), test_csv(report)), (TEST_STOP.into(), test_stop_csv(report))]
}
