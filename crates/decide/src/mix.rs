//! Lighting a room with several options at once: shares over the simplex, cost and regret of each mix.
//!
//! Belongs here: mixes and what they come to. Does not belong here: living and pricing (`engine`), costs of single options
//! as such.

use std::sync::atomic::Ordering;

use engine::{Progress, Scope, revisit};

use crate::mix_report::{Hedge, MIX_FORMAT, Mix, MixReport};
use crate::result::{Ended, Estimate};
use crate::service::service;
use crate::spread::{Sorted, mean};
use crate::turn::World;

/// Most mixes that are tried.
pub const MOST_MIXES: u64 = 2_000;
/// Fewest and most options in a mix.
pub const OPTIONS: (usize, usize) = (2, 4);
/// Groups of trials whose spread tells the noise of a difference between quantiles.
const GROUPS: usize = 8;

/// What is asked.
#[derive(Debug, Clone)]
pub struct MixOrder {
    /// Indices of the options, [`OPTIONS`] of them.
    pub options: Vec<usize>,
    /// Parts into which the light is divided.
    pub parts: u32,
    /// Index of the contract.
    pub contract: usize,
    /// Rooms for which the choice is made.
    pub rooms: u32,
}

/// One mix in every trial.
struct Lived {
    costs: Vec<f64>,
    regrets: Vec<f64>,
}

/// Tries every mix.
///
/// # Errors
/// A message when there are too few or too many options or too many mixes, or when a cost is no number.
pub fn mix(
    world: &World,
    order: &MixOrder,
    program: &str,
    tell: &mut dyn FnMut(Progress),
) -> Result<MixReport, String> {
    let plan = world.plan;
    let count = order.options.len();
    if !(OPTIONS.0..=OPTIONS.1).contains(&count) {
        return Err(format!("{count} options to mix; {} to {} are allowed: name them", OPTIONS.0, OPTIONS.1));
    }
    let number = compositions(order.parts, count);
    if number > MOST_MIXES {
        return Err(format!("{number} mixes of {count} options; at most {MOST_MIXES} are tried: take fewer --parts"));
    }
    let service = service(plan, order.contract);
    let scale = service.present_moles * f64::from(order.rooms);
    let contracts = [order.contract];
    let scope = Scope { options: &order.options, contracts: &contracts, points: 1, months: false };
    let seed = world.settings.seed;
    let costs =
        revisit(plan, scope, &world.settings, world.stop, tell, |_, _, _| seed, |seen| seen.priced.levelized() * scale);
    if costs.iter().flatten().any(|cost| !cost.is_finite()) {
        return Err("an option gives no light in some trial: its cost of a mole is no number".into());
    }
    let all: Vec<Vec<u32>> = shares(order.parts, count);
    let mut mixes: Vec<Mix> = all.iter().map(|parts| told(&lived(&costs, parts, order.parts), parts)).collect();
    frontier(&mut mixes);
    // a mean of means lies between them: whatever rounding says, the lowest is that of one option alone
    let lowest_mean = (0..count).fold(0, |best, k| if mixes[k].mean.value < mixes[best].mean.value { k } else { best });
    let of = |k: usize| lived(&costs, &mixes[k].parts, order.parts);
    let base = of(lowest_mean);
    let lowest_regret = hedge(&mixes, &base, of, |mix| mix.regret_p95.value, |lived| (&lived.regrets, 0.95));
    let lowest_p90 = hedge(&mixes, &base, of, |mix| mix.p90.value, |lived| (&lived.costs, 0.90));
    let name = |read: fn(&plan::OptionPlan) -> &String| -> Vec<String> {
        order.options.iter().map(|&option| read(&plan.options[option]).clone()).collect()
    };
    let mut remarks = plan.remarks.clone();
    remarks.push(
        "each option lights its share of the canopy at the cost that it has in a whole room of its own: charges that bend \
         with the load (demand, blocks, minimum bills, build-out) and visits of the crew are not worked out anew for a mix"
            .into(),
    );
    Ok(MixReport {
        format: MIX_FORMAT.into(),
        program: program.into(),
        title: plan.title.clone(),
        currency: plan.currency.clone(),
        basis: plan.money.basis().into(),
        discount_rate: plan.inputs.at(plan.money.discount_rate).quantile(0.5),
        prices_of: plan.prices_of.clone(),
        start: plan.first_day.to_string(),
        horizon_years: plan.years,
        contract: plan.contracts[order.contract].name.clone(),
        options: name(|option| &option.name),
        light_bases: name(|option| &option.light.basis),
        parts: order.parts,
        service_mol: service.present_moles,
        service: service.words,
        rooms: order.rooms,
        seed,
        trials: costs.len() as u64,
        ended: if world.stop.load(Ordering::Relaxed) { Ended::Interrupted } else { Ended::Trials },
        mixes,
        lowest_mean,
        lowest_regret,
        lowest_p90,
        cautions: plan.cautions.clone(),
        remarks,
    })
}

/// In how many ways so many parts are shared out.
fn compositions(parts: u32, options: usize) -> u64 {
    (1..options as u64).fold(1, |ways, k| ways * (u64::from(parts) + k) / k)
}

