//! What the printed stages and their table must keep to, whatever the report.

use super::*;
use crate::sample::stage as sample;
use crate::table::{STAGE, header};

fn joined(report: &StageReport) -> String {
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
fn a_page_says_what_it_rests_on_and_who_is_best() {
    holds(
        &joined(&sample::realistic()),
        &[
            "Study of two bays: buy now, decide later",
            "present value, real USD discounted at 8 % a year, prices of 2031-03; 5 years from 2031-03-01 Contract",
            "2033-03-01, after 2 years and 8763 h of burning; the fixtures stay",
            "Cheapest: A cheap arc, then what 4 watched lamps advise, by 60 ± 20 USD before A cheap arc, then what is believed \
             today: B long-life arc.",
            "Changing to B long-life arc saves 300 ± 30 USD; changing is the cheaper course in 76 % of trials",
            "half of its lamps live 11 600 – 17 000 – 25 000 burn hours",
            "Other numbers of dead lamps were seen in no trial.",
            "Knowing every input at the change would be worth 140 ± 20 USD",
        ],
    );
}

#[test]
fn watching_that_changes_nothing_is_called_so() {
    let text = joined(&sample::idle());
    holds(
        &text,
        &[
            "Watching is worth nothing: no outcome would change your mind.",
            "; for 12 rooms",
            "with fixtures of its own",
            "Too close to call: A cheap arc throughout; B long-life arc throughout (the same in every trial: A cheap arc, \
             then what is believed today: A cheap arc).",
            "Staying with A cheap arc saves 600 ± 30 USD",
            "(less than 9)",
        ],
    );
    assert!(!joined(&sample::realistic()).contains("worth nothing"));
    let text = joined(&sample::bare());
    holds(&text, &["cost the same after the change in every trial", "worth nothing that these trials can see"]);
    assert!(!text.contains("watched"));
}

#[test]
fn the_table_has_the_columns_of_its_header() {
    for (which, report) in sample::all() {
        let text = stage_csv(&report);
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
        let rows: Vec<Vec<String>> =
            reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect();
        assert_eq!(rows[0], header(STAGE, &report.currency, &report.basis), "{which}");
        assert_eq!(rows.len(), 1 + report.policies.len() + report.watchings.len() + report.rule.len());
        for cell in rows.iter().skip(1).flatten() {
            assert!(!cell.starts_with(['=', '+', '@', '\t', '\r']), "{cell:?}");
            assert!(!cell.starts_with('-') || cell.parse::<f64>().is_ok(), "{cell:?}");
        }
    }
    let rows = stage_csv(&sample::realistic());
    assert!(
        rows.contains("outcome,A cheap arc,B long-life arc,flat day rate,2031-03,2033-03-01,1,4000,,4,0,0.63775,0.007")
    );
}
