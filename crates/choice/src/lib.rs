//! Choosing under uncertainty: intervals, dominance, regret, what information is worth, and which input matters.
//!
//! Floor 1, and a stranger to every other crate: pure functions over numbers. **Costs: lower is better, throughout.** Their
//! unit is the caller's (euros of one year, say, real or nominal), and so are the units of answers that are costs; there is
//! no luck in here and no rounding for print.
//!
//! - [`Table`]: costs of options over trials, checked once
//! - [`interval`]: how well a quantile or the mean of a tail is known from a sample
//! - [`dominance`]: whether one option beats another for everybody, or for everybody who is cautious
//! - [`regret`]: what a choice costs against the best of each trial or named future
//! - [`information`]: what it would be worth to know everything, one input, some inputs, or n measurements
//! - [`sensitivity`]: which share of a variance comes from which input
//!
//! Numbers above 1e100 in size are refused everywhere, so that squares and sums stay finite.

pub mod dominance;
mod fault;
pub mod information;
pub mod interval;
#[cfg(test)]
mod laws;
#[cfg(test)]
mod luck;
mod normal;
mod ranks;
pub mod regret;
pub mod sensitivity;
mod table;

pub use fault::Fault;
pub use table::Table;

/// A number from a sample, with the standard error that the sample's size leaves it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The number.
    pub value: f64,
    /// Its standard error, in the same unit.
    pub se: f64,
}

/// The mean of at least two numbers with its standard error s/√n.
fn mean(values: &[f64]) -> Estimate {
    let n = values.len() as f64;
    // taking the first value off keeps equal values at a variance of exactly 0
    let origin = values.first().copied().unwrap_or(f64::NAN);
    let shift = values.iter().map(|value| value - origin).sum::<f64>() / n;
    let squares: f64 = values.iter().map(|value| (value - origin - shift).powi(2)).sum();
    Estimate { value: origin + shift, se: (squares / (n - 1.0) / n).sqrt() }
}
