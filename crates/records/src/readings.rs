//! Readings of light over burn hours, lamp by lamp.
//!
//! Belongs here: which rows make sense together. Does not belong here: what they say about fading (`learn`).

use std::collections::HashMap;
use std::io::BufRead;

use crate::flaw::{Flaws, quoted};
use crate::table::{Column, Table};

/// Longest burn hours of a reading, h.
const MOST_HOURS: f64 = 2e6;
/// Largest reading, in whatever unit.
const MOST_LIGHT: f64 = 1e12;
/// Least reading that is not taken for nothing.
const LEAST_LIGHT: f64 = 1e-12;
/// Most rows.
const MOST_ROWS: usize = 5_000_000;
/// Most lamps.
const MOST_LAMPS: usize = 20_000;
/// Light that falls by less than this factor may be light; hours of a test rise by more.
const STEADY: f64 = 2.0;
/// Readings that differ by more than this factor, nothing among them, are rather hours.
const FAR: f64 = 5.0;

const COLUMNS: &[Column] = &[
    Column { name: "lamp", is_needed: true },
    Column { name: "burn_h", is_needed: true },
    Column { name: "reading", is_needed: true },
    Column { name: "leave_out", is_needed: false },
    Column { name: "note", is_needed: false },
];
const LAMP: usize = 0;
const HOURS: usize = 1;
const READING: usize = 2;
const LEAVE_OUT: usize = 3;

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Burn hours of the lamp.
    pub burn_h: f64,
    /// Light, in a unit of the writer's own that is the same for one lamp throughout; above 0.
    pub light: f64,
    /// Whether it is to be shown but not fitted.
    pub is_left_out: bool,
    /// Line of the file, 1 first.
    pub line: u64,
}

/// The readings of one lamp, by rising burn hours.
#[derive(Debug, Clone, PartialEq)]
pub struct LampReadings {
    /// What the lamp is called.
    pub lamp: String,
    /// Its readings; never two at the same hours.
    pub readings: Vec<Reading>,
}

/// Readings of one or many lamps, in the order in which the lamps first appear.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// Lamp by lamp.
    pub lamps: Vec<LampReadings>,
    /// Rows whose hours or readings are only about right; they count like any other.
    pub about: usize,
}

/// Reads a table with the columns `lamp`, `burn_h` and `reading`, and perhaps `leave_out` (any word) and `note`. Rows may
/// stand in any order.
///
/// ```
/// let text = "lamp,burn_h,reading\n1,0,540\n1,3000,512\n";
/// assert_eq!(records::readings(text.as_bytes()).unwrap().lamps[0].readings[1].light, 512.0);
/// ```
///
/// # Errors
/// Every flaw: cells that are blank or no numbers, hours below 0 or above two million, a reading of nothing, two readings of
/// one lamp at the same hours, hours and readings in each other's column, and no lamp with two readings.
pub fn readings(text: impl BufRead) -> Result<Readings, Flaws> {
    let mut table = Table::open(text, COLUMNS)?;
    let mut flaws = Flaws::default();
    let mut places: HashMap<String, usize> = HashMap::new();
    let mut lamps: Vec<LampReadings> = vec![];
    let (mut rows, mut about) = (0, 0);
    while let Some(mut row) = table.next_row() {
        rows += 1;
        if rows > MOST_ROWS {
            row.flaw(LAMP, "more rows than can be read", format!("{MOST_ROWS} rows"));
            break;
        }
        let lamp = row.text(LAMP).to_owned();
        let hours = row.number(HOURS, (0.0, MOST_HOURS), "h");
        let light = row.number(READING, (0.0, MOST_LIGHT), "in the unit of the meter");
        for column in [LAMP, HOURS, READING] {
            if row.text(column).is_empty() {
                row.flaw(column, "nothing", "a value in each row");
            }
        }
        let (Some(hours), Some(light), false) = (hours, light, lamp.is_empty()) else { continue };
        let is_left_out = !row.text(LEAVE_OUT).is_empty();
        about += usize::from(hours.is_about || light.is_about);
        let place = match places.get(&lamp) {
            Some(&place) => place,
            None if lamps.len() >= MOST_LAMPS => {
                row.flaw(LAMP, format!("lamp {}", lamps.len() + 1), format!("at most {MOST_LAMPS} lamps"));
                break;
            }
            None => {
                places.insert(lamp.clone(), lamps.len());
                lamps.push(LampReadings { lamp, readings: vec![] });
                lamps.len() - 1
            }
        };
        let reading = Reading { burn_h: hours.value, light: light.value, is_left_out, line: row.line };
        lamps[place].readings.push(reading);
    }
    let look_swapped = swapped(&lamps);
    if let Some(found) = &look_swapped {
        flaws.add(0, "", found.clone(), "burn hours in burn_h and light in reading");
    }
    flaws.append(table.flaws());
    for lamp in &mut lamps {
        lamp.readings.sort_by(|a, b| a.burn_h.total_cmp(&b.burn_h).then(a.line.cmp(&b.line)));
        if look_swapped.is_none() {
            judge(lamp, &mut flaws);
        }
    }
    if flaws.is_empty() && !lamps.iter().any(|lamp| used(lamp) > 1) {
        flaws.add(0, "", "no lamp with two readings", "two readings or more of at least one lamp");
    }
    flaws.or(Readings { lamps, about })
}

