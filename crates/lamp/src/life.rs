//! When a lamp dies: the first of an early failure, a random one and wear-out, with all of them together held to a claim.

use crate::survival::{SurvivalTable, Weibull, ln_normal_above, normal_above, normal_at};

/// How lamps wear out, in hours of rated life.
#[derive(Debug, Clone, PartialEq)]
pub enum WearOut {
    /// Weibull.
    Weibull(Weibull),
    /// Lognormal by the logarithm of its median and the standard deviation of ln(life).
    Lognormal {
        /// ln of the median.
        log_median: f64,
        /// Standard deviation of ln(life).
        sd: f64,
    },
    /// A table.
    Table(SurvivalTable),
}

impl WearOut {
    /// Lognormal wear-out with a share alive at some hours: S(x) = Φ((ln median − ln x)/sd).
    pub fn lognormal(hours: f64, alive: f64, sd: f64) -> Self {
        Self::Lognormal { log_median: hours.ln() - sd * normal_at(-alive.ln()), sd }
    }

    /// Share not yet worn out at an age.
    pub fn survival(&self, age: f64) -> f64 {
        match self {
            Self::Weibull(weibull) => weibull.survival(age),
            Self::Lognormal { log_median, sd } => normal_above((age.ln() - log_median) / sd),
            Self::Table(table) => table.survival(age),
        }
    }

    /// ln of the share not yet worn out at an age.
    fn ln_survival(&self, age: f64) -> f64 {
        match self {
            Self::Weibull(weibull) => -weibull.hazard(age),
            Self::Lognormal { log_median, sd } => ln_normal_above((age.ln() - log_median) / sd),
            Self::Table(table) => table.survival(age).ln(),
        }
    }

    /// The age at which the cumulative hazard −ln S reaches `hazard`: a lamp's wear-out life, if `hazard` is a standard
    /// exponential number.
    pub fn age(&self, hazard: f64) -> f64 {
        match self {
            Self::Weibull(weibull) => weibull.age(hazard),
            Self::Lognormal { log_median, sd } => (log_median + sd * normal_at(hazard)).exp(),
            Self::Table(table) => table.age(hazard),
        }
    }

    /// The same for a lamp that has reached `from`: hazards add up.
    pub fn age_from(&self, from: f64, hazard: f64) -> f64 {
        // at an age that as good as nobody reaches, a lamp is at its end
        const NOBODY: f64 = 1e-300;
        let alive = if from == 0.0 { 1.0 } else { self.survival(from) };
        if alive < NOBODY { from } else { self.age(hazard - alive.ln()).max(from) }
    }
}

/// Early failures: a share of lamps fails at some moment, evenly spread, within a first window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Early {
    /// Share of lamps.
    pub share: f64,
    /// Window, hours of rated life.
    pub within: f64,
}

impl Early {
    fn survival(self, age: f64) -> f64 {
        1.0 - self.share * (age / self.within).min(1.0)
    }

    /// The age of an early failure for a uniform number, among lamps that have reached `from`; `None` for a lamp that is
    /// spared.
    pub fn age_from(self, from: f64, u: f64) -> Option<f64> {
        // of those alive at `from`, the share that still fails early
        let left = self.share * (1.0 - from / self.within).max(0.0) / self.survival(from);
        (u < left).then(|| from + (self.within - from) * u / left)
    }
}

/// When lamps of one type die.
#[derive(Debug, Clone, PartialEq)]
pub struct Life {
    /// Wear-out.
    pub wear_out: WearOut,
    /// Early failures.
    pub early: Option<Early>,
    /// Constant hazard, 1/h of rated life.
    pub random: f64,
}

impl Life {
    /// Share alive at an age, hours of rated life: the product over the three causes.
    ///
    /// ```
    /// use lamp::{Early, Life, WearOut, Weibull};
    /// let early = Some(Early { share: 0.02, within: 500.0 });
    /// // what wear-out must leave alive at 24 000 h, so that half of all lamps are
    /// let alive = Life::wear_out_alive(24_000.0, 0.5, early, 5e-6);
    /// let wear_out = WearOut::Weibull(Weibull::from_alive(24_000.0, alive, 3.3).unwrap());
    /// let life = Life { wear_out, early, random: 5e-6 };
    /// assert!((life.survival(24_000.0) - 0.5).abs() < 1e-12);
    /// ```
    pub fn survival(&self, age: f64) -> f64 {
        self.survival_of_lot(age, 1.0)
    }

    /// The same for lamps of a lot that wears out `factor` times as late: chance failures are those of any lot.
    pub fn survival_of_lot(&self, age: f64, factor: f64) -> f64 {
        let chance = self.early.map_or(1.0, |early| early.survival(age)) * (-self.random * age).exp();
        chance * self.wear_out.survival(age / factor)
    }

