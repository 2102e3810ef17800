//! How well a quantile or the mean of a tail is known from a sample of n trials.
//!
//! - [`ranks`] and [`quantile_interval`]: an interval that holds for any distribution, from counting alone
//! - [`harrell_davis`]: a smooth estimate of a quantile, with two standard errors of different make
//! - [`tail_mean`]: the mean of the dearest trials, and [`normal_tail`], [`lognormal_tail`] in closed form
//!
//! What goes wrong: trials that are not independent (antithetic pairs, low-discrepancy points) make all of these too wide
//! or too narrow, and an interval speaks of the sample's noise only, never of a wrong model.

mod ordered;
mod smooth;
mod tail;

pub use ordered::{Interval, Ranks, quantile, quantile_interval, ranks};
pub use smooth::{Smooth, harrell_davis};
pub use tail::{Tail, lognormal_tail, normal_tail, tail_mean};

/// A sample in rising order.
fn sorted(values: &[f64]) -> Vec<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    sorted
}
