//! From the text of a card to the card: lines, keys, blocks, every flaw.
//!
//! Belongs here: what a card must have and may have once. Does not belong here: the cells of a row (`cells`), the values
//! of keys (`keys`).

use std::collections::BTreeMap;

use units::Dimension;

use super::cells::{self, Comma};
use super::keys::{self, Amount, KEYS, LONGEST_TEXT, Wrong};
use super::{Card, CardPoints, CardUnit, HeightBlock, MOST_A_SIDE, MOST_HEIGHTS, Written};
use crate::Day;
use crate::flaw::{Flaws, quoted};
use crate::number::{Decimals, number};

/// Longest line, in bytes.
const LONGEST_LINE: usize = 8_192;
/// Brightest reading that anyone should meet, µmol/m²/s: several times full sun.
const BRIGHTEST: f64 = 10_000.0;
/// The same in lux.
const BRIGHTEST_LUX: f64 = 1_000_000.0;
/// Lengths on a card, m.
const LENGTHS: (f64, f64) = (0.001, 100.0);
/// By how much the area may differ from what the spacing comes to.
const SAME_AREA: f64 = 0.01;

/// A height with the lines below it.
struct Block {
    line: u64,
    height: String,
    rows: Vec<(u64, String)>,
}

/// A card taken to pieces.
#[derive(Default)]
struct Pieces {
    values: BTreeMap<&'static str, (u64, String)>,
    blocks: Vec<Block>,
    flaws: Flaws,
}

impl Card {
    /// Reads a card. Whether it says where its points stand, and declares a factor for lux, is left to whoever judges what
    /// the readings say, unless something else is wrong as well.
    ///
    /// # Errors
    /// Everything that is wrong, with line and key, or line and number of the reading in its row.
    pub fn parse(text: &str) -> Result<Self, Flaws> {
        let mut pieces = Pieces::default();
        pieces.take_apart(text);
        let card = pieces.card();
        if !pieces.flaws.is_empty() && card.points.is_none() && !pieces.values.contains_key("points") {
            pieces.flaws.add(0, "points", "nothing", "cell-centred or edge-to-edge");
        }
        pieces.flaws.by_line().or(card)
    }
}

/// A line without its remark.
fn bare(line: &str) -> &str {
    if line.trim_start().starts_with('#') {
        return "";
    }
    let remark = ["  #", "\t#"].into_iter().filter_map(|sign| line.find(sign)).min();
    remark.map_or(line, |at| &line[..at])
}

/// Whether a text begins a line of keys, rather than of readings.
fn is_key(line: &str) -> bool {
    line.trim_start().starts_with(char::is_alphabetic)
}

impl Pieces {
    fn take_apart(&mut self, text: &str) {
        for (number, line) in (1..).zip(text.trim_start_matches('\u{feff}').lines()) {
            if line.len() > LONGEST_LINE {
                self.flaws.add(number, "", "a line that is too long", format!("at most {LONGEST_LINE} bytes"));
                continue;
            }
            let line = bare(line);
            if line.trim().is_empty() {
                continue;
            }
            if line.chars().any(|c| c.is_control() && c != '\t') {
                self.flaws.add(number, "", "a control character", "plain text");
            } else if is_key(line) {
                self.keys(number, line);
            } else {
                self.row(number, line);
            }
        }
    }

    /// The keys of a line: pieces that two blanks or a tab part, each with a colon; a piece without one goes on with the
    /// value before it.
    fn keys(&mut self, number: u64, line: &str) {
        let line = line.replace('\t', "  ");
        let mut pairs: Vec<(String, String)> = vec![];
        for piece in line.split("  ").map(str::trim).filter(|piece| !piece.is_empty()) {
            let pair = piece.split_once(':').filter(|(key, _)| is_key(key));
            match (pair, pairs.last_mut()) {
                (Some((key, value)), _) => pairs.push((key.trim().into(), value.trim().into())),
                (None, Some((_, value))) => *value = format!("{value} {piece}").trim().to_owned(),
                (None, None) => {
                    self.flaws.add(number, "", quoted(piece), "key: value, or readings");
                    return;
                }
            }
        }
        for (key, value) in pairs {
            let value = value.split_whitespace().collect::<Vec<_>>().join(" ");
            let Some(known) = keys::known(&key) else {
                let hint = keys::near(&key).map_or_else(String::new, |near| format!(" (did you mean {near}?)"));
                self.flaws.add(number, "", format!("a key {}{hint}", quoted(&key)), KEYS.join(", "));
                continue;
            };
            if value.chars().count() > LONGEST_TEXT {
                self.flaws.add(number, known, "a long text", format!("at most {LONGEST_TEXT} characters"));
            } else if known == "height" {
                self.blocks.push(Block { line: number, height: value, rows: vec![] });
            } else if value.is_empty() {
                // left blank: not known
            } else if let Some((first, _)) = self.values.get(known) {
                self.flaws.add(number, known, "this key a second time", format!("once; it stands in line {first}"));
            } else {
                self.values.insert(known, (number, value));
            }
        }
    }

