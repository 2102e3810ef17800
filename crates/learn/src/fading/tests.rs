use super::*;

/// Numbers that look like noise, with a mean near 0 and a spread near 1; the same each time.
fn noise(k: usize) -> f64 {
    let x = (k as f64 * 12.9898).sin() * 43_758.545_3;
    (x - x.floor() - 0.5) * 12f64.sqrt()
}

/// Lamps of a curve, each with its pace, read at the same hours.
fn lamps(curve: Curve, paces: &[f64], hours: &[f64], error: f64) -> Vec<Vec<Reading>> {
    let lamp = |(i, pace): (usize, &f64)| {
        let reading = |(k, b): (usize, &f64)| Reading {
            hours: *b,
            log_light: 6.0 + 0.03 * i as f64 + curve.paced(*pace).log_share(*b) + error * noise(i * 97 + k),
            weight: 1.0,
        };
        hours.iter().enumerate().map(reading).collect()
    };
    paces.iter().enumerate().map(lamp).collect()
}

const HOURS: [f64; 9] = [0.0, 500.0, 1500.0, 3000.0, 4500.0, 6000.0, 8000.0, 10_000.0, 14_000.0];

const CURVES: [Curve; 3] = [
    Curve::Exponential { rate: 2.2e-5 },
    Curve::Stretched { time_constant: 50_000.0, power: 0.7 },
    Curve::Biexponential { fast_share: 0.1, fast_rate: 1e-3, slow_rate: 1e-5 },
];

#[test]
fn what_was_put_in_comes_out_of_readings_without_noise() {
    for curve in CURVES {
        let found = fade(curve.form(), &lamps(curve, &[1.0, 1.0], &HOURS, 0.0)).unwrap();
        let pairs = curve.coordinates().into_iter().zip(found.curve.coordinates());
        pairs.for_each(|(expected, found)| assert!((found - expected).abs() < 1e-6, "{curve:?} {found:?}"));
        for (k, level) in found.fit.levels.iter().enumerate() {
            assert!((level - 6.0 - 0.03 * k as f64).abs() < 1e-9);
        }
    }
}

#[test]
fn slopes_are_those_of_differences() {
    for curve in CURVES {
        let at = curve.coordinates();
        for b in [0.0, 300.0, 20_000.0] {
            let slopes = curve.log_slopes(b);
            for k in 0..at.len() {
                let moved = |by: f64| {
                    let mut at = at.clone();
                    at[k] += by;
                    Curve::at(curve.form(), &at).log_share(b)
                };
                let expected = (moved(1e-5) - moved(-1e-5)) / 2e-5;
                assert!((slopes[k] - expected).abs() < 1e-8 * (1.0 + expected.abs()), "{curve:?} {b} {k}");
            }
            let by_hours = |b: f64| (-curve.log_share(b)).ln();
            if b > 0.0 {
                let expected = (by_hours(b * 1.0001) - by_hours(b / 1.0001)) / (2.0 * 1.0001f64.ln());
                assert!((curve.elasticity(b) - expected).abs() < 1e-6, "{curve:?} {b}");
            }
        }
    }
}

#[test]
fn equally_read_lamps_are_those_of_the_analysis_of_variance() {
    let curve = Curve::Exponential { rate: 2e-5 };
    let lamps = lamps(curve, &[0.8, 1.0, 1.3, 0.9, 1.1], &HOURS, 0.004);
    let found = fade(Form::Exponential, &lamps).unwrap();
    // each lamp's own line by hand
    let n = HOURS.len() as f64;
    let middle = HOURS.iter().sum::<f64>() / n;
    let width: f64 = HOURS.iter().map(|b| (b - middle).powi(2)).sum();
    let own = |lamp: &Vec<Reading>| {
        let y = lamp.iter().map(|r| r.log_light).sum::<f64>() / n;
        let rate = -lamp.iter().map(|r| (r.hours - middle) * (r.log_light - y)).sum::<f64>() / width;
        let squares: f64 = lamp.iter().map(|r| (r.log_light - y + rate * (r.hours - middle)).powi(2)).sum();
        (rate, squares)
    };
    let of: Vec<(f64, f64)> = lamps.iter().map(own).collect();
    let count = of.len() as f64;
    let noise = of.iter().map(|lamp| lamp.1).sum::<f64>() / (count * (n - 2.0));
    let mean = of.iter().map(|lamp| lamp.0).sum::<f64>() / count;
    let between = of.iter().map(|lamp| (lamp.0 - mean).powi(2)).sum::<f64>() / (count - 1.0);
    let spread = (between - noise / width).sqrt();
    let Curve::Exponential { rate } = found.curve else { panic!("{found:?}") };
    assert!((rate / mean - 1.0).abs() < 1e-9, "{rate} {mean}");
    assert!((found.noise / noise - 1.0).abs() < 1e-6, "{} {noise}", found.noise);
    assert!((found.pace_spread().unwrap() / (spread / mean) - 1.0).abs() < 1e-6);
    // noise and choice of lamps together: the standard error of a mean of lamps
    let whole = (found.noise * found.fit.fit.spread[0] * 1e-6 + (found.pace_error * rate).powi(2)).sqrt();
    assert!((whole / (between / count).sqrt() - 1.0).abs() < 1e-6);
}

