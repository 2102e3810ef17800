//! What is wrong with a record, and where.

use std::fmt;

/// Flaws that are told word for word; the rest are counted.
const TOLD: usize = 50;
/// Longest piece of a cell that is repeated, in characters.
const LONGEST: usize = 40;

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Flaw {
    /// Line of the file, 1 first; 0 where the file as a whole is at fault.
    pub line: u64,
    /// Name of the column; empty where the line as a whole is at fault.
    pub column: String,
    /// What was found, in plain words.
    pub found: String,
    /// What is allowed, in which unit.
    pub allowed: String,
}

impl fmt::Display for Flaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.line > 0 {
            write!(f, "line {}", self.line)?;
        }
        if !self.column.is_empty() {
            write!(f, "{}column \"{}\"", if self.line > 0 { ", " } else { "" }, self.column)?;
        }
        if self.line > 0 || !self.column.is_empty() {
            write!(f, ": ")?;
        }
        write!(f, "{}; allowed: {}", self.found, self.allowed)
    }
}

/// Everything that is wrong with a record, in the order of its lines.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Flaws {
    told: Vec<Flaw>,
    more: u64,
}

impl Flaws {
    /// Notes a flaw.
    pub fn add(&mut self, line: u64, column: &str, found: impl Into<String>, allowed: impl Into<String>) {
        if self.told.len() < TOLD {
            self.told.push(Flaw { line, column: column.into(), found: found.into(), allowed: allowed.into() });
        } else {
            self.more += 1;
        }
    }

    /// Notes all flaws of others behind one's own.
    pub fn append(&mut self, others: Self) {
        self.more += others.more;
        for flaw in others.told {
            self.add(flaw.line, &flaw.column, flaw.found, flaw.allowed);
        }
    }

    /// The same in the order of their lines, those of the file as a whole last.
    #[must_use]
    pub fn by_line(mut self) -> Self {
        self.told.sort_by_key(|flaw| if flaw.line == 0 { u64::MAX } else { flaw.line });
        self
    }

    /// Whether nothing is wrong.
    pub fn is_empty(&self) -> bool {
        self.told.is_empty()
    }

    /// Flaws that are told word for word.
    pub fn told(&self) -> &[Flaw] {
        &self.told
    }

    /// How many there are, told and untold.
    pub fn count(&self) -> u64 {
        self.told.len() as u64 + self.more
    }

    /// How many more there are.
    pub fn more(&self) -> u64 {
        self.more
    }

    /// The value, or the flaws if there are any.
    ///
    /// # Errors
    /// These flaws.
    pub fn or<T>(self, value: T) -> Result<T, Self> {
        if self.is_empty() { Ok(value) } else { Err(self) }
    }
}

impl fmt::Display for Flaws {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (k, flaw) in self.told.iter().enumerate() {
            write!(f, "{}{flaw}", if k > 0 { "\n" } else { "" })?;
        }
        if self.more > 0 {
            write!(f, "\nand {} more", self.more)?;
        }
        Ok(())
    }
}

impl std::error::Error for Flaws {}

/// A cell in quotes, shortened when it is long.
pub(crate) fn quoted(text: &str) -> String {
    let short: String = text.chars().take(LONGEST).collect();
    if short.len() < text.len() { format!("\"{short}…\"") } else { format!("\"{text}\"") }
}
