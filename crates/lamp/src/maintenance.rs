//! How light fades: the fraction M(b) of initial photon flux left after b burn hours, and its exact integral.

use statrs::function::gamma::{gamma, gamma_lr};

use crate::table::{BadTable, Table};

/// The fraction of initial photon flux left after b burn hours.
#[derive(Debug, Clone, PartialEq)]
pub enum Maintenance {
    /// M(b) = start · exp(−rate·b); the model of TM-21 projections and a fair one for sodium lamps.
    Exponential {
        /// Fraction at 0 h.
        start: f64,
        /// Decay rate α, 1/h.
        rate: f64,
    },
    /// M(b) = exp(−(b/time_constant)^power); with a power below 1 it fits metal-halide lamps, which fade fast at first.
    Stretched {
        /// Burn hours after which 1/e is left.
        time_constant: f64,
        /// Power c.
        power: f64,
    },
    /// M(b) = fast_share · exp(−fast_rate·b) + (1 − fast_share) · exp(−slow_rate·b): a part of the light that is soon gone and
    /// a rest that lasts.
    Biexponential {
        /// Share of the light that fades fast, 0 to 1.
        fast_share: f64,
        /// Its decay rate, 1/h.
        fast_rate: f64,
        /// Decay rate of the rest, 1/h.
        slow_rate: f64,
    },
    /// M(0) = 1, then start · exp(−rate·b) up to `cap` hours, and from there on with the rate `beyond`: the fit's `start` is
    /// a share of what the new unit gave, and how far a test of LEDs may be projected is limited (6 times its length for 20
    /// or more units, 5.5 times for 10 to 19; TM-21 in summaries).
    Projected {
        /// B of the fit: share of the new unit's flux from which it fades.
        start: f64,
        /// Decay rate α up to the cap, 1/h.
        rate: f64,
        /// Burn hours up to which the test may be projected.
        cap: f64,
        /// Decay rate beyond, 1/h.
        beyond: f64,
    },
    /// Straight lines between points; beyond the last the last slope goes on, never below 0.
    Table(Table),
}

/// ∫ exp(−rate·b) db from 0 to `hours`: (1 − e^(−x))/rate without the loss of digits near rate = 0.
fn decayed_hours(rate: f64, hours: f64) -> f64 {
    let x = rate * hours;
    hours * if x == 0.0 { 1.0 } else { -(-x).exp_m1() / x }
}

impl Maintenance {
    /// No fading.
    pub const CONSTANT: Self = Self::Exponential { start: 1.0, rate: 0.0 };

    /// From points (burn hours, fraction). The first stands at 0 h; hours rise strictly; fractions lie in [0, 2].
    ///
    /// # Errors
    /// The first point at fault.
    pub fn table(points: &[(f64, f64)]) -> Result<Self, BadTable> {
        Table::new(points).map(Self::Table)
    }

    /// The exponential from 1 through one point (burn hours, fraction), or the stretched exponential through two.
    ///
    /// `None` unless 0 < fraction < 1 and hours > 0, and with two points hours rise and fractions fall.
    ///
    /// ```
    /// // a 400 W quartz metal-halide lamp: 0.78 at 40 % and 0.60 at 100 % of 20 000 h (Keith's reading of makers' curves)
    /// let fading = lamp::Maintenance::through(&[(8_000.0, 0.78), (20_000.0, 0.60)]).unwrap();
    /// assert!((fading.fraction(8_000.0) - 0.78).abs() < 1e-12 && (fading.fraction(20_000.0) - 0.60).abs() < 1e-12);
    /// ```
    pub fn through(points: &[(f64, f64)]) -> Option<Self> {
        let fits =
            |&(hours, fraction): &(f64, f64)| hours > 0.0 && hours.is_finite() && fraction > 0.0 && fraction < 1.0;
        if !points.iter().all(fits) {
            return None;
        }
        match *points {
            [(hours, fraction)] => Some(Self::Exponential { start: 1.0, rate: -fraction.ln() / hours }),
            [(first, early), (second, late)] if first < second && early > late => {
                // ln(−ln M) is a straight line over ln b
                let power = (late.ln() / early.ln()).ln() / (second / first).ln();
                Some(Self::Stretched { time_constant: first * (-early.ln()).powf(-1.0 / power), power })
            }
            _ => None,
        }
    }

