//! `relamp`: when to relamp, and with how many lamps.

use std::sync::atomic::Ordering;

use clap::Args;
use decide::relamp::{RelampOrder, relamp as search};
use engine::Progress;
use plan::Plan;

use crate::answer::{Folder, Given};
use crate::args::{Answer, Luck, Which};
use crate::bill::option_of;
use crate::failure::Failure;
use crate::run::{INTERRUPTED, progress_bar, stop_on_interrupt};
use crate::{parse, scene};

/// Options of `relamp`.
#[derive(Debug, Args)]
pub struct Relamp {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// Only this option: its name, or the first word of it. Repeatable; all options with lamps when absent.
    #[arg(long = "option", value_name = "NAME")]
    pub options: Vec<String>,
    /// Price everything under this contract: its name. The first one when absent.
    #[arg(long, value_name = "NAME")]
    pub contract: Option<String>,
    /// Call intervals equally good whose cost is within this share of the lowest, such as 1% or 0.01.
    #[arg(long, default_value = "1%", value_name = "SHARE", value_parser = parse::share)]
    pub within: f64,
    /// Weekday on which the crew comes: the best group relamps are moved to it as well.
    #[arg(long, value_name = "DAY", value_parser = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"])]
    pub crew_day: Option<String>,
    /// Check the simulation against the renewal equation, without random numbers, where that applies.
    #[arg(long)]
    pub exact: bool,
    /// Trials: possible futures that every policy and interval lives through.
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
pub fn relamp(relamp: &Relamp) -> Result<u8, Failure> {
    let scene = scene::load(&relamp.which)?;
    let plan = &scene.plan;
    let options: Result<Vec<usize>, Failure> = relamp.options.iter().map(|name| option_of(plan, Some(name))).collect();
    const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
    let day = |name: &str| DAYS.iter().position(|day| *day == name).and_then(|k| u8::try_from(k).ok());
    let order = RelampOrder {
        options: options?,
        contract: contract_of(plan, relamp.contract.as_deref())?,
        flat_within: relamp.within,
        crew_day: relamp.crew_day.as_deref().and_then(day),
        exact: relamp.exact,
        settings: relamp.luck.settings(relamp.trials),
    };
    let folder = Folder::open(&relamp.answer, &relamp.which, "relamp")?;
    let stop = stop_on_interrupt();
    let bar = progress_bar(relamp.trials);
    let report = search(plan, &order, env!("CARGO_PKG_VERSION"), &stop, |progress: Progress| {
        bar.set_length(progress.most);
        bar.set_position(progress.done);
    });
    bar.finish_and_clear();
    folder.hand_over(Given::alone(&report, Some(&scene.background())))?;
    Ok(if stop.load(Ordering::Relaxed) { INTERRUPTED } else { 0 })
}

/// Index of the contract with a name, or the first.
pub fn contract_of(plan: &Plan, name: Option<&str>) -> Result<usize, Failure> {
    let Some(name) = name else { return Ok(0) };
    plan.contracts.iter().position(|contract| contract.name == name).ok_or_else(|| {
        let quoted = |contract: &plan::ContractPlan| format!("\"{}\"", scenario::harmless(&contract.name));
        let names: Vec<String> = plan.contracts.iter().map(quoted).collect();
        Failure::WrongUse(format!("--contract \"{}\": one of {}", scenario::harmless(name), names.join(", ")))
    })
}
