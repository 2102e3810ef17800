//! A room whose sockets depend on one another, lived event by event in the order of time: crews that come by visit, spares
//! that run out, lamps that wait for others, batches, parts with clocks of their own, warranties.
//!
//! Belongs here: who is dark, who is mended when, and with which lamp. Does not belong here: how much light that makes
//! (`glow.rs`), and what it costs (`price.rs`).

use std::collections::VecDeque;

use plan::{OptionPlan, Rhythm};

use crate::events::{Cause, Entry, Event, Events};
use crate::glow::{Burning, Glow};
use crate::ledger::Ledger;
use crate::light::{Burn, Light};
use crate::luck::Luck;
use crate::numbers::Numbers;
use crate::parts::Parts;
use crate::shelf::{Lamp, Shelf};
use crate::socket::{Socket, Trial};
use crate::warranty::Promise;
use crate::wear::Wear;

/// Working memory for living such a room; kept from trial to trial.
#[derive(Debug, Clone, Default)]
pub(crate) struct Room {
    /// Light where it depends on the hours of lamps alone, and where it does not.
    light: Light,
    glow: Glow,
    parts: Parts,
    shelf: Shelf,
    sockets: Vec<Socket>,
    events: Events,
    /// Dates by zone.
    dates: Vec<Vec<f64>>,
    /// Sockets whose lamps wait until enough are dark.
    waiting: Vec<(usize, usize)>,
    /// Sockets whose lamps wait for a delivery.
    backlog: VecDeque<(usize, usize)>,
    cleanings: Vec<(f64, f64)>,
}

impl Room {
    /// Lives an option through a trial; the ledger is open.
    pub fn live(
        &mut self,
        option: &OptionPlan,
        values: &[f64],
        o: &Numbers,
        wear: &Wear,
        luck: &Luck,
        ledger: &mut Ledger,
    ) {
        let trial = Trial::new(option, values, o, wear);
        self.open(&trial, values, luck, ledger);
        while let Some(entry) = self.events.next() {
            self.happen(&trial, entry, ledger);
        }
        for socket in 0..o.sockets {
            self.settle(&trial, socket, trial.end, ledger);
            let Socket { lamp, lamp_failed, .. } = self.sockets[socket];
            if !lamp_failed {
                ledger.lamps_left += self.shelf.left(&lamp);
            }
        }
        if option.fades_only() {
            self.light.close(o.clock, &mut ledger.moles);
        } else {
            self.glow.close(option, ledger);
        }
        ledger.join_visits();
    }

    fn open(&mut self, trial: &Trial, values: &[f64], luck: &Luck, ledger: &mut Ledger) {
        let Trial { option, o, .. } = *trial;
        let clock = o.clock;
        ledger.open_rich(clock.months(), option.components.len());
        self.events.clear();
        self.waiting.clear();
        self.backlog.clear();
        let skip = option.end.skip(values, &o.fading);
        self.dates.resize(trial.zones, vec![]);
        for zone in 0..trial.zones {
            option.relamp.dates(zone, values, &o.fading, clock, trial.end - skip, &mut self.dates[zone]);
            self.enter_group(trial, zone, 0);
        }
        self.clean(trial, values, ledger);
        if option.fades_only() {
            self.light.open(&o.fading, clock);
        } else {
            self.glow.open(option, values, o, &self.cleanings);
        }
        self.parts.open(option, values, o, luck);
        self.shelf.open(option, values, o, trial.wear, luck);
        self.sockets.clear();
        self.sockets.resize(o.sockets, Socket::default());
        for socket in 0..o.sockets {
            let first = self.shelf.first(socket);
            let promise = if first.age == 0.0 { Promise::new(0.0) } else { Promise::NONE };
            self.sockets[socket] = Socket { lamp: first, promise, ..Socket::default() };
            self.enter_next(trial, socket);
            for part in 0..self.parts.count() {
                self.enter_calendar(trial, socket, part, 0.0);
            }
        }
    }

