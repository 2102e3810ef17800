//! Reading cards: a clipboard of light readings with what must be known about them.
//!
//! Belongs here: what a card holds, and how it is written back. Does not belong here: how its text is read (`text`,
//! `cells`, `keys`), what the readings say (`canopy`).
//!
//! A card is text: `key: value`, several on a line where two blanks or a tab stand between them, then for each `height:`
//! the rows of readings. `#` at the beginning of a line or behind two blanks begins a remark.

mod blank;
mod cells;
mod keys;
mod text;

use std::fmt::Write;

use crate::Day;

pub use blank::blank_card;

/// Most rows, and most readings in a row, of a card.
pub const MOST_A_SIDE: usize = 200;
/// Most heights of a card.
pub const MOST_HEIGHTS: usize = 20;

/// A card as written.
#[derive(Debug, Clone, PartialEq)]
pub struct Card {
    /// The fixture, with its lamp, that was measured.
    pub fixture: String,
    /// Kind of light: what is of one kind shares the spectral part of a meter's error.
    pub source: Option<String>,
    /// Where the readings stand; a card must say it, and whoever reads the card judges a missing one.
    pub points: Option<CardPoints>,
    /// Distance between neighbouring readings, m.
    pub spacing_m: Option<Sides>,
    /// Sides of the mapped area, m.
    pub area_m: Option<Sides>,
    /// Name of the meter.
    pub sensor: Option<String>,
    /// Day of its last calibration.
    pub calibrated: Option<Written<Day>>,
    /// Day of the readings.
    pub measured: Option<Written<Day>>,
    /// Standard deviation of the meter's calibration, %; one error for all of its readings.
    pub gain_error_percent: Option<f64>,
    /// Standard deviation of what a kind of light adds to that, %; one error for all readings of that kind.
    pub source_error_percent: Option<f64>,
    /// Standard deviation of a single reading, %.
    pub point_error_percent: Option<f64>,
    /// Burn hours of the lamp, h.
    pub lamp_hours_h: Option<f64>,
    /// Days since the fixture was cleaned, d.
    pub since_cleaning_d: Option<f64>,
    /// Minutes for which it had burned before the readings, min.
    pub warm_up_min: Option<f64>,
    /// Power at the wall, W.
    pub wall_power_w: Option<f64>,
    /// Unit of the readings.
    pub unit: CardUnit,
    /// Anything else.
    pub note: Option<String>,
    /// Readings by height, as they stand on the card; at least one height, no height twice, all of one layout.
    pub heights: Vec<HeightBlock>,
}

/// A value that is kept as it was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written<T> {
    /// The words.
    pub text: String,
    /// What they mean.
    pub value: T,
}

/// Two lengths, m: along a row of readings, and from row to row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sides {
    /// Along a row.
    pub along: f64,
    /// From the first row to the last.
    pub across: f64,
}

/// Where the readings of a card stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CardPoints {
    /// Each at the centre of a cell of its own.
    CellCentred,
    /// The outer ones on the edge of the area.
    EdgeToEdge,
}

/// Unit of the readings of a card.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CardUnit {
    /// µmol/m²/s, PPFD.
    Ppfd {
        /// Whether the card says so.
        is_stated: bool,
    },
    /// lux, with a factor that the card declares.
    Lux {
        /// lux for each µmol/m²/s; none where the card declares none, which whoever reads the card judges.
        per_ppfd: Option<f64>,
        /// Standard deviation of that factor, %.
        error_percent: Option<f64>,
    },
}

/// Readings at one height.
#[derive(Debug, Clone, PartialEq)]
pub struct HeightBlock {
    /// Height of the fixture above the sensor, m.
    pub height_m: f64,
    /// Line of the card on which it stands.
    pub line: u64,
    /// Rows of readings, all of one length.
    pub rows: Vec<Vec<Cell>>,
}

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cell {
    /// Legible.
    Read(f64),
    /// Smudged: probably this.
    Doubtful(f64),
    /// Not there.
    Missing,
}

impl Cell {
    /// The number that stands there, doubtful or not.
    pub fn number(self) -> Option<f64> {
        match self {
            Self::Read(value) | Self::Doubtful(value) => Some(value),
            Self::Missing => None,
        }
    }
}

