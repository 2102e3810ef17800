//! Many trials: fixed batches on any number of threads, joined in order.

use std::ops::Range;
use std::sync::atomic::{AtomicBool, Ordering};

use plan::Plan;
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::ledger::Ledger;
use crate::live::{Living, live};
use crate::luck::Luck;
use crate::outcome::{Cell, LifeCell, Outcome, Sample, TWIN_EVERY};
use crate::price::{Priced, Pricing, price};

/// Trials that one thread does at a stretch.
pub const BATCH: u64 = 64;
/// Trials after which progress is told and the stop rule is asked. Fixed, so that a run ends at the same trial on any
/// machine.
pub const WAVE: u64 = 4096;
/// Most trials of a run.
pub const MAX_TRIALS: u64 = 10_000_000;
/// Most numbers that a run may keep (8 bytes each).
pub const MAX_RESULT_NUMBERS: u64 = 500_000_000;
/// Trials that are looked at more closely, at most.
const SAMPLED: u64 = 4096;
/// Numbers that the closer look may take, at most.
const SAMPLE_NUMBERS: u64 = 20_000_000;

/// How a run is to be done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Seed of every draw; 0 is a seed like any other.
    pub seed: u64,
    /// Most trials, 2 to [`MAX_TRIALS`].
    pub trials: u64,
    /// Threads; they change the time, not the answer.
    pub threads: usize,
    /// End as soon as the standard error of every mean levelized cost is at most this share of it.
    pub precision: Option<f64>,
}

/// How far a run is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Trials done.
    pub done: u64,
    /// Trials at most.
    pub most: u64,
}

/// Why a run ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Ended {
    /// The stated number of trials was done.
    Trials,
    /// The target standard error was met.
    Precision,
    /// It was interrupted.
    Interrupted,
}

/// A run that would not fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TooLarge {
    /// Numbers that it would keep.
    pub numbers: u64,
    /// Most trials that would fit.
    pub trials: u64,
}

/// Runs a plan. `stop` ends it after the batches at hand; what is done then is a whole run of fewer trials. `tell` hears
/// of progress on the calling thread.
///
/// # Errors
/// When the results would take too much memory.
pub fn run(
    plan: &Plan,
    settings: &Settings,
    stop: &AtomicBool,
    mut tell: impl FnMut(Progress),
) -> Result<(Outcome, Ended), TooLarge> {
    let per_trial = (plan.options.len() * (plan.contracts.len() + plan.clocks.len()) * 4) as u64;
    let numbers = per_trial.saturating_mul(settings.trials);
    if numbers > MAX_RESULT_NUMBERS {
        return Err(TooLarge { numbers, trials: MAX_RESULT_NUMBERS / per_trial });
    }
    let sampled = SAMPLED.min(SAMPLE_NUMBERS / (plan.options.len() * plan.months()).max(1) as u64).max(2);
    let threads = settings.threads.max(1);
    // without a pool of its own the run goes on in rayon's common one: slower or faster, never different
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().ok();

    let mut outcome = Outcome::new(plan);
    if settings.precision.is_none() {
        outcome.reserve(settings.trials);
    }
    let mut precision = Precision::new(plan);
    let mut ended = Ended::Trials;
    while outcome.trials < settings.trials {
        let first = outcome.trials;
        let last = (first + WAVE).min(settings.trials);
        let batches: Vec<Range<u64>> =
            (first..last).step_by(BATCH as usize).map(|from| from..(from + BATCH).min(last)).collect();
        let work = || -> Vec<Option<Outcome>> {
            batches
                .into_par_iter()
                .map_init(
                    || Worker::new(plan),
                    |worker, batch| {
                        (!stop.load(Ordering::Relaxed)).then(|| worker.batch(plan, settings.seed, batch, sampled))
                    },
                )
                .collect()
        };
        let done = match &pool {
            Some(pool) => pool.install(work),
            None => work(),
        };
        // an interrupted wave leaves gaps; only what comes before the first gap counts
        done.into_iter().map_while(|batch| batch).for_each(|batch| outcome.append(batch));
        tell(Progress { done: outcome.trials, most: settings.trials });
        if outcome.trials < last {
            ended = Ended::Interrupted;
            break;
        }
        if settings.precision.is_some_and(|share| precision.reached(&outcome, share)) {
            ended = Ended::Precision;
            break;
        }
        if stop.load(Ordering::Relaxed) && outcome.trials < settings.trials {
            ended = Ended::Interrupted;
            break;
        }
    }
    Ok((outcome, ended))
}

