//! Tables with named columns, read row by row.

use std::io::{BufRead, Read};

use csv::{ReaderBuilder, StringRecord};

use crate::flaw::{Flaws, quoted};
use crate::number::{Decimals, Number, number};

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

impl<R: BufRead> Table<std::io::Chain<std::io::Cursor<Vec<u8>>, R>> {
    /// Begins a table with these columns.
    ///
    /// # Errors
    /// Columns that are missing, unknown or named twice, and text that is not UTF-8.
    pub fn open(mut text: R, columns: &'static [Column]) -> Result<Self, Flaws> {
        let mut flaws = Flaws::default();
        let mut head = vec![];
        let read = text.by_ref().take(LONGEST_HEAD as u64).read_until(b'\n', &mut head);
        if let Err(error) = read {
            flaws.add(0, "", format!("text that cannot be read: {error}"), "a readable file");
            return Err(flaws);
        }
        if head.starts_with(&[0xEF, 0xBB, 0xBF]) {
            head.drain(..3);
        }
        let count = |sign: u8| head.iter().filter(|&&byte| byte == sign).count();
        let signs = [b';', b'\t', b','];
        let separator = signs.into_iter().max_by_key(|&sign| (count(sign), sign == b',')).unwrap_or(b',');
        // with a comma between cells none is left for decimals
        let decimals = (separator == b',').then_some(Decimals::Point);
        let mut reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(separator)
            .trim(csv::Trim::All)
            .comment(Some(b'#'))
            .from_reader(std::io::Cursor::new(head).chain(text));
        let mut record = StringRecord::new();
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => flaws.add(0, "", "nothing", format!("a first line that names columns: {}", names(columns))),
            Err(error) => flaws.add(1, "", told(&error), "UTF-8 text"),
        }
        let places = if flaws.is_empty() { places(&record, columns, &mut flaws) } else { vec![] };
        let width = record.len();
        flaws.or(()).map(|()| Self { reader, columns, places, width, decimals, record, flaws: Flaws::default() })
    }
}

/// The names of columns, those that are needed first.
fn names(columns: &[Column]) -> String {
    let of = |needed| columns.iter().filter(move |column| column.is_needed == needed).map(|column| column.name);
    of(true).chain(of(false)).collect::<Vec<_>>().join(", ")
}

/// A message about text that is no table.
fn told(error: &csv::Error) -> String {
    match error.kind() {
        csv::ErrorKind::Utf8 { .. } => "text that is not UTF-8".into(),
        csv::ErrorKind::Io(error) => format!("text that cannot be read: {error}"),
        _ => "a row that cannot be read".into(),
    }
}

fn places(head: &StringRecord, columns: &[Column], flaws: &mut Flaws) -> Vec<Option<usize>> {
    let mut places = vec![None; columns.len()];
    for (k, name) in head.iter().take(WIDEST).enumerate() {
        let folded = name.to_lowercase();
        match columns.iter().position(|column| column.name == folded) {
            Some(column) if places[column].is_some() => flaws.add(1, name, "a second column of this name", "one"),
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
                flaws.add(1, "", format!("a column {}{hint}", quoted(name)), names(columns));
            }
        }
    }
    for (column, place) in columns.iter().zip(&places) {
        if column.is_needed && place.is_none() {
            flaws.add(1, column.name, "no such column", names(columns));
        }
    }
    places
}

