//! Prices by month and hour, made ready to be shown: how many decimals, which levels, which kinds of day.
//!
//! Belongs here: rounding and grouping for display, shared by the printed picture and the drawn one. Does not belong
//! here: layout, the prices themselves.

use decide::bill::{BillReport, SheetBills};
use decide::picture::{Picture, PictureCell};

use crate::number;
use crate::words::clean;

/// Most levels that one digit or one shade each can tell apart.
pub(crate) const MOST_LEVELS: usize = 9;
/// Most decimals of a price in ct/kWh.
const MOST_DECIMALS: usize = 3;
/// A share of an hour nearer to none or all than this is none or all.
const SLIVER: f64 = 0.005;

/// Months as they are named beside a picture.
pub(crate) const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// What the prices of a picture are.
pub(crate) const MEANING: &str = "price of one more kWh, riders included, demand and percentages not";

/// How much of an hour is lit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Light {
    /// None of it.
    Off,
    /// A part of the hour, or of the days of the month.
    Part,
    /// All of it.
    On,
}

impl Light {
    /// That of an hour.
    pub(crate) fn of(cell: &PictureCell) -> Self {
        if cell.lit >= 1.0 - SLIVER {
            Self::On
        } else if cell.lit > SLIVER {
            Self::Part
        } else {
            Self::Off
        }
    }
}

/// The price of an hour in ct/kWh; nothing where no bill reaches.
pub(crate) fn ct(cell: &PictureCell) -> Option<f64> {
    cell.price.map(|price| price * 100.0).filter(|price| price.is_finite())
}

/// The kinds of day that differ in what is shown of them, each with its name.
pub(crate) fn kinds_of_day<'a>(picture: &'a Picture, levels: &Levels) -> Vec<(&'static str, &'a [Vec<PictureCell>])> {
    let shown = |rows: &[Vec<PictureCell>]| -> Vec<(Option<String>, String)> {
        let cells = rows.iter().flatten();
        cells.map(|cell| (ct(cell).map(|price| levels.text(price)), format!("{:.2}", cell.lit))).collect()
    };
    if shown(&picture.weekdays) == shown(&picture.weekends) {
        vec![("Every day of the week", &picture.weekdays)]
    } else {
        vec![("Monday to Friday", &picture.weekdays), ("Saturday and Sunday", &picture.weekends)]
    }
}

/// Prices that are shown alike.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Level {
    low: f64,
    high: f64,
}

/// The levels of a picture, cheapest first: one for each price, or bands of prices where there are too many.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Levels {
    decimals: usize,
    levels: Vec<Level>,
}

impl Levels {
    /// Those of a picture.
    pub(crate) fn new(picture: &Picture) -> Self {
        let cells = picture.weekdays.iter().chain(&picture.weekends).flatten();
        let mut prices: Vec<f64> = cells.filter_map(ct).collect();
        prices.sort_by(f64::total_cmp);
        let decimals = decimals(&prices);
        let mut levels: Vec<Level> = vec![];
        let alike = |a: f64, b: f64| number::fixed(a, decimals) == number::fixed(b, decimals);
        for price in prices {
            match levels.last_mut() {
                Some(level) if price == level.high || alike(price, level.high) => level.high = price,
                _ => levels.push(Level { low: price, high: price }),
            }
        }
        if levels.len() > MOST_LEVELS {
            levels = banded(&levels);
        }
        Self { decimals, levels }
    }

    /// How many there are.
    pub(crate) fn len(&self) -> usize {
        self.levels.len()
    }

    /// The level of a price, 0 for the cheapest.
    pub(crate) fn of(&self, price: f64) -> usize {
        // a price above all others differs from the dearest by the noise of a sum only
        self.levels.iter().position(|level| price <= level.high).unwrap_or(self.levels.len().saturating_sub(1))
    }

    /// A price of this picture with the decimals that all of them have, without its unit.
    pub(crate) fn text(&self, price: f64) -> String {
        number::fixed(price, self.decimals)
    }

    /// The prices of a level, without their unit.
    pub(crate) fn label(&self, level: usize) -> String {
        let Some(Level { low, high }) = self.levels.get(level) else { return String::new() };
        let (low, high) = (self.text(*low), self.text(*high));
        if low == high { low } else { number::range(&low, &high) }
    }

    /// Where between the cheapest price and the dearest a price lies, from 0 to 1; 0 when there is one price only.
    pub(crate) fn height(&self, price: f64) -> f64 {
        let (Some(first), Some(last)) = (self.levels.first(), self.levels.last()) else { return 0.0 };
        let height = (price - first.low) / (last.high - first.low);
        if self.levels.len() > 1 && height.is_finite() { height.clamp(0.0, 1.0) } else { 0.0 }
    }

