//! The picture of prices by month and hour as text, with the lights over it.
//!
//! Belongs here: where its digits and marks stand. Does not belong here: levels and decimals, which the drawn picture
//! shares.

use decide::bill::{BillReport, SheetBills};
use decide::picture::PictureCell;

use crate::page::Page;
use crate::prices::{Levels, Light, MEANING, MONTHS, ct, kinds_of_day, marks};

const NO_BILL: char = '–';
/// Columns before the first hour.
const MARGIN: usize = 5;
/// Hours that stand together; each takes a digit and a mark, and a space follows the last.
const GROUP: usize = 6;
/// Columns of a whole day.
const DAY: usize = MARGIN + 24 * 2 + 24 / GROUP;
/// One hour in so many is named above.
const NAMED: usize = 3;

/// Writes it, one panel for each kind of day that differs; half days one below the other on a narrow page.
pub(super) fn picture(page: &mut Page, report: &BillReport, sheet: &SheetBills) {
    let levels = Levels::new(&sheet.picture);
    page.heading("Prices by month and hour of the day, and the lights over them");
    for (name, rows) in kinds_of_day(&sheet.picture, &levels) {
        page.gap();
        page.hanging("", &format!("{name}, holidays left out"));
        if page.width >= DAY {
            panel(page, &levels, rows, 0, 24);
        } else {
            panel(page, &levels, rows, 0, 12);
            page.gap();
            panel(page, &levels, rows, 12, 24);
        }
    }
    page.gap();
    let digits: Vec<String> =
        (0..levels.len()).map(|level| format!("{}\u{a0}=\u{a0}{}", level + 1, levels.label(level))).collect();
    let scale = match digits.len() {
        0 => "no bill".to_owned(),
        1 => format!("{} ct/kWh", digits.concat()),
        _ => format!("{} ct/kWh, 1 cheapest", digits.join(", ")),
    };
    page.hanging("Digits  ", &format!("{scale}: {MEANING}"));
    let mut told: Vec<String> =
        marks(report, sheet).into_iter().map(|(light, text)| format!("{} {text}", mark(light))).collect();
    let mut cells = sheet.picture.weekdays.iter().chain(&sheet.picture.weekends).flatten();
    if cells.any(|cell| ct(cell).is_none()) {
        told.push(format!("{NO_BILL} no bill reaches the month"));
    }
    page.hanging("Marks   ", &told.join("; "));
}

fn mark(light: Light) -> char {
    match light {
        Light::On => '•',
        Light::Part => '◦',
        Light::Off => ' ',
    }
}

fn panel(page: &mut Page, levels: &Levels, rows: &[Vec<PictureCell>], from: usize, to: usize) {
    let mut hours = " ".repeat(MARGIN);
    for hour in from..to {
        hours.push_str(&if hour % NAMED == 0 { format!("{hour:<2}") } else { "  ".to_owned() });
        hours.push_str(gap(hour));
    }
    page.drawn(&hours);
    for (month, row) in MONTHS.iter().zip(rows) {
        let mut line = format!("{month:<MARGIN$}");
        for (hour, cell) in row.iter().enumerate().take(to).skip(from) {
            match ct(cell) {
                Some(price) => line.push_str(&(levels.of(price) + 1).to_string()),
                None => line.push(NO_BILL),
            }
            line.push(mark(Light::of(cell)));
            line.push_str(gap(hour));
        }
        page.drawn(&line);
    }
}

/// What follows an hour: a space after the last of a group.
fn gap(hour: usize) -> &'static str {
    if hour % GROUP == GROUP - 1 { " " } else { "" }
}
