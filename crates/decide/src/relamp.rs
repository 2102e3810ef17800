//! When to relamp: cost over intervals for every policy on the same luck, how flat it is, and what follows for the crew.
//!
//! Belongs here: which ways are tried, and what is concluded. Does not belong here: living and pricing (`engine`), the exact
//! cross-check (`exact`), counts by month (`lamp_months`).

use std::sync::atomic::{AtomicBool, Ordering};

use engine::{Place, Progress, Settings, keep};
use plan::{Interval, OptionPlan, Plan, RelampPlan};

use crate::comparable::{comparable, without_warranty};
use crate::exact::exact;
use crate::lamp_months::lamp_months;
pub use crate::relamp_report::*;
use crate::relamp_words::{WEEKDAYS, dated, in_words, name_of, relamps};
use crate::result::{Ended, Estimate};
use crate::tried::{Tried, cheapest, flat, intervals, note, share, wander};

/// Intervals that are tried around the best one in a second look.
const CLOSER: usize = 10;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct RelampOrder {
    /// Indices of the options; empty for all with lamps.
    pub options: Vec<usize>,
    /// Index of the contract under which all is priced.
    pub contract: usize,
    /// Share of the lowest cost within which intervals count as equally good.
    pub flat_within: f64,
    /// Weekday on which the crew comes, 0 for Monday.
    pub crew_day: Option<u8>,
    /// Whether to cross-check without random numbers.
    pub exact: bool,
    /// Trials, seed, threads.
    pub settings: Settings,
}

/// The search over one option's ways.
struct Search<'a> {
    plan: &'a Plan,
    order: &'a RelampOrder,
    index: usize,
    option: &'a OptionPlan,
    stop: &'a AtomicBool,
}

/// Searches. `tell` hears of progress over all options.
pub fn relamp(
    plan: &Plan,
    order: &RelampOrder,
    program: &str,
    stop: &AtomicBool,
    mut tell: impl FnMut(Progress),
) -> RelampReport {
    let (mut left_out, mut said) = (vec![], plan.remarks.clone());
    let asked = |k: &usize| order.options.is_empty() || order.options.contains(k);
    let chosen: Vec<usize> = (0..plan.options.len())
        .filter(asked)
        .filter(|&k| {
            let has_lamps = plan.options[k].lamp.as_ref().is_some_and(|lamp| !lamp.is_fixture);
            if !has_lamps {
                left_out.push(format!("{} has no replaceable lamp", plan.options[k].name));
            }
            has_lamps
        })
        .collect();
    // each option is looked at in about so many rounds of trials
    const ROUNDS: u64 = 4;
    let most = chosen.len() as u64 * ROUNDS * order.settings.trials;
    let mut options = vec![];
    let mut trials = order.settings.trials;
    for (k, &index) in chosen.iter().enumerate() {
        let option = &comparable(plan, order.contract, &plan.options[index], &mut said);
        let search = Search { plan, order, index, option, stop };
        let before = k as u64 * ROUNDS * order.settings.trials;
        let mut round = 0;
        let mut told = |progress: Progress| {
            tell(Progress { done: before + round * order.settings.trials + progress.done, most });
            if progress.done == progress.most {
                round += 1;
            }
        };
        let (found, done) = search.option(&mut told, &mut left_out);
        trials = trials.min(done);
        options.push(found);
        if stop.load(Ordering::Relaxed) {
            break;
        }
    }
    let contract = &plan.contracts[order.contract];
    RelampReport {
        format: RELAMP_FORMAT.into(),
        program: program.into(),
        title: plan.title.clone(),
        currency: plan.currency.clone(),
        basis: plan.money.basis().into(),
        discount_rate: plan.inputs.at(plan.money.discount_rate).quantile(0.5),
        prices_of: plan.prices_of.clone(),
        start: plan.first_day.to_string(),
        horizon_years: plan.years,
        burn_h: plan.clocks[contract.clock].timeline.lit_hours,
        contract: contract.name.clone(),
        seed: order.settings.seed,
        trials,
        ended: if stop.load(Ordering::Relaxed) { Ended::Interrupted } else { Ended::Trials },
        flat_within: order.flat_within,
        options,
        left_out,
        cautions: plan.cautions.clone(),
        remarks: said,
    }
}

