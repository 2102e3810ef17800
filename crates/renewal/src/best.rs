//! The cheapest interval between planned replacements.

use std::f64::consts::PI;

use crate::lamp::{Fault, Lamp, demand, demand_amount, demand_positive};
use crate::long_run::{Costs, LongRun, Planned, Rates};

/// Intervals tried at first.
const SCAN: i32 = 240;

/// Half the width, as a share of the interval, on which the cost curve is taken for a polynomial in the end.
const CLOSE: f64 = 0.03;

/// What is to be lowest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Goal {
    /// Money per hour of the schedule.
    PerHour,
    /// Money per hour at full flux.
    PerFluxHour,
}

impl Goal {
    fn of(self, rates: Rates) -> f64 {
        match self {
            Self::PerHour => rates.per_hour,
            Self::PerFluxHour => rates.per_flux_hour,
        }
    }
}

/// Where to look for the best interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Search {
    /// Shortest interval, h.
    pub shortest: f64,
    /// Longest interval, h.
    pub longest: f64,
    /// How much dearer than the best an interval may be and still count as good, as a share: 0.01 for 1 %.
    pub within: f64,
}

/// The best interval and those that are nearly as good.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Best {
    /// The best interval, h; infinite if lamps had best never be replaced as planned. A bound of the search if costs
    /// still fall there.
    pub interval: f64,
    /// What it costs.
    pub cost: f64,
    /// The shortest interval from which on, up to the best, all are good, h.
    pub good_from: f64,
    /// The longest interval to which all are good, h; infinite if all longer ones and none at all are good too.
    pub good_to: f64,
}

/// The interval between planned replacements at which the `goal` is lowest.
///
/// Intervals on a grid of equal ratios are tried first, so that of several minima the lowest is found; the golden section
/// and at last the slope of a polynomial through nearby costs refine it, to about 1e-9 of the interval where the cost curve
/// is smooth and not flat.
///
/// ```
/// use renewal::{Costs, Goal, Lamp, Planned, Search, best_interval};
/// let survival = |age: f64| (1.0 - age).max(0.0);
/// let lamp = Lamp { survival: &survival, light: &|_| 1.0, survival_kinks: &[1.0], light_kinks: &[] };
/// let costs = Costs { failure: 5.0, planned: 1.0, running: 0.0, standing: 0.0, first: 0.0, discount: 0.0 };
/// let search = Search { shortest: 0.01, longest: 1.0, within: 0.01 };
/// let best = best_interval(&lamp, &costs, Planned::ByAge, Goal::PerHour, &search).unwrap();
/// // uniform lives: T* = √(k² + 2k) − k with k = 1/(5 − 1)
/// assert!((best.interval - 0.5).abs() < 1e-9 && (best.cost - 8.0).abs() < 1e-12);
/// assert!(best.good_from < 0.46 && best.good_to > 0.54);
/// ```
///
/// # Errors
/// As [`LongRun::new`]; a shortest interval that is not above 0 and below the longest, a `within` that is negative.
pub fn best_interval(lamp: &Lamp, costs: &Costs, planned: Planned, goal: Goal, search: &Search) -> Result<Best, Fault> {
    let Search { shortest, longest, within } = *search;
    demand_positive("the shortest interval", shortest)?;
    demand(shortest < longest, "the longest interval", longest, "above the shortest")?;
    demand_amount("the share by which good intervals may be dearer", within)?;
    let long_run = LongRun::new(lamp, costs, planned, longest)?;
    let cost = |interval: f64| goal.of(long_run.at(interval));
    let ratio = (longest / shortest).ln();
    let grid: Vec<f64> = (0..=SCAN)
        .map(|step| if step == SCAN { longest } else { shortest * (ratio * f64::from(step) / f64::from(SCAN)).exp() })
        .collect();
    let scan: Vec<f64> = grid.iter().map(|&interval| cost(interval)).collect();
    let never = goal.of(long_run.never());
    let lowest = (0..scan.len()).min_by(|&a, &b| scan[a].total_cmp(&scan[b])).unwrap_or(0);
    let around = (grid[lowest.saturating_sub(1)], grid[(lowest + 1).min(grid.len() - 1)]);
    let mut interval = polish(&cost, golden(&cost, around), (shortest, longest));
    for bound in [shortest, longest] {
        if cost(bound) < cost(interval) {
            interval = bound;
        }
    }
    let mut lowest_cost = cost(interval);
    let is_never = never <= lowest_cost;
    if is_never {
        (interval, lowest_cost) = (f64::INFINITY, never);
    }
    let limit = (1.0 + within) * lowest_cost;
    let middle = grid.partition_point(|&at| at <= interval);
    let edge = |good: f64, bad: f64| crossing(&cost, limit, good, bad);
    let bad_before = (0..middle).rev().find(|&index| scan[index] > limit);
    let good_from = match bad_before {
        Some(index) if index + 1 < grid.len() => edge(grid[index + 1].min(interval), grid[index]),
        // not even the longest is good, but never is
        Some(_) => f64::INFINITY,
        None => shortest,
    };
    let bad_after = (middle..grid.len()).find(|&index| scan[index] > limit);
    let good_to = match bad_after {
        Some(index) => edge(grid[index - 1].max(interval), grid[index]),
        None if never <= limit => f64::INFINITY,
        None => longest,
    };
    Ok(Best { interval, cost: lowest_cost, good_from, good_to })
}