    /// [`Levels::height`] of the middle of a level.
    pub(crate) fn height_of(&self, level: usize) -> f64 {
        self.levels.get(level).map_or(0.0, |Level { low, high }| self.height(low / 2.0 + high / 2.0))
    }
}

/// As few decimals as write every price exactly, and not more than are of use.
fn decimals(prices: &[f64]) -> usize {
    let exact = |price: f64, decimals: usize| {
        let written: f64 = format!("{price:.decimals$}").parse().unwrap_or(price);
        (written - price).abs() <= 1e-7 * price.abs().max(1.0)
    };
    (1..MOST_DECIMALS).find(|decimals| prices.iter().all(|price| exact(*price, *decimals))).unwrap_or(MOST_DECIMALS)
}

/// Bands of equal width, each drawn in to the prices that it holds; empty ones are left out.
fn banded(levels: &[Level]) -> Vec<Level> {
    let (Some(first), Some(last)) = (levels.first(), levels.last()) else { return vec![] };
    let band = |level: &Level| {
        let height = (level.low - first.low) / (last.high - first.low);
        ((height * MOST_LEVELS as f64) as usize).min(MOST_LEVELS - 1)
    };
    let mut bands: Vec<(usize, Level)> = vec![];
    for level in levels {
        match bands.last_mut() {
            Some((at, wide)) if *at == band(level) => wide.high = level.high,
            _ => bands.push((band(level), *level)),
        }
    }
    bands.into_iter().map(|(_, level)| level).collect()
}

/// The marks of light that a picture needs, and what they mean.
pub(crate) fn marks(report: &BillReport, sheet: &SheetBills) -> Vec<(Light, &'static str)> {
    let burn = if report.rooms.is_empty() { "lights burn" } else { "lights burn in one room at least" };
    let cells = sheet.picture.weekdays.iter().chain(&sheet.picture.weekends).flatten();
    let partly = cells.map(Light::of).any(|light| light == Light::Part);
    let mut marks = vec![(Light::On, burn)];
    if partly {
        marks.push((Light::Part, "in a part of the hour, or on a part of the month's days"));
    }
    marks
}

/// When the lights burn, in words.
pub(crate) fn lights_on(report: &BillReport, sheet: &SheetBills) -> String {
    if report.rooms.is_empty() {
        return clean(&sheet.lights);
    }
    let rooms: Vec<String> = report.rooms.iter().map(|room| clean(room)).collect();
    format!("room by room from {}", rooms.join(", "))
}

/// What a price was taken from: as written, of which month, in which currency.
pub(crate) fn basis(report: &BillReport) -> String {
    format!("as written, of {}, not escalated", clean(&report.prices_of))
}

/// That questions are open, in capitals; nothing when none is.
pub(crate) fn incomplete(sheet: &SheetBills) -> Option<String> {
    let open = sheet.open_questions.len() as u64;
    let are = if open == 1 { "is" } else { "are" };
    (open > 0).then(|| format!("INCOMPLETE: {} {are} open", number::counted(open, "question")))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(prices: &[f64]) -> Picture {
        let cell = |price: &f64| PictureCell { price: Some(*price / 100.0), lit: 0.0 };
        Picture { weekdays: vec![prices.iter().map(cell).collect()], weekends: vec![] }
    }

    #[test]
    fn noise_of_means_is_no_level() {
        let levels = Levels::new(&picture(&[7.0, 7.000_000_000_1, 4.1, 26.0]));
        assert_eq!(levels.len(), 3);
        assert_eq!((levels.label(0), levels.label(1), levels.label(2)), ("4.1".into(), "7.0".into(), "26.0".into()));
        assert_eq!(levels.of(7.000_000_000_1), 1);
        assert_eq!((levels.height(4.1), levels.height(26.0)), (0.0, 1.0));
    }

    #[test]
    fn many_prices_are_put_into_bands() {
        let prices: Vec<f64> = (0..100).map(|i| 5.0 + f64::from(i) * 0.1).collect();
        let levels = Levels::new(&picture(&prices));
        assert_eq!(levels.len(), MOST_LEVELS);
        assert!(prices.windows(2).all(|pair| levels.of(pair[0]) <= levels.of(pair[1])));
        assert_eq!((levels.of(5.0), levels.of(14.9)), (0, MOST_LEVELS - 1));
        assert!(levels.label(0).starts_with("5.0–"), "{}", levels.label(0));
    }

    #[test]
    fn wild_prices_do_no_harm() {
        for prices in [&[][..], &[f64::MAX, -f64::MAX], &[f64::NAN], &[0.0, 1e-300], &[-3.0, 5.0]] {
            let levels = Levels::new(&picture(prices));
            for price in prices {
                assert!((0.0..=1.0).contains(&levels.height(*price)));
                assert!(levels.of(*price) <= levels.len());
            }
        }
    }
}
