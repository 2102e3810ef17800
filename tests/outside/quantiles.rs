//! Quantiles and standard errors from trials: against a statistics package and against known asymptotics.

use decide::Sorted;
use draws::{Distribution, Purpose, Stream, standard_normal};
use statrs::distribution::{Continuous, Normal};

use super::statistics::ERRORS;
use super::{assert_close, cases, data, number};

#[test]
fn quantiles_are_those_of_type_8() {
    let file = data("quantiles.json");
    let values: Vec<f64> = file["data"].as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect();
    assert_eq!(values.len(), 23);
    let sorted = Sorted::new(values);
    for case in cases(&file) {
        assert_close(sorted.quantile(number(case, "p")), number(case, "quantile"), 1e-12, &case.to_string());
    }
}

#[test]
fn a_mean_and_its_standard_error_are_those_of_the_distribution() {
    let file = data("mean_error.json");
    let [sigma, draws] = ["sigma", "draws"].map(|key| number(&file, key));
    let p90 = (sigma * standard_normal(0.9)).exp();
    let luck = Stream::new(71, Purpose::Shared, 0, 0);
    let lognormal = Distribution::Lognormal { median: 1.0, p90 };
    let values: Vec<f64> = (0..draws as u64).map(|k| lognormal.quantile(luck.uniform(k))).collect();
    let (mean, sd) = decide::mean(&values);
    assert!((mean.value - number(&file, "mean")).abs() < ERRORS * mean.se, "{mean:?}");
    assert_close(mean.se, number(&file, "standard_error"), 0.063, "standard error of the mean");
    assert_close(sd, mean.se * draws.sqrt(), 1e-12, "standard deviation");
}

#[test]
fn standard_errors_of_quantiles_cover_as_they_should() {
    // samples of a standard normal; a quantile's asymptotic standard error is √(p(1 − p)/n)/φ(z)
    let (samples, n) = (1000, 1000);
    let normal = Normal::standard();
    let points = [0.05, 0.1, 0.5, 0.8, 0.9, 0.95];
    let (mut covered, mut errors) = ([0.0; 6], [0.0; 6]);
    for sample in 0..samples {
        let luck = Stream::new(72, Purpose::Shared, 1, sample);
        let sorted = Sorted::new((0..n).map(|k| standard_normal(luck.uniform(k))).collect());
        for (k, p) in points.into_iter().enumerate() {
            let estimate = sorted.estimate(p);
            covered[k] += f64::from((estimate.value - standard_normal(p)).abs() < 1.96 * estimate.se);
            errors[k] += estimate.se;
        }
    }
    for (k, p) in points.into_iter().enumerate() {
        let share = covered[k] / samples as f64;
        // 95 % is aimed at. The error itself is estimated from about 2√(np(1 − p)) order statistics, 14 at the least,
        // which costs some cover as the quantiles of Student's t do: up to 2 %. Then 4.5 binomial errors of 0.7 %.
        assert!((0.93 - ERRORS * 0.0069..0.95 + ERRORS * 0.0069).contains(&share), "p {p}: covers {share}");
        let asymptotic = (p * (1.0 - p) / n as f64).sqrt() / normal.pdf(standard_normal(p));
        // second-order terms of the spacing are of order 1/(n·p(1 − p)), 2 % at the edge; the mean's noise is below 1 %
        assert_close(errors[k] / samples as f64, asymptotic, 0.03, &format!("standard error at p {p}"));
    }
}
