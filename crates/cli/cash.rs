//! `cash`: dated cash flows, and what they come to; or what a row of pasted amounts comes to.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::atomic::Ordering;

use clap::{Args, ValueEnum};
use decide::cash::{CashOrder, Shown, cash as work_out, pasted, read_amounts};
use decide::cash_report::Lives;
use engine::Progress;
use plan::Plan;

use crate::answer::{Folder, Given};
use crate::args::{Answer, Form, Luck, Which};
use crate::bill::option_of;
use crate::failure::Failure;
use crate::files::{self, Outputs};
use crate::relamp::contract_of;
use crate::run::{INTERRUPTED, progress_bar, stop_on_interrupt};
use crate::{parse, scene, terminal};

/// Largest file of amounts, bytes.
const LARGEST: usize = 1 << 20;
/// Discount rate of pasted amounts unless another is given.
const USUAL_RATE: f64 = 0.08;

/// Options of `cash`.
#[derive(Debug, Args)]
pub struct Cash {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// Price everything under this contract: its name. The first one when absent.
    #[arg(long, value_name = "NAME")]
    pub contract: Option<String>,
    /// The option with which the others are compared: its name, or the first word of it. The first one when absent.
    #[arg(long, value_name = "NAME")]
    pub reference: Option<String>,
    /// Kind of money in which amounts are shown; net present values are the same in all.
    #[arg(long, value_enum, default_value_t = Kind::AsWritten)]
    pub basis: Kind,
    /// General inflation a year, such as 2%: needed where a real scenario is shown as nominal, or has tax or a loan.
    #[arg(long, value_name = "RATE", value_parser = parse::rate, allow_hyphen_values = true)]
    pub inflation: Option<f64>,
    /// What becomes of fixtures whose service does not end with the horizon; `fixture.lasts` says how long it is.
    #[arg(long, value_enum, default_value_t = Left::Horizon)]
    pub lives: Left,
    /// Trials: possible futures that every option lives through.
    #[arg(long, default_value_t = 2_000, value_parser = clap::value_parser!(u64).range(2..=1_000_000))]
    pub trials: u64,
    /// No scenario but a row of amounts (CSV): one a line for years 0, 1, 2 …, or years,amount; a line of names may stand above.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["scenario", "sets", "patches", "contract", "reference", "basis", "inflation", "lives", "trials", "seed", "threads"])]
    pub flows: Option<PathBuf>,
    /// With --flows: discount rate a year, such as 6%; 8% when absent.
    #[arg(long, value_name = "RATE", value_parser = parse::rate, allow_hyphen_values = true)]
    pub rate: Option<f64>,
    /// With --flows: rate a year at which what comes in is reinvested; the discount rate when absent.
    #[arg(long, value_name = "RATE", value_parser = parse::rate, allow_hyphen_values = true)]
    pub reinvest: Option<f64>,
    /// The luck that is lived.
    #[command(flatten)]
    pub luck: Luck,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

/// Kind of money.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum Kind {
    /// As the scenario is written.
    AsWritten,
    /// Money of the start month.
    Real,
    /// Money of the day it is paid.
    Nominal,
}

/// What becomes of fixtures whose service does not end with the horizon.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum Left {
    /// All end with it; only `fixture.worth_at_end` is left.
    Horizon,
    /// What lasts longer is worth the straight-line rest of its price.
    Residual,
    /// The outlay is borne in equal yearly amounts over the service.
    Annual,
}

/// Does it; the number returned is the exit code.
pub fn cash(cash: &Cash) -> Result<u8, Failure> {
    if let Some(file) = &cash.flows {
        return flows(cash, file).map(|()| 0);
    }
    if cash.rate.is_some() || cash.reinvest.is_some() {
        let message = "--rate and --reinvest go with --flows; a scenario has its own money.discount_rate";
        return Err(Failure::WrongUse(message.into()));
    }
    let scene = scene::load(&cash.which)?;
    let plan = &scene.plan;
    let order = CashOrder {
        contract: contract_of(plan, cash.contract.as_deref())?,
        reference: reference_of(plan, cash.reference.as_deref())?,
        shown: match cash.basis {
            Kind::AsWritten => Shown::AsWritten,
            Kind::Real => Shown::Real,
            Kind::Nominal => Shown::Nominal,
        },
        inflation: cash.inflation,
        lives: match cash.lives {
            Left::Horizon => Lives::Horizon,
            Left::Residual => Lives::Residual,
            Left::Annual => Lives::Annual,
        },
    };
    let folder = Folder::open(&cash.answer, &cash.which, "cash")?;
    let stop = stop_on_interrupt();
    let bar = progress_bar(cash.trials);
    let settings = cash.luck.settings(cash.trials);
    let report = work_out(plan, &order, &settings, env!("CARGO_PKG_VERSION"), &stop, &mut |progress: Progress| {
        bar.set_length(progress.most);
        bar.set_position(progress.done);
    })
    .map_err(Failure::WrongUse)?;
    bar.finish_and_clear();
    folder.hand_over(Given::alone(&report, Some(&scene.background())))?;
    Ok(if stop.load(Ordering::Relaxed) { INTERRUPTED } else { 0 })
}

/// Index of the option with a name, or the first.
pub fn reference_of(plan: &Plan, name: Option<&str>) -> Result<usize, Failure> {
    option_of(plan, name).map_err(|failure| match failure {
        Failure::WrongUse(text) => Failure::WrongUse(text.replacen("--option", "--reference", 1)),
        other => other,
    })
}

/// Pasted amounts.
fn flows(cash: &Cash, file: &Path) -> Result<(), Failure> {
    let name = scenario::harmless(&file.to_string_lossy());
    let wrong = |what: String| Failure::WrongUse(format!("--flows {name}: {what}"));
    let text = files::read_page(file)?.text;
    if text.len() > LARGEST {
        return Err(wrong("it is larger than 1 MiB".into()));
    }
    let rows = read_amounts(&text).map_err(&wrong)?;
    let rate = cash.rate.unwrap_or(USUAL_RATE);
    let reinvest = cash.reinvest.unwrap_or(rate);
    let report = pasted(&rows, rate, reinvest, env!("CARGO_PKG_VERSION")).map_err(wrong)?;
    let json = render::json::pretty(&report);
    let page = match cash.answer.form() {
        Form::Json => json.clone(),
        Form::Markdown => render::answer::markdown(&report),
        Form::Terminal => render::answer::printed(&report, terminal::width(), terminal::color()),
    };
    if let Some(folder) = &cash.answer.out {
        let mut outputs = Outputs::new(folder);
        outputs.add("cash-flows.json", json)?;
        outputs.write()?;
    }
    let mut out = std::io::stdout().lock();
    writeln!(out, "{}", page.trim_end())?;
    out.flush()?;
    Ok(())
}
