//! Fading made up for tests: two like real ones, and several that are meant to break a layout.
//!
//! Belongs here: builders of `FadingReport`. Does not belong here: assertions.

use decide::fading_report::*;

fn at(burn_h: f64) -> CurvePoint {
    let share = (-(burn_h / 62_000.0).powf(0.78)).exp();
    let wide = 0.002 + burn_h * 1e-6;
    CurvePoint {
        burn_h,
        share,
        interval: (share - wide, share + wide),
        stated: (-2e-5 * burn_h).exp(),
        beyond_cap: false,
    }
}

fn parameter(name: &str, unit: &str, value: f64, wide: f64) -> Parameter {
    Parameter { name: name.into(), unit: unit.into(), value, interval: (value - wide, value + wide) }
}

fn fit(form: &str, parameters: Vec<Parameter>, aicc_above: f64) -> FitTold {
    FitTold { form: form.into(), none: None, parameters, residual: 0.0092, freedom: 81.0, aicc_above: Some(aicc_above) }
}

/// Six lamps, one reading of which sticks out.
pub(crate) fn realistic() -> FadingReport {
    let hours: Vec<f64> = (0..=14).map(|k| 500.0 * f64::from(k)).collect();
    let point = |lamp: usize, burn_h: f64| {
        let share = at(burn_h).share * (1.0 + 0.008 * ((lamp * 7 + burn_h as usize / 500) as f64).sin());
        let is_out = lamp == 2 && burn_h == 4500.0;
        let share = if is_out { 0.91 * share } else { share };
        Point {
            lamp,
            burn_h,
            reading: 540.0 * share,
            share: Some(share),
            by_curve: at(burn_h).share,
            readings: 1.0,
            fate: if is_out { Fate::SticksOut } else { Fate::Fitted },
        }
    };
    let lamp = |k: usize| LampTold {
        name: format!("A{}", k + 1),
        fitted: 15,
        hours: (0.0, 7000.0),
        last_share: Some(0.82 + 0.004 * k as f64),
    };
    FadingReport {
        format: FADING_FORMAT.into(),
        program: "0".into(),
        title: "Study of two bays".into(),
        option: "A cheap arc".into(),
        place: "/options/0/maintenance".into(),
        record: "records/a-fading.csv".into(),
        readings: 90,
        left_out: 0,
        is_merged: false,
        lamps: (0..6).map(lamp).collect(),
        points: (0..6).flat_map(|lamp| hours.iter().map(move |h| (lamp, *h))).map(|(l, h)| point(l, h)).collect(),
        means: hours.iter().map(|h| Mean { burn_h: *h, share: at(*h).share, lamps: 6 }).collect(),
        fits: vec![
            fit("exponential", vec![parameter("rate", "1/kh", 0.0286, 0.0014)], 13.2),
            fit(
                "stretched",
                vec![parameter("time_constant", "kh", 61.2, 7.0), parameter("power", "1", 0.79, 0.05)],
                0.0,
            ),
            FitTold {
                form: "biexponential".into(),
                none: Some("the readings do not tell its parameters apart".into()),
                parameters: vec![],
                residual: 0.0,
                freedom: 0.0,
                aicc_above: None,
            },
        ],
        chosen: Some(1),
        why: "stretched: it has the lowest AICc, and no form with fewer parameters comes within 2 of it".into(),
        led: None,
        read_to_h: 7000.0,
        needed_to_h: 21_915.0,
        cap_h: None,
        curve: (0..=80).map(|k| at(21_915.0 * f64::from(k) / 80.0)).collect(),
        at_hours: vec![at(3500.0), at(7000.0), at(21_915.0)],
        to_shares: [(0.9, 3460.0), (0.8, 9064.0), (0.7, 16_540.0), (0.5, 38_750.0)]
            .map(|(share, hours)| HoursTo {
                share,
                hours: Some(hours),
                interval: (Some(0.93 * hours), Some(1.08 * hours)),
                stated: Some(-f64::ln(share) / 2e-5),
                beyond_cap: false,
            })
            .to_vec(),
        between: Some(Between { lamps: 6, pace: 0.11, level: 0.02, noise: 0.006 }),
        lamp_to_lamp: Some(0.11),
        outliers: vec![OutlierTold { lamp: "A3".into(), burn_h: 4500.0, reading: 398.0, off: -0.09, line: 57 }],
        are_outliers_left_out: false,
        without_and_with: Some((0.832, 0.829)),
        draws: 1000,
        seed: 1,
        assumptions: vec!["lamps fade on one curve".into()],
        cautions: vec!["A caution of the scenario.".into()],
        remarks: vec![],
    }
}

/// A test of LEDs whose line counts.
pub(crate) fn of_leds() -> FadingReport {
    let mut report = realistic();
    (report.chosen, report.cap_h) = (None, Some(36_000.0));
    report.outliers.clear();
    report.to_shares[3].hours = None;
    report.to_shares[3].interval = (Some(1e5), None);
    report.to_shares[2].hours = Some(88_926.0);
    report.to_shares[2..].iter_mut().for_each(|to| to.beyond_cap = true);
    report.lamp_to_lamp = Some(0.23);
    report.led = Some(LedTold {
        none: None,
        units: 20,
        tested_h: 6000.0,
        window_h: (1000.0, 6000.0),
        times: 6,
        start: 0.97529,
        rate_per_h: 3.7296e-6,
        cap_h: Some(36_000.0),
        to_shares: [(0.9, Some(21_540.0), false), (0.8, Some(53_120.0), true), (0.7, None, true)]
            .map(|(share, hours, beyond_cap)| LedHoursTo { share, hours, beyond_cap })
            .to_vec(),
    });
    report
}

