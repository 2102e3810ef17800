//! Ways of keeping an option that were tried, trial by trial, and what follows from a row of them.

use engine::Looked;

use crate::result::Estimate;
use crate::spread::mean;

/// Intervals that are tried in even steps of their logarithm.
const STEPS: usize = 16;
/// Most relamps over the horizon for which both sides of the curve's tooth are tried.
const MOST_RELAMPS: usize = 16;
/// Groups of trials whose best intervals are compared: their spread tells the noise.
const GROUPS: usize = 8;

/// What is noted of each way in each trial.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Note {
    /// Levelized cost, currency per mol.
    pub levelized: f64,
    /// Present value of cost, currency.
    pub present: f64,
    /// Photons delivered, mol.
    pub moles: f64,
    /// Lamps bought after the first fill.
    pub lamps: f64,
    /// Dark socket-hours.
    pub dark: f64,
}

/// Notes what a way came to.
pub(crate) fn note(looked: Looked) -> Note {
    Note {
        levelized: looked.priced.levelized(),
        present: looked.priced.present.iter().sum(),
        moles: looked.priced.moles,
        lamps: looked.ledger.lamps_bought() as f64,
        dark: looked.ledger.dark_hours,
    }
}

/// Every trial's notes of one way.
pub(crate) struct Tried {
    /// Trial by trial.
    pub notes: Vec<Note>,
}

impl Tried {
    fn levelized(&self) -> Vec<f64> {
        self.notes.iter().map(|note| note.levelized).collect()
    }

    /// Mean levelized cost.
    pub fn cost(&self) -> Estimate {
        mean(&self.levelized()).0
    }

    /// Mean of anything noted.
    pub fn mean(&self, read: fn(&Note) -> f64) -> f64 {
        mean(&self.notes.iter().map(read).collect::<Vec<_>>()).0.value
    }

    /// Mean of a paired difference.
    pub fn less(&self, other: &Self, read: fn(&Note) -> f64) -> Estimate {
        let pairs = self.notes.iter().zip(&other.notes);
        mean(&pairs.map(|(a, b)| read(a) - read(b)).collect::<Vec<_>>()).0
    }
}

/// A paired difference as a share of a cost.
pub(crate) fn share(difference: Estimate, of: f64) -> Estimate {
    Estimate { value: difference.value / of, se: difference.se / of }
}

/// Index of the way with the lowest mean cost; of equal ones the last, which replaces least.
pub(crate) fn cheapest(tried: &[Tried]) -> usize {
    let costs: Vec<f64> = tried.iter().map(|way| way.cost().value).collect();
    (0..costs.len()).rev().min_by(|&a, &b| costs[a].total_cmp(&costs[b])).unwrap_or(0)
}

/// Standard error of the best interval: how far it moves from one group of trials to the next.
pub(crate) fn wander(intervals: &[f64], tried: &[Tried]) -> f64 {
    let best: Vec<f64> = (0..GROUPS)
        .filter_map(|group| {
            let sums = tried.iter().map(|way| {
                let of_group = way.notes.iter().skip(group).step_by(GROUPS);
                of_group.map(|note| note.levelized).sum::<f64>()
            });
            sums.enumerate().min_by(|a, b| a.1.total_cmp(&b.1)).map(|(k, _)| intervals[k])
        })
        .collect();
    mean(&best).0.se
}

/// Stretches of intervals whose cost is within a share of the lowest, with ends between two tried intervals on the straight
/// line between their costs.
pub(crate) fn flat(intervals: &[f64], costs: &[Estimate], within: f64) -> Vec<(f64, f64)> {
    let lowest = costs.iter().map(|cost| cost.value).fold(f64::INFINITY, f64::min);
    let bound = lowest + within * lowest.abs();
    let crossing = |inside: usize, outside: usize| {
        let share = (bound - costs[inside].value) / (costs[outside].value - costs[inside].value);
        intervals[inside] + (intervals[outside] - intervals[inside]) * share
    };
    let mut stretches = vec![];
    let mut from = None;
    for (k, cost) in costs.iter().enumerate() {
        let inside = cost.value <= bound;
        match (inside, from) {
            (true, None) => from = Some(if k == 0 { intervals[0] } else { crossing(k, k - 1) }),
            (false, Some(start)) => {
                stretches.push((start, crossing(k - 1, k)));
                from = None;
            }
            _ => {}
        }
    }
    if let (Some(start), Some(&end)) = (from, intervals.last()) {
        stretches.push((start, end));
    }
    // a gap narrower than a step of the search is none that anybody could act on
    stretches.dedup_by(|next, before| {
        let close = next.0 < 1.01 * before.1;
        if close {
            before.1 = next.1;
        }
        close
    });
    stretches
}

/// Intervals to try, rising: even steps of the logarithm, and those at which one relamp more or less fits into the horizon.
///
/// A curve over a stated horizon has teeth: an interval a little below lit/n brings one more relamp, right at the end. Both
/// sides of each tooth are tried, so that nothing is read off a line across it. The shortest interval is a share of the
/// lamp's life or of the time in which its light falls to half, whichever is shorter. The interval as written is among them.
pub(crate) fn intervals(median: f64, half_light: f64, lit: f64, written: f64) -> Vec<f64> {
    const BELOW: f64 = 1.0 - 5e-4;
    let most = lit.min(3.0 * median);
    let least = (0.15 * median).min(0.05 * half_light).clamp(lit / 400.0, 0.5 * most);
    let ratio = (most / least).ln();
    let mut all: Vec<f64> = (0..STEPS).map(|k| least * (ratio * k as f64 / (STEPS - 1) as f64).exp()).collect();
    let teeth = (1..=MOST_RELAMPS).map(|n| lit / n as f64).filter(|hours| (least..=most).contains(hours));
    all.extend(teeth.flat_map(|hours| [BELOW * hours, hours]));
    all.extend(Some(written).filter(|hours| *hours > 0.0 && *hours < lit));
    all.sort_by(f64::total_cmp);
    all.dedup_by(|a, b| *a / *b < 1.0002);
    all
}
