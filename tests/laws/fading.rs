//! What must hold of fading learnt from readings, whatever the readings.

use decide::fading::{FadingOrder, Maintenance, fading};
use decide::fading_report::FadingReport;
use records::{LampReadings, Reading, Readings};

use crate::support;

/// Numbers that look like noise.
fn noise(k: usize) -> f64 {
    let x = (k as f64 * 78.233).sin() * 43_758.545_3;
    2.0 * (x - x.floor()) - 1.0
}

/// Lamps that fade fast at first, read 15 times up to 7 000 h.
fn readings() -> Readings {
    let lamp = |k: usize| {
        let reading = |j: usize| {
            let burn_h = 500.0 * j as f64;
            let pace = 1.0 + 0.1 * noise(1000 + k);
            let light = 500.0 * (-(pace * burn_h / 60_000.0).powf(0.75) + 0.004 * noise(31 * k + j)).exp();
            Reading { burn_h, light, is_left_out: false, line: (2 + k * 15 + j) as u64 }
        };
        LampReadings { lamp: format!("lamp {k}"), readings: (0..15).map(reading).collect() }
    };
    Readings { lamps: (0..6).map(lamp).collect(), about: 0 }
}

fn order() -> FadingOrder {
    FadingOrder {
        option: 0,
        record: "readings".into(),
        form: None,
        led: false,
        leave_out_outliers: false,
        draws: 500,
        seed: 3,
    }
}

fn learnt(readings: &Readings, order: &FadingOrder) -> (FadingReport, Maintenance) {
    fading(&support::plan(&support::demo()), order, readings, "0").unwrap()
}

/// What is left at the last of the hours that matter, and its interval.
fn end(report: &FadingReport) -> [f64; 3] {
    let last = report.at_hours.last().unwrap();
    [last.share, last.interval.0, last.interval.1]
}

#[test]
fn units_and_the_order_of_lamps_change_nothing() {
    let plain = learnt(&readings(), &order());
    assert_eq!(plain.0.fits[plain.0.chosen.unwrap()].form, "stretched");
    let mut other = readings();
    for (k, lamp) in other.lamps.iter_mut().enumerate() {
        lamp.readings.iter_mut().for_each(|reading| reading.light *= 10f64.powi(k as i32 - 2));
    }
    other.lamps.reverse();
    let found = learnt(&other, &order());
    for (a, b) in end(&plain.0).into_iter().zip(end(&found.0)) {
        assert!((a - b).abs() < 1e-6, "{a} {b}");
    }
}

#[test]
fn more_lamps_and_more_readings_leave_less_open() {
    let wide = |readings: &Readings| {
        let [_, low, high] = end(&learnt(readings, &order()).0);
        high - low
    };
    let mut few = readings();
    few.lamps.truncate(3);
    assert!(wide(&few) > 1.2 * wide(&readings()), "{} {}", wide(&few), wide(&readings()));
    // and beyond the readings more is open than within them
    let report = learnt(&readings(), &order()).0;
    let open = |point: &decide::fading_report::CurvePoint| point.interval.1 - point.interval.0;
    assert!(report.at_hours.windows(2).all(|pair| open(&pair[0]) < open(&pair[1])), "{:?}", report.at_hours);
}

#[test]
fn an_outlier_is_named_and_fitted_unless_it_is_asked_to_go() {
    let mut record = readings();
    record.lamps[4].readings[9].light *= 0.8;
    let kept = learnt(&record, &order()).0;
    assert_eq!(kept.outliers.iter().map(|out| out.line).collect::<Vec<_>>(), [2 + 4 * 15 + 9]);
    let left_out = learnt(&record, &FadingOrder { leave_out_outliers: true, ..order() }).0;
    assert!(left_out.are_outliers_left_out && !kept.are_outliers_left_out);
    assert_eq!(left_out.lamps[4].fitted + 1, kept.lamps[4].fitted);
    // leaving it out by the record is the same as leaving it out by the flag
    record.lamps[4].readings[9].is_left_out = true;
    let by_record = learnt(&record, &order()).0;
    assert!(by_record.outliers.is_empty());
    for (a, b) in end(&by_record).into_iter().zip(end(&left_out)) {
        assert!((a - b).abs() < 1e-9, "{a} {b}");
    }
    let (without, with) = kept.without_and_with.unwrap();
    let at = |report: &FadingReport| report.at_hours[1].share;
    assert!((with - at(&kept)).abs() < 1e-12 && (without - at(&by_record)).abs() < 1e-9);
}

#[test]
fn light_that_does_not_fall_is_said_so() {
    let mut record = readings();
    for (k, lamp) in record.lamps.iter_mut().enumerate() {
        lamp.readings.iter_mut().enumerate().for_each(|(j, r)| r.light = 500.0 * (1.0 + 0.002 * noise(77 * k + j) + r.burn_h * 2e-6));
    }
    let report = learnt(&record, &order()).0;
    assert!(report.remarks.iter().any(|remark| remark.starts_with("Light does not fall")), "{:?}", report.remarks);
    assert!(report.remarks.iter().any(|remark| remark.contains("were moved to its limit")), "{:?}", report.remarks);
    assert!(report.to_shares.iter().all(|to| to.hours.is_none()));
}
