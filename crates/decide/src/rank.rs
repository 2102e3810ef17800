//! The options ranked for somebody who must publish it, and what is lost if the wrong one is picked.
//!
//! Belongs here: what is asked, what is lived for it, and putting it together. Does not belong here: pairs and losses
//! (`pairs`), futures by name (`futures`), whole rooms at equal light (`held`), the mathematics of regret and dominance (the
//! crate `choice`).

mod futures;
mod held;
mod pairs;

use std::sync::atomic::Ordering;

use engine::{Cause, Progress, Seen};
use plan::{InputId, Plan};

use crate::axis::Axis;
use crate::rank_report::{Material, Pair, RANK_FORMAT, RankContract, RankReport};
use crate::result::Ended;
use crate::service::service;
use crate::spread::spread;
use crate::turn::{Looking, World};

pub(crate) use pairs::losses;
pub use pairs::word;

/// The name of the future in which nothing is moved.
pub const AS_WRITTEN: &str = "as written";
/// Trials whose light is looked at month by month, at most.
const BY_MONTH: u64 = 4_096;
/// Numbers that this may take, at most, and numbers that the trials may take.
const MONTH_NUMBERS: u64 = 20_000_000;
const NUMBERS: u64 = 100_000_000;
/// Most futures by name.
const FUTURES: usize = 200;

/// What is asked.
#[derive(Debug, Clone)]
pub struct RankOrder {
    /// Indices of the contracts, each once.
    pub contracts: Vec<usize>,
    /// From which difference on a lead matters.
    pub material: Material,
    /// Futures by name, each with the inputs that it moves, by their names as typed, and their values there.
    pub futures: Vec<NamedFuture>,
    /// Rooms for which the choice is made.
    pub rooms: u32,
}

/// A future by name.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedFuture {
    /// Its name.
    pub name: String,
    /// Names of inputs as typed, each with its value in the unit of the input.
    pub moved: Vec<(String, f64)>,
}

/// What is noted of one option under one contract in one trial.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Note {
    /// Currency per mol.
    pub levelized: f64,
    /// Present value of the room's cost, and of its energy, demand and cooling.
    pub present: f64,
    pub electricity: f64,
    pub moles: f64,
    pub present_moles: f64,
    /// Moles by month; empty where they are not looked at.
    pub by_month: Vec<f64>,
}

/// Notes trial by trial, in each option by option and contract by contract.
pub(crate) struct Notes {
    trials: Vec<Vec<Note>>,
    contracts: usize,
}

impl Notes {
    /// One number of every trial for an option under the contract of this position.
    pub fn of(&self, option: usize, contract: usize, read: impl Fn(&Note) -> f64) -> Vec<f64> {
        self.trials.iter().map(|trial| read(&trial[option * self.contracts + contract])).collect()
    }

    /// Moles by month of those trials in which they were looked at.
    pub fn by_month(&self, option: usize, contract: usize) -> impl Iterator<Item = &[f64]> {
        let notes = self.trials.iter().map(move |trial| &trial[option * self.contracts + contract].by_month[..]);
        notes.filter(|months| !months.is_empty())
    }
}

/// Everything that all parts share.
pub(crate) struct Inquiry<'a> {
    pub world: &'a World<'a>,
    pub order: &'a RankOrder,
    /// Indices of all options.
    pub options: Vec<usize>,
    /// What lies behind what is being lived: done, and in all.
    pub done: u64,
    pub most: u64,
}

impl Inquiry<'_> {
    /// Lives and prices every trial in a world, with some inputs moved.
    pub fn live(
        &mut self,
        world: &World,
        (axes, place): (&[&Axis], &[f64]),
        by_month: bool,
        tell: &mut dyn FnMut(Progress),
    ) -> Result<Notes, String> {
        let plan = world.plan;
        let looking = Looking { options: &self.options, contracts: &self.order.contracts };
        let numbers = (self.options.len() * plan.clocks.len() * plan.months()).max(1) as u64;
        let looked = if by_month { BY_MONTH.min(MONTH_NUMBERS / numbers).max(2) } else { 0 };
        let leads_clock = |contract: usize| {
            let clock = plan.contracts[contract].clock;
            let of_clock = |other: &&usize| plan.contracts[**other].clock == clock;
            self.order.contracts.iter().find(of_clock) == Some(&contract)
        };
        let leading: Vec<bool> = (0..plan.contracts.len()).map(leads_clock).collect();
        let read = |seen: &Seen| note(seen, seen.trial < looked && leading[seen.contract]);
        let (done, most) = (self.done, self.most);
        let mut told = |progress: Progress| tell(Progress { done: done + progress.done, most });
        let noted = world.visit(axes, &[place.to_vec()], looking, &mut told, read)?;
        self.done += world.settings.trials;
        Ok(Notes { trials: noted.into_iter().next().unwrap_or_default(), contracts: self.order.contracts.len() })
    }

    pub fn is_stopped(&self) -> bool {
        self.world.stop.load(Ordering::Relaxed)
    }
}

