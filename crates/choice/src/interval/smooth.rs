//! The quantile of Harrell and Davis: a mean of all order statistics, weighted by where the quantile may lie.

use super::sorted;
use crate::fault::{Fault, demand_inner, demand_sample};

/// A smooth estimate of a quantile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Smooth {
    /// The estimate, in the unit of the sample.
    pub value: f64,
    /// Its standard deviation by leaving out one trial at a time (jackknife).
    pub jackknife_sd: f64,
    /// The standard error of Maritz and Jarrett for the plain sample quantile, the order statistic of rank ⌊pn + ½⌋; none
    /// where that rank is 1, n − 1 or beyond, as for a quantile too far out for the sample.
    pub maritz_jarrett_se: Option<f64>,
}

/// The p-quantile of Harrell and Davis (Biometrika 69:635, 1982): Σ wᵢ·x₍ᵢ₎, where wᵢ is the probability that a beta variable
/// (p(n + 1), (1 − p)(n + 1)) lies between (i − 1)/n and i/n.
///
/// It scatters less than a plain sample quantile in the middle of most distributions. Far out in a heavy tail it is drawn
/// by the largest trials: prefer [`super::quantile_interval`] there. The standard error of Maritz and Jarrett (Journal of
/// the American Statistical Association 73:194, 1978) takes the first two moments of an order statistic, with beta weights
/// (m − 1, n − m), m = ⌊pn + ½⌋.
///
/// ```
/// let median = choice::interval::harrell_davis(&[1.0, 2.0, 3.0, 4.0, 5.0], 0.5).unwrap();
/// assert!((median.value - 3.0).abs() < 1e-12);
/// ```
///
/// # Errors
/// Fewer than two values, a value that is no number, p outside (0, 1).
pub fn harrell_davis(values: &[f64], p: f64) -> Result<Smooth, Fault> {
    demand_sample("a value", values, 2)?;
    demand_inner("the quantile's probability", p)?;
    let sorted = sorted(values);
    let n = sorted.len();
    let size = (n + 1) as f64;
    let value = weighted(&weights(n, p * size, (1.0 - p) * size), &sorted);
    let m = (p * n as f64 + 0.5).floor();
    let maritz_jarrett_se = (m >= 2.0 && m <= (n - 1) as f64 && n as f64 > m).then(|| {
        let weights = weights(n, m - 1.0, n as f64 - m);
        let mean = weighted(&weights, &sorted);
        sorted.iter().zip(&weights).map(|(x, weight)| weight * (x - mean).powi(2)).sum::<f64>().sqrt()
    });
    Ok(Smooth { value, jackknife_sd: jackknife(&sorted, p), maritz_jarrett_se })
}

fn weighted(weights: &[f64], sorted: &[f64]) -> f64 {
    sorted.iter().zip(weights).map(|(x, weight)| x * weight).sum()
}

/// The jackknife's standard deviation √((n − 1)·s²), s² the variance (by n) of the estimates with one trial left out.
fn jackknife(sorted: &[f64], p: f64) -> f64 {
    let n = sorted.len();
    let weights = weights(n - 1, p * n as f64, (1.0 - p) * n as f64);
    // without the i-th, those below keep their rank and those above go down by one
    let mut estimates = vec![0.0; n];
    let mut below = 0.0;
    for i in 0..n {
        estimates[i] = below;
        below += weights.get(i).map_or(0.0, |weight| weight * sorted[i]);
    }
    let mut above = 0.0;
    for i in (0..n).rev() {
        estimates[i] += above;
        above += if i > 0 { weights[i - 1] * sorted[i] } else { 0.0 };
    }
    let se = crate::mean(&estimates).se;
    // se² is the sum of squares over n(n − 1); wanted is that sum over n, times n − 1
    se * (n - 1) as f64
}

/// Points and weights of Gauss and Legendre's rule of ten points on (0, 1), its lower half.
const GAUSS: [(f64, f64); 5] = [
    (0.013_046_735_741_414_14, 0.033_335_672_154_344_07),
    (0.067_468_316_655_507_74, 0.074_725_674_575_290_3),
    (0.160_295_215_850_487_8, 0.109_543_181_257_991_02),
    (0.283_302_302_935_376_4, 0.134_633_359_654_998_17),
    (0.425_562_830_509_184_4, 0.147_762_112_357_376_44),
];

