//! What the printed map and its table must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading::{self, holds};
use crate::sample::map as sample;
use crate::table::{MAP, header};

#[test]
fn everything_fits_its_width() {
    for (which, report) in sample::all() {
        proofreading::keeps_its_width(which, |width| printed(&report, width, false));
    }
}

/// The text with its lines joined, so that a sentence may be looked for wherever it breaks.
fn joined(report: &MapReport) -> String {
    proofreading::joined(&printed(report, 100, false))
}

#[test]
fn hostile_text_reaches_no_terminal_and_colour_adds_nothing() {
    proofreading::is_harmless(|color| printed(&sample::hostile(), 80, color));
}

#[test]
fn letters_are_distinct() {
    let names = ["arc", "A lamp", "another", "高圧", "", "LED"].map(str::to_owned);
    assert_eq!(plane::letters(&names), ['A', 'L', 'N', 'B', 'C', 'E']);
    let many = vec!["x".to_owned(); 62];
    let mut letters = plane::letters(&many);
    letters.sort_unstable();
    letters.dedup();
    assert_eq!(letters.len(), 62);
}

#[test]
fn values_fall_into_the_cell_around_them() {
    let mut axis = sample::plane(2, (3, 3)).x;
    (axis.values, axis.logarithmic) = (vec![1.0, 10.0, 100.0], true);
    let all = [0.33, 0.3, 1.0, 3.0, 3.3, 300.0, 330.0, f64::NAN, -1.0, 0.0, f64::INFINITY];
    let found = all.map(|value| index_of(&axis, value));
    assert_eq!(found, [Some(0), None, Some(0), Some(0), Some(1), Some(2), None, None, None, None, None]);
    axis.logarithmic = false;
    assert_eq!([5.4, 5.6, -3.4, -3.6].map(|value| index_of(&axis, value)), [Some(0), Some(1), Some(0), None]);
    axis.values.clear();
    assert_eq!(index_of(&axis, 1.0), None);
}

#[test]
fn shares_are_counts_of_cells_won_for_certain() {
    let mut report = sample::plane(2, (10, 10));
    for (k, cell) in report.columns.iter_mut().flatten().enumerate() {
        *cell = MapCell {
            winner: k % 2,
            second: 1 - k % 2,
            lead: 10.0,
            lead_se: if k < 20 { 6.0 } else { 5.0 },
            chance: 0.9,
        };
    }
    let found = shares(&report);
    assert_eq!((found.cells, found.won), (100, vec![40, 40]));
    holds(&joined(&report), &["A cheap arc 40 %", "B long-life arc 40 %", "too close to call 20 %"]);
    assert_eq!(
        [of(0, 900), of(1, 900), of(899, 900), of(900, 900), of(0, 0), of(450, 900)]
            .map(|t| t.replace('\u{202f}', " ")),
        ["0 %", "<1 %", ">99 %", "100 %", "–", "50 %"]
    );
}

#[test]
fn what_stands_here_is_told_with_its_noise() {
    let mut report = sample::realistic();
    let cell = |report: &mut MapReport, lead: f64, lead_se: f64| {
        report.stands = Some(MapCell { winner: 1, second: 2, lead, lead_se, chance: 0.73 });
    };
    for (lead, se, told) in [
        (412.0, 9.6, "B long-life arc wins by 410 ± 20 USD over C bar LED; it is the cheapest in 73 % of trials."),
        (412.0, 164.0, "B long-life arc wins by 400 ± 400 USD over C bar LED; it is the cheapest in 73 % of trials."),
        (412.0, 230.0, "too close to call between B long-life arc and C bar LED (lead 0 ± 500 USD)."),
        (0.0, 0.0, "B long-life arc and C bar LED cost the same in every trial."),
        (f64::NAN, 1.0, "too close to call between B long-life arc and C bar LED (lead not a number USD)."),
    ] {
        cell(&mut report, lead, se);
        let text = stands(&report).replace(['\u{202f}', '\u{a0}'], " ");
        assert!(text.ends_with(told), "{text}");
        assert!(text.starts_with("At price of electricity 0.17 USD/kWh and hours"), "{text}");
    }
    report.stands = None;
    assert!(stands(&report).ends_with(": not priced."));
    assert!(joined(&sample::plane(1, (8, 8))).contains("A cheap arc is the only option."));
}

