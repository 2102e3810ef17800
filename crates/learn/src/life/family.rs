//! Curves of life that are shifted and stretched on the scale of ln(hours).
//!
//! Belongs here: the standard curve of each family with its derivatives. Does not belong here: their fit (`fit`).

use statrs::distribution::{ContinuousCDF, Normal};

/// ln √(2π).
const LN_ROOT: f64 = 0.918_938_533_204_672_8;
/// Beyond this, the share above a normal number is taken from a continued fraction.
const FAR: f64 = 5.0;

/// A family of lives: ln(life) = location + spread · a standard number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Family {
    /// Weibull: the standard number is that of smallest extremes; its spread is 1/k.
    Weibull,
    /// Lognormal: the standard number is normal.
    Lognormal,
}

impl Family {
    /// ln of the share above a standard number z.
    pub(super) fn ln_survival(self, z: f64) -> f64 {
        match self {
            Self::Weibull => -z.exp(),
            Self::Lognormal if z < 0.0 => (-Normal::standard().cdf(z)).ln_1p(),
            Self::Lognormal if z < FAR => Normal::standard().sf(z).ln(),
            Self::Lognormal => mills(z).ln() - 0.5 * z * z - LN_ROOT,
        }
    }

    /// ln of the density at a standard number, and its first two derivatives.
    pub(super) fn ln_density(self, z: f64) -> (f64, f64, f64) {
        match self {
            Self::Weibull => (z - z.exp(), 1.0 - z.exp(), -z.exp()),
            Self::Lognormal => (-0.5 * z * z - LN_ROOT, -z, -1.0),
        }
    }

    /// First two derivatives of [`Self::ln_survival`].
    pub(super) fn survival_slopes(self, z: f64) -> (f64, f64) {
        match self {
            Self::Weibull => (-z.exp(), -z.exp()),
            Self::Lognormal => {
                let hazard =
                    if z < FAR { (-0.5 * z * z - LN_ROOT - self.ln_survival(z)).exp() } else { 1.0 / mills(z) };
                (-hazard, -hazard * (hazard - z))
            }
        }
    }

    /// The standard number below which a share of all lies.
    pub(super) fn quantile(self, share: f64) -> f64 {
        match self {
            Self::Weibull => (-(-share).ln_1p()).ln(),
            Self::Lognormal => Normal::standard().inverse_cdf(share),
        }
    }
}

/// Share above a large normal number over the density there, by Laplace's continued fraction.
fn mills(z: f64) -> f64 {
    (1..=60).rev().fold(z, |below, k| z + f64::from(k) / below).recip()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each derivative against a difference quotient of what it is the derivative of.
    #[test]
    fn slopes_are_those_of_the_curves() {
        for family in [Family::Weibull, Family::Lognormal] {
            for z in [-6.0, -1.0, 0.0, 0.7, 2.0, 4.999, 5.5, 9.0] {
                let h = 1e-5;
                let slope = |f: &dyn Fn(f64) -> f64| (f(z + h) - f(z - h)) / (2.0 * h);
                let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-6 * (1.0 + b.abs()), "{family:?} {z}: {a} {b}");
                near(slope(&|z| family.ln_survival(z)), family.survival_slopes(z).0);
                near(slope(&|z| family.survival_slopes(z).0), family.survival_slopes(z).1);
                near(slope(&|z| family.ln_density(z).0), family.ln_density(z).1);
                near(slope(&|z| family.ln_density(z).1), family.ln_density(z).2);
                // the density is what survival loses
                let lost = family.survival_slopes(z).0.abs().ln() + family.ln_survival(z);
                near(lost, family.ln_density(z).0);
            }
        }
        let (near, far) = (Family::Lognormal.ln_survival(FAR - 1e-9), Family::Lognormal.ln_survival(FAR));
        assert!((near - far).abs() < 1e-7 && Family::Lognormal.ln_survival(60.0).is_finite());
    }
}
