//! The minutes of a day in which lights burn, as a set.

use calendar::{Minute, Window};

/// Minutes of a day.
const DAY: u16 = 24 * 60;

/// The lit minutes of a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Minutes(Vec<bool>);

impl Minutes {
    /// Of light windows.
    pub fn of(windows: &[Window]) -> Self {
        let mut set = Self(vec![false; usize::from(DAY)]);
        windows.iter().for_each(|window| set.put(window.on, window.off, true));
        set
    }

    fn between(from: Minute, to: Minute) -> impl Iterator<Item = usize> {
        let (from, to) = (from.of_day() % DAY, to.of_day() % DAY);
        let length = if from == to { DAY } else { (to + DAY - from) % DAY };
        (0..length).map(move |k| usize::from((from + k) % DAY))
    }

    /// Lights every minute between two times, or darkens them; the same time twice is the whole day.
    pub fn put(&mut self, from: Minute, to: Minute, lit: bool) {
        Self::between(from, to).for_each(|minute| self.0[minute] = lit);
    }

    /// Whether all minutes between two times are lit.
    pub fn all(&self, from: Minute, to: Minute) -> bool {
        Self::between(from, to).all(|minute| self.0[minute])
    }

    /// Whether none is.
    pub fn none(&self, from: Minute, to: Minute) -> bool {
        Self::between(from, to).all(|minute| !self.0[minute])
    }

    /// How many are lit.
    pub fn count(&self) -> u16 {
        self.0.iter().filter(|lit| **lit).count() as u16
    }

    /// The longest run of dark minutes around the clock.
    pub fn longest_dark(&self) -> u16 {
        let Some(lit) = self.0.iter().position(|lit| *lit) else { return DAY };
        let (mut run, mut longest) = (0u16, 0);
        for k in 0..usize::from(DAY) {
            run = if self.0[(lit + k) % usize::from(DAY)] { 0 } else { run + 1 };
            longest = longest.max(run);
        }
        longest
    }

    /// As light windows again, in the order of the day.
    pub fn windows(&self) -> Vec<Window> {
        let minute = |k: usize| Minute::MIDNIGHT.later(k as i32);
        if self.0.iter().all(|lit| *lit) {
            return vec![Window { on: Minute::MIDNIGHT, off: Minute::MIDNIGHT }];
        }
        let day = usize::from(DAY);
        let begins = (0..day).filter(|&k| self.0[k] && !self.0[(k + day - 1) % day]);
        begins
            .map(|k| {
                let length = (1..=day).find(|&n| !self.0[(k + n) % day]).unwrap_or(day);
                Window { on: minute(k), off: minute(k + length) }
            })
            .collect()
    }
}
