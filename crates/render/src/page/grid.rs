//! Tables of a page: a first column of names and further columns beside it, in blocks when they do not all fit.
//!
//! Belongs here: widths, alignment, blocks. Does not belong here: what the cells say.

use crate::words::{break_few, columns, shorten};

/// Lines that a name may take.
pub(crate) const NAME_LINES: usize = 2;
/// Lines that a column's name may take.
const HEAD_LINES: usize = 4;
const GAP: usize = 2;
/// Invisible mark that ends a run of letters written to the left.
const LEFT_TO_RIGHT: char = '\u{200e}';

/// One column: its name, and for each row the parts of its cell; each part is aligned with those above and below.
#[derive(Debug, Clone)]
pub(crate) struct Column {
    pub(crate) name: String,
    pub(crate) cells: Vec<Vec<String>>,
}

/// Widest first column on a page of this width.
pub(crate) fn first_column(width: usize) -> usize {
    (width * 3 / 10).clamp(14, 32)
}

fn measure(text: &str) -> f64 {
    columns(text) as f64
}

/// The table as lines, in as many blocks as its columns need; with a rule above the last row if that is a sum.
pub(super) fn blocks(
    first: &[String],
    all: &[Column],
    (width, color): (usize, bool),
    summed: bool,
) -> Vec<Vec<String>> {
    let limit = first_column(width);
    let names: Vec<Vec<String>> = first.iter().map(|name| break_few(name, limit as f64, NAME_LINES, measure)).collect();
    let name_width = names.iter().flatten().map(|line| columns(line)).max().unwrap_or(0);
    let space = width.saturating_sub(name_width);
    let set: Vec<Set> = all.iter().map(|column| Set::new(column, space.saturating_sub(GAP))).collect();
    let mut groups: Vec<Vec<&Set>> = vec![];
    let mut used = 0;
    for column in &set {
        let needs = column.width + GAP;
        match groups.last_mut() {
            Some(group) if used + needs <= space => {
                group.push(column);
                used += needs;
            }
            _ => {
                groups.push(vec![column]);
                used = needs;
            }
        }
    }
    groups.iter().map(|group| block(&names, name_width, group, (color, summed))).collect()
}

fn block(names: &[Vec<String>], name_width: usize, group: &[&Set], (color, summed): (bool, bool)) -> Vec<String> {
    let mut lines = Vec::new();
    let depth = group.iter().map(|set| set.head.len()).max().unwrap_or(0);
    for i in 0..depth {
        let mut line = " ".repeat(name_width);
        for set in group {
            // names of columns sit on the rule, so that short ones stay beside their numbers
            let text = (i + set.head.len()).checked_sub(depth).and_then(|i| set.head.get(i)).map_or("", String::as_str);
            line.push_str(&" ".repeat(GAP));
            line.push_str(&if set.right { pad_left(text, set.width) } else { pad_right(text, set.width) });
        }
        lines.push(line);
    }
    let mut rule = "─".repeat(name_width);
    for set in group {
        rule.push_str(&" ".repeat(GAP));
        rule.push_str(&"─".repeat(set.width));
    }
    lines.push(rule.clone());
    let tall = names.iter().any(|name| name.len() > 1);
    for (row, name) in names.iter().enumerate() {
        if summed && row > 0 && row + 1 == names.len() {
            lines.push(rule.clone());
        } else if tall && row > 0 {
            lines.push(String::new());
        }
        for (i, part) in name.iter().enumerate() {
            let mut line = pad_right(part, name_width);
            if i == 0 {
                if part.chars().any(is_leftward) {
                    // without it the numbers of the row would be set from the right as well
                    line.push(LEFT_TO_RIGHT);
                }
                for set in group {
                    line.push_str(&" ".repeat(GAP));
                    let cell = set.cells.get(row).map_or("", String::as_str);
                    let cell = pad_right(cell, set.width);
                    line.push_str(&if color && set.marked[row] { format!("\u{1b}[1m{cell}\u{1b}[0m") } else { cell });
                }
            }
            lines.push(line);
        }
    }
    lines
}

/// Whether a letter belongs to a script that is written to the left.
fn is_leftward(c: char) -> bool {
    matches!(c as u32, 0x590..=0x8ff | 0xfb1d..=0xfdff | 0xfe70..=0xfeff | 0x10800..=0x10fff | 0x1e800..=0x1efff)
}

/// A column whose parts are aligned and whose width is known.
struct Set {
    head: Vec<String>,
    cells: Vec<String>,
    marked: Vec<bool>,
    width: usize,
    right: bool,
}

impl Set {
    fn new(column: &Column, limit: usize) -> Self {
        let parts = column.cells.iter().map(Vec::len).max().unwrap_or(0);
        let widths: Vec<usize> = (0..parts)
            .map(|part| column.cells.iter().filter_map(|cell| cell.get(part)).map(|t| columns(t)).max().unwrap_or(0))
            .collect();
        let mut cells: Vec<String> = column.cells.iter().map(|cell| align(cell, &widths)).collect();
        if cells.iter().any(|cell| columns(cell) > limit) {
            // numbers this wide are rare; they lose their alignment before they lose digits
            cells = column.cells.iter().map(|cell| shorten(cell.join(" ").trim_end(), limit as f64, measure)).collect();
        }
        let body = cells.iter().map(|cell| columns(cell)).max().unwrap_or(0);
        // a name of several words goes over several lines rather than push its column wide
        let longest = column.name.split(' ').map(columns).max().unwrap_or(0);
        let width = body.max(longest.min(14)).max(8).min(limit.max(1));
        let head = break_few(&column.name, width as f64, HEAD_LINES, measure);
        let right = parts < 2;
        if right {
            cells = cells.iter().map(|cell| pad_left(cell, width)).collect();
        }
        let marked = column.cells.iter().map(|cell| cell.get(2).is_some_and(|mark| !mark.is_empty())).collect();
        Self { head, cells, marked, width, right }
    }
}

/// The first part to the right, against the second, which starts at the same place in each row.
fn align(cell: &[String], widths: &[usize]) -> String {
    let mut parts = Vec::new();
    for (i, (part, width)) in cell.iter().zip(widths).enumerate() {
        parts.push(if i == 0 { pad_left(part, *width) } else { pad_right(part, *width) });
    }
    parts.join(" ").trim_end().to_owned()
}

fn pad_right(text: &str, width: usize) -> String {
    format!("{text}{}", " ".repeat(width.saturating_sub(columns(text))))
}

fn pad_left(text: &str, width: usize) -> String {
    format!("{}{text}", " ".repeat(width.saturating_sub(columns(text))))
}
