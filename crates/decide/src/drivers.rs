//! Which inputs move the answer, which can change the winner, and what knowing them is worth.
//!
//! Belongs here: what is asked of each input, and putting it together. Does not belong here: where the winner changes
//! (`flips`), the mathematics of shares and worths (the crate `choice`).

use std::sync::atomic::Ordering;

use choice::{Table, information, sensitivity};
use engine::{Progress, Scope, Seen, revisit};
use plan::{InputId, Plan};
use scenario::figure::Grade;

use crate::axis::Axis;
use crate::breakeven::cost;
use crate::drivers_report::{DRIVERS_FORMAT, Driver, DriversReport, Measure, Shares, Turned, Worth};
use crate::flips::{flips, search_trials};
use crate::race::leads;
use crate::result::{Ended, Estimate};
use crate::service::service;
use crate::spread::mean;
use crate::turn::{Looking, World};

/// Most inputs that are known together when the worth of all is asked: the mathematics allows no more.
const TOGETHER: usize = 12;

/// What is asked.
#[derive(Debug, Clone)]
pub struct DriversOrder {
    /// Indices of the options that compete.
    pub options: Vec<usize>,
    /// Index of the contract.
    pub contract: usize,
    /// What is compared.
    pub measure: Measure,
    /// Rooms for which the choice is made.
    pub rooms: u32,
}

/// Inputs that move together, and what is doubted of them.
pub(crate) struct Group {
    pub members: Vec<InputId>,
    pub axes: Vec<Axis>,
    pub is_uncertain: bool,
}

/// Everything that all questions share.
pub(crate) struct Inquiry<'a> {
    pub world: &'a World<'a>,
    pub order: &'a DriversOrder,
    /// Money for each unit of cost: moles at equal service or 1, times rooms.
    pub scale: f64,
    /// Money by trial and option as the scenario stands; empty until that is known.
    pub now: Vec<Vec<f64>>,
}

/// Doubt about a certain value by its grade, as a share of it: a judgement, no source.
fn doubt(grade: Grade) -> f64 {
    match grade {
        Grade::Measured | Grade::Invoice => 0.05,
        Grade::Datasheet => 0.15,
        Grade::Guess => 0.30,
    }
}

/// Asks every input.
///
/// # Errors
/// A message when it was stopped before anything could be told.
pub fn drivers(
    world: &World,
    order: &DriversOrder,
    program: &str,
    tell: &mut dyn FnMut(Progress),
) -> Result<DriversReport, String> {
    let plan = world.plan;
    if order.options.len() < 2 {
        return Err("a single option leaves no choice: name two or more".into());
    }
    let service = service(plan, order.contract);
    let per = if order.measure == Measure::Mole { service.present_moles } else { 1.0 };
    let mut inquiry = Inquiry { world, order, scale: per * f64::from(order.rooms), now: vec![] };
    let groups = groups(plan, order);
    let count = groups.len() as u64;
    let now = inquiry.now(&groups, tell);
    inquiry.now = now.costs.rows().map(<[f64]>::to_vec).collect();
    let trials = now.costs.trials() as u64;
    let means = now.costs.means();
    let mut ranking: Vec<usize> = (0..means.len()).collect();
    ranking.sort_by(|&a, &b| means[a].total_cmp(&means[b]));
    let (favourite, runner_up) = (ranking[0], *ranking.get(1).unwrap_or(&ranking[0]));
    let lead = leads(&now.costs.option(runner_up), &now.costs.option(favourite));
    let (lead, lead_sd) = mean(&lead);

    let mut inputs = vec![];
    let pair = (favourite, runner_up);
    for (k, group) in groups.iter().enumerate() {
        let mut told = |progress: Progress| {
            tell(Progress { done: k as u64 * progress.most + progress.done, most: count * progress.most });
        };
        if world.stop.load(Ordering::Relaxed) {
            break;
        }
        if let Some(driver) = inquiry.driver(group, pair, &mut told)? {
            inputs.push((k, driver));
        }
    }
    let (luck, shares, variance_trials) = inquiry.shares(&groups, pair, tell)?;
    let worths = inquiry.worths(&groups, &now)?;
    for (k, driver) in &mut inputs {
        driver.shares = shares[*k];
        driver.worth = worths.single[*k];
    }
    let mut inputs: Vec<Driver> = inputs.into_iter().map(|(_, driver)| driver).collect();
    let swing = |driver: &Driver| (driver.high.lead.value - driver.low.lead.value).abs();
    inputs.sort_by(|a, b| swing(b).total_cmp(&swing(a)));
    let names = |read: fn(&plan::OptionPlan) -> &String| -> Vec<String> {
        order.options.iter().map(|&option| read(&plan.options[option]).clone()).collect()
    };
    let mut remarks = plan.remarks.clone();
    remarks.push(
        "every input is turned alone: what one meter misreads alike in all options is doubted here option by option"
            .into(),
    );
    remarks.extend(worths.said);
    Ok(DriversReport {
        format: DRIVERS_FORMAT.into(),
        program: program.into(),
        title: plan.title.clone(),
        currency: plan.currency.clone(),
        basis: plan.money.basis().into(),
        discount_rate: plan.inputs.at(plan.money.discount_rate).quantile(0.5),
        prices_of: plan.prices_of.clone(),
        start: plan.first_day.to_string(),
        horizon_years: plan.years,
        contract: plan.contracts[order.contract].name.clone(),
        options: names(|option| &option.name),
        light_bases: names(|option| &option.light.basis),
        measure: order.measure,
        service_mol: service.present_moles,
        service: service.words,
        rooms: order.rooms,
        seed: world.settings.seed,
        trials,
        search_trials: search_trials(trials),
        variance_trials,
        ended: if world.stop.load(Ordering::Relaxed) { Ended::Interrupted } else { Ended::Trials },
        costs: (0..means.len()).map(|o| mean(&now.costs.option(o)).0).collect(),
        favourite,
        runner_up,
        lead,
        chance: wins(&now.costs, favourite),
        inputs,
        luck,
        lead_sd,
        all_inputs: worths.all,
        clairvoyance: worths.clairvoyance,
        cautions: plan.cautions.clone(),
        remarks,
    })
}

