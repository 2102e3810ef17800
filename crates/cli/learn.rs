//! `learn`: what one's own records say, as parts of a scenario. Each record has a command of its own below.

use clap::{ArgMatches, Args, Subcommand};

use crate::failure::Failure;

pub mod fading;

/// Options of `learn`.
#[derive(Debug, Args)]
pub struct Learn {
    /// From which record.
    #[command(subcommand)]
    pub from: From,
}

/// From which record.
#[derive(Debug, Subcommand)]
pub enum From {
    /// How light fades, from readings of lamps over burn hours: curve, intervals, spread between lamps, maintenance.json.
    Fading(fading::Fading),
}

impl Learn {
    /// Puts what-ifs in the order in which they were typed.
    pub fn order(&mut self, matches: &ArgMatches) {
        let Some((_, matches)) = matches.subcommand() else { return };
        match &mut self.from {
            From::Fading(fading) => fading.which.order(matches),
        }
    }
}

/// Does it.
pub fn learn(learn: &Learn) -> Result<(), Failure> {
    match &learn.from {
        From::Fading(fading) => fading::fading(fading),
    }
}