/// Readings that are to be fitted.
fn used(lamp: &LampReadings) -> usize {
    lamp.readings.iter().filter(|reading| !reading.is_left_out).count()
}

/// What is wrong among the readings of one lamp.
fn judge(lamp: &LampReadings, flaws: &mut Flaws) {
    for reading in &lamp.readings {
        if !(reading.light >= LEAST_LIGHT) {
            let found = format!("a reading of {} of lamp {}", reading.light, quoted(&lamp.lamp));
            let allowed = "light above 0; a lamp that is dead has no reading";
            flaws.add(reading.line, COLUMNS[READING].name, found, allowed);
        }
    }
    for pair in lamp.readings.windows(2) {
        if pair[0].burn_h == pair[1].burn_h {
            let found =
                format!("lamp {} again at {} h, as on line {}", quoted(&lamp.lamp), pair[1].burn_h, pair[0].line);
            flaws.add(pair[1].line, COLUMNS[HOURS].name, found, "one reading of a lamp at any hours; write their mean");
        }
    }
}

/// What shows that hours and readings stand in each other's column, if anything does: every lamp's hours stay within a factor
/// of two and its readings do not.
fn swapped(lamps: &[LampReadings]) -> Option<String> {
    let mut widest: Option<(f64, f64)> = None;
    for lamp in lamps.iter().filter(|lamp| lamp.readings.len() > 1) {
        let range = |of: fn(&Reading) -> f64| {
            let values = lamp.readings.iter().map(of);
            values.fold((f64::INFINITY, 0.0), |(low, high): (f64, f64), value| (low.min(value), high.max(value)))
        };
        let (hours, light) = (range(|reading| reading.burn_h), range(|reading| reading.light));
        if !(hours.0 > 0.0 && hours.1 <= STEADY * hours.0 && light.1 > FAR * light.0 && light.1 > hours.1) {
            return None;
        }
        let (low, high) = widest.unwrap_or(hours);
        widest = Some((low.min(hours.0), high.max(hours.1)));
    }
    let (low, high) = widest?;
    Some(format!(
        "burn_h from {low} to {high} h beside readings that differ more than {FAR}-fold: the two columns look swapped"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flaws(text: &str) -> String {
        readings(text.as_bytes()).unwrap_err().to_string()
    }

    #[test]
    fn rows_in_any_order_are_put_in_order_lamp_by_lamp() {
        let text = "lamp;burn_h;reading;leave_out\nb;3000;480,5;\na;~0;540;\nb;0;501;\na;1000;470;wet\n";
        let found = readings(text.as_bytes()).unwrap();
        let hours = |k: usize| found.lamps[k].readings.iter().map(|r| (r.burn_h, r.light)).collect::<Vec<_>>();
        assert_eq!(found.lamps.iter().map(|lamp| lamp.lamp.as_str()).collect::<Vec<_>>(), ["b", "a"]);
        assert_eq!((hours(0), hours(1)), (vec![(0.0, 501.0), (3000.0, 480.5)], vec![(0.0, 540.0), (1000.0, 470.0)]));
        assert_eq!((found.about, found.lamps[1].readings[1].is_left_out), (1, true));
    }

    #[test]
    fn every_flaw_is_told_at_once() {
        assert_eq!(
            flaws("lamp,burn_h,reading\n1,-5,500\n1,3e6,500\n,10,x\n2,10,0\n3,100,7\n3,100,8\n"),
            "line 2, column \"burn_h\": -5 h; allowed: 0 to 2000000 h\n\
             line 3, column \"burn_h\": 3000000 h; allowed: 0 to 2000000 h\n\
             line 4, column \"reading\": \"x\", which is no number with a decimal point; allowed: 0 to 1000000000000 in the unit of \
             the meter\n\
             line 4, column \"lamp\": nothing; allowed: a value in each row\n\
             line 5, column \"reading\": a reading of 0 of lamp \"2\"; allowed: light above 0; a lamp that is dead has no reading\n\
             line 7, column \"burn_h\": lamp \"3\" again at 100 h, as on line 6; allowed: one reading of a lamp at any hours; write \
             their mean"
        );
        assert!(flaws("lamp,burn_h,reading\n1,0,5\n2,0,5\n").contains("no lamp with two readings"));
        assert!(flaws("lamp,burn_h,reading\n1,0,5\n1,9,5,\n1,8,\n").contains("line 4, column \"reading\": nothing"));
    }

    #[test]
    fn swapped_columns_are_told_and_light_that_merely_falls_fast_is_not() {
        let told = flaws("lamp,burn_h,reading\n1,540,0\n1,512,3000\n1,488,6000\n2,530,0\n2,500,3000\n");
        assert!(told.starts_with("burn_h from 488 to 540 h beside readings"), "{told}");
        assert!(
            told.ends_with("the two columns look swapped; allowed: burn hours in burn_h and light in reading"),
            "{told}"
        );
        assert!(readings("lamp,burn_h,reading\n1,3000,500\n1,5000,80\n".as_bytes()).is_ok());
    }

    #[test]
    fn a_million_rows_pass() {
        let mut text = String::from("lamp,burn_h,reading\n");
        for row in 0..1_000_000 {
            text.push_str(&format!("{},{},{}\n", row % 500, row / 500, 1000 - row / 10_000));
        }
        let found = readings(text.as_bytes()).unwrap();
        assert_eq!((found.lamps.len(), found.lamps[7].readings.len()), (500, 2000));
    }
}
