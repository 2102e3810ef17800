//! `breakeven`: where two options tie.

use std::sync::atomic::Ordering;

use clap::{Args, ValueEnum};
use decide::World;
use decide::breakeven::{BreakevenOrder, breakeven as search};
use decide::breakeven_report::Measure;
use engine::Progress;

use crate::answer::{Folder, Given};
use crate::args::{Answer, Luck, Which};
use crate::bill::option_of;
use crate::failure::Failure;
use crate::parse::Asked;
use crate::relamp::contract_of;
use crate::run::{INTERRUPTED, progress_bar, stop_on_interrupt};
use crate::{parse, scene};

/// Options of `breakeven`.
#[derive(Debug, Args)]
pub struct Breakeven {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// The option whose lead is told: its name, or the first word of it.
    #[arg(long, value_name = "NAME")]
    pub option: String,
    /// The option that it is compared with.
    #[arg(long, value_name = "NAME")]
    pub against: String,
    /// The input to turn, with or without a range: B.life, A.lamp.price=20..90, cooling.cop, a JSON Pointer; electricity (all
    /// prices of the contract), hours (of light a day) or years (of the horizon). Repeatable.
    #[arg(long = "of", value_name = "INPUT[=FROM..TO]", required = true, value_parser = parse::asked)]
    pub of: Vec<Asked>,
    /// Only under this contract: its name. Repeatable; all contracts when absent.
    #[arg(long = "contract", value_name = "NAME")]
    pub contracts: Vec<String>,
    /// What is compared: the cost of a mole, or the whole room as written, however much light it gives.
    #[arg(long, value_enum, default_value_t = By::Mole)]
    pub by: By,
    /// Trials: possible futures that are lived at every value.
    #[arg(long, default_value_t = 4_000, value_parser = clap::value_parser!(u64).range(16..=200_000))]
    pub trials: u64,
    /// The luck that is lived.
    #[command(flatten)]
    pub luck: Luck,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

/// What options are compared by.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum By {
    /// Levelized cost of a delivered mole.
    Mole,
    /// Present value of the whole room as written.
    Room,
}

impl By {
    /// As the search takes it.
    pub fn measure(self) -> Measure {
        match self {
            Self::Mole => Measure::Mole,
            Self::Room => Measure::Room,
        }
    }
}

/// Does it; the number returned is the exit code.
pub fn breakeven(breakeven: &Breakeven) -> Result<u8, Failure> {
    let scene = scene::load(&breakeven.which)?;
    let plan = &scene.plan;
    let contracts: Result<Vec<usize>, Failure> = match &breakeven.contracts[..] {
        [] => Ok((0..plan.contracts.len()).collect()),
        names => names.iter().map(|name| contract_of(plan, Some(name))).collect(),
    };
    let order = BreakevenOrder {
        a: option_of(plan, Some(&breakeven.option))?,
        b: option_of(plan, Some(&breakeven.against))?,
        contracts: contracts?,
        inputs: breakeven.of.clone(),
        measure: breakeven.by.measure(),
    };
    let folder = Folder::open(&breakeven.answer, &breakeven.which, "breakeven")?;
    let stop = stop_on_interrupt();
    let bar = progress_bar(breakeven.trials);
    let world = World { form: &scene.form, plan, settings: breakeven.luck.settings(breakeven.trials), stop: &stop };
    let report = search(&world, &order, env!("CARGO_PKG_VERSION"), &mut |progress: Progress| {
        bar.set_length(progress.most);
        bar.set_position(progress.done);
    })
    .map_err(Failure::WrongUse)?;
    bar.finish_and_clear();
    folder.hand_over(Given::alone(&report, Some(&scene.background())))?;
    Ok(if stop.load(Ordering::Relaxed) { INTERRUPTED } else { 0 })
}
