//! Whole rooms at equal light: how well each holds the target, how many fixtures that takes, and what light beyond it costs.
//!
//! Belongs here: counting fixtures and living whole rooms anew. Does not belong here: the light of the target itself
//! (`service`).

use engine::Progress;
use plan::{MAX_SOCKETS, OptionPlan, Plan, PpfdMap};

use super::pairs::scaled;
use super::{Inquiry, Notes, by_lowest};
use crate::race::{leads, verdict};
use crate::rank_report::{Held, HeldOption, RankContract, Reason, Turned};
use crate::result::{Estimate, Verdict};
use crate::service::service;
use crate::spread::mean;
use crate::turn::World;

/// A room is lived with this many times as many fixtures as written, at most: a plan that was checked for some lamp changes
/// must not be lived with any number of them.
const MOST_TIMES: u32 = 20;
/// Less than this of a fixture is rounding.
const HAIR: f64 = 1e-9;

/// Photons that hold the target, by month, mol: [`service`] split up.
fn target_by_month(plan: &Plan, clock: usize) -> Vec<f64> {
    let medians = plan.inputs.medians();
    let flux = plan.target_ppfd.map_or(0.0, |target| medians[target.index()] * medians[plan.canopy_area.index()]);
    let mut months = vec![0.0; plan.months()];
    for cell in &plan.clocks[clock].cells {
        months[cell.month] += (cell.to - cell.from) * cell.flux * flux * 3600.0 * 1e-6;
    }
    months
}

/// PPFD of the darkest point as a share of the mean, where readings tell it.
fn darkest_ratio(map: &PpfdMap) -> Option<f64> {
    let PpfdMap::Readings(readings) = map else { return None };
    let mean: f64 = readings.iter().map(|(ppfd, share)| ppfd * share).sum();
    let least = readings.iter().map(|(ppfd, _)| *ppfd).fold(f64::INFINITY, f64::min);
    (mean > 0.0).then_some(least / mean)
}

/// Writes into every contract how well the rooms hold the target and what whole rooms cost.
pub(super) fn held(
    inquiry: &mut Inquiry,
    now: &Notes,
    contracts: &mut [RankContract],
    remarks: &mut Vec<String>,
    tell: &mut dyn FnMut(Progress),
) -> Result<(), String> {
    let plan = inquiry.world.plan;
    let asked = inquiry.order.contracts.clone();
    if plan.least_ppfd.is_some() {
        remarks.push(
            "the darkest point is the least reading of a fixture's own map as a share of its mean: what neighbours and walls add \
             there is not in it"
                .into(),
        );
        for option in plan.options.iter().filter(|option| darkest_ratio(&option.light.map).is_none()) {
            remarks.push(format!(
                "{}: no readings over the canopy, so its light is taken to be even and its darkest point to be the mean",
                option.name
            ));
        }
    }
    for clock in 0..plan.clocks.len() {
        let on_clock: Vec<usize> = (0..asked.len()).filter(|&at| plan.contracts[asked[at]].clock == clock).collect();
        let Some(&leader) = on_clock.first() else { continue };
        let lights: Vec<Light> =
            (0..plan.options.len()).map(|o| Light::of(plan, now, (o, leader), asked[leader])).collect();
        let whole = whole_rooms(inquiry, &lights, remarks, tell)?;
        for position in on_clock {
            let ranked = &contracts[position];
            let held = Money { inquiry, now, whole: whole.as_ref(), position }.held(ranked, asked[position], &lights);
            contracts[position].service_held = Some(held);
        }
    }
    Ok(())
}

/// The light of one option on one clock.
struct Light {
    share: Estimate,
    worst: (u32, Estimate),
    ratio: Option<f64>,
    darkest: Option<f64>,
    for_mean: Estimate,
    for_darkest: Option<f64>,
    needed: f64,
    /// Whole fixtures; the largest number where there is none.
    whole: u32,
    /// Whether a room of so many can be lived.
    can_be_lived: bool,
}