impl CardPoints {
    /// The words of a card.
    pub fn words(self) -> &'static str {
        match self {
            Self::CellCentred => "cell-centred",
            Self::EdgeToEdge => "edge-to-edge",
        }
    }
}

impl Card {
    /// Rows, and readings in a row.
    pub fn layout(&self) -> (usize, usize) {
        let rows = self.heights.first().map_or(&[][..], |block| &block.rows);
        (rows.len(), rows.first().map_or(0, Vec::len))
    }

    /// Sides of the mapped area under a reading of where the points stand, m: as stated, else from the spacing. None where
    /// neither is stated.
    pub fn sides_if(&self, points: CardPoints) -> Option<Sides> {
        self.area_m.or_else(|| self.spacing_m.map(|spacing| self.spanned(spacing, points)))
    }

    /// Area that readings of such a spacing span.
    pub(crate) fn spanned(&self, spacing: Sides, points: CardPoints) -> Sides {
        let (rows, columns) = self.layout();
        let steps = |count: usize| match points {
            CardPoints::CellCentred => count as f64,
            CardPoints::EdgeToEdge => count.saturating_sub(1) as f64,
        };
        Sides { along: spacing.along * steps(columns), across: spacing.across * steps(rows) }
    }

    /// The card as text that reads back as the same card.
    ///
    /// ```
    /// let text = "fixture: arc\npoints: cell-centred\nspacing: 30 cm\nheight: 3 ft\n398 553 621\n561; 783;\t894?\n";
    /// let card = records::Card::parse(text).unwrap();
    /// assert_eq!(records::Card::parse(&card.written()).unwrap().heights[0].rows, card.heights[0].rows);
    /// ```
    pub fn written(&self) -> String {
        let mut text = String::new();
        let mut say = |key: &str, value: Option<String>| {
            if let Some(value) = value {
                text.push_str(&format!("{key}: {value}\n"));
            }
        };
        let sides = |sides: Sides| format!("{} m x {} m", sides.along, sides.across);
        let with = |unit: &'static str| move |value: f64| format!("{value} {unit}");
        say("fixture", Some(self.fixture.clone()));
        say("source", self.source.clone());
        say("points", self.points.map(|points| points.words().to_owned()));
        say("spacing", self.spacing_m.map(sides));
        say("area", self.area_m.map(sides));
        say("sensor", self.sensor.clone());
        say("calibrated", self.calibrated.as_ref().map(|day| day.text.clone()));
        say("measured", self.measured.as_ref().map(|day| day.text.clone()));
        say("gain error", self.gain_error_percent.map(with("%")));
        say("source error", self.source_error_percent.map(with("%")));
        say("point error", self.point_error_percent.map(with("%")));
        say("lamp hours", self.lamp_hours_h.map(with("h")));
        say("since cleaning", self.since_cleaning_d.map(with("d")));
        say("warm-up", self.warm_up_min.map(with("min")));
        say("wall power", self.wall_power_w.map(with("W")));
        match self.unit {
            CardUnit::Ppfd { is_stated } => say("unit", is_stated.then(|| "µmol/m²/s".to_owned())),
            CardUnit::Lux { per_ppfd, error_percent } => {
                say("unit", Some("lux".to_owned()));
                say("lux per µmol/m²/s", per_ppfd.map(|factor| factor.to_string()));
                say("factor error", error_percent.map(with("%")));
            }
        }
        say("note", self.note.clone());
        say("decimals", Some("point".to_owned()));
        for block in &self.heights {
            // writing to a text does not fail
            let _ = writeln!(text, "height: {} m", block.height_m);
            for row in &block.rows {
                let cells: Vec<String> = row
                    .iter()
                    .map(|cell| match cell {
                        Cell::Read(value) => value.to_string(),
                        Cell::Doubtful(value) => format!("{value}?"),
                        Cell::Missing => "-".to_owned(),
                    })
                    .collect();
                text.push_str(&cells.join(" "));
                text.push('\n');
            }
        }
        text
    }
}

#[cfg(test)]
mod tests;