    /// M(b), b in burn hours.
    ///
    /// ```
    /// let fading = lamp::Maintenance::Exponential { start: 1.0, rate: 2e-5 };
    /// assert!((fading.fraction(10_000.0) - (-0.2f64).exp()).abs() < 1e-15);
    /// ```
    pub fn fraction(&self, b: f64) -> f64 {
        match self {
            Self::Exponential { start, rate } => start * (-rate * b).exp(),
            Self::Stretched { time_constant, power } => (-(b / time_constant).powf(*power)).exp(),
            Self::Biexponential { fast_share, fast_rate, slow_rate } => {
                fast_share * (-fast_rate * b).exp() + (1.0 - fast_share) * (-slow_rate * b).exp()
            }
            // a new unit gives what it gives; the fit holds from then on
            Self::Projected { .. } if b <= 0.0 => 1.0,
            Self::Projected { start, rate, cap, beyond } => {
                start * (-rate * b.min(*cap) - beyond * (b - cap).max(0.0)).exp()
            }
            Self::Table(table) => table.fraction(b),
        }
    }

    /// ∫ M db from burn hour a to c (a ≤ c), in hours at full flux. Moles are 0.0036 · φ · this integral.
    ///
    /// ```
    /// let table = lamp::Maintenance::table(&[(0.0, 1.0), (10_000.0, 0.8)]).unwrap();
    /// assert!((table.integral(0.0, 10_000.0) - 9_000.0).abs() < 1e-9);
    /// ```
    pub fn integral(&self, a: f64, c: f64) -> f64 {
        match self {
            Self::Exponential { start, rate } => start * (-rate * a).exp() * decayed_hours(*rate, c - a),
            Self::Stretched { time_constant, power } => {
                // the difference of two integrals from 0 loses digits over a short stretch, where a rule needs few points
                if c - a < 0.1 * a {
                    return crate::quadrature::over(a, c, |b| self.fraction(b));
                }
                let inverse = 1.0 / power;
                let to = |b: f64| if b > 0.0 { gamma_lr(inverse, (b / time_constant).powf(*power)) } else { 0.0 };
                time_constant * gamma(1.0 + inverse) * (to(c) - to(a))
            }
            Self::Biexponential { fast_share, fast_rate, slow_rate } => {
                let part = |share: f64, rate: f64| share * (-rate * a).exp() * decayed_hours(rate, c - a);
                part(*fast_share, *fast_rate) + part(1.0 - fast_share, *slow_rate)
            }
            Self::Projected { start, rate, cap, beyond } => {
                let before = (c.min(*cap) - a).max(0.0);
                let after_from = a.max(*cap);
                let after = (c - after_from).max(0.0);
                start * (-rate * a).exp() * decayed_hours(*rate, before)
                    + self.fraction(after_from) * decayed_hours(*beyond, after)
            }
            Self::Table(table) => table.integral_to(c) - table.integral_to(a),
        }
    }

    /// The first burn hour at which light is at or below a fraction of the light at 0 h; infinite if it never is.
    pub fn age_at(&self, fraction: f64) -> f64 {
        if fraction >= 1.0 {
            return 0.0;
        }
        match self {
            Self::Exponential { rate, .. } => -fraction.ln() / rate,
            Self::Stretched { time_constant, power } => time_constant * (-fraction.ln()).powf(1.0 / power),
            Self::Biexponential { fast_rate, slow_rate, .. } => {
                // the age lies between those of either part alone; halved until neighbouring numbers meet
                let age = |rate: f64| -fraction.ln() / rate;
                let (mut low, mut high) = (age(fast_rate.max(*slow_rate)), age(fast_rate.min(*slow_rate)).min(1e12));
                if !(self.fraction(high) <= fraction) {
                    return f64::INFINITY;
                }
                for _ in 0..200 {
                    let middle = 0.5 * (low + high);
                    if self.fraction(middle) > fraction { low = middle } else { high = middle }
                }
                high
            }
            Self::Projected { start, rate, cap, beyond } => {
                let spent = (start / fraction).ln().max(0.0);
                if spent <= rate * cap { spent / rate } else { cap + (spent - rate * cap) / beyond }
            }
            Self::Table(table) => table.age_at(fraction * table.fraction(0.0)),
        }
    }

    /// Burn hours beyond which the curve is a continuation that nobody stated; infinite for a formula.
    pub fn stated_to(&self) -> f64 {
        match self {
            Self::Exponential { .. } | Self::Stretched { .. } | Self::Biexponential { .. } => f64::INFINITY,
            Self::Projected { cap, .. } => *cap,
            Self::Table(table) => *table.ages().last().unwrap_or(&0.0),
        }
    }

