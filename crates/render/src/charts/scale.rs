//! From numbers to places: ranges, round ticks, and the clipping of curves to a range.
//!
//! Belongs here: linear scaling for display. Does not belong here: anything drawn.

use super::ink::Place;
use crate::number;

/// A linear scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scale {
    pub(super) low: f64,
    pub(super) high: f64,
    from: f64,
    to: f64,
}

impl Scale {
    /// Maps `low..high` to the places `from..to`.
    pub(super) fn new((low, high): (f64, f64), from: f64, to: f64) -> Self {
        Self { low, high, from, to }
    }

    /// Place of a value, kept within the scale; none for what is not a number.
    pub(super) fn at(&self, value: f64) -> Option<f64> {
        if value.is_nan() {
            return None;
        }
        // halved first, because the difference of two huge numbers may have no value
        let share = (value / 2.0 - self.low / 2.0) / (self.high / 2.0 - self.low / 2.0);
        share.is_finite().then(|| self.from + share.clamp(0.0, 1.0) * (self.to - self.from))
    }

    /// Place of two values.
    pub(super) fn place(&self, other: &Self, (x, y): (f64, f64)) -> Option<Place> {
        Some((self.at(x)?, other.at(y)?))
    }

    /// At most so many round values and the decimals that they need.
    pub(super) fn ticks(&self, most: usize) -> (Vec<f64>, usize) {
        let step = round_step((self.high - self.low) / most.max(1) as f64);
        if !(step.is_finite() && step > 0.0) {
            return (vec![], 0);
        }
        let first = (self.low / step - 1e-9).ceil();
        let ticks: Vec<f64> =
            (0..=most + 1).map(|i| (first + i as f64) * step).filter(|t| *t <= self.high + step * 1e-9).collect();
        (ticks, decimals(step))
    }
}

/// A tick as text.
pub(super) fn tick(value: f64, decimals: usize) -> String {
    number::fixed(value, decimals)
}

/// Smallest of 1, 2 and 5 times a power of ten that is not smaller.
fn round_step(step: f64) -> f64 {
    let power = 10f64.powf(step.log10().floor());
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|m| m * power).find(|s| *s >= step * (1.0 - 1e-9)).unwrap_or(step)
}

fn decimals(step: f64) -> usize {
    let power = (step.log10() + 1e-9).floor();
    if power < 0.0 { (-power).min(12.0) as usize } else { 0 }
}

/// Smallest and largest of the finite values.
pub(super) fn extent(values: impl IntoIterator<Item = f64>) -> Option<(f64, f64)> {
    // what is beyond this cannot be shown beside anything else
    let shown = values.into_iter().filter(|v| v.abs() < 1e200);
    shown.fold(None, |range, v| match range {
        None => Some((v, v)),
        Some((low, high)) => Some((v.min(low), v.max(high))),
    })
}

/// A range with a little air on both sides; a single value gets a range around it.
pub(super) fn airy(range: Option<(f64, f64)>, share: f64) -> (f64, f64) {
    match range {
        None => (0.0, 1.0),
        Some((low, high)) if high - low > 1e-9 * high.abs().max(low.abs()) => {
            let air = (high - low) * share;
            (low - air, high + air)
        }
        Some((0.0, _)) => (-1.0, 1.0),
        Some((value, _)) => (value - value.abs() * 0.1, value + value.abs() * 0.1),
    }
}

/// A range that begins at 0 (or at the lowest value below it) and ends above its highest value.
pub(super) fn from_zero(range: Option<(f64, f64)>, share: f64) -> (f64, f64) {
    let (low, high) = range.unwrap_or((0.0, 0.0));
    let (low, high) = (low.min(0.0), high.max(0.0));
    if high > low {
        (if low < 0.0 { low - (high - low) * share } else { 0.0 }, high + (high - low) * share)
    } else {
        (0.0, 1.0)
    }
}

/// The part of a curve within a range, its ends interpolated; points that are no numbers are left out.
pub(super) fn clip(points: &[(f64, f64)], low: f64, high: f64) -> Vec<(f64, f64)> {
    let points: Vec<(f64, f64)> = points.iter().copied().filter(|p| p.0.is_finite() && p.1.is_finite()).collect();
    let mut inside = Vec::new();
    for (i, point) in points.iter().enumerate() {
        if let Some(before) = i.checked_sub(1).and_then(|b| points.get(b)) {
            for edge in [low, high] {
                if before.0 < edge && edge < point.0 {
                    let t = (edge - before.0) / (point.0 - before.0);
                    inside.push((edge, before.1 + (point.1 - before.1) * t));
                }
            }
        }
        if (low..=high).contains(&point.0) {
            inside.push(*point);
        }
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_few() {
        let (ticks, decimals) = Scale::new((1.93, 6.4), 0.0, 1.0).ticks(6);
        assert_eq!((ticks, decimals), (vec![2.0, 3.0, 4.0, 5.0, 6.0], 0));
        let (ticks, decimals) = Scale::new((0.0, 0.31), 0.0, 1.0).ticks(4);
        assert_eq!((ticks.len(), decimals), (4, 1));
        assert_eq!(Scale::new((1.0, 1.0), 0.0, 1.0).ticks(5).0, Vec::<f64>::new());
    }

    #[test]
    fn places_are_never_undefined() {
        let scale = Scale::new((0.0, 10.0), 100.0, 200.0);
        assert_eq!(scale.at(5.0), Some(150.0));
        assert_eq!(scale.at(1e300), Some(200.0));
        assert_eq!(scale.at(f64::NAN), None);
        assert_eq!(Scale::new((1.0, 1.0), 0.0, 1.0).at(1.0), None);
    }

    #[test]
    fn ranges_are_never_empty() {
        for range in [None, Some((0.0, 0.0)), Some((4.25, 4.25)), Some((-1.0, -1.0)), Some((1.0, 2.0))] {
            let (low, high) = airy(range, 0.04);
            assert!(low < high);
            let (low, high) = from_zero(range, 0.04);
            assert!(low < high && low <= 0.0 && high >= 0.0);
        }
        assert_eq!(extent([f64::NAN, 3.0, f64::INFINITY, -2.0]), Some((-2.0, 3.0)));
    }

    #[test]
    fn curves_are_clipped_at_the_edges() {
        let curve = [(0.0, 0.0), (1.0, 1.0), (f64::NAN, 2.0), (2.0, 2.0)];
        assert_eq!(clip(&curve, 0.5, 1.5), [(0.5, 0.5), (1.0, 1.0), (1.5, 1.5)]);
        assert_eq!(clip(&curve, 1.2, 1.4), [(1.2, 1.2), (1.4, 1.4)]);
    }
}
