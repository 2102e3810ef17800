//! `drivers`: which inputs move the lead, which can change the winner, and what knowing them is worth.

use std::sync::atomic::Ordering;

use clap::Args;
use decide::World;
use decide::drivers::{DriversOrder, drivers as ask};
use engine::Progress;

use crate::answer::{Folder, Given};
use crate::args::{Answer, Luck, Which};
use crate::bill::option_of;
use crate::breakeven::By;
use crate::failure::Failure;
use crate::relamp::contract_of;
use crate::run::{INTERRUPTED, progress_bar, stop_on_interrupt};
use crate::scene;

/// Options of `drivers`.
#[derive(Debug, Args)]
pub struct Drivers {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// Only these options compete: the name, or the first word of it. Repeatable; all options when absent.
    #[arg(long = "option", value_name = "NAME")]
    pub options: Vec<String>,
    /// Under this contract: its name. The first one when absent.
    #[arg(long, value_name = "NAME")]
    pub contract: Option<String>,
    /// What is compared: the cost of a mole, or the whole room as written, however much light it gives.
    #[arg(long, value_enum, default_value_t = By::Mole)]
    pub by: By,
    /// Rooms for which the choice is made: money is that of so many.
    #[arg(long, default_value_t = 1, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    pub rooms: u32,
    /// Trials: possible futures that are lived for every question.
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
pub fn drivers(drivers: &Drivers) -> Result<u8, Failure> {
    let scene = scene::load(&drivers.which)?;
    let plan = &scene.plan;
    let order = DriversOrder {
        options: competing(plan, &drivers.options)?,
        contract: contract_of(plan, drivers.contract.as_deref())?,
        measure: drivers.by.measure(),
        rooms: drivers.rooms,
    };
    let folder = Folder::open(&drivers.answer, &drivers.which, "drivers")?;
    let stop = stop_on_interrupt();
    let bar = progress_bar(drivers.trials);
    let world = World { form: &scene.form, plan, settings: drivers.luck.settings(drivers.trials), stop: &stop };
    let report = ask(&world, &order, env!("CARGO_PKG_VERSION"), &mut |progress: Progress| {
        bar.set_length(progress.most);
        bar.set_position(progress.done);
    })
    .map_err(Failure::WrongUse)?;
    bar.finish_and_clear();
    folder.hand_over(Given::alone(&report, Some(&scene.background())))?;
    Ok(if stop.load(Ordering::Relaxed) { INTERRUPTED } else { 0 })
}

/// Indices of options by their names, each once; all when none is named.
pub fn competing(plan: &plan::Plan, names: &[String]) -> Result<Vec<usize>, Failure> {
    if names.is_empty() {
        return Ok((0..plan.options.len()).collect());
    }
    let named: Result<Vec<usize>, Failure> = names.iter().map(|name| option_of(plan, Some(name))).collect();
    let mut named = named?;
    named.sort_unstable();
    named.dedup();
    Ok(named)
}