/// All ways of sharing parts out, those with one taker first.
fn shares(parts: u32, options: usize) -> Vec<Vec<u32>> {
    let mut all: Vec<Vec<u32>> = vec![vec![]];
    for _ in 1..options {
        let longer = |given: Vec<u32>| {
            let left = parts - given.iter().sum::<u32>();
            (0..=left).map(move |part| [&given[..], &[part]].concat())
        };
        all = all.into_iter().flat_map(longer).collect();
    }
    for given in &mut all {
        given.push(parts - given.iter().sum::<u32>());
    }
    let taker = |given: &Vec<u32>| given.iter().position(|&part| part == parts).unwrap_or(options);
    all.sort_by_key(taker);
    all
}

fn lived(costs: &[Vec<f64>], given: &[u32], parts: u32) -> Lived {
    let share = |part: u32| f64::from(part) / f64::from(parts);
    // what comes on top of one of the costs, so that a blend of equal costs is that cost to the last bit
    let blend = |row: &Vec<f64>| {
        let given = || row.iter().zip(given).filter(|(_, part)| **part > 0);
        let base = given().next().map_or(0.0, |(cost, _)| *cost);
        base + given().map(|(cost, &part)| share(part) * (cost - base)).sum::<f64>()
    };
    let costs_of: Vec<f64> = costs.iter().map(blend).collect();
    // a blend of equal costs may fall below them by rounding
    let regret = |(row, cost): (&Vec<f64>, &f64)| (cost - row.iter().copied().fold(f64::INFINITY, f64::min)).max(0.0);
    let regrets = costs.iter().zip(&costs_of).map(regret).collect();
    Lived { costs: costs_of, regrets }
}

fn told(lived: &Lived, parts: &[u32]) -> Mix {
    let (of_cost, sd) = mean(&lived.costs);
    Mix {
        parts: parts.to_vec(),
        mean: of_cost,
        sd,
        p90: Sorted::new(lived.costs.clone()).estimate(0.90),
        regret_mean: mean(&lived.regrets).0,
        regret_p95: Sorted::new(lived.regrets.clone()).estimate(0.95),
        is_frontier: false,
    }
}

/// Marks the mixes that no other beats in both mean and regret.
fn frontier(mixes: &mut [Mix]) {
    let points: Vec<(f64, f64)> = mixes.iter().map(|mix| (mix.mean.value, mix.regret_p95.value)).collect();
    for (mix, own) in mixes.iter_mut().zip(&points) {
        let beats = |other: &(f64, f64)| other.0 <= own.0 && other.1 <= own.1 && other != own;
        mix.is_frontier = !points.iter().any(beats);
    }
}

/// The mix that is lowest in something, against the one with the lowest mean.
fn hedge(
    mixes: &[Mix],
    base: &Lived,
    of: impl Fn(usize) -> Lived,
    key: impl Fn(&Mix) -> f64,
    quantile: impl Fn(&Lived) -> (&Vec<f64>, f64),
) -> Hedge {
    let rank = |k: usize| (key(&mixes[k]), mixes[k].mean.value);
    let lowest = (1..mixes.len()).fold(0, |best, k| if rank(k) < rank(best) { k } else { best });
    let chosen = of(lowest);
    let dearer: Vec<f64> = chosen.costs.iter().zip(&base.costs).map(|(a, b)| a - b).collect();
    let ((of_chosen, share), (of_base, _)) = (quantile(&chosen), quantile(base));
    Hedge { mix: lowest, premium: mean(&dearer).0, lowers: between(of_base, of_chosen, share) }
}

/// How far a quantile of `a` lies above that of `b`; its noise is that of the mean of so many groups of trials, in which
/// both share their luck.
fn between(a: &[f64], b: &[f64], share: f64) -> Estimate {
    let at = |values: Vec<f64>| Sorted::new(values).quantile(share);
    let part =
        |values: &[f64], group: usize| -> Vec<f64> { values.iter().skip(group).step_by(GROUPS).copied().collect() };
    let value = at(a.to_vec()) - at(b.to_vec());
    let differences: Vec<f64> = (0..GROUPS).map(|group| at(part(a, group)) - at(part(b, group))).collect();
    Estimate { value, se: mean(&differences).0.se }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_shared_out_in_every_way_once() {
        for (parts, options) in [(10, 2), (10, 3), (7, 4), (1, 4)] {
            let mut all = shares(parts, options);
            assert_eq!(all.len() as u64, compositions(parts, options));
            assert!(all.iter().all(|given| given.len() == options && given.iter().sum::<u32>() == parts));
            for (k, given) in all[..options].iter().enumerate() {
                assert_eq!(given[k], parts);
            }
            all.sort();
            all.dedup();
            assert_eq!(all.len() as u64, compositions(parts, options));
        }
        assert_eq!(compositions(10, 4), 286);
    }

    #[test]
    fn what_is_beaten_in_both_is_no_frontier() {
        let at = |mean: f64, regret: f64| {
            let [mean, regret] = [mean, regret].map(|value| Estimate { value, se: 0.0 });
            Mix { parts: vec![], mean, sd: 0.0, p90: mean, regret_mean: mean, regret_p95: regret, is_frontier: false }
        };
        let mut mixes = [at(1.0, 9.0), at(2.0, 5.0), at(2.0, 6.0), at(3.0, 5.0), at(4.0, 1.0), at(1.0, 9.0)];
        frontier(&mut mixes);
        assert_eq!(mixes.map(|mix| mix.is_frontier), [true, true, false, false, true, true]);
    }
}