    fn row(&mut self, number: u64, line: &str) {
        match self.blocks.last_mut() {
            None => self.flaws.add(number, "", "readings before a height", "a line such as height: 0.90 m before them"),
            Some(block) if block.rows.len() == MOST_A_SIDE => {
                self.flaws.add(number, "", "one more row of readings", format!("at most {MOST_A_SIDE}"));
            }
            // what is beyond it has been told
            Some(block) if block.rows.len() > MOST_A_SIDE => return,
            Some(_) => {}
        }
        if let Some(block) = self.blocks.last_mut() {
            block.rows.push((number, line.to_owned()));
        }
    }

    /// The value of a key, read; what is wrong with it is noted.
    fn read<T>(&mut self, key: &'static str, read: impl Fn(&str) -> Result<T, Wrong>) -> Option<T> {
        let (line, value) = self.values.get(key)?;
        read(value).map_err(|(found, allowed)| self.flaws.add(*line, key, found, allowed)).ok()
    }

    fn text(&self, key: &'static str) -> Option<String> {
        self.values.get(key).map(|(_, value)| value.clone())
    }

    fn card(&mut self) -> Card {
        let declared = self.read("decimals", |text| match text.to_lowercase().as_str() {
            "comma" => Ok(Comma::Decimal),
            "point" => Ok(Comma::Separates),
            _ => Err((quoted(text), "comma or point".into())),
        });
        let lines = || self.blocks.iter().flat_map(|block| &block.rows);
        let guessed = cells::comma_of(lines().map(|(_, row)| row.as_str()));
        if declared.is_none() && guessed == Comma::Unclear {
            let line = lines().find(|(_, row)| row.contains(',')).map_or(0, |(line, _)| *line);
            self.flaws.add(
                line,
                "",
                "commas that may separate readings or decimals",
                "a line decimals: comma, or decimals: point",
            );
        }
        // values of keys have a unit behind them, so a comma in them is one before decimals
        let decimals = |text: &str| if text.contains(',') { Decimals::Comma } else { Decimals::Point };
        let day = |text: &str| {
            let wrong = |found: String| (found, "a day as 2031-02-14, 2031-02 or ~2031-02".to_owned());
            Day::parse(text).map(|value| Written { text: text.to_owned(), value }).map_err(wrong)
        };
        let amount = |dimension, (low, high), such_as| {
            move |text: &str| Amount { dimension, low, high, such_as }.read(text, decimals(text))
        };
        let percent = |text: &str| keys::percent(text, decimals(text));
        let sides = |text: &str| keys::sides(text, decimals(text), LENGTHS);
        let unit = self.unit();
        let mut card = Card {
            fixture: self.text("fixture").unwrap_or_default(),
            source: self.text("source"),
            points: self.read("points", keys::points),
            spacing_m: self.read("spacing", sides),
            area_m: self.read("area", sides),
            sensor: self.text("sensor"),
            calibrated: self.read("calibrated", day),
            measured: self.read("measured", day),
            gain_error_percent: self.read("gain error", percent),
            source_error_percent: self.read("source error", percent),
            point_error_percent: self.read("point error", percent),
            lamp_hours_h: self.read("lamp hours", amount(Dimension::Hours, (0.0, 200_000.0), "100 h")),
            since_cleaning_d: self.read("since cleaning", amount(Dimension::Days, (0.0, 36_500.0), "0 d")),
            warm_up_min: self.read("warm-up", amount(Dimension::Minutes, (0.0, 10_000.0), "30 min")),
            wall_power_w: self.read("wall power", amount(Dimension::Power, (0.1, 1e6), "1047 W")),
            unit,
            note: self.text("note"),
            heights: vec![],
        };
        if card.fixture.is_empty() {
            self.flaws.add(0, "fixture", "nothing", "the name of what was measured");
        }
        if !self.values.contains_key("spacing") && !self.values.contains_key("area") {
            let allowed =
                "spacing, such as 0.30 m, or area, such as 1.5 m x 1.5 m: light without an area is not comparable";
            self.flaws.add(0, "spacing", "nothing", allowed);
        }
        card.heights = self.heights(declared.map_or((guessed, false), |declared| (declared, true)), unit);
        self.agree(&card);
        card
    }

