//! The same futures with some inputs moved: what would each option have cost, on the same luck?
//!
//! Belongs here: living and pricing trials at several points, and what need not be lived anew. Does not belong here: which
//! points are worth a look.

use std::sync::atomic::{AtomicBool, Ordering};

use plan::{OptionPlan, Plan};
use rayon::prelude::*;

use crate::ledger::Ledger;
use crate::live::{Living, live};
use crate::luck::Luck;
use crate::price::{Priced, Pricing, price};
use crate::run::{Progress, Settings};

/// Trials that one thread does at a stretch.
const BATCH: u64 = 16;
/// Trials between two looks at the stop flag.
const WAVE: u64 = 256;

/// What is looked at.
#[derive(Debug, Clone, Copy)]
pub struct Scope<'a> {
    /// Indices of the options.
    pub options: &'a [usize],
    /// Indices of the contracts.
    pub contracts: &'a [usize],
    /// Number of points at which every trial is looked at.
    pub points: usize,
    /// Whether [`Priced::by_month`] is wanted.
    pub months: bool,
}

/// One option under one contract at one point in one trial.
#[derive(Debug, Clone, Copy)]
pub struct Seen<'a> {
    /// The trial.
    pub trial: u64,
    /// Index of the point.
    pub point: usize,
    /// Index of the option in the plan.
    pub option: usize,
    /// Index of the contract in the plan.
    pub contract: usize,
    /// Values of the inputs at this point.
    pub values: &'a [f64],
    /// What was lived.
    pub ledger: &'a Ledger,
    /// What it came to.
    pub priced: &'a Priced,
    /// Discount factors by month.
    pub discount: &'a [f64],
}

/// Lives and prices trials at several points. `shift` moves the drawn inputs of a trial to a point and says which seed's luck
/// the lamps have there; with the seed it is given, it is the luck of the run. `look` says what to note.
///
/// The answer is trial by trial, then point by point, option by option and contract by contract. It ends early after an
/// interruption, but holds whole trials only. A trial at a point is bit for bit what it would be in a run with these inputs.
/// What was lived is used again at the next point as long as nothing moves but prices, see [`Plan::only_prices`], or inputs
/// of other options.
pub fn revisit<T: Send>(
    plan: &Plan,
    scope: Scope,
    settings: &Settings,
    stop: &AtomicBool,
    mut tell: impl FnMut(Progress),
    shift: impl Fn(u64, usize, &mut [f64]) -> u64 + Sync,
    look: impl Fn(Seen) -> T + Sync,
) -> Vec<Vec<T>> {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(settings.threads.max(1)).build().ok();
    let lived = scope.options.iter().map(|&option| plan.lived_inputs(option)).collect();
    let order = Order { plan, scope, lived, seed: settings.seed, shift, look };
    let mut all = vec![];
    let mut done = 0;
    while done < settings.trials && !(stop.load(Ordering::Relaxed) && done > 0) {
        let end = (done + WAVE).min(settings.trials);
        let batches: Vec<u64> = (done..end).step_by(BATCH as usize).collect();
        let work = || -> Vec<Vec<Vec<T>>> {
            batches
                .par_iter()
                .map_init(
                    || Worker::new(plan, scope),
                    |worker, &from| (from..(from + BATCH).min(end)).map(|trial| worker.trial(&order, trial)).collect(),
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

/// What is to be done in every trial.
struct Order<'a, S, L> {
    plan: &'a Plan,
    scope: Scope<'a>,
    /// Inputs on which a life depends, by option of the scope.
    lived: Vec<Vec<usize>>,
    seed: u64,
    shift: S,
    look: L,
}

/// One thread's working memory.
struct Worker {
    luck: Luck,
    /// Seed and trial that the luck is turned to.
    turned: Option<(u64, u64)>,
    /// By option and clock.
    lives: Vec<Life>,
    /// By point, so that bills with every socket lit serve again in the next trial.
    pricings: Vec<Pricing>,
    priced: Priced,
}

/// What an option went through last, and with which inputs.
#[derive(Default)]
struct Life {
    living: Living,
    ledger: Ledger,
    /// Seed and trial of its luck; none before the first.
    lived: Option<(u64, u64)>,
    inputs: Vec<f64>,
}

impl Worker {
    fn new(plan: &Plan, scope: Scope) -> Self {
        let mut pricing = Pricing::default();
        if scope.months {
            pricing.keep_months();
        }
        Self {
            // as many sockets as in a run, so that luck is drawn in the same rows
            luck: Luck::new(plan.options.iter().map(OptionPlan::sockets).max().unwrap_or(0)),
            turned: None,
            lives: (0..scope.options.len() * plan.clocks.len()).map(|_| Life::default()).collect(),
            pricings: vec![pricing; scope.points],
            priced: Priced::default(),
        }
    }

    fn trial<T, S, L>(&mut self, order: &Order<S, L>, trial: u64) -> Vec<T>
    where
        S: Fn(u64, usize, &mut [f64]) -> u64,
        L: Fn(Seen) -> T,
    {
        let Order { plan, scope, lived, seed, shift, look } = order;
        let drawn = plan.inputs.draw(*seed, trial);
        let mut noted = Vec::with_capacity(scope.points * scope.options.len() * scope.contracts.len());
        for point in 0..scope.points {
            let mut values = drawn.clone();
            let at = (shift(trial, point, &mut values), trial);
            let pricing = &mut self.pricings[point];
            pricing.turn_to(plan, &values, at.0, trial);
            for (o, &option) in scope.options.iter().enumerate() {
                for &contract in scope.contracts {
                    let clock = plan.contracts[contract].clock;
                    let life = &mut self.lives[o * plan.clocks.len() + clock];
                    if !life.is_of(at, &lived[o], &values) {
                        if self.turned != Some(at) {
                            self.luck.turn_to(at.0, at.1);
                            self.turned = Some(at);
                        }
                        let Life { living, ledger, .. } = life;
                        live(&plan.options[option], &plan.clocks[clock], &values, &mut self.luck, living, ledger);
                    }
                    let priced = &mut self.priced;
                    price(plan, contract, option, &values, &life.ledger, pricing, priced);
                    let (discount, _) = pricing.factors();
                    let (values, ledger) = (&values[..], &life.ledger);
                    noted.push(look(Seen { trial, point, option, contract, values, ledger, priced, discount }));
                }
            }
        }
        noted
    }
}

impl Life {
    /// Whether this is what was lived last; if not, it is what is lived next. Numbers are compared by their bits.
    fn is_of(&mut self, at: (u64, u64), lived: &[usize], values: &[f64]) -> bool {
        let inputs = lived.iter().map(|&index| values[index]);
        let same = self.lived == Some(at)
            && self.inputs.iter().zip(inputs.clone()).all(|(held, value)| held.to_bits() == value.to_bits());
        if !same {
            self.lived = Some(at);
            self.inputs.clear();
            self.inputs.extend(inputs);
        }
        same
    }
}
