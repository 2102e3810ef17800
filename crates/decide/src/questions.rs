//! What small changes of the written hours cost: an hour more, a kW more, a timer that runs late, each hour of the day.

use calendar::{Minute, Photoperiod, Timeline};
use engine::lit;
use meter::{LightStep, Lit};
use plan::Plan;

use crate::hours_report::{HourPrice, Questions};
use crate::minutes::Minutes;
use crate::year::FirstYear;

/// Minutes by which a timer runs late.
const OVERRUN: i32 = 15;

/// Answers them for an option under a contract.
///
/// # Errors
/// When the written hours cannot be laid out.
pub(crate) fn questions(plan: &Plan, contract: usize, option: usize, sheet: usize) -> Result<Questions, String> {
    let of = &plan.contracts[contract];
    let photoperiod = &plan.clocks[of.clock].photoperiod;
    let lit = lit(plan, &plan.options[option], &plan.inputs.medians());
    let mut year = FirstYear::new(plan, contract);
    let written = of.lit.steps.clone();
    let base = year.cost(&written, lit).added;
    let end = year.end();
    let hours = full_power_hours(&written, end);
    // what a change of the hours adds to the year, and how many hours of full power it adds
    let mut more = |changed: Option<Photoperiod>| {
        let steps = steps(plan, &changed?)?;
        Some((year.cost(&steps, lit).added - base, full_power_hours(&steps, end) - hours))
    };
    let one_more_hour = more(longer(photoperiod, 60)).map(|more| more.0);
    let overrun_daily = more(longer(photoperiod, OVERRUN)).map(|more| more.0);
    let mut hour_prices = vec![];
    for hour in 0..24 {
        let (from, to) = (Minute::MIDNIGHT.later(hour * 60), Minute::MIDNIGHT.later(hour * 60 + 60));
        let lit_now = photoperiod.phases.iter().any(|phase| !Minutes::of(&phase.windows).none(from, to));
        let (cost, hours) = more(Some(with_hour(photoperiod, from, to, !lit_now))).unwrap_or((0.0, 0.0));
        let per_kwh = if hours == 0.0 { 0.0 } else { cost / (hours * lit.kw) };
        hour_prices.push(HourPrice { lit: lit_now, adds: if lit_now { -cost } else { cost }, per_kwh });
    }
    let one_more_kw = year.cost(&written, Lit { kw: lit.kw + 1.0, ..lit }).added - base;
    let overrun_once = late_once(plan, &written).map(|(steps, day)| (year.cost(&steps, lit).added - base, day));
    Ok(Questions {
        sheet,
        hours: of.lights.clone(),
        year: base,
        one_more_hour,
        one_more_kw,
        overrun_daily,
        overrun_once,
        hour_prices,
    })
}

fn steps(plan: &Plan, photoperiod: &Photoperiod) -> Option<Vec<LightStep>> {
    let timeline = Timeline::lay_out(photoperiod, &plan.time_zone, plan.first_day, plan.years).ok()?;
    let (lag, factors) = plan.cooling.as_ref().map_or((0, [1.0; 12]), |c| (c.lag_seconds, c.cop_by_month));
    Some(meter::light_steps(&[(1.0, &timeline)], lag, &factors, &plan.days))
}

/// The last window of each phase on longer; nothing when that would reach the next window.
fn longer(photoperiod: &Photoperiod, minutes: i32) -> Option<Photoperiod> {
    let mut changed = photoperiod.clone();
    for phase in &mut changed.phases {
        let lit = Minutes::of(&phase.windows);
        let Some(last) = phase.windows.last_mut() else { continue };
        let off = last.off.later(minutes);
        if !lit.none(last.off, off) {
            return None;
        }
        last.off = off;
    }
    Some(changed)
}

/// The photoperiod with an hour of the day lit or dark in every lit phase.
fn with_hour(photoperiod: &Photoperiod, from: Minute, to: Minute, lit: bool) -> Photoperiod {
    let mut changed = photoperiod.clone();
    for phase in changed.phases.iter_mut().filter(|phase| !phase.windows.is_empty()) {
        let mut minutes = Minutes::of(&phase.windows);
        minutes.put(from, to, lit);
        phase.windows = minutes.windows();
    }
    changed
}

/// Hours of full power before a moment.
fn full_power_hours(steps: &[LightStep], end: i64) -> f64 {
    let next = steps.iter().skip(1).map(|step| step.t).chain([end]);
    steps.iter().zip(next).map(|(step, next)| step.lights * (next.min(end) - step.t).max(0) as f64 / 3600.0).sum()
}

/// The lights with one late switch-off on the first working day of the second month, and that day.
fn late_once(plan: &Plan, written: &[LightStep]) -> Option<(Vec<LightStep>, String)> {
    let second = plan.days.dates.iter().position(|date| date.day() == 1 && *date > plan.first_day)?;
    let working = |k: &usize| plan.days.dates[*k].weekday().to_monday_zero_offset() < 5;
    let day = (second..plan.days.dates.len()).find(working)?;
    let begin = plan.days.runs.iter().find(|run| run.day == day)?.t;
    let off = (1..written.len())
        .find(|&k| written[k].t >= begin && written[k].lights == 0.0 && written[k - 1].lights > 0.0)?;
    let (t, late) = (written[off].t, i64::from(OVERRUN) * 60);
    let lag = plan.cooling.as_ref().map_or(0, |cooling| cooling.lag_seconds);
    let mut steps = written.to_vec();
    for step in steps.iter_mut().filter(|step| step.t == t || step.t == t + lag) {
        step.t += late;
    }
    // a switch-on that comes before the late switch-off would be out of order: then there is no such overrun
    steps.is_sorted_by_key(|step| step.t).then(|| (steps, plan.days.dates[day].to_string()))
}
