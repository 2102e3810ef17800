//! What the printed stages and their table must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading::{self, holds};
use crate::sample::stage as sample;
use crate::table::{STAGE, header};

fn joined(report: &StageReport) -> String {
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
