//! When a lamp dies: Weibull wear-out about a rated median, and what each start costs.

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
        (b50 > 0.0 && b50.is_finite() && shape > 0.0)
            .then(|| Self { shape, scale: b50 / std::f64::consts::LN_2.powf(1.0 / shape) })
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
        (-(age / self.scale).powf(self.shape)).exp()
    }
}

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

#[cfg(test)]
mod tests {
    use super::*;
    use rand_distr::Distribution as _;
    use statrs::distribution::ContinuousCDF;

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
}
