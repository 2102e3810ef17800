//! What this crate is told of a lamp, its checks, and the ages that matter in its life.

use std::fmt;

use crate::rule::RADAU;

/// A lamp by its life and its light, both functions of the hours it has burnt.
///
/// A socket is lit all hours of the schedule clock on which this crate counts time.
#[derive(Clone, Copy)]
pub struct Lamp<'a> {
    /// Share of lamps alive at an age in hours: 1 at 0, continuous, never rising.
    pub survival: &'a dyn Fn(f64) -> f64,
    /// Fraction of the initial photon flux at an age in hours.
    pub light: &'a dyn Fn(f64) -> f64,
    /// Ages in hours, rising, at which `survival` bends. Left out, answers are good to about five digits only.
    pub survival_kinks: &'a [f64],
    /// Ages in hours, rising, at which `light` bends.
    pub light_kinks: &'a [f64],
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Fault {
    /// The survival function is not 1 at age 0, rises, or leaves \[0, 1\].
    Survival {
        /// Age in hours.
        age: f64,
        /// What it is there.
        found: f64,
    },
    /// The light is negative or no number.
    Light {
        /// Age in hours.
        age: f64,
        /// What it is there.
        found: f64,
    },
    /// A number that is out of bounds.
    Number {
        /// What it is.
        what: &'static str,
        /// What was found.
        found: f64,
        /// What is allowed.
        allowed: &'static str,
    },
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Survival { age, found } => {
                write!(
                    f,
                    "the share alive at {age} h is {found}; it must begin at 1, never rise and stay within 0 to 1"
                )
            }
            Self::Light { age, found } => write!(f, "the light at {age} h is {found}; it must be 0 or more"),
            Self::Number { what, found, allowed } => write!(f, "{what} is {found}; allowed: {allowed}"),
        }
    }
}

impl std::error::Error for Fault {}

/// A fault unless a number is as it should be.
pub fn demand(holds: bool, what: &'static str, found: f64, allowed: &'static str) -> Result<(), Fault> {
    if holds { Ok(()) } else { Err(Fault::Number { what, found, allowed }) }
}

/// A fault unless a number is finite and above 0.
pub fn demand_positive(what: &'static str, found: f64) -> Result<(), Fault> {
    demand(found > 0.0 && found.is_finite(), what, found, "above 0, finite")
}

/// A fault unless a number is finite and 0 or more.
pub fn demand_amount(what: &'static str, found: f64) -> Result<(), Fault> {
    demand(found >= 0.0 && found.is_finite(), what, found, "0 or more, finite")
}

impl Lamp<'_> {
    /// Looks at kinks, and at life and light at some ages up to `longest`.
    pub(crate) fn check(&self, longest: f64) -> Result<(), Fault> {
        for kinks in [self.survival_kinks, self.light_kinks] {
            let mut last = 0.0;
            for &age in kinks {
                demand(age >= last, "the age of a kink", age, "0 or more, and not below the one before")?;
                last = age;
            }
        }
        let mut last = 1.0;
        for step in 0..=64 {
            let age = longest * f64::from(step) / 64.0;
            let (alive, light) = ((self.survival)(age), (self.light)(age));
            let fits = alive >= 0.0 && alive <= last + 1e-12 && (step > 0 || alive >= 1.0 - 1e-12);
            if !fits {
                return Err(Fault::Survival { age, found: alive });
            }
            if !(light >= 0.0 && light.is_finite()) {
                return Err(Fault::Light { age, found: light });
            }
            last = alive;
        }
        Ok(())
    }

    /// Kinks of life and light together, rising.
    pub(crate) fn kinks(&self) -> Vec<f64> {
        let mut all = [self.survival_kinks, self.light_kinks].concat();
        all.sort_by(f64::total_cmp);
        all.dedup();
        all
    }
}

/// The first age, to one part in a million, at which a falling function is at or below `level`; `None` if it stays above
/// for ever (2⁶⁰ h).
pub fn age_at(f: &dyn Fn(f64) -> f64, level: f64) -> Option<f64> {
    let above = (-50..=60).map(|power| 2f64.powi(power)).find(|&age| f(age) <= level)?;
    let (mut low, mut high) = (0.5 * above, above);
    for _ in 0..20 {
        let middle = 0.5 * (low + high);
        *(if f(middle) <= level { &mut high } else { &mut low }) = middle;
    }
    Some(high)
}

/// The age from which on nobody is alive; infinite if some live for ever.
pub fn last_age(f: &dyn Fn(f64) -> f64) -> f64 {
    age_at(f, 1e-18).unwrap_or(f64::INFINITY)
}

/// The width, at or below `top`, of a first stretch of life from an age on that a polynomial describes: far below `top`
/// where the hazard is infinite at first or begins like a root. It is not below `least`.
pub fn smooth_start(f: &dyn Fn(f64) -> f64, age: f64, top: f64, least: f64) -> f64 {
    let from_age = |x: f64| f(age + x);
    let mut width = top;
    while width > least && RADAU.misfit(from_age, &RADAU.sample(from_age, 0.0, width), 0.0, width) > 1e-12 {
        width *= 0.5;
    }
    width
}
