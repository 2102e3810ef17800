//! What printed scores and their tables must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading;
use crate::sample::score as sample;
use crate::table::{FORECASTS, SCORE, header};
use decide::score_report::SheetRow;

fn joined(report: &ScoreReport) -> String {
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
fn a_page_says_how_many_held_and_who_missed() {
    let text = joined(&sample::realistic());
    for needed in [
        "forecasts.csv: forecasts and what happened",
        "12 with an outcome, 1 still open",
        "10 of 12 outcomes lie within their span from the 10 % to the 90 % point (80 % promised)",
        "between 52 % and 98 % of such spans hold",
        "line 3, A cheap arc: cost of a mole in year 1: 0.0226 USD/mol happened, above the span by 80 % of its width",
        "line 8, A cheap arc: lamps bought in year 2: about 2 USD/mol happened, below the span by 40 % of its width",
        "0.91–1.03 at 95 % confidence: no lean to either side",
        "A plain rule loses 4.12 %",
        "own spans lost less",
    ] {
        assert!(text.contains(needed), "{needed} is not in\n{text}");
    }
    let mut report = sample::realistic();
    report.bias.as_mut().unwrap().limits = Some((1.01, 1.2));
    assert!(joined(&report).contains("forecasts were too low"));
}

#[test]
fn misses_are_told_with_the_digits_they_need() {
    let mut line = sample::realistic().lines[0].clone();
    for (miss, told) in [
        (Some(0.005), "above the span by 0.5\u{202f}% of its width"),
        (Some(-0.8), "below the span by 80\u{202f}% of its width"),
        (Some(1e-7), "above the span by less than 0.01\u{202f}% of its width"),
        (Some(2.5e6), "above the span by 2\u{202f}500\u{202f}000 times its width"),
        (None, "missed a span of next to no width"),
    ] {
        line.miss = miss;
        assert_eq!(miss_text(&line), told);
    }
}

#[test]
fn tables_are_as_wide_as_their_heads_and_harmless() {
    let cells = |text: &str| -> Vec<Vec<String>> {
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
        reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect()
    };
    for (which, report) in sample::all() {
        let rows = cells(&score_csv(&report));
        assert_eq!(rows[0], header(SCORE, "", ""), "{which}");
        assert_eq!(rows.len() - 1, report.lines.len() + report.open.len());
        let formula =
            |cell: &String| cell.starts_with(['=', '@', '+']) || cell.starts_with('-') && cell.parse::<f64>().is_err();
        assert!(!rows.iter().flatten().any(formula), "{which}");
    }
    let row = SheetRow {
        what: "=a".into(),
        unit: "1".into(),
        p10: 1.0,
        p50: None,
        p90: 2.0,
        wide: None,
        note: String::new(),
    };
    let rows = cells(&sheet_csv(&[row], "2031-03-01"));
    assert_eq!(rows[0], header(FORECASTS, "", ""));
    assert_eq!(rows[1], ["'=a", "1", "1", "", "2", "", "", "", "2031-03-01", "", ""]);
}
