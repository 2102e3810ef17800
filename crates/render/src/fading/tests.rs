//! What the printed fading and its tables must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading::{self, holds};
use crate::sample::fading as sample;
use crate::table::{FADING, FADING_POINTS, header};

fn joined(report: &FadingReport) -> String {
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
fn a_page_says_what_is_left_and_what_nobody_has_seen() {
    holds(
        &joined(&sample::realistic()),
        &[
            "Study of two bays: how A cheap arc fades",
            "90 readings of 6 lamps, up to 7000 h (records/a-fading.csv)",
            "21 915 h, unseen 64 (62–67) 64.5",
            "stretched (counts): time constant 61 (54–68) kh, power 0.79 (0.74–0.84); readings err by 0.92 %; lowest AICc",
            "biexponential: not fitted, the readings do not tell its parameters apart",
            "Lamps differ in their pace of fading by 11 % (standard deviation, 6 lamps)",
            "A3 at 4500 h (line 57): 398, 9 % below the lamp's own line through its other readings",
            "They are fitted; --leave-out-flagged or a word in the column leave_out leaves them out. At 7000 h the curve has 82.9 % \
             with them and 83.2 % without.",
            "Hours above 7000 lie beyond the readings",
            "--set /options/0/maintenance=@FOLDER/maintenance.json",
        ],
    );
}

#[test]
fn beyond_the_cap_no_hours_are_quoted() {
    let text = joined(&sample::of_leds());
    holds(
        &text,
        &[
            "20 units, 6000 h; what counts is 6 times from 1000 to 6000 h",
            "B 0.97529, alpha 3.73e-6 per h",
            "80 % left after 6 kh of test: > 36 000 h (the line says 53 100 h)",
            "70 % left after 6 kh of test: > 36 000 h (the line never comes to it)",
        ],
    );
    let below = text.split("Burn hours to a share").nth(1).unwrap();
    assert!(below.contains("70 % > 36 000") && below.contains("50 % never"), "{below}");
    holds(
        &joined(&sample::bare()),
        &[
            "no projection by this method: 1 unit was read at every time; it asks for 10",
            "It takes three lamps that fade",
        ],
    );
}

#[test]
fn the_tables_have_the_columns_of_their_headers() {
    for (which, report) in sample::all() {
        for (file, text, least) in [
            (FADING, fading_csv(&report), report.at_hours.len() + report.to_shares.len()),
            (FADING_POINTS, fading_points_csv(&report), report.points.len()),
        ] {
            let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
            let rows: Vec<Vec<String>> =
                reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect();
            assert_eq!(rows[0], header(file, "", ""), "{which}");
            assert!(rows.len() > least, "{which}: {file}");
            for cell in rows.iter().skip(1).flatten() {
                assert!(!cell.starts_with(['=', '+', '@', '\t', '\r']), "{cell:?}");
                assert!(!cell.starts_with('-') || cell.parse::<f64>().is_ok(), "{cell:?}");
            }
        }
    }
    let text = fading_csv(&sample::realistic());
    assert!(
        text.contains("parameter,A cheap arc,stretched,yes,time_constant,kh,61.2,54.2,68.2,,0.0092,0,,\r\n"),
        "{text}"
    );
}

#[test]
fn what_is_lost_in_the_noise_and_what_no_lamp_gives_are_said_plainly() {
    assert_eq!(ranged(1e-8, (1e-9, 8e-7), 100.0), ["<4e-6", "(<4e-6 to 0.00008)"]);
    assert_eq!(ranged(0.001, (-0.2, 0.2), 1.0), ["0", "(−0.2 to 0.2)"]);
    assert_eq!(share(0.8, (0.7, 0.9)), ["80", "(70–90)"]);
    for wild in [f64::NAN, f64::INFINITY, 1e9] {
        assert_eq!((share(wild, (0.7, 0.9)), share(0.8, (0.7, wild))), (vec![NONE.to_owned()], vec![NONE.to_owned()]));
    }
}
