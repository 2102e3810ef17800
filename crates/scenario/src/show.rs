//! How faults look when shown to people.
//!
//! Belongs here: cutting the faulty line out of its page and drawing it. Does not belong here: where a fault stands.

use std::ops::Range;

use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Origin, Renderer, Snippet};

use crate::fault::Fault;
use crate::sources::{Leaf, Sources, Whence};
use crate::words::{harmless, shortened};

/// Most faults that are drawn; the rest are counted.
const MOST_SHOWN: usize = 50;

/// Widest piece of a line that is shown, in characters.
const WIDEST: usize = 160;

/// Most characters shown before the place that is marked, when the line has to be cut.
const BEFORE: usize = 60;

/// Most characters that are marked, when the line has to be cut.
const MARKED: usize = 60;

/// Longest text of a fault that is shown, in characters.
const LONGEST: usize = 600;

impl Sources {
    /// Draws faults for people, each with the faulty line of its file, in the given order; at most 50 of them, then
    /// how many more there are. `color` adds the escape sequences that colour a terminal.
    ///
    /// Whatever the files hold, the text is harmless to a terminal and of a bounded length.
    pub fn show(&self, faults: &[Fault], color: bool) -> String {
        let renderer = if color { Renderer::styled() } else { Renderer::plain() };
        // Lines are cut here, around the faulty place, and not by the renderer.
        let renderer = renderer.term_width(4 * WIDEST);
        let mut shown: Vec<String> =
            faults.iter().take(MOST_SHOWN).map(|fault| renderer.render(&[self.group(fault)])).collect();
        if faults.len() > MOST_SHOWN {
            shown.push(format!("and {} more", faults.len() - MOST_SHOWN));
        }
        shown.join("\n\n")
    }

    fn group(&self, fault: &Fault) -> Group<'static> {
        let title = Level::ERROR.primary_title(format!("{}: found {}", self.label(fault), said(&fault.found)));
        let mut group = Group::with_title(title);
        match self.whence(fault) {
            Whence::Page(index, bytes) => group = drawn(group, self.leaf(index), bytes),
            Whence::WhatIf(_) => {
                let told = self.what_if(fault).unwrap_or_default();
                group = group.element(Level::NOTE.message(format!("set by the what-if `{}`", said(told))));
            }
            Whence::Nowhere => {}
        }
        group = group.element(Level::NOTE.with_name(Some("allowed")).message(said(&fault.allowed)));
        match &fault.hint {
            Some(hint) => group.element(Level::HELP.message(said(hint))),
            None => group,
        }
    }
}

/// A text of a fault as it is shown.
fn said(text: &str) -> String {
    harmless(&shortened(text, LONGEST))
}

/// Adds the faulty line of a page to a message.
fn drawn(group: Group<'static>, leaf: &Leaf, bytes: Range<usize>) -> Group<'static> {
    let (line, column) = leaf.lines.line_and_column(&leaf.text, bytes.start);
    let name = harmless(&leaf.name);
    let cut = Cut::out_of(&leaf.text, leaf.lines.line(&leaf.text, line), bytes);
    let mark: Annotation = AnnotationKind::Primary.span(cut.mark);
    let snippet = Snippet::source(cut.text).line_start(line).annotation(mark);
    if cut.is_whole {
        group.element(snippet.path(name))
    } else {
        // The renderer would count the column from the start of the cut.
        group.element(Origin::path(name).line(line).char_column(column)).element(snippet)
    }
}

/// The part of a line that is shown.
struct Cut {
    text: String,
    mark: Range<usize>,
    is_whole: bool,
}

impl Cut {
    /// Cuts a line around the bytes to mark. No more of a long line is looked at than is shown.
    fn out_of(text: &str, line: Range<usize>, bytes: Range<usize>) -> Self {
        let start = bytes.start.clamp(line.start, line.end);
        let end = bytes.end.clamp(start, line.end);
        let is_whole = text[line.clone()].char_indices().nth(WIDEST).is_none();
        let (from, mark_end, to) = if is_whole {
            (line.start, end, line.end)
        } else {
            let from = text[line.start..start].char_indices().rev().nth(BEFORE - 1).map_or(0, |(index, _)| index);
            let mark_end = text[start..end].char_indices().nth(MARKED).map_or(end, |(index, _)| start + index);
            let room = WIDEST - BEFORE - MARKED;
            let to = text[mark_end..line.end].char_indices().nth(room).map_or(line.end, |(index, _)| mark_end + index);
            (line.start + from, mark_end, to)
        };
        let mut cut = String::new();
        if from > line.start {
            cut.push_str("… ");
        }
        cut.push_str(&harmless(&text[from..start]));
        let mark_start = cut.len();
        cut.push_str(&harmless(&text[start..mark_end]));
        let mark = mark_start..cut.len();
        cut.push_str(&harmless(&text[mark_end..to]));
        if to < line.end {
            cut.push_str(" …");
        }
        Self { text: cut, mark, is_whole }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn short_lines_stay_whole() {
        let cut = Cut::out_of("a\n  bad\u{7}µ\nc", 2..10, 4..7);
        assert_eq!((cut.text.as_str(), cut.mark, cut.is_whole), ("  bad\u{FFFD}µ", 2..5, true));
    }

    #[test]
    fn long_lines_are_cut_around_the_mark() {
        let text = "x".repeat(500) + "BAD" + &"y".repeat(500);
        let cut = Cut::out_of(&text, 0..text.len(), 500..503);
        assert!(!cut.is_whole);
        assert_eq!(&cut.text[cut.mark.clone()], "BAD");
        assert!(cut.text.starts_with("… xxx") && cut.text.ends_with("yyy …"));
        assert!(cut.text.chars().count() <= WIDEST + 4);
        let cut = Cut::out_of(&text, 0..text.len(), 0..text.len());
        assert_eq!(cut.mark, 0..MARKED);
        assert!(cut.text.chars().count() <= WIDEST + 4);
    }

    #[test]
    fn marks_end_with_their_line() {
        let cut = Cut::out_of("{\n}", 0..1, 0..3);
        assert_eq!((cut.text.as_str(), cut.mark), ("{", 0..1));
        let cut = Cut::out_of("ab", 0..2, 2..2);
        assert_eq!(cut.mark, 2..2);
    }
}
