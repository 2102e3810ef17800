//! `run`: simulate, tell, write.

use std::io::IsTerminal;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use clap::Args;
use decide::background::Background;
use decide::result::RunResult;
use decide::{Provenance, summarize};
use engine::{Ended, Outcome, Progress, Settings};
use indicatif::{ProgressBar, ProgressStyle};
use plan::Plan;
use render::table::{TrialNumbers, TrialTable, trials_header};

use crate::answer::{Folder, Given, Written};
use crate::args::{Answer, Luck, Which};
use crate::failure::Failure;
use crate::files;
use crate::{dossier, parse, scene, terminal};

/// Options of `run`.
#[derive(Debug, Args)]
pub struct Run {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// Trials: possible futures to live through, at most.
    #[arg(long, default_value_t = 10_000, value_parser = clap::value_parser!(u64).range(2..=engine::MAX_TRIALS))]
    pub trials: u64,
    /// Stop earlier, once the standard error of every mean cost per mole is within this share of it, such as 0.1% or
    /// 0.001. Asked every 4096 trials.
    #[arg(long, value_name = "SHARE", value_parser = parse::share)]
    pub precision: Option<f64>,
    /// The luck that is lived.
    #[command(flatten)]
    pub luck: Luck,
    /// Write the first N trials to trials.csv; 0 for none.
    #[arg(long, default_value_t = 2_000, value_name = "N", value_parser = clap::value_parser!(u64).range(0..=200_000))]
    pub draws: u64,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

/// Does it; the number returned is the exit code.
pub fn run(run: &Run) -> Result<u8, Failure> {
    let scene = scene::load(&run.which)?;
    let plan = &scene.plan;
    let folder = Folder::of_run(&run.answer, run.which.scenario.as_deref())?;
    let settings = Settings { precision: run.precision, ..run.luck.settings(run.trials) };
    let stop = stop_on_interrupt();
    let bar = progress_bar(settings.trials);
    let (outcome, ended) = engine::run(plan, &settings, &stop, |progress: Progress| bar.set_position(progress.done))
        .map_err(|large| {
            Failure::WrongUse(format!(
                "--trials {}: the results would take {:.1} GB; at most {} trials fit for this scenario",
                run.trials,
                large.numbers as f64 * 8e-9,
                large.trials
            ))
        })?;
    bar.finish_and_clear();
    if outcome.trials < 2 {
        terminal::tell("interrupted before two trials were done: nothing is written\n");
        return Ok(INTERRUPTED);
    }
    let provenance = Provenance {
        program: env!("CARGO_PKG_VERSION").into(),
        input_digest: scene.input_digest.clone(),
        seed: run.luck.seed,
        what_ifs: scene.what_ifs.clone(),
    };
    let result = summarize(plan, &outcome, ended, provenance);
    let background = Background::of_run(&result);
    let beside = dossier::further(run, &scene, &result, &stop)?;
    let mut given = Given::alone(&result, Some(&background));
    given.beside = beside.iter().map(|answer| (answer.as_ref(), Some(&background))).collect();
    if run.draws > 0 {
        given.further.push(("trials.csv".into(), trials_csv(&result, plan, &outcome, run.draws)));
    }
    if let (Some(share), Ended::Trials) = (run.precision, ended) {
        let percent = (share * 1e8).round() / 1e6;
        given.told.push_str(&format!("\nThe precision of {percent} % was not reached; --trials is the limit"));
    }
    let Written { folder, files: written } = folder.hand_over(given)?;
    let strangers = files::others(&folder, &written);
    if let Some(first) = strangers.first() {
        let (count, folder) = (strangers.len(), scenario::harmless(&folder.to_string_lossy()));
        let note = format!("note: files in {folder}/ that are not part of this result: {count}, such as {first}\n");
        terminal::tell(&note);
    }
    Ok(if ended == Ended::Interrupted { INTERRUPTED } else { 0 })
}

/// Exit code of an interrupted run whose results were written.
pub const INTERRUPTED: u8 = 130;

pub fn processors() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from)
}

/// Raised by the first Ctrl-C; a second one ends the program at once.
pub fn stop_on_interrupt() -> Arc<AtomicBool> {
    let stop = Arc::new(AtomicBool::new(false));
    let raised = Arc::clone(&stop);
    let handler = move || {
        if raised.swap(true, Ordering::Relaxed) {
            std::process::exit(i32::from(INTERRUPTED));
        }
        terminal::tell("\nstopping; what is done is being written (Ctrl-C again ends at once, without files)\n");
    };
    // without a handler Ctrl-C ends the program the usual way; nothing is half-written then either
    drop(ctrlc::set_handler(handler));
    stop
}

/// A bar on a terminal, nothing in a pipe.
pub fn progress_bar(trials: u64) -> ProgressBar {
    if !std::io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let style = ProgressStyle::with_template("{bar:30} {human_pos} of {human_len} trials, {per_sec}, {eta} left")
        .unwrap_or_else(|_| ProgressStyle::default_bar());
    ProgressBar::new(trials).with_style(style)
}

fn trials_csv(result: &RunResult, plan: &Plan, outcome: &Outcome, draws: u64) -> String {
    let options: Vec<String> = plan.options.iter().map(|option| option.name.clone()).collect();
    let contracts: Vec<String> = plan.contracts.iter().map(|contract| contract.name.clone()).collect();
    let table = TrialTable::new(&options, &contracts);
    let mut text = trials_header(&result.method.currency, &result.method.basis);
    for trial in 0..outcome.trials.min(draws) as usize {
        for o in 0..options.len() {
            for (c, contract) in plan.contracts.iter().enumerate() {
                let (cost, life) = (outcome.cell(trial, o, c), outcome.life(trial, o, contract.clock));
                let numbers = TrialNumbers {
                    levelized: cost.levelized,
                    plain: cost.plain,
                    total: cost.total,
                    present_value: cost.present,
                    moles: life.moles,
                    lamps_bought: life.lamps_bought,
                    failures: life.failures,
                    dark_h: life.dark_hours,
                };
                table.write_row(&mut text, trial as u64, o, c, &numbers);
            }
        }
    }
    text
}
