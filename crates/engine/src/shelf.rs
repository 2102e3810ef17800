//! Lamps as they come from the shelf: what luck gave each one, and what was left of those that burn at the end.

use draws::{Purpose, Stream, exponential, standard_normal};
use lamp::Life;
use plan::{OptionPlan, SparesPlan, Stock};

use crate::ledger::Ledger;
use crate::luck::{Luck, address};
use crate::numbers::{Numbers, log_sigma};
use crate::warranty::{Promise, Terms};
use crate::wear::Wear;

/// One lamp.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Lamp {
    /// Burn hours so far.
    pub age: f64,
    /// Hours of rated life left; infinite for one that never fails.
    pub left: f64,
    /// Its initial flux over that of the type.
    pub output: f64,
    /// Its pace of fading over that of the type.
    pub pace: f64,
    /// Hours of rated life that it had in all.
    life: f64,
}

/// Luck of a kind, if it matters at all.
#[derive(Debug, Clone, Copy)]
struct Spread {
    sigma: f64,
    stream: Stream,
}

impl Spread {
    /// A lognormal number with mean 1.
    fn mean_one(self, at: u64) -> f64 {
        if self.sigma == 0.0 {
            return 1.0;
        }
        (self.sigma * standard_normal(self.stream.uniform(at)) - 0.5 * self.sigma * self.sigma).exp()
    }

    /// A lognormal number with median 1.
    fn median_one(self, at: u64) -> f64 {
        if self.sigma == 0.0 { 1.0 } else { (self.sigma * standard_normal(self.stream.uniform(at))).exp() }
    }
}

/// Where lamps come from in one trial.
#[derive(Debug, Clone)]
pub(crate) struct Shelf {
    /// Spare lamps at hand; no limit where the scenario states none.
    pub spares: u32,
    life: Option<Life>,
    median: f64,
    /// Hours of rated life used by a burn hour at the start.
    slope: f64,
    used: Option<(f64, f64)>,
    lives: Stream,
    early: Stream,
    random: Stream,
    ages: Stream,
    breakage: (f64, Stream),
    output: Spread,
    pace: Spread,
    batch: Spread,
    batch_sockets: usize,
    /// Age at which a whole fixture has faded; infinite for a lamp.
    fixture_ends: f64,
    terms: Option<Terms>,
}

impl Default for Shelf {
    fn default() -> Self {
        let stream = Stream::new(0, Purpose::LampLife, 0, 0);
        let none = Spread { sigma: 0.0, stream };
        Self {
            spares: 0,
            life: None,
            median: f64::INFINITY,
            slope: 1.0,
            used: None,
            lives: stream,
            early: stream,
            random: stream,
            ages: stream,
            breakage: (0.0, stream),
            output: none,
            pace: none,
            batch: none,
            batch_sockets: usize::MAX,
            fixture_ends: f64::INFINITY,
            terms: None,
        }
    }
}

/// Spares on the shelf at the start.
fn stock(spares: &SparesPlan, values: &[f64], o: &Numbers, wear: &Wear) -> u32 {
    let share = match spares.stock {
        Stock::Lamps(lamps) => return lamps,
        Stock::Service(share) => values[share.index()],
    };
    let timeline = &o.clock.timeline;
    let lead_hours = 24.0 * values[spares.lead_time.index()] * timeline.lit_hours / timeline.elapsed_hours;
    let used = wear.between(0.0, timeline.lit_hours, o.clock) / timeline.lit_hours;
    let median = o.lamp.as_ref().map_or(f64::INFINITY, Life::median);
    let failures = o.sockets as f64 * lead_hours * used / median;
    renewal::spares(failures, share).map_or(0, |lamps| u32::try_from(lamps).unwrap_or(u32::MAX))
}

