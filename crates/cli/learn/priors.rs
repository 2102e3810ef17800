//! `learn priors`: beliefs to begin with.

use clap::Args;
use decide::life_priors::PriorsReport;

use crate::failure::Failure;
use crate::terminal;

/// Options of `learn priors`.
#[derive(Debug, Args)]
pub struct Priors {
    /// Print them as JSON, each as a life or a component that can stand in a scenario.
    #[arg(long)]
    pub json: bool,
}

/// Prints them.
pub fn priors(priors: &Priors) -> Result<(), Failure> {
    let all = PriorsReport::new(env!("CARGO_PKG_VERSION"));
    let text = if priors.json {
        render::json::pretty(&all)
    } else {
        render::learn_life::priors(&all.priors, terminal::width()).printed(terminal::color())
    };
    crate::print(text.as_bytes())
}