/// One lamp, few readings, none of the extras.
pub(crate) fn bare() -> FadingReport {
    let mut report = realistic();
    report.lamps.truncate(1);
    report.points.truncate(4);
    report.means.clear();
    (report.between, report.lamp_to_lamp) = (None, None);
    report.outliers.clear();
    report.without_and_with = None;
    (report.assumptions, report.cautions) = (vec![], vec![]);
    report.needed_to_h = 7000.0;
    report.curve = (0..=80).map(|k| at(7000.0 * f64::from(k) / 80.0)).collect();
    report.fits.iter_mut().for_each(|fit| fit.aicc_above = None);
    report.led = Some(LedTold {
        none: Some("1 unit was read at every time; it asks for 10".into()),
        units: 1,
        tested_h: 7000.0,
        window_h: (2000.0, 7000.0),
        times: 5,
        start: 1.01,
        rate_per_h: -2e-7,
        cap_h: None,
        to_shares: vec![],
    });
    report
}

/// Text that would harm a terminal, a table or a picture.
pub(crate) fn hostile() -> FadingReport {
    let mut report = realistic();
    report.title = "=HYPERLINK(\"http://x\")\u{1b}[31m\u{202e}<b>&".into();
    report.option = "\u{1b}]0;x\u{7} <script>alert(1)</script> \u{2067}wide".repeat(4);
    report.record = "-2+3\r\n\u{0}\u{85}日本語の長い名前です".repeat(6);
    report.why = "@SUM(A1)\"'&<script>".repeat(9);
    for lamp in &mut report.lamps {
        lamp.name = "=1+1\u{1b}[2J\u{202e}<x>日本語".repeat(5);
    }
    report.outliers[0].lamp = "+cmd|' /C calc'!A0\u{1b}".into();
    report.fits[2].none = Some("\u{1b}[2J=2+2".into());
    report.remarks = vec!["\u{1b}[2J".into()];
    report
}

/// Very many lamps and very long numbers.
pub(crate) fn crowded() -> FadingReport {
    let mut report = realistic();
    let point = report.points[3].clone();
    report.points = (0..4000).map(|k| Point { lamp: k % 6, burn_h: k as f64, ..point.clone() }).collect();
    let lamp = report.lamps[0].clone();
    report.lamps = (0..900).map(|k| LampTold { name: format!("lamp {k}"), fitted: u64::MAX, ..lamp.clone() }).collect();
    let out = report.outliers[0].clone();
    report.outliers = (0..50).map(|k| OutlierTold { reading: 1e300, off: 1e200, line: k, ..out.clone() }).collect();
    report.readings = u64::MAX;
    report.is_merged = true;
    report.left_out = 123_456;
    report
}

/// What no calculation should give.
pub(crate) fn wild() -> FadingReport {
    let mut report = of_leds();
    let numbers = [f64::NAN, f64::INFINITY, -1e300, 1e-300, 0.0];
    for (k, point) in report.curve.iter_mut().chain(&mut report.at_hours).enumerate() {
        (point.share, point.stated) = (numbers[k % 5], numbers[(k + 1) % 5]);
        point.interval = (numbers[(k + 2) % 5], numbers[(k + 3) % 5]);
    }
    for (k, point) in report.points.iter_mut().enumerate() {
        (point.burn_h, point.share) = (numbers[(k + 3) % 5], Some(numbers[k % 5]));
    }
    for (k, fit) in report.fits.iter_mut().enumerate() {
        (fit.residual, fit.aicc_above) = (numbers[k % 5], Some(numbers[(k + 1) % 5]));
        fit.parameters.iter_mut().for_each(|parameter| parameter.value = numbers[k % 5]);
    }
    for (k, to) in report.to_shares.iter_mut().enumerate() {
        (to.hours, to.stated, to.interval.1) = (Some(numbers[k % 5]), Some(numbers[(k + 2) % 5]), Some(f64::NAN));
    }
    report.between = Some(Between { lamps: 3, pace: f64::NAN, level: f64::INFINITY, noise: -1e300 });
    (report.read_to_h, report.needed_to_h, report.cap_h) = (f64::NAN, f64::INFINITY, Some(f64::NAN));
    report
}

/// All of them, by name.
pub(crate) fn all() -> Vec<(&'static str, FadingReport)> {
    let mut empty = bare();
    (empty.curve, empty.points, empty.lamps, empty.fits) = (vec![], vec![], vec![], vec![]);
    (empty.at_hours, empty.to_shares) = (vec![], vec![]);
    vec![
        ("realistic fading", realistic()),
        ("fading of LEDs", of_leds()),
        ("bare fading", bare()),
        ("hostile fading", hostile()),
        ("crowded fading", crowded()),
        ("wild fading", wild()),
        ("empty fading", empty),
    ]
}
