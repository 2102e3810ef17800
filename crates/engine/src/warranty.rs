//! What a maker's promise brings when a lamp fails.

use draws::Stream;
use plan::OptionPlan;

use crate::ledger::Ledger;
use crate::numbers::{HOURS_A_YEAR, Numbers};

const HOURS_A_MONTH: f64 = HOURS_A_YEAR / 12.0;

/// The promise about one lamp: since when it runs, and whether the lamp was replaced under it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Promise {
    /// Elapsed hours since which it runs.
    since: f64,
    /// Whether the next lamp has only what is left of it.
    inherited: bool,
}

impl Default for Promise {
    fn default() -> Self {
        Self::NONE
    }
}

impl Promise {
    /// No promise.
    pub const NONE: Self = Self { since: f64::NEG_INFINITY, inherited: false };

    /// The promise about a lamp bought at an hour of elapsed time.
    pub fn new(t: f64) -> Self {
        Self { since: t, inherited: false }
    }

    /// The promise about the lamp that follows at an hour of elapsed time.
    pub fn next(self, t: f64) -> Self {
        if self.inherited { Self { inherited: false, ..self } } else { Self::new(t) }
    }
}

/// The terms in one trial; elapsed hours.
#[derive(Debug, Clone)]
pub(crate) struct Terms {
    full_for: f64,
    until: f64,
    renewing: bool,
    honoured: f64,
    credited_after: f64,
    luck: Stream,
    /// First elapsed hour of each month, and the end.
    months: Vec<f64>,
}

impl Terms {
    /// The terms of an option's lamps; none where nothing is promised, or where the room is outside the terms.
    pub fn of(option: &OptionPlan, values: &[f64], o: &Numbers, luck: Stream) -> Option<Self> {
        let warranty = option.lamp.as_ref()?.warranty?;
        let timeline = &o.clock.timeline;
        let years = o.clock.months() as f64 / 12.0;
        let starts = f64::from(o.clock.starts_between(0.0, f64::INFINITY)).max(1.0);
        if !warranty.outside(timeline.lit_hours / years, timeline.lit_hours / starts).is_empty() {
            return None;
        }
        let value = |id: plan::InputId| values[id.index()];
        let until = value(warranty.until) * HOURS_A_MONTH;
        let count = o.clock.months() as f64;
        Some(Self {
            full_for: (value(warranty.full_for) * HOURS_A_MONTH).min(until),
            until,
            renewing: warranty.renewing,
            honoured: value(warranty.honoured),
            credited_after: 24.0 * value(warranty.credited_after),
            luck,
            // months of mean length do for the day on which a credit comes
            months: (0..=o.clock.months()).map(|k| timeline.elapsed_hours * k as f64 / count).collect(),
        })
    }

    /// A lamp fails at an hour of elapsed time: claims what the promise holds, and settles what the next lamp inherits.
    pub fn claim(&self, promise: &mut Promise, address: u64, t: f64, month: usize, ledger: &mut Ledger) {
        let age = t - promise.since;
        if !(age < self.until) {
            return;
        }
        ledger.claims[month] += 1;
        if self.luck.uniform(address) >= self.honoured {
            return;
        }
        promise.inherited = !self.renewing;
        let share = if age <= self.full_for { 1.0 } else { (self.until - age) / (self.until - self.full_for) };
        let paid = t + self.credited_after;
        let paid_in = self.months.partition_point(|&from| from <= paid).saturating_sub(1).max(month);
        if let Some(credited) = ledger.credited.get_mut(paid_in) {
            *credited += share;
        }
    }
}
