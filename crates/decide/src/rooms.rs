//! Rooms that share the lights and may start apart: which starts lower the bill, and which the site's peak.

use calendar::{Minute, Timeline};
use engine::lit;
use meter::LightStep;
use plan::Plan;

use crate::bill::lay_out_rooms;
use crate::hours_report::{RoomsChoice, RoomsFinding};
use crate::year::{FirstYear, YearCost};

/// Most combinations that are all tried.
const ALL: usize = 4_000;

/// Searches the starts of rooms for an option under a contract.
///
/// # Errors
/// When a start cannot be laid out.
pub(crate) fn rooms(
    plan: &Plan,
    contract: usize,
    option: usize,
    sheet: usize,
    rooms: usize,
    step: u16,
) -> Result<RoomsFinding, String> {
    let of = &plan.contracts[contract];
    let written = &plan.clocks[of.clock].photoperiod;
    let first = written.phases.iter().find_map(|phase| phase.windows.first()).map_or(Minute::MIDNIGHT, |w| w.on);
    let starts: Vec<Minute> = (0..24 * 60 / step).map(|k| first.later(i32::from(k * step))).collect();
    let timelines = lay_out_rooms(plan, of, &starts)?;
    let mut search = Search {
        plan,
        timelines: &timelines,
        share: 1.0 / rooms as f64,
        year: FirstYear::new(plan, contract),
        lit: lit(plan, &plan.options[option], &plan.inputs.medians()),
    };
    let together = vec![0; rooms];
    let mut tried = vec![(together.clone(), search.cost(&together))];
    let exhaustive = combinations(starts.len(), rooms) <= ALL;
    if exhaustive {
        let mut rising = together.clone();
        while next(&mut rising, starts.len()) {
            let cost = search.cost(&rising);
            tried.push((rising.clone(), cost));
        }
    } else {
        search.downhill(&together, &mut tried, |cost| (cost.added, cost.peak_kw));
        search.downhill(&together, &mut tried, |cost| (cost.peak_kw, cost.added));
        // rooms spread evenly over the day
        let spread: Vec<usize> = (0..rooms).map(|k| k * starts.len() / rooms).collect();
        search.downhill(&spread, &mut tried, |cost| (cost.added, cost.peak_kw));
        search.downhill(&spread, &mut tried, |cost| (cost.peak_kw, cost.added));
    }
    let choice = |(on, cost): &(Vec<usize>, YearCost)| RoomsChoice {
        on: on.iter().map(|&k| starts[k].to_string()).collect(),
        year: cost.added,
        peak_kw: cost.peak_kw,
    };
    // a hair's breadth is no difference
    let less = |a: (f64, f64), b: (f64, f64)| a.0 < b.0 * (1.0 - 1e-9) || a.0 <= b.0 * (1.0 + 1e-9) && a.1 < b.1;
    let best = |key: fn(&YearCost) -> (f64, f64)| {
        tried.iter().fold(&tried[0], |best, next| if less(key(&next.1), key(&best.1)) { next } else { best })
    };
    Ok(RoomsFinding {
        sheet,
        rooms,
        step_minutes: step,
        exhaustive,
        together: choice(&tried[0]),
        cheapest: choice(best(|cost| (cost.added, cost.peak_kw))),
        lowest_peak: choice(best(|cost| (cost.peak_kw, cost.added))),
    })
}

/// Ways to give so many starts to so many rooms that are alike; large numbers stop at the first that is too many.
fn combinations(starts: usize, rooms: usize) -> usize {
    (1..=rooms).try_fold(1usize, |ways, k| Some(ways.checked_mul(starts + k - 1)? / k)).unwrap_or(usize::MAX)
}

/// The next combination whose starts do not fall.
fn next(on: &mut [usize], starts: usize) -> bool {
    let Some(last) = on.iter().rposition(|&k| k + 1 < starts) else { return false };
    let value = on[last] + 1;
    on[last..].iter_mut().for_each(|k| *k = value);
    true
}

struct Search<'a> {
    plan: &'a Plan,
    timelines: &'a [Timeline],
    share: f64,
    year: FirstYear<'a>,
    lit: meter::Lit,
}

impl Search<'_> {
    fn cost(&mut self, on: &[usize]) -> YearCost {
        let rooms: Vec<(f64, &Timeline)> = on.iter().map(|&k| (self.share, &self.timelines[k])).collect();
        let (lag, factors) = self.plan.cooling.as_ref().map_or((0, [1.0; 12]), |c| (c.lag_seconds, c.cop_by_month));
        let steps: Vec<LightStep> = meter::light_steps(&rooms, lag, &factors, &self.plan.days);
        self.year.cost(&steps, self.lit)
    }

    /// Moves one room at a time to its best start until no move helps.
    fn downhill(&mut self, from: &[usize], tried: &mut Vec<(Vec<usize>, YearCost)>, key: fn(&YearCost) -> (f64, f64)) {
        let mut on = from.to_vec();
        let mut best = self.cost(&on);
        loop {
            let mut moved = None;
            for room in 0..on.len() {
                for start in 0..self.timelines.len() {
                    let mut other = on.clone();
                    other[room] = start;
                    let cost = self.cost(&other);
                    if key(&cost) < key(&best) {
                        (best, moved) = (cost, Some(other));
                    }
                }
            }
            match moved {
                Some(other) => on = other,
                None => break,
            }
        }
        tried.push((on, best));
    }
}