/// Share of trials in which an option is the cheapest; equal ones share it.
fn wins(costs: &Table, option: usize) -> f64 {
    let share = |row: &[f64]| {
        let least = row.iter().copied().fold(f64::INFINITY, f64::min);
        if row[option] > least { 0.0 } else { 1.0 / row.iter().filter(|cost| **cost <= least).count() as f64 }
    };
    costs.rows().map(share).sum::<f64>() / costs.trials() as f64
}

/// Inputs of the options and the contract that are asked about, each with those that share its luck.
fn groups(plan: &Plan, order: &DriversOrder) -> Vec<Group> {
    let concerns = |id: &InputId| {
        plan.option_of(*id).is_none_or(|option| order.options.contains(&option))
            && plan.contract_of(*id).is_none_or(|contract| contract == order.contract)
    };
    let mut groups: Vec<(Option<u64>, Group)> = vec![];
    for id in plan.input_ids().filter(concerns) {
        let luck = plan.inputs.luck_of(id);
        let axis = Axis::of(plan, id);
        // what is 0 for certain has no share to be doubted, and a whole number of nothing is no input
        if luck.is_none() && (axis.belief.1 == 0.0 || !axis.belief.1.is_finite()) {
            continue;
        }
        match groups.iter_mut().find(|(known, _)| luck.is_some() && *known == luck) {
            Some((_, group)) => {
                group.members.push(id);
                group.axes.push(axis);
            }
            None => groups.push((luck, Group { members: vec![id], axes: vec![axis], is_uncertain: luck.is_some() })),
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

/// What comes out as the scenario stands.
struct Now {
    /// Money by trial and option.
    costs: Table,
    /// Values of the first member of each group, trial by trial.
    values: Vec<Vec<f64>>,
}

/// Worths of knowledge.
struct Worths {
    single: Vec<Option<Worth>>,
    all: Worth,
    clairvoyance: Estimate,
    said: Vec<String>,
}

impl Inquiry<'_> {
    /// Cost of one option as it is compared, money.
    pub fn money(&self, seen: &Seen) -> f64 {
        cost(self.order.measure, seen) * self.scale
    }

    /// Money at some values of a group: place by place, trial by trial, option by option. Options to which nothing of the
    /// group belongs cost what they cost as the scenario stands.
    pub fn visit(
        &self,
        world: &World,
        group: &Group,
        places: &[Vec<f64>],
        tell: &mut dyn FnMut(Progress),
    ) -> Result<Vec<Vec<Vec<f64>>>, String> {
        let order = self.order;
        let owners: Option<Vec<usize>> = group.members.iter().map(|&id| world.plan.option_of(id)).collect();
        let moves = |option: &&usize| owners.as_ref().is_none_or(|owners| owners.contains(option));
        let moved: Vec<usize> = order.options.iter().filter(moves).copied().collect();
        let axes: Vec<&Axis> = group.axes.iter().collect();
        let looking = Looking { options: &moved, contracts: &[order.contract] };
        let noted = world.visit(&axes, places, looking, tell, |seen| self.money(seen))?;
        let whole = |(row, found): (&Vec<f64>, Vec<f64>)| -> Vec<f64> {
            let mut found = found.into_iter();
            let cost = |(option, now): (&usize, &f64)| {
                if moved.contains(option) { found.next().unwrap_or(*now) } else { *now }
            };
            order.options.iter().zip(row).map(cost).collect()
        };
        Ok(noted.into_iter().map(|trials| self.now.iter().zip(trials).map(whole).collect()).collect())
    }

    fn now(&self, groups: &[Group], tell: &mut dyn FnMut(Progress)) -> Now {
        let Self { world, order, .. } = self;
        let contracts = [order.contract];
        let scope = Scope { options: &order.options, contracts: &contracts, points: 1, months: false };
        let seed = world.settings.seed;
        let noted =
            revisit(world.plan, scope, &world.settings, world.stop, tell, |_, _, _| seed, |seen| self.money(&seen));
        let trials = noted.len() as u64;
        let values = groups
            .iter()
            .map(|group| (0..trials).map(|trial| world.plan.inputs.value(group.members[0], seed, trial)).collect());
        // a plan has options, and two trials are the least
        let costs = Table::new(&noted).unwrap_or_else(|fault| unreachable!("{fault}"));
        Now { costs, values: values.collect() }
    }

    /// What an input does; nothing when it does nothing at all.
    fn driver(
        &self,
        group: &Group,
        (favourite, runner_up): (usize, usize),
        tell: &mut dyn FnMut(Progress),
    ) -> Result<Option<Driver>, String> {
        let Self { world, order, .. } = self;
        let plan = world.plan;
        let first = &group.axes[0];
        let ends = |axis: &Axis, id: InputId| {
            if group.is_uncertain {
                return (axis.belief.0, axis.belief.2);
            }
            let (low, high) = axis.limits;
            let step = axis.belief.1.abs() * doubt(plan.inputs.at(id).grade);
            ((axis.belief.1 - step).max(low), (axis.belief.1 + step).min(high))
        };
        let all: Vec<(f64, f64)> = group.axes.iter().zip(&group.members).map(|(axis, &id)| ends(axis, id)).collect();
        let low: Vec<f64> = all.iter().map(|(low, _)| *low).collect();
        let high: Vec<f64> = all.iter().map(|(_, high)| *high).collect();
        let noted = self.visit(world, group, &[low, high], tell)?;
        let [low, high] = &noted[..] else { return Ok(None) };
        if low == high {
            return Ok(None);
        }
        let turned = |trials: &Vec<Vec<f64>>| {
            let of = |option: usize| -> Vec<f64> { trials.iter().map(|costs| costs[option]).collect() };
            let means: Vec<f64> = (0..order.options.len()).map(|option| mean(&of(option)).0.value).collect();
            let winner = (0..means.len()).min_by(|&a, &b| means[a].total_cmp(&means[b])).unwrap_or(0);
            Turned { winner, lead: mean(&leads(&of(runner_up), &of(favourite))).0 }
        };
        Ok(Some(Driver {
            name: first.name.clone(),
            tied: group.axes[1..].iter().map(|axis| axis.name.clone()).collect(),
            unit: first.unit.clone(),
            grade: first.grade.into(),
            is_uncertain: group.is_uncertain,
            values: (all[0].0, first.belief.1, all[0].1),
            low: turned(low),
            high: turned(high),
            flips: flips(self, group, (all[0].0, all[0].1), tell)?,
            searched: first.range,
            shares: None,
            worth: None,
        }))
    }

    /// Shares of the variance of the lead: of luck, of each uncertain group, and the rows behind them.
    fn shares(
        &self,
        groups: &[Group],
        (favourite, runner_up): (usize, usize),
        tell: &mut dyn FnMut(Progress),
    ) -> Result<(Shares, Vec<Option<Shares>>, u64), String> {
        let Self { world, order, .. } = self;
        let uncertain: Vec<usize> = (0..groups.len()).filter(|&k| groups[k].is_uncertain).collect();
        let pair = [order.options[favourite], order.options[runner_up]];
        let contracts = [order.contract];
        // table A, table B, A with each group from B, A with luck from B
        let scope = Scope { options: &pair, contracts: &contracts, points: uncertain.len() + 3, months: false };
        let (seed, other) = (world.settings.seed, world.settings.seed ^ 0x3C3C_A5A5_C3C3_5A5A);
        let plan = world.plan;
        let shift = |trial: u64, point: usize, values: &mut [f64]| {
            let mut take = |id: InputId| values[id.index()] = plan.inputs.value(id, other, trial);
            match point {
                0 => seed,
                1 => {
                    uncertain.iter().flat_map(|&k| &groups[k].members).for_each(|&id| take(id));
                    other
                }
                _ if point < uncertain.len() + 2 => {
                    groups[uncertain[point - 2]].members.iter().for_each(|&id| take(id));
                    seed
                }
                _ => other,
            }
        };
        let noted = revisit(plan, scope, &world.settings, world.stop, tell, shift, |seen| self.money(&seen));
        let outcomes =
            |point: usize| -> Vec<f64> { noted.iter().map(|costs| costs[2 * point + 1] - costs[2 * point]).collect() };
        let mixed: Vec<Vec<f64>> = (2..scope.points).map(outcomes).collect();
        let indices = sensitivity::indices(&outcomes(0), &outcomes(1), &mixed).map_err(|fault| fault.to_string())?;
        let estimate = |e: choice::Estimate| Estimate { value: e.value, se: e.se };
        let shares = |k: usize| Shares { first: estimate(indices[k].first), total: estimate(indices[k].total) };
        let mut by_group = vec![None; groups.len()];
        uncertain.iter().enumerate().for_each(|(k, &group)| by_group[group] = Some(shares(k)));
        Ok((shares(uncertain.len()), by_group, noted.len() as u64))
    }

    fn worths(&self, groups: &[Group], now: &Now) -> Result<Worths, String> {
        let clairvoyance = information::perfect(&now.costs).map_err(|fault| fault.to_string())?;
        let mut worths = Worths {
            single: vec![None; groups.len()],
            all: Worth::default(),
            clairvoyance: Estimate { value: clairvoyance.value, se: clairvoyance.se },
            said: vec![],
        };
        let worth = |found: information::Worth| Worth {
            value: found.value,
            se: found.se,
            is_seen: found.is_seen,
            unseen: found.unseen,
        };
        let uncertain: Vec<usize> = (0..groups.len()).filter(|&k| groups[k].is_uncertain).collect();
        for &k in &uncertain {
            match information::input(&now.costs, &now.values[k]) {
                Ok(found) => worths.single[k] = Some(worth(found)),
                Err(fault) => {
                    worths.said.push(format!("what knowing inputs is worth is not told: {fault}"));
                    return Ok(worths);
                }
            }
        }
        let mut most: Vec<usize> = uncertain.clone();
        let value = |k: &usize| worths.single[*k].map_or(0.0, |worth| worth.value);
        most.sort_by(|a, b| value(b).total_cmp(&value(a)));
        most.truncate(TOGETHER);
        if most.len() < uncertain.len() {
            worths.said.push(format!(
                "the worth of all inputs is that of the {TOGETHER} that are worth most, of {}",
                uncertain.len()
            ));
        }
        let columns: Vec<&[f64]> = most.iter().map(|&k| &now.values[k][..]).collect();
        if !columns.is_empty() {
            worths.all = worth(information::inputs(&now.costs, &columns).map_err(|fault| fault.to_string())?);
        }
        Ok(worths)
    }
}
