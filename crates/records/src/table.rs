//! Tables with named columns, read row by row.

use std::io::{BufRead, Read};

use csv::{ByteRecord, ReaderBuilder, StringRecord};

use crate::flaw::{Flaws, quoted};
use crate::lines::{END, Lines};
use crate::number::{Decimals, Number, number, number_where, two_ways};

/// Longest line that is looked at to tell what separates the cells, in bytes.
const LONGEST_HEAD: usize = 8_192;
/// Longest cell, in bytes.
const LONGEST_CELL: usize = 2_000;
/// Most cells in a row.
const WIDEST: usize = 200;

/// A column that a table may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// Its name, with the unit in it.
    pub name: &'static str,
    /// Whether a table without it makes no sense.
    pub is_needed: bool,
}

/// A table being read: the first line names the columns, in any order; `,`, `;` or a tab separates the cells, and with
/// the latter two decimals may have a comma.
pub struct Table<R: Read> {
    reader: csv::Reader<R>,
    columns: &'static [Column],
    /// Where each column stands in the file.
    places: Vec<Option<usize>>,
    /// Cells of the first line.
    width: usize,
    decimals: Option<Decimals>,
    bytes: ByteRecord,
    record: StringRecord,
    flaws: Flaws,
}

/// A row of a table.
pub struct Row<'a> {
    /// Line of the file on which it begins, 1 first.
    pub line: u64,
    columns: &'static [Column],
    places: &'a [Option<usize>],
    decimals: &'a mut Option<Decimals>,
    record: &'a StringRecord,
    flaws: &'a mut Flaws,
}

impl<R: BufRead> Table<Lines<R>> {
    /// Begins a table with these columns.
    ///
    /// # Errors
    /// Columns that are missing, unknown or named twice, and text that is not UTF-8.
    pub fn open(mut text: R, columns: &'static [Column]) -> Result<Self, Flaws> {
        let mut flaws = Flaws::default();
        let mut head = vec![];
        let mut first;
        // what is said aside, and blank lines, come before the names of columns
        loop {
            first = head.len();
            let left = LONGEST_HEAD.saturating_sub(first) as u64;
            if let Err(error) = text.by_ref().take(left).read_until(b'\n', &mut head) {
                flaws.add(0, "", format!("text that cannot be read: {error}"), "a readable file");
                return Err(flaws);
            }
            if head.starts_with(&[0xEF, 0xBB, 0xBF]) {
                head.drain(..3);
            }
            let line = head[first.min(head.len())..].trim_ascii();
            if head.len() == first || !(line.is_empty() || line.starts_with(b"#")) {
                break;
            }
        }
        let named = head.get(first..).unwrap_or_default();
        let count = |sign: u8| named.iter().filter(|&&byte| byte == sign).count();
        let signs = [b';', b'\t', b','];
        let separator = signs.into_iter().max_by_key(|&sign| (count(sign), sign == b',')).unwrap_or(b',');
        // with a comma between cells none is left for decimals
        let decimals = (separator == b',').then_some(Decimals::Point);
        let reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(separator)
            .comment(Some(b'#'))
            .from_reader(Lines::new(head, text));
        let (bytes, record, places) = (ByteRecord::new(), StringRecord::new(), vec![]);
        let mut table = Self { reader, columns, places, width: usize::MAX, decimals, bytes, record, flaws };
        let line = match table.next_record() {
            Next::Row(line) => line,
            Next::End => {
                let allowed = format!("a first line that names columns: {}", names(columns));
                table.flaws.add(0, "", "nothing", allowed);
                0
            }
            Next::Unreadable { line, found, allowed, .. } => {
                table.flaws.add(line, "", found, allowed);
                line
            }
        };
        if table.flaws.is_empty() {
            table.places = places_of(&table.record, line, columns, &mut table.flaws);
            table.width = table.record.len();
        }
        std::mem::take(&mut table.flaws).or(table)
    }
}

/// The names of columns, those that are needed first.
fn names(columns: &[Column]) -> String {
    let of = |needed| columns.iter().filter(move |column| column.is_needed == needed).map(|column| column.name);
    of(true).chain(of(false)).collect::<Vec<_>>().join(", ")
}

