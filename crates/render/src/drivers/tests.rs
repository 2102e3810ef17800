//! What the printed drivers and their table must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading::{self, holds};
use crate::sample::drivers as sample;
use crate::table::{DRIVERS, header};

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
fn joined(report: &DriversReport) -> String {
    plain(&printed(report, 100, false)).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn lines(report: &DriversReport, width: usize, all: &[&str]) {
    let text = plain(&printed(report, width, false));
    let rows: Vec<&str> = text.lines().collect();
    for row in all {
        assert!(rows.contains(row), "{row} is not in\n{text}");
    }
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
            "Study of two bays: what decides the choice",
            "real USD discounted at 8 % a year, prices of 2031-03; 5 years from 2031-03-01",
            "Contract flat day rate",
            "present value of 2 rooms at equal light: 700 µmol/m²/s held over 50 m² for 5 years, 1 830 000 mol (present value) \
             in each",
            "4000 trials, seed 1; 1000 of them behind the search for other winners, 4000 pairs behind the shares",
            "Light counted into 2.25 m² at 0.90 m Options A cheap arc: 97 300 ± 200 USD",
            "Cautions - The discount rate is assumed. Remarks - Mercury is not priced.",
        ],
    );
    holds(
        &joined(&sample::close()),
        &[
            "INTERRUPTED: the search was stopped after 192 trials",
            "nominal USD",
            "present value of 1 room as written, however much light it gives",
        ],
    );
    let mut apart = sample::realistic();
    apart.light_bases[1] = "over the bench".into();
    holds(&joined(&apart), &["B long-life arc: 86 400 ± 200 USD; light counted over the bench"]);
}

#[test]
fn the_choice_is_told_with_its_noise() {
    let [behind, same]: [DriversReport; 2] = sample::odd_leads().try_into().unwrap();
    let [nothing, _, lost]: [DriversReport; 3] = sample::empty().try_into().unwrap();
    for (report, told) in [
        (
            sample::realistic(),
            "C bar LED leads D panel LED by 1200 ± 200 USD of present value for 2 rooms; it is the cheapest in 68 % of",
        ),
        (
            sample::close(),
            "Too close to call: C bar LED is the cheapest in the mean, but its lead over D panel LED, 100 ± 200",
        ),
        (behind, "D panel LED leads C bar LED by 800 ± 200 USD of present value for 2 rooms, as the scenario stands."),
        (same, "C bar LED and D panel LED cost the same in every trial."),
        (sample::single(), "One option only, A cheap arc: nothing competes with it"),
        (nothing, "There is no option."),
        (lost, "an unknown option leads an unknown option by"),
    ] {
        holds(&joined(&report), &[told]);
    }
    assert!(!joined(&sample::single()).contains("What moves the lead"));
}

#[test]
fn inputs_that_can_change_the_winner_are_named() {
    holds(
        &joined(&sample::realistic()),
        &["2 of 17 inputs can change the winner within what is believed or doubted of them: C bar LED: \
           light.fade.half_life_h; C bar LED: fixture.price. What moves"],
    );
    let none = "No input can change the winner by itself within what is believed or doubted of it. What moves";
    holds(&joined(&sample::sure()), &[none]);
    holds(&joined(&sample::close()), &["so it leans on the luck of these trials. What moves"]);
    let mut report = sample::realistic();
    report.inputs[0].flips.clear();
    holds(
        &joined(&report),
        &[
            "1 of 17 inputs can change the winner within what is believed or doubted of it: C bar LED: fixture.price. Of 1 more, \
           all trials name another winner at an end of the band, where the search found no change.",
        ],
    );
    holds(&joined(&sample::long()), &["60 of 60 inputs can change", "; and 52 more."]);
}

#[test]
fn the_tables_keep_their_columns() {
    lines(
        &sample::realistic(),
        80,
        &[
            "C:                      61 000–90 000–132 000 h        −1300 →D  2900",
            "D: light.ppf                   1580–1700–1820 µmol/s    2400      100",
            "C: fixture.price                  448–640–832 USD ~     2300      500 →A",
            "C: fixtures                      22.8–24–25.2 ~         1600      900",
            "D: gear.price                   1.62–1.9–2.18 USD ~     1200     1300",
            "cooling.cop                         2.4–3–3.7           1500     1000",
            "D: light.ppf               above 1834 µmol/s     1.079         D     7.8 %",
            "C: fixture.price               above 797 USD      1.25         A   doubt ~",
            "flat day rate: energy   below 0.0311 USD/kWh      0.18         A    <0.1 %",
            "C:                       40 ± 5    50 ± 4",
            "cooling.cop               0 ± 5     0 ± 4",
            "luck of lamps, gear and  30 ± 5    30 ± 4",
            "C:                                  400 ± 50",
            "cooling.cop               less than 2.1",
            "clairvoyance: all inputs            700 ± 50",
        ],
    );
    lines(
        &sample::realistic(),
        48,
        &[
            "cooling.cop                 2.4–3–3.7",
            "flat day rate:        0.161–0.17–0.18 USD/kWh",
            "C: light.fade.  −1300 →D  2900",
            "cooling.cop     less than 2.1",
        ],
    );
    lines(
        &sample::realistic(),
        120,
        &[
            "light.fade.half_life_h",
            "C bar LED: fixture.price                   448–640–832 USD ~     2300                500 →A cheap arc",
        ],
    );
}

