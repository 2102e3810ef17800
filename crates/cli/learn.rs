//! `learn`: what data say of lamps, as parts that go straight back into a scenario.

mod life;
mod priors;

use clap::{ArgMatches, Args, Subcommand};

use crate::failure::Failure;

/// Options of `learn`.
#[derive(Debug, Args)]
pub struct Learn {
    /// From which data.
    #[command(subcommand)]
    pub from: LearnFrom,
}

/// Data that say something.
#[derive(Debug, Subcommand)]
pub enum LearnFrom {
    /// Burn logs: what they say of a lamp's life, and the scenario's belief brought up to date by them.
    Life(life::Life),
    /// Print beliefs about lives to begin with, by technology, where nothing better is known.
    Priors(priors::Priors),
}

impl Learn {
    /// Puts the what-ifs of the command in the order in which they were given.
    pub fn order(&mut self, matches: &ArgMatches) {
        let Some((_, matches)) = matches.subcommand() else { return };
        match &mut self.from {
            LearnFrom::Life(life) => life.which.order(matches),
            LearnFrom::Priors(_) => {}
        }
    }
}

/// Does it; the number returned is the exit code.
pub fn learn(learn: &Learn) -> Result<u8, Failure> {
    match &learn.from {
        LearnFrom::Life(life) => life::life(life),
        LearnFrom::Priors(priors) => priors::priors(priors).map(|()| 0),
    }
}
