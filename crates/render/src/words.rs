//! Text that came from a scenario, made fit for a terminal, a chart or a file name.
//!
//! Belongs here: neutralising characters, counting columns, breaking and shortening lines. Does not belong here: XML
//! and CSV escaping, fonts, the wording of any message.

use unicode_width::UnicodeWidthChar;

/// Marks that may follow one base character; more only serves to smear over neighbouring lines.
const MOST_MARKS: usize = 3;

/// What stands for a name of which nothing visible is left.
const NAMELESS: &str = "(no name)";

/// One line of text without control, direction or invisible characters.
///
/// Line breaks and tabs become spaces, other control characters and characters that XML forbids become U+FFFD so that
/// they are seen, and marks that would turn the direction of the text around are dropped.
pub(crate) fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut marks = 0;
    for c in text.chars() {
        match c {
            '\t' | '\n' | '\r' | '\u{85}' | '\u{2028}' | '\u{2029}' => out.push(' '),
            c if is_direction(c) => {}
            '\u{fdd0}'..='\u{fdef}' => out.push('\u{fffd}'),
            c if c.is_control() || (c as u32) & 0xfffe == 0xfffe => out.push('\u{fffd}'),
            c if char_columns(c) == 0 => {
                marks += 1;
                if marks <= MOST_MARKS {
                    out.push(c);
                }
                continue;
            }
            c => out.push(c),
        }
        marks = 0;
    }
    // runs of spaces would be collapsed by SVG and break alignment elsewhere; no-break spaces inside numbers stay
    let out = out.split(' ').filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ");
    if out.chars().all(|c| char_columns(c) == 0 || c.is_whitespace()) { NAMELESS.to_owned() } else { out }
}

/// Whether a character is invisible and steers the direction or the joining of others, or hides text.
pub(crate) fn is_direction(c: char) -> bool {
    matches!(
        c as u32,
        0xad | 0x61c
            | 0x200b
            | 0x200e..=0x200f
            | 0x202a..=0x202e
            | 0x2060..=0x206f
            | 0xfeff
            | 0xfff9..=0xfffb
            | 0xe0000..=0xe0fff
    )
}

/// Columns that a character takes in a terminal; a control character, of which there should be none, takes one.
pub(crate) fn char_columns(c: char) -> usize {
    c.width().unwrap_or(1)
}

/// Columns that a text takes in a terminal.
pub(crate) fn columns(text: &str) -> usize {
    text.chars().map(char_columns).sum()
}

/// Breaks a text into lines no wider than `limit`, at spaces where it can; `measure` gives the width of a text.
pub(crate) fn break_lines(text: &str, limit: f64, measure: impl Fn(&str) -> f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let last = lines.last().map_or("", String::as_str);
        let joined = if last.is_empty() { word.to_owned() } else { format!("{last} {word}") };
        if measure(&joined) <= limit {
            lines.pop();
            lines.push(joined);
        } else if measure(word) <= limit {
            lines.push(word.to_owned());
        } else {
            // a word wider than the line is cut; it starts on the current line so that no line is nearly empty
            for piece in cut(&joined, limit, &measure).into_iter().enumerate() {
                if piece.0 == 0 {
                    lines.pop();
                }
                lines.push(piece.1);
            }
        }
    }
    lines
}

/// [`break_lines`] into at most `most` lines, the last one ending in "…" if something had to go.
pub(crate) fn break_few(text: &str, limit: f64, most: usize, measure: impl Fn(&str) -> f64) -> Vec<String> {
    let mut lines = break_lines(text, limit, &measure);
    if lines.len() > most {
        let rest = lines.split_off(most.saturating_sub(1)).join(" ");
        lines.push(shorten(&rest, limit, &measure));
    }
    lines
}

