//! What the printed mixes and their table must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading;
use crate::sample::mix as sample;
use crate::table::{MIX, header};

fn joined(report: &MixReport) -> String {
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
fn picks_are_told_with_their_price() {
    let text = joined(&sample::realistic());
    for needed in [
        "Study of two bays: several options in one room",
        "11 mixes of 10 parts",
        "Lowest mean cost: A cheap arc alone, 45 800 ± 30 USD. It is always one option alone",
        "Lowest 95 % point of regret: 60 % A, 40 % B, lower by 200 ± 60 USD than with the lowest mean, for 240 ± 20 USD more \
         on average.",
        "Lowest 90 % point of cost: A cheap arc alone as well; no mix is safer.",
        "100 % A",
        "mean, p90",
    ] {
        assert!(text.contains(needed), "{needed} is not in\n{text}");
    }
    let text = joined(&sample::crowded());
    for needed in [
        "(4): Bay lamp of a rather long name number 4, light counted",
        "; for 300 rooms",
        "lower by no more than the noise of these trials than with the lowest mean, for 100 000 ± 600 USD more on average",
        "Bay lamp of a rather long name number 4 alone, lower by 300 000 ± 600 USD than with the lowest mean, for no more on \
         average than these trials can tell from nothing",
        "25 % (1), 12.5 % (2), 37.5 % (3), 25 % (4)",
    ] {
        assert!(text.contains(needed), "{needed} is not in\n{text}");
    }
    assert!(shown(&sample::crowded()).len() <= MOST);
}

#[test]
fn the_table_has_the_columns_of_its_header() {
    for (which, report) in sample::all() {
        let text = mix_csv(&report);
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
        let rows: Vec<Vec<String>> =
            reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect();
        assert_eq!(rows[0], header(MIX, &report.currency, &report.basis), "{which}");
        assert_eq!(rows.len(), 1 + report.mixes.len());
        for cell in rows.iter().skip(1).flatten() {
            assert!(!cell.starts_with(['=', '+', '@', '\t', '\r']), "{cell:?}");
            assert!(!cell.starts_with('-') || cell.parse::<f64>().is_ok(), "{cell:?}");
        }
    }
    assert!(
        mix_csv(&sample::realistic())
            .contains("A cheap arc,0.6,B long-life arc,0.4,,,,,flat day rate,2031-03,1,10000,")
    );
}