    fn unit(&mut self) -> CardUnit {
        let allowed = || "µmol/m²/s; or lux, with the key lux per µmol/m²/s".to_owned();
        let factor = self.read("lux per µmol/m²/s", |text| {
            let wrong = |found| (found, "1 to 1000 lux for each µmol/m²/s".to_owned());
            let value = number(text, Decimals::Point).map_err(wrong)?.value;
            if (1.0..=1000.0).contains(&value) { Ok(value) } else { Err(wrong(quoted(text))) }
        });
        let is_lux = self.read("unit", |text| {
            let plain = text.to_lowercase();
            match plain.as_str() {
                "lux" | "lx" => Ok(true),
                "lumen" | "lumens" | "lm" => Err((
                    format!("{}, which is light for the eye, into no area", quoted(text)),
                    "readings of µmol/m²/s at stated places".to_owned(),
                )),
                _ => Dimension::Ppfd.factor(&plain, "").map(|_| false).map_err(|_| (quoted(text), allowed())),
            }
        });
        let error_percent = self.read("factor error", |text| {
            keys::percent(text, if text.contains(',') { Decimals::Comma } else { Decimals::Point })
        });
        for (key, found) in [("lux per µmol/m²/s", "a factor"), ("factor error", "an error of a factor")] {
            if is_lux != Some(true)
                && let Some((line, _)) = self.values.get(key)
            {
                self.flaws.add(*line, key, found, "none, unless the card says unit: lux");
            }
        }
        if is_lux == Some(true) {
            CardUnit::Lux { per_ppfd: factor, error_percent }
        } else {
            CardUnit::Ppfd { is_stated: is_lux.is_some() }
        }
    }

    fn heights(&mut self, comma: (Comma, bool), unit: CardUnit) -> Vec<HeightBlock> {
        let blocks = std::mem::take(&mut self.blocks);
        if blocks.is_empty() {
            self.flaws.add(0, "height", "nothing", "a line such as height: 0.90 m, and rows of readings below it");
        }
        if let Some(more) = blocks.get(MOST_HEIGHTS) {
            self.flaws.add(more.line, "height", format!("{} heights", blocks.len()), format!("at most {MOST_HEIGHTS}"));
        }
        let limits = match unit {
            CardUnit::Ppfd { .. } => (BRIGHTEST, "µmol/m²/s"),
            CardUnit::Lux { .. } => (BRIGHTEST_LUX, "lux"),
        };
        let (low, high) = LENGTHS;
        let tape = Amount { dimension: Dimension::Length, low, high, such_as: "0.90 m" };
        let mut heights: Vec<HeightBlock> = vec![];
        for block in blocks.iter().take(MOST_HEIGHTS) {
            let decimals = if block.height.contains(',') { Decimals::Comma } else { Decimals::Point };
            let height_m = tape.read(&block.height, decimals).unwrap_or_else(|(found, allowed)| {
                let found = if block.height.is_empty() { "nothing".into() } else { found };
                self.flaws.add(block.line, "height", found, allowed);
                f64::NAN
            });
            if let Some(first) = heights.iter().find(|other| (other.height_m - height_m).abs() < 1e-6) {
                let allowed = format!("each height once; it stands in line {}", first.line);
                self.flaws.add(block.line, "height", "this height a second time", allowed);
            }
            if block.rows.is_empty() {
                self.flaws.add(block.line, "height", "no readings below it", "rows of readings");
            }
            let rows = cells::read(&block.rows, comma, limits, &mut self.flaws);
            let layout = |rows: &[Vec<super::Cell>]| (rows.len(), rows.first().map_or(0, Vec::len));
            if let Some(first) =
                heights.first().filter(|first| !rows.is_empty() && layout(&first.rows) != layout(&rows))
            {
                let ((rows, columns), (first_rows, first_columns)) = (layout(&rows), layout(&first.rows));
                let found = format!("a layout of {rows} by {columns} readings");
                let allowed = format!("{first_rows} by {first_columns} as at the first height, or a card of its own");
                self.flaws.add(block.line, "height", found, allowed);
            }
            heights.push(HeightBlock { height_m, line: block.line, rows });
        }
        heights
    }

    /// Spacing and area, where both are stated, must tell of the same patch.
    fn agree(&mut self, card: &Card) {
        let (Some(spacing), Some(area)) = (card.spacing_m, card.area_m) else { return };
        let fits = |points: CardPoints| {
            let spanned = card.spanned(spacing, points);
            let near = |a: f64, b: f64| (a / b - 1.0).abs() <= SAME_AREA;
            near(spanned.along, area.along) && near(spanned.across, area.across)
        };
        let both = [CardPoints::CellCentred, CardPoints::EdgeToEdge];
        let Some((line, _)) = self.values.get("area") else { return };
        let may_be = card.points.map_or_else(|| both.to_vec(), |points| vec![points]);
        if self.flaws.is_empty() && !may_be.iter().any(|points| fits(*points)) {
            let span = |points: &CardPoints| {
                let spanned = card.spanned(spacing, *points);
                format!("{:.3} m x {:.3} m ({})", spanned.along, spanned.across, points.words())
            };
            let allowed = may_be.iter().map(span).collect::<Vec<_>>().join(" or ");
            let found = format!("{} m x {} m, which the spacing contradicts", area.along, area.across);
            self.flaws.add(*line, "area", found, format!("{allowed}, within 1 %"));
        }
    }
}
