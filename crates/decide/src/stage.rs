//! Buy one option now and decide about another at a later relamp: what waiting and watching are worth.
//!
//! Belongs here: the ways of doing it and what they come to. Does not belong here: the two stages and what is paid in them
//! (`stages`), what the number of dead lamps advises and what knowledge is worth (`advice`), lives of watched lamps
//! (`engine`), the mathematics of worths (the crate `choice`).

mod advice;
mod stages;

use std::sync::atomic::Ordering;

use choice::Table;
use engine::{Progress, median_burn_hours};
use plan::Plan;

use crate::race::leads;
use crate::result::{Ended, Estimate};
use crate::service::service;
use crate::spread::{Sorted, mean};
use crate::stage_report::{STAGE_FORMAT, StageKind, StagePolicy, StageReport, Watching, Worth};
use crate::turn::World;

use advice::{Seen, known, rule, watching};
use stages::Stages;

/// Trials below which nothing can be said of what knowledge is worth.
const FEWEST: usize = 100;

/// What is asked.
#[derive(Debug, Clone)]
pub struct StageOrder {
    /// Index of the option that is bought now.
    pub now: usize,
    /// Index of the option that may follow.
    pub later: usize,
    /// Years until the change.
    pub after_years: u32,
    /// Lamps of the later option that are watched; 0 for none.
    pub watch: u32,
    /// Whether the later option's lamps go into the fixtures that hang already.
    pub keep_fixtures: bool,
    /// Index of the contract.
    pub contract: usize,
    /// Rooms for which the choice is made.
    pub rooms: u32,
}

/// What every trial cost, currency, present value at the start.
struct Costs {
    /// First stage: the option of now, the later one.
    head: [Vec<f64>; 2],
    /// Second stage after the option of now: staying, changing.
    tail: [Vec<f64>; 2],
    /// Second stage after the later option.
    tail_of_later: Vec<f64>,
}

/// Lives both stages and weighs the ways of doing it.
///
/// # Errors
/// A message when the order makes no sense for this scenario, when a stage cannot be planned by itself, or when it was
/// stopped before anything could be told.
pub fn stage(
    world: &World,
    order: &StageOrder,
    program: &str,
    tell: &mut dyn FnMut(Progress),
) -> Result<StageReport, String> {
    let plan = world.plan;
    let stages = Stages::new(world, order)?;
    let costs = stages.lived(world, tell);
    let trials = costs.tail_of_later.len();
    if trials < FEWEST {
        return Err(format!("{trials} trials were lived before it was stopped; {FEWEST} are needed to tell anything"));
    }
    let table = Table::from_options(&[&costs.tail[0], &costs.tail[1]]).map_err(|fault| fault.to_string())?;
    let head = &stages.head;
    let seen = Seen::new(head, world.settings.seed, order, trials as u64);
    let saving = leads(&costs.tail[0], &costs.tail[1]);
    let (mean_saving, _) = mean(&saving);
    let would_change = mean_saving.value > 0.0;
    let mut remarks = plan.remarks.clone();
    let watchings = watching(&table, &seen, order)?;
    let known = known(&table, head, world.settings.seed, order, &mut remarks)?;
    let rule = rule(&saving, &seen, order.watch);
    let at_hand = watchings.iter().find(|watching| watching.lamps == order.watch);
    let (policies, best) = policies(&costs, would_change, at_hand, known);
    let is_idle = at_hand.is_some_and(|found| found.worth.value == 0.0) && !advice::minds_change(&rule, would_change);
    let saves = saving.iter().filter(|&&saving| saving > 0.0).count() as f64 / trials as f64;
    let (now, later) = (&plan.options[order.now], &plan.options[order.later]);
    let clock = &head.clocks[head.contracts[order.contract].clock];
    Ok(StageReport {
        format: STAGE_FORMAT.into(),
        program: program.into(),
        title: plan.title.clone(),
        currency: plan.currency.clone(),
        basis: plan.money.basis().into(),
        discount_rate: plan.inputs.at(plan.money.discount_rate).quantile(0.5),
        prices_of: plan.prices_of.clone(),
        start: plan.first_day.to_string(),
        change: stages.tail.first_day.to_string(),
        horizon_years: plan.years,
        after_years: order.after_years,
        contract: plan.contracts[order.contract].name.clone(),
        now: now.name.clone(),
        now_light: now.light.basis.clone(),
        later: later.name.clone(),
        later_light: later.light.basis.clone(),
        keeps_fixtures: order.keep_fixtures,
        service_mol: stages.moles.0 + stages.moles.1,
        service: service(plan, order.contract).words,
        rooms: order.rooms,
        burn_h: clock.timeline.lit_hours,
        median_life_h: median_life(head, order, world.settings.seed, trials as u64),
        seed: world.settings.seed,
        trials: trials as u64,
        ended: if world.stop.load(Ordering::Relaxed) { Ended::Interrupted } else { Ended::Trials },
        policies,
        best,
        saving: mean_saving,
        chance_saves: Estimate { value: saves, se: (saves * (1.0 - saves) / trials as f64).sqrt() },
        would_change,
        watched: order.watch,
        watchings,
        rule,
        is_idle,
        known,
        assumptions: stages.assumptions(plan, order),
        cautions: plan.cautions.clone(),
        remarks,
    })
}