    /// ln of the share alive at an age, where a batch stretches wear-out by a factor (1 for a usual batch). It keeps its digits
    /// where that share itself is too small for a number.
    pub fn ln_survival(&self, age: f64, batch: f64) -> f64 {
        let early = self.early.map_or(0.0, |early| early.survival(age).ln());
        early - self.random * age + self.wear_out.ln_survival(age / batch)
    }

    /// Share that wear-out must leave alive at some hours so that all causes together leave `alive`; 1 or more when early
    /// and random failures alone kill more than that.
    pub fn wear_out_alive(hours: f64, alive: f64, early: Option<Early>, random: f64) -> f64 {
        alive / (early.map_or(1.0, |early| early.survival(hours)) * (-random * hours).exp())
    }

    /// The age at which half are dead, by halving an interval; hours of rated life.
    pub fn median(&self) -> f64 {
        let mut high = 1.0;
        while self.survival(high) > 0.5 && high < 1e12 {
            high *= 2.0;
        }
        let mut low = 0.0;
        for _ in 0..100 {
            let middle = 0.5 * (low + high);
            if self.survival(middle) > 0.5 { low = middle } else { high = middle }
        }
        0.5 * (low + high)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_claim_fixes_the_survival_of_all_causes_together() {
        let early = Some(Early { share: 0.05, within: 400.0 });
        for (hours, share) in [(24_000.0, 0.67), (9_500.0, 0.5), (8_000.0, 0.9)] {
            let alive = Life::wear_out_alive(hours, share, early, 1e-6);
            for wear_out in [
                WearOut::Weibull(Weibull::from_alive(hours, alive, 3.0).unwrap()),
                WearOut::lognormal(hours, alive, 0.35),
            ] {
                let life = Life { wear_out, early, random: 1e-6 };
                assert!((life.survival(hours) - share).abs() < 1e-10, "{life:?}");
            }
        }
    }

    #[test]
    fn residual_wear_out_follows_the_conditional_survival() {
        for wear_out in [
            WearOut::Weibull(Weibull::from_b50(9_500.0, 3.2).unwrap()),
            WearOut::lognormal(9_500.0, 0.5, 0.4),
            WearOut::Table(SurvivalTable::new(&[(0.0, 1.0), (8_000.0, 0.8), (14_000.0, 0.1)]).unwrap()),
        ] {
            let from = 7_000.0;
            for u in [0.03f64, 0.5, 0.97] {
                let age = wear_out.age_from(from, -u.ln());
                assert!((wear_out.survival(age) / wear_out.survival(from) - u).abs() < 1e-9, "{wear_out:?} {u}");
            }
        }
    }

    #[test]
    fn the_logarithm_of_survival_keeps_digits_that_survival_loses() {
        for wear_out in [
            WearOut::Weibull(Weibull::from_b50(9_500.0, 3.2).unwrap()),
            WearOut::lognormal(9_500.0, 0.5, 0.4),
            WearOut::Table(SurvivalTable::new(&[(0.0, 1.0), (8_000.0, 0.8), (14_000.0, 0.1)]).unwrap()),
        ] {
            let life = Life { wear_out, early: Some(Early { share: 0.02, within: 500.0 }), random: 5e-6 };
            for age in [100.0, 5_000.0, 12_000.0] {
                assert!((life.ln_survival(age, 1.0) - life.survival(age).ln()).abs() < 1e-12, "{life:?} {age}");
                // a batch that lives longer is younger at the same age, wear-out alone
                let wear = life.wear_out.survival(age / 1.3).ln() - life.wear_out.survival(age).ln();
                assert!((life.ln_survival(age, 1.3) - life.ln_survival(age, 1.0) - wear).abs() < 1e-12);
            }
            let (far, farther) = (life.ln_survival(4e5, 1.0), life.ln_survival(4.1e5, 1.0));
            assert!(farther < far || far == f64::NEG_INFINITY, "{life:?}");
        }
        let weibull = Life { wear_out: WearOut::lognormal(9_500.0, 0.5, 0.1), early: None, random: 0.0 };
        let (near, far) =
            (weibull.ln_survival(9_500.0 * 2.999f64.exp(), 1.0), weibull.ln_survival(9_500.0 * 3.001f64.exp(), 1.0));
        assert!((near - far - 0.02 * 30.0).abs() < 0.01 && far.is_finite(), "{near} {far}");
    }

    #[test]
    fn early_failures_of_used_lamps_come_from_what_is_left_of_the_window() {
        let early = Early { share: 0.4, within: 100.0 };
        assert_eq!(early.age_from(0.0, 0.2), Some(50.0));
        assert_eq!(early.age_from(0.0, 0.5), None);
        // at 50 h one in five is dead; of the others a quarter still dies early
        let age = early.age_from(50.0, 0.125).unwrap();
        assert!((age - 75.0).abs() < 1e-9 && early.age_from(50.0, 0.2501).is_none());
        assert_eq!(early.age_from(100.0, 0.0), None);
    }
}