impl Search<'_> {
    fn place(&self) -> Place {
        Place { option: self.index, contract: self.order.contract, medians: false }
    }

    fn try_all(&self, ways: &[OptionPlan], tell: &mut dyn FnMut(Progress)) -> Vec<Tried> {
        let by_trial = keep(self.plan, self.place(), ways, &self.order.settings, self.stop, tell, note);
        (0..ways.len()).map(|way| Tried { notes: by_trial.iter().map(|trial| trial[way]).collect() }).collect()
    }

    /// Burn hours by which half of the lamps are dead on this photoperiod, at the medians of the inputs.
    fn median_life(&self) -> f64 {
        let medians = self.plan.inputs.medians();
        let clock = &self.plan.clocks[self.plan.contracts[self.order.contract].clock];
        let hours_per_start = clock.timeline.lit_hours / f64::from(clock.starts_between(0.0, f64::INFINITY)).max(1.0);
        self.option.lamp.as_ref().map_or(f64::INFINITY, |lamp| {
            let wear = lamp::StartWear {
                start_cost: medians[lamp.start_cost.index()],
                rated_hours_per_start: medians[lamp.rated_hours_per_start.index()],
            };
            lamp.life(&medians).median() / wear.per_burn_hour(hours_per_start)
        })
    }

    fn relamp(&self, kind: PolicyKind, hours: f64) -> RelampPlan {
        // what the scenario says about young lamps and zones holds for group relamps with spot replacement between
        let (kept, in_zones) = match self.option.relamp {
            RelampPlan::Group { keep, zones, .. } => (keep, zones),
            _ => (None, 1),
        };
        match kind {
            PolicyKind::OnFailure => RelampPlan::OnFailure,
            PolicyKind::GroupWithSpot => match RelampPlan::group(hours, true) {
                RelampPlan::Group { every, spot_between, at_turnaround, weekday, .. } => {
                    RelampPlan::Group { every, spot_between, at_turnaround, weekday, keep: kept, zones: in_zones }
                }
                other => other,
            },
            PolicyKind::GroupOnly => RelampPlan::group(hours, false),
            PolicyKind::ByAge => RelampPlan::ByAge { at: Interval::Fixed(hours) },
        }
    }

    fn option(&self, tell: &mut dyn FnMut(Progress), left_out: &mut Vec<String>) -> (RelampOption, u64) {
        let (plan, option) = (self.plan, self.option);
        let clock = &plan.clocks[plan.contracts[self.order.contract].clock];
        let (median, lit) = (self.median_life(), clock.timeline.lit_hours);
        let kinds = self.kinds(left_out);
        let medians = plan.inputs.medians();
        let fading = option.maintenance.curve(&medians, option.rated_life(&medians));
        let written = option.relamp.longest(&medians, &fading);
        let intervals = intervals(median, fading.age_at(0.5), lit, written);

        // everything on the same luck: as written first, then every policy over its intervals
        let mut ways = vec![option.clone()];
        let mut spans = vec![];
        for &kind in &kinds {
            let first = ways.len();
            match kind {
                PolicyKind::OnFailure => ways.push(option.with_relamp(RelampPlan::OnFailure)),
                _ => ways.extend(intervals.iter().map(|&hours| option.with_relamp(self.relamp(kind, hours)))),
            }
            spans.push(first..ways.len());
        }
        let mut tried = self.try_all(&ways, tell);
        let as_written = tried.remove(0);
        let rest = tried.into_iter().collect::<Vec<_>>();
        let mut curves: Vec<(PolicyKind, Vec<f64>, Vec<Tried>)> = vec![];
        let mut rest = rest.into_iter();
        for (&kind, span) in kinds.iter().zip(&spans) {
            let hours = if kind == PolicyKind::OnFailure { vec![] } else { intervals.clone() };
            curves.push((kind, hours, rest.by_ref().take(span.len()).collect()));
        }
        self.look_closer(&mut curves, tell);

        let policies: Vec<PolicyCurve> = curves.iter().map(|curve| self.curve(curve, lit, &as_written)).collect();
        let lowest = |a: &usize, b: &usize| policies[*a].lowest.value.total_cmp(&policies[*b].lowest.value);
        let best_policy = (0..policies.len()).min_by(lowest).unwrap_or(0);
        let cost_as_written = as_written.cost();
        let best = curves.get(best_policy).map(|(_, _, tried)| &tried[cheapest(tried)]);
        let saving = best.map_or(Estimate::default(), |best| {
            share(as_written.less(best, |note| note.levelized), cost_as_written.value)
        });
        let trials = as_written.notes.len() as u64;
        let mut found = RelampOption {
            name: option.name.clone(),
            light_basis: option.light.basis.clone(),
            sockets: option.sockets() as u32,
            median_life_h: median,
            as_written: in_words(plan, option),
            cost_as_written,
            policies,
            best_policy,
            saving,
            endings: vec![],
            visits: dated(plan, self.order.contract, option),
            months: vec![],
            lead_months: 1,
            warranty: None,
            exact: None,
        };
        self.follow_up(&mut found, &curves, tell);
        (found, trials)
    }

    /// Policies whose prices are known.
    fn kinds(&self, left_out: &mut Vec<String>) -> Vec<PolicyKind> {
        let option = self.option;
        let (spot, planned) = (
            option.spot_labour.is_some() || option.crew.is_some(),
            option.planned_labour.is_some() || option.crew.is_some(),
        );
        for (known, key, what) in
            [(spot, "spot_labour", "replacement on failure"), (planned, "planned_labour", "planned replacement")]
        {
            if !known {
                left_out.push(format!("{}: policies with {what}, because `upkeep.{key}` is not stated", option.name));
            }
        }
        [
            (PolicyKind::OnFailure, spot),
            (PolicyKind::GroupWithSpot, spot && planned),
            (PolicyKind::GroupOnly, planned),
            (PolicyKind::ByAge, spot && planned),
        ]
        .into_iter()
        .filter(|(_, known)| *known)
        .map(|(kind, _)| kind)
        .collect()
    }

    /// Tries more intervals between the neighbours of the best one of each policy.
    fn look_closer(&self, curves: &mut [(PolicyKind, Vec<f64>, Vec<Tried>)], tell: &mut dyn FnMut(Progress)) {
        let mut ways = vec![];
        let mut more: Vec<Vec<f64>> = vec![];
        for (kind, intervals, tried) in curves.iter() {
            let mut closer = vec![];
            if intervals.len() > 2 {
                let k = cheapest(tried);
                let high = intervals[(k + 1).min(intervals.len() - 1)];
                // where the shortest is the best so far, look further down
                let low = if k == 0 { 0.2 * intervals[0] } else { intervals[k - 1] };
                closer.extend((1..=CLOSER).map(|j| low + (high - low) * j as f64 / (CLOSER + 1) as f64));
            }
            ways.extend(closer.iter().map(|&hours| self.option.with_relamp(self.relamp(*kind, hours))));
            more.push(closer);
        }
        let mut tried = self.try_all(&ways, tell).into_iter();
        for ((_, intervals, before), closer) in curves.iter_mut().zip(more) {
            for hours in closer {
                let at = intervals.partition_point(|&other| other < hours);
                if let Some(way) = tried.next() {
                    intervals.insert(at, hours);
                    before.insert(at, way);
                }
            }
        }
    }

    fn curve(
        &self,
        (kind, intervals, tried): &(PolicyKind, Vec<f64>, Vec<Tried>),
        lit: f64,
        as_written: &Tried,
    ) -> PolicyCurve {
        let moles = as_written.mean(|note| note.moles);
        let levelized: Vec<Estimate> = tried.iter().map(Tried::cost).collect();
        let best = cheapest(tried);
        let socket_hours = lit * self.option.sockets() as f64;
        PolicyCurve {
            kind: *kind,
            name: name_of(*kind).into(),
            light: tried.iter().map(|way| way.mean(|note| note.moles) / moles).collect(),
            lamps: tried.iter().map(|way| way.mean(|note| note.lamps)).collect(),
            dark: tried.iter().map(|way| way.mean(|note| note.dark) / socket_hours).collect(),
            lowest: levelized[best],
            best: (!intervals.is_empty()).then(|| BestInterval {
                interval_h: Estimate { value: intervals[best], se: wander(intervals, tried) },
                at_the_end: best + 1 == intervals.len(),
                flat: flat(intervals, &levelized, self.order.flat_within),
                snapped: vec![],
            }),
            intervals_h: intervals.clone(),
            levelized,
        }
    }

    /// What follows from the curves: snapped relamps, endings, months, the warranty, the cross-check.
    fn follow_up(
        &self,
        found: &mut RelampOption,
        curves: &[(PolicyKind, Vec<f64>, Vec<Tried>)],
        tell: &mut dyn FnMut(Progress),
    ) {
        let snaps = self.snaps(found);
        let endings = self.endings();
        let without = without_warranty(self.option);
        let mut ways = vec![self.option.clone()];
        ways.extend(snaps.iter().map(|(.., way)| way.clone()));
        ways.extend(endings.iter().map(|(_, way)| way.clone()));
        ways.extend(without.clone());
        let tried = self.try_all(&ways, tell);
        let as_written = &tried[0];
        let mut next = tried.iter().skip(1);
        for ((policy, to, way), tried) in snaps.into_iter().zip(next.by_ref()) {
            let (_, _, all) = &curves[policy];
            let best = &all[cheapest(all)];
            let extra = share(tried.less(best, |note| note.levelized), best.cost().value);
            let dates =
                dated(self.plan, self.order.contract, &way).into_iter().take(6).map(|visit| visit.date).collect();
            if let Some(best) = &mut found.policies[policy].best {
                best.snapped.push(Snapped { to, levelized: tried.cost(), extra, dates });
            }
        }
        for ((what, way), tried) in endings.into_iter().zip(next.by_ref()) {
            let relamps = dated(self.plan, self.order.contract, &way).iter().filter(|visit| visit.zone == 1).count();
            let saves = as_written.less(tried, |note| note.present);
            found.endings.push(Ending { what, relamps: relamps as u32, levelized: tried.cost(), saves });
        }
        let credit = next.next().map(|without| without.less(as_written, |note| note.present));
        lamp_months(self.plan, self.place(), self.option, &self.order.settings, self.stop, credit, found, tell);
        if self.order.exact {
            found.exact = Some(exact(
                self.plan,
                self.place(),
                self.option,
                &self.order.settings,
                self.order.flat_within,
                self.stop,
            ));
        }
    }

    /// The best group relamps moved to crop turns and crew days: index of the policy, to what, and the way.
    fn snaps(&self, found: &RelampOption) -> Vec<(usize, String, OptionPlan)> {
        let clock = &self.plan.clocks[self.plan.contracts[self.order.contract].clock];
        let mut snaps = vec![];
        for (policy, curve) in found.policies.iter().enumerate() {
            let (true, Some(best)) =
                (matches!(curve.kind, PolicyKind::GroupWithSpot | PolicyKind::GroupOnly), &curve.best)
            else {
                continue;
            };
            if best.at_the_end {
                continue;
            }
            let moved = |turn: bool, day: Option<u8>| match self.relamp(curve.kind, best.interval_h.value) {
                RelampPlan::Group { every, spot_between, keep, zones, .. } => {
                    self.option.with_relamp(RelampPlan::Group {
                        every,
                        spot_between,
                        at_turnaround: turn,
                        weekday: day,
                        keep,
                        zones,
                    })
                }
                other => self.option.with_relamp(other),
            };
            if clock.timeline.turns.len() > 1 {
                snaps.push((policy, "the next crop turn".into(), moved(true, None)));
            }
            if let Some(day) = self.order.crew_day {
                let name = WEEKDAYS[usize::from(day % 7)];
                snaps.push((policy, format!("the next {name}"), moved(false, Some(day))));
            }
        }
        snaps
    }

    /// Ways to deal with the last group relamp; none unless groups are relamped as written.
    fn endings(&self) -> Vec<(String, OptionPlan)> {
        let RelampPlan::Group { spot_between, at_turnaround, weekday, keep, zones, .. } = self.option.relamp else {
            return vec![];
        };
        let clock = &self.plan.clocks[self.plan.contracts[self.order.contract].clock];
        let lit = clock.timeline.lit_hours;
        let dates: Vec<f64> = dated(self.plan, self.order.contract, self.option)
            .iter()
            .filter(|visit| visit.zone == 1)
            .map(|visit| visit.burn_h)
            .collect();
        let Some(&last) = dates.last() else { return vec![] };
        let n = dates.len();
        let mut skipped = self.option.clone();
        skipped.end.skip_within = Some(Interval::Fixed(lit - last + 1e-6));
        let mut endings = vec![("skip the last group relamp".to_owned(), skipped)];
        if zones > 1 {
            return endings;
        }
        let evenly = |count: usize| {
            let every = Interval::Fixed(lit / (count + 1) as f64);
            let group = RelampPlan::Group { every, spot_between, at_turnaround, weekday, keep, zones };
            let mut option = self.option.with_relamp(group);
            option.end.skip_within = None;
            option
        };
        endings.push((format!("spread {} evenly over the horizon", relamps(n)), evenly(n)));
        if n > 1 {
            endings.push((format!("spread {} evenly over the horizon", relamps(n - 1)), evenly(n - 1)));
        }
        endings
    }
}