/// The 10 % point, the median and the 90 % point of the later lamp's median life.
fn median_life(head: &Plan, order: &StageOrder, seed: u64, trials: u64) -> (f64, f64, f64) {
    let clock = &head.clocks[head.contracts[order.contract].clock];
    let Some(lamp) = &head.options[order.later].lamp else { return (f64::NAN, f64::NAN, f64::NAN) };
    let life = |trial: u64| median_burn_hours(lamp, clock, &head.inputs.draw(seed, trial));
    let sorted = Sorted::new((0..trials).map(life).collect());
    (sorted.quantile(0.1), sorted.quantile(0.5), sorted.quantile(0.9))
}

/// What each way of doing it costs, and the index of the cheapest that somebody can follow.
fn policies(costs: &Costs, would_change: bool, watching: Option<&Watching>, known: Worth) -> (Vec<StagePolicy>, usize) {
    let sum = |a: &[f64], b: &[f64]| -> Vec<f64> { a.iter().zip(b).map(|(a, b)| a + b).collect() };
    let planned = sum(&costs.head[0], &costs.tail[usize::from(would_change)]);
    let sure = [
        (StageKind::NowThroughout, sum(&costs.head[0], &costs.tail[0])),
        (StageKind::LaterThroughout, sum(&costs.head[1], &costs.tail_of_later)),
        (StageKind::Planned, planned.clone()),
    ];
    // what knowledge saves is known as a mean only
    let (of_planned, _) = mean(&planned);
    let informed = |kind: StageKind, less: Estimate| {
        let cost = Estimate { value: of_planned.value - less.value, se: of_planned.se.hypot(less.se) };
        (kind, cost, Estimate { value: -less.value, se: less.se })
    };
    let mut all: Vec<(StageKind, Estimate, Estimate)> =
        sure.iter().map(|(kind, costs)| (*kind, mean(costs).0, mean(&leads(costs, &planned)).0)).collect();
    if let Some(watching) = watching {
        all.push(informed(StageKind::Watched, watching.net));
    }
    let cheapest = (0..all.len()).fold(0, |best, k| if all[k].2.value < all[best].2.value { k } else { best });
    all.push(informed(StageKind::Known, Estimate { value: known.value, se: known.se }));
    let above = |k: usize| {
        if k == cheapest {
            return Estimate { value: 0.0, se: 0.0 };
        }
        match (sure.get(k), sure.get(cheapest)) {
            (Some((_, of)), Some((_, best))) => mean(&leads(of, best)).0,
            _ => {
                let (of, best) = (all[k].2, all[cheapest].2);
                Estimate { value: of.value - best.value, se: of.se.hypot(best.se) }
            }
        }
    };
    let policy = |(k, (kind, cost, _)): (usize, &(StageKind, Estimate, Estimate))| StagePolicy {
        kind: *kind,
        cost: *cost,
        above_best: above(k),
    };
    (all.iter().enumerate().map(policy).collect(), cheapest)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn costs() -> Costs {
        let of = |from: f64| (0..200).map(|k| from + f64::from(k % 7)).collect::<Vec<f64>>();
        Costs { head: [of(10.0), of(30.0)], tail: [of(20.0), of(18.0)], tail_of_later: of(17.0) }
    }

    #[test]
    fn the_bound_is_never_the_best_and_equal_ways_tie_exactly() {
        let worth = |value| Worth { value, se: 0.1, is_seen: true, unseen: 0.0 };
        let (all, best) = policies(&costs(), true, None, worth(5.0));
        assert_eq!(all[best].kind, StageKind::Planned);
        assert_eq!(all.iter().map(|policy| policy.above_best.value).collect::<Vec<_>>(), [2.0, 19.0, 0.0, -5.0]);
        assert_eq!((all[0].above_best.se, all[3].above_best.se), (0.0, 0.1));
        let (all, best) = policies(&costs(), false, None, worth(0.0));
        assert_eq!((all[best].kind, all[2].above_best), (StageKind::NowThroughout, Estimate { value: 0.0, se: 0.0 }));
        let net = Estimate { value: 0.5, se: 0.0 };
        let watching = Watching { lamps: 3, worth: worth(1.0), extra: net, net };
        let (all, best) = policies(&costs(), true, Some(&watching), worth(5.0));
        assert_eq!((all[best].kind, all[2].above_best.value), (StageKind::Watched, 0.5));
    }
}
