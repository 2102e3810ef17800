//! Forecasts and what came of them: one row each.
//!
//! Belongs here: the table as written, and whatever makes a row impossible. Does not belong here: how good the forecasts were
//! (`learn`).

use std::collections::BTreeMap;
use std::io::BufRead;

use crate::flaw::{Flaws, quoted};
use crate::{Column, Day, Number, Row, Table};

/// Columns in the order of [`Cell`].
const COLUMNS: &[Column] = &[
    Column { name: "what", is_needed: true },
    Column { name: "unit", is_needed: true },
    Column { name: "p10", is_needed: true },
    Column { name: "p50", is_needed: true },
    Column { name: "p90", is_needed: true },
    Column { name: "p5", is_needed: false },
    Column { name: "p95", is_needed: false },
    Column { name: "happened", is_needed: true },
    Column { name: "made", is_needed: false },
    Column { name: "came", is_needed: false },
    Column { name: "note", is_needed: false },
];
/// Largest number, so that differences and squares stay finite.
const LIMITS: (f64, f64) = (-1e15, 1e15);
/// Most rows that are read.
const MOST: usize = 10_000;

/// Positions among [`COLUMNS`].
#[derive(Clone, Copy)]
enum Cell {
    What,
    Unit,
    P10,
    P50,
    P90,
    P5,
    P95,
    Happened,
    Made,
    Came,
    Note,
}

/// A forecast as a span, and what happened, if it has come.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// Line of the file, 1 first.
    pub line: u64,
    /// What was foretold.
    pub what: String,
    /// Its unit, the same for all numbers of the row.
    pub unit: String,
    /// One in ten falls below.
    pub p10: f64,
    /// Half falls below, if that was said.
    pub p50: Option<f64>,
    /// Nine in ten fall below.
    pub p90: f64,
    /// 5 % and 95 % points, if both were said.
    pub wide: Option<(f64, f64)>,
    /// What happened; none while the forecast is open.
    pub happened: Option<Number>,
    /// Day on which it was made, as written; empty when not said.
    pub made: String,
    /// Day on which what happened was known, as written; empty when not said.
    pub came: String,
    /// Anything else.
    pub note: String,
}

/// Reads forecasts: one row each, with the columns what, unit, p10, p50, p90 and happened, and p5, p95, made, came and note
/// where there is more to say. A row without `happened` is still open; `p50` may be blank where no median was given.
///
/// ```
/// let text = "what,unit,p10,p50,p90,happened\nfailures in year 1,1,2,4,7,9\nlamps in year 2,1,3,,12,\n";
/// let forecasts = records::forecasts(text.as_bytes()).unwrap();
/// assert_eq!((forecasts[0].p90, forecasts[1].p50, forecasts[1].happened), (7.0, None, None));
/// ```
///
/// # Errors
/// Every flaw with its line and column: points that are not in order, missing units, days that run backwards, rows that say the
/// same twice.
pub fn forecasts(text: impl BufRead) -> Result<Vec<Forecast>, Flaws> {
    let mut table = Table::open(text, COLUMNS)?;
    let mut found = vec![];
    let mut known: BTreeMap<[String; 3], u64> = BTreeMap::new();
    let mut count = 0usize;
    while let Some(mut row) = table.next_row() {
        count += 1;
        if count > MOST {
            row.flaw(Cell::What as usize, format!("more than {MOST} rows"), format!("at most {MOST} forecasts"));
            break;
        }
        let Some(forecast) = forecast(&mut row) else { continue };
        let same = [&forecast.what, &forecast.unit, &forecast.made].map(Clone::clone);
        if let Some(line) = known.get(&same) {
            let found = format!("{} in that unit and of that day, as in line {line}", quoted(&forecast.what));
            row.flaw(Cell::What as usize, found, "each forecast once; a later one has another day in made");
        } else {
            known.insert(same, forecast.line);
        }
        found.push(forecast);
    }
    let mut flaws = table.flaws();
    if count == 0 && flaws.is_empty() {
        flaws.add(0, "", "no forecasts", "a row for each forecast below the names of the columns");
    }
    flaws.or(found)
}

