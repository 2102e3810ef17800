//! The forms of an answer, taken apart again: tables of its page, of Markdown and of a terminal, and texts of its pictures.
//!
//! Every reader here is its own and knows nothing of how the form was made.

use std::collections::BTreeSet;
use std::fs;

use serde_json::Value;
use tempfile::TempDir;

use crate::cli::{Said, program};

/// Columns of the terminal: enough for most tables to stand in one block.
const COLUMNS: &str = "200";

/// A table as it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// The heading above it.
    pub name: String,
    /// Names of its columns, but for that of the first.
    pub head: Vec<String>,
    /// Name and cells of each row.
    pub rows: Vec<(String, Vec<String>)>,
}

/// An answer in all its forms.
pub struct Forms {
    pub folder: TempDir,
    pub json: Value,
    page: Vec<Table>,
    markdown: Vec<Table>,
    terminal: Vec<Table>,
}

impl Forms {
    /// Asks in a folder, and reads what comes.
    pub fn of(folder: TempDir, words: &[&str], stem: &str) -> Self {
        let ask = |more: &[&str]| {
            let mut command = program(folder.path());
            let output =
                command.args(words).args(["--out", "out"]).args(more).env("COLUMNS", COLUMNS).output().unwrap();
            Said::of(output).well().out
        };
        let (printed, marked) = (ask(&[]), ask(&["--markdown"]));
        let read = |kind: &str| fs::read_to_string(folder.path().join(format!("out/{stem}.{kind}"))).unwrap();
        let page = set(&read("html"));
        let json = serde_json::from_str(&read("json")).unwrap();
        let names = page.iter().map(|table| table.name.clone()).collect();
        let (terminal, markdown) = (joined(terminal(&printed, &names)), joined(markdown(&marked)));
        Self { terminal, markdown, page: joined(page), json, folder }
    }

    /// Fails unless every table that is printed is the same on the page and in Markdown, cell by cell, and none is missing.
    pub fn agree(&self) {
        assert!(!self.terminal.is_empty(), "no table was found");
        assert_eq!(self.terminal.len(), self.markdown.len());
        for (printed, marked) in self.terminal.iter().zip(&self.markdown) {
            assert_eq!(printed, marked);
        }
        // the page has further tables, of what the answer rests on
        let names: BTreeSet<&str> = self.terminal.iter().map(|table| table.name.as_str()).collect();
        let printed: Vec<&Table> = self.page.iter().filter(|table| names.contains(table.name.as_str())).collect();
        for name in names {
            let of = |tables: &[&Table]| -> Vec<Table> {
                tables.iter().filter(|table| table.name == name).map(|table| (*table).clone()).collect()
            };
            assert_eq!(of(&self.terminal.iter().collect::<Vec<_>>()), of(&printed), "{name}");
        }
    }

    /// Fails unless the cell (row, column) of a table says this in every form; a mark may stand behind it. Of several tables of
    /// one name the one with this number is meant.
    pub fn says(&self, name: &str, number: usize, place: (&str, &str), expected: &str) {
        for (form, tables) in [("page", &self.page), ("Markdown", &self.markdown), ("terminal", &self.terminal)] {
            let (said, expected) = (cell(tables, name, number, place), plain(expected));
            let is_said = said == expected || said.starts_with(&format!("{expected} "));
            assert!(is_said, "{form}, {name}, {place:?}: {said}, expected {expected}");
        }
    }

    /// The texts of a picture.
    pub fn picture(&self, file: &str) -> Picture {
        let svg = fs::read_to_string(self.folder.path().join("out").join(file)).unwrap();
        Picture::read(file, &svg)
    }
}

/// Tables that follow one another under one heading and have the same rows, put together: in a terminal nobody can tell them
/// from the blocks of one wide table.
fn joined(tables: Vec<Table>) -> Vec<Table> {
    let rows = |table: &Table| table.rows.iter().map(|(name, _)| name.clone()).collect::<Vec<_>>();
    let mut all: Vec<Table> = vec![];
    for mut table in tables {
        match all.last_mut().filter(|before| before.name == table.name && rows(before) == rows(&table)) {
            Some(before) => {
                before.head.append(&mut table.head);
                before.rows.iter_mut().zip(table.rows).for_each(|((_, cells), (_, more))| cells.extend(more));
            }
            None => all.push(table),
        }
    }
    all
}

/// The cell (row, column) of a table.
pub fn cell(tables: &[Table], name: &str, number: usize, (row, column): (&str, &str)) -> String {
    let table = tables.iter().filter(|table| table.name == name).nth(number);
    let table = table.unwrap_or_else(|| panic!("there is no table number {number} of {name}"));
    let column = plain(column);
    let at =
        table.head.iter().position(|known| *known == column).unwrap_or_else(|| panic!("{column}: {:?}", table.head));
    let found: Vec<_> = table.rows.iter().filter(|(known, _)| known == row).collect();
    assert_eq!(found.len(), 1, "{name}: rows {row} in {:?}", table.rows);
    found[0].1[at].clone()
}

