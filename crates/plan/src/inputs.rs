//! The table of inputs: every number that a trial reads, certain or not, with what is known about it.
//!
//! Models never hold a number of their own; they hold the place of one in this table. So a what-if, a list of guesses and
//! a ranking of what matters are walks over one table.

use draws::{Distribution, Purpose, Stream, item_from_name};
use scenario::figure::Grade;

/// Place of an input in the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct InputId(pub(crate) usize);

impl InputId {
    /// Position in the table and in a trial's values.
    pub fn index(self) -> usize {
        self.0
    }
}

/// One input.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// JSON Pointer of where it stands or would stand.
    pub pointer: String,
    /// The same place in words, items by their names.
    pub place: String,
    /// Unit of its values.
    pub unit: String,
    /// Its distribution, in that unit.
    pub distribution: Distribution,
    /// Smallest and largest value that a draw may take; draws beyond are moved to the limit.
    pub limits: (f64, f64),
    /// How sure it is.
    pub grade: Grade,
    /// Whether the scenario states it.
    pub stated: bool,
    /// Whether it is only a handle for what-ifs: it changes nothing as long as nobody turns it, and no list shows it.
    pub is_handle: bool,
    /// The scenario's note, or why the value was assumed.
    pub note: String,
    /// Item of its stream: the same for inputs that share their luck.
    pub(crate) item: u64,
}

impl Input {
    /// Value at a share u of the distribution, within the limits.
    pub fn quantile(&self, u: f64) -> f64 {
        self.distribution.quantile(u).clamp(self.limits.0, self.limits.1)
    }

    /// The value that a uniform number u draws, within the limits; of a list of draws it is no quantile, so that inputs of one
    /// luck stay together.
    pub fn draw(&self, u: f64) -> f64 {
        self.distribution.draw(u).clamp(self.limits.0, self.limits.1)
    }
}

/// All inputs of a plan.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Inputs {
    table: Vec<Input>,
}

impl Inputs {
    pub(crate) fn add(&mut self, input: Input) -> InputId {
        self.table.push(input);
        InputId(self.table.len() - 1)
    }

    /// The inputs in order.
    pub fn iter(&self) -> impl Iterator<Item = &Input> {
        self.table.iter()
    }

    /// One input.
    pub fn at(&self, id: InputId) -> &Input {
        &self.table[id.0]
    }

    /// Number of inputs.
    pub fn len(&self) -> usize {
        self.table.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.table.is_empty()
    }

    /// The values of one trial, in the order of the table.
    pub fn draw(&self, seed: u64, trial: u64) -> Vec<f64> {
        (0..self.table.len()).map(|index| self.value(InputId(index), seed, trial)).collect()
    }

    /// What an uncertain input shares its luck with: inputs of which this is equal move together. None for a certain one.
    pub fn luck_of(&self, id: InputId) -> Option<u64> {
        let input = self.at(id);
        (!input.distribution.is_certain()).then_some(input.item)
    }

    /// The median of every input, in the order of the table.
    pub fn medians(&self) -> Vec<f64> {
        self.table.iter().map(|input| input.quantile(0.5)).collect()
    }

    /// The value of one input in one trial.
    pub fn value(&self, id: InputId, seed: u64, trial: u64) -> f64 {
        let input = self.at(id);
        match input.distribution {
            Distribution::Fixed(value) => value,
            _ => input.draw(Stream::new(seed, Purpose::Shared, input.item, trial).uniform(0)),
        }
    }
}

/// Item number of a luck name or of a role.
pub(crate) fn item(luck: Option<&str>, role: &str) -> u64 {
    match luck {
        // the prefix keeps a luck name from ever meeting a role
        Some(name) => item_from_name(&format!("luck:{name}")),
        None => item_from_name(role),
    }
}

/// Item number of what is known by the numbers that were read off.
pub(crate) fn content(rows: &[Vec<f64>]) -> u64 {
    let bits: Vec<String> = rows.iter().flatten().map(|number| format!("{:x}", number.to_bits())).collect();
    item_from_name(&format!("readings:{}", bits.join(" ")))
}
