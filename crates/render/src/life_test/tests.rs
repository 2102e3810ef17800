//! What the printed tests and their tables must keep to, whatever the report.

use super::*;
use crate::sample::life_test as sample;
use crate::table::{TEST, TEST_STOP, header};
use crate::words::columns;

fn joined(report: &TestReport) -> String {
    let text = terminal(report, 100, false).replace(['\u{202f}', '\u{a0}'], " ");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn holds(text: &str, all: &[&str]) {
    for needed in all {
        assert!(text.contains(needed), "{needed} is not in\n{text}");
    }
}

#[test]
fn everything_fits_its_width() {
    for (which, report) in sample::all() {
        for width in [0, 48, 60, 80, 132, 200] {
            for line in terminal(&report, width, false).lines() {
                assert!(columns(line) <= width.max(48), "{which} at {width}: {} columns: {line}", columns(line));
            }
        }
    }
}

#[test]
fn hostile_text_reaches_no_terminal_and_colour_adds_nothing() {
    let text = terminal(&sample::hostile(), 80, false);
    assert!(!text.contains(['\u{1b}', '\u{7}', '\u{202e}', '\u{2067}', '\u{0}', '\r', '\u{85}']));
    let bold = terminal(&sample::hostile(), 80, true).replace("\u{1b}[1m", "").replace("\u{1b}[0m", "");
    assert_eq!(bold, text);
}

#[test]
fn a_page_says_what_a_test_costs_what_it_leaves_and_when_it_ends() {
    holds(
        &joined(&sample::realistic()),
        &[
            "Study of two bays: is a life test worth it?",
            "prices of 2031-03; 5 years from 2031-03-01; for 20 rooms Contract",
            "lamps of B long-life arc, on a bench, 11 h on and 1 h off",
            "Today's choice is A cheap arc, by 100 ± 40 USD a room before B long-life arc.",
            "half of them live 11 400 – 16 700 – 24 600 burn hours",
            "would be worth 390 ± 20 USD a room; no test can tell more",
            "Best for 20 rooms: 4 lamps for 8000 h; it leaves 1000 ± 300 USD.",
            "When to stop: 6 × 8000 h, for 20 rooms",
            "At 2000 h, with none of 6 dead, go on; with 1 or more of 6 dead, stop: choose A cheap arc.",
            "Kept to, it ends after 6900 h on average, with A cheap arc in 38 %, B long-life arc in 62 %.",
            "6 × 8000 h in sockets of a room would cost 468 USD",
        ],
    );
}

#[test]
fn tests_that_change_nothing_are_called_so() {
    let text = joined(&sample::idle());
    holds(&text, &["Worth nothing, because nothing you could see would change your choice: A cheap arc.", "never"]);
    assert!(!text.contains("When to stop"));
    let text = joined(&sample::bare());
    holds(
        &text,
        &["in production sockets", "too close to call", "None of these is worth anything that", "in none of 2000"],
    );
}

#[test]
fn numbers_of_dead_lamps_are_put_together() {
    let report = sample::realistic();
    let stop = report.stop.as_ref().unwrap();
    let said: Vec<String> =
        stop.checks.iter().map(|check| sentence(&report, stop, check).replace('\u{202f}', " ")).collect();
    assert_eq!(
        said[2],
        "At 6000 h, with none of 6 dead, stop: choose B long-life arc; with 1 of 6 dead, go on; with 2 or more of 6 dead, \
         stop: choose A cheap arc."
    );
    assert_eq!(
        said[3],
        "At 8000 h, with 1 or fewer of 6 dead, choose B long-life arc; with 2 or more of 6 dead, choose A cheap arc."
    );
}

#[test]
fn tables_have_a_cell_for_each_column() {
    for (which, report) in sample::all() {
        for (file, text) in [(TEST, test_csv(&report)), (TEST_STOP, test_stop_csv(&report))] {
            let mut reader =
                csv::ReaderBuilder::new().flexible(true).from_reader(text.trim_start_matches('\u{feff}').as_bytes());
            let wanted = header(file, &report.currency, &report.basis).len();
            assert_eq!(reader.headers().unwrap().len(), wanted, "{which}");
            for row in reader.records() {
                let row = row.unwrap();
                assert_eq!(row.len(), wanted, "{which}");
                assert!(row.iter().all(|cell| !cell.starts_with(['=', '+', '@'])), "{which}: {row:?}");
            }
        }
    }
    let text = test_csv(&sample::realistic());
    assert_eq!(text.lines().count(), 18);
    assert_eq!(text.matches(",yes").count(), 3, "{text}");
}