impl<R: Read> Table<R> {
    /// The next row that is not blank; none at the end. A row that cannot be read is noted, and passed over.
    pub fn next_row(&mut self) -> Option<Row<'_>> {
        loop {
            let line = self.reader.position().line();
            match self.reader.read_record(&mut self.record) {
                Ok(false) => return None,
                Ok(true) => {}
                Err(error) => {
                    let is_over = matches!(error.kind(), csv::ErrorKind::Io(_));
                    self.flaws.add(line, "", told(&error), "UTF-8 text");
                    if is_over {
                        return None;
                    }
                    continue;
                }
            }
            let line = self.record.position().map_or(line, csv::Position::line);
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
    /// Where the file leaves it open whether decimals have a point or a comma, the first number that has either decides.
    pub fn number(&mut self, column: usize, limits: (f64, f64), unit: &str) -> Option<Number> {
        let cell = self.text(column).to_owned();
        if cell.is_empty() {
            return None;
        }
        let allowed = format!("{} to {} {unit}", limits.0, limits.1);
        let decimals = match *self.decimals {
            Some(decimals) => decimals,
            None => {
                let decimals = if cell.contains(',') { Decimals::Comma } else { Decimals::Point };
                if cell.contains([',', '.']) && number(&cell, decimals).is_ok() {
                    *self.decimals = Some(decimals);
                }
                decimals
            }
        };
        match number(&cell, decimals) {
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
mod tests {
    use super::*;

    const COLUMNS: &[Column] = &[
        Column { name: "socket", is_needed: true },
        Column { name: "burn_h", is_needed: true },
        Column { name: "note", is_needed: false },
    ];

    /// What a text comes to: sockets with their hours, and flaws.
    fn read(text: &str) -> (Vec<(String, Option<f64>)>, String) {
        match Table::open(text.as_bytes(), COLUMNS) {
            Err(flaws) => (vec![], flaws.to_string()),
            Ok(mut table) => {
                let mut rows = vec![];
                while let Some(mut row) = table.next_row() {
                    rows.push((row.text(0).to_owned(), row.number(1, (0.0, 1e6), "h").map(|number| number.value)));
                }
                (rows, table.flaws().to_string())
            }
        }
    }

    #[test]
    fn rows_are_read_whatever_separates_the_cells() {
        let expected = vec![("a".to_owned(), Some(9.5)), ("b".to_owned(), None)];
        for text in [
            "socket,burn_h\na,9.5\nb,\n",
            "\u{feff}Socket;burn_h;\r\na;9,5;\r\n\r\nb;;\r\n",
            "burn_h\tnote\tsocket\n9.5\t\"x, y\"\ta\n# said aside\n\t\tb",
        ] {
            assert_eq!(read(text), (expected.clone(), String::new()), "{text}");
        }
    }

    #[test]
    fn every_flaw_is_told_with_its_place() {
        let (rows, flaws) = read("socket,burn_h\na,nine\nb,1e9\nc,3,5\n");
        assert_eq!(rows.len(), 2);
        assert_eq!(
            flaws,
            "line 2, column \"burn_h\": \"nine\", which is no number with a decimal point; allowed: 0 to 1000000 h\n\
             line 3, column \"burn_h\": 1000000000 h; allowed: 0 to 1000000 h\n\
             line 4: 3 cells; allowed: 2 as in the first line; decimals with a comma need ; between cells"
        );
        let (_, flaws) = read("soket,burn_h,burn_h\n");
        assert_eq!(
            flaws,
            "line 1: a column \"soket\" (did you mean socket?); allowed: socket, burn_h, note\n\
             line 1, column \"burn_h\": a second column of this name; allowed: one\n\
             line 1, column \"socket\": no such column; allowed: socket, burn_h, note"
        );
        assert!(read("").1.contains("a first line that names columns"));
        assert!(read("\u{0}\u{0}").1.contains("no such column"));
    }

    #[test]
    fn decimals_do_not_change_within_a_table() {
        let (rows, flaws) = read("socket;burn_h\na;1,5\nb;2.5\n");
        assert_eq!(rows[0].1, Some(1.5));
        assert_eq!(
            flaws,
            "line 3, column \"burn_h\": \"2.5\", which is no number with a decimal comma; allowed: 0 to 1000000 h"
        );
    }

    #[test]
    fn long_tables_and_long_cells_do_no_harm() {
        let mut text = String::from("socket,burn_h\n");
        (0..1000).for_each(|_| text.push_str("a,x\n"));
        assert!(read(&text).1.ends_with("and 950 more"));
        assert!(read(&format!("socket,burn_h\n{},1\n", "x".repeat(5000))).1.contains("too long"));
        assert!(read(&format!("socket,burn_h\n{}\n", "a,".repeat(500))).1.contains("too long"));
        let not_text = Table::open(&b"socket,burn_h\n\xff,1\na,2\n"[..], COLUMNS);
        let mut table = not_text.ok().unwrap();
        assert_eq!(table.next_row().unwrap().text(0), "a");
        assert_eq!(table.flaws().to_string(), "line 2: text that is not UTF-8; allowed: UTF-8 text");
    }
}