fn forecast(row: &mut Row<'_>) -> Option<Forecast> {
    let text = |row: &Row<'_>, cell: Cell| row.text(cell as usize).to_owned();
    let (what, unit) = (text(row, Cell::What), text(row, Cell::Unit));
    if what.is_empty() {
        row.flaw(Cell::What as usize, "nothing", "what was foretold, in words");
    }
    if unit.is_empty() {
        row.flaw(Cell::Unit as usize, "nothing", "a unit, such as USD or h; 1 for counts");
    }
    let mut number = |cell: Cell| row.number(cell as usize, LIMITS, &unit);
    let [p10, p50, p90, p5, p95, happened] =
        [Cell::P10, Cell::P50, Cell::P90, Cell::P5, Cell::P95, Cell::Happened].map(&mut number);
    for (cell, found) in [(Cell::P10, p10), (Cell::P90, p90)] {
        if found.is_none() && row.text(cell as usize).is_empty() {
            row.flaw(cell as usize, "nothing", "both ends of the span, p10 and p90");
        }
    }
    if text(row, Cell::P5).is_empty() != text(row, Cell::P95).is_empty() {
        row.flaw(Cell::P5 as usize, "one of p5 and p95", "both or neither");
    }
    // neighbours among the points that were said must be in order
    let points = [(Cell::P5, p5), (Cell::P10, p10), (Cell::P50, p50), (Cell::P90, p90), (Cell::P95, p95)];
    let said: Vec<(Cell, f64)> = points.iter().filter_map(|(cell, number)| Some((*cell, (*number)?.value))).collect();
    for pair in said.windows(2) {
        let ((low, below), (high, above)) = (pair[0], pair[1]);
        if !(below <= above) {
            let (low, high) = (COLUMNS[low as usize].name, COLUMNS[high as usize].name);
            row.flaw(pair[0].0 as usize, format!("{low} {below} above {high} {above}"), "points in rising order");
        }
    }
    let (made, came) = (text(row, Cell::Made), text(row, Cell::Came));
    let [first, last] = [(Cell::Made, &made), (Cell::Came, &came)].map(|(cell, written)| day(row, cell, written));
    if let (Some(first), Some(last)) = (first, last)
        && first.days_until(last).1 < 0
    {
        row.flaw(Cell::Came as usize, format!("{came}, before {made} on which it was made"), "that day or a later one");
    }
    if !came.is_empty() && text(row, Cell::Happened).is_empty() {
        row.flaw(Cell::Came as usize, "a day, but not what happened", "both; or neither while it is open");
    }
    let wide = p5.zip(p95).map(|(low, high)| (low.value, high.value));
    let note = text(row, Cell::Note);
    Some(Forecast {
        line: row.line,
        what,
        unit,
        p10: p10?.value,
        p50: p50.map(|number| number.value),
        p90: p90?.value,
        wide,
        happened,
        made,
        came,
        note,
    })
}

fn day(row: &mut Row<'_>, cell: Cell, written: &str) -> Option<Day> {
    if written.is_empty() {
        return None;
    }
    Day::parse(written)
        .map_err(|found| row.flaw(cell as usize, found, "YYYY-MM-DD or YYYY-MM, ~ before it for about"))
        .ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    const HEAD: &str = "what,unit,p10,p50,p90,p5,p95,happened,made,came,note\n";

    fn flaws(rows: &str) -> String {
        forecasts(format!("{HEAD}{rows}").as_bytes()).unwrap_err().to_string()
    }

    #[test]
    fn rows_are_read_open_or_not() {
        let rows = "cost,USD/mol,1.9,2,2.1,1.8,2.2,~2.05,2031-03,2032-03-05,checked\nlamps,1,3,,12,,,,,,\n";
        let found = forecasts(format!("{HEAD}{rows}").as_bytes()).unwrap();
        assert_eq!(found[0].happened, Some(Number { value: 2.05, is_about: true }));
        assert_eq!((found[0].wide, found[0].line, found[0].came.as_str()), (Some((1.8, 2.2)), 2, "2032-03-05"));
        assert_eq!((found[1].happened, found[1].p50, found[1].wide), (None, None, None));
    }

    #[test]
    fn every_flaw_is_told_with_its_place() {
        assert_eq!(
            flaws(
                "a,h,3,2,1,,,,,,\n,,1,2,3,,,5,,,\nb,h,1,2,3,1,,,,,\nc,h,nan,2,3,,,,,,\nd,h,1,2,,,,,,,\n\
                 e,h,1,2,3,,,4,2032-05-01,2031-05-01,\nf,h,1,2,3,,,,,2031-05-01,\ng,h,1,2,3,,,4,5.3.31,,\n\
                 h,h,1,2,3,,,4,2031,,\na,h,1,2,3,,,4,,,"
            ),
            "line 2, column \"p10\": p10 3 above p50 2; allowed: points in rising order\n\
             line 2, column \"p50\": p50 2 above p90 1; allowed: points in rising order\n\
             line 3, column \"what\": nothing; allowed: what was foretold, in words\n\
             line 3, column \"unit\": nothing; allowed: a unit, such as USD or h; 1 for counts\n\
             line 4, column \"p5\": one of p5 and p95; allowed: both or neither\n\
             line 5, column \"p10\": \"nan\", which is no number with a decimal point; allowed: -1000000000000000 to \
             1000000000000000 h\n\
             line 6, column \"p90\": nothing; allowed: both ends of the span, p10 and p90\n\
             line 7, column \"came\": 2031-05-01, before 2032-05-01 on which it was made; allowed: that day or a later one\n\
             line 8, column \"came\": a day, but not what happened; allowed: both; or neither while it is open\n\
             line 9, column \"made\": \"5.3.31\", which is no day; allowed: YYYY-MM-DD or YYYY-MM, ~ before it for about\n\
             line 10, column \"made\": \"2031\", which is no day; allowed: YYYY-MM-DD or YYYY-MM, ~ before it for about\n\
             line 11, column \"what\": \"a\" in that unit and of that day, as in line 2; allowed: each forecast once; a later \
             one has another day in made"
        );
        assert!(flaws("").contains("no forecasts"));
        assert!(flaws(&"x,h,1,2,3,,,,,,\n".repeat(MOST + 2)).ends_with("more"));
        assert!(flaws("a,h,1,1e16,3,,,,,,").contains("p50"));
    }
}
