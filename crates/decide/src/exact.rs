//! A cross-check of the simulation by another method: the renewal equation, without random numbers.
//!
//! It takes every input at its median and failures as mended at once, and lets the simulation run under the same
//! conditions. Where life or light depends on more than one lamp's own hours it does not apply, and says why.

use std::sync::atomic::AtomicBool;

use engine::{Cause, Looked, Place, Settings, keep};
use lamp::{Life, Maintenance, StartWear, WearOut};
use plan::{ClockPlan, InputId, OptionPlan, Plan, RelampPlan};
use renewal::{Costs, Goal, Lamp, LongRun, Planned, Policy, Search, best_interval, expect};

use crate::relamp_report::{Exact, ExactLine, ForEver, PolicyKind};
use crate::relamp_words::name_of;
use crate::spread::mean;

const MOL_PER_FLUX_HOUR: f64 = 3600.0 * 1e-6;
/// Standard errors within which two methods agree.
const AGREES: f64 = 3.0;

/// What the simulation says under the same conditions, in one trial.
#[derive(Debug, Clone, Copy)]
struct Simulated {
    failures: f64,
    planned: f64,
    moles: f64,
    /// Present value of lamps, their disposal and labour.
    upkeep: f64,
    /// Present value of what an hour of burning costs: energy, and its cooling.
    burning: f64,
    /// Present value of what the clock costs, lit or dark: capital, demand and other charges.
    standing: f64,
}

fn simulated(looked: Looked) -> Simulated {
    let sum = |counts: &[u32]| counts.iter().map(|&n| f64::from(n)).sum::<f64>();
    let present = |cause: Cause| looked.priced.present[cause as usize];
    Simulated {
        failures: sum(&looked.ledger.lamp_failures),
        planned: sum(&looked.ledger.planned_lamps),
        moles: looked.priced.moles,
        upkeep: present(Cause::Lamps) + present(Cause::Disposal) + present(Cause::Labour),
        burning: present(Cause::Energy) + present(Cause::Cooling),
        standing: present(Cause::Capital) + present(Cause::Plant) + present(Cause::Demand) + present(Cause::Charges),
    }
}

/// Why the cross-check does not apply to an option.
fn obstacles(option: &OptionPlan, clock: &ClockPlan, wear: StartWear, medians: &[f64]) -> Vec<String> {
    let mut why = vec![];
    let mut because = |applies: bool, text: &str| {
        if applies {
            why.push(text.to_owned());
        }
    };
    let value = |id: InputId| medians[id.index()];
    because(option.gear.as_ref().is_some_and(|gear| value(gear.failures_per_year) > 0.0), "gear fails as well");
    because(!option.components.is_empty(), "components fail as well");
    because(option.cleaning.is_some(), "fixtures are cleaned");
    because(option.power_drift.is_some(), "power drifts with age");
    because(option.lamp.as_ref().is_some_and(|lamp| lamp.warranty.is_some()), "a warranty pays for lamps");
    because(option.end.resale.is_some(), "lamps are sold at the horizon");
    because(option.rebate.is_some() || option.worth_at_end.is_some(), "money comes back for the fixtures");
    because(option.lamp.as_ref().is_some_and(|lamp| lamp.batch.is_some()), "lamps of a batch share their luck");
    because(option.pace_spread.is_some(), "lamps fade at different paces");
    because(option.light.dirt.is_some(), "dirt follows the calendar");
    because(option.light.start_loss.is_some(), "starts cost light");
    because(option.wait_for_dark > 1, "failed lamps wait for others");
    because(option.spares.is_some(), "spares may run out");
    because(option.crew.is_some(), "the crew is paid by visit");
    because(option.breakage.is_some(), "lamps break while they are put in");
    because(option.in_sockets.is_some_and(|(from, to)| value(from) != value(to)), "the first lamps differ in age");
    if let RelampPlan::Group { keep, zones, .. } = option.relamp {
        because(keep.is_some(), "young lamps stay in");
        because(zones > 1, "zones are relamped one after another");
    }
    let slopes: Vec<f64> = clock.cells.iter().map(|cell| wear.per_burn_hour(cell.burn_hours)).collect();
    let (least, most) = slopes.iter().fold((f64::INFINITY, 0.0f64), |(a, b), &slope| (a.min(slope), b.max(slope)));
    because(most > 1.05 * least, "lamps age faster in some phases than in others");
    why
}

