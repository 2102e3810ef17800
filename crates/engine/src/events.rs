//! What happens in a room, in the order of time.

use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;

/// Something that happens. Of events at one moment of the schedule, planned work comes first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Event {
    /// A zone is relamped: the zone, and the index of the date.
    Group(usize, usize),
    /// A lamp has reached its age.
    Due(usize),
    /// A lamp ordered long ago arrives.
    Delivery,
    /// What failed in a socket is mended.
    Mend(usize, Cause),
    /// A failure is found.
    Found(usize, Cause),
    /// Something fails.
    Fail(usize, Cause),
}

/// What fails in a socket.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Cause {
    /// Its lamp.
    Lamp,
    /// Gear or a component.
    Part(usize),
}

impl Event {
    fn rank(self) -> u8 {
        match self {
            Self::Group(..) => 0,
            Self::Due(_) => 1,
            Self::Delivery => 2,
            Self::Mend(..) => 3,
            Self::Found(..) => 4,
            Self::Fail(..) => 5,
        }
    }
}

/// An event in its place: schedule hours, then planned work before the rest, then elapsed hours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Entry {
    /// Schedule hours.
    pub u: f64,
    /// Elapsed hours.
    pub t: f64,
    /// What happens.
    pub event: Event,
    /// State of the socket, or of the part, for which it was entered; it is void once that has changed.
    pub version: u32,
    /// Order of entry, so that ties always fall the same way.
    number: u32,
}

impl Eq for Entry {}

impl Ord for Entry {
    fn cmp(&self, other: &Self) -> Ordering {
        (self.u.total_cmp(&other.u))
            .then(self.event.rank().min(2).cmp(&other.event.rank().min(2)))
            .then(self.t.total_cmp(&other.t))
            .then(self.event.rank().cmp(&other.event.rank()))
            .then(self.number.cmp(&other.number))
    }
}

impl PartialOrd for Entry {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// What is still to happen.
#[derive(Debug, Clone, Default)]
pub(crate) struct Events {
    queue: BinaryHeap<Reverse<Entry>>,
    entered: u32,
}

impl Events {
    /// Forgets everything.
    pub fn clear(&mut self) {
        self.queue.clear();
        self.entered = 0;
    }

    /// Enters an event.
    pub fn enter(&mut self, u: f64, t: f64, event: Event, version: u32) {
        self.entered += 1;
        self.queue.push(Reverse(Entry { u, t, event, version, number: self.entered }));
    }

    /// Takes the next event out.
    pub fn next(&mut self) -> Option<Entry> {
        self.queue.pop().map(|Reverse(entry)| entry)
    }
}
