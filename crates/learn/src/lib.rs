//! What data say: curves through readings of light, lives from logs of lamps, beliefs brought up to date.
//!
//! Floor 1, and a stranger to every other crate: pure functions over numbers, hours and shares. There is no file, no
//! scenario and no luck in here; where random numbers are needed the caller hands them in.

#![cfg_attr(test, allow(clippy::unwrap_used, reason = "a test that fails may panic"))]

pub mod belief;
pub mod life;