    /// Burn hours at which the curve has a kink, in order.
    pub fn kinks(&self) -> &[f64] {
        match self {
            Self::Exponential { .. } | Self::Stretched { .. } | Self::Biexponential { .. } => &[],
            Self::Projected { cap, .. } => std::slice::from_ref(cap),
            Self::Table(table) => table.ages(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Another method: Simpson's rule, halved until it settles.
    fn adaptive(f: &dyn Fn(f64) -> f64, a: f64, c: f64, tolerance: f64, depth: u32) -> f64 {
        let simpson = |a: f64, c: f64| (c - a) / 6.0 * (f(a) + 4.0 * f(0.5 * (a + c)) + f(c));
        let (whole, m) = (simpson(a, c), 0.5 * (a + c));
        let halves = simpson(a, m) + simpson(m, c);
        if depth == 0 || (halves - whole).abs() < tolerance {
            halves + (halves - whole) / 15.0
        } else {
            adaptive(f, a, m, 0.5 * tolerance, depth - 1) + adaptive(f, m, c, 0.5 * tolerance, depth - 1)
        }
    }

    #[test]
    fn integrals_agree_with_adaptive_quadrature_to_a_thousand_millionth() {
        let curves = [
            Maintenance::Exponential { start: 0.97, rate: 3.7e-6 },
            Maintenance::Stretched { time_constant: 46_000.0, power: 0.8 },
            Maintenance::Stretched { time_constant: 9_000.0, power: 1.7 },
            Maintenance::Biexponential { fast_share: 0.12, fast_rate: 4e-4, slow_rate: 9e-6 },
            Maintenance::Biexponential { fast_share: 0.3, fast_rate: 2e-2, slow_rate: 0.0 },
            Maintenance::Projected { start: 0.9753, rate: 3.7e-6, cap: 36_000.0, beyond: 9e-6 },
            Maintenance::table(&[(0.0, 1.0), (3_000.0, 1.02), (9_000.0, 0.8), (12_000.0, 0.1)]).unwrap(),
        ];
        for curve in &curves {
            for (a, c) in [(0.0, 300.0), (0.0, 60_000.0), (250.0, 260.0), (8_990.0, 9_400.0), (30_000.0, 50_000.0)] {
                let mut cuts = vec![a];
                cuts.extend(curve.kinks().iter().copied().filter(|kink| (a..c).contains(kink) && *kink > a));
                cuts.push(c);
                let expected: f64 =
                    cuts.windows(2).map(|w| adaptive(&|b| curve.fraction(b), w[0], w[1], 1e-9, 40)).sum();
                let found = curve.integral(a, c);
                assert!((found - expected).abs() <= 1e-9 * expected, "{curve:?} {a} {c}: {found} {expected}");
            }
        }
    }

    #[test]
    fn an_age_at_a_fraction_is_where_the_curve_has_it() {
        for curve in [
            Maintenance::Exponential { start: 0.9, rate: 2e-5 },
            Maintenance::Stretched { time_constant: 46_000.0, power: 0.8 },
            Maintenance::Biexponential { fast_share: 0.12, fast_rate: 4e-4, slow_rate: 9e-6 },
            Maintenance::Biexponential { fast_share: 0.9, fast_rate: 1e-5, slow_rate: 2e-4 },
            Maintenance::Projected { start: 0.9753, rate: 3.7e-6, cap: 36_000.0, beyond: 9e-6 },
            Maintenance::table(&[(0.0, 0.98), (9_000.0, 0.8), (12_000.0, 0.5)]).unwrap(),
        ] {
            for share in [0.95, 0.8, 0.6] {
                let age = curve.age_at(share);
                assert!((curve.fraction(age) / curve.fraction(0.0) - share).abs() < 1e-12, "{curve:?} {share}");
            }
        }
        assert_eq!(Maintenance::CONSTANT.age_at(0.9), f64::INFINITY);
        // what does not fade never falls below its share
        let half = Maintenance::Biexponential { fast_share: 0.5, fast_rate: 1e-4, slow_rate: 0.0 };
        assert!(half.age_at(0.4) == f64::INFINITY && (half.fraction(half.age_at(0.6)) - 0.6).abs() < 1e-12);
    }
}
