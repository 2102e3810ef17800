//! Text as lines that end in one line feed each, whatever ended them, with a mark behind the last.
//!
//! Belongs here: ends of lines. Does not belong here: cells.

use std::io::{Cursor, Read};

/// What stands behind the last line: a comment to whoever reads a table, and within a cell only where a quote was never closed.
pub(crate) const END: &str = "\n#\u{0}end of the table\n";

/// Text whose lines end in `\n` alone, then `END`.
pub struct Lines<R> {
    text: std::io::Chain<Cursor<Vec<u8>>, R>,
    end: Cursor<&'static str>,
    /// Whether the last byte was a carriage return, so that a line feed is part of it.
    is_behind_return: bool,
}

impl<R: Read> Lines<R> {
    /// The head, then the rest.
    pub(crate) fn new(head: Vec<u8>, rest: R) -> Self {
        Self { text: Cursor::new(head).chain(rest), end: Cursor::new(END), is_behind_return: false }
    }
}

impl<R: Read> Read for Lines<R> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        loop {
            let found = self.text.read(buffer)?;
            if found == 0 {
                return self.end.read(buffer);
            }
            let mut kept = 0;
            for k in 0..found {
                let byte = buffer[k];
                let is_behind_return = std::mem::replace(&mut self.is_behind_return, byte == b'\r');
                if byte == b'\n' && is_behind_return {
                    continue;
                }
                buffer[kept] = if byte == b'\r' { b'\n' } else { byte };
                kept += 1;
            }
            // a line feed alone may have been all there was
            if kept > 0 {
                return Ok(kept);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_ends_in_one_line_feed() {
        for size in [1, 2, 3, 100] {
            let mut found = vec![];
            let mut lines = Lines::new(b"a\r\nb\r".to_vec(), &b"\nc\rd\n\r\n\n"[..]);
            let mut buffer = vec![0; size];
            loop {
                match lines.read(&mut buffer).unwrap() {
                    0 => break,
                    count => found.extend_from_slice(&buffer[..count]),
                }
            }
            assert_eq!(String::from_utf8(found).unwrap(), format!("a\nb\nc\nd\n\n\n{END}"), "{size}");
        }
    }
}
