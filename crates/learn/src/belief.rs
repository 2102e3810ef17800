//! Beliefs brought up to date by what was seen (Bayes).
//!
//! A belief about some numbers is held in the unit cube: a place u of it stands for the numbers below which a share u of the
//! belief lies, so that any prior is uniform there, whatever its shape and unit, and only a likelihood is needed. Inside,
//! places are turned into standard normal numbers z = Φ⁻¹(u): data that speak clearly then leave a hill that is nearly
//! normal, even far out in the prior's tail.
//!
//! - One or two numbers: a grid that is drawn closer round the hill until it fills it, then the sums over its cells. For a
//!   smooth hill these sums are exact to far more digits than are printed; steps of the prior count to a cell.
//! - Three and more: points spread evenly (an additive recurrence by powers of the generalised golden ratio) over a normal
//!   hill that is fitted to them in rounds, mixed with the prior, and weighted by prior · likelihood over how densely they lie.
//!   The likelihood is let in by powers that leave enough points of weight. [`Posterior::effective`] says how many points of
//!   equal weight they are worth.
//!
//! Belongs here: that, for any likelihood. Does not belong here: lamps.

mod grid;
mod points;

use statrs::distribution::{ContinuousCDF, Normal};

/// Farthest normal number: a share of 8e-11 of the prior lies beyond.
const FAR: f64 = 6.5;
/// Cells of equal weight that a grid must be worth.
const FINE: f64 = 240.0;
/// What lies so far below the top, on the scale of ln, counts for nothing.
const NOTHING: f64 = 40.0;

/// How a belief was summed up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// On a grid of so many cells.
    Grid(usize),
    /// Over so many weighted points.
    Points(usize),
}

/// A belief after data.
#[derive(Debug, Clone, PartialEq)]
pub struct Posterior {
    /// Draws as places in the unit cube, each as likely as any other. They are taken evenly along the first number, and the
    /// second within it, so that their quantiles are better than those of drawing by luck.
    pub draws: Vec<Vec<f64>>,
    /// ln of the mean of the likelihood over the prior.
    pub ln_evidence: f64,
    /// Points, or cells of a plane, of equal weight that the sum is worth; of a line its cells.
    pub effective: f64,
    /// How it was summed up.
    pub way: Way,
}

/// Why a belief cannot be brought up to date.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoPosterior {
    /// There is nothing uncertain.
    NothingUncertain,
    /// What was seen cannot happen anywhere in the prior.
    Impossible,
    /// Too few points carried weight for the sum to be worth anything.
    TooFewPoints,
}

/// Brings a belief about `numbers` numbers up to date: `ln_likelihood` is asked at places in the unit cube and answers with a
/// finite number, or −∞ (or NaN) where what was seen cannot happen. `draws` says how many draws are wanted.
///
/// ```
/// // a uniform prior of a chance, and 7 of 10 seen: Beta(8, 4), with mean 2/3 and an evidence of B(8, 4)
/// let seen = |u: &[f64]| 7.0 * u[0].ln() + 3.0 * (1.0 - u[0]).ln();
/// let after = learn::belief::update(1, &seen, 1_000).unwrap();
/// let mean = after.draws.iter().map(|draw| draw[0]).sum::<f64>() / 1_000.0;
/// assert!((mean - 2.0 / 3.0).abs() < 1e-5 && (after.ln_evidence + 1_320f64.ln()).abs() < 1e-6);
/// ```
///
/// # Errors
/// Why it cannot.
pub fn update(numbers: usize, ln_likelihood: &dyn Fn(&[f64]) -> f64, draws: usize) -> Result<Posterior, NoPosterior> {
    let normal = Normal::standard();
    let ln_posterior = |z: &[f64]| {
        let u: Vec<f64> = z.iter().map(|&z| normal.cdf(z)).collect();
        let found = ln_likelihood(&u);
        if found.is_nan() { f64::NEG_INFINITY } else { found }
    };
    let mut posterior = match numbers {
        0 => return Err(NoPosterior::NothingUncertain),
        1 => grid::line(&|z| ln_posterior(&[z]), draws)?,
        2 => {
            let plane = grid::plane(&|z| ln_posterior(&z), draws)?;
            // a narrow ridge across the cells is better summed up over points that lie along it
            if plane.effective >= FINE {
                plane
            } else {
                points::points(2, &ln_posterior, draws)
                    .or_else(|none| if plane.effective > 0.0 { Ok(plane) } else { Err(none) })?
            }
        }
        _ => points::points(numbers, &ln_posterior, draws)?,
    };
    for z in posterior.draws.iter_mut().flatten() {
        *z = normal.cdf(*z);
    }
    Ok(posterior)
}

/// Brings a belief that is a list up to date: `ln_likelihood` is asked for each of `count` entries, all as likely before.
/// Entries are drawn in their order, evenly along it: whoever sorts them by a number has draws that are even in it.
///
/// # Errors
/// Why it cannot: a list of which the data leave fewer than `least` entries of weight says too little.
pub fn among(
    count: usize,
    ln_likelihood: &dyn Fn(usize) -> f64,
    draws: usize,
    least: f64,
) -> Result<(Vec<usize>, f64, f64), NoPosterior> {
    let ln: Vec<f64> = (0..count).map(ln_likelihood).collect();
    let top = ln.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if !top.is_finite() {
        return Err(NoPosterior::Impossible);
    }
    let weights: Vec<f64> = ln.iter().map(|ln| if ln.is_nan() { 0.0 } else { (ln - top).exp() }).collect();
    let whole: f64 = weights.iter().sum();
    let effective = whole * whole / weights.iter().map(|weight| weight * weight).sum::<f64>();
    if !(effective >= least) {
        return Err(NoPosterior::TooFewPoints);
    }
    let (mut drawn, mut sum, mut at) = (Vec::with_capacity(draws), 0.0, 0);
    for k in 0..draws {
        let wanted = (k as f64 + 0.5) / draws as f64 * whole;
        while at + 1 < count && sum + weights[at] < wanted {
            sum += weights[at];
            at += 1;
        }
        drawn.push(at);
    }
    Ok((drawn, top + (whole / count as f64).ln(), effective))
}

/// ln of the standard normal density.
fn ln_normal(z: f64) -> f64 {
    -0.5 * z * z - 0.918_938_533_204_672_8
}

#[cfg(test)]
mod tests;