/// The golden section, down to a millionth of the interval.
fn golden(cost: &dyn Fn(f64) -> f64, (mut from, mut to): (f64, f64)) -> f64 {
    let share = 0.5 * (5f64.sqrt() - 1.0);
    let (mut left, mut right) = (to - share * (to - from), from + share * (to - from));
    let (mut cost_left, mut cost_right) = (cost(left), cost(right));
    while to - from > 1e-6 * to {
        if cost_left < cost_right {
            (to, right, cost_right) = (right, left, cost_left);
            left = to - share * (to - from);
            cost_left = cost(left);
        } else {
            (from, left, cost_left) = (left, right, cost_right);
            right = from + share * (to - from);
            cost_right = cost(right);
        }
    }
    if cost_left < cost_right { left } else { right }
}

/// Where the slope of a polynomial through the costs nearby is 0. A minimum itself is flat: looking for the lowest cost
/// finds it only to half the digits, looking for a slope of 0 to nearly all.
fn polish(cost: &dyn Fn(f64) -> f64, rough: f64, bounds: (f64, f64)) -> f64 {
    const COUNT: usize = 12;
    let reach = (CLOSE * rough).min(rough - bounds.0).min(bounds.1 - rough);
    if !(reach > 1e-3 * CLOSE * rough) {
        return rough;
    }
    let angles: Vec<f64> = (0..COUNT).map(|j| PI * (j as f64 + 0.5) / COUNT as f64).collect();
    let level = cost(rough);
    let costs: Vec<f64> = angles.iter().map(|angle| cost(rough + reach * angle.cos()) - level).collect();
    // coefficients over Chebyshev's polynomials, without the constant
    let terms: Vec<f64> = (1..COUNT)
        .map(|k| angles.iter().zip(&costs).map(|(angle, cost)| cost * (k as f64 * angle).cos()).sum())
        .collect();
    // d/dx T_k(cos θ) = k·sin(kθ)/sin θ, whose sign is that of the sum without 1/sin θ
    let slope = |x: f64| {
        let angle = x.acos();
        (1..COUNT).zip(&terms).map(|(k, term)| term * k as f64 * (k as f64 * angle).sin()).sum::<f64>()
    };
    let (mut low, mut high) = (-0.5, 0.5);
    if !(slope(low) < 0.0 && slope(high) > 0.0) {
        return rough;
    }
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        *(if slope(middle) < 0.0 { &mut low } else { &mut high }) = middle;
    }
    let polished = rough + reach * 0.5 * (low + high);
    if cost(polished) <= level + 1e-11 * level.abs() { polished } else { rough }
}

/// Where the cost crosses a limit between a good and a bad interval.
fn crossing(cost: &dyn Fn(f64) -> f64, limit: f64, mut good: f64, mut bad: f64) -> f64 {
    while (good - bad).abs() > 1e-10 * good {
        let middle = 0.5 * (good + bad);
        *(if cost(middle) <= limit { &mut good } else { &mut bad }) = middle;
    }
    good
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lamps_that_do_not_age_are_never_replaced_as_planned() {
        let costs = Costs { failure: 3.0, planned: 2.0, running: 0.1, standing: 0.0, first: 0.0, discount: 0.0 };
        let search = Search { shortest: 0.1, longest: 30.0, within: 0.1 };
        let lamp = Lamp { survival: &|x| (-x).exp(), light: &|_| 1.0, survival_kinks: &[], light_kinks: &[] };
        for planned in [Planned::ByAge, Planned::Group { spot_between: true }] {
            for goal in [Goal::PerHour, Goal::PerFluxHour] {
                let best = best_interval(&lamp, &costs, planned, goal, &search).unwrap();
                assert!(best.interval.is_infinite() && best.good_to.is_infinite(), "{best:?}");
                assert!((best.cost - 3.1).abs() < 1e-12 && best.good_from > 1.0 && best.good_from < 10.0, "{best:?}");
            }
        }
        // spot replacement costs 3.1 and a group date 2/T more: 10 % of 3.1 is reached at T = 2/0.31
        let spot = Planned::Group { spot_between: true };
        let best = best_interval(&lamp, &costs, spot, Goal::PerHour, &search).unwrap();
        assert!((best.good_from - 2.0 / 0.31).abs() < 1e-8);
        let short = Search { longest: 5.0, ..search };
        assert!(best_interval(&lamp, &costs, spot, Goal::PerHour, &short).unwrap().good_from.is_infinite());
    }

    #[test]
    fn a_bound_of_the_search_is_found() {
        let costs = Costs { failure: 3.0, planned: 2.0, running: 0.1, standing: 0.0, first: 0.0, discount: 0.0 };
        let lamp = Lamp { survival: &|_| 1.0, light: &|x| (-0.1 * x).exp(), survival_kinks: &[], light_kinks: &[] };
        // e^x − x − 1 = αc/p = 2: x = 1.50524, T* = 15.05
        for (shortest, longest, expected) in [(1.0, 10.0, 10.0), (20.0, 30.0, 20.0), (14.0, 18.0, 15.052414957928)] {
            let search = Search { shortest, longest, within: 0.01 };
            for planned in [Planned::ByAge, Planned::Group { spot_between: true }] {
                let best = best_interval(&lamp, &costs, planned, Goal::PerFluxHour, &search).unwrap();
                assert!((best.interval / expected - 1.0).abs() < 1e-9, "{best:?}");
                assert!(best.good_from <= best.interval && best.interval <= best.good_to);
            }
        }
        let wrong = Search { shortest: 3.0, longest: 2.0, within: 0.01 };
        assert!(best_interval(&lamp, &costs, Planned::ByAge, Goal::PerHour, &wrong).is_err());
    }
}
