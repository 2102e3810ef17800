//! What a printed trial and its tables must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading;
use crate::sample::assign as sample;
use crate::table::{BALANCE, LOG_SHEET, SEALED_KEY, header};

fn joined(report: &AssignReport) -> String {
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
fn a_page_says_who_hangs_where_and_what_it_costs() {
    let text = joined(&sample::realistic());
    for needed in [
        "Study of two bays: a trial by lot",
        "24 sockets in 4 rows of 6, numbered row by row",
        "A = A cheap arc, 12 sockets",
        "12 × (124 − 46) = 936 USD more than A cheap arc in all these sockets",
        "seed 7: the same seed draws the same plan again",
        "filled in order 3.00 0.00 2.00 0.00",
        "by lot 0.00 0.00 0.00",
    ] {
        assert!(text.contains(needed), "{needed} is not in\n{text}");
    }
}

#[test]
fn a_blind_page_names_no_lamp_beside_a_code() {
    let blind = sample::blind();
    let all = [printed(&blind.report, 80, false), log_sheet_csv(&blind.report), balance_csv(&blind.report)].concat();
    assert!(!all.contains("B long-life arc"));
    assert!(all.contains("as the sealed key says"));
    let key = key_csv(&blind.key);
    assert!(key.starts_with("code,lamp,sockets\r\nP,"), "{key}");
    assert!(key.contains("B long-life arc,12"));
}

#[test]
fn tables_are_as_wide_as_their_heads() {
    let cells = |text: &str| -> Vec<Vec<String>> {
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
        reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect()
    };
    for (which, report) in sample::all() {
        let log = cells(&log_sheet_csv(&report));
        assert_eq!(log[0], header(LOG_SHEET, "", ""), "{which}");
        assert_eq!(log.len() - 1, report.sockets.iter().filter(|socket| socket.lamp.is_some()).count());
        assert_eq!(cells(&balance_csv(&report))[0], header(BALANCE, "", ""), "{which}");
        assert!(log.iter().flatten().all(|cell| !cell.starts_with(['=', '@', '-', '+'])), "{which}");
    }
    assert_eq!(cells(&key_csv(&sample::blind().key))[0], header(SEALED_KEY, "", ""));
    let log = cells(&log_sheet_csv(&sample::realistic()));
    assert_eq!(log[1][5..], ["2031-03-01", "", "", "", "", "", ""]);
}