#[test]
fn a_map_says_what_it_rests_on() {
    holds(
        &joined(&sample::realistic()),
        &[
            "Study of two bays: who wins where",
            "real USD discounted at 8 % a year, prices of 2031-03; 5 years from 2031-03-01",
            "what a delivered mole costs; leads in USD of present value at equal light: the photons of A cheap arc as \
             written, 1 830 000 mol",
            "4000 trials, seed 1; every point is lived on the same luck; priced at every point",
            "Light counted into 2.25 m² at 0.90 m",
            "price of electricity, USD/kWh (even steps in the logarithm) →",
        ],
    );
    let text = joined(&sample::interrupted());
    holds(
        &text,
        &[
            "INTERRUPTED: 23 of 40 columns of the plane are missing",
            "nominal USD",
            "blank: not priced",
            "the whole room as written",
        ],
    );
    assert!(!text.contains("you are here"));
    assert!(joined(&sample::empty()[0]).contains("No point of the plane was priced."));
}

/// The lines of the plane alone.
fn drawn(report: &MapReport, width: usize) -> Vec<String> {
    let text = printed(report, width, false);
    text.lines().filter(|line| line.contains(['┤', '│', '└'])).map(str::to_owned).collect()
}

#[test]
fn the_plane_is_drawn_from_above_to_below() {
    let mut report = sample::plane(2, (6, 3));
    for (i, column) in report.columns.iter_mut().enumerate() {
        for (j, cell) in column.iter_mut().enumerate() {
            let winner = usize::from(i + j > 4);
            *cell = MapCell {
                winner,
                second: 1 - winner,
                lead: if i == 2 { 1.0 } else { 90.0 },
                lead_se: 5.0,
                chance: 0.9,
            };
        }
    }
    (report.x.belief.1, report.y.belief.1) = (report.x.values[0], report.y.values[0]);
    report.columns.truncate(5);
    let plane = ["      6000┤AA·BB", "          │AA·AB", "       800┤+A·AA", "          └┴────┴"];
    for width in [48, 80] {
        assert_eq!(drawn(&report, width), plane);
    }
    let wide = drawn(&sample::realistic(), 80);
    assert_eq!((wide.len(), columns(&wide[0])), (17, 11 + 48));
    assert_eq!(columns(&drawn(&sample::realistic(), 48)[0]), 46);
}

fn read(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect()
}

#[test]
fn the_table_has_a_row_for_each_cell() {
    for (which, report) in sample::all() {
        // a strict reader refuses rows of another length
        let rows = read(&map_csv(&report));
        assert_eq!(rows[0], header(MAP, &report.currency, &report.basis), "{which}");
        assert_eq!(rows.len(), 1 + report.columns.iter().map(Vec::len).sum::<usize>(), "{which}");
        assert!(rows.iter().flatten().all(|cell| cell != "NaN" && cell != "inf" && cell != "-inf"), "{which}");
        for cell in rows.into_iter().flatten() {
            let formula = cell.starts_with(['=', '+', '@', '\t', '\r', '\n']);
            assert!(!formula && (!cell.starts_with('-') || cell.parse::<f64>().is_ok()), "{cell:?}");
        }
    }
    let report = sample::realistic();
    let rows = read(&map_csv(&report));
    let at = |name: &str| rows[0].iter().position(|column| column == name).unwrap();
    let cell = &report.columns[1][3];
    let row = &rows[1 + 60 + 3];
    assert_eq!(row[at("x")].parse(), Ok(report.x.values[1]));
    assert_eq!(row[at("y")].parse(), Ok(report.y.values[3]));
    assert_eq!((row[at("winner")].as_str(), row[at("second")].as_str()), ("A cheap arc", "B long-life arc"));
    assert_eq!(row[at("lead_real_USD_mean")].parse(), Ok(cell.lead));
    assert_eq!(row[at("lead_real_USD_mean_se")].parse(), Ok(cell.lead_se));
    assert_eq!(row[at("chance")].parse(), Ok(cell.chance));
    let single = read(&map_csv(&sample::plane(1, (2, 2))));
    assert_eq!((single[1][at("winner")].as_str(), single[1][at("second")].as_str()), ("A cheap arc", ""));
    assert!(map_csv(&sample::hostile()).contains("'=HYPERLINK"));
}