/// How well the mean levelized costs are known: for each option and contract Σ d and Σ d², d = cost − first trial's cost.
struct Precision {
    seen: usize,
    sums: Vec<(f64, f64)>,
}

impl Precision {
    fn new(plan: &Plan) -> Self {
        Self { seen: 0, sums: vec![(0.0, 0.0); plan.options.len() * plan.contracts.len()] }
    }

    /// Takes in the trials that are new; whether every standard error is within a share of its mean.
    fn reached(&mut self, outcome: &Outcome, share: f64) -> bool {
        let width = self.sums.len();
        for (k, cell) in outcome.cells.iter().enumerate().skip(self.seen) {
            let (sum, squares) = &mut self.sums[k % width];
            let d = cell.levelized - outcome.cells[k % width].levelized;
            *sum += d;
            *squares += d * d;
        }
        self.seen = outcome.cells.len();
        let n = outcome.trials as f64;
        self.sums.iter().zip(&outcome.cells).all(|((sum, squares), first)| {
            let variance = (squares - sum * sum / n).max(0.0) / (n - 1.0);
            (variance / n).sqrt() <= share * (first.levelized + sum / n).abs()
        })
    }
}

/// One thread's working memory.
struct Worker {
    luck: Luck,
    /// By option and clock.
    livings: Vec<Living>,
    /// By option and clock.
    ledgers: Vec<Ledger>,
    pricing: Pricing,
    priced: Priced,
}

impl Worker {
    fn new(plan: &Plan) -> Self {
        let pairs = plan.options.len() * plan.clocks.len();
        Self {
            luck: Luck::new(plan.options.iter().map(plan::OptionPlan::sockets).max().unwrap_or(0)),
            livings: vec![Living::default(); pairs],
            ledgers: vec![Ledger::default(); pairs],
            pricing: Pricing::default(),
            priced: Priced::default(),
        }
    }

    fn batch(&mut self, plan: &Plan, seed: u64, trials: Range<u64>, sampled: u64) -> Outcome {
        let mut outcome = Outcome::new(plan);
        let clocks = plan.clocks.len();
        let first_clock = plan.contracts.first().map_or(0, |contract| contract.clock);
        for trial in trials {
            let values = plan.inputs.draw(seed, trial);
            self.luck.turn_to(seed, trial);
            self.pricing.turn_to(plan, &values, seed, trial);
            for (o, option) in plan.options.iter().enumerate() {
                let mut new_flux = 0.0;
                for (c, clock) in plan.clocks.iter().enumerate() {
                    let at = o * clocks + c;
                    let ledger = &mut self.ledgers[at];
                    new_flux = live(option, clock, &values, &mut self.luck, &mut self.livings[at], ledger);
                    outcome.lives.push(LifeCell {
                        moles: ledger.moles.iter().sum(),
                        lamps_bought: ledger.lamps_bought() as f64,
                        failures: ledger.failures() as f64,
                        dark_hours: ledger.dark_hours,
                    });
                    if plan.ppfd_ceiling.is_some() {
                        outcome.useful_moles.push(ledger.useful_moles.iter().sum());
                    }
                }
                let ledger = &self.ledgers[o * clocks + first_clock];
                add_years(&mut outcome, o, ledger);
                if trial < sampled {
                    outcome.samples.push(look(plan, first_clock, ledger, new_flux));
                }
                for (k, contract) in plan.contracts.iter().enumerate() {
                    let ledger = &self.ledgers[o * clocks + contract.clock];
                    price(plan, k, o, &values, ledger, &mut self.pricing, &mut self.priced);
                    self.enter(&mut outcome, o * plan.contracts.len() + k, plan.ppfd_ceiling.is_some());
                }
            }
            if trial % TWIN_EVERY == 0 {
                self.live_again(plan, seed, trial, &values, &mut outcome);
            }
            outcome.trials += 1;
            outcome.sampled += u64::from(trial < sampled);
        }
        outcome
    }