/// The text, or as much of its beginning as fits, followed by "…".
pub(crate) fn shorten(text: &str, limit: f64, measure: impl Fn(&str) -> f64) -> String {
    if measure(text) <= limit {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in text.chars() {
        kept.push(c);
        if measure(&kept) + measure("…") > limit {
            kept.pop();
            break;
        }
    }
    format!("{}…", kept.trim_end())
}

/// Cuts a text anywhere, but after a mark between the parts of a long name where one is near the end of the line.
fn cut(text: &str, limit: f64, measure: impl Fn(&str) -> f64) -> Vec<String> {
    let mut pieces = vec![String::new()];
    for c in text.chars() {
        let Some(last) = pieces.last_mut() else { break };
        last.push(c);
        if measure(last) > limit && last.chars().count() > 1 && char_columns(c) > 0 {
            last.pop();
            let mut next = c.to_string();
            let mark = last.rfind(['.', '_', '/']).map(|at| at + 1).filter(|at| 2 * at > last.len());
            if let Some(at) = mark.filter(|at| measure(&format!("{}{c}", &last[*at..])) <= limit) {
                next = last.split_off(at) + &next;
            }
            pieces.push(next);
        }
    }
    pieces
}

/// Cleaned names; where two would look the same once `shorten`ed, all get their number in front.
pub(crate) fn distinct<'a>(names: impl IntoIterator<Item = &'a str>, shorten: impl Fn(&str) -> String) -> Vec<String> {
    let names: Vec<String> = names.into_iter().map(clean).collect();
    let short: Vec<String> = names.iter().map(|name| shorten(name)).collect();
    let alike = short.iter().enumerate().any(|(i, name)| short[..i].contains(name));
    if alike { names.iter().enumerate().map(|(i, name)| format!("{}: {name}", i + 1)).collect() } else { names }
}

/// A part of a file name: lower-case ASCII letters and digits with single hyphens between, at most `most` characters.
pub(crate) fn slug(text: &str, most: usize) -> String {
    let mut out = String::new();
    for c in text.chars() {
        if out.len() >= most {
            break;
        }
        if c.is_ascii_alphanumeric() {
            out.push(c.to_ascii_lowercase());
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    out.trim_end_matches('-').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hostile_characters_are_neutralised() {
        assert_eq!(clean("a\u{1b}[31mb"), "a\u{fffd}[31mb");
        assert_eq!(clean("a\u{202e}b\u{2066}c\nd\te"), "abc d e");
        assert_eq!(clean("x\u{0}\u{ffff}\u{85}y"), "x\u{fffd}\u{fffd} y");
        assert_eq!(clean(" \u{200b}\n"), "(no name)");
        assert_eq!(clean(&format!("a{}", "\u{301}".repeat(50))).chars().count(), 4);
    }

    #[test]
    fn lines_keep_to_their_width() {
        let measure = |text: &str| columns(text) as f64;
        for text in ["one two three four", "日本語の長い名前です", &"x".repeat(57), "a \u{301}b"] {
            for limit in [2, 5, 11] {
                let lines = break_lines(text, limit as f64, measure);
                assert!(lines.iter().all(|line| columns(line) <= limit), "{text} at {limit}: {lines:?}");
                assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
                let few = break_few(text, limit as f64, 2, measure);
                assert!(few.len() <= 2 && few.iter().all(|line| columns(line) <= limit), "{few:?}");
            }
        }
    }

    #[test]
    fn long_names_are_cut_between_their_parts() {
        let measure = |text: &str| columns(text) as f64;
        let lines = break_lines("meters.bench sensor.by_source.high_pressure_sodium", 24.0, measure);
        assert_eq!(lines, ["meters.bench sensor.by_", "source.high_pressure_", "sodium"]);
        assert_eq!(break_lines("abcdefgh_ijk", 4.0, measure), ["abcd", "efgh", "_ijk"]);
    }

    #[test]
    fn names_that_look_alike_get_numbers() {
        let cut = |name: &str| name.chars().take(3).collect::<String>();
        assert_eq!(distinct(["lamp one", "lamp two"], cut), ["1: lamp one", "2: lamp two"]);
        assert_eq!(distinct(["arc", "led"], cut), ["arc", "led"]);
    }

    #[test]
    fn slugs_are_safe() {
        assert_eq!(slug("A cheap arc", 24), "a-cheap-arc");
        assert_eq!(slug("../..\\etc:pass", 24), "etc-pass");
        assert_eq!(slug("日本", 24), "");
        assert!(slug(&"ab ".repeat(90), 24).len() <= 24);
    }
}
