//! A page as parts of hypertext: its title, what stands over everything, and its sections.
//!
//! Belongs here: which element a block becomes. Does not belong here: the document around them (`web`), what is said.

use maud::{Markup, PreEscaped, html};

use super::{Block, Column, Page};

/// Headings of what is said of a whole answer, after its chapters.
const OF_ALL: [&str; 5] = ["How to read this", "Taken for granted", "Into a scenario", "Cautions", "Remarks"];

/// A page, taken apart.
pub(crate) struct Parts {
    /// What must be read first, such as that a run was interrupted.
    pub(crate) warnings: Vec<String>,
    /// Its title.
    pub(crate) title: String,
    /// What stands between title and first heading.
    pub(crate) opening: Markup,
    /// What follows.
    pub(crate) sections: Vec<Section>,
}

/// What stands under one heading.
pub(crate) struct Section {
    /// Its heading.
    pub(crate) heading: String,
    /// Whether it belongs to the chapter above it.
    pub(crate) is_within: bool,
    /// What it says.
    pub(crate) body: Markup,
}

impl Page {
    /// Takes the page apart.
    pub(crate) fn parts(&self) -> Parts {
        let mut parts = Parts { warnings: vec![], title: String::new(), opening: html! {}, sections: vec![] };
        let mut text = String::new();
        let mut open: Option<(String, bool)> = None;
        let (mut in_chapter, mut after_rule) = (false, false);
        let mut at = 0;
        while let Some(block) = self.blocks.get(at) {
            at += 1;
            match block {
                Block::Gap => continue,
                Block::Rule => {
                    (in_chapter, after_rule) = (false, true);
                    continue;
                }
                Block::Bold(said) if parts.title.is_empty() && is_warning(said) => parts.warnings.push(said.clone()),
                Block::Bold(said) if parts.title.is_empty() => parts.title.clone_from(said),
                Block::Bold(said) if after_rule && !is_warning(said) => {
                    close(&mut parts, &mut open, &mut text);
                    open = Some((said.clone(), false));
                    in_chapter = true;
                }
                Block::Bold(said) => {
                    text += &html! { p.strong { (said) } }.into_string();
                    // a warning within a chapter does not take its name
                    if after_rule {
                        continue;
                    }
                }
                Block::Heading(said) => {
                    close(&mut parts, &mut open, &mut text);
                    in_chapter &= !OF_ALL.contains(&said.as_str());
                    open = Some((said.clone(), in_chapter));
                }
                Block::Said { label, .. } => {
                    let from = at - 1;
                    let is_list = label.trim() == "-";
                    while self.blocks.get(at).is_some_and(|next| goes_on(next, is_list, label)) {
                        at += 1;
                    }
                    text += &said(&self.blocks[from..at], is_list).into_string();
                }
                Block::Table { first, columns, summed } => {
                    let name = open.as_ref().map_or(parts.title.as_str(), |(heading, _)| heading);
                    text += &table(name, first, columns, *summed).into_string();
                }
                Block::Drawn(_) => {
                    let from = at - 1;
                    while matches!(self.blocks.get(at), Some(Block::Drawn(_))) {
                        at += 1;
                    }
                    let lines = self.blocks[from..at].iter().filter_map(|block| match block {
                        Block::Drawn(line) => Some(line.as_str()),
                        _ => None,
                    });
                    let drawing: Vec<&str> = lines.collect();
                    text += &html! {
                        details.letters { summary { "The same in letters" } pre tabindex="0" { (drawing.join("\n")) } }
                    }
                    .into_string();
                }
            }
            after_rule = false;
        }
        close(&mut parts, &mut open, &mut text);
        parts
    }
}

/// Whether a sentence in bold type is a warning and no title.
fn is_warning(said: &str) -> bool {
    said.starts_with("INTERRUPTED") || said.starts_with("INCOMPLETE")
}

/// Ends the section that is open, or the opening where none is.
fn close(parts: &mut Parts, open: &mut Option<(String, bool)>, text: &mut String) {
    let body = PreEscaped(std::mem::take(text));
    match open.take() {
        None => parts.opening = body,
        Some((heading, is_within)) => parts.sections.push(Section { heading, is_within, body }),
    }
}

/// Whether a block goes on with the list, or with the labels, that the one before it began.
fn goes_on(next: &Block, is_list: bool, first: &str) -> bool {
    let Block::Said { label, .. } = next else { return false };
    match label.trim() {
        "-" => is_list,
        "" => !label.is_empty() && !first.trim().is_empty(),
        _ => !is_list && !first.trim().is_empty(),
    }
}

fn said(blocks: &[Block], is_list: bool) -> Markup {
    let lines = blocks.iter().filter_map(|block| match block {
        Block::Said { label, text } => Some((label.trim(), text.as_str())),
        _ => None,
    });
    if is_list {
        return html! { ul { @for (_, text) in lines { li { (text) } } } };
    }
    let lines: Vec<(&str, &str)> = lines.collect();
    if lines.iter().all(|(label, _)| label.is_empty()) {
        return html! { @for (_, text) in lines { p { (text) } } };
    }
    html! {
        dl {
            @for (label, text) in lines {
                @if !label.is_empty() { dt { (label) } }
                dd { (text) }
            }
        }
    }
}

/// A table that a keyboard can scroll, with the heading above it as its name.
fn table(name: &str, first: &[String], columns: &[Column], summed: bool) -> Markup {
    let cell = |column: &Column, row: usize| {
        let parts = column.cells.get(row).map_or(&[][..], Vec::as_slice);
        let is_marked = parts.get(2).is_some_and(|mark| !mark.is_empty());
        let text = parts.iter().filter(|part| !part.is_empty()).map(String::as_str).collect::<Vec<_>>().join(" ");
        html! { @if is_marked { td { strong { (text) } } } @else { td { (text) } } }
    };
    html! {
        div.table role="group" tabindex="0" aria-label=(format!("Table: {name}")) {
            table.sum[summed] {
                caption.unseen { (name) }
                thead { tr { td {} @for column in columns { th scope="col" { (column.name) } } } }
                tbody {
                    @for (row, name) in first.iter().enumerate() {
                        tr { th scope="row" { (name) } @for column in columns { (cell(column, row)) } }
                    }
                }
            }
        }
    }
}
