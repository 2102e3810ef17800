//! What the printed ties and their table must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading::{self, holds};
use crate::sample::breakeven as sample;
use crate::table::{BREAKEVEN, header};

#[test]
fn everything_fits_its_width() {
    for (which, report) in sample::all() {
        proofreading::keeps_its_width(which, |width| printed(&report, width, false));
    }
}

fn plain(text: &str) -> String {
    text.replace(['\u{202f}', '\u{a0}'], " ")
}

/// The text with its lines joined, so that a sentence may be looked for wherever it breaks.
fn joined(report: &BreakevenReport) -> String {
    plain(&printed(report, 100, false)).split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn hostile_text_reaches_no_terminal_and_colour_adds_nothing() {
    proofreading::is_harmless(|color| printed(&sample::hostile(), 80, color));
}

#[test]
fn a_search_says_what_it_rests_on() {
    holds(
        &joined(&sample::realistic()),
        &[
            "Study of two bays: where two options tie",
            "real USD discounted at 8 % a year, prices of 2031-03; 5 years from 2031-03-01",
            "Options A cheap arc, light counted into 2.25 m² at 0.90 m against B long-life arc, light counted into 2.25 \
             m² at 1.10 m",
            "levelized cost of a delivered mole, ct/mol (1 ct is 0.01 USD); for the photons of A cheap arc as written, 1 \
             ct/mol comes to 18 300 USD of present value",
            "10 000 trials, seed 1; every value is lived on the same luck",
            "Belief: 14 800 – 20 000 – 25 200 h (10 % point, median, 90 % point; datasheet). Searched: 6000–60 000 h.",
            "Certain: 38 USD (invoice). Searched: 20–200 USD, in steps of 1 USD.",
            "No figure of the scenario but a setting, now 1. Searched: 0.2–5.",
        ],
    );
    let text = joined(&sample::rooms());
    holds(
        &text,
        &[
            "INTERRUPTED: the search was stopped after 192 trials",
            "nominal USD",
            "present value of the whole room as written, USD",
        ],
    );
    assert!(joined(&sample::empty()[0]).contains("No input was asked about."));
}

#[test]
fn each_contract_has_its_sentence() {
    holds(
        &joined(&sample::realistic()),
        &[
            "flat day rate: for A cheap arc to win, the value must be below 16 000 ± 700 h; the belief gives that 43 %. Now A \
             cheap arc is cheaper in 39 % of trials.",
            "A cheap arc wins below 20 000 ± 1000 h, B long-life arc above it; the belief gives A cheap arc 55 %.",
            "demand metered: never between 6000 and 60 000 h: A cheap arc is cheaper throughout.",
            "B long-life arc is cheaper below 45 ± 0.8 USD, A cheap arc up to 130 ± 3 USD, B long-life arc above it.",
            "for B long-life arc to win, the value must be above 90 USD.",
            "demand metered: no tie between 20 and 200 USD, and too close to call throughout.",
        ],
    );
    // only where every value can be set does a lead that is not nothing leap
    let mut leaping = sample::realistic();
    assert!(!joined(&leaping).contains("leaps"));
    leaping.inputs.iter_mut().for_each(|input| input.grain = 0.0);
    holds(
        &joined(&leaping),
        &["The lead leaps there: with 90 USD put back it is −0.11 ± 0.01", "without touching it."],
    );
    let [_, _, unknown, same, mut unsettled]: [BreakevenReport; 5] = sample::empty().try_into().unwrap();
    holds(&joined(&unknown), &["nothing is known between 6000 and 60 000 h, for no lead could be worked out."]);
    holds(&joined(&same), &["both cost the same in every trial between", "both alike 0"]);
    let exact = |value: f64| Estimate { value, se: 0.0 };
    unsettled.inputs[0].contracts[0].curve = vec![(7000.0, exact(-0.01)), (9000.0, exact(0.01))];
    holds(&joined(&unsettled), &["at which they tie, and yet the lead has both signs."]);
}

#[test]
fn the_table_keeps_its_columns() {
    let text = plain(&printed(&sample::realistic(), 80, false));
    let rows: Vec<&str> = text.lines().map(str::trim_end).collect();
    for row in [
        "flat day rate        B long-life arc 0.08 ± 0.007  16 000 ± 700   16 203–16 205",
        "night time-of-use  too close to call 0 ± 0.007     20 000 ± 1000  20 409–20 411",
        "demand metered           A cheap arc 0.21 ± 0.007   never                     –",
    ] {
        assert!(rows.contains(&row), "{row} is not in\n{text}");
    }
    let text = plain(&printed(&sample::realistic(), 48, false));
    let rows: Vec<&str> = text.lines().map(str::trim_end).collect();
    for row in ["flat day rate     B long-life arc 0.08 ± 0.007", "flat day rate   16 000 ± 700   16 203–16 205"] {
        assert!(rows.contains(&row), "{row} is not in\n{text}");
    }
}

#[test]
fn who_is_cheaper_is_told_stretch_by_stretch() {
    let mut report = sample::realistic();
    let contract = &mut report.inputs[1].contracts[0];
    assert_eq!(sides(contract), [Cheaper::B, Cheaper::A, Cheaper::B]);
    contract.ties[1].a_below = false;
    assert_eq!(sides(contract), [Cheaper::B, Cheaper::Unsettled, Cheaper::A]);
    contract.ties.clear();
    assert_eq!(sides(contract), [Cheaper::Unsettled]);
    contract.curve.retain(|point| point.1.value > 0.0);
    assert_eq!(sides(contract), [Cheaper::B]);
}

#[test]
fn a_lead_leaps_where_it_does_not_vanish() {
    let mut contract = sample::realistic().inputs.remove(0).contracts.remove(0);
    let mut tie = contract.ties.remove(0);
    for (value, se, expected) in [
        (0.0, 0.0, false),
        (1.9e-5, 1e-5, false),
        (-2.1e-5, 1e-5, true),
        (1e-9, 0.0, false),
        (1e-7, 0.0, true),
        (f64::NAN, 1.0, true),
        (0.0, f64::NAN, true),
    ] {
        tie.lead_there = Estimate { value, se };
        assert_eq!(leaps(&contract, &tie), expected, "{value} ± {se}");
    }
}

#[test]
fn noise_is_told_as_1_96_standard_errors() {
    for (value, se, text) in [
        (1.4213, 0.08, "1.4 ± 0.2"),
        (412.0, 164.0, "400 ± 400"),
        (412.0, 230.0, "0 ± 500"),
        (-412.0, 9.6, "−410 ± 20"),
        (5.0, 0.0, "5 ± 0"),
        (f64::NAN, 1.0, "not a number"),
        (2.34, f64::INFINITY, "2.3"),
    ] {
        assert_eq!(with_noise(Estimate { value, se }).replace('\u{a0}', " "), text, "{value} ± {se}");
    }
}

fn read(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect()
}

#[test]
fn the_table_has_a_row_for_each_tie_and_each_never() {
    for (which, report) in sample::all() {
        // a strict reader refuses rows of another length
        let rows = read(&breakeven_csv(&report));
        assert_eq!(rows[0], header(BREAKEVEN, &report.currency, &report.basis), "{which}");
        let contracts = report.inputs.iter().flat_map(|input| &input.contracts);
        assert_eq!(rows.len(), 1 + contracts.map(|contract| contract.ties.len().max(1)).sum::<usize>(), "{which}");
        assert!(rows.iter().flatten().all(|cell| cell != "NaN" && cell != "inf" && cell != "-inf"), "{which}");
        for cell in rows.into_iter().flatten() {
            let formula = cell.starts_with(['=', '+', '@', '\t', '\r', '\n']);
            assert!(!formula && (!cell.starts_with('-') || cell.parse::<f64>().is_ok()), "{cell:?}");
        }
    }
    let report = sample::realistic();
    let rows = read(&breakeven_csv(&report));
    let cell = |row: usize, name: &str| rows[row][rows[0].iter().position(|column| column == name).unwrap()].as_str();
    let first = &report.inputs[0].contracts[0];
    assert_eq!(cell(1, "tie_at").parse(), Ok(first.ties[0].at.value));
    assert_eq!(cell(1, "tie_at_se").parse(), Ok(first.ties[0].at.se));
    assert_eq!(cell(1, "bracket_to").parse(), Ok(first.ties[0].bracket.1));
    assert_eq!(cell(1, "lead_now_real_USD_per_mol_mean").parse(), Ok(first.lead_now.value));
    assert_eq!(cell(1, "lead_there_real_USD_per_mol_mean_se").parse(), Ok(first.ties[0].lead_there.se));
    assert_eq!((cell(1, "lead_now_real_USD_mean"), cell(1, "cheaper_below")), ("", "A cheap arc"));
    assert_eq!((cell(3, "tie"), cell(3, "tie_at"), cell(3, "cheaper_above")), ("", "", ""));
    assert_eq!((cell(5, "tie"), cell(5, "cheaper_above"), cell(5, "belief_for_a")), ("2", "B long-life arc", ""));
    let rooms = read(&breakeven_csv(&sample::rooms()));
    let at = |name: &str| rooms[0].iter().position(|column| column == name).unwrap();
    assert_eq!(rooms[1][at("lead_now_nominal_USD_per_mol_mean")], "");
    assert!(rooms[1][at("lead_now_nominal_USD_mean")].parse::<f64>().unwrap() > 1000.0);
    assert!(breakeven_csv(&sample::hostile()).contains("'=HYPERLINK"));
}