    /// Works out when the room is cleaned.
    fn clean(&mut self, trial: &Trial, values: &[f64], ledger: &mut Ledger) {
        self.cleanings.clear();
        let (clock, timeline) = (trial.o.clock, &trial.o.clock.timeline);
        let every = match trial.option.cleaning.map(|cleaning| cleaning.rhythm) {
            Some(Rhythm::Days(days)) => values[days.index()],
            Some(Rhythm::Fixed(days)) => days,
            Some(Rhythm::WithGroup) => {
                let dates = self.dates.first().into_iter().flatten();
                self.cleanings.extend(dates.map(|&u| (u, timeline.elapsed_at(u))));
                f64::INFINITY
            }
            None => f64::INFINITY,
        };
        let times = (1..).map(|k| f64::from(k) * 24.0 * every).take_while(|&t| t < timeline.elapsed_hours);
        self.cleanings.extend(times.map(|t| (timeline.lit_before(t), t)));
        self.cleanings.retain(|cleaning| cleaning.0 < trial.end);
        for &(u, _) in &self.cleanings {
            ledger.cleanings[clock.cells[clock.cell_at(u)].month] += 1;
        }
    }

    fn enter(&mut self, trial: &Trial, u: f64, t: f64, event: Event, version: u32) {
        if u < trial.end {
            self.events.enter(u, t, event, version);
        }
    }

    /// Enters something that happens at an hour of elapsed time.
    fn enter_at(&mut self, trial: &Trial, t: f64, not_before: f64, event: Event, version: u32) {
        let timeline = &trial.o.clock.timeline;
        if t < timeline.elapsed_hours {
            self.enter(trial, timeline.lit_before(t).max(not_before), t, event, version);
        }
    }

    fn enter_group(&mut self, trial: &Trial, zone: usize, index: usize) {
        if let Some(&u) = self.dates[zone].get(index) {
            self.enter(trial, u, trial.o.clock.timeline.elapsed_at(u), Event::Group(zone, index), 0);
        }
    }

    /// Enters what a lit socket meets next: the end of its lamp, of a part, or its planned turn.
    fn enter_next(&mut self, trial: &Trial, socket: usize) {
        self.sockets[socket].version += 1;
        let state = self.sockets[socket];
        let Lamp { age, left, .. } = state.lamp;
        let mut fails = (trial.wear.spent(state.since, left, trial.o.clock), Cause::Lamp);
        for part in 0..self.parts.count() {
            let u = state.since + self.parts.until(socket, part, age);
            if u < fails.0 {
                fails = (u, Cause::Part(part));
            }
        }
        let due = state.since + (trial.o.age_limit - age).max(0.0);
        let (u, event) =
            if due <= fails.0 { (due, Event::Due(socket)) } else { (fails.0, Event::Fail(socket, fails.1)) };
        if u < trial.end {
            self.enter(trial, u, trial.o.clock.timeline.elapsed_at(u), event, state.version);
        }
    }

    /// Enters the end of a part that ages all the time, new at an hour of elapsed time.
    fn enter_calendar(&mut self, trial: &Trial, socket: usize, part: usize, new_at: f64) {
        if let Some(life) = self.parts.calendar_life(socket, part) {
            let version = self.parts.ordinal(socket, part);
            self.enter_at(trial, new_at + life, 0.0, Event::Fail(socket, Cause::Part(part)), version);
        }
    }

