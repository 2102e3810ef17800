//! Where the winner changes as one input is turned: the nearest such value below its median, and above.
//!
//! A walk outwards from the median looks at a few values on each side, on the first so many trials; between the last value at
//! which the winner stays and the first at which it does not, the interval is halved.

use std::sync::atomic::Ordering;

use engine::{Progress, Settings};

use crate::axis::Axis;
use crate::drivers::{Group, Inquiry};
use crate::drivers_report::Flip;
use crate::turn::World;

/// Trials that the search lives, at most.
const TRIALS: u64 = 1_000;
/// Factors on the median, outwards; the ends of the range are looked at as well.
const FACTORS: [f64; 5] = [1.1, 1.35, 2.0, 3.5, 8.0];
/// Halvings of an interval that holds a change.
const HALVINGS: usize = 10;

/// Trials that the search lives of so many.
pub(crate) fn search_trials(trials: u64) -> u64 {
    trials.min(TRIALS)
}

/// Values at which another option becomes the cheapest. `bar` is what is believed or doubted of the first member; a group of
/// several is turned by the same factor.
pub(crate) fn flips(
    inquiry: &Inquiry,
    group: &Group,
    bar: (f64, f64),
    tell: &mut dyn FnMut(Progress),
) -> Result<Vec<Flip>, String> {
    let axis = &group.axes[0];
    let median = axis.belief.1;
    if inquiry.order.options.len() < 2 || median == 0.0 {
        return Ok(vec![]);
    }
    let world = World {
        settings: Settings { trials: search_trials(inquiry.world.settings.trials), ..inquiry.world.settings },
        ..*inquiry.world
    };
    let winners = |values: &[f64], tell: &mut dyn FnMut(Progress)| winners(inquiry, &world, group, values, tell);
    let outwards = |up: bool| -> Vec<f64> {
        let factor = |f: &f64| if up == (median > 0.0) { median * f } else { median / f };
        let mut values: Vec<f64> = FACTORS.iter().map(factor).map(|v| v.clamp(axis.range.0, axis.range.1)).collect();
        values.push(if up { axis.range.1 } else { axis.range.0 });
        values.retain(|value| (*value > median) == up && *value != median);
        values.sort_by(|a, b| (a - median).abs().total_cmp(&(b - median).abs()));
        values.dedup();
        values
    };
    let (below, above) = (outwards(false), outwards(true));
    let all: Vec<f64> = [median].iter().chain(&below).chain(&above).copied().collect();
    let found = winners(&all, tell)?;
    if found.len() < all.len() {
        return Ok(vec![]);
    }
    let here = found[0];
    let mut flips = vec![];
    for (values, winners_there, up) in
        [(&below, &found[1..=below.len()], false), (&above, &found[1 + below.len()..], true)]
    {
        let Some(k) = winners_there.iter().position(|winner| *winner != here) else { continue };
        let mut inside = if k == 0 { median } else { values[k - 1] };
        let (mut outside, mut winner) = (values[k], winners_there[k]);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (inside + outside);
            match winners(&[middle], tell)?.first() {
                Some(&there) if there == here => inside = middle,
                Some(&there) => (outside, winner) = (middle, there),
                None => break,
            }
            if world.stop.load(Ordering::Relaxed) {
                break;
            }
        }
        let at = 0.5 * (inside + outside);
        let below = axis.belief_below(world.plan, at);
        flips.push(Flip {
            at,
            of_median: Some(at / median),
            winner,
            believed: below.map(|below| if up { 1.0 - below } else { below }),
            within: (bar.0..=bar.1).contains(&at),
        });
    }
    Ok(flips)
}

/// The cheapest option by mean at each value.
fn winners(
    inquiry: &Inquiry,
    world: &World,
    group: &Group,
    values: &[f64],
    tell: &mut dyn FnMut(Progress),
) -> Result<Vec<usize>, String> {
    let median = group.axes[0].belief.1;
    let place = |value: &f64| -> Vec<f64> {
        let turned = |axis: &Axis| (axis.belief.1 * value / median).clamp(axis.limits.0, axis.limits.1);
        std::iter::once(*value).chain(group.axes[1..].iter().map(turned)).collect()
    };
    let places: Vec<Vec<f64>> = values.iter().map(place).collect();
    let noted = inquiry.visit(world, group, &places, tell)?;
    let options = inquiry.order.options.len();
    let cheapest = |trials: &Vec<Vec<f64>>| {
        let sum = |option: usize| trials.iter().map(|costs| costs[option]).sum::<f64>();
        let sums: Vec<f64> = (0..options).map(sum).collect();
        (0..sums.len()).min_by(|&a, &b| sums[a].total_cmp(&sums[b])).unwrap_or(0)
    };
    Ok(noted.iter().map(cheapest).collect())
}
