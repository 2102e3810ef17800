//! The standard normal distribution.

use std::f64::consts::{SQRT_2, TAU};

use statrs::function::erf::{erfc, erfc_inv};

/// Its density.
pub fn density(x: f64) -> f64 {
    (-0.5 * x * x).exp() / TAU.sqrt()
}

/// The probability of a value below x. In the lower tail it keeps all its digits.
pub fn below(x: f64) -> f64 {
    if x.abs() < 0.7 || x.is_nan() {
        // the library keeps all digits here and ten further out
        return 0.5 * erfc(-x / SQRT_2);
    }
    let tail = density(x) / (x.abs() + fraction(x.abs()));
    if x < 0.0 { tail } else { 1.0 - tail }
}

/// 1/(x + 2/(x + 3/(x + …))) for x of at least 0.7; the upper tail is φ(x)/(x + this), Laplace's continued fraction.
fn fraction(x: f64) -> f64 {
    // what n steps leave falls like e^(−2x·√n)
    let steps = (400.0 / (x * x)) as u32 + 20;
    1.0 / (2..2 + steps).rev().fold(x, |rest, k| x + f64::from(k) / rest)
}

/// The value below which lies a probability p, 0 < p < 1.
pub fn quantile(p: f64) -> f64 {
    // taken in the lower half, where p keeps its digits
    if p > 0.5 {
        return -quantile(1.0 - p);
    }
    let x = -SQRT_2 * erfc_inv(2.0 * p);
    // one step of Halley's brings the library's start to the last digits
    let off = (below(x) - p) / density(x);
    let step = off / (1.0 + 0.5 * x * off);
    if step.is_finite() { x - step } else { x }
}

/// The unit normal loss integral E(Z − x)⁺.
pub fn loss(x: f64) -> f64 {
    if x < 0.0 {
        return loss(-x) - x;
    }
    if x < 0.7 {
        return density(x) - x * below(-x);
    }
    // further out the two terms nearly cancel; what is left of them is this
    let fraction = fraction(x);
    density(x) * fraction / (x + fraction)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_undo_probabilities() {
        for x in [-8.0, -3.0, -1.0, -0.1, 0.0, 0.5, 2.0, 5.0] {
            let allowed = if x > 0.0 { 1e-16 / density(x) + 1e-14 } else { 1e-13 };
            assert!((quantile(below(x)) - x).abs() <= allowed, "{x}: {}", quantile(below(x)));
        }
    }

    #[test]
    fn the_loss_integral_is_convex_and_ends_in_its_asymptote() {
        // for large x the loss is φ(x)/x²·(1 − 3/x² + 15/x⁴ − 105/x⁶ …)
        for x in [12.0, 20.0] {
            let v: f64 = 1.0 / (x * x);
            let series = density(x) * v * (1.0 - 3.0 * v + 15.0 * v * v - 105.0 * v * v * v);
            assert!((loss(x) / series - 1.0).abs() < 1000.0 * v.powi(4), "{x}");
        }
        // both ways of working it out meet at 0.7, where the loss falls by Φ(−0.7) and the probability by φ(0.7)
        let step = 1e-12;
        assert!((loss(0.7 - step) - step * below(-0.7) - loss(0.7)).abs() < 1e-15);
        assert!((below(-0.7 + step) - step * density(0.7) - below(-0.7)).abs() < 1e-15);
        assert!(loss(50.0) == 0.0 && (loss(-50.0) - 50.0).abs() < 1e-12);
    }
}
