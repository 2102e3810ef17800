//! What is to be expected of a socket, exactly: failures, planned replacements and light up to any moment, what they cost
//! in the long run, and the best interval between planned replacements.
//!
//! Floor 1. There is no luck in here: the renewal equation is solved to nine digits or better, in milliseconds. That makes
//! it a check of the simulation by another method, and the quick way to an interval. Life and light come in as functions of
//! burn hours; time is the schedule clock, which counts only hours in which lights should burn. Any unit of time will do,
//! so long as it is the same everywhere; hours are meant.
//!
//! - [`Renewal`]: expected failures with replacement at once, and their density
//! - [`expect`]: one socket to a horizon under a [`Policy`]
//! - [`LongRun`] and [`best_interval`]: cost per hour and per hour at full flux, for ever
//! - [`spares`]: how many lamps to keep in stock

mod best;
mod cumulative;
mod finite;
mod lamp;
mod long_run;
mod measure;
mod rule;
mod solve;
mod spares;

pub use best::{Best, Goal, Search, best_interval};
pub use finite::{Expected, Policy, expect};
pub use lamp::{Fault, Lamp};
pub use long_run::{Costs, LongRun, Planned, Rates};
pub use solve::Renewal;
pub use spares::spares;