/// The probabilities of a beta variable (a, b), a > 0, b > 0, a + b of the order of n, between (i − 1)/n and i/n for i from
/// 1 to n.
///
/// Each is integrated on its own and all are then made to add up to 1. The first and the last cell, where the density may
/// have a pole, go by the power series at the pole.
fn weights(n: usize, a: f64, b: f64) -> Vec<f64> {
    let cell = 1.0 / n as f64;
    let log = |x: f64| (a - 1.0) * x.ln() + (b - 1.0) * (-x).ln_1p();
    // only ratios matter, so the density is taken relative to that at a place near its peak
    let peak = log((a / (a + b)).clamp(0.5 * cell, 1.0 - 0.5 * cell));
    let inner = |i: usize| {
        let from = i as f64 * cell;
        let at = |x: f64| (log(from + x * cell) - peak).exp();
        cell * GAUSS.iter().map(|(x, weight)| weight * (at(*x) + at(1.0 - x))).sum::<f64>()
    };
    let mut weights: Vec<f64> = (0..n)
        .map(|i| match i {
            _ if n == 1 => 1.0,
            0 => end(a, b, cell, peak),
            _ if i == n - 1 => end(b, a, cell, peak),
            _ => inner(i),
        })
        .collect();
    let sum: f64 = weights.iter().sum();
    weights.iter_mut().for_each(|weight| *weight /= sum);
    weights
}

/// ∫ x^(a − 1)·(1 − x)^(b − 1)·e^(−peak) from 0 to `cell`, by the binomial series of the second factor: its terms fall like
/// (b·cell)^k/k! or cell^k, whichever is slower.
fn end(a: f64, b: f64, cell: f64, peak: f64) -> f64 {
    let (mut sum, mut factor) = (0.0, 1.0);
    for k in 0..80 {
        sum += factor / (a + f64::from(k));
        factor *= -(b - 1.0 - f64::from(k)) / f64::from(k + 1) * cell;
    }
    sum * (a * cell.ln() - peak).exp()
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::function::beta::beta_reg;

    #[test]
    fn weights_are_those_of_the_incomplete_beta_function() {
        for (n, p) in [(2, 0.5), (2, 0.01), (5, 0.05), (23, 0.1), (50, 0.999), (400, 0.9), (1000, 0.0002)] {
            let (a, b) = (p * (n + 1) as f64, (1.0 - p) * (n + 1) as f64);
            let weights = weights(n, a, b);
            for (i, weight) in weights.iter().enumerate() {
                let [low, high] = [i, i + 1].map(|k| beta_reg(a, b, k as f64 / n as f64));
                assert!((weight - (high - low)).abs() < 1e-12, "n {n}, p {p}, i {i}: {weight} {}", high - low);
            }
        }
    }

    #[test]
    fn a_large_sample_of_even_steps_gives_the_quantile_and_its_error() {
        let n = 20_000;
        let even: Vec<f64> = (0..n).map(|k| (k as f64 + 0.5) / n as f64).collect();
        for p in [0.05, 0.5, 0.99] {
            let found = harrell_davis(&even, p).unwrap();
            let sd = (p * (1.0 - p) / n as f64).sqrt();
            assert!((found.value - p).abs() < 1e-8, "{p}: {}", found.value);
            // a plain quantile scatters by √(p(1 − p)/n), up to 1/n; the smooth one by less, of order 1/√(np(1 − p))
            let gain = 0.3 / (sd * n as f64);
            assert!((1.0 - gain..1.0).contains(&(found.jackknife_sd / sd)), "{p}: {} {sd}", found.jackknife_sd);
            assert!(found.maritz_jarrett_se.is_some_and(|se| (se / sd - 1.0).abs() < 0.01), "{p}");
        }
    }

    #[test]
    fn what_the_sample_cannot_bear_is_left_out_or_refused() {
        assert!(harrell_davis(&[1.0, 2.0], 0.5).unwrap().maritz_jarrett_se.is_none());
        assert!(harrell_davis(&[1.0; 30], 0.999).unwrap().maritz_jarrett_se.is_none());
        assert!(harrell_davis(&[1.0], 0.5).is_err() && harrell_davis(&[1.0, f64::NAN], 0.5).is_err());
        assert!(harrell_davis(&[1.0, 2.0], 1.0).is_err());
        let same = harrell_davis(&[7.0; 9], 0.5).unwrap();
        assert!((same.value - 7.0).abs() < 1e-14 && same.jackknife_sd < 1e-13, "{same:?}");
    }
}
