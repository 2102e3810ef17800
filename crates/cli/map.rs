//! `map`: who wins where, over two inputs.

use std::sync::atomic::Ordering;

use clap::Args;
use decide::World;
use decide::map::{MapOrder, map as draw};
use engine::Progress;

use crate::answer::{Folder, Given};
use crate::args::{Answer, Luck, Which};
use crate::breakeven::By;
use crate::drivers::competing;
use crate::failure::Failure;
use crate::parse::Asked;
use crate::relamp::contract_of;
use crate::run::{INTERRUPTED, progress_bar, stop_on_interrupt};
use crate::{parse, scene};

/// Options of `map`.
#[derive(Debug, Args)]
pub struct WinnerMap {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// The input to the right, with or without a range, named as for `breakeven`.
    #[arg(long, value_name = "INPUT[=FROM..TO]", value_parser = parse::asked)]
    pub x: Asked,
    /// The input upwards.
    #[arg(long, value_name = "INPUT[=FROM..TO]", value_parser = parse::asked)]
    pub y: Asked,
    /// Only these options compete: the name, or the first word of it. Repeatable; all options when absent.
    #[arg(long = "option", value_name = "NAME")]
    pub options: Vec<String>,
    /// Under this contract: its name. The first one when absent.
    #[arg(long, value_name = "NAME")]
    pub contract: Option<String>,
    /// What is compared: the cost of a mole, or the whole room as written, however much light it gives.
    #[arg(long, value_enum, default_value_t = By::Mole)]
    pub by: By,
    /// Cells in each direction; when absent 60, or 24 where every cell must be lived or priced by itself.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(2..=200))]
    pub steps: Option<u16>,
    /// Trials: possible futures that are lived at every point.
    #[arg(long, default_value_t = 1_000, value_parser = clap::value_parser!(u64).range(16..=200_000))]
    pub trials: u64,
    /// The luck that is lived.
    #[command(flatten)]
    pub luck: Luck,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

/// Does it; the number returned is the exit code.
pub fn map(map: &WinnerMap) -> Result<u8, Failure> {
    let scene = scene::load(&map.which)?;
    let plan = &scene.plan;
    let order = MapOrder {
        options: competing(plan, &map.options)?,
        contract: contract_of(plan, map.contract.as_deref())?,
        x: map.x.clone(),
        y: map.y.clone(),
        steps: map.steps.map(usize::from),
        measure: map.by.measure(),
    };
    let folder = Folder::open(&map.answer, &map.which, "map")?;
    let stop = stop_on_interrupt();
    let bar = progress_bar(map.trials);
    let world = World { form: &scene.form, plan, settings: map.luck.settings(map.trials), stop: &stop };
    let report = draw(&world, &order, env!("CARGO_PKG_VERSION"), &mut |progress: Progress| {
        bar.set_length(progress.most);
        bar.set_position(progress.done);
    })
    .map_err(Failure::WrongUse)?;
    bar.finish_and_clear();
    folder.hand_over(Given::alone(&report, Some(&scene.background())))?;
    Ok(if stop.load(Ordering::Relaxed) { INTERRUPTED } else { 0 })
}
