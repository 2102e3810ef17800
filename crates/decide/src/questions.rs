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

/// The written hours of a clock and everything that is asked of them, laid out once for all rate sheets.
pub(crate) struct Asked {
    written: Vec<LightStep>,
    longer: Option<Vec<LightStep>>,
    late_daily: Option<Vec<LightStep>>,
    late_once: Option<(Vec<LightStep>, String)>,
    /// For each hour of the day: whether it is lit, and the lights with that turned round.
    hours: Vec<(bool, Option<Vec<LightStep>>)>,
}

impl Asked {
    /// Lays out what is asked of a photoperiod.
    ///
    /// # Errors
    /// When the written hours themselves cannot be laid out.
    pub fn new(plan: &Plan, photoperiod: &Photoperiod) -> Result<Self, String> {
        // a room in use: otherwise a window cut in two would light a first morning that the whole one leaves dark
        let photoperiod = &Photoperiod { already_running: true, ..photoperiod.clone() };
        let written = steps(plan, photoperiod).ok_or("the written hours cannot be laid out over the horizon")?;
        let hour = |hour: i32| {
            let (from, to) = (Minute::MIDNIGHT.later(hour * 60), Minute::MIDNIGHT.later(hour * 60 + 60));
            let lit = photoperiod.phases.iter().any(|phase| !Minutes::of(&phase.windows).none(from, to));
            (lit, steps(plan, &with_hour(photoperiod, from, to, !lit)))
        };
        Ok(Self {
            longer: longer(photoperiod, 60).and_then(|longer| steps(plan, &longer)),
            late_daily: longer(photoperiod, OVERRUN).and_then(|longer| steps(plan, &longer)),
            late_once: late_once(plan, &written),
            hours: (0..24).map(hour).collect(),
            written,
        })
    }

    /// Answers for an option under a contract, the sheet of some index.
    pub fn answers(&self, plan: &Plan, contract: usize, option: usize, sheet: usize) -> Questions {
        let lit = lit(plan, &plan.options[option], &plan.inputs.medians());
        let mut year = FirstYear::new(plan, contract);
        let base = year.cost(&self.written, lit).added;
        let end = year.end();
        let hours = full_power_hours(&self.written, end);
        let one_more_kw = year.cost(&self.written, Lit { kw: lit.kw + 1.0, ..lit }).added - base;
        let mut more = |steps: &Vec<LightStep>| year.cost(steps, lit).added - base;
        let hour_prices = self
            .hours
            .iter()
            .map(|(lit_now, turned)| {
                let Some(turned) = turned else { return HourPrice { lit: *lit_now, adds: 0.0, per_kwh: 0.0 } };
                let (cost, hours) = (more(turned), full_power_hours(turned, end) - hours);
                let per_kwh = if hours == 0.0 { 0.0 } else { cost / (hours * lit.kw) };
                HourPrice { lit: *lit_now, adds: if *lit_now { -cost } else { cost }, per_kwh }
            })
            .collect();
        Questions {
            sheet,
            hours: plan.contracts[contract].lights.clone(),
            year: base,
            one_more_hour: self.longer.as_ref().map(&mut more),
            one_more_kw,
            overrun_daily: self.late_daily.as_ref().map(&mut more),
            overrun_once: self.late_once.as_ref().map(|(steps, day)| (more(steps), day.clone())),
            hour_prices,
        }
    }
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
