//! How wide a text is, and how it is made to fit.
//!
//! Belongs here: estimates of width and the breaking of lines for charts. Does not belong here: places on the page.
//!
//! There is no font to ask, and the reader's font is unknown. The estimates follow wide sans-serif fonts, so that a
//! text may end early but does not run into its neighbour.

use crate::words::{self, char_columns};

/// Bold letters are that much wider.
const BOLD: f64 = 1.1;

/// Estimated width of a text of this size.
pub(super) fn width(text: &str, size: f64) -> f64 {
    text.chars().map(em).sum::<f64>() * size
}

/// Estimated width of a bold text of this size.
pub(super) fn bold_width(text: &str, size: f64) -> f64 {
    width(text, size) * BOLD
}

/// The text, shortened by "…" to fit.
pub(super) fn fit(text: &str, size: f64, limit: f64) -> String {
    words::shorten(text, limit, |text| width(text, size))
}

/// The text in at most `most` lines, shortened by "…" if it needs more.
pub(super) fn wrap(text: &str, size: f64, limit: f64, most: usize) -> Vec<String> {
    words::break_few(text, limit, most, |text| width(text, size))
}

/// [`wrap`] for bold text.
pub(super) fn wrap_bold(text: &str, size: f64, limit: f64, most: usize) -> Vec<String> {
    wrap(text, size * BOLD, limit, most)
}

fn em(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '\'' | '|' | '\u{202f}' => 0.32,
        'f' | 'r' | 't' | 'I' | ' ' | '.' | ',' | ':' | ';' | '!' | '(' | ')' | '[' | ']' | '/' | '\\' | '-' | '·' => {
            0.41
        }
        '\u{a0}' => 0.41,
        'm' | 'w' | 'M' | 'W' | '%' | '@' | '…' | '—' => 1.02,
        'a'..='z' | '0'..='9' => 0.64,
        'A'..='Z' => 0.76,
        '=' | '+' | '<' | '>' | '~' | '±' | '≥' | '≤' | '−' | '&' | '#' => 0.85,
        c if c.is_ascii() => 0.64,
        c => match char_columns(c) {
            0 => 0.0,
            2 => 1.05,
            // Cyrillic and Greek run wider than Latin, and ligatures of other scripts are not known at all
            _ if (c as u32) < 0x250 => 0.72,
            _ => 0.88,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_scripts_count_double() {
        assert!(width("高圧", 10.0) >= 20.0);
        assert!(width("ab", 10.0) < 14.0);
        assert_eq!(width("e\u{301}", 10.0), width("e", 10.0));
    }

    #[test]
    fn fitted_text_fits() {
        for text in ["short", &"long ".repeat(40), &"日本".repeat(40)] {
            assert!(width(&fit(text, 11.0, 120.0), 11.0) <= 120.0);
            let lines = wrap(text, 11.0, 120.0, 2);
            assert!(lines.len() <= 2 && lines.iter().all(|line| width(line, 11.0) <= 120.0));
        }
    }
}