/// Cross-checks an option.
pub(crate) fn exact(
    plan: &Plan,
    place: Place,
    option: &OptionPlan,
    settings: &Settings,
    flat_within: f64,
    stop: &AtomicBool,
) -> Exact {
    let clock = &plan.clocks[plan.contracts[place.contract].clock];
    let medians = plan.inputs.medians();
    let mut taken = "every input at its median, failures mended at once".to_owned();
    if plan.money.inflation.is_some() {
        taken += "; what a room that runs for ever should do is told for real money only";
    }
    let refused =
        |why: Vec<String>| Exact { does_not_apply: why, taken: taken.clone(), lines: vec![], for_ever: vec![] };
    let Some(lamp) = &option.lamp else { return refused(vec!["there is no lamp".into()]) };
    let wear = StartWear {
        start_cost: medians[lamp.start_cost.index()],
        rated_hours_per_start: medians[lamp.rated_hours_per_start.index()],
    };
    let why = obstacles(option, clock, wear, &medians);
    if !why.is_empty() {
        return refused(why);
    }
    let mut simple = option.clone();
    (simple.found_after, simple.walk_through) = (None, None);
    let ways = std::slice::from_ref(&simple);
    let place = Place { medians: true, ..place };
    let trials: Vec<Simulated> =
        keep(plan, place, ways, settings, stop, |_| {}, simulated).into_iter().flatten().collect();

    // one slope for the whole schedule: the hour lost or gained at summer time moves it by less than a thousandth
    let lit = clock.timeline.lit_hours;
    let used: f64 = clock.cells.iter().map(|cell| wear.per_burn_hour(cell.burn_hours) * (cell.to - cell.from)).sum();
    let socket = Socket {
        life: lamp.life(&medians),
        slope: used / lit,
        fading: option.maintenance.curve(&medians, option.rated_life(&medians)),
    };
    let first_age = option.in_sockets.map_or(0.0, |(age, _)| medians[age.index()]);
    match socket.compare(plan, &simple, clock, &medians, first_age, &trials) {
        Ok((lines, weights)) => Exact {
            does_not_apply: vec![],
            taken,
            lines,
            for_ever: socket.for_ever(plan, &simple, (place.contract, weights), &medians, flat_within, &trials),
        },
        Err(fault) => refused(vec![fault.to_string()]),
    }
}

/// Hours of one socket over the horizon, discounted by the month as money is.
#[derive(Debug, Clone, Copy, Default)]
struct Weights {
    /// Of the schedule.
    clock: f64,
    /// Of the schedule, each by its share of full flux.
    flux: f64,
    /// In which its lamp is expected to burn.
    burning: f64,
}

/// One socket: life and fading by burn hours.
struct Socket {
    life: Life,
    /// Hours of rated life used by a burn hour.
    slope: f64,
    fading: Maintenance,
}

impl Socket {
    fn with<T>(&self, then: impl FnOnce(&Lamp) -> T) -> T {
        let survival = |age: f64| self.life.survival(age * self.slope);
        let light = |age: f64| self.fading.fraction(age);
        let mut kinks: Vec<f64> = self.life.early.iter().map(|early| early.within / self.slope).collect();
        if let WearOut::Table(table) = &self.life.wear_out {
            kinks.extend(table.hours().filter(|&hours| hours > 0.0).map(|hours| hours / self.slope));
        }
        kinks.sort_by(f64::total_cmp);
        kinks.dedup();
        let light_kinks: Vec<f64> = self.fading.kinks().iter().copied().filter(|&age| age > 0.0).collect();
        then(&Lamp { survival: &survival, light: &light, survival_kinks: &kinks, light_kinks: &light_kinks })
    }

