//! What the printed answer and its tables must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading;
use crate::sample::why as sample;
use crate::table::{WHY, WHY_SUMS, header};

#[test]
fn everything_fits_its_width() {
    for (which, report) in sample::all() {
        proofreading::keeps_its_width(which, |width| printed(&report, width, false));
    }
}

#[test]
fn a_lead_is_told_with_its_largest_reasons() {
    let lead = |which: &str| sample::all().into_iter().find(|(name, _)| *name == which).unwrap().1.lead.unwrap();
    assert_eq!(
        sentence(&lead("realistic")),
        "D panel LED leads A cheap arc by 0.83 ± 0.002 ct/mol: energy −0.93, cooling −0.20, lamps −0.150; capital +0.50 \
         takes part of it back."
    );
    // told from the side of the one that leads
    assert!(
        sentence(&lead("the other leads"))
            .starts_with("A cheap arc leads D panel LED by 3.90 ± 0.002 ct/mol: capital −0.30")
    );
    let tie = sentence(&lead("tie"));
    assert!(tie.starts_with("Too close to call: D panel LED less A cheap arc is 0 ± 0.002 ct/mol"), "{tie}");
    assert_eq!(sentence(&lead("itself")), "D panel LED and itself cost the same to the last bit, in every part.");
}

#[test]
fn two_headlines_that_differ_in_print_are_both_shown() {
    let text = printed(&sample::realistic(), 120, false);
    assert!(text.contains("= 1.951 ct/mol"), "{text}");
    assert!(text.contains("Means over means come to 1.948 ct/mol."), "{text}");
    assert!(text.contains("+ 0.005 = 1.953 ct/mol"), "{text}");
}

#[test]
fn colour_adds_no_information_and_nothing_hostile_comes_through() {
    for (which, report) in sample::all() {
        let plain = printed(&report, 80, true).replace("\u{1b}[1m", "").replace("\u{1b}[0m", "");
        assert_eq!(plain, printed(&report, 80, false), "{which}");
        assert!(!plain.contains(['\u{1b}', '\u{202e}']), "{which}");
    }
}

#[test]
fn tables_have_a_cell_for_every_column() {
    for (which, report) in sample::all() {
        for (file, text) in [(WHY, why_csv(&report)), (WHY_SUMS, why_sums_csv(&report))] {
            let mut reader = csv::ReaderBuilder::new().flexible(false).from_reader(text.as_bytes());
            let header = header(file, "USD", "real");
            assert_eq!(reader.headers().unwrap().iter().collect::<Vec<_>>(), header, "{which}");
            let rows = reader.records().map(Result::unwrap).count();
            let expected = match (file, &report.lead) {
                (WHY, Some(lead)) => lead.parts.len() + 1,
                (WHY, None) => 0,
                _ => report.sums.iter().map(|sum| sum.lines.len() + 1).sum(),
            };
            assert_eq!(rows, expected, "{which}: {file}");
        }
    }
}