impl Light {
    fn of(plan: &Plan, now: &Notes, (o, position): (usize, usize), contract: usize) -> Self {
        let option = &plan.options[o];
        let target = service(plan, contract).moles;
        let share = mean(&now.of(o, position, |note| note.moles / target)).0;
        let months = target_by_month(plan, plan.contracts[contract].clock);
        let mut worst = (0, Estimate { value: f64::INFINITY, se: 0.0 });
        for (month, needed) in months.iter().enumerate().filter(|(_, needed)| **needed > 0.0) {
            let held: Vec<f64> = now.by_month(o, position).map(|moles| moles[month] / needed).collect();
            let held = mean(&held).0;
            if held.value < worst.1.value {
                worst = (month as u32 + 1, held);
            }
        }
        let fixtures = f64::from(option.fixtures);
        let medians = plan.inputs.medians();
        let for_mean =
            Estimate { value: fixtures / share.value, se: fixtures / share.value * (share.se / share.value).abs() };
        let ratio = darkest_ratio(&option.light.map);
        let target_ppfd = plan.target_ppfd.map_or(f64::NAN, |id| medians[id.index()]);
        let least = plan.least_ppfd.map(|id| medians[id.index()]);
        let darkest = least.map(|_| ratio.unwrap_or(1.0) * share.value * target_ppfd);
        let for_darkest = least.zip(darkest).map(|(least, darkest)| fixtures * least / darkest);
        let needed = for_darkest.map_or(for_mean.value, |darkest| darkest.max(for_mean.value));
        let whole = whole(needed);
        Self { share, worst, ratio, darkest, for_mean, for_darkest, needed, whole, can_be_lived: lives(option, whole) }
    }

    fn is_set_by_darkest(&self) -> bool {
        self.for_darkest.is_some_and(|darkest| darkest > self.for_mean.value)
    }
}

/// The next whole number, at least 1.
fn whole(needed: f64) -> u32 {
    let up = (needed - HAIR * needed.abs().max(1.0)).ceil();
    // a number that is none, or too large, becomes the largest: no such room can be lived
    if up <= f64::from(u32::MAX) { up.max(1.0) as u32 } else { u32::MAX }
}

fn lives(option: &OptionPlan, whole: u32) -> bool {
    u64::from(whole) * u64::from(option.lamps_per_fixture) <= MAX_SOCKETS
        && u64::from(whole) <= u64::from(option.fixtures) * u64::from(MOST_TIMES)
}

/// Lives all options with whole numbers of fixtures; none when it was interrupted.
fn whole_rooms(
    inquiry: &mut Inquiry,
    lights: &[Light],
    remarks: &mut Vec<String>,
    tell: &mut dyn FnMut(Progress),
) -> Result<Option<Notes>, String> {
    if inquiry.is_stopped() {
        return Ok(None);
    }
    let world = inquiry.world;
    let mut plan = world.plan.clone();
    for (option, light) in plan.options.iter_mut().zip(lights) {
        if light.can_be_lived {
            option.fixtures = light.whole;
        } else {
            let told = format!(
                "{}: a room that holds the target would need {:.3e} fixtures; so many are not lived, and it has no cost",
                option.name, light.needed
            );
            if !remarks.contains(&told) {
                remarks.push(told);
            }
        }
    }
    let whole = World { plan: &plan, ..*world };
    inquiry.live(&whole, (&[], &[]), false, tell).map(Some)
}

/// What rooms cost under one contract.
struct Money<'a> {
    inquiry: &'a Inquiry<'a>,
    now: &'a Notes,
    whole: Option<&'a Notes>,
    position: usize,
}

