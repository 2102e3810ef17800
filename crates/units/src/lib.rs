//! Quantities of light, power and time, and the units in which people write them.
//!
//! Floor 0: everything stands on this crate and it stands on nothing. A unit is a type, its number is private and every
//! conversion has one name. There is no "PPFD per watt" here: it lacks the area, so it is not an efficacy.

mod quantity;
mod written;

pub use quantity::{Area, Efficacy, Energy, Hours, Moles, PhotonFlux, Power, Ppfd, SECONDS_PER_HOUR};
pub use written::{Dimension, Per, UnknownUnit};
