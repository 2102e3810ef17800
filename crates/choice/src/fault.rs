//! Why there is no answer.

use std::fmt;

/// Largest size of a number that is taken: squares of it, summed over any sample, stay finite.
pub const LARGEST: f64 = 1e100;

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Fault {
    /// Too little was given.
    TooFew {
        /// What it is.
        what: &'static str,
        /// How many there are.
        found: usize,
        /// How many are needed at the least.
        needed: usize,
    },
    /// Two lists that belong together differ in length.
    Ragged {
        /// What the odd list is.
        what: &'static str,
        /// Where it stands, counted from 0.
        place: usize,
        /// Its length.
        found: usize,
        /// The length that it should have.
        expected: usize,
    },
    /// A number that is out of bounds or no number.
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
            Self::TooFew { what, found, needed } => {
                write!(f, "{found} {what} are too few; at least {needed} are needed")
            }
            Self::Ragged { what, place, found, expected } => {
                write!(f, "{what} {} holds {found} numbers instead of {expected}", place + 1)
            }
            Self::Number { what, found, allowed } => write!(f, "{what} is {found}; allowed: {allowed}"),
        }
    }
}

impl std::error::Error for Fault {}

/// A fault unless a number is as it should be.
pub fn demand(holds: bool, what: &'static str, found: f64, allowed: &'static str) -> Result<(), Fault> {
    if holds { Ok(()) } else { Err(Fault::Number { what, found, allowed }) }
}

/// A fault unless a number is no larger than 1e100 in size.
pub fn demand_number(what: &'static str, found: f64) -> Result<(), Fault> {
    demand(found.abs() <= LARGEST, what, found, "-1e100 to 1e100")
}

/// A fault unless a number is above 0 and at most 1e100.
pub fn demand_positive(what: &'static str, found: f64) -> Result<(), Fault> {
    demand(found > 0.0 && found <= LARGEST, what, found, "above 0, at most 1e100")
}

/// A fault unless a probability is above 0 and below 1.
pub fn demand_inner(what: &'static str, found: f64) -> Result<(), Fault> {
    demand(found > 0.0 && found < 1.0, what, found, "above 0, below 1")
}

/// A fault unless there are enough of something.
pub fn demand_count(what: &'static str, found: usize, needed: usize) -> Result<(), Fault> {
    if found >= needed { Ok(()) } else { Err(Fault::TooFew { what, found, needed }) }
}

/// A fault unless a sample is long enough and all of it numbers.
pub fn demand_sample(what: &'static str, values: &[f64], needed: usize) -> Result<(), Fault> {
    demand_count(what, values.len(), needed)?;
    values.iter().try_for_each(|value| demand_number(what, *value))
}

/// A fault unless a list is as long as another.
pub fn demand_length(what: &'static str, place: usize, found: usize, expected: usize) -> Result<(), Fault> {
    if found == expected { Ok(()) } else { Err(Fault::Ragged { what, place, found, expected }) }
}
