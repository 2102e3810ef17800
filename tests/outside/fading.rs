//! How light fades: least squares against certified answers, lamps that differ against the whole likelihood, the method for LEDs
//! against its published example.

use learn::fading::{Curve, Reading, averages, between_temperatures, led_fit, paces};
use learn::fit::{Residuals, fit};
use serde_json::Value;

use super::{assert_close, cases, data, number};

/// A curve and its derivatives by the parameters.
type Formula = fn(f64, &[f64]) -> (f64, Vec<f64>);

/// The models of the reference sets, derivatives by hand.
fn formula(model: &str) -> Formula {
    match model {
        "b1*(1-exp(-b2*x))" => {
            |x, b| (b[0] * -(-b[1] * x).exp_m1(), vec![-(-b[1] * x).exp_m1(), b[0] * x * (-b[1] * x).exp()])
        }
        "b1*(1-(1+b2*x/2)^-2)" => |x, b| {
            let base = 1.0 + b[1] * x / 2.0;
            (b[0] * (1.0 - base.powi(-2)), vec![1.0 - base.powi(-2), b[0] * x * base.powi(-3)])
        },
        "exp(-b1*x)/(b2+b3*x)" => |x, b| {
            let (top, under) = ((-b[0] * x).exp(), b[1] + b[2] * x);
            (top / under, vec![-x * top / under, -top / under.powi(2), -x * top / under.powi(2)])
        },
        "b1*x^b2" => |x, b| (b[0] * x.powf(b[1]), vec![x.powf(b[1]), b[0] * x.powf(b[1]) * x.ln()]),
        "b1*exp(-b2*x)+b3*exp(-b4*x)+b5*exp(-b6*x)" => |x, b| {
            let parts: Vec<f64> = b.chunks(2).map(|b| (-b[1] * x).exp()).collect();
            let value = parts.iter().zip(b.chunks(2)).map(|(part, b)| b[0] * part).sum();
            (value, parts.iter().zip(b.chunks(2)).flat_map(|(part, b)| [*part, -b[0] * x * part]).collect())
        },
        other => panic!("{other}"),
    }
}

struct Set {
    formula: Formula,
    points: Vec<(f64, f64)>,
}

impl Residuals for Set {
    fn count(&self) -> usize {
        self.points.len()
    }
    fn residuals(&self, b: &[f64], residuals: &mut [f64]) {
        self.points.iter().zip(residuals).for_each(|((x, y), residual)| *residual = y - (self.formula)(*x, b).0);
    }
    fn slopes(&self, b: &[f64], slopes: &mut [f64]) {
        let count = self.points.len();
        for (row, (x, _)) in self.points.iter().enumerate() {
            for (k, slope) in (self.formula)(*x, b).1.into_iter().enumerate() {
                slopes[k * count + row] = -slope;
            }
        }
    }
}

fn numbers(from: &Value) -> Vec<f64> {
    from.as_array().unwrap().iter().map(|value| value.as_f64().unwrap()).collect()
}

/// Tolerance of the certified answers.
const SHARE: f64 = 1e-6;

#[test]
fn certified_regressions_are_reached_from_both_starts() {
    let file = data("fit_strd.json");
    let mut sets = vec![];
    for case in cases(&file) {
        let name = case["set"].as_str().unwrap();
        let points: Vec<(f64, f64)> = numbers(&case["x"]).into_iter().zip(numbers(&case["y"])).collect();
        let problem = Set { formula: formula(case["model"].as_str().unwrap()), points };
        let (expected, deviations) = (numbers(&case["b"]), numbers(&case["sd"]));
        for start in ["start1", "start2"] {
            let found =
                fit(&problem, &[numbers(&case[start])]).unwrap_or_else(|error| panic!("{name} {start}: {error}"));
            let variance = found.squares / (problem.points.len() - expected.len()) as f64;
            // parts of a sum of exponentials may come in any order
            let of = found.deviations(variance);
            let mut pairs: Vec<(f64, f64)> = found.parameters.iter().copied().zip(of).collect();
            if name == "Lanczos3" {
                let mut parts: Vec<Vec<(f64, f64)>> = pairs.chunks(2).map(<[_]>::to_vec).collect();
                parts.sort_by(|a, b| a[1].0.total_cmp(&b[1].0));
                pairs = parts.concat();
            }
            for (k, (parameter, deviation)) in pairs.into_iter().enumerate() {
                assert_close(parameter, expected[k], SHARE, &format!("{name} {start} b{}", k + 1));
                assert_close(deviation, deviations[k], SHARE, &format!("{name} {start} deviation {}", k + 1));
            }
            assert_close(variance.sqrt(), number(case, "residual_sd"), SHARE, &format!("{name} {start} residual"));
        }
        sets.push(name);
    }
    assert_eq!(sets.len(), 6);
}

