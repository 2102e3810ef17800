//! Lamps that are hung on trial and watched: which of them die before the end of a clock, and how long each burns.
//!
//! Belongs here: lives of watched lamps, which have luck of their own. Does not belong here: lamps that are replaced when
//! they die (`live`, `room`), and what may be concluded from what was seen.

use draws::{Purpose, Stream, exponential, standard_normal};
use lamp::{Life, StartWear};
use plan::{ClockPlan, InputId, LampPlan};

use crate::wear::Wear;

/// What was seen of one watched lamp.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Watched {
    /// Burn hours until it died, or until the end of the clock.
    pub hours: f64,
    /// Whether it died before that end.
    pub is_dead: bool,
}

/// Items of [`Purpose::Watched`].
const WEAR_OUT: u64 = 0;
const EARLY: u64 = 1;
const RANDOM: u64 = 2;
const BATCH: u64 = 3;

/// Watches new lamps of a kind from the start of a clock to its end: with the values of a trial, and with luck that is
/// shared with no lamp of the room. The first lamps are the same, however many are watched. Lamps of one batch share
/// its luck.
pub fn watch(
    lamp: &LampPlan,
    clock: &ClockPlan,
    values: &[f64],
    (seed, trial): (u64, u64),
    lamps: u32,
) -> Vec<Watched> {
    let (life, wear) = (lamp.life(values), worn(lamp, clock, values));
    let luck = |item| Stream::new(seed, Purpose::Watched, item, trial);
    let (wear_out, early, random, batch) = (luck(WEAR_OUT), luck(EARLY), luck(RANDOM), luck(BATCH));
    let end = clock.timeline.lit_hours;
    let one = |k: u32| {
        let at = u64::from(k);
        let factor = lamp.batch.map_or(1.0, |(sd, sockets)| {
            let lot = at / u64::try_from(sockets).unwrap_or(u64::MAX).max(1);
            (values[sd.index()] * standard_normal(batch.uniform(lot))).exp()
        });
        let mut age = factor * life.wear_out.age(exponential(wear_out, at));
        if let Some(early) = life.early.and_then(|risk| risk.age_from(0.0, early.uniform(at))) {
            age = age.min(early);
        }
        if life.random > 0.0 {
            age = age.min(exponential(random, at) / life.random);
        }
        let dies = wear.spent(0.0, age, clock);
        Watched { hours: dies.min(end), is_dead: dies < end }
    };
    (0..lamps).map(one).collect()
}

/// Burn hours that half of the lamps of a kind reach on a clock, with the values of a trial.
pub fn median_burn_hours(lamp: &LampPlan, clock: &ClockPlan, values: &[f64]) -> f64 {
    let life: Life = lamp.life(values);
    worn(lamp, clock, values).spent(0.0, life.median(), clock)
}

fn worn(lamp: &LampPlan, clock: &ClockPlan, values: &[f64]) -> Wear {
    let value = |id: InputId| values[id.index()];
    let mut wear = Wear::default();
    let starts =
        StartWear { start_cost: value(lamp.start_cost), rated_hours_per_start: value(lamp.rated_hours_per_start) };
    wear.set(starts, clock);
    wear
}
