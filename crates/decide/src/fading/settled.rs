//! The curve that counts, with its draws: the fit of a form, or the method for tests of LEDs.
//!
//! Belongs here: reading both in the same way, beside what the scenario states today. Does not belong here: which of them counts.

use draws::{Purpose, Stream, item_from_name};
use lamp::Maintenance as Stated;
use learn::fading::{Curve, Fading, LedFit, Reading, draws, led_fit};
use plan::Plan;

use crate::fading_report::{CurvePoint, HoursTo, LedHoursTo, LedTold};
use crate::spread::Sorted;

use super::FadingOrder;

/// A curve with its draws, and what the scenario states.
pub(super) struct Settled {
    pub curve: Law,
    pub draws: Vec<Law>,
    /// Standard deviation between lamps of their pace, or of α where the line of a test of LEDs counts, share of the mean.
    pub spread: Option<f64>,
    /// Lamps that tell it.
    pub lamps: usize,
    stated: Stated,
}

/// What is left after burn hours.
#[derive(Debug, Clone, Copy)]
pub(super) enum Law {
    /// A form.
    Form(Curve),
    /// The line of a test of LEDs: 1 at 0 h, then start · exp(−rate·b).
    Line { start: f64, rate: f64, tested: f64, units: usize, cap: f64 },
}

impl Law {
    fn share(&self, b: f64) -> f64 {
        match self {
            Self::Form(curve) => curve.share(b),
            Self::Line { .. } if b <= 0.0 => 1.0,
            Self::Line { start, rate, .. } => start * (-rate * b).exp(),
        }
    }

    fn age_at(&self, share: f64) -> Option<f64> {
        match self {
            Self::Form(curve) => curve.age_at(share),
            Self::Line { start, rate, .. } => {
                let age = (start / share).ln().max(0.0) / rate;
                (0.0..1e9).contains(&age).then_some(age)
            }
        }
    }
}

/// Uniform numbers for each draw: each column holds the middle of every stratum once, in an order of its own.
fn rows(order: &FadingOrder, columns: u64) -> Vec<Vec<f64>> {
    let count = order.draws;
    let mut rows = vec![vec![]; count];
    for column in 0..columns {
        let luck = Stream::new(order.seed, Purpose::Shared, item_from_name("learn fading"), column);
        let keys: Vec<f64> = (0..count as u64).map(|k| luck.uniform(k)).collect();
        let mut places: Vec<usize> = (0..count).collect();
        places.sort_by(|a, b| keys[*a].total_cmp(&keys[*b]));
        for (rank, place) in places.into_iter().enumerate() {
            rows[place].push((rank as f64 + 0.5) / count as f64);
        }
    }
    rows
}

/// Draws of a fit.
pub(super) fn drawn(fit: &Fading, order: &FadingOrder) -> Vec<Curve> {
    draws(fit, &rows(order, 1 + fit.curve.form().parameters() as u64))
}

impl Settled {
    pub fn new(plan: &Plan, order: &FadingOrder, fit: &Fading, led: Option<&LedFit>) -> Self {
        let option = &plan.options[order.option];
        let medians = plan.inputs.medians();
        let stated = option.maintenance.curve(&medians, option.rated_life(&medians));
        let by_method = led.and_then(|led| Some((led, led.cap()?))).filter(|_| order.form.is_none());
        let (curve, draws, spread, lamps) = match by_method {
            Some((led, cap)) => {
                let line =
                    |(start, rate): (f64, f64)| Law::Line { start, rate, tested: led.tested, units: led.units, cap };
                let rows = rows(order, 2);
                let draws = led.draws(&rows).into_iter().map(line).collect();
                (line((led.start, led.rate)), draws, led.rate_spread, led.units)
            }
            None => {
                let lamps = fit.paces.as_ref().map_or(0, |paces| paces.lamps);
                let draws = drawn(fit, order).into_iter().map(Law::Form).collect();
                (Law::Form(fit.curve), draws, fit.pace_spread(), lamps)
            }
        };
        // no spread is none to write
        Self {
            curve,
            draws,
            spread: spread.filter(|spread| *spread > 0.0).map(|spread| spread.min(1.0)),
            lamps,
            stated,
        }
    }

    /// Whether the method for tests of LEDs counts.
    pub fn is_led(&self) -> bool {
        matches!(self.curve, Law::Line { .. })
    }

    /// Farthest hours for which it speaks.
    pub fn cap(&self) -> Option<f64> {
        match self.curve {
            Law::Line { cap, .. } => Some(cap),
            Law::Form(_) => None,
        }
    }

    /// What is left after burn hours.
    pub fn at(&self, burn_h: f64) -> CurvePoint {
        let sorted = Sorted::new(self.draws.iter().map(|law| law.share(burn_h)).collect());
        CurvePoint {
            burn_h,
            share: self.curve.share(burn_h),
            interval: (sorted.quantile(0.1), sorted.quantile(0.9)),
            stated: self.stated.fraction(burn_h) / self.stated.fraction(0.0),
            beyond_cap: self.cap().is_some_and(|cap| !(burn_h <= cap)),
        }
    }

    /// Hours to a share.
    pub fn hours_to(&self, share: f64) -> HoursTo {
        // never counts as later than any hours
        let ages = self.draws.iter().map(|law| law.age_at(share).unwrap_or(f64::MAX));
        let sorted = Sorted::new(ages.collect());
        let known = |hours: f64| (hours < 1e9).then_some(hours);
        let (low, high) = (sorted.quantile(0.1), sorted.quantile(0.9));
        let hours = self.curve.age_at(share);
        let past = |cap: f64| [hours.unwrap_or(f64::MAX), low, high].iter().any(|hours| !(*hours <= cap));
        HoursTo {
            share,
            hours,
            interval: (known(low), known(high)),
            beyond_cap: self.cap().is_some_and(past),
            stated: known(self.stated.age_at(share)),
        }
    }
}

/// What the method for tests of LEDs says of lamps, and its line where it has one.
pub(super) fn led_told(lamps: &[Vec<Reading>]) -> (LedTold, Option<LedFit>) {
    let empty = |none: String| LedTold {
        none: Some(none),
        units: 0,
        tested_h: 0.0,
        window_h: (0.0, 0.0),
        times: 0,
        start: 0.0,
        rate_per_h: 0.0,
        cap_h: None,
        to_shares: vec![],
    };
    let Some(fit) = led_fit(lamps) else {
        return (empty("fewer than three times of its window have readings of all units".into()), None);
    };
    let none = match fit.cap() {
        Some(_) => None,
        None if !fit.is_from_new() => Some(format!(
            "its shares are of new units, and the first readings are at {:.0} h; B and hours to a share would be of the light then",
            fit.first
        )),
        None if fit.units < 10 => Some(format!("{} units were read at every time; it asks for 10", fit.units)),
        None => Some(format!("{:.0} h were tested; it asks for 6000 h", fit.tested)),
    };
    let to_share = |share: f64| {
        let hours = Some(fit.hours_to(share)).filter(|hours| hours.is_finite());
        let is_within = hours.zip(fit.cap()).is_some_and(|(hours, cap)| hours <= cap);
        LedHoursTo { share, hours, beyond_cap: !is_within }
    };
    let told = LedTold {
        none,
        units: fit.units as u64,
        tested_h: fit.tested,
        window_h: fit.window,
        times: fit.stamps as u64,
        start: fit.start,
        rate_per_h: fit.rate,
        cap_h: fit.cap(),
        to_shares: [0.9, 0.8, 0.7].map(to_share).to_vec(),
    };
    (told, Some(fit))
}
