//! A judge of Markdown: reads it as a reader of Markdown would, with a parser that somebody else wrote, and says whether
//! anything in it is more than text, titles, lists, tables and drawings.

use pulldown_cmark::{CodeBlockKind, Event, Options, Parser, Tag};

/// Why a text is no harmless Markdown, or has a table that falls apart.
pub fn harmless(text: &str) -> Result<(), String> {
    // what the readers of the great platforms know
    let known = Options::ENABLE_TABLES
        | Options::ENABLE_FOOTNOTES
        | Options::ENABLE_STRIKETHROUGH
        | Options::ENABLE_TASKLISTS
        | Options::ENABLE_MATH
        | Options::ENABLE_GFM;
    let mut rows = 0;
    for event in Parser::new_ext(text, known) {
        match event {
            Event::Start(tag) => match tag {
                Tag::Paragraph | Tag::Heading { .. } | Tag::List(None) | Tag::Item | Tag::Strong => {}
                Tag::Table(_) | Tag::TableCell => {}
                Tag::TableHead | Tag::TableRow => rows += 1,
                Tag::CodeBlock(CodeBlockKind::Fenced(_)) => {}
                other => return Err(format!("{other:?} in {text}")),
            },
            Event::End(_) | Event::Text(_) | Event::SoftBreak | Event::HardBreak | Event::Rule => {}
            other => return Err(format!("{other:?} in {text}")),
        }
    }
    // a row that the parser does not see as one, or that it had to cut or fill up, is a row that falls apart
    let mut lines = 0;
    let mut inside: Option<usize> = None;
    for line in text.lines() {
        if !line.starts_with('|') {
            inside = None;
            continue;
        }
        let cells = bars(line).saturating_sub(1);
        if *inside.get_or_insert(cells) != cells || !line.ends_with('|') {
            return Err(format!("a row of {cells} cells: {line}"));
        }
        lines += 1;
    }
    let rules = text.lines().filter(|line| line.starts_with("| --- |")).count();
    if lines != rows + rules {
        return Err(format!("{rows} rows were read, {} were written: {text}", lines - rules));
    }
    addresses(text)
}

/// Bars that mean themselves.
fn bars(line: &str) -> usize {
    let mut count = 0;
    let mut is_kept = false;
    for letter in line.chars() {
        count += usize::from(letter == '|' && !is_kept);
        is_kept = letter == '\\' && !is_kept;
    }
    count
}

/// Some readers make links of bare addresses.
fn addresses(text: &str) -> Result<(), String> {
    let mut is_kept = false;
    for (k, letter) in text.char_indices() {
        let rest = &text[k..];
        let is_address = rest.starts_with("://") || rest.to_ascii_lowercase().starts_with("www.") || letter == '@';
        if is_address && !is_kept {
            return Err(format!("an address: {}", rest.chars().take(40).collect::<String>()));
        }
        is_kept = letter == '\\' && !is_kept;
    }
    Ok(())
}

#[test]
fn the_judge_of_markdown_knows_harm() {
    let good = "# A\n\n**b**\n\n- **c**: d\\\n  e\n- f\n\n|  | g \\| h |\n| --- | ---: |\n| i | 1 |\n\n---\n\n```text\n<x>\n```\n";
    assert_eq!(harmless(good), Ok(()));
    for bad in [
        "<script>x</script>",
        "a <b>x</b>",
        "[a](http://x.example)",
        "![a](b)",
        "<http://x.example>",
        "see http://x.example",
        "see www.x.example",
        "a@x.example",
        "1. one",
        "- [ ] box",
        "> said",
        "`x`",
        "*x*",
        "~~x~~",
        "$x$",
        "    x",
        "|  | a |\n| --- | ---: |\n| b | 1 | 2 |",
        "|  | a |\n| --- | ---: |\n| b |",
        "| a |\n| b |",
    ] {
        assert!(harmless(bad).is_err(), "{bad}");
    }
}
