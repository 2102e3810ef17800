//! Lines and columns of a text, found fast even when the text is a single endless line.
//!
//! Belongs here: counting. Does not belong here: what stands at a place.

use std::ops::Range;

/// How many bytes lie between two remembered counts of characters.
const STRIDE: usize = 4096;

/// Where the lines of a text start, and how many characters come before some of its bytes.
#[derive(Debug)]
pub(crate) struct Lines {
    starts: Vec<usize>,
    characters: Vec<usize>,
}

impl Lines {
    /// Counts through a text once.
    pub(crate) fn of(text: &str) -> Self {
        let bytes = text.as_bytes();
        let mut starts = vec![0];
        starts.extend(bytes.iter().enumerate().filter(|(_, byte)| **byte == b'\n').map(|(index, _)| index + 1));
        let mut characters = vec![0];
        let mut count = 0;
        for chunk in bytes.chunks(STRIDE) {
            count += begun(chunk);
            characters.push(count);
        }
        Self { starts, characters }
    }

    /// The line (from 1) and the column (in characters, from 1) of a byte.
    pub(crate) fn line_and_column(&self, text: &str, byte: usize) -> (usize, usize) {
        let byte = byte.min(text.len());
        let line = self.line_of(byte);
        let start = self.starts[line - 1];
        (line, self.before(text, byte) - self.before(text, start) + 1)
    }

    /// The line (from 1) of a byte.
    pub(crate) fn line_of(&self, byte: usize) -> usize {
        self.starts.partition_point(|start| *start <= byte)
    }

    /// The bytes of the line (from 1) without its end.
    pub(crate) fn line(&self, text: &str, line: usize) -> Range<usize> {
        let start = self.starts.get(line.saturating_sub(1)).copied().unwrap_or(text.len());
        let end = self.starts.get(line).map_or(text.len(), |next| next - 1);
        let end = if text[start..end].ends_with('\r') { end - 1 } else { end };
        start..end
    }

    fn before(&self, text: &str, byte: usize) -> usize {
        let block = byte / STRIDE;
        self.characters[block] + begun(&text.as_bytes()[block * STRIDE..byte])
    }
}

/// How many characters begin in these bytes of UTF-8.
fn begun(bytes: &[u8]) -> usize {
    bytes.iter().filter(|byte| **byte & 0xC0 != 0x80).count()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters() {
        let text = "a\r\nµmol x\n";
        let lines = Lines::of(text);
        assert_eq!(lines.line_and_column(text, 0), (1, 1));
        assert_eq!(lines.line_and_column(text, text.find('x').unwrap()), (2, 6));
        assert_eq!(lines.line_and_column(text, text.len()), (3, 1));
        assert_eq!(&text[lines.line(text, 1)], "a");
        assert_eq!(&text[lines.line(text, 2)], "µmol x");
        assert_eq!(&text[lines.line(text, 3)], "");
    }

    #[test]
    fn long_lines_are_counted_across_strides() {
        let text = "µ".repeat(3 * STRIDE) + "x";
        let lines = Lines::of(&text);
        for characters in [0, 1, STRIDE / 2, STRIDE, 3 * STRIDE] {
            assert_eq!(lines.line_and_column(&text, 2 * characters), (1, characters + 1));
        }
        let exact = "y".repeat(STRIDE);
        assert_eq!(Lines::of(&exact).line_and_column(&exact, STRIDE), (1, STRIDE + 1));
    }
}
