//! How one cell is written.
//!
//! Belongs here: digits, quoting, harmless text. Does not belong here: what a table contains.

use crate::words;
use csv::WriterBuilder;

/// Rows of one table.
pub(crate) struct Rows {
    writer: csv::Writer<Vec<u8>>,
    row: Vec<String>,
}

impl Rows {
    pub(crate) fn new(header: &[String]) -> Self {
        // a row of another length is a mistake that tests catch; it must not lose the other rows
        let writer = WriterBuilder::new().flexible(true).terminator(csv::Terminator::CRLF).from_writer(Vec::new());
        let mut rows = Self { writer, row: header.to_vec() };
        rows.end();
        rows
    }

    pub(crate) fn text(&mut self, text: &str) {
        self.row.push(harmless(text));
    }

    pub(crate) fn number(&mut self, number: f64) {
        self.row.push(full(number));
    }

    /// A number; what is none leaves its cell empty.
    pub(crate) fn finite(&mut self, number: Option<f64>) {
        match number.filter(|number| number.is_finite()) {
            Some(number) => self.number(number),
            None => self.absent(),
        }
    }

    pub(crate) fn absent(&mut self) {
        self.row.push(String::new());
    }

    pub(crate) fn end(&mut self) {
        self.writer.write_record(&self.row).expect("writing to memory does not fail");
        self.row.clear();
    }

    pub(crate) fn finish(self) -> String {
        let bytes = self.writer.into_inner().expect("writing to memory does not fail");
        String::from_utf8(bytes).expect("only text was written")
    }
}

/// The shortest digits that read back as the same number; powers of ten where the zeros would run to hundreds.
pub(super) fn full(number: f64) -> String {
    if number == 0.0 || (1e-7..1e17).contains(&number.abs()) { format!("{number}") } else { format!("{number:e}") }
}

/// Text that no spreadsheet takes for a formula. Full-width signs count too: some spreadsheets read them as the narrow
/// ones.
pub(super) fn harmless(text: &str) -> String {
    let text: String = text.chars().filter(|c| !is_hidden(*c)).collect();
    let sign = |c: char| {
        matches!(c, '=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '\u{ff1d}' | '\u{ff0b}' | '\u{ff0d}' | '\u{ff20}')
    };
    if text.trim_start_matches(' ').starts_with(sign) { format!("'{text}") } else { text }
}

/// Control and direction characters have no place in a table; breaks and tabs are kept because CSV can hold them.
fn is_hidden(c: char) -> bool {
    !matches!(c, '\t' | '\n' | '\r' | ' ') && (c.is_control() || words::is_direction(c))
}

/// One cell as it stands in a file, quoted if it must be.
pub(super) fn quoted(text: &str) -> String {
    let mut rows = WriterBuilder::new().terminator(csv::Terminator::Any(b'\n')).from_writer(Vec::new());
    // the second cell keeps the writer from quoting an empty lone cell
    rows.write_record([text, ""]).expect("writing to memory does not fail");
    let bytes = rows.into_inner().expect("writing to memory does not fail");
    let line = String::from_utf8(bytes).expect("only text was written");
    line.trim_end_matches('\n').trim_end_matches(',').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_become_text() {
        for (text, cell) in [
            ("=1+1", "'=1+1"),
            ("+1", "'+1"),
            ("-a", "'-a"),
            ("@x", "'@x"),
            ("\tx", "'\tx"),
            ("\rx", "'\rx"),
            ("  =1", "'  =1"),
            ("\u{ff1d}1", "'\u{ff1d}1"),
            ("\u{202e}=1", "'=1"),
            ("a=1", "a=1"),
            ("", ""),
        ] {
            assert_eq!(harmless(text), cell);
        }
    }

    #[test]
    fn digits_read_back() {
        for number in [0.1 + 0.2, 1e300, -4.9e-324, 1.0 / 3.0, 123_456_789.125, 0.0] {
            assert_eq!(full(number).parse::<f64>().unwrap(), number);
            assert!(full(number).len() < 30);
        }
        assert_eq!(full(f64::NAN), "NaN");
    }

    #[test]
    fn cells_are_quoted_only_where_they_must_be() {
        assert_eq!(quoted("plain"), "plain");
        assert_eq!(quoted("a,b"), "\"a,b\"");
        assert_eq!(quoted("a,"), "\"a,\"");
        assert_eq!(quoted("say \"x\""), "\"say \"\"x\"\"\"");
        assert_eq!(quoted("line\nbreak"), "\"line\nbreak\"");
        assert_eq!(quoted(""), "");
    }
}
