//! Yardsticks for the comparisons: standard errors, quadrature, the distance between distributions.
//!
//! Belongs here: methods that the program itself does not use. Does not belong here: any model of lamps or money.

/// Standard errors that a simulated mean may lie off. One comparison in 150 000 fails by chance (normal mean).
pub const ERRORS: f64 = 4.5;

/// Mean and its standard error s/√n.
pub fn mean_and_error(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let variance = values.iter().map(|value| (value - mean) * (value - mean)).sum::<f64>() / (n - 1.0);
    (mean, (variance / n).sqrt())
}

/// ∫f from a to b by Simpson's rule on intervals that are halved until two halves and their whole agree to `allowed`,
/// with Richardson's correction (Lyness, Journal of the ACM 16:483, 1969; page from memory).
pub fn integrate(f: &dyn Fn(f64) -> f64, a: f64, b: f64, allowed: f64) -> f64 {
    struct Piece {
        at: [f64; 3],
        f: [f64; 3],
        area: f64,
        allowed: f64,
        depth: u32,
    }
    let simpson = |at: [f64; 3], f: [f64; 3]| (at[2] - at[0]) / 6.0 * (f[0] + 4.0 * f[1] + f[2]);
    let at = [a, 0.5 * (a + b), b];
    let first = at.map(f);
    let mut left = vec![Piece { at, f: first, area: simpson(at, first), allowed, depth: 0 }];
    let mut sum = 0.0;
    while let Some(piece) = left.pop() {
        let Piece { at: [a, m, b], f: [fa, fm, fb], area, allowed, depth } = piece;
        let (l, r) = (0.5 * (a + m), 0.5 * (m + b));
        let (fl, fr) = (f(l), f(r));
        let (low, high) = (simpson([a, l, m], [fa, fl, fm]), simpson([m, r, b], [fm, fr, fb]));
        let off = low + high - area;
        if off.abs() <= 15.0 * allowed || depth >= 50 {
            sum += low + high + off / 15.0;
        } else {
            let (allowed, depth) = (0.5 * allowed, depth + 1);
            left.push(Piece { at: [a, l, m], f: [fa, fl, fm], area: low, allowed, depth });
            left.push(Piece { at: [m, r, b], f: [fm, fr, fb], area: high, allowed, depth });
        }
    }
    sum
}

/// Largest distance between the empirical distribution function of some values and a distribution function.
pub fn distance(mut values: Vec<f64>, cdf: impl Fn(f64) -> f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let n = values.len() as f64;
    let at = |(k, &value): (usize, &f64)| {
        let share = cdf(value);
        (share - k as f64 / n).max((k + 1) as f64 / n - share)
    };
    values.iter().enumerate().map(at).fold(0.0, f64::max)
}

#[test]
fn the_quadrature_knows_integrals_with_smooth_and_broken_integrands() {
    let near = |found: f64, expected: f64| assert!((found - expected).abs() < 1e-12, "{found} against {expected}");
    near(integrate(&|x| (-x).exp(), 0.0, 3.0, 1e-14), 1.0 - (-3.0f64).exp());
    near(integrate(&|x: f64| (1.0 - 0.7 * x).max(0.0), 0.0, 2.0, 1e-14), 0.5 / 0.7);
}

#[test]
fn the_distance_of_even_steps_is_half_a_step() {
    let values: Vec<f64> = (0..10).map(|k| (f64::from(k) + 0.5) / 10.0).collect();
    assert!((distance(values.clone(), |x| x) - 0.05).abs() < 1e-12);
    assert!((distance(values, |x| x * x) - 0.25).abs() < 0.06);
}
