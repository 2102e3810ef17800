//! One lamp: how its light fades and when it dies.
//!
//! Floor 1. Pure models without luck: the engine hands in the draws.

mod life;
mod maintenance;

pub use life::{StartWear, Weibull};
pub use maintenance::{BadTable, Maintenance};
