//! What is wrong with a number, in words.

use std::error;
use std::fmt;

/// A number that cannot be what it is given for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fault {
    /// What the number is.
    pub what: &'static str,
    /// The number as found.
    pub found: f64,
    /// What would have been accepted.
    pub allowed: &'static str,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} is {}; it must be {}", self.what, self.found, self.allowed)
    }
}

impl error::Error for Fault {}

/// A fault unless something holds of a number.
pub fn demand(holds: bool, what: &'static str, found: f64, allowed: &'static str) -> Result<(), Fault> {
    if holds { Ok(()) } else { Err(Fault { what, found, allowed }) }
}

/// A fault unless a rate per year may discount.
pub fn demand_rate(what: &'static str, rate: f64) -> Result<(), Fault> {
    demand(rate > -1.0 && rate.is_finite(), what, rate, "above −1 (more than −100 % a year), finite")
}

/// A fault unless a number is finite and above 0.
pub fn demand_positive(what: &'static str, found: f64) -> Result<(), Fault> {
    demand(found > 0.0 && found.is_finite(), what, found, "above 0, finite")
}

/// Largest amount, of either sign: sums of many and their products with rates stay finite.
const LARGEST: f64 = 1e100;

/// A fault unless an amount of money is one, of either sign.
pub fn demand_amount(what: &'static str, found: f64) -> Result<(), Fault> {
    demand(found.abs() <= LARGEST, what, found, "a number of at most 1e100, of either sign")
}

/// A fault unless an amount of money is one and not below 0.
pub fn demand_cost(what: &'static str, found: f64) -> Result<(), Fault> {
    demand((0.0..=LARGEST).contains(&found), what, found, "0 or more, at most 1e100")
}

/// A fault unless a computed number came out finite.
pub fn demand_finite(what: &'static str, found: f64) -> Result<f64, Fault> {
    demand(found.is_finite(), what, found, "finite; the rate is too extreme for so many years")?;
    Ok(found)
}