fn note(seen: &Seen, by_month: bool) -> Note {
    let present = &seen.priced.present;
    let electric = [Cause::Energy, Cause::Demand, Cause::Cooling];
    Note {
        levelized: seen.priced.levelized(),
        present: present.iter().sum(),
        electricity: electric.iter().map(|&cause| present[cause as usize]).sum(),
        moles: seen.priced.moles,
        present_moles: seen.priced.present_moles,
        by_month: if by_month { seen.ledger.moles.clone() } else { vec![] },
    }
}

/// Ranks. After an interruption futures and whole rooms that were not come to are left out.
///
/// # Errors
/// A message when a future moves what does not exist or to where it must not go, or when all of it would not fit.
pub fn rank(
    world: &World,
    order: &RankOrder,
    program: &str,
    tell: &mut dyn FnMut(Progress),
) -> Result<RankReport, String> {
    let plan = world.plan;
    let numbers = (plan.options.len() * order.contracts.len()) as u64 * world.settings.trials;
    if numbers > NUMBERS {
        return Err(format!("{numbers} costs would not fit; at most {NUMBERS} trials × options × contracts"));
    }
    if order.futures.len() > FUTURES {
        return Err(format!("{} futures; at most {FUTURES}", order.futures.len()));
    }
    let futures = futures::find(world, &order.futures)?;
    // the scenario as it stands, each future by name, and whole rooms on each clock
    let visits = 1 + futures.len() + if plan.target_ppfd.is_some() { plan.clocks.len() } else { 0 };
    let mut inquiry = Inquiry {
        world,
        order,
        options: (0..plan.options.len()).collect(),
        done: 0,
        most: visits as u64 * world.settings.trials,
    };
    let now = inquiry.live(world, (&[], &[]), plan.target_ppfd.is_some(), tell)?;
    let mut contracts = vec![];
    for position in 0..order.contracts.len() {
        contracts.push(contract(&inquiry, &now, position)?);
    }
    let mut remarks = plan.remarks.clone();
    let table = futures::futures(&mut inquiry, &now, &contracts, &futures, tell)?;
    if plan.target_ppfd.is_some() {
        held::held(&mut inquiry, &now, &mut contracts, &mut remarks, tell)?;
    }
    let median = |id: InputId| plan.inputs.at(id).quantile(0.5);
    Ok(RankReport {
        format: RANK_FORMAT.into(),
        program: program.into(),
        title: plan.title.clone(),
        currency: plan.currency.clone(),
        basis: plan.money.basis().into(),
        discount_rate: median(plan.money.discount_rate),
        prices_of: plan.prices_of.clone(),
        start: plan.first_day.to_string(),
        horizon_years: plan.years,
        options: plan.options.iter().map(|option| option.name.clone()).collect(),
        light_bases: plan.options.iter().map(|option| option.light.basis.clone()).collect(),
        rooms: order.rooms,
        material: order.material,
        target_ppfd: plan.target_ppfd.map(median),
        least_ppfd: plan.least_ppfd.map(median),
        seed: world.settings.seed,
        trials: now.trials.len() as u64,
        ended: if inquiry.is_stopped() { Ended::Interrupted } else { Ended::Trials },
        contracts,
        futures: table,
        cautions: plan.cautions.clone(),
        remarks,
    })
}

/// Everything about one contract but whole rooms.
fn contract(inquiry: &Inquiry, now: &Notes, position: usize) -> Result<RankContract, String> {
    let (plan, order): (&Plan, _) = (inquiry.world.plan, inquiry.order);
    let of_plan = order.contracts[position];
    let service = service(plan, of_plan);
    let scale = service.present_moles * f64::from(order.rooms);
    let costs: Vec<Vec<f64>> = inquiry.options.iter().map(|&o| now.of(o, position, |note| note.levelized)).collect();
    let spreads: Vec<_> = costs.iter().map(|costs| spread(costs.clone())).collect();
    let pairs = pairs::pairs(&costs, order.material, scale)?;
    let means: Vec<f64> = spreads.iter().map(|spread| spread.mean.value).collect();
    let places = by_lowest(&means);
    Ok(RankContract {
        contract: plan.contracts[of_plan].name.clone(),
        lights: plan.contracts[of_plan].lights.clone(),
        service_mol: service.present_moles,
        service: service.words,
        first_place: first_place(&places, &pairs),
        order: places,
        losses: pairs::losses(&costs, scale)?,
        costs: spreads,
        pairs,
        service_held: None,
    })
}

/// Positions from the lowest number upwards, the first of equals first.
pub(crate) fn by_lowest(numbers: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..numbers.len()).collect();
    order.sort_by(|&a, &b| numbers[a].total_cmp(&numbers[b]));
    order
}

/// The first of an order, and those that are too close to it to call, in that order.
fn first_place(order: &[usize], pairs: &[Pair]) -> Vec<usize> {
    let Some(&first) = order.first() else { return vec![] };
    let shares = |option: usize| {
        let with_first = pairs.iter().find(|pair| (pair.a, pair.b) == (first.min(option), first.max(option)));
        option == first || with_first.is_some_and(|pair| pair.word.is_too_close())
    };
    order.iter().copied().filter(|&option| shares(option)).collect()
}
