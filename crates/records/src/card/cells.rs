//! Rows of readings: what separates the cells, what stands between whole numbers and decimals.
//!
//! Belongs here: from lines to cells. Does not belong here: keys.

use super::blank::BLANK;
use super::{Cell, MOST_A_SIDE};
use crate::flaw::{Flaws, quoted};
use crate::number::{Decimals, number};

/// What a comma means on a card.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Comma {
    /// It separates cells.
    Separates,
    /// It stands before decimals.
    Decimal,
    /// Nobody can tell.
    Unclear,
}

/// What commas mean where the card does not say: the rows must agree.
pub(super) fn comma_of<'a>(rows: impl Iterator<Item = &'a str>) -> Comma {
    let (mut separates, mut decimal, mut lone) = (false, false, false);
    for row in rows.filter(|row| row.contains(',')) {
        let pieces: Vec<&str> = row.split([' ', '\t', ';']).filter(|piece| !piece.is_empty()).collect();
        let between_digits = |piece: &&str| {
            let digits = |part: &str| part.trim_matches(['~', '?']).bytes().all(|byte| byte.is_ascii_digit());
            let halves = piece.split_once(',');
            halves.is_some_and(|(a, b)| !a.is_empty() && !b.is_empty() && digits(a) && digits(b))
        };
        let with_comma = || pieces.iter().filter(|piece| piece.contains(','));
        let is_decimal = |piece: &&str| between_digits(&piece.trim_end_matches(','));
        if row.contains('.') {
            separates = true;
        } else if !with_comma().all(between_digits) {
            separates = true;
            // 402,5, 560,2: blanks behind some commas, and none behind others
            decimal |= with_comma().any(|piece| piece.ends_with(',') && is_decimal(piece));
        } else if pieces.len() > 1 {
            decimal = true;
        } else {
            lone = true;
        }
    }
    match (separates, decimal, lone) {
        (true, false, _) => Comma::Separates,
        (false, true, _) => Comma::Decimal,
        (false, false, false) => Comma::Separates,
        _ => Comma::Unclear,
    }
}

/// The cells of a line as written.
fn pieces(line: &str, comma: Comma) -> Vec<&str> {
    let line = line.trim_start().trim_end_matches(['\r', ' ']);
    let separator =
        [';', '\t', ','].into_iter().find(|&sign| line.contains(sign) && (sign != ',' || comma == Comma::Separates));
    match separator {
        Some(sign) => line.split(sign).map(str::trim).collect(),
        // a comma before a blank parts two readings whatever a comma inside of one is
        None if comma == Comma::Decimal => line.split_whitespace().map(|piece| piece.trim_end_matches(',')).collect(),
        None => line.split_whitespace().collect(),
    }
}

/// Rows with their lines, to cells of one width; cells that are blank in every row at the right edge are none.
pub(super) fn read(
    lines: &[(u64, String)],
    (comma, is_declared): (Comma, bool),
    (most, unit): (f64, &str),
    flaws: &mut Flaws,
) -> Vec<Vec<Cell>> {
    let rows: Vec<Vec<&str>> = lines.iter().map(|(_, line)| pieces(line, comma)).collect();
    let used = |row: &Vec<&str>| row.iter().rposition(|cell| !cell.is_empty()).map_or(0, |last| last + 1);
    let wide = rows.iter().map(used).max().unwrap_or(0);
    let mut cells = vec![];
    for ((line, _), row) in lines.iter().zip(&rows) {
        let row = &row[..row.len().min(wide)];
        if row.len() > MOST_A_SIDE {
            flaws.add(*line, "", format!("{} readings in a row", row.len()), format!("at most {MOST_A_SIDE}"));
            continue;
        }
        if row.len() != rows[0].len().min(wide) {
            let found = format!("{} readings where the first row has {}", row.len(), rows[0].len().min(wide));
            flaws.add(*line, "", found, "rows of equal length, with - for a reading that is missing");
        }
        let read = |(k, text): (usize, &&str)| {
            cell(text, comma, is_declared, (most, unit)).unwrap_or_else(|(found, allowed)| {
                flaws.add(*line, &(k + 1).to_string(), found, allowed);
                Cell::Missing
            })
        };
        cells.push(row.iter().enumerate().map(read).collect());
    }
    cells
}

fn cell(text: &str, comma: Comma, is_declared: bool, (most, unit): (f64, &str)) -> Result<Cell, (String, String)> {
    if matches!(text, "" | "-" | "?" | "–" | "—") || (text.starts_with(BLANK) && text.bytes().all(|b| b == b'_')) {
        return Ok(Cell::Missing);
    }
    if comma == Comma::Unclear && text.contains(',') {
        // that has been told, once for all of them
        return Ok(Cell::Missing);
    }
    let (digits, is_doubtful) = match text.strip_suffix('?') {
        Some(digits) => (digits, true),
        None => (text, false),
    };
    let allowed = || format!("0 to {most} {unit}, - for a reading that is missing, ? behind one that is smudged");
    let read = match (comma, is_declared) {
        // said to be a decimal comma, it cannot be taken for one between thousands
        (Comma::Decimal, true) if !digits.contains('.') => number(&digits.replace(',', "."), Decimals::Point),
        (Comma::Decimal, _) => number(digits, Decimals::Comma),
        _ => number(digits, Decimals::Point),
    };
    let found = read.map_err(|found| {
        let hint =
            if comma == Comma::Decimal && !is_declared { "; or say decimals: comma, or decimals: point" } else { "" };
        (found, format!("{}{hint}", allowed()))
    })?;
    if !(found.value >= 0.0 && found.value <= most) {
        return Err((format!("{} {unit}", quoted(text)), allowed()));
    }
    // no −0, which would be another card when it is read again
    let value = found.value.abs();
    Ok(if is_doubtful || found.is_about { Cell::Doubtful(value) } else { Cell::Read(value) })
}