/// Text with single blanks.
fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Text of hypertext: without tags, entities read.
fn bare(html: &str) -> String {
    let mut text = String::new();
    for (k, piece) in html.split('<').enumerate() {
        text.push_str(if k == 0 { piece } else { piece.split_once('>').map_or("", |(_, rest)| rest) });
    }
    let entities = [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&apos;", "'"), ("&#39;", "'"), ("&amp;", "&")];
    plain(&entities.iter().fold(text, |text, (entity, letter)| text.replace(entity, letter)))
}

/// What stands between pairs of tags.
fn inside<'a>(html: &'a str, tag: &str) -> Vec<&'a str> {
    let (open, close) = (format!("<{tag}"), format!("</{tag}>"));
    let pieces = html.split(&open).skip(1);
    let is_tag = |piece: &&str| piece.starts_with(['>', ' ']);
    pieces.filter(is_tag).map(|piece| piece.split(&close).next().unwrap()).map(behind).collect()
}

/// What stands behind the end of a tag.
fn behind(piece: &str) -> &str {
    piece.split_once('>').unwrap().1
}

/// Every table of a page.
pub fn set(html: &str) -> Vec<Table> {
    let row = |row: &str| -> Vec<String> {
        let pieces = row.split("<t").skip(1).filter(|piece| piece.starts_with(['d', 'h']));
        pieces.map(|piece| bare(behind(piece))).collect()
    };
    let read = |table: &str| {
        let rows = inside(table, "tr");
        Some(Table {
            name: bare(inside(table, "caption").first()?),
            head: row(rows.first()?)[1..].to_vec(),
            rows: rows[1..]
                .iter()
                .map(|cells| row(cells))
                .map(|cells| (cells[0].clone(), cells[1..].to_vec()))
                .collect(),
        })
    };
    inside(html, "table").into_iter().filter_map(read).collect()
}

/// Every table of a Markdown text.
pub fn markdown(text: &str) -> Vec<Table> {
    let mut tables: Vec<Table> = vec![];
    let (mut name, mut is_open) = (String::new(), false);
    for line in text.lines() {
        if line.starts_with('#') {
            name = unescaped(line.trim_start_matches('#'));
        }
        if !line.starts_with('|') {
            is_open = false;
            continue;
        }
        let cells = split(line);
        match tables.last_mut().filter(|_| is_open) {
            Some(table) if cells.iter().all(|cell| cell.trim().chars().all(|c| "-:".contains(c))) => {
                assert_eq!(cells.len(), table.head.len() + 1, "the rule of {}", table.name);
            }
            Some(table) => {
                assert_eq!(cells.len(), table.head.len() + 1, "{line}");
                table.rows.push((cells[0].clone(), cells[1..].to_vec()));
            }
            None => tables.push(Table { name: name.clone(), head: cells[1..].to_vec(), rows: vec![] }),
        }
        is_open = true;
    }
    tables
}

/// Cells of a row between bars that mean themselves.
fn split(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut letters = line.trim().trim_start_matches('|').chars();
    while let Some(letter) = letters.next() {
        match letter {
            '\\' => {
                let cell = cells.last_mut().unwrap();
                cell.push(letter);
                cell.extend(letters.next());
            }
            '|' => cells.push(String::new()),
            _ => cells.last_mut().unwrap().push(letter),
        }
    }
    assert_eq!(cells.pop().as_deref(), Some(""), "{line}");
    cells.iter().map(|cell| unescaped(cell)).collect()
}

/// Markdown's marks read: a letter behind a backslash is itself, two stars are strong type.
fn unescaped(text: &str) -> String {
    let mut out = String::new();
    let mut letters = text.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '\\' => out.extend(letters.next()),
            '*' => {}
            _ => out.push(letter),
        }
    }
    plain(&out)
}

/// Where the columns of a table stand, if a line is the rule below its head.
fn rule(line: &str) -> Option<Vec<(usize, usize)>> {
    let letters: Vec<char> = line.chars().collect();
    if !letters.iter().all(|c| matches!(c, '─' | ' ')) {
        return None;
    }
    let mut spans = vec![];
    for (k, letter) in letters.iter().enumerate() {
        if *letter == '─' {
            match spans.last_mut() {
                Some((_, end)) if *end == k => *end = k + 1,
                _ => spans.push((k, k + 1)),
            }
        }
    }
    (spans.len() > 1).then_some(spans)
}

/// What stands in a span of a line.
fn slice(line: &str, (start, end): (usize, usize)) -> String {
    // this mark takes no column
    plain(&line.chars().filter(|c| *c != '\u{200e}').skip(start).take(end - start).collect::<String>())
}

/// A row of a table whose columns stand in these spans: its name and its cells; nothing if a line is none.
fn row(line: &str, spans: &[(usize, usize)]) -> Option<(String, Vec<String>)> {
    let gaps = spans.windows(2).map(|pair| (pair[0].1, pair[1].0));
    let is_free = gaps.into_iter().all(|gap| slice(line, gap).is_empty());
    let name = slice(line, spans[0]);
    let cells = spans[1..].iter().map(|span| slice(line, *span)).collect();
    (is_free && !name.is_empty() && rule(line).is_none()).then_some((name, cells))
}

