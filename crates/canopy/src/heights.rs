//! Readings at a height that was not measured, from heights that were.
//!
//! Belongs here: the law between two heights, how far it may be stretched, and how well it foretells a height that is left
//! out. Does not belong here: what is done at each height.
//!
//! The law: at each point the logarithm of PPFD is linear in the logarithm of height, E = E₁·(h/h₁)^k with
//! k = ln(E₂/E₁)/ln(h₂/h₁). Far from a small lamp k is −2, under a wide field of fixtures near 0, and off the axis it may
//! be above 0 because light spreads as the lamp rises: a power law holds all of these exactly. At a point that is dark at
//! either height PPFD is linear in height.

use std::fmt;

/// How far beyond the ends readings are extended, as a share of the span between the lowest and the highest height.
pub const BEYOND: f64 = 0.05;
/// Heights closer than this are the same, m.
const SAME: f64 = 5e-4;

/// Readings at one height.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// Height of the fixture above the readings, m; above 0.
    pub height: f64,
    /// Readings, µmol/m²/s; the rows of all levels are alike in number and length.
    pub rows: Vec<Vec<f64>>,
}

/// Readings at a height, and what they come from.
#[derive(Debug, Clone, PartialEq)]
pub struct Between {
    /// Readings, µmol/m²/s.
    pub rows: Vec<Vec<f64>>,
    /// The two levels that they come from and how much the second counts in the law, 0 to 1 within them; none where the
    /// height was measured.
    pub from: Option<(usize, usize, f64)>,
    /// The level that was measured at this height.
    pub measured: Option<usize>,
}

/// A height for which readings cannot be had.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BadHeight {
    /// What was asked for, m.
    pub height: f64,
    /// Lowest and highest height for which they can, m.
    pub allowed: (f64, f64),
}

impl fmt::Display for BadHeight {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (low, high) = self.allowed;
        if high - low < 2.0 * SAME {
            write!(f, "a height of {} m; allowed: {low} m, the only height that was measured", self.height)
        } else {
            // rounded inwards, so that what is allowed is
            let up = |height: f64| (height * 1e3 - 1e-6).ceil() / 1e3;
            write!(f, "a height of {} m; allowed: {:.3} to {:.3} m", self.height, up(low), -up(-high))
        }
    }
}

impl std::error::Error for BadHeight {}

/// Readings at a height, m, from levels in any order.
///
/// ```
/// use canopy::{Level, at_height};
/// // the inverse square, which the law holds exactly
/// let level = |height: f64| Level { height, rows: vec![vec![900.0 / (height * height)]] };
/// let found = at_height(&[level(1.0), level(3.0)], 1.5).unwrap();
/// assert!((found.rows[0][0] - 400.0).abs() < 1e-9);
/// assert!(at_height(&[level(1.0), level(3.0)], 3.2).is_err());
/// ```
///
/// # Errors
/// A height farther beyond the ends than [`BEYOND`], and any but the one where only one was measured.
pub fn at_height(levels: &[Level], height: f64) -> Result<Between, BadHeight> {
    let mut order: Vec<usize> = (0..levels.len()).collect();
    order.sort_by(|a, b| levels[*a].height.total_cmp(&levels[*b].height));
    let ends = (order.first().copied(), order.last().copied());
    let (Some(lowest), Some(highest)) = ends else {
        return Err(BadHeight { height, allowed: (f64::NAN, f64::NAN) });
    };
    if let Some(same) = order.iter().find(|level| (levels[**level].height - height).abs() <= SAME) {
        return Ok(Between { rows: levels[*same].rows.clone(), from: None, measured: Some(*same) });
    }
    let (low, high) = (levels[lowest].height, levels[highest].height);
    let room = BEYOND * (high - low);
    if !(height >= low - room && height <= high + room && low > 0.0 && low < high) {
        return Err(BadHeight { height, allowed: (low - room, high + room) });
    }
    // the neighbours, or the two outermost ones on that side
    let above = order.iter().position(|level| levels[*level].height > height).unwrap_or(order.len() - 1).max(1);
    let (a, b) = (order[above - 1], order[above]);
    let part = (height / levels[a].height).ln() / (levels[b].height / levels[a].height).ln();
    let straight = (height - levels[a].height) / (levels[b].height - levels[a].height);
    let point = |(from, to): (&f64, &f64)| {
        if *from > 0.0 && *to > 0.0 {
            from.powf(1.0 - part) * to.powf(part)
        } else {
            (from + (to - from) * straight).max(0.0)
        }
    };
    let row = |(from, to): (&Vec<f64>, &Vec<f64>)| from.iter().zip(to).map(point).collect();
    let rows = levels[a].rows.iter().zip(&levels[b].rows).map(row).collect();
    Ok(Between { rows, from: Some((a, b, part)), measured: None })
}

/// What the law says of a height that was measured and left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeldOut {
    /// That height, m.
    pub height: f64,
    /// Mean that the law foretells over the mean that was measured, less 1; `weights` of the points as given.
    pub mean_off: f64,
    /// The same at the point where it is farthest off.
    pub worst_off: f64,
}

