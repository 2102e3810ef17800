//! Luck: random numbers with an address, and the distributions that turn them into values.
//!
//! Floor 1. Every number is a pure function of (seed, purpose, item, trial, index): trial 17 is the same in a run of a
//! hundred or of a million, on one thread or on seven, and adding a lamp moves nobody else's luck. The generator is
//! SplitMix64 (Steele, Lea and Flood 2014), whose state is a plain counter, so any draw can be reached at once.

mod address;
mod distribution;
mod kernel;

pub use address::{Purpose, Stream, item_from_name};
pub use distribution::{BadDistribution, Distribution, Drawn, standard_normal};
pub use kernel::{exponential, fill_exponential, fill_gumbel, fill_lives, gumbel, life};