impl Shelf {
    /// Turns to a trial.
    pub fn open(&mut self, option: &OptionPlan, values: &[f64], o: &Numbers, wear: &Wear, luck: &Luck) {
        let value = |id: plan::InputId| values[id.index()];
        let stream = |purpose| luck.stream(purpose, 0);
        let is_fixture = option.lamp.as_ref().is_some_and(|lamp| lamp.is_fixture);
        let (batch, batch_sockets) =
            option.lamp.as_ref().and_then(|lamp| lamp.batch).map_or((0.0, 1), |(sd, n)| (value(sd), n));
        *self = Self {
            spares: option.spares.map_or(u32::MAX, |spares| stock(&spares, values, o, wear)),
            life: o.lamp.clone(),
            median: if option.end.resale.is_some() { o.lamp.as_ref().map_or(f64::INFINITY, Life::median) } else { 1.0 },
            slope: wear.between(0.0, 1.0, o.clock),
            used: option.in_sockets.map(|(from, to)| (value(from), value(to))),
            lives: stream(Purpose::LampLife),
            early: stream(Purpose::EarlyFailure),
            random: stream(Purpose::RandomFailure),
            ages: stream(Purpose::FirstAge),
            breakage: (option.breakage.map_or(0.0, value), stream(Purpose::Breakage)),
            output: Spread { sigma: o.output_sigma, stream: stream(Purpose::InitialOutput) },
            pace: Spread {
                sigma: option.pace_spread.map_or(0.0, |id| log_sigma(value(id))),
                stream: stream(Purpose::FadingPace),
            },
            batch: Spread { sigma: batch, stream: stream(Purpose::Batch) },
            batch_sockets,
            fixture_ends: if is_fixture { o.age_limit } else { f64::INFINITY },
            terms: Terms::of(option, values, o, stream(Purpose::Claim)),
        };
    }

    /// The lamp in a socket at the start: a new one, or a used one that has not failed by its age.
    pub fn first(&self, socket: usize) -> Lamp {
        let Some((from, to)) = self.used else { return self.lamp(socket, 0) };
        let age = from + (to - from) * self.ages.uniform(address(socket, 0));
        let mut lamp = self.aged(socket, 0, age * self.slope);
        lamp.age = age;
        lamp
    }

    /// A new lamp of an ordinal.
    pub fn lamp(&self, socket: usize, ordinal: usize) -> Lamp {
        self.aged(socket, ordinal, 0.0)
    }

    /// A lamp that has used up some hours of rated life and lives.
    fn aged(&self, socket: usize, ordinal: usize, from: f64) -> Lamp {
        let at = address(socket, ordinal);
        let life = self.life.as_ref().map_or(f64::INFINITY, |life| {
            let factor = self.batch.median_one(address(socket / self.batch_sockets, ordinal));
            let mut age = factor * life.wear_out.age_from(from / factor, exponential(self.lives, at));
            if let Some(early) = life.early.and_then(|early| early.age_from(from, self.early.uniform(at))) {
                age = age.min(early);
            }
            if life.random > 0.0 {
                age = age.min(from + exponential(self.random, at) / life.random);
            }
            age
        });
        let (output, pace) = (self.output.mean_one(at), self.pace.mean_one(at));
        Lamp { age: 0.0, left: life - from, output, pace, life }
    }

    /// Lamps broken while the lamp of an ordinal was put in.
    pub fn broken(&self, socket: usize, ordinal: usize) -> u32 {
        let (share, stream) = self.breakage;
        if share == 0.0 {
            return 0;
        }
        (stream.uniform(address(socket, ordinal)).ln() / share.ln()) as u32
    }

    /// Share of a lamp's median life that is left; of a whole fixture, of the time until it has faded.
    pub fn left(&self, lamp: &Lamp) -> f64 {
        if self.fixture_ends < f64::INFINITY {
            return (1.0 - lamp.age / self.fixture_ends).max(0.0);
        }
        let used = lamp.life - lamp.left;
        if self.median.is_finite() && used.is_finite() { (1.0 - used / self.median).max(0.0) } else { 1.0 }
    }

    /// Makes the claim that a failed lamp allows.
    pub fn claim(
        &self,
        promise: &mut Promise,
        socket: usize,
        ordinal: usize,
        t: f64,
        month: usize,
        ledger: &mut Ledger,
    ) {
        if let Some(terms) = &self.terms {
            terms.claim(promise, address(socket, ordinal), t, month, ledger);
        }
    }
}
