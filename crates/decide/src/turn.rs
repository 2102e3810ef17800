//! Living and pricing with some axes turned: the same trials at every place.
//!
//! Belongs here: how a value reaches a trial, by way of its inputs or of a plan of its own. Does not belong here: which
//! values are worth a look.

use std::sync::atomic::{AtomicBool, Ordering};

use engine::{Progress, Scope, Seen, Settings, revisit};
use plan::Plan;
use scenario::form::{LightWindow, Phase, Scenario};

use crate::axis::{Axis, Turns};

/// Places that are lived at a stretch, so that prices at hand stay few.
const AT_ONCE: usize = 64;
/// Minutes of a day.
const DAY: u32 = 24 * 60;

/// A scenario as written and as meant, and how it is lived.
#[derive(Debug, Clone, Copy)]
pub struct World<'a> {
    /// As written.
    pub form: &'a Scenario,
    /// As meant.
    pub plan: &'a Plan,
    /// Trials, seed and threads.
    pub settings: Settings,
    /// Raised to end early.
    pub stop: &'a AtomicBool,
}

/// Which options and contracts are looked at.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Looking<'a> {
    pub options: &'a [usize],
    pub contracts: &'a [usize],
}

/// What was noted at each place: trial by trial, in each trial option by option and contract by contract.
pub(crate) type Noted<T> = Vec<Vec<Vec<T>>>;

impl World<'_> {
    /// Looks at every place, a value for each axis. After an interruption the last places are missing.
    ///
    /// # Errors
    /// A message when the scenario has faults at one of the places.
    pub(crate) fn visit<T: Send>(
        &self,
        axes: &[&Axis],
        places: &[Vec<f64>],
        looking: Looking,
        tell: &mut dyn FnMut(Progress),
        read: impl Fn(&Seen) -> T + Sync,
    ) -> Result<Noted<T>, String> {
        let most = self.settings.trials * places.len() as u64;
        let mut noted: Noted<T> = vec![];
        let mut from = 0;
        while from < places.len() && !(self.stop.load(Ordering::Relaxed) && from > 0) {
            // places that follow one another on the same plan are lived together
            let of_plan = settings_of(axes, &places[from]);
            let alike = places[from..].iter().take(AT_ONCE).take_while(|place| settings_of(axes, place) == of_plan);
            let to = from + alike.count();
            let own = self.plan_at(axes, &places[from])?;
            let plan = own.as_ref().unwrap_or(self.plan);
            let here = &places[from..to];
            let scope =
                Scope { options: looking.options, contracts: looking.contracts, points: here.len(), months: false };
            let shift = |_: u64, point: usize, values: &mut [f64]| {
                axes.iter().zip(&here[point]).for_each(|(axis, &value)| turn(plan, axis, value, values));
                self.settings.seed
            };
            let before = from as u64 * self.settings.trials;
            let told = |progress: Progress| tell(Progress { done: before + progress.done * here.len() as u64, most });
            let trials = revisit(plan, scope, &self.settings, self.stop, told, shift, |seen| read(&seen));
            noted.extend(by_place(trials, here.len(), looking.options.len() * looking.contracts.len()));
            from = to;
        }
        Ok(noted)
    }

    /// The plan at a place; none where the scenario's own serves.
    fn plan_at(&self, axes: &[&Axis], place: &[f64]) -> Result<Option<Plan>, String> {
        let settings = settings_of(axes, place);
        if settings.is_empty() {
            return Ok(None);
        }
        let mut form = self.form.clone();
        for (turns, value) in settings {
            match turns {
                Turns::Hours => {
                    let longest = light_hours(&form);
                    form.photoperiod.phases.iter_mut().for_each(|phase| stretch(phase, value / longest));
                }
                // whole years, checked by the axis
                Turns::Years => form.horizon_years = value.round() as u32,
                Turns::Input(_) | Turns::Electricity => {}
            }
        }
        Plan::new(&form).map(Some).map_err(|faults| {
            let told = faults
                .first()
                .map_or_else(String::new, |fault| format!("{}: {}; allowed: {}", fault.at, fault.found, fault.allowed));
            let names: Vec<String> =
                axes.iter().zip(place).map(|(axis, v)| format!("{} at {v} {}", axis.name, axis.unit)).collect();
            format!("{} is no scenario that can be run: {told}", names.join(", "))
        })
    }
}

/// Axes of a place that need a plan of their own.
fn settings_of(axes: &[&Axis], place: &[f64]) -> Vec<(Turns, f64)> {
    let pairs = axes.iter().zip(place).filter(|(axis, _)| matches!(axis.turns, Turns::Hours | Turns::Years));
    pairs.map(|(axis, &value)| (axis.turns.clone(), value)).collect()
}

/// Turns an axis within a trial's values.
fn turn(plan: &Plan, axis: &Axis, value: f64, values: &mut [f64]) {
    match axis.turns {
        Turns::Input(id) => values[id.index()] = value,
        Turns::Electricity => plan.contracts.iter().for_each(|contract| values[contract.price_level.index()] *= value),
        Turns::Hours | Turns::Years => {}
    }
}

/// From trial by trial to place by place.
fn by_place<T>(trials: Vec<Vec<T>>, places: usize, width: usize) -> Noted<T> {
    let mut noted: Noted<T> = (0..places).map(|_| Vec::with_capacity(trials.len())).collect();
    for trial in trials {
        let mut all = trial.into_iter();
        for place in &mut noted {
            place.push(all.by_ref().take(width).collect());
        }
    }
    noted
}

/// A time of day as minutes; a form that was planned holds no other.
fn minutes(text: &str) -> u32 {
    let part = |text: Option<&str>| text.and_then(|text| text.parse::<u32>().ok()).unwrap_or(0);
    let mut parts = text.split(':');
    part(parts.next()) * 60 + part(parts.next())
}

/// Minutes from on to off.
fn length(window: &LightWindow) -> u32 {
    let minutes = (minutes(&window.off) + DAY - minutes(&window.on)) % DAY;
    if minutes == 0 { DAY } else { minutes }
}

/// Light hours of the phase that has most.
pub(crate) fn light_hours(form: &Scenario) -> f64 {
    let hours = |phase: &Phase| phase.lights.iter().map(length).sum::<u32>();
    f64::from(form.photoperiod.phases.iter().map(hours).max().unwrap_or(0)) / 60.0
}

/// Makes the windows of a phase longer or shorter, to the minute.
fn stretch(phase: &mut Phase, factor: f64) {
    for window in &mut phase.lights {
        let minutes_lit = (f64::from(length(window)) * factor).round().clamp(1.0, f64::from(DAY)) as u32;
        let off = (minutes(&window.on) + minutes_lit) % DAY;
        window.off = format!("{:02}:{:02}", off / 60, off % 60);
    }
}