#[test]
fn options_are_marked_by_first_words_or_numbers() {
    let mut report = sample::realistic();
    assert!(printed(&report, 80, false).contains("called by its first"));
    report.options[3] = "C panel LED".into();
    let text = plain(&printed(&report, 80, false));
    assert!(
        text.contains("−1300 →4") && text.contains("          4 C panel LED: 54 900") && text.contains("number above")
    );
    report.inputs[0].low.winner = 99;
    assert!(plain(&printed(&report, 80, false)).contains("−1300 →–"));
}

#[test]
fn what_is_left_out_is_counted() {
    holds(
        &joined(&sample::realistic()),
        &[
            "5 further inputs move it less from end to end: by 13 USD at the most.",
            "12 inputs: none between an eighth and eight times their median.",
            "Worth nothing: nothing that you could learn about it would change the choice: flat day rate: energy; A cheap arc: \
             lamp.life.b50 (+1).",
            "A cheap arc: lamp.life.b50 with B long-life arc: lamp.life.b50",
            "guess 30 %; a judgement, no source",
        ],
    );
    holds(
        &joined(&sample::long()),
        &["48 further inputs move it less", "104 changes lie further away.", "8 further inputs have a smaller part."],
    );
    assert_eq!(left_out(1, "change", ("lies", "lie")), "1 change lies");
    let mut report = sample::realistic();
    report.inputs[6].searched = (0.0, 60_000.0);
    holds(&joined(&report), &["which reach from 0 to 8 times the median at the widest."]);
    report.inputs[6].searched = (f64::NAN, 60_000.0);
    holds(&joined(&report), &["12 inputs: none within the values searched."]);
}

#[test]
fn a_scenario_without_uncertain_inputs_says_so() {
    let text = joined(&sample::sure());
    holds(
        &text,
        &[
            "deviation of 3300 USD. No input is uncertain: all of that is luck of lamps, gear and market.",
            "No input is uncertain, so there is none to be known better.",
            "clairvoyance: all inputs and 700 ± 50 all luck",
        ],
    );
    assert!(!text.contains("all inputs together") && !text.contains("believed: what"));
    let mut report = sample::realistic();
    report.all_inputs = decide::drivers_report::Worth { is_seen: true, ..Default::default() };
    for driver in &mut report.inputs {
        driver.worth = driver.worth.map(|_| report.all_inputs);
    }
    holds(&joined(&report), &["Worth nothing: nothing that you could learn about any input would change the choice."]);
    report.lead_sd = 0.0;
    holds(&joined(&report), &["Nowhere: the lead is the same in every trial."]);
}

fn read(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect()
}

#[test]
fn the_table_has_a_row_for_each_input() {
    for (which, report) in sample::all() {
        // a strict reader refuses rows of another length
        let rows = read(&drivers_csv(&report));
        assert_eq!(rows[0], header(DRIVERS, &report.currency, &report.basis), "{which}");
        assert_eq!(rows.len(), 1 + report.inputs.len(), "{which}");
        assert!(rows.iter().flatten().all(|cell| cell != "NaN" && cell != "inf" && cell != "-inf"), "{which}");
        for cell in rows.into_iter().flatten() {
            let formula = cell.starts_with(['=', '+', '@', '\t', '\r', '\n']);
            assert!(!formula && (!cell.starts_with('-') || cell.parse::<f64>().is_ok()), "{cell:?}");
        }
    }
    let rows = read(&drivers_csv(&sample::realistic()));
    let cell = |row: usize, name: &str| rows[row][rows[0].iter().position(|column| column == name).unwrap()].as_str();
    for (row, name, expected) in [
        (1, "input", "C bar LED: light.fade.half_life_h"),
        (1, "unit", "h"),
        (1, "band", "believed"),
        (1, "low", "61000"),
        (1, "median", "90000"),
        (1, "high", "132000"),
        (1, "lead_real_USD_mean", "1231"),
        (1, "winner_at_low", "D panel LED"),
        (1, "lead_at_low_real_USD_mean", "-1320"),
        (1, "lead_at_high_real_USD_mean_se", "52"),
        (1, "flip_below", "72410"),
        (1, "flip_below_belief_beyond", "0.231"),
        (1, "flip_below_in_band", "yes"),
        (1, "flip_above", ""),
        (1, "share_alone", "0.43"),
        (1, "share_in_all_se", "0.018"),
        (1, "worth_real_USD", "388"),
        (2, "flip_above", "1834"),
        (2, "flip_above_in_band", "no"),
        (3, "band", "doubted"),
        (3, "worth_real_USD", ""),
        (3, "flip_above_winner", "A cheap arc"),
        (5, "worth_is_seen", "no"),
        (5, "worth_unseen_real_USD", "2.1"),
        (7, "tied", "B long-life arc: lamp.life.b50"),
    ] {
        assert_eq!(cell(row, name), expected, "{name} of row {row}");
    }
    assert!(drivers_csv(&sample::hostile()).contains("'=HYPERLINK"));
    assert_eq!(read(&drivers_csv(&sample::close()))[0][19], "lead_nominal_USD_mean");
}
