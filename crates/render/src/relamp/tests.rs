//! What the printed search and its tables must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading::{self, holds};
use crate::sample::relamp as sample;
use crate::table::{RELAMP_CURVE, RELAMP_MONTHS, header};

#[test]
fn everything_fits_its_width() {
    for (which, report) in sample::all() {
        proofreading::keeps_its_width(which, |width| printed(&report, width, false));
    }
}

/// The text with its lines joined, so that a sentence may be looked for wherever it breaks.
fn joined(report: &RelampReport, width: usize) -> String {
    let text = printed(report, width, false).replace('\u{202f}', " ");
    text.lines().map(str::trim).collect::<Vec<_>>().join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_search_says_what_it_rests_on() {
    let text = joined(&sample::realistic(), 100);
    holds(
        &text,
        &[
            "Study of two bays: when to relamp",
            "real USD discounted at 8 % a year, prices of 2031-03; ct/mol is the levelized cost of a delivered mole over \
             5 years from 2031-03-01 (1 ct is 0.01 USD)",
            "Contract flat contract",
            "of which the horizon has 21 915 h",
            "10 000 trials, seed 1; every policy and interval is lived on the same luck",
            "24 sockets, light counted into 2.25 m² at 0.90 m; half of the lamps live 16 822 burn hours or longer",
            "Left out - C bar LED: its lamps are not replaced Cautions - Mercury",
            "Remarks - A cheap arc: the last group relamp falls 915 h before the horizon ends",
        ],
    );
    assert!(!text.contains("INTERRUPTED") && !text.contains("not a number"));
}

#[test]
fn policies_are_told_with_their_noise() {
    let text = joined(&sample::realistic(), 100);
    holds(
        &text,
        &[
            "As written: all together every 7000 h at the turnaround after, failed ones in between; it costs 1.971 ct/mol",
            "8000 ± 500 1.946 ± 0.0006 lowest",
            "6000–9000, 11 000–13 000",
            "22 000 2.049 ± 0.0006",
            "Best: all together, failed ones in between every 8000 ± 500 h, at 1.946 ± 0.0006 ct/mol: it saves 1.1 ± \
             0.04 % of the cost as written.",
            "It costs within 1 % of that anywhere in 6000–9000 h and in 11 000–13 000 h.",
            "Each at an age, or when it has failed: the best interval is the longest that was tried, so run to failure is \
             as good.",
            "Best: each lamp when it has failed, at 2.013 ± 0.0007 ct/mol: it costs what the scenario as written costs.",
        ],
    );
}

#[test]
fn a_cheap_mole_in_a_dark_room_is_named_as_such() {
    let mut report = sample::realistic();
    assert!(!joined(&report, 100).contains("are dark"));
    report.options[0].best_policy = 2;
    report.options[0].policies[2].dark = vec![0.0664; 22];
    holds(
        &joined(&report, 100),
        &["cheap by the mole, not rich in light: 6.6 % of its socket-hours are dark, and it delivers 101.3 % of"],
    );
}

#[test]
fn noise_decides_nothing() {
    let text = joined(&sample::long(), 100);
    holds(
        &text,
        &[
            "INTERRUPTED: the search was stopped after 192 trials; the numbers are of no more than that",
            "nominal USD",
            "Nothing that was tried is better than the scenario as written",
            "costs 0.4 ± 0.07 % more.",
            "Too close to call: the best that was tried",
            "Claiming costs more than it brings: 40 ± 6 USD of present value, 2 ± 0.3 USD per socket.",
            "Too close to call: 0 ± 6 USD of present value.",
        ],
    );
    for (value, se, what) in [
        (1.0, 0.1, Told::More),
        (-1.0, 0.1, Told::Less),
        (-1.0, 0.0, Told::Less),
        (0.19, 0.1, Told::TooClose),
        (0.0, 0.1, Told::TooClose),
        (0.0, 0.0, Told::Nothing),
        (f64::NAN, 0.0, Told::TooClose),
        (1.0, f64::INFINITY, Told::TooClose),
    ] {
        assert_eq!(super::told(Estimate { value, se }), what, "{value} ± {se}");
    }
}

#[test]
fn what_the_room_asks_for_is_told() {
    let text = joined(&sample::realistic(), 100);
    holds(
        &text,
        &[
            "to the next crop turn: 1.956 ct/mol, 0.3 ± 0.04 % more than at the best interval; first dates 2033-04-11, \
             2035-05-02",
            "to the crew's next Tuesday: 1.951 ct/mol, too close to call beside the best interval; first dates \
             2033-01-15, 2033-02-15, 2033-03-15, 2033-04-15 …",
            "as written: 2 group relamps in 5 years, 1.950 ct/mol; the same as written",
            "without the last one: 1 group relamp in 5 years,",
            "saves 410 ± 10 USD of present value",
            "costs 100 ± 20 USD of present value more",
            "too close to call (0 ± 20 USD of present value)",
            "2033-02-02 24 9130",
            "Lamps by quarter, as written",
            "for failures of 2 months until a delivery comes",
            "2032-12 to 2033-02 24",
            "24 / 25 / 26",
            "Lamps by month, as written",
        ],
    );
    let zoned = joined(&sample::long(), 100);
    holds(&zoned, &["zone", "and 16 more", "Lamps by year, as written"]);
}

#[test]
fn warranty_and_cross_check_are_told() {
    let text = joined(&sample::realistic(), 100);
    holds(
        &text,
        &[
            "310 ± 8 USD of present value, 13 ± 0.4 USD per socket.",
            "4.2 claims over the horizon on average. A claim costs 15 USD (median); claiming stops to pay where it costs 80 USD.",
            "Nothing here, for the room is outside its terms: - The warranty asks for 12 h a start at least",
            "Taken for it: Medians of all inputs",
            "lamps 23.87 23.9 ± 0.05 yes",
            "socket-hours dark h 612.4 640 ± 4 NO",
            "NO: exact and simulated differ by more than three standard errors.",
            "9130 1.943 6200–13 400",
            "run to failure 2.01 14 000 and longer",
            "It does not apply, because: - Lamps wait for the crew's day. - Spares are limited.",
        ],
    );
}

#[test]
fn lamps_have_no_finer_digits_than_their_noise() {
    for (mean, trials, text) in [
        (24.0, 10_000, "24"),
        (88.513, 10_000, "88.5"),
        (88.513, 64, "90"),
        (0.3129, 10_000, "0.31"),
        (0.0004, 10_000, "<0.01"),
        (0.0, 10, "0"),
        (f64::NAN, 10, "–"),
    ] {
        assert_eq!(lamps(mean, trials), text, "{mean} of {trials}");
    }
    assert_eq!(about(0.001_149), "0.11\u{202f}%");
    assert_eq!(stretches(&[(6000.4, 9000.0), (5.0, 5.0)]), ["6000–9000", "5"]);
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
fn the_tables_have_a_row_for_each_interval_and_each_month() {
    for (which, report) in sample::all() {
        // a strict reader refuses rows of another length
        let (curve, months) = (read(&relamp_curve_csv(&report)), read(&relamp_months_csv(&report)));
        assert_eq!(curve[0], header(RELAMP_CURVE, &report.currency, &report.basis), "{which}");
        assert_eq!(months[0], header(RELAMP_MONTHS, &report.currency, &report.basis), "{which}");
        let policies = report.options.iter().flat_map(|option| &option.policies);
        assert_eq!(curve.len(), 1 + policies.map(|policy| policy.levelized.len()).sum::<usize>(), "{which}");
        let all: usize = report.options.iter().map(|option| option.months.len()).sum();
        assert_eq!(months.len(), 1 + all, "{which}");
        assert!(curve.iter().chain(&months).flatten().all(|cell| cell != "NaN" && cell != "inf" && cell != "-inf"));
    }
    let report = sample::realistic();
    let (curve, months) = (read(&relamp_curve_csv(&report)), read(&relamp_months_csv(&report)));
    let cell = |rows: &[Vec<String>], row: usize, name: &str| {
        rows[row][rows[0].iter().position(|column| column == name).unwrap()].clone()
    };
    let number = |rows: &[Vec<String>], row: usize, name: &str| cell(rows, row, name).parse::<f64>().unwrap();
    assert_eq!(cell(&curve, 1, "interval_h"), "");
    let policy = &report.options[0].policies[1];
    assert_eq!(number(&curve, 4, "interval_h"), 3000.0);
    assert_eq!(number(&curve, 4, "levelized_real_USD_per_mol_mean"), policy.levelized[2].value);
    assert_eq!(number(&curve, 4, "levelized_real_USD_per_mol_mean_se"), policy.levelized[2].se);
    assert_eq!(number(&curve, 4, "lamps_bought_mean"), policy.lamps[2]);
    assert_eq!(number(&curve, 4, "dark_share_mean"), policy.dark[2]);
    let month = &report.options[0].months[23];
    assert_eq!(cell(&months, 24, "month"), month.month);
    assert_eq!(number(&months, 24, "buy_lamps_p95"), month.buy[2]);
    assert_eq!(number(&months, 24, "hold_lamps_p80"), month.hold[1]);
    assert_eq!(number(&months, 24, "hold_lamps_by_table"), 3.0);
    assert_eq!(number(&months, 24, "lead_months"), 2.0);
}

#[test]
fn no_cell_runs_as_a_formula() {
    for text in [relamp_curve_csv(&sample::hostile()), relamp_months_csv(&sample::hostile())] {
        for cell in read(&text).into_iter().flatten() {
            let formula = cell.starts_with(['=', '+', '@', '\t', '\r', '\n']);
            assert!(!formula && (!cell.starts_with('-') || cell.parse::<f64>().is_ok()), "{cell:?}");
            assert!(!cell.contains(['\u{1b}', '\u{202e}', '\u{0}']), "{cell:?}");
        }
        assert!(text.contains("'=HYPERLINK"));
    }
}
