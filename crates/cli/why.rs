//! `why`: the arithmetic of what an option costs, and why one option leads another.

use std::sync::atomic::Ordering;

use clap::Args;
use decide::why::{WhyOrder, why as explain};
use engine::Progress;

use crate::answer::{Folder, Given};
use crate::args::{Answer, Luck, Which};
use crate::bill::option_named;
use crate::failure::Failure;
use crate::relamp::contract_of;
use crate::run::{INTERRUPTED, progress_bar, stop_on_interrupt};
use crate::scene;

/// Options of `why`.
#[derive(Debug, Args)]
pub struct Why {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// The option: its name, or the first word of it.
    #[arg(long, value_name = "NAME")]
    pub option: String,
    /// Split its lead over this option into causes: its name, or the first word of it.
    #[arg(long, value_name = "NAME")]
    pub against: Option<String>,
    /// Price everything under this contract: its name. The first one when absent.
    #[arg(long, value_name = "NAME")]
    pub contract: Option<String>,
    /// Trials: possible futures that the options live through.
    #[arg(long, default_value_t = 4_000, value_parser = clap::value_parser!(u64).range(16..=200_000))]
    pub trials: u64,
    /// The luck that is lived.
    #[command(flatten)]
    pub luck: Luck,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

/// Does it; the number returned is the exit code.
pub fn why(why: &Why) -> Result<u8, Failure> {
    let scene = scene::load(&why.which)?;
    let plan = &scene.plan;
    let order = WhyOrder {
        option: option_named(plan, "--option", &why.option)?,
        against: why.against.as_ref().map(|name| option_named(plan, "--against", name)).transpose()?,
        contract: contract_of(plan, why.contract.as_deref())?,
        settings: why.luck.settings(why.trials),
    };
    let folder = Folder::open(&why.answer, &why.which, "why")?;
    let stop = stop_on_interrupt();
    let bar = progress_bar(why.trials);
    let report =
        explain(plan, &order, env!("CARGO_PKG_VERSION"), &stop, |progress: Progress| bar.set_position(progress.done));
    bar.finish_and_clear();
    folder.hand_over(Given::alone(&report, Some(&scene.background())))?;
    Ok(if stop.load(Ordering::Relaxed) { INTERRUPTED } else { 0 })
}
