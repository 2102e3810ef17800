//! Distributions of wear-out life: Weibull, lognormal and tabulated, by survival and cumulative hazard.

use std::fmt;

use statrs::distribution::{ContinuousCDF, Normal};

/// Weibull distribution of life, by shape k and scale η: S(x) = exp(−(x/η)^k).
///
/// Libraries disagree on the order of the two parameters, so nothing else in this workspace spells them out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weibull {
    shape: f64,
    scale: f64,
}

impl Weibull {
    /// From a rated life given as a median (B50, burn hours): η = B50 / (ln 2)^(1/k).
    ///
    /// An infinite shape makes every life equal to the median. `None` unless b50 > 0 and shape > 0.
    ///
    /// ```
    /// let life = lamp::Weibull::from_b50(9_500.0, 3.2).unwrap();
    /// assert!((life.survival(9_500.0) - 0.5).abs() < 1e-12);
    /// ```
    pub fn from_b50(b50: f64, shape: f64) -> Option<Self> {
        Self::from_alive(b50, 0.5, shape)
    }

    /// From a share alive at some burn hours: η = hours / (−ln alive)^(1/k). `None` unless 0 < alive < 1.
    pub fn from_alive(hours: f64, alive: f64, shape: f64) -> Option<Self> {
        (hours > 0.0 && hours.is_finite() && shape > 0.0 && alive > 0.0 && alive < 1.0)
            .then(|| Self { shape, scale: hours / (-alive.ln()).powf(1.0 / shape) })
    }

    /// η, in the unit of the median.
    pub fn scale(self) -> f64 {
        self.scale
    }

    /// 1/k, 0 for an infinite shape.
    pub fn inverse_shape(self) -> f64 {
        1.0 / self.shape
    }

    /// Share still alive at an age.
    pub fn survival(self, age: f64) -> f64 {
        (-self.hazard(age)).exp()
    }

    /// Cumulative hazard −ln S at an age.
    pub(crate) fn hazard(self, age: f64) -> f64 {
        (age / self.scale).powf(self.shape)
    }

    /// The age at which the cumulative hazard is `hazard`.
    pub(crate) fn age(self, hazard: f64) -> f64 {
        self.scale * hazard.powf(1.0 / self.shape)
    }
}

/// The standard normal distribution.
fn normal() -> Normal {
    Normal::standard()
}

/// The z of a lognormal life whose cumulative hazard is `hazard`: Φ(−z) = e^(−hazard).
pub(crate) fn normal_at(hazard: f64) -> f64 {
    let survival = (-hazard).exp();
    // near survival 1 its complement has the digits
    if survival > 0.5 { normal().inverse_cdf(-(-hazard).exp_m1()) } else { -normal().inverse_cdf(survival) }
}

/// Share above z of the standard normal distribution.
pub(crate) fn normal_above(z: f64) -> f64 {
    normal().sf(z)
}

/// ln of that share; far out by the first terms of its asymptotic series, good to 1e-5 of itself there.
pub(crate) fn ln_normal_above(z: f64) -> f64 {
    const FAR: f64 = 30.0;
    if z < FAR {
        let below = normal().cdf(z);
        return if below < 0.5 { (-below).ln_1p() } else { normal_above(z).ln() };
    }
    let square = z * z;
    -0.5 * square - z.ln() - 0.5 * std::f64::consts::TAU.ln() - 1.0 / square
}

/// Survival as a table: deaths spread evenly between points, and the risk of the last stretch goes on beyond it.
#[derive(Debug, Clone, PartialEq)]
pub struct SurvivalTable {
    points: Vec<(f64, f64)>,
}

/// Why points make no survival table.
#[derive(Debug, Clone, PartialEq)]
pub struct BadSurvival {
    /// Index of the point at fault.
    pub point: usize,
    /// What is wrong with it.
    pub found: String,
}

impl fmt::Display for BadSurvival {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "point {}: {}", self.point + 1, self.found)
    }
}

impl std::error::Error for BadSurvival {}

impl SurvivalTable {
    /// From points (hours, share alive): the first is (0, 1), hours rise, shares fall from point to point or stay, and at
    /// least half of the lamps are dead in the end, so that the table has a median.
    ///
    /// # Errors
    /// The first point at fault.
    pub fn new(points: &[(f64, f64)]) -> Result<Self, BadSurvival> {
        let bad = |point, found: String| Err(BadSurvival { point, found });
        if points.first() != Some(&(0.0, 1.0)) {
            return bad(0, "the first point is not 0 h with share 1".into());
        }
        for k in 1..points.len() {
            let ((hours, alive), (before, alive_before)) = (points[k], points[k - 1]);
            if !(hours > before && hours.is_finite()) {
                return bad(k, format!("{hours} h does not come after {before} h"));
            }
            if !(alive >= 0.0 && alive <= alive_before) {
                return bad(k, format!("share {alive} after {alive_before}"));
            }
        }
        let last = points.len() - 1;
        if !(points[last].1 <= 0.5) {
            return bad(last, format!("share {} at the end of the table", points[last].1));
        }
        Ok(Self { points: points.to_vec() })
    }

    /// The same table with all hours times a factor.
    pub fn stretched(&self, factor: f64) -> Self {
        Self { points: self.points.iter().map(|&(hours, alive)| (hours * factor, alive)).collect() }
    }

    /// Hours of the points, rising.
    pub fn hours(&self) -> impl Iterator<Item = f64> {
        self.points.iter().map(|point| point.0)
    }