impl Money<'_> {
    fn held(&self, ranked: &RankContract, contract: usize, lights: &[Light]) -> Held {
        let (plan, rooms) = (self.inquiry.world.plan, f64::from(self.inquiry.order.rooms));
        let service = service(plan, contract);
        let mut options = vec![];
        for (o, light) in lights.iter().enumerate() {
            let moles = mean(&self.now.of(o, self.position, |note| note.moles)).0.value;
            let surplus_mol = (moles - service.moles).max(0.0);
            // dimming away a share of the light takes away that share of the electricity
            let share = |note: &super::Note| {
                let beyond = note.present_moles - service.present_moles;
                if surplus_mol > 0.0 { note.electricity * beyond / note.present_moles } else { 0.0 }
            };
            let money = |values: Vec<f64>| scaled(mean(&values).0, rooms);
            options.push(HeldOption {
                fixtures: plan.options[o].fixtures,
                share: light.share,
                worst_share: light.worst.1,
                worst_month: light.worst.0,
                darkest_ratio: light.ratio,
                darkest_ppfd: light.darkest,
                needed_for_mean: light.for_mean,
                needed_for_darkest: light.for_darkest,
                whole: light.whole,
                as_written: money(self.now.of(o, self.position, |note| note.present)),
                whole_cost: self.whole_costs(o, lights).map(money),
                surplus_mol,
                surplus_cost: money(self.now.of(o, self.position, share)),
                less_surplus: money(self.now.of(o, self.position, |note| note.present - share(note))),
            });
        }
        let written: Vec<f64> = options.iter().map(|option| option.as_written.value).collect();
        let whole: Vec<f64> =
            options.iter().map(|option| option.whole_cost.map_or(f64::INFINITY, |cost| cost.value)).collect();
        let as_written = |o: usize| Some(self.now.of(o, self.position, |note| note.present));
        Held {
            target_mol: service.moles,
            order_as_written: by_lowest(&written),
            order_whole: by_lowest(&whole),
            turned_as_written: self.turned(ranked, &as_written, &|_, _| Reason::UnequalLight),
            turned_whole: self.turned(ranked, &|o| self.whole_costs(o, lights), &|a, b| reason(lights, a, b)),
            options,
        }
    }

    fn whole_costs(&self, option: usize, lights: &[Light]) -> Option<Vec<f64>> {
        let notes = self.whole.filter(|_| lights[option].can_be_lived)?;
        Some(notes.of(option, self.position, |note| note.present))
    }

    /// The first pair, in the order per mole, whose rooms rank the other way round, beyond noise both times.
    fn turned(
        &self,
        ranked: &RankContract,
        costs: &dyn Fn(usize) -> Option<Vec<f64>>,
        why: &dyn Fn((usize, f64), (usize, f64)) -> Reason,
    ) -> Option<Turned> {
        let rooms = f64::from(self.inquiry.order.rooms);
        for (place, &cheaper) in ranked.order.iter().enumerate() {
            for &dearer in &ranked.order[place + 1..] {
                let is_pair = |pair: &&crate::rank_report::Pair| {
                    (pair.a, pair.b) == (cheaper.min(dearer), cheaper.max(dearer)) && !pair.word.is_too_close()
                };
                let (Some(_), Some(of_cheaper), Some(of_dearer)) =
                    (ranked.pairs.iter().find(is_pair), costs(cheaper), costs(dearer))
                else {
                    continue;
                };
                let (lead, _) = mean(&leads(&of_cheaper, &of_dearer));
                if verdict(lead) == Verdict::B {
                    let of = |costs: &[f64]| mean(costs).0.value;
                    let reason = why((cheaper, of(&of_cheaper)), (dearer, of(&of_dearer)));
                    return Some(Turned { per_mole: cheaper, per_room: dearer, lead: scaled(lead, rooms), reason });
                }
            }
        }
        None
    }
}

/// Why two rooms of whole fixtures rank otherwise than their moles: a is cheaper per mole, b per room.
fn reason(lights: &[Light], (a, of_a): (usize, f64), (b, of_b): (usize, f64)) -> Reason {
    let exact = |o: usize, cost: f64| cost * lights[o].for_mean.value / f64::from(lights[o].whole);
    if [a, b].iter().any(|&o| lights[o].is_set_by_darkest()) {
        Reason::DarkestPoint
    } else if exact(a, of_a) <= exact(b, of_b) {
        Reason::WholeFixtures
    } else {
        Reason::Time
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fixtures_are_rounded_up_but_not_for_a_hair() {
        for (needed, expected) in [(23.2, 24), (24.0, 24), (24.0 + 1e-12, 24), (24.001, 25), (0.02, 1), (0.0, 1)] {
            assert_eq!(whole(needed), expected, "{needed}");
        }
        for needed in [f64::NAN, f64::INFINITY, 1e300] {
            assert_eq!(whole(needed), u32::MAX, "{needed}");
        }
    }

    #[test]
    fn the_darkest_point_is_told_by_readings_alone() {
        assert_eq!(darkest_ratio(&PpfdMap::Readings(vec![(600.0, 0.5), (200.0, 0.5)])), Some(0.5));
        assert_eq!(darkest_ratio(&PpfdMap::Readings(vec![])), None);
    }
}
