//! One socket of a room that is lived event by event, and what stays the same through a trial.

use plan::{OptionPlan, RelampPlan};

use crate::numbers::Numbers;
use crate::shelf::Lamp;
use crate::warranty::Promise;
use crate::wear::Wear;

/// One socket.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Socket {
    /// Its lamp.
    pub lamp: Lamp,
    /// How many lamps it has had before this one.
    pub ordinal: usize,
    /// What is promised about the lamp.
    pub promise: Promise,
    /// Whether the lamp has failed.
    pub lamp_failed: bool,
    /// Parts that have failed and leave it in the dark, one bit each.
    pub dark_parts: u32,
    /// Moment of the schedule from which it is lit, or dark.
    pub since: f64,
    /// Rises whenever its next failure must be worked out anew.
    pub version: u32,
}

impl Socket {
    /// Whether the lamp of an ordinal is still there, and has failed.
    pub fn waits(&self, ordinal: usize) -> bool {
        self.lamp_failed && self.ordinal == ordinal
    }

    /// Whether it is lit while the schedule says so.
    pub fn is_lit(&self) -> bool {
        !self.lamp_failed && self.dark_parts == 0
    }
}

/// What stays the same through a trial.
pub(crate) struct Trial<'a> {
    pub option: &'a OptionPlan,
    pub o: &'a Numbers<'a>,
    pub wear: &'a Wear,
    /// Schedule hours of the horizon.
    pub end: f64,
    /// Hours between walk-throughs; 0 for none.
    pub round: f64,
    /// Hours between finding a failure and mending it.
    pub found_after: f64,
    /// Burn hours below which a lamp stays in at a group relamp.
    pub keep: f64,
    /// Parts of the room that are relamped apart.
    pub zones: usize,
    /// Hours from order to delivery of a spare; none where there are always enough.
    pub lead_time: Option<f64>,
}

impl<'a> Trial<'a> {
    /// Of an option.
    pub fn new(option: &'a OptionPlan, values: &[f64], o: &'a Numbers<'a>, wear: &'a Wear) -> Self {
        let value = |id: plan::InputId| values[id.index()];
        let (keep, zones) = match option.relamp {
            RelampPlan::Group { keep, zones, .. } => (keep.map_or(0.0, value), zones.min(o.sockets)),
            _ => (0.0, 1),
        };
        Self {
            option,
            o,
            wear,
            end: o.clock.timeline.lit_hours,
            round: option.walk_through.map_or(0.0, |days| 24.0 * value(days)),
            found_after: 24.0 * o.found_after,
            keep,
            zones,
            lead_time: option.spares.map(|spares| 24.0 * value(spares.lead_time)),
        }
    }

    /// Index of the month that holds a moment of the schedule.
    pub fn month(&self, u: f64) -> usize {
        self.o.clock.cells[self.o.clock.cell_at(u)].month
    }
}
