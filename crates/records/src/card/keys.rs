//! The keys of a card and how their values are read.
//!
//! Belongs here: names, units, limits. Does not belong here: lines and cells.

use units::Dimension;

use super::{CardPoints, Sides};
use crate::flaw::quoted;
use crate::number::{Decimals, number};

/// Every key, in the order of a card.
pub(super) const KEYS: [&str; 21] = [
    "fixture",
    "source",
    "points",
    "spacing",
    "area",
    "sensor",
    "calibrated",
    "measured",
    "gain error",
    "source error",
    "point error",
    "lamp hours",
    "since cleaning",
    "warm-up",
    "wall power",
    "unit",
    "lux per µmol/m²/s",
    "factor error",
    "note",
    "decimals",
    "height",
];

/// Longest text, in characters.
pub(super) const LONGEST_TEXT: usize = 200;

/// What was found, and what is allowed.
pub(super) type Wrong = (String, String);

/// A key as the list has it: letter case, runs of blanks, hyphens and the two ways of writing µ do not matter.
pub(super) fn known(key: &str) -> Option<&'static str> {
    let plain = |text: &str| {
        let text = text.to_lowercase().replace('\u{3bc}', "\u{b5}").replace(['-', '_'], " ");
        let text = text.replace("umol/m2/s", "µmol/m²/s").replace("µmol/m2/s", "µmol/m²/s");
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let found = plain(key);
    KEYS.into_iter().find(|key| plain(key) == found)
}

/// The key that may have been meant.
pub(super) fn near(key: &str) -> Option<&'static str> {
    let short: String = key.to_lowercase().chars().take(40).collect();
    let distances = KEYS.into_iter().map(|known| (strsim::damerau_levenshtein(known, &short), known));
    distances.min().filter(|(distance, near)| *distance <= 1 + near.chars().count() / 3).map(|(_, near)| near)
}

/// Where a number may lie, and its unit.
pub(super) struct Amount {
    pub(super) dimension: Dimension,
    pub(super) low: f64,
    pub(super) high: f64,
    /// How it may look.
    pub(super) such_as: &'static str,
}

impl Amount {
    fn allowed(&self) -> String {
        format!("{} to {} {}, such as {}", self.low, self.high, self.dimension.unit(""), self.such_as)
    }

    /// Reads a number with its unit into the unit used inside.
    pub(super) fn read(&self, text: &str, decimals: Decimals) -> Result<f64, Wrong> {
        let wrong = |found: String| (found, self.allowed());
        let (digits, unit) = split(text);
        let value = number(digits, decimals).map_err(wrong)?.value;
        if unit.is_empty() {
            return Err(wrong(format!("{} without a unit", quoted(text))));
        }
        let factor = self.dimension.factor(unit, "").map_err(|unknown| {
            (format!("{}, whose unit does not fit", quoted(text)), format!("{unknown}; {}", self.allowed()))
        })?;
        let value = value * factor;
        if value >= self.low && value <= self.high { Ok(value) } else { Err(wrong(quoted(text))) }
    }
}

/// The number and what stands behind it.
fn split(text: &str) -> (&str, &str) {
    let text = text.trim();
    let in_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | '-' | '~' | ' ');
    let end = text.find(|c: char| !in_number(c)).unwrap_or(text.len());
    (text[..end].trim(), text[end..].trim())
}

/// A share in per cent, kept in per cent.
pub(super) fn percent(text: &str, decimals: Decimals) -> Result<f64, Wrong> {
    let allowed = || "0 to 50 %, such as 5 %".to_owned();
    let Some(digits) = text.trim().strip_suffix('%') else {
        return Err((format!("{} without %", quoted(text)), allowed()));
    };
    let value = number(digits, decimals).map_err(|found| (found, allowed()))?.value;
    if (0.0..=50.0).contains(&value) { Ok(value) } else { Err((quoted(text), allowed())) }
}

/// A length, which holds for both sides, or two with an x between them; the first may borrow the unit of the second.
pub(super) fn sides(text: &str, decimals: Decimals, (low, high): (f64, f64)) -> Result<Sides, Wrong> {
    let length = Amount { dimension: Dimension::Length, low, high, such_as: "0.30 m, or 0.30 m x 0.25 m" };
    let parts: Vec<&str> = text.split(['x', 'X', '×']).map(str::trim).collect();
    match parts[..] {
        [one] => length.read(one, decimals).map(|side| Sides { along: side, across: side }),
        [along, across] => {
            let borrowed = format!("{along} {}", split(across).1);
            let along = if split(along).1.is_empty() { borrowed.as_str() } else { along };
            Ok(Sides { along: length.read(along, decimals)?, across: length.read(across, decimals)? })
        }
        _ => Err((quoted(text), length.allowed())),
    }
}

/// Where readings stand.
pub(super) fn points(text: &str) -> Result<CardPoints, Wrong> {
    match text.to_lowercase().replace('-', " ").as_str() {
        "cell centred" | "cell centered" => Ok(CardPoints::CellCentred),
        "edge to edge" => Ok(CardPoints::EdgeToEdge),
        _ => Err((quoted(text), "cell-centred (each reading in the middle of a cell of its own) or edge-to-edge (the outer ones on the edge of the area)".into())),
    }
}
