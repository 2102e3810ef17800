//! What printed cards and their tables must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading;
use crate::sample::canopy as sample;
use crate::table::{CANOPY, CANOPY_POINTS, CANOPY_RATIOS, header};

fn joined(report: &CanopyReport) -> String {
    proofreading::joined(&printed(report, 120, false))
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
fn a_page_says_what_was_read_and_what_may_be_compared() {
    let text = joined(&sample::realistic());
    for needed in [
        "Light on the canopy: 3 cards",
        "12 h of light a day (mean of the photoperiod of a bay); a year is 365 days",
        "A cheap arc; high-pressure sodium; meter bench sensor; calibrated 2030-11-15; measured 2031-02-10; lamp at 100 h; \
         cleaned 0 d before; warm-up 30 min; 1050 W at the wall",
        "A cheap arc, 0.90 m cell-centred 1.50 m × 0.90 m 9189 / 15 612.6 680.0 (+11.0 %)",
        "A cheap arc, 0.90 m 588 (−29.0 %) into 0.86 m²",
        "C bar LED, 0.45 m edge-to-edge 1.50 m × 0.90 m 15, weighted",
        "Like with like: light into 1.50 m × 0.90 m at 0.90 m, cell-centred",
        "1.0108 ± 0.0059 too close to call calibration, kind of light",
        "No ratio is shown across these: they differ in height. --height brings cards that were read at several heights to \
         one.",
    ] {
        assert!(text.contains(needed), "{needed} is not in\n{text}");
    }
    // a mean is printed as read, a flux to its noise
    assert!(text.contains("A cheap arc, 0.90 m 827 ± 48 0.788 ± 0.046 26.5 ± 1.5 13 040 ± 760"), "{text}");
    assert!(!joined(&sample::tiny()).contains("Like with like"));
    assert!(joined(&sample::crowded()).contains("38 more are in canopy-ratios.csv."));
}

#[test]
fn tables_have_the_columns_of_their_headers() {
    for (which, report) in sample::all() {
        let heights: usize = report.cards.iter().map(|card| card.heights.len()).sum();
        let points: usize = entries(&report).map(|(_, height)| height.rows.iter().flatten().count()).sum();
        let pairs: usize = report.groups.iter().map(|group| group.ratios.len()).sum();
        let lengths = [(CANOPY, heights), (CANOPY_POINTS, points), (CANOPY_RATIOS, pairs)];
        for ((file, text), (expected, length)) in canopy_tables(&report).into_iter().zip(lengths) {
            assert_eq!(file, expected);
            let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
            let rows: Vec<Vec<String>> =
                reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect();
            assert_eq!(rows[0], header(expected, "", ""), "{which}");
            assert_eq!(rows.len(), 1 + length, "{which}: {file}");
            for cell in rows.iter().skip(1).flatten() {
                assert!(!cell.starts_with(['=', '+', '@', '\t', '\r', '\n']), "{cell:?}");
                assert!(!cell.starts_with('-') || cell.parse::<f64>().is_ok(), "{cell:?}");
            }
        }
    }
}

#[test]
fn grids_are_json_under_safe_and_unique_names() {
    for (which, report) in sample::all() {
        let files = grid_files(&report);
        let mut names: Vec<&String> = files.iter().map(|(name, _)| name).collect();
        for name in &names {
            let stem = name.strip_suffix(".json").unwrap();
            assert!(stem.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-'), "{which}: {name}");
        }
        names.sort();
        names.dedup();
        assert_eq!(names.len(), entries(&report).count(), "{which}");
        for (name, text) in &files {
            let grid: serde_json::Value = serde_json::from_str(text).unwrap_or_else(|error| panic!("{name}: {error}"));
            assert!(grid["area"]["unit"] == "m²" && grid["readings"].is_array());
        }
    }
    let names: Vec<String> = grid_files(&sample::realistic()).into_iter().map(|(name, _)| name).collect();
    assert_eq!(
        names,
        [
            "grid-a-cheap-arc-at-90-cm.json",
            "grid-a-cheap-arc-at-45-cm.json",
            "grid-b-long-life-arc.json",
            "grid-c-bar-led.json"
        ]
    );
}
