//! What dead lamps advise, and what it is worth to have seen them.

use choice::{Table, information};
use engine::watch;
use plan::{InputId, Plan};

use crate::race::verdict;
use crate::result::{Estimate, Verdict};
use crate::spread::mean;
use crate::stage_report::{Advice, Outcome, Watching, Worth};

use super::StageOrder;

/// Trials of one outcome below which nothing is advised.
const FEW: usize = 20;
/// Inputs that are known together, at most: the mathematics allows no more.
const TOGETHER: usize = 12;

/// What was seen in every trial by numbers of watched lamps.
pub(super) struct Seen {
    sizes: Vec<Size>,
    /// What one lamp costs more than one of now.
    extra: Vec<f64>,
    /// Whether anything is left to learn at all.
    is_uncertain: bool,
}

/// What so many lamps have shown.
struct Size {
    lamps: u32,
    dead: Vec<f64>,
    hours: Vec<f64>,
}

/// Half as many lamps, those asked for, twice and four times as many, as far as there are sockets.
fn sizes(watch: u32, sockets: u32) -> Vec<u32> {
    if watch == 0 {
        return vec![];
    }
    let mut sizes = vec![(watch / 2).max(1), watch, watch.saturating_mul(2), watch.saturating_mul(4)];
    sizes.retain(|&lamps| lamps <= sockets.max(watch));
    sizes.dedup();
    sizes
}

impl Seen {
    pub fn new(head: &Plan, seed: u64, order: &StageOrder, trials: u64) -> Self {
        let sockets = u32::try_from(head.options[order.now].sockets()).unwrap_or(u32::MAX).saturating_mul(order.rooms);
        let empty = |lamps| Size { lamps, dead: vec![], hours: vec![] };
        let mut sizes: Vec<Size> = sizes(order.watch, sockets).into_iter().map(empty).collect();
        let most = sizes.last().map_or(0, |size| size.lamps);
        let clock = &head.clocks[head.contracts[order.contract].clock];
        let mut extra = vec![];
        let lamps = (head.options[order.now].lamp.as_ref(), head.options[order.later].lamp.as_ref());
        if let (Some(now), Some(later)) = lamps {
            for trial in 0..trials {
                let values = head.inputs.draw(seed, trial);
                extra.push(values[later.price.index()] - values[now.price.index()]);
                let watched = watch(later, clock, &values, (seed, trial), most);
                for size in &mut sizes {
                    let first = &watched[..size.lamps as usize];
                    size.dead.push(first.iter().filter(|lamp| lamp.is_dead).count() as f64);
                    size.hours.push(first.iter().map(|lamp| lamp.hours).sum());
                }
            }
        }
        Self { sizes, extra, is_uncertain: !lucks(head, order).is_empty() }
    }

    fn of(&self, lamps: u32) -> Option<&Size> {
        self.sizes.iter().find(|size| size.lamps == lamps)
    }
}

/// What watching is worth by the number of lamps: expected value of sample information by regression of the costs on what
/// was seen (Strong, Oakley, Brennan and Breeze, Medical Decision Making 35:570, 2015).
pub(super) fn watching(table: &Table, seen: &Seen, order: &StageOrder) -> Result<Vec<Watching>, String> {
    debug_assert!(seen.sizes.is_empty() == (order.watch == 0));
    let one = |size: &Size| {
        let worth = if seen.is_uncertain {
            worth(information::inputs(table, &[&size.dead, &size.hours]).map_err(|fault| fault.to_string())?)
        } else {
            // with every input certain, dead lamps are bad luck and no news
            Worth::default()
        };
        let (each, _) = mean(&seen.extra);
        let extra = Estimate { value: each.value * f64::from(size.lamps), se: each.se * f64::from(size.lamps) };
        let net = Estimate { value: worth.value - extra.value, se: worth.se.hypot(extra.se) };
        Ok(Watching { lamps: size.lamps, worth, extra, net })
    };
    seen.sizes.iter().map(one).collect()
}

/// Uncertain inputs that matter to both options and the contract, one for each luck.
fn lucks(head: &Plan, order: &StageOrder) -> Vec<InputId> {
    let concerns = |id: &InputId| {
        head.option_of(*id).is_none_or(|option| [order.now, order.later].contains(&option))
            && head.contract_of(*id).is_none_or(|contract| contract == order.contract)
    };
    let mut known = vec![];
    let mut first = vec![];
    for id in head.input_ids().filter(concerns) {
        if let Some(luck) = head.inputs.luck_of(id)
            && !known.contains(&luck)
        {
            known.push(luck);
            first.push(id);
        }
    }
    first
}

