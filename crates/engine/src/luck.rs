//! The luck of one trial, common to all options: socket 3's second lamp is as lucky in every option of the race.

use draws::{Purpose, Stream, fill_gumbel, gumbel, standard_normal};

/// The luck of one trial.
#[derive(Debug, Clone)]
pub struct Luck {
    life: Stream,
    early: Stream,
    output: Stream,
    gear: Stream,
    sockets: usize,
    /// ln(−ln U) of every socket's j-th lamp in row j; rows are filled when first needed.
    rows: Vec<Vec<f64>>,
    filled: usize,
}

/// Index of a draw: ordinals far apart, so that a further socket moves nobody.
fn address(socket: usize, ordinal: usize) -> u64 {
    (ordinal as u64) << 32 | socket as u64
}

impl Luck {
    /// Room for the luck of trials with up to `sockets` sockets.
    pub fn new(sockets: usize) -> Self {
        let nothing = Stream::new(0, Purpose::LampLife, 0, 0);
        Self { life: nothing, early: nothing, output: nothing, gear: nothing, sockets, rows: vec![], filled: 0 }
    }

    /// Turns to a trial.
    pub fn turn_to(&mut self, seed: u64, trial: u64) {
        let stream = |purpose| Stream::new(seed, purpose, 0, trial);
        self.life = stream(Purpose::LampLife);
        self.early = stream(Purpose::EarlyFailure);
        self.output = stream(Purpose::InitialOutput);
        self.gear = stream(Purpose::GearLife);
        self.filled = 0;
    }

    /// ln(−ln U) for the life of every socket's lamp of an ordinal.
    pub(crate) fn lives(&mut self, ordinal: usize) -> &[f64] {
        while self.filled <= ordinal {
            if self.rows.len() == self.filled {
                self.rows.push(vec![0.0; self.sockets]);
            }
            fill_gumbel(self.life, address(0, self.filled), &mut self.rows[self.filled]);
            self.filled += 1;
        }
        &self.rows[ordinal]
    }

    /// ln(−ln U) for the life of one socket's lamp of an ordinal: the number that its row would hold.
    pub(crate) fn life(&self, socket: usize, ordinal: usize) -> f64 {
        gumbel(self.life, address(socket, ordinal))
    }

    /// A uniform number for the early failure of a lamp.
    pub(crate) fn early(&self, socket: usize, ordinal: usize) -> f64 {
        self.early.uniform(address(socket, ordinal))
    }

    /// A standard normal number for the initial output of a lamp.
    pub(crate) fn output(&self, socket: usize, ordinal: usize) -> f64 {
        standard_normal(self.output.uniform(address(socket, ordinal)))
    }

    /// A standard exponential number for the life of a socket's gear.
    pub(crate) fn gear(&self, socket: usize, ordinal: usize) -> f64 {
        draws::life(gumbel(self.gear, address(socket, ordinal)), 1.0, 1.0)
    }
}
