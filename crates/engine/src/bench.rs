//! Lamps of a life test that is only planned: how many are alive when, if a trial's inputs are the truth, and which die in a
//! simulated test.
//!
//! Belongs here: survival over burn hours on a bench or in the sockets of a room. Does not belong here: which test it is,
//! what may be concluded from it, what it costs; lamps that are watched in one simulated room (`watched`).

use draws::{Purpose, Stream, standard_normal};
use lamp::{Life, StartWear};
use plan::{ClockPlan, InputId, LampPlan};

use crate::wear::Wear;

/// Items of [`Purpose::Tested`].
const LAMPS: u64 = 0;
const LOT: u64 = 1;

/// How lamps on test burn.
#[derive(Debug, Clone, Copy)]
pub enum Burns<'a> {
    /// On a bench, so many hours after each start, h.
    Bench(f64),
    /// In the sockets of a room, from the beginning of its clock.
    Sockets(&'a ClockPlan),
}

/// New lamps on test under the values of a trial. All are of one lot: where lots differ, its luck is a part of the truth that
/// the test cannot tell from the lamp's own life.
#[derive(Debug, Clone)]
pub struct OnTest<'a> {
    life: Life,
    /// How many times as late this lot wears out.
    lot: f64,
    burns: Burns<'a>,
    starts: StartWear,
    wear: Wear,
}

impl<'a> OnTest<'a> {
    /// Lamps of a kind; the lot's luck is addressed by seed and trial.
    pub fn new(lamp: &LampPlan, burns: Burns<'a>, values: &[f64], (seed, trial): (u64, u64)) -> Self {
        let value = |id: InputId| values[id.index()];
        let starts =
            StartWear { start_cost: value(lamp.start_cost), rated_hours_per_start: value(lamp.rated_hours_per_start) };
        let mut wear = Wear::default();
        if let Burns::Sockets(clock) = burns {
            wear.set(starts, clock);
        }
        let z = || standard_normal(Stream::new(seed, Purpose::Tested, LOT, trial).uniform(0));
        let lot = lamp.batch.map_or(1.0, |(sd, _)| (value(sd) * z()).exp());
        Self { life: lamp.life(values), lot, burns, starts, wear }
    }

    /// Share alive after so many burn hours; in sockets these must lie within the clock.
    pub fn alive(&self, hours: f64) -> f64 {
        let age = match self.burns {
            Burns::Bench(per_start) => hours * self.starts.per_burn_hour(per_start),
            Burns::Sockets(clock) => self.wear.between(0.0, hours, clock),
        };
        if age > 0.0 { self.life.survival_of_lot(age, self.lot) } else { 1.0 }
    }
}

/// The place of each lamp of a simulated test among its fellows, even on (0, 1): a lamp is dead once a smaller share is alive.
/// The first lamps are the same, however many there are.
pub fn places_in_test(seed: u64, trial: u64, lamps: u32) -> impl Iterator<Item = f64> {
    let luck = Stream::new(seed, Purpose::Tested, LAMPS, trial);
    (0..u64::from(lamps)).map(move |lamp| luck.uniform(lamp))
}