    fn compare(
        &self,
        plan: &Plan,
        option: &OptionPlan,
        clock: &ClockPlan,
        medians: &[f64],
        first_age: f64,
        trials: &[Simulated],
    ) -> Result<(Vec<ExactLine>, Weights), renewal::Fault> {
        let lit = clock.timeline.lit_hours;
        let mut dates = vec![];
        let skip = option.end.skip(medians, &self.fading);
        option.relamp.dates(0, medians, &self.fading, clock, lit - skip, &mut dates);
        let spot_between = !matches!(option.relamp, RelampPlan::Group { spot_between: false, .. });
        let policy = match option.relamp {
            RelampPlan::Group { .. } => Policy::Group { dates, spot_between },
            RelampPlan::ByAge { at } => Policy::ByAge { at: at.hours(medians, &self.fading) },
            _ => Policy::OnFailure,
        };
        let ends: Vec<f64> = clock.cells.iter().map(|cell| cell.to).collect();
        let expected = self.with(|lamp| expect(lamp, first_age, &policy, lit, &ends))?;

        let value = |id: InputId| medians[id.index()];
        let sockets = option.sockets() as f64;
        let flux = option.light.measured(medians) / self.fading.fraction(value(option.light.lamp_hours));
        let (spot_cost, planned_cost) = costs(option, medians);
        let (discount, level) = factors(plan, medians);
        let (mut failures, mut planned, mut moles, mut upkeep) = (0.0, 0.0, 0.0, 0.0);
        let (mut failed_before, mut planned_before, mut flux_before, mut lit_before) = (0.0, 0.0, 0.0, 0.0);
        let mut weights = Weights::default();
        for (cell, now) in clock.cells.iter().zip(expected) {
            let fails = sockets * (now.failures - failed_before);
            let relamped = sockets * (now.planned - planned_before);
            failures += fails;
            planned += relamped;
            moles += f64::from(option.fixtures) * flux * MOL_PER_FLUX_HOUR * cell.flux * (now.flux_hours - flux_before);
            let spot = if spot_between { fails } else { 0.0 };
            upkeep += (spot * spot_cost + relamped * planned_cost) * discount[cell.month] * level[cell.month];
            let worth = discount[cell.month] * (cell.to - cell.from);
            weights.clock += worth;
            weights.flux += worth * cell.flux;
            weights.burning += discount[cell.month] * (now.lit_hours - lit_before);
            (failed_before, planned_before) = (now.failures, now.planned);
            (flux_before, lit_before) = (now.flux_hours, now.lit_hours);
        }
        // counts of rare failures spread like Poisson's, and a run may hold none of them: at least so much is luck
        let rare = (failures / trials.len() as f64).sqrt();
        let line = |what: &str, unit: &str, exact: f64, luck: f64, read: fn(&Simulated) -> f64| {
            let simulated = mean(&trials.iter().map(read).collect::<Vec<_>>()).0;
            // without any luck only rounding is left
            let room = AGREES * simulated.se.max(luck) + 1e-9 * exact.abs();
            let agrees = (simulated.value - exact).abs() <= room;
            ExactLine { what: what.into(), unit: unit.into(), exact, simulated, agrees }
        };
        let money = format!("{} PV", plan.currency);
        let lines = vec![
            line("lamps failed", "lamps", failures, rare, |s| s.failures),
            line("lamps replaced as planned", "lamps", planned, rare, |s| s.planned),
            line("photons delivered", "mol", moles, 0.0, |s| s.moles),
            line("lamps, labour and disposal", &money, upkeep, rare * spot_cost, |s| s.upkeep),
        ];
        Ok((lines, weights))
    }

