//! What the printed tests and their tables must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading::{self, holds};
use crate::sample::life_test as sample;
use crate::table::{TEST, TEST_STOP, header};

fn joined(report: &TestReport) -> String {
    proofreading::joined(&printed(report, 100, false))
}

#[test]
fn everything_fits_its_width() {
    for (which, report) in sample::all() {
        proofreading::keeps_its_width(which, |width| printed(&report, width, false));
    }
}

#[test]
fn hostile_text_reaches_no_terminal_and_colour_adds_nothing() {
    proofreading::is_harmless(|color| printed(&sample::hostile(), 80, color));
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
            "Then it costs 1806 USD on average instead of the 2182 to its end and is worth 200 ± 20 USD a room: it pays from",
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
        &[
            "in production sockets",
            "too close to call",
            "Each is worth less than the noise of 4000 trials can tell",
            "in none of 2000",
        ],
    );
}

#[test]
fn a_verdict_speaks_of_the_designs_that_were_weighed() {
    let mut report = sample::idle();
    report.ended = Ended::Interrupted;
    assert!(verdict(&report).starts_with("Of no more than 2 designs weighed: Worth nothing"), "{}", verdict(&report));
}

#[test]
fn rooms_and_chances_have_no_more_digits_than_noise_allows() {
    let from = |rooms: u64, share: f64| rooms_from(rooms, Estimate { value: 1.0, se: share }).replace('\u{202f}', " ");
    for (rooms, share, text) in [
        (1063, 0.3, "about 1000 rooms"),
        (5650, 0.3, "about 6000 rooms"),
        (16, 0.04, "about 16 rooms"),
        (16, 0.01, "16 rooms"),
        (1, 0.4, "1 room"),
        (7, f64::NAN, "7 rooms"),
    ] {
        assert_eq!(from(rooms, share), text, "{rooms} {share}");
    }
    let said = [2e-8, 1e-4, 0.0, 0.384].map(|share| stopping::chance(share).replace('\u{202f}', " "));
    assert_eq!(said, ["<0.01 %", "0.01 %", "0 %", "38 %"]);
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