    fn happen(&mut self, trial: &Trial, entry: Entry, ledger: &mut Ledger) {
        let Entry { u, t, event, version, .. } = entry;
        match event {
            Event::Group(zone, index) => {
                for socket in 0..trial.o.sockets {
                    if socket * trial.zones / trial.o.sockets == zone {
                        self.relamp(trial, socket, u, t, ledger);
                    }
                }
                self.enter_group(trial, zone, index + 1);
            }
            Event::Due(socket) if version == self.sockets[socket].version => {
                self.replace(trial, socket, (u, t), true, ledger);
            }
            Event::Delivery => match self.next_in_backlog() {
                Some(socket) => self.replace(trial, socket, (u, t), false, ledger),
                None => self.shelf.spares += 1,
            },
            Event::Mend(socket, Cause::Lamp) if version == self.sockets[socket].ordinal as u32 => {
                self.mend_lamp(trial, socket, u, t, ledger);
            }
            Event::Mend(socket, Cause::Part(part)) if version == self.parts.ordinal(socket, part) => {
                self.mend_part(trial, socket, part, (u, t), ledger);
            }
            Event::Found(socket, Cause::Lamp) if version == self.sockets[socket].ordinal as u32 => {
                self.waiting.push((socket, self.sockets[socket].ordinal));
                let sockets = &self.sockets;
                self.waiting.retain(|&(socket, ordinal)| sockets[socket].waits(ordinal));
                if self.waiting.len() >= trial.option.wait_for_dark {
                    for (socket, ordinal) in std::mem::take(&mut self.waiting) {
                        let ordinal = ordinal as u32;
                        self.enter_at(trial, t + trial.found_after, u, Event::Mend(socket, Cause::Lamp), ordinal);
                    }
                }
            }
            Event::Fail(socket, cause) => {
                let current = match cause {
                    Cause::Part(part) if self.parts.is_calendar(part) => self.parts.ordinal(socket, part),
                    _ => self.sockets[socket].version,
                };
                if version == current {
                    self.fail(trial, socket, cause, (u, t), ledger);
                }
            }
            // what was entered for another lamp
            Event::Due(_) | Event::Mend(..) | Event::Found(..) => {}
        }
    }

    fn next_in_backlog(&mut self) -> Option<usize> {
        while let Some((socket, ordinal)) = self.backlog.pop_front() {
            if self.sockets[socket].waits(ordinal) {
                return Some(socket);
            }
        }
        None
    }

    fn fail(&mut self, trial: &Trial, socket: usize, cause: Cause, (u, t): (f64, f64), ledger: &mut Ledger) {
        let month = trial.month(u);
        self.settle(trial, socket, u, ledger);
        let round = if trial.round > 0.0 { (t / trial.round).ceil() * trial.round } else { t };
        let ordinal = self.sockets[socket].ordinal as u32;
        match cause {
            Cause::Lamp => {
                ledger.lamp_failures[month] += 1;
                let state = &mut self.sockets[socket];
                state.lamp_failed = true;
                self.shelf.claim(&mut state.promise, socket, state.ordinal, t, month, ledger);
                if trial.o.wait_for_group {
                    // it stays dark until its group's turn
                } else if trial.option.wait_for_dark > 1 {
                    self.enter_at(trial, round, u, Event::Found(socket, cause), ordinal);
                } else {
                    self.enter_at(trial, round + trial.found_after, u, Event::Mend(socket, cause), ordinal);
                }
            }
            Cause::Part(part) => {
                ledger.gear_failures[month] += 1;
                if self.parts.darkens(part) {
                    self.sockets[socket].dark_parts |= 1 << part;
                }
                self.parts.fail(socket, part);
                let part = self.parts.ordinal(socket, part);
                self.enter_at(trial, round + trial.found_after, u, Event::Mend(socket, cause), part);
            }
        }
        if self.sockets[socket].is_lit() {
            self.enter_next(trial, socket);
        } else {
            self.sockets[socket].version += 1;
        }
    }

    fn mend_lamp(&mut self, trial: &Trial, socket: usize, u: f64, t: f64, ledger: &mut Ledger) {
        if !self.sockets[socket].lamp_failed {
            return;
        }
        if let Some(lead_time) = trial.lead_time {
            // each lamp taken is ordered anew at once
            self.enter_at(trial, t + lead_time, u, Event::Delivery, 0);
            if self.shelf.spares == 0 {
                self.backlog.push_back((socket, self.sockets[socket].ordinal));
                return;
            }
            self.shelf.spares -= 1;
        }
        self.replace(trial, socket, (u, t), false, ledger);
    }