    /// The median, hours.
    pub fn median(&self) -> f64 {
        self.age(std::f64::consts::LN_2)
    }

    /// Constant hazard beyond the last point, 1/h; infinite when nobody is left.
    fn beyond(&self) -> f64 {
        match self.points[..] {
            [.., (from, before), (to, alive)] => (before / alive).ln() / (to - from),
            _ => f64::INFINITY,
        }
    }

    pub(crate) fn survival(&self, age: f64) -> f64 {
        let next = self.points.partition_point(|point| point.0 <= age);
        match (self.points.get(next.wrapping_sub(1)), self.points.get(next)) {
            (Some(a), Some(b)) => a.1 + (b.1 - a.1) * (age - a.0) / (b.0 - a.0),
            (Some(last), None) if last.1 > 0.0 => last.1 * (-self.beyond() * (age - last.0)).exp(),
            (None, _) => 1.0,
            _ => 0.0,
        }
    }

    pub(crate) fn age(&self, hazard: f64) -> f64 {
        let alive = (-hazard).exp();
        let next = self.points.partition_point(|point| point.1 > alive);
        match (self.points.get(next.wrapping_sub(1)), self.points.get(next)) {
            (Some(a), Some(b)) => a.0 + (b.0 - a.0) * (a.1 - alive) / (a.1 - b.1),
            (Some(last), None) => last.0 + (last.1 / alive).ln() / self.beyond(),
            (None, _) => 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_distr::Distribution as _;

    #[test]
    fn both_libraries_mean_the_same_distribution_by_our_parameters() {
        let ours = Weibull::from_b50(17_000.0, 3.0).unwrap();
        let statrs = statrs::distribution::Weibull::new(ours.shape, ours.scale).unwrap();
        for age in [100.0, 9_000.0, 17_000.0, 40_000.0] {
            assert!((statrs.sf(age) - ours.survival(age)).abs() < 1e-14);
        }
        // rand_distr takes (scale, shape): hand it a generator that always gives the same bits and compare
        let drawn = rand_distr::Weibull::new(ours.scale, ours.shape).unwrap();
        let value: f64 = drawn.sample(&mut Half);
        assert!((ours.survival(value) - 0.5).abs() < 1e-9, "{value}");
    }

    /// A generator stuck at one half.
    struct Half;
    impl rand::TryRng for Half {
        type Error = std::convert::Infallible;
        fn try_next_u32(&mut self) -> Result<u32, Self::Error> {
            Ok(1 << 31)
        }
        fn try_next_u64(&mut self) -> Result<u64, Self::Error> {
            Ok(1 << 63)
        }
        fn try_fill_bytes(&mut self, bytes: &mut [u8]) -> Result<(), Self::Error> {
            bytes.fill(0x80);
            Ok(())
        }
    }

    #[test]
    fn nonsense_is_refused() {
        for (b50, shape) in [(0.0, 3.0), (-1.0, 3.0), (f64::NAN, 3.0), (9_500.0, 0.0), (9_500.0, f64::NAN)] {
            assert_eq!(Weibull::from_b50(b50, shape), None);
        }
    }

    #[test]
    fn a_table_is_read_both_ways() {
        let table = SurvivalTable::new(&[(0.0, 1.0), (8_000.0, 0.9), (12_000.0, 0.4), (14_000.0, 0.2)]).unwrap();
        assert!((table.survival(4_000.0) - 0.95).abs() < 1e-12 && (table.survival(10_000.0) - 0.65).abs() < 1e-12);
        assert!((table.median() - 11_200.0).abs() < 1e-9);
        // the last stretch halved the lamps within 2 000 h, and goes on doing so
        assert!((table.survival(16_000.0) - 0.1).abs() < 1e-12);
        for age in [1.0, 7_999.0, 8_000.0, 13_000.0, 30_000.0] {
            assert!((table.age(-table.survival(age).ln()) - age).abs() < 1e-6, "{age}");
        }
        let uniform = SurvivalTable::new(&[(0.0, 1.0), (10.0, 0.0)]).unwrap();
        assert!(uniform.survival(11.0) == 0.0 && (uniform.age(100.0) - 10.0).abs() < 1e-9);
    }

    #[test]
    fn faulty_tables_are_named() {
        assert_eq!(SurvivalTable::new(&[]).unwrap_err().point, 0);
        assert_eq!(SurvivalTable::new(&[(0.0, 0.9)]).unwrap_err().point, 0);
        assert_eq!(SurvivalTable::new(&[(0.0, 1.0), (0.0, 0.4)]).unwrap_err().point, 1);
        assert_eq!(SurvivalTable::new(&[(0.0, 1.0), (9.0, 0.3), (10.0, 0.4)]).unwrap_err().point, 2);
        assert_eq!(SurvivalTable::new(&[(0.0, 1.0), (9.0, f64::NAN)]).unwrap_err().point, 1);
        assert_eq!(SurvivalTable::new(&[(0.0, 1.0), (9.0, 0.6)]).unwrap_err().point, 1);
    }

    #[test]
    fn both_tails_of_the_normal_keep_their_digits() {
        for hazard in [1e-12, 1e-3, 0.5, 0.7, 3.0, 40.0] {
            let z = normal_at(hazard);
            let back = if z < 0.0 { -(-normal_above(-z)).ln_1p() } else { -normal_above(z).ln() };
            assert!((back / hazard - 1.0).abs() < 1e-9, "{hazard}: {z} {back}");
        }
    }
}