/// Leaves out every height but the outermost two in turn, and foretells it from its neighbours; `weights` are the shares of
/// the points, row by row, that add up to 1.
pub fn held_out(levels: &[Level], weights: &[f64]) -> Vec<HeldOut> {
    let mut held = vec![];
    for (k, left_out) in levels.iter().enumerate() {
        let is_outermost = |by: fn(&f64, &f64) -> bool| levels.iter().all(|other| by(&left_out.height, &other.height));
        if is_outermost(f64::le) || is_outermost(f64::ge) {
            continue;
        }
        let others: Vec<Level> =
            levels.iter().enumerate().filter(|(other, _)| *other != k).map(|(_, level)| level.clone()).collect();
        let Ok(foretold) = at_height(&others, left_out.height) else { continue };
        let mean = |rows: &[Vec<f64>]| rows.iter().flatten().zip(weights).map(|(x, w)| x * w).sum::<f64>();
        let worst = foretold.rows.iter().flatten().zip(left_out.rows.iter().flatten());
        let worst = worst.filter(|(_, seen)| **seen > 0.0).map(|(told, seen)| told / seen - 1.0);
        held.push(HeldOut {
            height: left_out.height,
            mean_off: mean(&foretold.rows) / mean(&left_out.rows) - 1.0,
            worst_off: worst.fold(0.0, |far, off: f64| if off.abs() > f64::abs(far) { off } else { far }),
        });
    }
    held.sort_by(|a, b| b.height.total_cmp(&a.height));
    held
}

#[cfg(test)]
mod tests {
    use super::*;

    fn level(height: f64, rows: &[f64]) -> Level {
        Level { height, rows: vec![rows.to_vec()] }
    }

    /// Light of a small lamp that shines evenly downwards, at a distance from its foot: cos⁴ law, h²/(h² + r²)².
    fn lamp(height: f64) -> Level {
        let at = |r: f64| 500.0 * height.powi(2) / (height.powi(2) + r * r).powi(2);
        level(height, &[0.0, 0.15, 0.3, 0.6].map(at))
    }

    #[test]
    fn what_is_measured_is_not_bent() {
        let levels = [level(0.9, &[3.0, 5.0]), level(0.6, &[4.0, 5.0])];
        for k in 0..2 {
            let found = at_height(&levels, levels[k].height).unwrap();
            assert_eq!((found.rows, found.measured, found.from), (levels[k].rows.clone(), Some(k), None));
        }
        // a point that is the same at both heights stays so, a dark one rises evenly
        let found = at_height(&[level(0.4, &[7.0, 0.0]), level(0.8, &[7.0, 8.0])], 0.5).unwrap().rows;
        assert!((found[0][0] - 7.0).abs() < 1e-12 && (found[0][1] - 2.0).abs() < 1e-12, "{found:?}");
    }

    #[test]
    fn a_lamp_between_two_heights_is_told_well() {
        // near the axis the law is nearly exact; where the lamp is as high as it is far off, less so
        let levels = [lamp(0.75), lamp(0.9), lamp(0.6)];
        let found = at_height(&levels, 0.8).unwrap();
        assert_eq!(found.from.map(|(a, b, _)| (a, b)), Some((0, 1)));
        for (told, seen) in found.rows[0].iter().zip(&lamp(0.8).rows[0]) {
            assert!((told / seen - 1.0).abs() < 0.01, "{told} {seen}");
        }
        let held = held_out(&levels, &[0.25; 4]);
        assert_eq!(held.len(), 1);
        assert_eq!(held[0].height, 0.75);
        let by_hand = at_height(&[lamp(0.6), lamp(0.9)], 0.75).unwrap().rows[0].iter().sum::<f64>();
        assert!((held[0].mean_off - (by_hand / lamp(0.75).rows[0].iter().sum::<f64>() - 1.0)).abs() < 1e-12);
        assert!(held[0].worst_off.abs() >= held[0].mean_off.abs() && held[0].worst_off.abs() < 0.05);
        assert!(held_out(&levels[..2], &[0.25; 4]).is_empty());
    }

    #[test]
    fn nobody_is_led_far_beyond_what_was_measured() {
        let levels = [level(0.6, &[4.0]), level(1.0, &[2.0])];
        for near in [0.581, 0.6, 1.0, 1.019] {
            assert!(at_height(&levels, near).is_ok(), "{near}");
        }
        for far in [0.57, 1.03, 0.0, -1.0, f64::NAN, f64::INFINITY] {
            let refused = at_height(&levels, far).unwrap_err();
            assert!((refused.allowed.0 - 0.58).abs() < 1e-12 && (refused.allowed.1 - 1.02).abs() < 1e-12);
        }
        let lone = at_height(&levels[..1], 0.61).unwrap_err().to_string();
        assert_eq!(lone, "a height of 0.61 m; allowed: 0.6 m, the only height that was measured");
        assert!(at_height(&[], 0.6).is_err());
    }
}