    /// Lives and prices a trial once more, with the same inputs and other luck.
    fn live_again(&mut self, plan: &Plan, seed: u64, trial: u64, values: &[f64], outcome: &mut Outcome) {
        // any other seed would do; this one differs in half of its bits
        let other = seed ^ 0xA5A5_5A5A_C3C3_3C3C;
        let clocks = plan.clocks.len();
        self.luck.turn_to(other, trial);
        self.pricing.turn_to(plan, values, other, trial);
        for (o, option) in plan.options.iter().enumerate() {
            for (c, clock) in plan.clocks.iter().enumerate() {
                let at = o * clocks + c;
                live(option, clock, values, &mut self.luck, &mut self.livings[at], &mut self.ledgers[at]);
            }
            for (k, contract) in plan.contracts.iter().enumerate() {
                let ledger = &self.ledgers[o * clocks + contract.clock];
                price(plan, k, o, values, ledger, &mut self.pricing, &mut self.priced);
                outcome.twins.push(self.priced.levelized());
            }
        }
    }

    /// Enters what was priced last.
    fn enter(&self, outcome: &mut Outcome, at: usize, ceiling: bool) {
        let priced = &self.priced;
        if ceiling {
            outcome.useful_costs.push(priced.levelized_useful());
        }
        outcome.cells.push(Cell {
            levelized: priced.levelized(),
            plain: priced.plain(),
            total: priced.total.iter().sum(),
            present: priced.present.iter().sum(),
        });
        let tally = &mut outcome.tallies[at];
        for cause in 0..crate::CAUSES {
            tally.levelized[cause] += priced.present[cause] / priced.present_moles;
            tally.plain[cause] += priced.total[cause] / priced.moles;
            tally.present[cause] += priced.present[cause];
            tally.total[cause] += priced.total[cause];
        }
        tally.by_year.iter_mut().zip(&priced.by_year).for_each(|(sum, cost)| *sum += cost);
        tally.kwh += priced.kwh;
    }
}

fn by_year(months: &[u32]) -> impl Iterator<Item = f64> {
    months.chunks(12).map(|year| f64::from(year.iter().sum::<u32>()))
}

fn add_years(outcome: &mut Outcome, option: usize, ledger: &Ledger) {
    let years = &mut outcome.years[option];
    let add = |sums: &mut [f64], months: &[u32]| sums.iter_mut().zip(by_year(months)).for_each(|(s, n)| *s += n);
    add(&mut years.spot_lamps, &ledger.spot_lamps);
    add(&mut years.planned_lamps, &ledger.planned_lamps);
    add(&mut years.failures, &ledger.lamp_failures);
    add(&mut years.failures, &ledger.gear_failures);
}

/// A closer look at a lived ledger. A month without light keeps the share of the month before.
fn look(plan: &Plan, clock: usize, ledger: &Ledger, new_flux: f64) -> Sample {
    let clock = &plan.clocks[clock];
    let mut full = vec![0.0; clock.months()];
    for cell in &clock.cells {
        full[cell.month] += (cell.to - cell.from) * cell.flux * new_flux * 3600.0 * 1e-6;
    }
    let mut share = 1.0;
    let light = ledger
        .moles
        .iter()
        .zip(&full)
        .map(|(moles, full)| {
            if *full > 0.0 {
                share = moles / full;
            }
            share
        })
        .collect();
    let mut lamps: Vec<u32> = ledger.spot_lamps.iter().zip(&ledger.planned_lamps).map(|(a, b)| a + b).collect();
    lamps.iter_mut().zip(&ledger.broken_lamps).for_each(|(sum, broken)| *sum += broken);
    let both = |a: &[u32], b: &[u32]| by_year(a).zip(by_year(b)).map(|(a, b)| a + b).collect();
    Sample {
        new_flux,
        light,
        lamps: by_year(&lamps).collect(),
        failures: both(&ledger.lamp_failures, &ledger.gear_failures),
    }
}
