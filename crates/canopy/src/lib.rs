//! Light on the canopy: grids of readings, their mean with the right weights, delivered flux, evenness, and how sure that is.
//!
//! Floor 1. Belongs here: what the readings of a rectangle say. Does not belong here: how they are written down
//! (`records`), light that is not measured.

mod error;
mod evenness;
mod fill;
mod grid;
mod heights;

pub use error::{MeterError, RatioError, Shared, ratio_error};
pub use evenness::Evenness;
pub use fill::{Filled, Filling, NotFilled, fill};
pub use grid::{BadGrid, Grid, Points};
pub use heights::{BEYOND, BadHeight, Between, HeldOut, Level, at_height, held_out};
