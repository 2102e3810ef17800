//! A page as Markdown: for a report, a wiki, a discussion.
//!
//! Belongs here: Markdown's marks and what must be kept from being one. Does not belong here: what the page says.
//! Tables are those of GitHub Flavored Markdown (pipes), which most readers of Markdown know.

use super::{Block, Column, Page};

impl Page {
    /// The page as Markdown. It ends in a line break.
    pub fn markdown(&self) -> String {
        let mut lines: Vec<String> = vec![];
        let mut drawing = false;
        let (mut titled, mut chapter, mut fresh) = (false, false, false);
        let mut listed = false;
        for block in &self.blocks {
            if !matches!(block, Block::Drawn(_)) && drawing {
                lines.push("```".into());
                lines.push(String::new());
                drawing = false;
            }
            let is_item = matches!(block, Block::Said { label, .. } if !label.trim().is_empty());
            if listed && !is_item && !matches!(block, Block::Said { .. }) {
                lines.push(String::new());
            }
            let goes_on = matches!(block, Block::Said { label, .. } if !label.is_empty());
            let was_listed = listed;
            listed = is_item || (listed && goes_on);
            match block {
                Block::Gap => lines.push(String::new()),
                Block::Rule => {
                    lines.push("---".into());
                    lines.push(String::new());
                    chapter = false;
                    fresh = true;
                    continue;
                }
                Block::Bold(said) if !titled && !said.starts_with("INTERRUPTED") && !said.starts_with("INCOMPLETE") => {
                    lines.push(format!("# {}", plain(said)));
                    lines.push(String::new());
                    titled = true;
                }
                Block::Bold(said) if fresh => {
                    lines.push(format!("## {}", plain(said)));
                    lines.push(String::new());
                    chapter = true;
                }
                Block::Bold(said) => {
                    lines.push(format!("**{}**", plain(said)));
                    lines.push(String::new());
                }
                Block::Heading(said) => {
                    lines.push(format!("{} {}", if chapter { "###" } else { "##" }, plain(said)));
                    lines.push(String::new());
                }
                Block::Said { label, text } => match label.trim() {
                    "-" => lines.push(format!("- {}", plain(text))),
                    // goes on with what the last label began, on a line of its own
                    "" if listed && !label.is_empty() => {
                        if let Some(last) = lines.last_mut() {
                            last.push('\\');
                        }
                        lines.push(format!("  {}", plain(text)));
                    }
                    "" => {
                        if was_listed {
                            lines.push(String::new());
                        }
                        lines.push(plain(text));
                        lines.push(String::new());
                    }
                    label => lines.push(format!("- **{}**: {}", plain(label), plain(text))),
                },
                Block::Table { first, columns, summed } => {
                    table(&mut lines, first, columns, *summed);
                    lines.push(String::new());
                }
                Block::Drawn(line) => {
                    if !drawing {
                        lines.push(String::new());
                        lines.push("```text".into());
                        drawing = true;
                    }
                    lines.push(line.replace('`', "'"));
                }
            }
            fresh = false;
        }
        if drawing {
            lines.push("```".into());
        }
        // no two blank lines in a row, none at the ends
        let mut text = String::new();
        let mut blank = true;
        for line in lines {
            let line = line.trim_end();
            if !(blank && line.is_empty()) {
                text.push_str(line);
                text.push('\n');
            }
            blank = line.is_empty();
        }
        text.truncate(text.trim_end().len());
        text.push('\n');
        text
    }
}

/// Characters that mean something to Markdown or HTML, made to mean themselves; line breaks and the like made blanks.
fn plain(text: &str) -> String {
    let text = text.trim();
    let number = text.bytes().take_while(u8::is_ascii_digit).count();
    let is_task = ["[ ]", "[x]", "[X]"].iter().any(|task| text.starts_with(task));
    let mut out = String::with_capacity(text.len());
    let mut before = ' ';
    for (i, c) in text.char_indices() {
        let rest = &text[i + c.len_utf8()..];
        let means_something = match c {
            '\\' | '`' | '*' | '_' | '|' | '#' | '~' | '@' | '$' | '<' | '>' | '&' => true,
            // a link, its definition, an address
            ']' => rest.starts_with(['(', ':', '[']),
            ':' => rest.starts_with("//"),
            '.' if before.eq_ignore_ascii_case(&'w') => text[..i].to_ascii_lowercase().ends_with("www"),
            // at the beginning: an item of a list, a rule, a box to be ticked
            '-' | '+' | '=' => i == 0,
            '.' | ')' => number > 0 && i == number && !rest.starts_with(|next: char| !next.is_whitespace()),
            '[' => i == 0 && is_task,
            _ => false,
        };
        if means_something {
            out.push('\\');
        }
        out.push(if c.is_control() { ' ' } else { c });
        before = c;
    }
    out
}

fn table(lines: &mut Vec<String>, first: &[String], columns: &[Column], summed: bool) {
    let row = |cells: Vec<String>| format!("| {} |", cells.join(" | "));
    let head = std::iter::once(String::new()).chain(columns.iter().map(|column| plain(&column.name)));
    lines.push(row(head.collect()));
    let rule = std::iter::once("---".to_owned()).chain(columns.iter().map(|_| "---:".to_owned()));
    lines.push(row(rule.collect()));
    for (i, name) in first.iter().enumerate() {
        let strong = |text: String| {
            if summed && i + 1 == first.len() && !text.is_empty() { format!("**{text}**") } else { text }
        };
        let cell =
            |column: &Column| strong(plain(&column.cells.get(i).map(|parts| parts.join(" ")).unwrap_or_default()));
        lines.push(row(std::iter::once(strong(plain(name))).chain(columns.iter().map(cell)).collect()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_means_something_is_made_to_mean_itself() {
        for (text, told) in [
            ("a | b", r"a \| b"),
            ("`x`", r"\`x\`"),
            ("](http://x)", r"\](http\://x)"),
            ("www.x.example", r"www\.x.example"),
            ("<script>", r"\<script\>"),
            ("# title", r"\# title"),
            ("- item", r"\- item"),
            ("12. of May", r"12\. of May"),
            ("1) first", r"1\) first"),
            ("[x] done", r"\[x] done"),
            ("two\nlines", "two lines"),
            ("back\\", r"back\\"),
            ("a@b, $1$", r"a\@b, \$1\$"),
            // and nothing else is touched
            ("1.951 [1.933–1.969] ct/mol: (a) b-c, 80 %", "1.951 [1.933–1.969] ct/mol: (a) b-c, 80 %"),
        ] {
            assert_eq!(plain(text), told, "{text}");
        }
    }

    #[test]
    fn labels_lists_and_paragraphs_keep_apart() {
        let mut page = Page::new(80);
        page.bold("Title");
        page.hanging("Light  ", "A: x");
        page.hanging("       ", "B: y");
        page.hanging("", "Plain.");
        page.hanging("- ", "one");
        page.hanging("- ", "two");
        assert_eq!(page.markdown(), "# Title\n\n- **Light**: A: x\\\n  B: y\n\nPlain.\n\n- one\n- two\n");
    }
}