    /// Best intervals of every policy if the room ran for ever.
    fn for_ever(
        &self,
        plan: &Plan,
        option: &OptionPlan,
        (contract, weights): (usize, Weights),
        medians: &[f64],
        within: f64,
        trials: &[Simulated],
    ) -> Vec<ForEver> {
        let value = |id: InputId| medians[id.index()];
        let (spot_cost, planned_cost) = costs(option, medians);
        if plan.money.inflation.is_some() {
            // prices that rise for ever have no cost of a mole for ever
            return vec![];
        }
        let clock = &plan.clocks[plan.contracts[contract].clock];
        let hours_a_year = clock.timeline.lit_hours / f64::from(plan.years);
        let average = |read: fn(&Simulated) -> f64| mean(&trials.iter().map(read).collect::<Vec<_>>()).0.value;
        let first_lamps =
            if option.in_sockets.is_none() { option.lamp.as_ref().map_or(0.0, |lamp| value(lamp.price)) } else { 0.0 };
        let sockets = option.sockets() as f64;
        let costs = Costs {
            failure: spot_cost,
            planned: planned_cost,
            running: average(|s| s.burning) / (weights.burning * sockets),
            standing: (average(|s| s.standing) / sockets - first_lamps).max(0.0) / weights.clock,
            first: planned_cost,
            discount: value(plan.money.discount_rate).ln_1p().max(0.0) / hours_a_year,
        };
        let flux = option.light.measured(medians)
            / self.fading.fraction(value(option.light.lamp_hours))
            / f64::from(option.lamps_per_fixture)
            * (weights.flux / weights.clock);
        let per_mol = |per_flux_hour: f64| per_flux_hour / (flux * MOL_PER_FLUX_HOUR);
        let median = self.life.median() / self.slope;
        let search = Search { shortest: 0.01 * median, longest: 10.0 * median, within };
        let kinds = [
            (PolicyKind::GroupWithSpot, Planned::Group { spot_between: true }),
            (PolicyKind::GroupOnly, Planned::Group { spot_between: false }),
            (PolicyKind::ByAge, Planned::ByAge),
        ];
        let mut all = vec![];
        self.with(|lamp| {
            if let Ok(run) = LongRun::new(lamp, &costs, Planned::ByAge, search.longest) {
                all.push(ForEver {
                    kind: PolicyKind::OnFailure,
                    name: name_of(PolicyKind::OnFailure).into(),
                    interval_h: None,
                    cost_per_mol: per_mol(run.never().per_flux_hour),
                    flat: (0.0, None),
                });
            }
            for (kind, planned) in kinds {
                let Ok(best) = best_interval(lamp, &costs, planned, Goal::PerFluxHour, &search) else { continue };
                let finite = |hours: f64| Some(hours).filter(|hours| hours.is_finite() && *hours < search.longest);
                all.push(ForEver {
                    kind,
                    name: name_of(kind).into(),
                    interval_h: finite(best.interval),
                    cost_per_mol: per_mol(best.cost),
                    flat: (best.good_from, finite(best.good_to)),
                });
            }
        });
        all
    }
}

/// What a failed lamp and a planned one cost, lamp, labour and disposal together.
fn costs(option: &OptionPlan, medians: &[f64]) -> (f64, f64) {
    let value = |id: InputId| medians[id.index()];
    let lamp = option.lamp.as_ref().map_or(0.0, |lamp| value(lamp.price) + value(lamp.disposal));
    (lamp + option.spot_labour.map_or(0.0, value), lamp + option.planned_labour.map_or(0.0, value))
}

/// Discount factors and general price levels by month.
fn factors(plan: &Plan, medians: &[f64]) -> (Vec<f64>, Vec<f64>) {
    let value = |id: InputId| medians[id.index()];
    let (mut discount, mut level) = (vec![0.0; plan.months()], vec![0.0; plan.months()]);
    finance::discount_factors(value(plan.money.discount_rate), plan.money.booking, 12.0, &mut discount);
    finance::escalation_factors(plan.money.inflation.map_or(0.0, value), plan.money.booking, 12.0, &mut level);
    (discount, level)
}