/// What comes next in a table.
enum Next {
    /// A row that begins on this line.
    Row(u64),
    /// Nothing.
    End,
    /// What is no row of a table.
    Unreadable { line: u64, found: String, allowed: &'static str, is_over: bool },
}

fn places_of(head: &StringRecord, line: u64, columns: &[Column], flaws: &mut Flaws) -> Vec<Option<usize>> {
    let mut places = vec![None; columns.len()];
    for (k, name) in head.iter().take(WIDEST).enumerate() {
        let folded = name.to_lowercase();
        match columns.iter().position(|column| column.name == folded) {
            Some(column) if places[column].is_some() => flaws.add(line, name, "a second column of this name", "one"),
            Some(column) => places[column] = Some(k),
            // a blank name over blank cells is what spreadsheets leave at the end of a line
            None if folded.is_empty() => {}
            None => {
                let near = columns
                    .iter()
                    .map(|column| {
                        (
                            strsim::damerau_levenshtein(column.name, &folded.chars().take(40).collect::<String>()),
                            column.name,
                        )
                    })
                    .min()
                    .filter(|(distance, near)| *distance <= 1 + near.len() / 3);
                let hint = near.map_or_else(String::new, |(_, near)| format!(" (did you mean {near}?)"));
                flaws.add(line, "", format!("a column {}{hint}", quoted(name)), names(columns));
            }
        }
    }
    for (column, place) in columns.iter().zip(&places) {
        if column.is_needed && place.is_none() {
            flaws.add(line, column.name, "no such column", names(columns));
        }
    }
    places
}

impl<R: Read> Table<R> {
    /// Reads the next record into `record`.
    fn next_record(&mut self) -> Next {
        match self.reader.read_byte_record(&mut self.bytes) {
            Ok(false) => return Next::End,
            Ok(true) => {}
            Err(error) => {
                let found = format!("text that cannot be read: {error}");
                let line = self.reader.position().line();
                return Next::Unreadable { line, found, allowed: "a readable file", is_over: true };
            }
        }
        // the reader stands behind the record, whose cells may hold line breaks
        let breaks = self.bytes.as_slice().iter().filter(|&&byte| byte == b'\n').count() as u64;
        if self.bytes.iter().next_back().is_some_and(|cell| cell.ends_with(END.as_bytes())) {
            let line = self.reader.position().line().saturating_sub(breaks);
            let found = "a quote that is never closed, so that all that follows is one cell".to_owned();
            return Next::Unreadable { line, found, allowed: "a \" at both ends of a cell", is_over: true };
        }
        let line = self.reader.position().line().saturating_sub(1 + breaks);
        match StringRecord::from_byte_record(std::mem::take(&mut self.bytes)) {
            Ok(record) => {
                self.bytes = std::mem::replace(&mut self.record, record).into_byte_record();
                self.record.trim();
                Next::Row(line)
            }
            Err(_) => {
                let found = "text that is not UTF-8".to_owned();
                Next::Unreadable { line, found, allowed: "UTF-8 text", is_over: false }
            }
        }
    }

    /// The next row that is not blank; none at the end. A row that cannot be read is noted, and passed over.
    pub fn next_row(&mut self) -> Option<Row<'_>> {
        loop {
            let line = match self.next_record() {
                Next::Row(line) => line,
                Next::End => return None,
                Next::Unreadable { line, found, allowed, is_over } => {
                    self.flaws.add(line, "", found, allowed);
                    if is_over {
                        return None;
                    }
                    continue;
                }
            };
            if self.record.iter().all(str::is_empty) {
                continue;
            }
            if self.record.len() > WIDEST || self.record.iter().any(|cell| cell.len() > LONGEST_CELL) {
                let allowed = format!("at most {WIDEST} cells of {LONGEST_CELL} bytes");
                self.flaws.add(line, "", "a row that is too long", allowed);
                continue;
            }
            if self.record.iter().skip(self.width).any(|cell| !cell.is_empty()) {
                let found = format!("{} cells", self.record.len());
                let allowed =
                    format!("{} as in the first line; decimals with a comma need ; between cells", self.width);
                self.flaws.add(line, "", found, allowed);
                continue;
            }
            return Some(Row {
                line,
                columns: self.columns,
                places: &self.places,
                decimals: &mut self.decimals,
                record: &self.record,
                flaws: &mut self.flaws,
            });
        }
    }

    /// What was wrong, once all rows are read.
    pub fn flaws(self) -> Flaws {
        self.flaws
    }
}

impl Row<'_> {
    /// The cell of a column by its position among the table's columns; empty where the file has none.
    pub fn text(&self, column: usize) -> &str {
        self.places[column].and_then(|place| self.record.get(place)).unwrap_or("")
    }

    /// How many flaws the table has so far, those of this row among them.
    pub fn flaws(&self) -> u64 {
        self.flaws.count()
    }

    /// Notes a flaw in a column of this row.
    pub fn flaw(&mut self, column: usize, found: impl Into<String>, allowed: impl Into<String>) {
        self.flaws.add(self.line, self.columns[column].name, found, allowed);
    }

    /// The number in a column, none where it is blank. A number that is none, or lies outside the limits, is noted.
    ///
    /// Where the file leaves it open whether decimals have a point or a comma, the first number that can have but one of them
    /// decides; until then one that may have either is a flaw (`8.500` may be eight and a half, or eight thousand five hundred).
    pub fn number(&mut self, column: usize, limits: (f64, f64), unit: &str) -> Option<Number> {
        let cell = self.text(column).to_owned();
        if cell.is_empty() {
            return None;
        }
        let allowed = format!("{} to {} {unit}", limits.0, limits.1);
        let read = match *self.decimals {
            Some(Decimals::Comma) => number_where(&cell, Decimals::Comma),
            Some(Decimals::Point) => number(&cell, Decimals::Point),
            None => {
                let decimals = if cell.contains(',') { Decimals::Comma } else { Decimals::Point };
                let read = match two_ways(&cell, '.') {
                    Some(told) => Err(told),
                    None => number(&cell, decimals),
                };
                if read.is_ok() && cell.contains([',', '.']) {
                    *self.decimals = Some(decimals);
                }
                read
            }
        };
        match read {
            Ok(found) if found.value >= limits.0 && found.value <= limits.1 => Some(found),
            Ok(found) => {
                self.flaw(column, format!("{} {unit}", found.value), allowed);
                None
            }
            Err(found) => {
                self.flaw(column, found, allowed);
                None
            }
        }
    }
}

#[cfg(test)]
mod tests;
