//! What the printed lives and their tables must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading::{self, holds};
use crate::sample::learn_life as sample;
use crate::table::{LIFE, LIFE_SURVIVAL, header};

fn joined(report: &LearnLifeReport) -> String {
    proofreading::joined(&printed(report, 100, false))
}

#[track_caller]
#[test]
fn everything_fits_its_width() {
    for (which, report) in sample::all() {
        proofreading::keeps_its_width(which, |width| printed(&report, width, false));
    }
    for width in [0, 48, 80, 132] {
        for line in priors(&decide::life_priors::life_priors(), width).printed(false).lines() {
            assert!(columns(line) <= width.max(48), "priors at {width}: {line}");
        }
    }
}

#[test]
fn hostile_text_reaches_no_terminal_and_colour_adds_nothing() {
    proofreading::is_harmless(|color| printed(&sample::hostile(), 80, color));
}

#[test]
fn a_page_says_what_the_log_holds_and_what_to_believe() {
    holds(
        &joined(&sample::realistic()),
        &[
            "Study of two bays: what burn logs say of B long-life arc",
            "12 lamps: 2 died at a known hour, 9 burning at the last look, 1 broken by accident",
            "108 100 burn hours in all; the oldest lamp was seen at 9900 h",
            "before the log 11 600 17 000 25 000",
            "after the log 12 800 16 200 21 100",
            "The log took away 57 % of what was unknown",
            "says as much as a log with about 1.2 deaths would",
            "Counting dead lamps alone would put half of the belief below 11 700 h, −28 % off",
            "Kaplan and Meier's product",
        ],
    );
    holds(
        &joined(&sample::none_dead()),
        &[
            "No lamp has died, so no curve of life can be fitted. With a shape of 3, as the scenario states, more than half live beyond 15 200 h, at a \
             confidence of 90 %.",
            "The log made nothing surer",
        ],
    );
    holds(
        &joined(&sample::certain()),
        &[
            "2 died between two hours",
            "3 were used already when first watched",
            "4 rows of other lamps, 1 row not filled in yet",
            "16 400 [9840 to no end]",
            "5200 to 6100 h",
            "Turnbull's self-consistent estimate",
            "differ so much or more in 31 % of logs",
        ],
    );
}

#[test]
fn the_tables_have_the_columns_of_their_headers() {
    for (which, report) in sample::all() {
        for (file, text) in [(LIFE, life_csv(&report)), (LIFE_SURVIVAL, life_survival_csv(&report))] {
            let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
            let rows: Vec<Vec<String>> =
                reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect();
            assert_eq!(rows[0], header(file, "", ""), "{which}");
            for cell in rows.iter().skip(1).flatten() {
                assert!(!cell.starts_with(['=', '+', '@', '\t', '\r']), "{cell:?}");
                assert!(!cell.starts_with('-') || cell.parse::<f64>().is_ok(), "{cell:?}");
            }
        }
    }
    let rows = life_csv(&sample::realistic());
    assert!(rows.contains("median_life,B long-life arc,after,b50,h,12824,16170,21102,,,,,12,2"), "{rows}");
    assert!(rows.contains("fit,B long-life arc,weibull,shape,1,,,,3.4,"), "{rows}");
}
