//! One socket from its first lamp to a horizon: what is expected of it, without a random number.

use crate::cumulative::Cumulative;
use crate::lamp::{Fault, Lamp, age_at, demand, demand_amount, demand_positive, last_age};
use crate::measure::{Kernel, Measure};
use crate::solve::Ageing;

/// When the lamp of a socket is replaced. All times are hours of the schedule clock, on which sockets are always lit.
#[derive(Debug, Clone, PartialEq)]
pub enum Policy {
    /// At failure, at once.
    OnFailure,
    /// All lamps at some dates, whatever their age and whether they burn.
    Group {
        /// Dates in hours from the start, rising, above 0. At the horizon or later nothing is replaced.
        dates: Vec<f64>,
        /// Whether a lamp that fails between dates is replaced at once; if not, its socket stays dark to the next date.
        spot_between: bool,
    },
    /// At failure or at an age, whichever comes first.
    ByAge {
        /// That age in burn hours.
        at: f64,
    },
}

/// What is expected of one socket from the start up to and including a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Expected {
    /// Failures of lamps.
    pub failures: f64,
    /// Lamps replaced as planned: at a group date or at their age.
    pub planned: f64,
    /// Hours at full flux that would give as many photons: ∫ E\[light(age) · 1{lit}\] du, h.
    pub flux_hours: f64,
    /// Hours lit, h.
    pub lit_hours: f64,
}

/// Expected failures, planned replacements and light of one socket up to each of the `points`, which lie in hours within
/// 0 and `horizon` in any order. The first lamp burns at the start and is then `first_age` hours old; it counts as no
/// replacement. A planned replacement that is due exactly at the horizon is not done.
///
/// With U the expected replacements, E\[light at u\] = S(u)·l(u) + ∫₀ᵘ S(u − x)·l(u − x) dU(x) (Barlow and Proschan,
/// Mathematical Theory of Reliability, 1965, chapter 3), and U solves the renewal equation for lives that are cut off at
/// the age `at`. Accuracy is 1e-9 or better for lives that are smooth between their kinks.
///
/// ```
/// use renewal::{Lamp, Policy, expect};
/// let survival = |age: f64| (-(age / 20_000.0).powi(3)).exp();
/// let light = |age: f64| (-1e-5 * age).exp();
/// let lamp = Lamp { survival: &survival, light: &light, survival_kinks: &[], light_kinks: &[] };
/// let policy = Policy::Group { dates: vec![12_000.0], spot_between: true };
/// let expected = expect(&lamp, 0.0, &policy, 24_000.0, &[12_000.0, 24_000.0]).unwrap();
/// // the second half is lived like the first
/// assert_eq!((expected[0].planned, expected[1].planned), (1.0, 1.0));
/// assert!((expected[1].failures / expected[0].failures - 2.0).abs() < 1e-12);
/// ```
///
/// # Errors
/// A function that cannot be a survival or a light, dates that do not rise, a first age at which nobody is alive or that
/// is not below `at`, points outside the horizon.
pub fn expect(
    lamp: &Lamp,
    first_age: f64,
    policy: &Policy,
    horizon: f64,
    points: &[f64],
) -> Result<Vec<Expected>, Fault> {
    demand_positive("the horizon", horizon)?;
    demand_amount("the age of the first lamp", first_age)?;
    lamp.check(first_age + horizon)?;
    for &point in points {
        demand((0.0..=horizon).contains(&point), "a point", point, "from 0 to the horizon")?;
    }
    let light = Light::new(lamp, first_age + horizon);
    match policy {
        Policy::OnFailure => {
            let socket = Socket::new(lamp, &light, first_age, f64::INFINITY, horizon)?;
            Ok(points.iter().map(|&t| socket.up_to(t, horizon)).collect())
        }
        Policy::ByAge { at } => {
            demand_positive("the age of replacement", *at)?;
            let socket = Socket::new(lamp, &light, first_age, *at, horizon)?;
            Ok(points.iter().map(|&t| socket.up_to(t, horizon)).collect())
        }
        Policy::Group { dates, spot_between } => {
            let mut last = 0.0;
            for &date in dates {
                demand(date > last && date.is_finite(), "a group date", date, "above 0 and the date before, finite")?;
                last = date;
            }
            let cycles = Cycles::new(lamp, &light, first_age, dates, *spot_between, horizon)?;
            Ok(points.iter().map(|&t| cycles.up_to(t)).collect())
        }
    }
}

/// Hours lit and at full flux that a new lamp gives, on average, up to an age.
struct Light {
    lit: Cumulative,
    flux: Cumulative,
    kinks: Vec<f64>,
}

impl Light {
    fn new(lamp: &Lamp, longest: f64) -> Self {
        let kinks = lamp.kinks();
        let end = last_age(lamp.survival).min(longest);
        let scale = age_at(lamp.survival, 0.5).map_or(end, |half| half.min(end));
        let lit = Cumulative::new(lamp.survival, lamp.survival_kinks, scale, end);
        let flux = Cumulative::new(&|age| (lamp.survival)(age) * (lamp.light)(age), &kinks, scale, end);
        Self { lit, flux, kinks }
    }
}

/// A lamp that was some age old at the start: what it gives up to t, for one that was alive.
fn rest(of: &Cumulative, first_age: f64, alive: f64, t: f64) -> f64 {
    (of.up_to(first_age + t) - of.up_to(first_age)) / alive
}

/// One socket whose lamps are replaced at failure or at an age.
struct Socket<'a> {
    ageing: Ageing<'a>,
    light: &'a Light,
    spread: Measure,
}

