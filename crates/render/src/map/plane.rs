//! The plane as letters, one for each option.
//!
//! Belongs here: letters, sampling of cells to characters, the names of the axes. Does not belong here: who wins.

use decide::map_report::{MapAxis, MapReport};

use super::{cell, median_here, place_of, winner};
use crate::breakeven::{TOO_CLOSE, shown, unit_of};
use crate::page::Page;
use crate::words::{clean, columns, shorten};

/// Most characters across and up.
const WIDEST: usize = 48;
const TALLEST: usize = 16;
/// Columns of the values at the left.
const VALUES: usize = 10;
const CLOSE: char = '·';
const HERE: char = '+';
const MISSING: char = ' ';

/// Writes the plane with its axes and what its letters mean.
pub(super) fn plane(page: &mut Page, report: &MapReport) {
    let letters = letters(&report.options);
    let width = report.x.values.len().min(WIDEST).min(page.width.saturating_sub(VALUES + 3));
    let height = report.y.values.len().min(TALLEST);
    let here = place_of(report, median_here(report))
        .map(|(right, up)| (sampled(right, report.x.values.len(), width), sampled(up, report.y.values.len(), height)));
    page.hanging("", &format!("{} ↑", axis_name(&report.y)));
    for up in (0..height).rev() {
        let row = back(up, report.y.values.len(), height);
        let named = up == 0 || up + 1 == height || (height > 4 && up == height / 2);
        let value =
            if named { report.y.values.get(row).map_or_else(String::new, |value| told(*value)) } else { String::new() };
        let tick = if named { '┤' } else { '│' };
        let signs: String = (0..width)
            .map(|right| {
                if here == Some((right, up)) {
                    return HERE;
                }
                match cell(report, (back(right, report.x.values.len(), width), row)) {
                    Some(cell) => winner(report, cell).and_then(|won| letters.get(won).copied()).unwrap_or(CLOSE),
                    None => MISSING,
                }
            })
            .collect();
        page.drawn(&format!("{}{value}{tick}{signs}", " ".repeat(VALUES.saturating_sub(columns(&value)))));
    }
    x_axis(page, &report.x, width);
    page.gap();
    legend(page, report, &letters, here.is_some());
}

/// The rule below the plane, and the values at its ends and in its middle.
fn x_axis(page: &mut Page, axis: &MapAxis, width: usize) {
    let middle = width / 2;
    let named = |right: usize| right == 0 || right + 1 == width || (width > 30 && right == middle);
    let rule: String = (0..width).map(|right| if named(right) { '┴' } else { '─' }).collect();
    page.drawn(&format!("{}└{rule}", " ".repeat(VALUES)));
    let text =
        |right: usize| axis.values.get(back(right, axis.values.len(), width)).map_or_else(String::new, |v| told(*v));
    let first = text(0);
    let mut line = format!("{}{first}", " ".repeat(VALUES + 1));
    if width > 30 {
        let text = text(middle);
        let left = VALUES + 1 + middle - columns(&text) / 2;
        line = format!("{line}{}{text}", " ".repeat(left.saturating_sub(columns(&line))));
    }
    if width > 1 {
        let text = text(width - 1);
        let left = (VALUES + 1 + width).saturating_sub(columns(&text)).max(columns(&line) + 1);
        line = format!("{line}{}{text}", " ".repeat(left - columns(&line)));
    }
    page.drawn(&shorten(&line, page.width as f64, |text| columns(text) as f64));
    page.hanging(&" ".repeat(VALUES + 1), &format!("{} →", axis_name(axis)));
}

fn legend(page: &mut Page, report: &MapReport, letters: &[char], here: bool) {
    for (letter, name) in letters.iter().zip(&report.options) {
        page.hanging(&format!("{letter}  "), &clean(name));
    }
    page.hanging(&format!("{CLOSE}  "), TOO_CLOSE);
    if here {
        page.hanging(&format!("{HERE}  "), "where the scenario stands");
    }
    if report.columns.len() < report.x.values.len() {
        page.hanging("   ", "blank: not priced");
    }
}

/// Name, unit and steps of an axis.
fn axis_name(axis: &MapAxis) -> String {
    let unit = unit_of(&axis.unit);
    let steps = if axis.logarithmic { " (even steps in the logarithm)" } else { "" };
    if unit.is_empty() {
        format!("{}{steps}", clean(&axis.name))
    } else {
        format!("{}, {unit}{steps}", clean(&axis.name))
    }
}

fn told(value: f64) -> String {
    shorten(&shown(value), VALUES as f64, |text| columns(text) as f64)
}

/// Character in which a cell is shown, of so many for so many cells.
fn sampled(cell: usize, cells: usize, characters: usize) -> usize {
    (cell * characters / cells.max(1)).min(characters.saturating_sub(1))
}

/// Cell that a character shows: the middle one of those that fall into it.
fn back(character: usize, cells: usize, characters: usize) -> usize {
    (2 * character + 1) * cells / (2 * characters.max(1))
}

/// A letter for each option: the first of its name that no other has taken, else any that is left.
pub(super) fn letters(options: &[String]) -> Vec<char> {
    let mut taken: Vec<char> = vec![];
    for name in options {
        let own = name.chars().filter(char::is_ascii_alphanumeric).map(|letter| letter.to_ascii_uppercase());
        let any = ('A'..='Z').chain('0'..='9').chain('a'..='z');
        let free = own.chain(any).find(|letter| !taken.contains(letter));
        taken.push(free.unwrap_or('?'));
    }
    taken
}
