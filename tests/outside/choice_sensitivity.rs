//! Shares of variance (`choice::sensitivity`) of functions of which they are known in closed form.

use std::f64::consts::PI;

use choice::sensitivity::{Indices, groups, indices, mix};
use draws::{Purpose, Stream, standard_normal};
use serde_json::Value;

use super::{cases, data, number};

/// Rows of each table.
const ROWS: u64 = 1 << 14;

/// Errors that an estimate may lie off. One comparison in 16 000 fails by chance.
const ERRORS: f64 = 4.0;

/// The indices of a function of some numbers even on (0, 1), and its variance, for each group of their places.
fn found(f: &dyn Fn(&[f64]) -> f64, inputs: usize, groups: &[Vec<usize>], seed: u64) -> (Vec<Indices>, f64) {
    let row = |table: u64, trial: u64| -> Vec<f64> {
        let luck = Stream::new(seed, Purpose::Shared, table, trial);
        (0..inputs as u64).map(|k| luck.uniform(k)).collect()
    };
    let (mut a, mut b, mut mixed) = (vec![], vec![], vec![vec![]; groups.len()]);
    for trial in 0..ROWS {
        let [left, right] = [0, 1].map(|table| row(table, trial));
        a.push(f(&left));
        b.push(f(&right));
        for (group, outcomes) in groups.iter().zip(&mut mixed) {
            outcomes.push(f(&mix(&left, &right, group)));
        }
    }
    let (_, error) = super::statistics::mean_and_error(&[&a[..], &b].concat());
    (indices(&a, &b, &mixed).unwrap(), error * error * 2.0 * ROWS as f64)
}

fn singly(inputs: usize) -> Vec<Vec<usize>> {
    (0..inputs).map(|place| vec![place]).collect()
}

/// Holds the indices of a function against those of a data file.
#[track_caller]
fn check(file: &Value, f: &dyn Fn(&[f64]) -> f64, scale: f64, seed: u64) {
    let cases = cases(file);
    let (indices, variance) = found(f, cases.len(), &singly(cases.len()), seed);
    assert!((variance / scale / number(file, "variance") - 1.0).abs() < 0.05, "variance {variance}");
    for (case, Indices { first, total }) in cases.iter().zip(indices) {
        for (estimate, key) in [(first, "first"), (total, "total")] {
            let expected = number(case, key);
            assert!((estimate.value - expected).abs() <= ERRORS * estimate.se, "{case} {key}: {estimate:?}");
            // of all the variance 2.5 % at most; and inputs without much effect must be known by that measure too
            let bites = if key == "first" { 0.025 * number(case, "total").sqrt() } else { 0.03 * expected };
            assert!(estimate.se <= bites && estimate.se > 0.0, "{case} {key}: {estimate:?} does not bite");
        }
    }
}

#[test]
fn a_function_with_waves_and_an_interaction_comes_out() {
    let file = data("choice_ishigami.json");
    let [a, b] = ["a", "b"].map(|key| number(&file, key));
    let f = |u: &[f64]| {
        let [x, y, z] = [u[0], u[1], u[2]].map(|u| PI * (2.0 * u - 1.0));
        x.sin() + a * y.sin().powi(2) + b * z.powi(4) * x.sin()
    };
    check(&file, &f, 1.0, 93);
}

#[test]
fn products_of_kinks_come_out_down_to_the_least_of_inputs() {
    for (name, seed) in [("choice_g_function_8.json", 94), ("choice_g_function_6.json", 95)] {
        let file = data(name);
        let weights: Vec<f64> = file["a"].as_array().unwrap().iter().map(|a| a.as_f64().unwrap()).collect();
        assert_eq!(weights.len(), cases(&file).len());
        let f = |u: &[f64]| -> f64 {
            u.iter().zip(&weights).map(|(u, a)| ((4.0 * u - 2.0).abs() + a) / (1.0 + a)).product()
        };
        check(&file, &f, 1.0, seed);
    }
}

fn product(sigmas: &[f64]) -> impl Fn(&[f64]) -> f64 {
    move |u| u.iter().zip(sigmas).map(|(u, sigma)| sigma * standard_normal(*u)).sum::<f64>().exp()
}

#[test]
fn a_product_of_lognormals_comes_out_one_by_one_and_in_groups() {
    let file = data("choice_product.json");
    let sigmas: Vec<f64> = file["sigma"].as_array().unwrap().iter().map(|a| a.as_f64().unwrap()).collect();
    let f = product(&sigmas);
    let mean = (0.5 * sigmas.iter().map(|sigma| sigma * sigma).sum::<f64>()).exp();
    check(&file, &f, mean * mean, 96);
    // what is left of the last input's total index is the first index of the other two together
    let groups: Vec<Vec<usize>> =
        groups(&["small", "small", "large"]).unwrap().into_iter().map(|(_, places)| places).collect();
    let (together, _) = found(&f, 3, &groups, 97);
    let expected = 1.0 - number(&cases(&file)[2], "total");
    let first = together[0].first;
    assert!((first.value - expected).abs() <= ERRORS * first.se && first.se < 0.03, "{first:?} against {expected}");
}

#[test]
fn standard_errors_are_as_large_as_the_scatter() {
    let f = product(&[0.1, 0.3, 0.5]);
    let runs: Vec<Vec<Indices>> = (0..60).map(|seed| found(&f, 3, &singly(3), 200 + seed).0).collect();
    for input in 0..3 {
        for pick in [|indices: &Indices| indices.first, |indices: &Indices| indices.total] {
            let estimates: Vec<choice::Estimate> = runs.iter().map(|run| pick(&run[input])).collect();
            let values: Vec<f64> = estimates.iter().map(|estimate| estimate.value).collect();
            let scatter = super::statistics::mean_and_error(&values).1 * 60f64.sqrt();
            let said = estimates.iter().map(|estimate| estimate.se).sum::<f64>() / 60.0;
            // a standard deviation from 60 runs scatters by 9 %, somewhat more where tails are heavy: 4 times 10 %
            assert!((said / scatter - 1.0).abs() < 0.4, "input {input}: said {said}, scatter {scatter}");
        }
    }
}