    fn mend_part(&mut self, trial: &Trial, socket: usize, part: usize, (u, t): (f64, f64), ledger: &mut Ledger) {
        let month = trial.month(u);
        self.settle(trial, socket, u, ledger);
        match self.parts.component(part) {
            Some(component) => ledger.repairs[component][month] += 1,
            None => ledger.gear_repairs[month] += 1,
        }
        self.visit(trial, t, month, (1, 0), ledger);
        self.parts.renew(socket, part);
        self.enter_calendar(trial, socket, part, t);
        self.sockets[socket].dark_parts &= !(1 << part);
        if self.sockets[socket].is_lit() {
            self.enter_next(trial, socket);
        }
    }

    /// A socket's turn in a group relamp.
    fn relamp(&mut self, trial: &Trial, socket: usize, u: f64, t: f64, ledger: &mut Ledger) {
        self.settle(trial, socket, u, ledger);
        let state = &self.sockets[socket];
        if state.lamp_failed || state.lamp.age >= trial.keep {
            self.replace(trial, socket, (u, t), true, ledger);
        } else if state.is_lit() {
            self.enter_next(trial, socket);
        }
    }

    /// Puts a new lamp in.
    fn replace(&mut self, trial: &Trial, socket: usize, (u, t): (f64, f64), planned: bool, ledger: &mut Ledger) {
        self.settle(trial, socket, u, ledger);
        let month = trial.month(u);
        let counts = if planned { &mut ledger.planned_lamps } else { &mut ledger.spot_lamps };
        counts[month] += 1;
        self.visit(trial, t, month, (u32::from(!planned), u32::from(planned)), ledger);
        let state = &mut self.sockets[socket];
        state.ordinal += 1;
        state.promise = state.promise.next(t);
        state.lamp = self.shelf.lamp(socket, state.ordinal);
        state.lamp_failed = false;
        ledger.broken_lamps[month] += self.shelf.broken(socket, state.ordinal);
        if trial.option.lamp.as_ref().is_some_and(|lamp| lamp.is_fixture) {
            state.dark_parts = 0;
            self.new_parts(trial, socket, t);
        }
        let state = &mut self.sockets[socket];
        if state.is_lit() {
            self.enter_next(trial, socket);
        } else {
            state.version += 1;
        }
    }

    /// A whole fixture comes with new gear and components.
    fn new_parts(&mut self, trial: &Trial, socket: usize, t: f64) {
        for part in 0..self.parts.count() {
            self.parts.renew(socket, part);
            self.enter_calendar(trial, socket, part, t);
        }
    }

    fn visit(&self, trial: &Trial, t: f64, month: usize, (spot, planned): (u32, u32), ledger: &mut Ledger) {
        if trial.option.crew.is_some() {
            ledger.visit((t / 24.0) as u32, month, spot, planned);
        }
    }

    /// Enters what a socket went through until a moment of the schedule into the ledger, and ages what was in use.
    fn settle(&mut self, trial: &Trial, socket: usize, u: f64, ledger: &mut Ledger) {
        let state = &mut self.sockets[socket];
        let (from, hours) = (state.since, u - state.since);
        state.since = u;
        if hours <= 0.0 {
            return;
        }
        if !state.is_lit() {
            ledger.dark(from, u, trial.o.clock);
            return;
        }
        let Lamp { age, output, pace, .. } = state.lamp;
        let (clock, born) = (trial.o.clock, from - age);
        if trial.option.fades_only() {
            let flux = trial.o.flux * output;
            let (from_cell, to_cell) = (clock.cell_at(from), clock.cell_at(u));
            self.light.burn(Burn { from, from_cell, to: u, to_cell, born, flux }, &trial.o.fading, clock);
        } else {
            let burning = Burning { from, to: u, born, output, pace };
            self.glow.burn(burning, &trial.o.fading, clock, &mut ledger.moles);
        }
        self.parts.age(socket, age, hours);
        state.lamp.left -= trial.wear.between(from, u, trial.o.clock);
        state.lamp.age += hours;
    }
}