#[test]
fn lamps_that_are_alike_have_no_spread() {
    // each lamp errs as the others do, so slopes differ by nothing
    let same: Vec<Vec<Reading>> = (0..4).map(|_| lamps(CURVES[0], &[1.0], &HOURS, 0.01).remove(0)).collect();
    let found = fade(Form::Exponential, &same).unwrap();
    assert_eq!((found.pace_spread(), found.pace_error), (Some(0.0), 0.0));
    assert!(fade(Form::Exponential, &same[..2]).unwrap().paces.is_none());
}

#[test]
fn the_fewest_parameters_that_serve_are_told() {
    for (curve, error) in CURVES.into_iter().zip([0.002, 0.001, 0.0005]) {
        let lamps = lamps(curve, &[1.0; 6], &HOURS, error);
        let aicc = |form| fit_curve(form, &lamps).map_or(f64::INFINITY, |fit| fit.aicc);
        let best = Form::ALL.into_iter().min_by(|a, b| aicc(*a).total_cmp(&aicc(*b))).unwrap();
        let least = aicc(best);
        let chosen = Form::ALL.into_iter().find(|form| aicc(*form) < least + 2.0).unwrap();
        assert_eq!(chosen, curve.form());
    }
    let two: Vec<Vec<Reading>> = lamps(CURVES[0], &[1.0], &[0.0, 1000.0], 0.0);
    assert_eq!(fit_curve(Form::Exponential, &two).unwrap_err(), crate::fit::NoFit::TooFew);
    // an exponential has no second part to be found
    let plain = lamps(CURVES[0], &[1.0; 4], &HOURS, 0.002);
    assert!(fit_curve(Form::Biexponential, &plain).is_err());
}

#[test]
fn a_reading_that_sticks_out_is_found_and_a_fast_lamp_is_not() {
    let mut lamps = lamps(CURVES[0], &[1.0, 1.0, 1.0, 3.0, 1.0], &HOURS, 0.004);
    let curve = |lamps: &[Vec<Reading>]| fade(Form::Exponential, lamps).unwrap().curve;
    assert_eq!(outliers(&lamps, &curve(&lamps)), []);
    lamps[2][5].log_light += 0.9f64.ln();
    let found = outliers(&lamps, &curve(&lamps));
    assert_eq!(found.iter().map(|out| (out.lamp, out.reading)).collect::<Vec<_>>(), [(2, 5)]);
    assert!((found[0].off + 0.1).abs() < 0.02, "{found:?}");
}

#[test]
fn draws_have_the_spread_that_was_found() {
    let lamps = lamps(CURVES[1], &[0.9, 1.0, 1.2, 0.95, 1.05, 1.1], &HOURS, 0.003);
    let found = fade(Form::Stretched, &lamps).unwrap();
    // a lattice of rank 1: even in each number, and pairs filled evenly
    const ROWS: usize = 4001;
    let at = |k: usize, by: usize| ((k * by % ROWS) as f64 + 0.5) / ROWS as f64;
    let rows: Vec<Vec<f64>> = (0..ROWS).map(|k| vec![at(k, 1), at(k, 1229), at(k, 3109)]).collect();
    let of: Vec<Vec<f64>> = draws(&found, &rows).iter().map(Curve::coordinates).collect();
    let middle = found.curve.coordinates();
    // Student's t has a variance of ν/(ν − 2)
    let wide = found.freedom / (found.freedom - 2.0);
    let by_lamps = found.pace_error.powi(2) * 5.0 / 3.0;
    let expected = [0, 3].map(|k| found.noise * found.fit.fit.spread[k] * wide + if k == 0 { by_lamps } else { 0.0 });
    for k in 0..2 {
        let mean = of.iter().map(|row| row[k]).sum::<f64>() / ROWS as f64;
        let variance = of.iter().map(|row| (row[k] - mean).powi(2)).sum::<f64>() / ROWS as f64;
        assert!((mean - middle[k]).abs() < 0.01 * expected[k].sqrt(), "{k}: {mean} {}", middle[k]);
        assert!((variance / expected[k] - 1.0).abs() < 0.06, "{k}: {variance} {}", expected[k]);
    }
}

