//! What the printed search and its table must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading;
use crate::sample::hours as sample;
use crate::table::{STARTS, header};

#[test]
fn everything_fits_its_width() {
    for (which, report) in sample::all() {
        proofreading::keeps_its_width(which, |width| printed(&report, width, false));
    }
}

/// The text with its lines joined, so that a sentence may be looked for wherever it breaks.
fn joined(report: &HoursReport, width: usize) -> String {
    printed(report, width, false).lines().map(str::trim).collect::<Vec<_>>().join(" ")
}

#[test]
fn a_search_says_what_it_rests_on() {
    let text = joined(&sample::realistic(), 100);
    for needed in [
        "Study of two bays: when to light",
        "real USD, prices of 2031-03; ct/mol is the levelized cost of a delivered mole over 5 years",
        "10\u{202f}000 trials, seed 1",
        "every 15 minutes",
        "2 rate sheets; contracts that differ in their hours alone are one",
        "Any start will do: all 96 starts are within 1 % of the cheapest.",
        "any of 96",
        "What small changes cost: A cheap arc, 25.25 kW of lights",
        "First twelve months, every socket lit, prices as written, of 2031-03, not escalated",
        "+1251",
        "0.97 on 2031-04-01",
        "5.271 ct/kWh, 21–09",
        "13.59 ct/kWh, 07–08",
        "13.59 ct/kWh, 09–14",
        "3 rooms that share the lights evenly: A cheap arc",
        "11:00, 2\u{a0}×\u{a0}23:00",
        "All combinations of starts every 60 minutes were tried.",
        "no difference worth naming: less than 0.1 %",
        "the mean of 10\u{202f}000 lived futures. Where a bill bends",
    ] {
        assert!(text.contains(needed), "{needed} is not in\n{text}");
    }
    assert!(!text.contains("INTERRUPTED") && !text.contains("not a number") && !text.contains("pattern"));
}

#[test]
fn patterns_and_conditions_are_told() {
    let text = joined(&sample::patterns(), 132);
    for needed in [
        "INTERRUPTED: the search was stopped after 10\u{202f}000 trials",
        "at least 6 h without a break dark every day; lit from 08:00 to 10:00",
        "2 blocks of 6 h, 3 h apart (16 starts)",
        "the hours as written are not among the starts tried",
        "the search went downhill from several beginnings",
    ] {
        assert!(text.contains(needed), "{needed} is not in\n{text}");
    }
    assert!(text.starts_with("INTERRUPTED"));
}

#[test]
fn small_or_noisy_differences_are_no_savings() {
    let mut finding = sample::realistic().findings[4].clone();
    finding.written.electricity = 10_000.0;
    for (value, se, named) in [
        (500.0, 1.0, true),
        (-500.0, 1.0, true),
        (9.9, 0.0, false),
        (500.0, 300.0, false),
        (0.0, 0.0, false),
        (f64::NAN, 0.0, false),
        (500.0, f64::NAN, true),
    ] {
        finding.saving = Estimate { value, se };
        assert_eq!(worth_naming(&finding).is_some(), named, "{value} ± {se}");
        assert_eq!(saved(&finding)[0] == "none", !named);
    }
}

#[test]
fn hours_are_marked_and_stand_in_bands() {
    let text = printed(&sample::realistic(), 80, false);
    let band = text.lines().skip_while(|line| !line.trim_start().starts_with("00     01")).nth(2).unwrap();
    assert!(band.contains("9.00•") && band.trim_end().ends_with("13.59•"), "{text}");
    assert_eq!(text.lines().filter(|line| line.contains('•') && line.contains("5.27•")).count(), 3, "{text}");
}

#[test]
fn colour_adds_no_information() {
    let report = sample::hostile();
    let plain = printed(&report, 80, true).replace("\u{1b}[1m", "").replace("\u{1b}[0m", "");
    assert_eq!(plain, printed(&report, 80, false));
}

#[test]
fn hostile_text_reaches_no_terminal() {
    let text = printed(&sample::hostile(), 80, false);
    assert!(!text.contains(['\u{1b}', '\u{7}', '\u{202e}', '\u{2067}', '\u{0}', '\r', '\u{85}']));
}

fn read(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect()
}

#[test]
fn the_table_has_a_row_for_each_pattern_start_sheet_and_option() {
    for (which, report) in sample::all() {
        // a strict reader refuses rows of another length
        let rows = read(&starts_csv(&report));
        assert_eq!(rows[0], header(STARTS, &report.currency, &report.basis), "{which}");
        let starts: usize = report.patterns.iter().map(|pattern| pattern.on.len()).sum();
        assert_eq!(rows.len(), 1 + starts * report.sheets.len() * report.options.len(), "{which}");
    }
    let report = sample::realistic();
    let rows = read(&starts_csv(&report));
    let at = |name: &str| rows[0].iter().position(|column| column == name).unwrap();
    let number = |row: usize, name: &str| rows[row][at(name)].parse::<f64>().unwrap();
    assert_eq!(number(6, "levelized_real_USD_per_mol"), report.patterns[0].levelized[0][1][1]);
    assert_eq!(number(6, "electricity_real_USD_per_year"), report.patterns[0].electricity[0][1][1]);
    assert_eq!((rows[6][at("on")].as_str(), rows[6][at("option")].as_str()), ("00:00", "B long-life arc"));
    let wild = read(&starts_csv(&sample::wild()));
    assert!(wild.iter().flatten().all(|cell| cell != "NaN" && cell != "inf"));
}

#[test]
fn no_cell_runs_as_a_formula() {
    let text = starts_csv(&sample::hostile());
    for cell in read(&text).into_iter().flatten() {
        let formula = cell.starts_with(['=', '+', '@', '\t', '\r', '\n']);
        assert!(!formula && (!cell.starts_with('-') || cell.parse::<f64>().is_ok()), "{cell:?}");
        assert!(!cell.contains(['\u{1b}', '\u{202e}', '\u{0}']), "{cell:?}");
    }
    assert!(text.contains("'=HYPERLINK"));
}
