//! Days and light windows on the room's clock, laid out over the whole horizon.
//!
//! Floor 1. Time zones come from a database bundled with the jiff crate, so every machine has the same. Durations are
//! real: a night across the spring change is an hour shorter than the clock says.

mod days;
mod guide;
mod photoperiod;
mod timeline;

pub use days::{Days, Run};
pub use guide::Guide;
pub use photoperiod::{BadPhotoperiod, Minute, Phase, Photoperiod, Timer, Window};
pub use timeline::{Month, Stretch, Timeline};