#[test]
fn a_test_of_leds_counts_its_window() {
    assert_eq!([6000.0, 8000.0, 10_000.0, 12_000.0].map(window), [1000.0, 3000.0, 5000.0, 6000.0]);
    assert_eq!([9, 10, 19, 20].map(cap_multiple), [None, Some(5.5), Some(5.5), Some(6.0)]);
    let rising = Curve::Exponential { rate: -1e-6 };
    let hours: Vec<f64> = (0..9).map(|k| 1000.0 * f64::from(k)).collect();
    let mut units = lamps(rising, &[1.0; 12], &hours, 0.0);
    units[3].pop();
    let fit = led_fit(&units).unwrap();
    assert_eq!((fit.units, fit.stamps, fit.window), (11, 6, (3000.0, 8000.0)));
    assert!(fit.rate < 0.0 && fit.hours_to(0.7) == f64::INFINITY && fit.cap() == Some(44_000.0));
    assert!(led_fit(&lamps(rising, &[1.0; 12], &hours[..3], 0.0)).is_none());
}

#[test]
fn a_test_of_leds_tells_how_units_differ_and_whom_it_leaves_out() {
    // units of known rates; shares of readings at 0 h, lines from 1 000 h on
    let rates = [2e-6, 3e-6, 4e-6, 5e-6, 6e-6];
    let unit = |rate: f64, error: f64| -> Vec<Reading> {
        let signs = [0.0, 1.0, -1.0, 0.0, 0.0, -1.0, 1.0];
        let at = |(k, sign): (usize, f64)| {
            let hours = 1_000.0 * k as f64;
            Reading { hours, log_light: 3.0 - rate * hours + error * sign, weight: 1.0 }
        };
        signs.into_iter().enumerate().map(at).collect()
    };
    let of = |error: f64| -> Vec<Vec<Reading>> { rates.iter().map(|rate| unit(*rate, error)).collect() };
    // standard deviation of 2 to 6 is the root of 2.5, their mean 4
    let found = led_fit(&of(0.0)).unwrap();
    assert!((found.rate_spread.unwrap() - 2.5f64.sqrt() / 4.0).abs() < 1e-9, "{found:?}");
    // residuals of +e, −e, 0, 0, −e, +e bend no line: squares 4 e² on 4 degrees of freedom, Σ(b − b̄)² 17.5 million h²
    let noisy = led_fit(&of(2e-3)).unwrap();
    let expected = (2.5e-12f64 - 4e-6 / 17.5e6).sqrt() / 4e-6;
    assert!((noisy.rate_spread.unwrap() / expected - 1.0).abs() < 1e-9, "{noisy:?} {expected}");
    assert_eq!(led_fit(&of(9e-3)).unwrap().rate_spread, Some(0.0));
    assert!(found.missed.is_empty() && found.is_from_new());
    // one missing reading takes its unit out, and with it the longer cap
    let mut units: Vec<Vec<Reading>> = (0..20).map(|_| unit(4e-6, 0.0)).collect();
    assert_eq!(led_fit(&units).unwrap().cap(), Some(36_000.0));
    units[7].remove(3);
    let found = led_fit(&units).unwrap();
    assert_eq!((found.missed.clone(), found.units, found.cap()), (vec![7], 19, Some(33_000.0)));
    // without a reading of new units there is no projection
    units.iter_mut().for_each(|unit| {
        unit.remove(0);
    });
    let found = led_fit(&units).unwrap();
    assert_eq!((found.is_from_new(), found.first, found.cap()), (false, 1_000.0, None));
}
