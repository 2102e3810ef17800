//! Lives of lamps that were watched: what survival they show, which curves fit them, what too few deaths still say.
//!
//! Belongs here: a life as it was watched, and gathering very many of them. Does not belong here: how they are written
//! down (`records`), what a scenario believed before (`belief`).

mod bound;
mod family;
mod fit;
mod lots;
mod profile;
mod steps;
mod terms;
mod turnbull;

use std::collections::BTreeMap;

pub use bound::median_bound;
pub use family::Family;
pub use fit::{Bounded, Fit, NoFit, fit};
pub use lots::{Lots, lots_differ};
pub use steps::{Step, Survival, SurvivalWay, survival};
pub use terms::Terms;

/// Lamps that were watched alike, in burn hours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Watched {
    /// Hours that they had when they were first watched (late entry): those that died before are not seen; 0 for new lamps.
    pub from: f64,
    /// Hours at which they were certainly alive, at least `from`.
    pub seen: f64,
    /// Hours by which they were certainly dead: equal to `seen` where the death is known to the hour, infinite where they
    /// were not seen to die.
    pub gone: f64,
    /// How many of them.
    pub count: u64,
}

impl Watched {
    /// Whether they died.
    pub fn is_dead(&self) -> bool {
        self.gone.is_finite()
    }

    /// Whether they died at an hour that is known.
    pub fn is_exact(&self) -> bool {
        self.seen == self.gone
    }
}

/// How many of some lamps died.
pub fn deaths(lives: &[Watched]) -> u64 {
    lives.iter().filter(|life| life.is_dead()).map(|life| life.count).sum()
}

/// Gathers lives, equal ones together, so that a million rows take little room.
///
/// ```
/// let mut tally = learn::life::Tally::default();
/// (0..5).for_each(|_| tally.add(0.0, 9_900.0, f64::INFINITY));
/// let (lives, moved) = tally.lives(100);
/// assert!(lives.len() == 1 && lives[0].count == 5 && moved == 0.0);
/// ```
#[derive(Debug, Clone, Default)]
pub struct Tally {
    lives: BTreeMap<[u64; 3], u64>,
}

impl Tally {
    /// Adds a lamp by its hours; none of them is below 0 or no number.
    pub fn add(&mut self, from: f64, seen: f64, gone: f64) {
        // bits of numbers from 0 upwards stand in the order of the numbers; -0 is brought to 0
        *self.lives.entry([from, seen, gone].map(|hours| (hours + 0.0).to_bits())).or_insert(0) += 1;
    }

    /// Number of lamps.
    pub fn count(&self) -> u64 {
        self.lives.values().sum()
    }

    /// The lives in order, at most `most` different ones: where there are more, hours are rounded on a scale of equal
    /// ratios, no coarser than it takes. Also by what share of themselves hours may have moved, 0 where that was not needed.
    pub fn lives(&self, most: usize) -> (Vec<Watched>, f64) {
        let (mut ratio, mut moved) = (1e-4, 0.0);
        let mut lives = self.lives.clone();
        while lives.len() > most.max(1) && ratio < 1.0 {
            // what was rounded more finely before is rounded on: all rounds together move an hour by less than the last step
            let mut coarser = BTreeMap::new();
            for (key, count) in &lives {
                *coarser.entry(key.map(|bits| rounded(f64::from_bits(bits), ratio).to_bits())).or_insert(0) += count;
            }
            lives = coarser;
            (moved, ratio) = (ratio, ratio * 2.0);
        }
        let of = |(key, count): (&[u64; 3], &u64)| {
            let [from, seen, gone] = key.map(f64::from_bits);
            Watched { from, seen, gone, count: *count }
        };
        (lives.iter().map(of).collect(), moved)
    }
}

/// Hours to the nearest whole power of 1 + ratio.
fn rounded(hours: f64, ratio: f64) -> f64 {
    let step = ratio.ln_1p();
    if hours > 0.0 && hours.is_finite() { ((hours.ln() / step).round() * step).exp() } else { hours }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_lives_are_rounded_no_coarser_than_needed() {
        let mut tally = Tally::default();
        (0..10_000).for_each(|k| {
            tally.add(0.0, 5_000.0 + f64::from(k), if k % 2 == 0 { f64::INFINITY } else { 5_000.0 + f64::from(k) })
        });
        let (all, moved) = tally.lives(20_000);
        assert!(all.len() == 10_000 && moved == 0.0);
        let (few, moved) = tally.lives(400);
        assert!(moved > 0.0 && moved < 0.02 && few.len() <= 400 && few.len() > 100, "{}", few.len());
        assert_eq!((tally.count(), few.iter().map(|life| life.count).sum::<u64>()), (10_000, 10_000));
        assert_eq!(deaths(&few), 5_000);
        assert!(few.iter().all(|life| life.is_exact() || !life.is_dead()));
    }
}
