//! The mean of the dearest trials.

use super::sorted;
use crate::fault::{Fault, LARGEST, demand, demand_inner, demand_number, demand_positive, demand_sample};
use crate::{Estimate, normal};

/// The upper tail of a distribution of costs beyond a probability p.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tail {
    /// The p-quantile ("value at risk"): a share 1 − p of all futures is dearer.
    pub quantile: f64,
    /// The mean of that dearer share ("conditional value at risk", "expected shortfall").
    pub mean: f64,
    /// The mean of the whole distribution.
    pub whole_mean: f64,
}

/// The mean of the dearest share 1 − p of a sample, with its standard error, in the unit of the sample.
///
/// (1 − p)·n trials are averaged; where that is no whole number, the last counts with the fraction that is left (Rockafellar
/// and Uryasev, Journal of Banking and Finance 26:1443, 2002). The standard error is that of a mean of q + (x − q)⁺/(1 − p)
/// with q the sample's p-quantile. It is too small where the tail holds less than some ten trials or the distribution has
/// no variance; with one trial or less in the tail it says nothing.
///
/// ```
/// // the dearest 1.5 of 5 trials: (9 + 0.5 · 4)/1.5
/// let tail = choice::interval::tail_mean(&[1.0, 4.0, 2.0, 9.0, 3.0], 0.7).unwrap();
/// assert!((tail.value - 11.0 / 1.5).abs() < 1e-12);
/// ```
///
/// # Errors
/// Fewer than two values, a value that is no number, p outside \[0, 1).
pub fn tail_mean(values: &[f64], p: f64) -> Result<Estimate, Fault> {
    demand_sample("a value", values, 2)?;
    demand((0.0..1.0).contains(&p), "the tail's probability", p, "0 or more, below 1")?;
    let sorted = sorted(values);
    let n = sorted.len();
    let mass = (1.0 - p) * n as f64;
    let whole = (mass.floor() as usize).min(n);
    let rest = mass - whole as f64;
    let boundary = if whole < n { sorted[n - 1 - whole] } else { sorted[0] };
    // sums are taken from the boundary up, so that equal costs give exactly themselves
    let above: f64 = sorted[n - whole..].iter().map(|x| x - boundary).sum();
    let part = if whole > 0 { above / (whole as f64 + rest) } else { 0.0 };
    let scores: Vec<f64> = sorted.iter().map(|x| (x - boundary).max(0.0) / (1.0 - p)).collect();
    Ok(Estimate { value: boundary + part, se: crate::mean(&scores).se })
}

/// The tail of a normal distribution: quantile μ + σ·z, mean μ + σ·φ(z)/(1 − p), z the standard normal p-quantile.
///
/// ```
/// let tail = choice::interval::normal_tail(100.0, 10.0, 0.95).unwrap();
/// assert!((tail.mean - 120.627).abs() < 1e-3);
/// ```
///
/// # Errors
/// A mean that is no number, a standard deviation not above 0, p outside (0, 1).
pub fn normal_tail(mean: f64, sd: f64, p: f64) -> Result<Tail, Fault> {
    demand_number("the mean", mean)?;
    demand_positive("the standard deviation", sd)?;
    demand_inner("the tail's probability", p)?;
    let z = normal::quantile(p);
    Ok(Tail { quantile: mean + sd * z, mean: mean + sd * normal::density(z) / (1.0 - p), whole_mean: mean })
}

/// The tail of a lognormal distribution whose logarithm has mean μ and standard deviation σ: quantile e^(μ + σz), mean
/// e^(μ + σ²/2)·Φ(σ − z)/(1 − p).
///
/// ```
/// let tail = choice::interval::lognormal_tail(0.0, 0.5, 0.95).unwrap();
/// assert!((tail.mean - 2.8586).abs() < 1e-4);
/// ```
///
/// # Errors
/// As for [`normal_tail`]; a distribution so wide that its mean is above 1e100.
pub fn lognormal_tail(mu: f64, sigma: f64, p: f64) -> Result<Tail, Fault> {
    demand_number("the mean of the logarithm", mu)?;
    demand_positive("the standard deviation of the logarithm", sigma)?;
    demand_inner("the tail's probability", p)?;
    let whole_mean = (mu + 0.5 * sigma * sigma).exp();
    demand(whole_mean <= LARGEST, "the mean", whole_mean, "at most 1e100")?;
    let z = normal::quantile(p);
    let mean = whole_mean * normal::below(sigma - z) / (1.0 - p);
    Ok(Tail { quantile: (mu + sigma * z).exp(), mean, whole_mean })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tail_of_all_trials_is_their_mean_and_the_last_is_the_largest() {
        let values = [1.0, 4.0, 2.0, 9.0, 3.0];
        let whole = tail_mean(&values, 0.0).unwrap();
        assert_eq!(whole.value, 3.8);
        assert!((whole.se - crate::mean(&values).se).abs() < 1e-15);
        assert_eq!(tail_mean(&values, 0.9).unwrap().value, 9.0);
        // a whole number of trials, whichever way it is rounded
        assert!((tail_mean(&values, 0.6).unwrap().value - 6.5).abs() < 1e-12);
        assert_eq!(tail_mean(&[0.1; 7], 0.3), Ok(Estimate { value: 0.1, se: 0.0 }));
    }

    #[test]
    fn hostile_input_is_refused() {
        assert!(tail_mean(&[1.0, 2.0], 1.0).is_err() && tail_mean(&[1.0], 0.5).is_err());
        assert!(tail_mean(&[1.0, 1e308], 0.5).is_err() && tail_mean(&[1.0, 2.0], f64::NAN).is_err());
        assert!(normal_tail(0.0, 0.0, 0.5).is_err() && normal_tail(f64::NAN, 1.0, 0.5).is_err());
        assert!(lognormal_tail(0.0, 1e9, 0.5).is_err() && lognormal_tail(0.0, 1.0, 0.0).is_err());
    }
}
