//! One normal belief about which of two options is cheaper.

use crate::fault::{Fault, demand, demand_number, demand_positive};
use crate::normal;

/// The unit normal loss integral L(x) = E(Z − x)⁺ = φ(x) − x·(1 − Φ(x)) of a standard normal Z (Raiffa and Schlaifer,
/// Applied Statistical Decision Theory, 1961). NaN gives NaN.
///
/// ```
/// assert!((choice::information::unit_normal_loss(0.0) - 0.398942).abs() < 1e-6);
/// ```
pub fn unit_normal_loss(x: f64) -> f64 {
    if x.is_nan() { x } else { normal::loss(x) }
}

/// A normal belief about a difference in cost between two options (or, times a slope, about what drives it linearly).
///
/// With the difference D normal (m, s), the choice now is by the sign of m, and knowing D is worth s·L(|m|/s).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Belief {
    mean: f64,
    sd: f64,
}

impl Belief {
    /// A belief with a mean and a standard deviation in the unit of the costs.
    ///
    /// ```
    /// // break-even at 6000 pieces, 8000 expected with a standard deviation of 2885, 6 lost with each piece short
    /// let belief = choice::information::Belief::new(6.0 * (8000.0 - 6000.0), 6.0 * 2885.0).unwrap();
    /// assert!((belief.perfect() - 2501.68).abs() < 0.01);
    /// ```
    ///
    /// # Errors
    /// A mean that is no number, a standard deviation not above 0.
    pub fn new(mean: f64, sd: f64) -> Result<Self, Fault> {
        demand_number("the mean of the belief", mean)?;
        demand_positive("the standard deviation of the belief", sd)?;
        Ok(Self { mean, sd })
    }

    /// The value of knowing the difference exactly, in the unit of the costs: s·L(|m|/s).
    pub fn perfect(&self) -> f64 {
        self.sd * normal::loss(self.mean.abs() / self.sd)
    }

    /// The standard deviation, seen from before n independent normal measurements of the difference, each with standard
    /// deviation `noise`, of the mean that will be believed after them: s²/√(s² + noise²/n) (Raiffa and Schlaifer, 1961).
    ///
    /// # Errors
    /// A noise that is negative or no number; no measurement.
    pub fn preposterior_sd(&self, noise: f64, n: u64) -> Result<f64, Fault> {
        demand((0.0..=1e100).contains(&noise), "the noise of a measurement", noise, "0 to 1e100")?;
        demand(n >= 1, "the number of measurements", n as f64, "1 or more")?;
        Ok(self.sd * (self.sd / self.sd.hypot(noise / (n as f64).sqrt())))
    }

    /// The value of n such measurements (EVSI), in the unit of the costs: p·L(|m|/p), p the preposterior standard deviation.
    ///
    /// ```
    /// let belief = choice::information::Belief::new(5.0, 10.0).unwrap();
    /// let one = belief.measured(20.0, 1).unwrap();
    /// assert!((one - 0.2961).abs() < 1e-4 && one < belief.perfect());
    /// ```
    ///
    /// # Errors
    /// Those of [`Belief::preposterior_sd`].
    pub fn measured(&self, noise: f64, n: u64) -> Result<f64, Fault> {
        let sd = self.preposterior_sd(noise, n)?;
        Ok(if sd > 0.0 { sd * normal::loss(self.mean.abs() / sd) } else { 0.0 })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn measuring_without_noise_or_without_end_is_knowing() {
        let belief = Belief::new(-3.0, 4.0).unwrap();
        assert_eq!(belief.measured(0.0, 1), Ok(belief.perfect()));
        assert!((belief.measured(1.0, 1 << 50).unwrap() / belief.perfect() - 1.0).abs() < 1e-12);
        assert!(Belief::new(0.0, 1e-300).unwrap().measured(1e100, 1) == Ok(0.0));
    }

    #[test]
    fn hostile_input_is_refused() {
        assert!(Belief::new(f64::NAN, 1.0).is_err() && Belief::new(0.0, 0.0).is_err());
        let belief = Belief::new(0.0, 1.0).unwrap();
        assert!(belief.measured(-1.0, 1).is_err() && belief.measured(1.0, 0).is_err());
        assert!(belief.measured(f64::NAN, 1).is_err() && unit_normal_loss(f64::NAN).is_nan());
    }
}
