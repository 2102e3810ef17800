//! A page as text for a terminal.
//!
//! Belongs here: breaking of lines, blank lines, bold type. Does not belong here: aligning columns (`grid`). Colour only
//! repeats what the words say already.

use super::{Block, Page, grid};
use crate::words::{break_lines, columns};

/// Text is hard to follow beyond this width, tables are not.
const WIDEST_TEXT: usize = 100;
const BOLD: &str = "\u{1b}[1m";
const PLAIN: &str = "\u{1b}[0m";

impl Page {
    /// The page as text, no wider than it was made for, with bold type if `color`. It ends in a line break.
    pub fn printed(&self, color: bool) -> String {
        let mut text = String::new();
        let mut line = |line: &str| {
            text.push_str(line.trim_end());
            text.push('\n');
        };
        for block in &self.blocks {
            match block {
                Block::Gap => line(""),
                Block::Rule => line(&"═".repeat(self.width.min(WIDEST_TEXT))),
                Block::Drawn(drawn) => line(drawn),
                Block::Bold(said) | Block::Heading(said) => {
                    for said in self.broken(said, 0) {
                        line(&if color { format!("{BOLD}{said}{PLAIN}") } else { said });
                    }
                }
                Block::Said { label, text } => {
                    let indent = columns(label);
                    for (i, said) in self.broken(text, indent).iter().enumerate() {
                        let start = if i == 0 { label.clone() } else { " ".repeat(indent) };
                        line(&format!("{start}{said}"));
                    }
                }
                Block::Table { first, columns, summed } => {
                    for (i, lines) in grid::blocks(first, columns, (self.width, color), *summed).iter().enumerate() {
                        if i > 0 {
                            line("");
                        }
                        lines.iter().for_each(|set| line(set));
                    }
                }
            }
        }
        text
    }

    fn broken(&self, text: &str, indent: usize) -> Vec<String> {
        let width = self.width.min(WIDEST_TEXT.max(self.width / 2)).saturating_sub(indent);
        break_lines(text, width as f64, |text| columns(text) as f64)
    }
}
