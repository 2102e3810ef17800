//! A page of an answer, told once: the same blocks are printed in a terminal, written as Markdown, and set on a page for a
//! browser, so that no two of them can say different things.
//!
//! Belongs here: the blocks, and the ways of adding one. Does not belong here: how they are set (the modules below).
//! Whoever writes on a page frees names of control and direction characters.

mod grid;
mod hypertext;
mod markdown;
mod printed;

pub(crate) use grid::{Column, NAME_LINES, first_column};
pub(crate) use hypertext::{Parts, Section};

/// Narrowest page that is laid out for; a smaller request gets this one.
const NARROWEST: usize = 48;

/// What is said, block by block.
#[derive(Debug, Clone, Default)]
pub struct Page {
    /// Columns for which names are shortened and drawings in letters are made.
    pub(crate) width: usize,
    blocks: Vec<Block>,
}

/// A piece of a page.
#[derive(Debug, Clone)]
enum Block {
    /// A blank line where a terminal has one.
    Gap,
    /// A rule: what follows is a chapter of its own.
    Rule,
    /// A sentence that matters.
    Bold(String),
    /// Over the blocks that follow.
    Heading(String),
    /// A text behind a label; "- " makes an item of a list, blanks go on with what the last label began.
    Said { label: String, text: String },
    /// A table; its last row may be the sum of the others.
    Table { first: Vec<String>, columns: Vec<Column>, summed: bool },
    /// A line of a drawing in letters.
    Drawn(String),
}

impl Page {
    /// An empty page of a width, but of no less than can be laid out for.
    pub(crate) fn new(width: usize) -> Self {
        Self { width: width.max(NARROWEST), blocks: vec![] }
    }

    /// A blank line.
    pub(crate) fn gap(&mut self) {
        self.blocks.push(Block::Gap);
    }

    /// A rule; what follows is a chapter of its own.
    pub(crate) fn rule(&mut self) {
        self.gap();
        self.blocks.push(Block::Rule);
    }

    /// A line of a drawing in letters.
    pub(crate) fn drawn(&mut self, line: &str) {
        self.blocks.push(Block::Drawn(line.trim_end().to_owned()));
    }

    /// A sentence that matters.
    pub(crate) fn bold(&mut self, line: &str) {
        self.blocks.push(Block::Bold(line.to_owned()));
    }

    /// A heading with a blank line above it.
    pub(crate) fn heading(&mut self, heading: &str) {
        self.gap();
        self.blocks.push(Block::Heading(heading.to_owned()));
    }

    /// A text behind a label; on a narrow page its further lines are set in as far as the label reaches.
    pub(crate) fn hanging(&mut self, label: &str, text: &str) {
        self.blocks.push(Block::Said { label: label.to_owned(), text: text.to_owned() });
    }

    /// Sentences as a list under a heading; nothing without any.
    pub(crate) fn list(&mut self, heading: &str, sentences: &[String]) {
        if sentences.is_empty() {
            return;
        }
        self.heading(heading);
        for sentence in sentences {
            self.hanging("- ", &crate::words::clean(sentence));
        }
    }

    /// A table: names of rows, and columns beside them.
    pub(crate) fn grid(&mut self, first: &[String], columns: &[Column]) {
        self.blocks.push(Block::Table { first: first.to_vec(), columns: columns.to_vec(), summed: false });
    }

    /// A table whose last row is the sum of the others and stands below a rule of its own.
    pub(crate) fn ledger(&mut self, first: &[String], columns: &[Column]) {
        self.blocks.push(Block::Table { first: first.to_vec(), columns: columns.to_vec(), summed: true });
    }
}
