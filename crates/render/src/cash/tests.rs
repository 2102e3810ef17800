//! What the printed cash flows and their tables must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading::{self, holds};
use crate::sample::cash as sample;
use crate::table::{CASH_MEASURES, header};

#[test]
fn everything_fits_its_width() {
    for (which, report) in sample::all() {
        proofreading::keeps_its_width(which, |width| printed(&report, width, false));
    }
}

/// The text with its lines joined, so that a sentence may be looked for wherever it breaks.
fn joined(text: &str) -> String {
    text.replace(['\u{202f}', '\u{a0}'], " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn hostile_text_reaches_no_terminal_and_colour_adds_nothing() {
    proofreading::is_harmless(|color| printed(&sample::hostile(), 80, color));
}

#[test]
fn basis_timing_and_cautions_are_said() {
    let text = joined(&printed(&sample::realistic(), 120, false));
    holds(
        &text,
        &[
            "real USD discounted at 8 % a year, prices of 2031-03; 5 years from 2031-03-01",
            "1 USD a year is worth 4.137 USD now in twelfths booked so, 3.993 USD at year ends",
            "A cheap arc; what is saved against it is above 0",
            "before tax, without a loan",
            "SIR, IRR and payback say whether one option is worth its money",
            "too much, because bad years do not all come in the same trial",
            "3.2 yr, 2034-04-30",
            "2 rates",
            "asked for: 600 µmol/m²/s held over 40 m² for 5 years",
        ],
    );
    let taxed = joined(&printed(&sample::taxed(), 120, false));
    holds(
        &taxed,
        &["NPV is the same both ways", "After tax and loan", "INTERRUPTED", "worth at the end is reckoned, not paid"],
    );
}

#[test]
fn tables_are_whole_whatever_the_report() {
    for (which, report) in sample::all() {
        for text in [cash_months_csv(&report), cash_years_csv(&report), cash_measures_csv(&report)] {
            assert!(!text.contains("NaN") && !text.contains(",inf"), "{which}");
        }
        let text = cash_measures_csv(&report);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        assert_eq!(reader.headers().unwrap().len(), header(CASH_MEASURES, "USD", "real").len());
        assert_eq!(reader.records().map(Result::unwrap).count(), report.options.len(), "{which}");
    }
    let report = sample::realistic();
    for text in [cash_months_csv(&report), cash_years_csv(&report)] {
        // rows of another length than the header are errors here
        assert!(csv::Reader::from_reader(text.as_bytes()).records().map(Result::unwrap).count() > 20);
    }
}
