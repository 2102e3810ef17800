//! `stage`: buy one option now, decide about another at a later relamp.

use std::sync::atomic::Ordering;

use clap::Args;
use decide::World;
use decide::stage::{StageOrder, stage as weigh};
use engine::Progress;

use crate::answer::{Folder, Given};
use crate::args::{Answer, Luck, Which};
use crate::bill::option_of;
use crate::failure::Failure;
use crate::relamp::contract_of;
use crate::run::{INTERRUPTED, progress_bar, stop_on_interrupt};
use crate::scene;

/// Options of `stage`.
#[derive(Debug, Args)]
pub struct Stage {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// The option that is bought now: its name, or the first word of it.
    #[arg(long, value_name = "NAME")]
    pub now: String,
    /// The option that may follow it: its name, or the first word of it.
    #[arg(long, value_name = "NAME")]
    pub later: String,
    /// Whole years until the change, fewer than the horizon.
    #[arg(long, value_name = "YEARS", value_parser = clap::value_parser!(u32).range(1..=100))]
    pub after: u32,
    /// Lamps of the later option that hang in the room from the start and are watched; 0 for none.
    #[arg(long, default_value_t = 4, value_name = "N", value_parser = clap::value_parser!(u32).range(0..=200))]
    pub watch: u32,
    /// The later option's lamps go into the fixtures that hang already.
    #[arg(long)]
    pub keep_fixtures: bool,
    /// Under this contract: its name. The first one when absent.
    #[arg(long, value_name = "NAME")]
    pub contract: Option<String>,
    /// Rooms for which the choice is made: money is that of so many.
    #[arg(long, default_value_t = 1, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    pub rooms: u32,
    /// Trials: possible futures in which both stages are lived.
    #[arg(long, default_value_t = 4_000, value_parser = clap::value_parser!(u64).range(100..=200_000))]
    pub trials: u64,
    /// The luck that is lived.
    #[command(flatten)]
    pub luck: Luck,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

/// Does it; the number returned is the exit code.
pub fn stage(stage: &Stage) -> Result<u8, Failure> {
    let scene = scene::load(&stage.which)?;
    let plan = &scene.plan;
    let named = |argument: &str, name: &str| {
        option_of(plan, Some(name)).map_err(|failure| match failure {
            Failure::WrongUse(message) => Failure::WrongUse(message.replacen("--option", argument, 1)),
            other => other,
        })
    };
    let order = StageOrder {
        now: named("--now", &stage.now)?,
        later: named("--later", &stage.later)?,
        after_years: stage.after,
        watch: stage.watch,
        keep_fixtures: stage.keep_fixtures,
        contract: contract_of(plan, stage.contract.as_deref())?,
        rooms: stage.rooms,
    };
    let folder = Folder::open(&stage.answer, &stage.which, "stage")?;
    let stop = stop_on_interrupt();
    let bar = progress_bar(stage.trials);
    let world = World { form: &scene.form, plan, settings: stage.luck.settings(stage.trials), stop: &stop };
    let report = weigh(&world, &order, env!("CARGO_PKG_VERSION"), &mut |progress: Progress| {
        bar.set_length(progress.most);
        bar.set_position(progress.done);
    })
    .map_err(Failure::WrongUse)?;
    bar.finish_and_clear();
    folder.hand_over(Given::alone(&report, Some(&scene.background())))?;
    Ok(if stop.load(Ordering::Relaxed) { INTERRUPTED } else { 0 })
}
