//! One option kept in many ways, all on the same luck.

use std::sync::atomic::{AtomicBool, Ordering};

use plan::{OptionPlan, Plan};
use rayon::prelude::*;

use crate::ledger::Ledger;
use crate::live::{Living, live};
use crate::luck::Luck;
use crate::price::{Priced, Pricing, price_kept};
use crate::run::{Progress, Settings};

/// Trials that one thread does at a stretch.
const BATCH: u64 = 16;
/// Trials between two looks at the stop flag.
const WAVE: u64 = 256;

/// Which option under which contract, and with which inputs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// Index of the option.
    pub option: usize,
    /// Index of the contract.
    pub contract: usize,
    /// Whether every input is held at its median, so that trials differ by the luck of lamps alone.
    pub medians: bool,
}

/// What may be looked at after one way of keeping was lived and priced in one trial.
#[derive(Debug, Clone, Copy)]
pub struct Looked<'a> {
    /// Index of the way.
    pub way: usize,
    /// What was lived.
    pub ledger: &'a Ledger,
    /// What it came to.
    pub priced: &'a Priced,
    /// Discount factors by month.
    pub discount: &'a [f64],
    /// General price levels by month.
    pub level: &'a [f64],
}

/// Lives and prices an option that is kept in many ways; `look` says what to note of each. The answer is trial by trial, and
/// in each trial way by way; it ends early after an interruption, but holds whole trials only.
pub fn keep<T: Send>(
    plan: &Plan,
    place: Place,
    ways: &[OptionPlan],
    settings: &Settings,
    stop: &AtomicBool,
    mut tell: impl FnMut(Progress),
    look: impl Fn(Looked) -> T + Sync,
) -> Vec<Vec<T>> {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(settings.threads.max(1)).build().ok();
    let mut all = vec![];
    let mut done = 0;
    while done < settings.trials && !(stop.load(Ordering::Relaxed) && done > 0) {
        let end = (done + WAVE).min(settings.trials);
        let batches: Vec<u64> = (done..end).step_by(BATCH as usize).collect();
        let work = || -> Vec<Vec<Vec<T>>> {
            batches
                .par_iter()
                .map_init(
                    || Worker::new(plan, ways),
                    |worker, &from| {
                        (from..(from + BATCH).min(end))
                            .map(|trial| worker.trial(plan, place, ways, settings.seed, trial, &look))
                            .collect()
                    },
                )
                .collect()
        };
        let waved = match &pool {
            Some(pool) => pool.install(work),
            None => work(),
        };
        all.extend(waved.into_iter().flatten());
        done = end;
        tell(Progress { done, most: settings.trials });
    }
    all
}

/// One thread's working memory.
struct Worker {
    luck: Luck,
    /// One for each way, because what is worked out for a way serves it again in the next trial.
    livings: Vec<Living>,
    ledger: Ledger,
    pricing: Pricing,
    priced: Priced,
}

impl Worker {
    fn new(plan: &Plan, ways: &[OptionPlan]) -> Self {
        // as many sockets as in a run, so that luck is drawn in the same rows
        let all = plan.options.iter().chain(ways);
        Self {
            luck: Luck::new(all.map(OptionPlan::sockets).max().unwrap_or(0)),
            livings: vec![Living::default(); ways.len()],
            ledger: Ledger::default(),
            pricing: Pricing::default(),
            priced: Priced::default(),
        }
    }

    fn trial<T>(
        &mut self,
        plan: &Plan,
        place: Place,
        ways: &[OptionPlan],
        seed: u64,
        trial: u64,
        look: &impl Fn(Looked) -> T,
    ) -> Vec<T> {
        let clock = &plan.clocks[plan.contracts[place.contract].clock];
        self.luck.turn_to(seed, trial);
        let values = if place.medians {
            let values = plan.inputs.medians();
            self.pricing.turn_to_medians(plan, &values);
            values
        } else {
            let values = plan.inputs.draw(seed, trial);
            self.pricing.turn_to(plan, &values, seed, trial);
            values
        };
        let mut noted = Vec::with_capacity(ways.len());
        for (way, option) in ways.iter().enumerate() {
            live(option, clock, &values, &mut self.luck, &mut self.livings[way], &mut self.ledger);
            let stands = (place.option, option);
            price_kept(plan, place.contract, stands, &values, &self.ledger, &mut self.pricing, &mut self.priced);
            let (discount, level) = self.pricing.factors();
            noted.push(look(Looked { way, ledger: &self.ledger, priced: &self.priced, discount, level }));
        }
        noted
    }
}
