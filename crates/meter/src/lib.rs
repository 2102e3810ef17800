//! The meter: loads on the clock, read off by a tariff's registers.
//!
//! Floor 2. Every load is a chain of steps in time, exact to the second; the meter adds them up between the edges of all
//! of them and never samples. What it shows is physical: kilowatt-hours and kilowatts by register, no price. The lights
//! stay apart from the base load, per unit of their full power, so that one reading serves lights of any power.

mod dark;
mod load;
mod registers;
mod schedule;
mod walk;

pub use dark::{Dark, Outage};
pub use load::{BaseLoad, BaseStep, LightStep, base_steps, light_steps};
pub use registers::{Candidate, Lit, Mix, Registers};
pub use schedule::{ReadDays, Schedule};
pub use walk::Piece;
