//! Distributions from trials: quantiles, their Monte-Carlo standard errors, a smooth density.

use crate::result::{Curve, Estimate, Spread};

/// Values in rising order.
#[derive(Debug, Clone, PartialEq)]
pub struct Sorted(Vec<f64>);

impl Sorted {
    /// Sorts values.
    pub fn new(mut values: Vec<f64>) -> Self {
        values.sort_unstable_by(f64::total_cmp);
        Self(values)
    }

    /// The p-quantile, 0 ≤ p ≤ 1: type 8 of Hyndman and Fan (The American Statistician 50:361, 1996), which is
    /// nearly median-unbiased for any distribution. NaN without values.
    ///
    /// ```
    /// let sorted = decide::Sorted::new(vec![3.0, 1.0, 2.0]);
    /// assert_eq!(sorted.quantile(0.5), 2.0);
    /// ```
    pub fn quantile(&self, p: f64) -> f64 {
        let n = self.0.len();
        let Some(last) = n.checked_sub(1) else { return f64::NAN };
        let rank = (n as f64 + 1.0 / 3.0) * p + 1.0 / 3.0;
        let below = rank.floor();
        let at = |rank: f64| self.0[(rank.max(1.0) as usize - 1).min(last)];
        let (low, high) = (at(below), at(below + 1.0));
        low + (rank - below).clamp(0.0, 1.0) * (high - low)
    }

    /// The smallest value that at least a share p of all values do not exceed; NaN without values.
    pub fn at_least(&self, p: f64) -> f64 {
        let n = self.0.len();
        // a share of an exact count must not fall to the next one by rounding
        let rank = ((p * n as f64 - 1e-9).ceil() as usize).clamp(1, n.max(1));
        self.0.get(rank - 1).copied().unwrap_or(f64::NAN)
    }

    /// The p-quantile with its standard error: half the distance between the quantiles one binomial standard deviation
    /// √(p(1 − p)/n) on either side. It needs no density and holds for any distribution.
    pub fn estimate(&self, p: f64) -> Estimate {
        let step = (p * (1.0 - p) / self.0.len() as f64).sqrt();
        let se = 0.5 * (self.quantile((p + step).min(1.0)) - self.quantile((p - step).max(0.0)));
        Estimate { value: self.quantile(p), se }
    }

    /// Smallest and largest value.
    pub fn range(&self) -> (f64, f64) {
        (self.quantile(0.0), self.quantile(1.0))
    }
}

/// Mean with its standard error s/√n, and the standard deviation s.
pub fn mean(values: &[f64]) -> (Estimate, f64) {
    let n = values.len() as f64;
    // taking the first value off keeps equal values at a variance of exactly 0
    let origin = values.first().copied().unwrap_or(f64::NAN);
    let shift = values.iter().map(|value| value - origin).sum::<f64>() / n;
    let variance = values.iter().map(|value| (value - origin - shift).powi(2)).sum::<f64>() / (n - 1.0);
    (Estimate { value: origin + shift, se: (variance / n).sqrt() }, variance.sqrt())
}

/// The distribution of some values, at least two.
pub fn spread(values: Vec<f64>) -> Spread {
    let (mean, sd) = mean(&values);
    let sorted = Sorted::new(values);
    Spread {
        mean,
        sd,
        p5: sorted.estimate(0.05),
        p10: sorted.estimate(0.10),
        p50: sorted.estimate(0.50),
        p80: sorted.estimate(0.80),
        p90: sorted.estimate(0.90),
        p95: sorted.estimate(0.95),
    }
}

/// Points of a density curve.
const DENSITY_POINTS: usize = 256;

/// A smooth density: Gaussian kernels on a grid of cells, with Silverman's bandwidth 0.9 · min(s, IQR/1.34) · n^(−1/5)
/// (Density Estimation, 1986, eq. 3.31). Empty when all values are equal.
pub fn density(values: &[f64], sorted: &Sorted) -> Curve {
    let empty = Curve { x: vec![], y: vec![] };
    let n = values.len() as f64;
    let sd = mean(values).1;
    let middle = (sorted.quantile(0.75) - sorted.quantile(0.25)) / 1.34;
    let width = 0.9 * if middle > 0.0 { sd.min(middle) } else { sd } * n.powf(-0.2);
    let (least, most) = sorted.range();
    if !(width > 1e-12 * most.abs()) {
        return empty;
    }
    let (from, to) = (least - 3.0 * width, most + 3.0 * width);
    let step = (to - from) / (DENSITY_POINTS - 1) as f64;
    let mut weights = vec![0.0; DENSITY_POINTS];
    for value in values {
        // a value is shared between its two neighbouring grid points
        let at = (value - from) / step;
        let cell = (at as usize).min(DENSITY_POINTS - 2);
        let part = at - cell as f64;
        weights[cell] += 1.0 - part;
        weights[cell + 1] += part;
    }
    let kernel = |distance: f64| (-0.5 * (distance / width).powi(2)).exp() / (width * std::f64::consts::TAU.sqrt());
    let x: Vec<f64> = (0..DENSITY_POINTS).map(|k| from + k as f64 * step).collect();
    // a kernel narrower than a cell would fall between the points: then the cell's share itself is the density
    let y = if width < step {
        weights.iter().map(|weight| weight / (n * step)).collect()
    } else {
        x.iter().map(|at| x.iter().zip(&weights).map(|(x, weight)| weight * kernel(at - x)).sum::<f64>() / n).collect()
    };
    Curve { x, y }
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::statistics::{Data, OrderStatistics};

    fn wavy(n: usize) -> Vec<f64> {
        (0..n).map(|k| ((k * k) as f64 * 0.7).sin() * 10.0 + k as f64 * 0.01).collect()
    }

    #[test]
    fn quantiles_are_those_of_statrs() {
        for n in [2, 3, 10, 101] {
            let values = wavy(n);
            let sorted = Sorted::new(values.clone());
            let mut data = Data::new(values);
            for p in [0.0, 0.05, 0.1, 0.5, 0.8, 0.95, 1.0] {
                assert!((sorted.quantile(p) - data.quantile(p)).abs() < 1e-12, "n {n}, p {p}");
            }
        }
    }

    #[test]
    fn equal_values_have_no_spread_and_no_density() {
        let spread = spread(vec![0.1; 1000]);
        assert_eq!((spread.mean.value, spread.mean.se, spread.sd), (0.1, 0.0, 0.0));
        assert_eq!((spread.p5.value, spread.p95.value, spread.p50.se), (0.1, 0.1, 0.0));
        assert!(density(&vec![0.1; 1000], &Sorted::new(vec![0.1; 1000])).x.is_empty());
    }

    #[test]
    fn a_density_holds_all_of_the_probability() {
        let values = wavy(5000);
        let curve = density(&values, &Sorted::new(values.clone()));
        let step = curve.x[1] - curve.x[0];
        let area: f64 = curve.y.iter().sum::<f64>() * step;
        assert!((area - 1.0).abs() < 2e-3, "{area}");
    }
}
