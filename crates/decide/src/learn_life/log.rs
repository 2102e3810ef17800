//! Burn logs gathered for one kind of lamp.
//!
//! Belongs here: which rows count, and what is counted. Does not belong here: how rows are written (`records`), what lives
//! say (`learn`).

use std::collections::{BTreeMap, HashMap};
use std::hash::{DefaultHasher, Hash, Hasher};

use learn::life::Tally;
use records::{BurnLogRead, LoggedLife, Reason};

use crate::learn_life_report::Counts;

/// Hours at which a lamp counts as dead that never burned: the middle of its first.
const AT_ONCE: f64 = 0.5;
/// Names of other lamps that are kept to be told.
const NAMES: usize = 8;

/// Logs of one kind of lamp, gathered row by row.
#[derive(Debug, Clone, Default)]
pub struct LifeLogs {
    /// Names under which the lamps may stand in the column `lamp`; blank cells count too.
    wanted: Vec<String>,
    /// Names of the logs.
    pub(super) names: Vec<String>,
    /// All lives.
    pub(super) all: Tally,
    /// Lives by lot: by its name, or by the log where it has none.
    pub(super) lots: BTreeMap<(String, usize), Tally>,
    /// What they hold.
    pub(super) counts: Counts,
    /// Lamps that died at 0 h.
    pub(super) at_once: u64,
    /// Burn hours watched, h.
    watched: f64,
    /// Other lamps, by name.
    others: BTreeMap<String, u64>,
    /// A fingerprint of the rows of each log; none while a log has no row.
    prints: Vec<Option<u64>>,
    /// In which log a lamp that came into a socket on a day stood first, by a fingerprint of these.
    hung: HashMap<u64, usize>,
    /// Lamps that stand in two logs.
    twice: u64,
}

/// A fingerprint; equal things have equal ones.
fn print(of: impl Hash) -> u64 {
    let mut hasher = DefaultHasher::new();
    of.hash(&mut hasher);
    hasher.finish()
}

impl LifeLogs {
    /// No log yet, for lamps under these names.
    pub fn new(wanted: &[&str]) -> Self {
        Self { wanted: wanted.iter().map(|name| name.trim().to_lowercase()).collect(), ..Self::default() }
    }

    /// Begins a log of a name.
    pub fn begin(&mut self, name: &str) {
        self.names.push(name.to_owned());
        self.prints.push(None);
    }

    /// Two logs with the same rows in the same order, by their names.
    pub fn same(&self) -> Option<(&str, &str)> {
        let at = (1..self.prints.len()).find_map(|k| {
            let first = (0..k).find(|&other| self.prints[k].is_some() && self.prints[other] == self.prints[k])?;
            Some((first, k))
        });
        at.map(|(first, second)| (self.names[first].as_str(), self.names[second].as_str()))
    }

    /// What is said of lamps that stand in two logs.
    pub(super) fn counted_twice(&self) -> Option<String> {
        (self.twice > 0).then(|| {
            format!(
                "COUNTED TWICE: in two logs stand the same socket and day of coming in, {} in all; if they are the same \
                 lamps, leave them out of one log",
                self.twice
            )
        })
    }

    /// Notes who hung where since when, and the rows of the log.
    fn note(&mut self, life: &LoggedLife) {
        let hours = [life.from_h, life.seen_h, life.gone_h].map(f64::to_bits);
        let row = print((&life.socket, &life.lamp, &life.lot, life.reason as u8, hours));
        if let Some(all) = self.prints.last_mut() {
            *all = Some(print((*all, row)));
        }
        let Some(since) = life.since else { return };
        let log = self.names.len();
        let first = *self.hung.entry(print((&life.socket, since.earliest, since.latest))).or_insert(log);
        self.twice += u64::from(first != log);
    }

    /// Takes a life of the log that was begun last.
    pub fn take(&mut self, life: &LoggedLife) {
        self.note(life);
        if !(life.lamp.is_empty() || self.wanted.contains(&life.lamp.to_lowercase())) {
            self.counts.other_rows += 1;
            if self.others.len() < NAMES || self.others.contains_key(&life.lamp) {
                *self.others.entry(life.lamp.clone()).or_insert(0) += 1;
            }
            return;
        }
        let log = if life.lot.is_empty() { self.names.len() } else { 0 };
        // a lamp that never burned died within its first hour; at 0 h nobody would ever have been at risk
        let at_once = life.gone_h == 0.0;
        let (seen, gone) = if at_once { (AT_ONCE, AT_ONCE) } else { (life.seen_h, life.gone_h) };
        self.at_once += u64::from(at_once);
        self.all.add(life.from_h, seen, gone);
        self.lots.entry((life.lot.clone(), log)).or_default().add(life.from_h, seen, gone);
        let counts = &mut self.counts;
        counts.lamps += 1;
        counts.late += u64::from(life.from_h > 0.0);
        counts.by_days += u64::from(life.by_days);
        match life.reason {
            Reason::Failed if life.seen_h == life.gone_h => counts.died += 1,
            Reason::Failed => counts.died_between += 1,
            Reason::Burning => counts.burning += 1,
            Reason::Removed => counts.removed += 1,
            Reason::Broken => counts.broken += 1,
        }
        self.watched += life.seen_h - life.from_h;
        // whole hours, far below the largest whole number
        counts.watched_h = self.watched.round() as u64;
        counts.oldest_h = counts.oldest_h.max(life.seen_h.round() as u64);
    }

    /// Ends a log.
    pub fn end(&mut self, read: BurnLogRead) {
        self.counts.blank_rows += read.blank;
    }

    /// Lamps of other kinds that were found, with their rows.
    pub fn others(&self) -> impl Iterator<Item = (&str, u64)> {
        self.others.iter().map(|(name, rows)| (name.as_str(), *rows))
    }

    /// Lamps that were taken.
    pub fn lamps(&self) -> u64 {
        self.counts.lamps
    }
}
