//! Gear and components of every socket: each with a clock of its own.

use draws::{Purpose, Stream, exponential, item_from_name};
use lamp::Weibull;
use plan::OptionPlan;

use crate::luck::{Luck, address};
use crate::numbers::Numbers;

/// A kind of part in one trial.
#[derive(Debug, Clone, Copy)]
struct Kind {
    stream: Stream,
    /// Mean life of a part with a constant risk, or Weibull's scale; hours.
    scale: f64,
    inverse_shape: f64,
    calendar: bool,
    darkens: bool,
    /// Lamp age from which the part ages faster, and how many times as fast.
    old_lamps: (f64, f64),
    /// Which component it is; none for the gear.
    component: Option<usize>,
}

/// Gear and components of every socket.
#[derive(Debug, Clone, Default)]
pub(crate) struct Parts {
    kinds: Vec<Kind>,
    /// Hours of life left, by socket and kind; infinite while a part has failed.
    left: Vec<f64>,
    ordinals: Vec<u32>,
}

impl Parts {
    /// Puts new parts into every socket.
    pub fn open(&mut self, option: &OptionPlan, values: &[f64], o: &Numbers, luck: &Luck) {
        self.kinds.clear();
        if o.gear_mean < f64::INFINITY {
            self.kinds.push(Kind {
                stream: luck.stream(Purpose::GearLife, 0),
                scale: o.gear_mean,
                inverse_shape: 1.0,
                calendar: false,
                darkens: true,
                old_lamps: (f64::INFINITY, 1.0),
                component: None,
            });
        }
        for (k, part) in option.components.iter().enumerate() {
            let value = |id: plan::InputId| values[id.index()];
            let Some(life) = Weibull::from_b50(value(part.b50), value(part.shape)) else { continue };
            self.kinds.push(Kind {
                stream: luck.stream(Purpose::ComponentLife, item_from_name(&part.name)),
                scale: life.scale(),
                inverse_shape: life.inverse_shape(),
                calendar: part.calendar,
                darkens: part.darkens,
                old_lamps: part.old_lamps.map_or((f64::INFINITY, 1.0), |(age, times)| (value(age), value(times))),
                component: Some(k),
            });
        }
        let count = self.kinds.len();
        self.ordinals.clear();
        self.ordinals.resize(o.sockets * count, 0);
        self.left.clear();
        for socket in 0..o.sockets {
            for part in 0..count {
                self.left.push(self.kinds[part].life(socket, 0));
            }
        }
    }

    /// Kinds of parts.
    pub fn count(&self) -> usize {
        self.kinds.len()
    }

    fn at(&self, socket: usize, part: usize) -> usize {
        socket * self.kinds.len() + part
    }

    /// Which component a part is; none for the gear.
    pub fn component(&self, part: usize) -> Option<usize> {
        self.kinds[part].component
    }

    /// Whether its failure leaves the socket in the dark.
    pub fn darkens(&self, part: usize) -> bool {
        self.kinds[part].darkens
    }

    /// Whether it ages all the time.
    pub fn is_calendar(&self, part: usize) -> bool {
        self.kinds[part].calendar
    }

    /// How many of them the socket has had before this one.
    pub fn ordinal(&self, socket: usize, part: usize) -> u32 {
        self.ordinals[self.at(socket, part)]
    }

    /// Life of a part that ages all the time, elapsed hours.
    pub fn calendar_life(&self, socket: usize, part: usize) -> Option<f64> {
        self.kinds[part].calendar.then(|| self.left[self.at(socket, part)])
    }

    /// Burn hours until a part fails in a lit socket whose lamp has an age; infinite for one that ages by the calendar.
    pub fn until(&self, socket: usize, part: usize, lamp_age: f64) -> f64 {
        let kind = &self.kinds[part];
        if kind.calendar {
            return f64::INFINITY;
        }
        let left = self.left[self.at(socket, part)];
        let (older_than, times) = kind.old_lamps;
        let young = (older_than - lamp_age).max(0.0);
        if left <= young { left } else { young + (left - young) / times }
    }

    /// Ages the parts of a socket by burn hours under a lamp of an age.
    pub fn age(&mut self, socket: usize, lamp_age: f64, hours: f64) {
        for part in 0..self.kinds.len() {
            let kind = &self.kinds[part];
            if !kind.calendar {
                let (older_than, times) = kind.old_lamps;
                let old = if times > 1.0 { (lamp_age + hours - older_than.max(lamp_age)).max(0.0) } else { 0.0 };
                let at = self.at(socket, part);
                self.left[at] -= hours + (times - 1.0) * old;
            }
        }
    }

    /// A part fails: until it is renewed it fails no more.
    pub fn fail(&mut self, socket: usize, part: usize) {
        let at = self.at(socket, part);
        self.left[at] = f64::INFINITY;
    }

    /// Puts a new part in.
    pub fn renew(&mut self, socket: usize, part: usize) {
        let at = self.at(socket, part);
        self.ordinals[at] += 1;
        self.left[at] = self.kinds[part].life(socket, self.ordinals[at] as usize);
    }
}

impl Kind {
    fn life(&self, socket: usize, ordinal: usize) -> f64 {
        self.scale * exponential(self.stream, address(socket, ordinal)).powf(self.inverse_shape)
    }
}
