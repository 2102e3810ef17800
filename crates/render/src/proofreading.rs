//! What every printed page must keep to, whatever it says.
//!
//! Belongs here: checks that the tests of all pages share. Does not belong here: what a page says, and charts (their proof
//! stands with them).

use crate::words::columns;

/// Fails if a line of a page is wider than it was asked to be.
#[track_caller]
pub(crate) fn keeps_its_width(which: &str, page: impl Fn(usize) -> String) {
    for width in [0, 48, 60, 80, 120, 132, 200] {
        for line in page(width).lines() {
            assert!(columns(line) <= width.max(48), "{which} at {width}: {} columns: {line}", columns(line));
        }
    }
}

/// Fails if a page, made with colour or without, lets anything through that disturbs a terminal, or if colour says
/// something that plain text does not.
#[track_caller]
pub(crate) fn is_harmless(page: impl Fn(bool) -> String) {
    let text = page(false);
    assert!(!text.contains(['\u{1b}', '\u{7}', '\u{202e}', '\u{2067}', '\u{0}', '\r', '\u{85}']));
    assert_eq!(page(true).replace("\u{1b}[1m", "").replace("\u{1b}[0m", ""), text);
}

/// A page with its lines joined and its blanks plain, so that a sentence may be looked for wherever it breaks.
pub(crate) fn joined(page: &str) -> String {
    let plain = page.replace(['\u{202f}', '\u{a0}'], " ");
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Fails unless a text holds all of these.
#[track_caller]
pub(crate) fn holds(text: &str, all: &[&str]) {
    for needed in all {
        assert!(text.contains(needed), "{needed} is not in\n{text}");
    }
}