/// What knowing every uncertain input at the change is worth.
pub(super) fn known(
    table: &Table,
    head: &Plan,
    seed: u64,
    order: &StageOrder,
    remarks: &mut Vec<String>,
) -> Result<Worth, String> {
    let trials = table.trials() as u64;
    let value = |id: InputId| -> Vec<f64> { (0..trials).map(|trial| head.inputs.value(id, seed, trial)).collect() };
    let mut inputs: Vec<Vec<f64>> = lucks(head, order).into_iter().map(value).collect();
    if inputs.is_empty() {
        return Ok(Worth::default());
    }
    if inputs.len() > TOGETHER {
        let all = inputs.len();
        let mut singles = vec![];
        for values in inputs {
            let single = information::input(table, &values).map_err(|fault| fault.to_string())?;
            singles.push((single.value, values));
        }
        singles.sort_by(|a, b| b.0.total_cmp(&a.0));
        singles.truncate(TOGETHER);
        inputs = singles.into_iter().map(|(_, values)| values).collect();
        remarks.push(format!("\"every input\" is the {TOGETHER} that are worth most to know, of {all}"));
    }
    let columns: Vec<&[f64]> = inputs.iter().map(|values| &values[..]).collect();
    Ok(worth(information::inputs(table, &columns).map_err(|fault| fault.to_string())?))
}

fn worth(found: information::Worth) -> Worth {
    Worth { value: found.value, se: found.se, is_seen: found.is_seen, unseen: found.unseen }
}

/// What each number of dead lamps advises; `saving` is what changing saves, trial by trial.
pub(super) fn rule(saving: &[f64], seen: &Seen, watch: u32) -> Vec<Outcome> {
    let Some(size) = seen.of(watch) else { return vec![] };
    let trials = saving.len() as f64;
    let outcome = |dead: u32| {
        let of = |(saving, seen): (&f64, &f64)| (*seen == f64::from(dead)).then_some(*saving);
        let told: Vec<f64> = saving.iter().zip(&size.dead).filter_map(of).collect();
        let chance = told.len() as f64 / trials;
        let found = (told.len() > 1).then(|| mean(&told).0);
        let advice = match found.filter(|_| told.len() >= FEW).map(verdict) {
            Some(Verdict::B) => Advice::Change,
            Some(Verdict::A) => Advice::Stay,
            Some(_) => Advice::TooClose,
            None => Advice::TooRare,
        };
        let chance = Estimate { value: chance, se: (chance * (1.0 - chance) / trials).sqrt() };
        Outcome { dead, chance, saving: found, advice }
    };
    (0..=watch).map(outcome).collect()
}

/// Whether some outcome advises clearly against what is believed today.
pub(super) fn minds_change(rule: &[Outcome], would_change: bool) -> bool {
    let against = if would_change { Advice::Stay } else { Advice::Change };
    rule.iter().any(|outcome| outcome.advice == against)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_stand_around_what_is_asked_for() {
        assert_eq!(sizes(8, 1000), [4, 8, 16, 32]);
        assert_eq!(sizes(1, 1000), [1, 2, 4]);
        assert_eq!(sizes(8, 20), [4, 8, 16]);
        assert_eq!(sizes(0, 20), [0; 0]);
    }

    #[test]
    fn rare_outcomes_advise_nothing() {
        let dead: Vec<f64> = (0..200).map(|k| if k < 10 { 2.0 } else { f64::from(k % 2) }).collect();
        let saving: Vec<f64> = dead.iter().map(|dead| 3.0 - 4.0 * dead).collect();
        let hours = vec![0.0; 200];
        let seen = Seen { sizes: vec![Size { lamps: 3, dead, hours }], extra: vec![], is_uncertain: true };
        let rule = rule(&saving, &seen, 3);
        let advice: Vec<Advice> = rule.iter().map(|outcome| outcome.advice).collect();
        assert_eq!(advice, [Advice::Change, Advice::Stay, Advice::TooRare, Advice::TooRare]);
        assert_eq!((rule[3].saving, rule[2].saving.unwrap().value), (None, -5.0));
        assert!((rule.iter().map(|outcome| outcome.chance.value).sum::<f64>() - 1.0).abs() < 1e-12);
        assert!(minds_change(&rule, true) && minds_change(&rule, false) && !minds_change(&rule[2..], true));
    }
}
