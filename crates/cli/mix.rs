//! `mix`: several options in one room.

use std::sync::atomic::Ordering;

use clap::Args;
use decide::World;
use decide::mix::{MixOrder, OPTIONS, mix as blend};
use engine::Progress;

use crate::answer::{Folder, Given};
use crate::args::{Answer, Luck, Which};
use crate::drivers::competing;
use crate::failure::Failure;
use crate::relamp::contract_of;
use crate::run::{INTERRUPTED, progress_bar, stop_on_interrupt};
use crate::scene;

/// Options of `mix`.
#[derive(Debug, Args)]
pub struct MixWish {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// An option that is mixed, two to four of them: the name, or the first word of it. All options when absent, if they
    /// are no more.
    #[arg(long = "option", value_name = "NAME")]
    pub options: Vec<String>,
    /// Parts into which the light is divided: shares are whole numbers of them.
    #[arg(long, default_value_t = 10, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1000))]
    pub parts: u32,
    /// Under this contract: its name. The first one when absent.
    #[arg(long, value_name = "NAME")]
    pub contract: Option<String>,
    /// Rooms for which the choice is made: money is that of so many.
    #[arg(long, default_value_t = 1, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    pub rooms: u32,
    /// Trials: possible futures in which every option is lived.
    #[arg(long, default_value_t = 10_000, value_parser = clap::value_parser!(u64).range(100..=200_000))]
    pub trials: u64,
    /// The luck that is lived.
    #[command(flatten)]
    pub luck: Luck,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

/// Does it; the number returned is the exit code.
pub fn mix(mix: &MixWish) -> Result<u8, Failure> {
    let scene = scene::load(&mix.which)?;
    let plan = &scene.plan;
    let options = competing(plan, &mix.options)?;
    if !(OPTIONS.0..=OPTIONS.1).contains(&options.len()) {
        let (least, most) = OPTIONS;
        return Err(Failure::WrongUse(format!(
            "{} to mix; {least} to {most} are allowed: name them with --option",
            if options.len() == 1 { "1 option".to_owned() } else { format!("{} options", options.len()) }
        )));
    }
    let order =
        MixOrder { options, parts: mix.parts, contract: contract_of(plan, mix.contract.as_deref())?, rooms: mix.rooms };
    let folder = Folder::open(&mix.answer, &mix.which, "mix")?;
    let stop = stop_on_interrupt();
    let bar = progress_bar(mix.trials);
    let world = World { form: &scene.form, plan, settings: mix.luck.settings(mix.trials), stop: &stop };
    let report = blend(&world, &order, env!("CARGO_PKG_VERSION"), &mut |progress: Progress| {
        bar.set_length(progress.most);
        bar.set_position(progress.done);
    })
    .map_err(Failure::WrongUse)?;
    bar.finish_and_clear();
    folder.hand_over(Given::alone(&report, Some(&scene.background())))?;
    Ok(if stop.load(Ordering::Relaxed) { INTERRUPTED } else { 0 })
}
