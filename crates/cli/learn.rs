//! `learn`: what one's own records say of lamps, as parts that go straight back into a scenario. Each record has a command of
//! its own below.

mod fading;
mod life;
mod priors;

use clap::{ArgMatches, Args, Subcommand};

use crate::failure::Failure;

/// Options of `learn`.
#[derive(Debug, Args)]
pub struct Learn {
    /// From which record.
    #[command(subcommand)]
    pub from: LearnFrom,
}

/// Records that say something.
#[derive(Debug, Subcommand)]
pub enum LearnFrom {
    /// How light fades, from readings of lamps over burn hours: curve, intervals, spread between lamps, maintenance.json.
    Fading(fading::Fading),
    /// How long lamps live, from burn logs: what they say, and the scenario's belief brought up to date by them, life.json.
    Life(life::Life),
    /// Print beliefs about lives to begin with, by technology, where nothing better is known.
    Priors(priors::Priors),
}

impl Learn {
    /// Puts what-ifs in the order in which they were typed.
    pub fn order(&mut self, matches: &ArgMatches) {
        let Some((_, matches)) = matches.subcommand() else { return };
        match &mut self.from {
            LearnFrom::Fading(fading) => fading.which.order(matches),
            LearnFrom::Life(life) => life.which.order(matches),
            LearnFrom::Priors(_) => {}
        }
    }
}

/// Does it; the number returned is the exit code.
pub fn learn(learn: &Learn) -> Result<u8, Failure> {
    match &learn.from {
        LearnFrom::Fading(fading) => fading::fading(fading).map(|()| 0),
        LearnFrom::Life(life) => life::life(life),
        LearnFrom::Priors(priors) => priors::priors(priors).map(|()| 0),
    }
}