impl<'a> Socket<'a> {
    fn new(lamp: &Lamp<'a>, light: &'a Light, first_age: f64, at: f64, horizon: f64) -> Result<Self, Fault> {
        let ageing = Ageing::new(lamp, first_age, at)?;
        let spread = ageing.settle(horizon);
        Ok(Self { ageing, light, spread })
    }

    /// What all lamps together give up to t: ∫ `of`(age reached) over lumps and the spread.
    fn gives(&self, of: &Cumulative, t: f64) -> f64 {
        let Ageing { first_age, reach_first, at, .. } = self.ageing;
        let cut = of.up_to(at);
        let value = |age: f64| of.up_to(age);
        let kernel = Kernel { value: &value, bends: &self.light.kinks, reach: at.min(of.end), beyond: cut };
        let lumps = self.ageing.lumps(t).map(|(time, share)| share * of.up_to((t - time).min(at)));
        rest(of, first_age, reach_first, t.min(at - first_age)) + lumps.sum::<f64>() + self.spread.apply(t, &kernel)
    }

    fn up_to(&self, t: f64, horizon: f64) -> Expected {
        let all = |t: f64| self.ageing.lumps(t).map(|(_, share)| share).sum::<f64>() + self.spread.count(t);
        let Ageing { reach_first, at, reach, .. } = self.ageing;
        // every lamp that reaches `at` is replaced then: the first one, and those put in `at` hours before
        let mut planned = 0.0;
        if self.ageing.lumps(t).next().is_some() {
            planned += reach / reach_first;
        }
        if t >= at * (1.0 - 1e-12) {
            planned += reach * all(t - at);
        }
        let failures = all(t) - planned;
        if t >= horizon {
            let late = self.ageing.lumps(t).filter(|(time, _)| *time >= horizon * (1.0 - 1e-12));
            planned -= late.map(|(_, share)| share).sum::<f64>();
        }
        Expected {
            failures: failures.max(0.0),
            planned,
            flux_hours: self.gives(&self.light.flux, t),
            lit_hours: self.gives(&self.light.lit, t),
        }
    }
}

/// One socket whose lamps are replaced at dates: cycles that begin anew.
struct Cycles<'a> {
    /// Starts of cycles, h; the first is 0.
    starts: Vec<f64>,
    /// What each whole cycle before adds up to.
    before: Vec<Expected>,
    /// The first cycle, and one for all that follow it if they are not like the first.
    kinds: Vec<Cycle<'a>>,
    horizon: f64,
}

/// A cycle from its first lamp on.
enum Cycle<'a> {
    /// Failures are replaced.
    Spot(Box<Socket<'a>>),
    /// Failures leave the socket dark: the light, the age of the lamp at the start, and the share that reaches it.
    Dark(&'a Lamp<'a>, &'a Light, f64, f64),
}

impl Cycle<'_> {
    fn up_to(&self, t: f64) -> Expected {
        match self {
            Self::Spot(socket) => socket.up_to(t, f64::INFINITY),
            Self::Dark(lamp, light, age, alive) => Expected {
                failures: 1.0 - (lamp.survival)(age + t) / alive,
                planned: 0.0,
                flux_hours: rest(&light.flux, *age, *alive, t),
                lit_hours: rest(&light.lit, *age, *alive, t),
            },
        }
    }
}

impl<'a> Cycles<'a> {
    fn new(
        lamp: &'a Lamp<'a>,
        light: &'a Light,
        first_age: f64,
        dates: &[f64],
        spot_between: bool,
        horizon: f64,
    ) -> Result<Self, Fault> {
        let mut starts = vec![0.0];
        starts.extend(dates.iter().filter(|&&date| date < horizon));
        let ends = starts.iter().skip(1).chain([&horizon]);
        let lengths: Vec<f64> = starts.iter().zip(ends).map(|(from, to)| to - from).collect();
        let cycle = |age: f64, longest: f64| {
            // refuses an age at which nobody is alive, also where nothing has to be solved
            let alive = Ageing::new(lamp, age, f64::INFINITY)?.reach_first;
            Ok(if spot_between {
                Cycle::Spot(Box::new(Socket::new(lamp, light, age, f64::INFINITY, longest)?))
            } else {
                Cycle::Dark(lamp, light, age, alive)
            })
        };
        let longest = |lengths: &[f64]| lengths.iter().copied().fold(0.0, f64::max);
        let mut kinds = vec![];
        if first_age > 0.0 {
            kinds.push(cycle(first_age, lengths[0])?);
        }
        let fresh = &lengths[kinds.len()..];
        if !fresh.is_empty() {
            kinds.push(cycle(0.0, longest(fresh))?);
        }
        let mut sum = Expected { failures: 0.0, planned: 0.0, flux_hours: 0.0, lit_hours: 0.0 };
        let mut before = vec![sum];
        for (index, &length) in lengths.iter().enumerate() {
            sum = plus(sum, kinds[index.min(kinds.len() - 1)].up_to(length), 1.0);
            before.push(sum);
        }
        Ok(Self { starts, before, kinds, horizon })
    }

    fn up_to(&self, t: f64) -> Expected {
        let index = self.starts.partition_point(|&start| start <= t.min(self.horizon)).max(1) - 1;
        let cycle = &self.kinds[index.min(self.kinds.len() - 1)];
        plus(self.before[index], cycle.up_to(t - self.starts[index]), 0.0)
    }
}

/// The sum of two stretches, with so many planned replacements after them.
fn plus(a: Expected, b: Expected, planned: f64) -> Expected {
    Expected {
        failures: a.failures + b.failures,
        planned: a.planned + b.planned + planned,
        flux_hours: a.flux_hours + b.flux_hours,
        lit_hours: a.lit_hours + b.lit_hours,
    }
}

#[cfg(test)]
mod tests;
