//! `workbook`: a spreadsheet for the accountant that follows prices and the discount rate.

use std::sync::atomic::Ordering;

use clap::Args;
use decide::workbook::{WorkbookOrder, WorkbookOrigin, workbook as work_out};
use engine::Progress;

use crate::answer::{Folder, Given};
use crate::args::{Answer, Luck, Which};
use crate::cash::reference_of;
use crate::failure::Failure;
use crate::relamp::contract_of;
use crate::run::{INTERRUPTED, progress_bar, stop_on_interrupt};
use crate::scene;

/// Options of `workbook`.
#[derive(Debug, Args)]
pub struct Workbook {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// Price everything under this contract: its name. The first one when absent.
    #[arg(long, value_name = "NAME")]
    pub contract: Option<String>,
    /// The option with which the others are compared: its name, or the first word of it. The first one when absent.
    #[arg(long, value_name = "NAME")]
    pub reference: Option<String>,
    /// Trials: possible futures behind what is called simulated.
    #[arg(long, default_value_t = 4_000, value_parser = clap::value_parser!(u64).range(2..=1_000_000))]
    pub trials: u64,
    /// The luck that is lived.
    #[command(flatten)]
    pub luck: Luck,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

/// Does it; the number returned is the exit code.
pub fn workbook(asked: &Workbook) -> Result<u8, Failure> {
    let scene = scene::load(&asked.which)?;
    let plan = &scene.plan;
    let order = WorkbookOrder {
        contract: contract_of(plan, asked.contract.as_deref())?,
        reference: reference_of(plan, asked.reference.as_deref())?,
    };
    let folder = Folder::open(&asked.answer, &asked.which, "workbook")?;
    let stop = stop_on_interrupt();
    let bar = progress_bar(asked.trials);
    let origin = WorkbookOrigin {
        program: env!("CARGO_PKG_VERSION").into(),
        input_digest: scene.input_digest.clone(),
        what_ifs: scene.what_ifs.clone(),
    };
    let settings = asked.luck.settings(asked.trials);
    let report = work_out(plan, &order, &settings, origin, &stop, &mut |progress: Progress| {
        bar.set_length(progress.most);
        bar.set_position(progress.done);
    })
    .map_err(Failure::WrongUse)?;
    bar.finish_and_clear();
    let background = scene.background();
    let mut given = Given::alone(&report, Some(&background));
    given.told.push_str("; workbook.xlsx follows prices and the discount rate");
    folder.hand_over(given)?;
    Ok(if stop.load(Ordering::Relaxed) { INTERRUPTED } else { 0 })
}
