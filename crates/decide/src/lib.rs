//! Priced futures to finished numbers: distributions with their Monte-Carlo error, fair races, what may be said.
//!
//! Floor 5.

mod axis;
pub mod bill;
mod bill_report;
pub mod breakeven;
pub mod breakeven_report;
pub mod cash;
pub mod cash_report;
mod comparable;
pub mod drivers;
pub mod drivers_report;
mod exact;
mod flips;
pub mod hours;
mod hours_report;
mod lamp_months;
pub mod learn_life;
pub mod learn_life_report;
pub mod life_priors;
pub mod map;
pub mod map_report;
mod minutes;
pub mod mix;
pub mod mix_report;
pub mod picture;
mod questions;
mod race;
pub mod rank;
pub mod rank_report;
pub mod relamp;
pub mod relamp_report;
mod relamp_words;
pub mod result;
mod rooms;
mod service;
mod split;
mod spread;
pub mod stage;
pub mod stage_report;
mod summarize;
mod tried;
mod turn;
pub mod why;
pub mod why_report;
mod why_sums;
pub mod why_terms;
mod year;

pub use race::{race, verdict};
pub use spread::{Sorted, density, mean, spread};
pub use summarize::{Provenance, inputs, summarize};
pub use turn::World;