/// The rows below a rule and the number of the line behind them. A long name goes on below its row, and then blank lines stand
/// between rows.
fn rows(lines: &[&str], start: usize, spans: &[(usize, usize)]) -> (Vec<(String, Vec<String>)>, usize) {
    let mut found: Vec<(String, Vec<String>)> = vec![];
    let (mut k, mut end) = (start, start);
    while let Some(line) = lines.get(k) {
        match row(line, spans) {
            Some((name, cells)) if cells.iter().all(String::is_empty) => {
                let Some((before, _)) = found.last_mut().filter(|_| end == k) else { break };
                *before = format!("{before} {name}");
                end = k + 1;
            }
            Some(whole) => {
                found.push(whole);
                end = k + 1;
            }
            None if rule(line).is_some() => end = k + 1,
            None if line.trim().is_empty() && end == k => {}
            None => break,
        }
        k += 1;
    }
    (found, end)
}

/// Every table of a page in a terminal, one for each block. `names` are the headings under which there are tables.
pub fn terminal(text: &str, names: &BTreeSet<String>) -> Vec<Table> {
    let lines: Vec<&str> = text.lines().collect();
    let mut tables: Vec<Table> = vec![];
    let mut name = String::new();
    let mut k = 0;
    while k < lines.len() {
        if names.contains(&plain(lines[k])) {
            name = plain(lines[k]);
        }
        let Some(spans) = rule(lines[k]) else {
            k += 1;
            continue;
        };
        let is_head = |line: &&&str| !line.trim().is_empty() && slice(line, spans[0]).is_empty();
        let heads: Vec<&str> = lines[..k].iter().rev().take_while(is_head).copied().collect();
        let head = spans[1..].iter().map(|span| {
            let words: Vec<String> = heads.iter().rev().map(|line| slice(line, *span)).collect();
            plain(&words.join(" "))
        });
        let (rows, behind) = rows(&lines, k + 1, &spans);
        tables.push(Table { name: name.clone(), head: head.collect(), rows });
        k = behind;
    }
    tables
}

/// The texts of a picture, line by line from the top, those of one line from the left.
pub struct Picture {
    file: String,
    lines: Vec<(f64, Vec<String>)>,
}

impl Picture {
    fn read(file: &str, svg: &str) -> Self {
        let number = |piece: &str, name: &str| -> f64 {
            let (_, rest) = piece.split_once(&format!(" {name}=\"")).unwrap();
            rest.split('"').next().unwrap().parse().unwrap()
        };
        let mut texts: Vec<(f64, f64, String)> = svg
            .split("<text")
            .skip(1)
            .map(|piece| {
                let said = piece.split("</text>").next().unwrap();
                (number(piece, "y"), number(piece, "x"), bare(behind(said)))
            })
            .collect();
        texts.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let mut lines: Vec<(f64, Vec<String>)> = vec![];
        for (y, _, said) in texts {
            match lines.last_mut() {
                Some((at, all)) if *at == y => all.push(said),
                _ => lines.push((y, vec![said])),
            }
        }
        assert!(!lines.is_empty(), "{file} has no text");
        Self { file: file.to_owned(), lines }
    }

    /// Lines from the heading on; all of them where it is empty.
    fn from(&self, heading: &str) -> &[(f64, Vec<String>)] {
        if heading.is_empty() {
            return &self.lines;
        }
        let at = self.lines.iter().position(|(_, said)| said.first().is_some_and(|first| first == heading));
        &self.lines[at.unwrap_or_else(|| panic!("{}: no heading {heading}", self.file))..]
    }

    /// Fails unless the first line below a heading that begins with a name goes on with this.
    pub fn row(&self, heading: &str, name: &str, expected: &str) {
        let found = self.from(heading).iter().find(|(_, said)| said.len() > 1 && said[0] == name);
        let said = found.unwrap_or_else(|| panic!("{}: no line of {name}", self.file)).1[1..].join(" ");
        let expected = plain(expected);
        let is_said = said == expected || said.starts_with(&format!("{expected} "));
        assert!(is_said, "{}, {heading}, {name}: {said}, expected {expected}", self.file);
    }

    /// Fails unless this stands closely below a name, which is the first of its kind below a heading.
    pub fn below(&self, heading: &str, name: &str, expected: &str) {
        let lines = self.from(heading);
        let at = lines.iter().position(|(_, said)| said.iter().any(|text| text == name));
        let at = at.unwrap_or_else(|| panic!("{}: no {name}", self.file));
        let expected = plain(expected);
        // a mark of an axis may stand between
        let said: Vec<&String> = lines[at + 1..].iter().take(2).flat_map(|(_, said)| said).collect();
        assert!(said.contains(&&expected), "{}, {heading}, {name}: {said:?}, expected {expected}", self.file);
    }
}
