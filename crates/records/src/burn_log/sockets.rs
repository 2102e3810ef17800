//! Who hung where and when: a socket holds one lamp at a time.
//!
//! Belongs here: stays in sockets, and those that overlap for certain. Does not belong here: burn hours.

use std::collections::HashMap;

use crate::day::Day;
use crate::flaw::{Flaws, quoted};

/// A lamp's time in a socket.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stay {
    pub(super) line: u64,
    pub(super) since: Option<Day>,
    pub(super) until: Option<Day>,
    pub(super) is_burning: bool,
}

/// All stays, by socket.
#[derive(Debug, Default)]
pub(super) struct Sockets {
    stays: HashMap<String, Vec<Stay>>,
}

impl Sockets {
    /// Notes a stay, unless it says nothing of when it was.
    pub(super) fn note(&mut self, socket: &str, stay: Stay) {
        if stay.since.is_some() || stay.is_burning {
            self.stays.entry(socket.to_owned()).or_default().push(stay);
        }
    }

    /// Sockets with two lamps at once, in the order of lines.
    pub(super) fn flaws(self) -> Flaws {
        let mut found: Vec<(u64, String)> = vec![];
        for (socket, mut stays) in self.stays {
            // a lamp without a day is placed by its line: it burns still, so nothing can follow it
            stays.sort_by_key(|stay| (stay.since.map(|day| day.earliest), stay.line));
            let name = socket.rsplit('\u{1f}').next().unwrap_or("");
            // the one that burns still, and the one of those that came out which stayed longest
            let (mut burning, mut longest): (Option<Stay>, Option<Stay>) = (None, None);
            for stay in stays {
                let stays_on = |other: &Stay| other.until.map(|day| day.earliest) > stay.since.map(|day| day.latest);
                let other = burning
                    .filter(|other| stay.is_burning || follows(other, &stay))
                    .or(longest.filter(|other| stay.since.is_some() && stays_on(other)));
                if let Some(other) = other {
                    let (first, second) = (other.line.min(stay.line), other.line.max(stay.line));
                    let told = format!("{}, in which the lamp of line {first} hangs at the same time", quoted(name));
                    found.push((second, told));
                }
                if stay.is_burning {
                    burning = burning.or(Some(stay));
                } else if longest
                    .is_none_or(|other| other.until.map(|day| day.earliest) < stay.until.map(|day| day.earliest))
                {
                    longest = Some(stay);
                }
            }
        }
        found.sort();
        let mut flaws = Flaws::default();
        for (line, found) in found {
            flaws.add(line, "socket", found, "one lamp in a socket at a time");
        }
        flaws
    }
}

/// Whether a lamp came for certain after one that burns still, which leaves no room for it.
fn follows(burning: &Stay, stay: &Stay) -> bool {
    matches!((burning.since, stay.since), (Some(begins), Some(next)) if next.earliest > begins.latest)
}
