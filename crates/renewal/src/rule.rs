//! Quadrature on the unit interval, and polynomials by their values at Radau's points.
//!
//! Does not belong here: anything that knows of lamps or time.

use std::f64::consts::PI;
use std::sync::LazyLock;

/// Points of a panel.
pub const POINTS: usize = 10;

/// Values or weights at the points of a panel.
pub type Row = [f64; POINTS];

/// Gauss's rule with 20 points on \[0, 1\]: (place, weight).
pub static GAUSS: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| gauss(20));

/// Radau's rule on (0, 1\].
pub static RADAU: LazyLock<Radau> = LazyLock::new(Radau::new);

/// Legendre's polynomials P_n and P_(n−1) at x, by their recurrence.
fn legendre(n: usize, x: f64) -> (f64, f64) {
    (1..n).fold((x, 1.0), |(this, last), k| {
        let k = k as f64;
        (((2.0 * k + 1.0) * x * this - k * last) / (k + 1.0), this)
    })
}

/// Gauss's rule with n points on \[0, 1\], by Newton's method on P_n.
fn gauss(n: usize) -> Vec<(f64, f64)> {
    let count = n as f64;
    let rule = (0..n).map(|j| {
        let mut x = -(PI * (j as f64 + 0.75) / (count + 0.5)).cos();
        for _ in 0..8 {
            let (this, last) = legendre(n, x);
            x -= this * (x * x - 1.0) / (count * (x * this - last));
        }
        let last = legendre(n, x).1;
        (0.5 * (1.0 + x), (1.0 - x * x) / (count * last).powi(2))
    });
    rule.collect()
}

/// Radau's rule whose last point is 1, and Lagrange's polynomials φ_j over its points.
///
/// It is exact for polynomials of degree 2n − 2. Collocation of an integral equation of the first kind at these points
/// is stable, because the last one is the panel's end (Brunner, Collocation Methods for Volterra Integral and Related
/// Functional Differential Equations, 2004, chapter 2; from memory).
pub struct Radau {
    /// Points c_j, rising.
    pub points: Row,
    /// Weights b_j.
    pub weights: Row,
    barycentric: Row,
}

impl Radau {
    fn new() -> Self {
        let n = POINTS as f64;
        let (mut points, mut weights) = ([1.0; POINTS], [1.0 / (n * n); POINTS]);
        for j in 0..POINTS - 1 {
            let mut x = (2.0 * PI * (POINTS - 1 - j) as f64 / (2.0 * n - 1.0)).cos();
            // Newton's method on P_n − P_(n−1), whose derivative is n(P_n + P_(n−1))/(1 + x)
            for _ in 0..8 {
                let (this, last) = legendre(POINTS, x);
                x -= (this - last) * (1.0 + x) / (n * (this + last));
            }
            points[j] = 0.5 * (1.0 + x);
            weights[j] = 0.5 * (1.0 + x) / (n * legendre(POINTS, x).1).powi(2);
        }
        let barycentric =
            points.map(|c| 1.0 / points.iter().filter(|&&other| other != c).map(|o| c - o).product::<f64>());
        Self { points, weights, barycentric }
    }

    /// φ_j(s) for every j, s in \[0, 1\], by the barycentric formula.
    pub fn lagrange(&self, s: f64) -> Row {
        let mut row = [0.0; POINTS];
        if let Some(j) = self.points.iter().position(|&c| c == s) {
            row[j] = 1.0;
            return row;
        }
        let mut sum = 0.0;
        for ((value, c), b) in row.iter_mut().zip(self.points).zip(self.barycentric) {
            *value = b / (s - c);
            sum += *value;
        }
        row.map(|value| value / sum)
    }

    /// The value at s of the polynomial with these values at the points.
    pub fn interpolate(&self, values: &Row, s: f64) -> f64 {
        dot(&self.lagrange(s), values)
    }

    /// The values of a function at the points of a panel that begins at `start`.
    pub fn sample(&self, f: impl Fn(f64) -> f64, start: f64, width: f64) -> Row {
        self.points.map(|c| f(start + c * width))
    }

    /// How far a function lies from its interpolating polynomial on a panel, at some places between the points.
    pub fn misfit(&self, f: impl Fn(f64) -> f64, values: &Row, start: f64, width: f64) -> f64 {
        let off = |s: f64| (self.interpolate(values, s) - f(start + s * width)).abs();
        [0.0, 0.1, 0.35, 0.55, 0.93].map(off).into_iter().fold(0.0, f64::max)
    }
}

/// Σ aⱼbⱼ.
pub fn dot(a: &Row, b: &Row) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_rules_are_exact_for_polynomials() {
        for power in 0..=18 {
            let exact = 1.0 / f64::from(power + 1);
            let radau: f64 = RADAU.points.iter().zip(RADAU.weights).map(|(c, b)| b * c.powi(power)).sum();
            let gauss: f64 = GAUSS.iter().map(|(x, w)| w * x.powi(power)).sum();
            assert!((radau - exact).abs() < 1e-15 && (gauss - exact).abs() < 1e-15, "{power}: {radau} {gauss}");
        }
        assert!(RADAU.points.is_sorted());
    }

    #[test]
    fn interpolation_gives_polynomials_back() {
        let cube = |x: f64| x.powi(9) - 2.0 * x;
        let values = RADAU.sample(cube, 1.0, 0.5);
        assert!((RADAU.interpolate(&values, 0.3) - cube(1.15)).abs() < 1e-13);
        assert!(RADAU.misfit(cube, &values, 1.0, 0.5) < 1e-13);
        assert!(RADAU.misfit(f64::sqrt, &RADAU.sample(f64::sqrt, 0.0, 1.0), 0.0, 1.0) > 1e-2);
    }
}
