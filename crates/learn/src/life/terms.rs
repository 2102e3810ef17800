//! What the likelihood of lives is a sum of, gathered so that very many lives take few steps.
//!
//! A lamp that was still alive adds ln S at its hours, one that came in late takes ln S at its entry off, and a death adds ln of
//! a difference of two survivals (or a density). So entries and lamps that live on need not be kept together: they are
//! counted hour by hour, however differently they were watched.
//!
//! Belongs here: that gathering. Does not belong here: which survival it is.

use std::collections::BTreeMap;

use super::{Watched, rounded};

/// Shares by which hours are rounded at first, where there are too many different ones.
const FINEST: f64 = 1e-4;

/// Lives by what they add to a likelihood.
#[derive(Debug, Clone, PartialEq)]
pub struct Terms {
    /// Hours with how often ln S is counted there; below 0 where it is taken off.
    pub alive: Vec<(f64, f64)>,
    /// Deaths: hours at which the lamp was last alive and first dead, equal where that is known, and how many.
    pub deaths: Vec<(f64, f64, f64)>,
    /// By what share of themselves hours may have moved; 0 where they were not rounded.
    pub moved: f64,
}

impl Terms {
    /// Gathers lives into at most `most` terms; where there are more, hours are rounded on a scale of equal ratios.
    ///
    /// ```
    /// use learn::life::{Terms, Watched};
    /// let late = Watched { from: 3_000.0, seen: 9_900.0, gone: f64::INFINITY, count: 2 };
    /// assert_eq!(Terms::new(&[late], 100).alive, [(3_000.0, -2.0), (9_900.0, 2.0)]);
    /// ```
    pub fn new(lives: &[Watched], most: usize) -> Self {
        let mut ratio = 0.0;
        loop {
            let terms = Self::rounded(lives, ratio);
            if terms.alive.len() + terms.deaths.len() <= most.max(1) || ratio > 0.5 {
                return terms;
            }
            ratio = if ratio == 0.0 { FINEST } else { 2.0 * ratio };
        }
    }

    fn rounded(lives: &[Watched], ratio: f64) -> Self {
        let hours = |hours: f64| if ratio > 0.0 { rounded(hours, ratio) } else { hours };
        let mut alive: BTreeMap<u64, f64> = BTreeMap::new();
        let mut deaths: BTreeMap<[u64; 2], f64> = BTreeMap::new();
        for life in lives {
            let count = life.count as f64;
            // bits of numbers from 0 upwards stand in the order of the numbers
            if life.from > 0.0 {
                *alive.entry(hours(life.from).to_bits()).or_default() -= count;
            }
            if life.is_dead() {
                let ends = [life.seen, life.gone].map(|end| (hours(end) + 0.0).to_bits());
                *deaths.entry(ends).or_default() += count;
            } else if life.seen > 0.0 {
                *alive.entry(hours(life.seen).to_bits()).or_default() += count;
            }
        }
        Self {
            alive: alive.into_iter().map(|(hours, count)| (f64::from_bits(hours), count)).collect(),
            deaths: deaths
                .into_iter()
                .map(|([seen, gone], count)| (f64::from_bits(seen), f64::from_bits(gone), count))
                .collect(),
            moved: ratio,
        }
    }

    /// The last hours that are told of; 0 where nothing is.
    pub fn latest(&self) -> f64 {
        let alive = self.alive.last().map_or(0.0, |term| term.0);
        self.deaths.iter().map(|term| term.1).fold(alive, f64::max)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn very_many_late_lives_take_few_terms_and_move_little() {
        let life = |k: u64| {
            let from = 10.0 + (k * 7919 % 5000) as f64;
            let seen = from + 100.0 + (k * 104_729 % 15_000) as f64;
            Watched { from, seen, gone: if k.is_multiple_of(3) { seen } else { f64::INFINITY }, count: 1 }
        };
        let lives: Vec<Watched> = (0..50_000).map(life).collect();
        let terms = Terms::new(&lives, 6_000);
        assert!(terms.alive.len() + terms.deaths.len() <= 6_000 && terms.moved < 0.01, "{}", terms.moved);
        let sum: f64 = terms.alive.iter().map(|term| term.1).sum();
        assert_eq!(sum + terms.deaths.iter().map(|term| term.2).sum::<f64>(), 0.0);
        assert_eq!(Terms::new(&lives, usize::MAX).moved, 0.0);
    }
}