#[test]
fn paces_are_those_of_the_whole_likelihood() {
    let file = data("fading_paces.json");
    let lamps: Vec<Vec<Reading>> = file["lamps"]
        .as_array()
        .unwrap()
        .iter()
        .map(|lamp| {
            let reading = |pair: &Value| Reading {
                hours: pair[0].as_f64().unwrap(),
                log_light: pair[1].as_f64().unwrap().ln(),
                weight: 1.0,
            };
            lamp.as_array().unwrap().iter().map(reading).collect()
        })
        .collect();
    let curve = Curve::Exponential { rate: number(&file, "rate_per_kh_of_unit_slope") / 1000.0 };
    let found = paces(&lamps, &curve, 7000.0).unwrap();
    assert_close(found.mean, number(&file, "mean"), 1e-6, "mean");
    assert_close(found.error, number(&file, "mean_error"), 1e-4, "error of the mean");
    assert_close(found.spread, number(&file, "spread"), 1e-4, "spread");
    assert_close(found.noise, number(&file, "noise"), 1e-4, "noise");
}

#[test]
fn a_series_of_leds_gives_the_line_of_its_window() {
    let file = data("fading_led_series.json");
    let mut units: Vec<Vec<Reading>> = vec![vec![Reading { hours: 0.0, log_light: 0.0, weight: 1.0 }]; 20];
    for row in file["units"].as_array().unwrap() {
        for (unit, share) in units.iter_mut().zip(numbers(&row["shares"])) {
            unit.push(Reading { hours: number(row, "hours"), log_light: share.ln(), weight: 1.0 });
        }
    }
    let printed: Vec<(f64, f64)> =
        numbers(&file["printed_hours"]).into_iter().zip(numbers(&file["printed_means"])).collect();
    for stamp in averages(&units).iter().filter(|stamp| stamp.hours >= 1000.0) {
        let (_, share) = printed.iter().find(|(hours, _)| *hours == stamp.hours).unwrap();
        assert!((stamp.share - share).abs() < 6e-5, "{stamp:?} {share}");
    }
    let found = led_fit(&units).unwrap();
    let line = &file["line"];
    assert_eq!((found.window, found.stamps, found.units), ((1000.0, 6000.0), 6, 20));
    assert_close(found.rate, number(line, "rate_per_h"), 1e-9, "rate");
    assert_close(found.start, number(line, "start"), 1e-9, "start");
    assert_close(found.hours_to(0.7), number(line, "l70_h"), 1e-9, "hours to 70 %");
    let of_printed = &file["line_of_printed_means"];
    assert_close(found.rate, number(of_printed, "rate_per_h"), 1e-3, "rate of the printed means");
    assert_close(found.hours_to(0.7), number(of_printed, "l70_h"), 1e-3, "hours to 70 % of the printed means");
    // a window that begins too late gives a rate that is 30 % too high
    let trap = &file["wrong_window_from_2000_h"];
    assert!((found.rate / number(trap, "rate_per_h") - 1.0).abs() > 0.2);
    assert_eq!(found.cap(), Some(number(&file, "reported_above_h")));
    assert!(found.hours_to(0.7) > number(&file, "reported_above_h"));
}

#[test]
fn between_two_temperatures_stands_what_was_published() {
    let file = data("fading_led_published.json");
    let test = |key: &str| {
        let of = &file[key];
        (number(of, "celsius"), number(of, "start"), number(of, "rate_per_h"))
    };
    let (cool, hot, wanted) = (test("cool"), test("hot"), &file["wanted"]);
    let found = between_temperatures(cool, hot, number(wanted, "celsius")).unwrap();
    assert_close(found.activation_k, number(wanted, "activation_k"), 1e-3, "activation");
    assert_close(found.factor, number(wanted, "factor_per_h"), 2e-3, "factor");
    assert_close(found.start, number(wanted, "start"), 1e-3, "start");
    assert_close(found.rate, number(wanted, "rate_per_h"), 1e-3, "rate");
    assert_close((found.start / 0.7).ln() / found.rate, number(wanted, "l70_h"), 1e-3, "hours to 70 %");
    for outside in [54.9, 85.1] {
        assert_eq!(between_temperatures(cool, hot, outside), None);
    }
}
