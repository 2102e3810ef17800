//! Priced futures to finished numbers: distributions with their Monte-Carlo error, fair races, what may be said.
//!
//! Floor 5.

pub mod bill;
mod bill_report;
pub mod hours;
mod hours_report;
mod minutes;
pub mod picture;
mod questions;
mod race;
pub mod relamp_report;
pub mod result;
mod rooms;
mod split;
mod spread;
mod summarize;
mod year;

pub use race::{race, verdict};
pub use spread::{Sorted, density, mean, spread};
pub use summarize::{Provenance, inputs, summarize};
