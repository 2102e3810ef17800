//! What people write down by hand or in a spreadsheet: reading cards, readings over hours, burn logs.
//!
//! Floor 1. Belongs here: tables and cards as written, every flaw with its line and column, all at once. Does not belong
//! here: what the numbers say (`canopy`, `learn`), files (the door opens them).
//!
//! Input is hostile until checked: cells have a longest length, flaws are counted beyond a number of them, and nothing is
//! kept of a table but what its reader asks for, so that a million rows pass through.

mod burn_log;
mod card;
mod day;
mod flaw;
mod forecasts;
mod lines;
mod number;
mod readings;
mod table;

pub use burn_log::{ABOUT, BURN_LOG, BurnLogRead, LoggedLife, Reason, burn_log};
pub use card::{Card, CardPoints, CardUnit, Cell, HeightBlock, MOST_A_SIDE, MOST_HEIGHTS, Sides, Written, blank_card};
pub use day::Day;
pub use flaw::{Flaw, Flaws};
pub use forecasts::{Forecast, forecasts};
pub use lines::Lines;
pub use number::{Decimals, Number, number};
pub use readings::{LampReadings, Reading, Readings, readings};
pub use table::{Column, Row, Table};
