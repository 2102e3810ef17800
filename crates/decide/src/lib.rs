//! Priced futures to finished numbers: distributions with their Monte-Carlo error, fair races, what may be said.
//!
//! Floor 4.

pub mod bill;
mod bill_report;
pub mod picture;
mod race;
pub mod result;
mod spread;
mod summarize;

pub use race::{race, verdict};
pub use spread::{Sorted, density, mean, spread};
pub use summarize::{Provenance, inputs, summarize};
