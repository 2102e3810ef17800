//! The luck of one trial, common to all options: socket 3's second lamp is as lucky in every option of the race.

use draws::{Purpose, Stream, exponential, fill_exponential, fill_gumbel, gumbel, standard_normal};

/// Ordinals whose luck is drawn for all sockets at once; what comes later is drawn singly (with the same bits), so that
/// memory stays bounded however short the lives.
pub(crate) const AT_ONCE: usize = 64;

/// The luck of one trial.
#[derive(Debug, Clone)]
pub struct Luck {
    seed: u64,
    trial: u64,
    early: Stream,
    output: Stream,
    /// ln(−ln U) for the wear-out life of lamps.
    lives: Rows,
    /// −ln U for the life of gear.
    gears: Rows,
}

/// One number for every socket and ordinal: row j for the j-th lamp (or gear) of each socket, filled when first needed.
#[derive(Debug, Clone)]
struct Rows {
    stream: Stream,
    sockets: usize,
    rows: Vec<Vec<f64>>,
    filled: usize,
}

/// Index of a draw: ordinals far apart, so that a further socket moves nobody.
pub(crate) fn address(socket: usize, ordinal: usize) -> u64 {
    (ordinal as u64) << 32 | socket as u64
}

impl Rows {
    fn turn_to(&mut self, stream: Stream) {
        self.stream = stream;
        self.filled = 0;
    }

    fn row(&mut self, ordinal: usize, fill: fn(Stream, u64, &mut [f64])) -> &[f64] {
        while self.filled <= ordinal {
            if self.rows.len() == self.filled {
                self.rows.push(vec![0.0; self.sockets]);
            }
            fill(self.stream, address(0, self.filled), &mut self.rows[self.filled]);
            self.filled += 1;
        }
        &self.rows[ordinal]
    }
}

impl Luck {
    /// Room for the luck of trials with up to `sockets` sockets.
    pub fn new(sockets: usize) -> Self {
        let stream = Stream::new(0, Purpose::LampLife, 0, 0);
        let rows = Rows { stream, sockets, rows: vec![], filled: 0 };
        Self { seed: 0, trial: 0, early: stream, output: stream, lives: rows.clone(), gears: rows }
    }

    /// Turns to a trial.
    pub fn turn_to(&mut self, seed: u64, trial: u64) {
        let stream = |purpose| Stream::new(seed, purpose, 0, trial);
        (self.seed, self.trial) = (seed, trial);
        self.early = stream(Purpose::EarlyFailure);
        self.output = stream(Purpose::InitialOutput);
        self.lives.turn_to(stream(Purpose::LampLife));
        self.gears.turn_to(stream(Purpose::GearLife));
    }

    /// The trial's stream for any other purpose.
    pub(crate) fn stream(&self, purpose: Purpose, item: u64) -> Stream {
        Stream::new(self.seed, purpose, item, self.trial)
    }

    /// ln(−ln U) for the life of every socket's lamp of an ordinal below [`AT_ONCE`].
    pub(crate) fn lives(&mut self, ordinal: usize) -> &[f64] {
        self.lives.row(ordinal, fill_gumbel)
    }

    /// The same for one socket and any ordinal.
    pub(crate) fn life(&self, socket: usize, ordinal: usize) -> f64 {
        gumbel(self.lives.stream, address(socket, ordinal))
    }

    /// A standard exponential number for the life of a socket's gear.
    pub(crate) fn gear(&mut self, socket: usize, ordinal: usize) -> f64 {
        if ordinal < AT_ONCE {
            self.gears.row(ordinal, fill_exponential)[socket]
        } else {
            exponential(self.gears.stream, address(socket, ordinal))
        }
    }

    /// A uniform number for the early failure of a lamp.
    pub(crate) fn early(&self, socket: usize, ordinal: usize) -> f64 {
        self.early.uniform(address(socket, ordinal))
    }

    /// A standard normal number for the initial output of a lamp.
    pub(crate) fn output(&self, socket: usize, ordinal: usize) -> f64 {
        standard_normal(self.output.uniform(address(socket, ordinal)))
    }
}
