//! What a printed trial and its tables must keep to, whatever the report.

use super::*;
use crate::sample::assign as sample;
use crate::table::{BALANCE, LOG_SHEET, SEALED_KEY, header};

fn joined(report: &AssignReport) -> String {
    let text = terminal(report, 100, false).replace(['\u{202f}', '\u{a0}'], " ");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
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
    let all = [terminal(&blind.report, 80, false), log_sheet_csv(&blind.report), balance_csv(&blind.report)].concat();
    assert!(!all.contains("B long-life arc"));
    assert!(all.contains("as the sealed key says"));
    let key = key_csv(&blind.key);
    assert!(key.starts_with("code,lamp,sockets\r\nX,"), "{key}");
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
