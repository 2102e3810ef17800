//! What starts cost: wear by starts, and the cost of a start fitted from a table.

/// Wear by starts: each start costs `start_cost` burn hours of life, and life was rated at `rated` hours per start.
///
/// Effective age after b burn hours and n starts is A = (b + s·n) · h_r / (h_r + s). The wear of a start is spread
/// evenly over the burn that it begins, so a lamp that burns h hours per start ages (h + s)/h · h_r/(h_r + s) hours per
/// burn hour and its median life is L(h) = L_r · h/(h + s) · (h_r + s)/h_r. Additive damage (Miner's rule) keeps this
/// bounded for lamps that never go off; a linear sum of run time and switching cycles has precedent for compact
/// fluorescent lamps (Spezia and Buchanan, Journal of Industrial Technology 27(2), 2011).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StartWear {
    /// s: burn hours of life that a start costs, h.
    pub start_cost: f64,
    /// h_r: burn hours per start at which life was rated, h.
    pub rated_hours_per_start: f64,
}

impl StartWear {
    /// Hours of rated life used up by one burn hour, when each start is followed by `hours_per_start` of burning.
    ///
    /// ```
    /// let wear = lamp::StartWear { start_cost: 5.0, rated_hours_per_start: 10.0 };
    /// assert_eq!(wear.per_burn_hour(10.0), 1.0);
    /// assert!((1.0 / wear.per_burn_hour(5.0) - 0.75).abs() < 1e-12); // half the burn, three quarters of the life
    /// ```
    pub fn per_burn_hour(self, hours_per_start: f64) -> f64 {
        (hours_per_start + self.start_cost) / hours_per_start * self.rated_hours_per_start
            / (self.rated_hours_per_start + self.start_cost)
    }
}

/// The burn hours s that a start costs, from pairs (hours per start h, life L): the s of L(h) = L∞ · h/(h + s) with the
/// least squares of relative errors, at least 0. Also the largest relative error of the fit.
///
/// `None` with fewer than two different h, or with a number that is not above 0.
///
/// ```
/// // a trade rule: half the burn costs a quarter of the life, so a start costs half of the longer burn
/// let (s, error) = lamp::fitted_start_cost(&[(10.0, 20_000.0), (5.0, 15_000.0)]).unwrap();
/// assert!((s - 5.0).abs() < 1e-9 && error < 1e-12);
/// ```
pub fn fitted_start_cost(points: &[(f64, f64)]) -> Option<(f64, f64)> {
    let fits = |&(h, life): &(f64, f64)| h > 0.0 && life > 0.0 && h.is_finite() && life.is_finite();
    if !points.iter().all(fits) || points.iter().all(|point| point.0 == points[0].0) {
        return None;
    }
    // L·(p + q/h) = 1 with p = 1/L∞ and q = s/L∞ is linear; its residuals are relative errors
    let (mut aa, mut ab, mut bb, mut a1, mut b1) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for &(h, life) in points {
        let (a, b) = (life, life / h);
        aa += a * a;
        ab += a * b;
        bb += b * b;
        a1 += a;
        b1 += b;
    }
    let determinant = aa * bb - ab * ab;
    let (mut p, mut q) = ((a1 * bb - b1 * ab) / determinant, (b1 * aa - a1 * ab) / determinant);
    if !(q > 0.0 && p > 0.0) {
        // starts cost nothing that could be seen: a constant life
        (p, q) = (a1 / aa, 0.0);
    }
    let worst = points.iter().map(|&(h, life)| (life * (p + q / h) - 1.0).abs()).fold(0.0, f64::max);
    Some((q / p, worst))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fit_finds_the_cost_that_made_the_table() {
        let life = |h: f64| 30_000.0 * h / (h + 3.5);
        let (s, error) = fitted_start_cost(&[2.0, 5.0, 11.0, 18.0].map(|h| (h, life(h)))).unwrap();
        assert!((s - 3.5).abs() < 1e-9 && error < 1e-12, "{s} {error}");
    }

    #[test]
    fn life_that_falls_with_longer_burns_costs_nothing_per_start() {
        let (s, error) = fitted_start_cost(&[(5.0, 12_000.0), (10.0, 10_000.0)]).unwrap();
        assert!(s == 0.0 && error > 0.05, "{s} {error}");
    }

    #[test]
    fn too_little_is_no_fit() {
        assert_eq!(fitted_start_cost(&[]), None);
        assert_eq!(fitted_start_cost(&[(10.0, 9_000.0), (10.0, 9_100.0)]), None);
        assert_eq!(fitted_start_cost(&[(10.0, 9_000.0), (0.0, 9_100.0)]), None);
        assert_eq!(fitted_start_cost(&[(10.0, 9_000.0), (5.0, f64::NAN)]), None);
    }
}
