//! A range of an input on a page, even in the number or in its logarithm.
//!
//! Belongs here: places and round ticks on either kind of scale. Does not belong here: which kind it is.

use super::scale::{Scale, tick};
use crate::number;

/// Ranges that span more than this factor are shown in the logarithm.
const WIDE: f64 = 20.0;

/// A range laid between two places.
#[derive(Debug, Clone, Copy)]
pub(super) struct Span {
    scale: Scale,
    ends: (f64, f64),
    logarithmic: bool,
}

impl Span {
    /// A range between two places; none if it has no two ends.
    pub(super) fn new((low, high): (f64, f64), (from, to): (f64, f64), logarithmic: bool) -> Option<Self> {
        let bend = |value: f64| if logarithmic { value.ln() } else { value };
        let (low, high) = (bend(low), bend(high));
        (low.abs() < 1e200 && high.abs() < 1e200 && low < high).then(|| Self {
            scale: Scale::new((low, high), from, to),
            ends: (from, to),
            logarithmic,
        })
    }

    /// [`Span::new`], in the logarithm if the range is wide and above nothing.
    pub(super) fn fitting((low, high): (f64, f64), places: (f64, f64)) -> Option<Self> {
        Self::new((low, high), places, low > 0.0 && high / low > WIDE)
    }

    /// Place of a value, kept within the range; none for what is not a number.
    pub(super) fn at(&self, value: f64) -> Option<f64> {
        match self.logarithmic {
            true if value <= 0.0 => self.scale.at(self.scale.low),
            true => self.scale.at(value.ln()),
            false => self.scale.at(value),
        }
    }

    /// Place of a value within the range; none beyond it.
    pub(super) fn within(&self, value: f64) -> Option<f64> {
        let bent = if self.logarithmic { value.ln() } else { value };
        let hair = (self.scale.high - self.scale.low) * 1e-9;
        (bent >= self.scale.low - hair && bent <= self.scale.high + hair).then(|| self.at(value)).flatten()
    }

    /// Place of its least value.
    pub(super) fn from(&self) -> f64 {
        self.ends.0
    }

    /// Place of its greatest value.
    pub(super) fn to(&self) -> f64 {
        self.ends.1
    }

    /// Whether it is even in the logarithm.
    pub(super) fn logarithmic(&self) -> bool {
        self.logarithmic
    }

    /// At most so many round values, rising, and how they are written.
    pub(super) fn ticks(&self, most: usize) -> Vec<(f64, String)> {
        if !self.logarithmic {
            let (ticks, decimals) = self.scale.ticks(most);
            return ticks.into_iter().map(|value| (value, tick(value, decimals))).collect();
        }
        // from many to few: 1, 2 and 5 of each power of ten, 1 and 3, powers of ten, every other power …
        let (first, last) = (self.scale.low / std::f64::consts::LN_10, self.scale.high / std::f64::consts::LN_10);
        let powers = |every: i32| (first.floor() as i32..=last.ceil() as i32).filter(move |p| p % every == 0);
        let mut sets: Vec<(i32, &[f64])> = vec![
            (1, &[1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0]),
            (1, &[1.0, 2.0, 3.0, 5.0]),
            (1, &[1.0, 2.0, 5.0]),
            (1, &[1.0, 3.0]),
        ];
        sets.extend([1, 2, 5, 10, 20, 50, 100].map(|every| (every, [1.0].as_slice())));
        let values = |(every, parts): (i32, &'static [f64])| -> Vec<f64> {
            let all = powers(every).flat_map(|power| parts.iter().map(move |part| part * 10f64.powi(power)));
            all.filter(|value| self.within(*value).is_some()).collect()
        };
        let found = sets.into_iter().map(values).find(|ticks| ticks.len() <= most.max(2));
        found.unwrap_or_default().into_iter().map(|value| (value, number::to_noise(value, 0.0))).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_ranges_go_by_the_logarithm() {
        let wide = Span::fitting((10.0, 1000.0), (0.0, 100.0)).unwrap();
        assert!(wide.logarithmic() && (wide.at(100.0).unwrap() - 50.0).abs() < 1e-9);
        let ticks: Vec<String> = wide.ticks(7).into_iter().map(|(_, text)| text).collect();
        assert_eq!(ticks, ["10", "20", "50", "100", "200", "500", "1000"]);
        let narrow = Span::fitting((10.0, 110.0), (0.0, 100.0)).unwrap();
        assert!(!narrow.logarithmic() && (narrow.at(60.0).unwrap() - 50.0).abs() < 1e-9);
        assert!(!Span::fitting((-1.0, 1000.0), (0.0, 1.0)).unwrap().logarithmic());
    }

    #[test]
    fn places_are_within_or_none() {
        let span = Span::fitting((1.0, 100.0), (0.0, 100.0)).unwrap();
        assert_eq!((span.at(0.0), span.at(1e9), span.at(f64::NAN)), (Some(0.0), Some(100.0), None));
        assert_eq!((span.within(0.5), span.within(f64::NAN), span.within(101.0)), (None, None, None));
        assert!(span.within(100.0).is_some() && span.within(1.0).is_some());
        for bad in [(1.0, 1.0), (2.0, 1.0), (f64::NAN, 1.0), (0.0, f64::INFINITY), (-f64::MAX, f64::MAX)] {
            assert!(Span::fitting(bad, (0.0, 1.0)).is_none(), "{bad:?}");
        }
        assert!(Span::new((0.0, 5.0), (0.0, 1.0), true).is_none());
        assert!(Span::new((1e-300, 1e300), (0.0, 1.0), true).unwrap().ticks(6).len() <= 6);
    }
}
