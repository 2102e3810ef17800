//! What data say: curves through readings of light, lives from logs of lamps, beliefs brought up to date.
//!
//! Floor 1, and a stranger to every other crate: pure functions over numbers, hours and shares. There is no file, no
//! scenario and no luck in here; where random numbers are needed the caller hands them in.
//!
//! - [`fit`]: least squares for any curve
//! - [`fading`]: how light fades, lamp by lamp
//! - [`life`]: how long lamps live, whatever was censored or came in late
//! - [`belief`]: beliefs brought up to date by what was seen
//! - [`lots`]: which socket gets which lamp in a trial, drawn by lot
//! - [`score`]: how good past forecasts were

#![cfg_attr(test, allow(clippy::unwrap_used, reason = "a test that fails may panic"))]

pub mod belief;
pub mod fading;
pub mod fit;
pub mod life;
pub mod lots;
pub mod score;
