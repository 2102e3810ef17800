//! One lamp: how its light fades, how dirt dims it, and when it dies.
//!
//! Floor 1. Pure models without luck: the engine hands in the draws.

mod dirt;
mod life;
mod maintenance;
mod quadrature;
mod starts;
mod survival;
mod table;

pub use dirt::Dirt;
pub use life::{Early, Life, WearOut};
pub use maintenance::Maintenance;
pub use quadrature::{NODES, over};
pub use starts::{StartWear, fitted_start_cost};
pub use survival::{BadSurvival, SurvivalTable, Weibull};
pub use table::{BadTable, Table};
