//! Reading the text of one page as RFC 8259 JSON, with nothing forgiven.
//!
//! Belongs here: what makes a text readable or not, in words. Does not belong here: links, what-ifs, shapes.

use std::ops::Range;

use serde_json::Value;
use serde_json::error::Category;

use crate::place::{Place, Twice, survey};
use crate::words::{PLAIN_DIGITS, is_number_sign, quoted};

/// Deepest nesting of objects and lists.
pub(crate) const DEEPEST: usize = 127;

/// Longest name of a member, in bytes.
pub(crate) const LONGEST_NAME: usize = 500;

/// A text that could be read.
#[derive(Debug)]
pub(crate) struct Reading {
    pub value: Value,
    pub place: Place,
    pub twice: Vec<Twice>,
}

/// Why a text could not be read, and where.
#[derive(Debug, PartialEq)]
pub(crate) struct Break {
    pub span: Range<usize>,
    pub found: String,
    pub allowed: String,
    pub hint: Option<String>,
}

/// Reads a text; of the names that stand twice it remembers at most `most`.
pub(crate) fn read(text: &str, most: usize) -> Result<Reading, Break> {
    if text.starts_with('\u{FEFF}') {
        return Err(Break {
            span: 0..'\u{FEFF}'.len_utf8(),
            found: "a byte order mark before the first character".to_string(),
            allowed: "UTF-8 without a byte order mark".to_string(),
            hint: Some("save the file as \"UTF-8\", not as \"UTF-8 with BOM\"".to_string()),
        });
    }
    let value: Value = serde_json::from_str(text).map_err(|error| syntax(text, &error))?;
    if let Some(name) = long_name(&value) {
        return Err(whole(
            text,
            format!("a name of {} bytes, {}", name.len(), quoted(name)),
            "names of at most 500 bytes",
        ));
    }
    let (place, twice) =
        survey(text, most).ok_or_else(|| whole(text, "text that is read in two ways".to_string(), "plain JSON"))?;
    Ok(Reading { value, place, twice })
}

/// How many values a text holds at most, counted without reading it: commas and opening brackets outside quotes.
pub(crate) fn most_values(text: &str) -> usize {
    let mut count = 1;
    let mut quoted = false;
    let mut bytes = text.bytes();
    while let Some(byte) = bytes.next() {
        match byte {
            b'"' => quoted = !quoted,
            b'\\' if quoted => {
                bytes.next();
            }
            b',' | b'[' | b'{' if !quoted => count += 1,
            _ => {}
        }
    }
    count
}

fn whole(text: &str, found: String, allowed: &str) -> Break {
    Break { span: 0..text.len(), found, allowed: allowed.to_string(), hint: None }
}

fn long_name(value: &Value) -> Option<&String> {
    match value {
        Value::Array(elements) => elements.iter().find_map(long_name),
        Value::Object(members) => {
            let long = members.keys().find(|name| name.len() > LONGEST_NAME);
            long.or_else(|| members.values().find_map(long_name))
        }
        _ => None,
    }
}

/// A syntax error in plain words.
fn syntax(text: &str, error: &serde_json::Error) -> Break {
    let span = match error.classify() {
        Category::Eof => text.trim_end().len()..text.trim_end().len(),
        _ => spot(text, byte_of(text, error.line(), error.column())),
    };
    let told = error.to_string();
    let reason = told.rsplit_once(" at line ").map_or(told.as_str(), |(reason, _)| reason);
    let word = &text[span.clone()];
    let in_object = matches!(reason, "key must be a string" | "expected `,` or `}`");
    let mut hint = match is_split_number(text, span.start, in_object) {
        true => Some(PLAIN_DIGITS.to_string()),
        false => hint(text, span.start),
    };
    let (found, allowed) = match reason {
        _ if text.trim().is_empty() => ("an empty file".to_string(), "one JSON object".to_string()),
        _ if error.classify() == Category::Eof => {
            ("the end of the file, with something still open".to_string(), closing(reason).to_string())
        }
        "expected `,` or `}`" => (here(word), "a `,` or a `}` before this".to_string()),
        "expected `,` or `]`" => (here(word), "a `,` or a `]` before this".to_string()),
        "expected `:`" => (here(word), "a `:` before this".to_string()),
        "trailing comma" => {
            hint = Some("leave out the comma before this".to_string());
            (format!("{} after a comma", here(word)), "another member or element after a comma".to_string())
        }
        "trailing characters" => (format!("{} after the end of the value", here(word)), "nothing more".to_string()),
        "key must be a string" => (here(word), "a name in double quotes".to_string()),
        "number out of range" => {
            let written = number_before(text, span.end);
            let found = format!("a number too large to be kept, {}", quoted(&text[written.clone()]));
            let allowed = "numbers between -1.79e308 and 1.79e308".to_string();
            return Break { span: written, found, allowed, hint: None };
        }
        "recursion limit exceeded" => {
            (format!("objects and lists nested deeper than {DEEPEST}"), format!("at most {DEEPEST} levels"))
        }
        "expected value" | "expected ident" => {
            (here(word), "a number, a text in double quotes, true, false, null, a list or an object".to_string())
        }
        "invalid number" => {
            (format!("a broken number near {}", here(word)), "a number such as 46, 0.5 or 1.2e3".to_string())
        }
        "control character (\\u0000-\\u001F) found while parsing a string" => (
            "a line end or control character inside a text".to_string(),
            "a text that ends on its own line".to_string(),
        ),
        other => (format!("broken JSON ({other})"), "plain JSON".to_string()),
    };
    Break { span, found, allowed, hint }
}

/// What is missing where the text ends too early.
fn closing(reason: &str) -> &'static str {
    match reason {
        "EOF while parsing an object" => "a `}` that closes the object",
        "EOF while parsing a list" => "a `]` that closes the list",
        "EOF while parsing a string" => "a `\"` that closes the text",
        _ => "a value",
    }
}

fn here(word: &str) -> String {
    match word {
        "" => "the end of the line".to_string(),
        "`" => "a backquote".to_string(),
        word => quoted(word),
    }
}

/// What would mend a syntax error, judged by what stands there.
fn hint(text: &str, at: usize) -> Option<String> {
    let rest = &text[at..];
    let word = rest.split(|letter: char| !letter.is_alphanumeric()).next().unwrap_or_default();
    let hint = match rest.chars().next()? {
        '/' | '#' => "JSON has no comments; use a `note` instead",
        '\'' | '‘' | '’' | '“' | '”' => "names and texts stand in straight double quotes",
        '+' => "write the number without a `+`",
        '.' => "write a digit before the point, such as 0.5",
        _ if ["NaN", "nan", "Infinity", "inf", "Inf"].contains(&word) => "every number must be finite",
        _ if ["True", "False", "None", "TRUE", "FALSE", "NULL", "Null"].contains(&word) => {
            "write true, false and null in small letters"
        }
        _ => return None,
    };
    Some(hint.to_string())
}

/// Whether a number is broken off at a byte by a comma, a blank or another sign for thousands or decimals.
///
/// In a list, numbers that follow one another are elements with a slip between them rather than one number, unless the
/// second begins like no number does.
fn is_split_number(text: &str, at: usize, in_object: bool) -> bool {
    let is_digit = |letter: char| letter.is_ascii_digit();
    let (before, after) = text.split_at(at);
    let Some(first) = after.chars().next() else { return false };
    if !is_digit(first) {
        return is_number_sign(first) && before.ends_with(is_digit) && after[first.len_utf8()..].starts_with(is_digit);
    }
    // The parser may have stopped inside the second part.
    let before = before.trim_end_matches(is_digit);
    let after = &text[before.len()..];
    let group = after.len() - after.trim_start_matches(is_digit).len();
    let is_group = group == 3 && (in_object || after.starts_with('0'));
    let number = before.trim_end_matches([' ', '\t']);
    let is_apart = number.len() < before.len();
    match number.strip_suffix(',') {
        Some(number) => number.ends_with(is_digit) && (in_object || (is_group && !is_apart)),
        None => is_apart && number.ends_with(is_digit) && is_group,
    }
}

/// The byte of a line (from 1) and a column (in bytes, from 1; 0 means the end of the line before).
fn byte_of(text: &str, line: usize, column: usize) -> usize {
    let skipped = line.saturating_sub(1);
    let start = match skipped {
        0 => 0,
        _ => text
            .bytes()
            .enumerate()
            .filter(|(_, byte)| *byte == b'\n')
            .nth(skipped - 1)
            .map_or(text.len(), |(end, _)| end + 1),
    };
    let byte = (start + column).saturating_sub(1).min(text.len());
    (0..=byte).rev().find(|byte| text.is_char_boundary(*byte)).unwrap_or(0)
}

/// What to underline at a byte: a whole word or name, or one character, or nothing at a line end.
fn spot(text: &str, at: usize) -> Range<usize> {
    let rest = &text[at..];
    if let Some(name) = rest.strip_prefix('"') {
        let end = name.char_indices().take(40).find(|(_, letter)| matches!(letter, '"' | '\\' | '\n'));
        if let Some((end, '"')) = end {
            return at..at + end + 2;
        }
    }
    let word: usize = rest.chars().take(40).take_while(|letter| letter.is_alphanumeric()).map(char::len_utf8).sum();
    let one = rest.chars().next().filter(|letter| !matches!(letter, '\n' | '\r')).map_or(0, char::len_utf8);
    at..at + word.max(one)
}

/// The number that ends at or shortly before a byte.
fn number_before(text: &str, end: usize) -> Range<usize> {
    let is_part = |byte: &u8| byte.is_ascii_digit() || matches!(byte, b'+' | b'-' | b'.' | b'e' | b'E');
    let bytes = text.as_bytes();
    let end = bytes[..end].iter().rposition(is_part).map_or(end, |last| last + 1);
    let end = end + bytes[end..].iter().take_while(|byte| is_part(byte)).count();
    let start = bytes[..end].iter().rposition(|byte| !is_part(byte)).map_or(0, |before| before + 1);
    start..end
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn broken(text: &str) -> (String, String, String) {
        let fault = read(text, 9).unwrap_err();
        (text[fault.span].to_string(), fault.found, fault.allowed)
    }

    fn told(text: &str, span: &str, found: &str, allowed: &str) {
        assert_eq!(broken(text), (span.to_string(), found.to_string(), allowed.to_string()), "{text}");
    }

    #[test]
    fn syntax_errors_say_what_and_where() {
        told("{\"a\": 1 \"b\": 2}", "\"b\"", "`\"b\"`", "a `,` or a `}` before this");
        told("{\"a\": 1\n  \"b\": 2}", "\"b\"", "`\"b\"`", "a `,` or a `}` before this");
        told("[1 2]", "2", "`2`", "a `,` or a `]` before this");
        told("{\"a\" 1}", "1", "`1`", "a `:` before this");
        told("[1,]", "]", "`]` after a comma", "another member or element after a comma");
        told("{\"a\": 1,}", "}", "`}` after a comma", "another member or element after a comma");
        told("{a: 1}", "a", "`a`", "a name in double quotes");
        told("[1] x", "x", "`x` after the end of the value", "nothing more");
        told("[1e400]", "1e400", "a number too large to be kept, `1e400`", "numbers between -1.79e308 and 1.79e308");
        told(
            "[-1e400 ]",
            "-1e400",
            "a number too large to be kept, `-1e400`",
            "numbers between -1.79e308 and 1.79e308",
        );
        told("  ", "", "an empty file", "one JSON object");
        told("{\"a\": [1", "", "the end of the file, with something still open", "a `]` that closes the list");
    }

    #[test]
    fn hints_know_the_usual_slips() {
        let hint = |text: &str| read(text, 9).unwrap_err().hint.unwrap();
        assert_eq!(hint("[1] // x"), "JSON has no comments; use a `note` instead");
        assert_eq!(hint("{'a': 1}"), "names and texts stand in straight double quotes");
        assert_eq!(hint("[NaN]"), "every number must be finite");
        assert_eq!(hint("[-Infinity]"), "every number must be finite");
        assert_eq!(hint("[True]"), "write true, false and null in small letters");
        assert_eq!(hint("[.5]"), "write a digit before the point, such as 0.5");
        assert_eq!(hint("[+5]"), "write the number without a `+`");
        assert_eq!(hint("\u{FEFF}[]"), "save the file as \"UTF-8\", not as \"UTF-8 with BOM\"");
    }

    #[test]
    fn numbers_with_signs_in_them_get_a_hint() {
        let hint = |text: &str| read(text, 9).unwrap_err().hint;
        for text in [
            "{\"a\": 3,5}",
            "{\"a\": 3, 5}",
            "{\"a\": 11,000, \"b\": 1}",
            "{\"a\": 16 000}",
            "{\"a\": 16\u{a0}000}",
            "{\"a\": 16'000}",
            "{\"a\": 16_000}",
            "{\"a\": 1.234.567}",
            "[11,000]",
            "[16 000]",
        ] {
            let told = hint(text);
            assert_eq!(told.as_deref(), Some("decimals need a point (3.5); thousands take no sign (11000)"), "{text}");
        }
        for text in ["[500 510]", "[500, 05]", "{\"a\": 5\n 500}", "{\"a\": 16 00}", "{\"a\": 1 \"b\": 2}", "{5: 1}"] {
            assert_eq!(hint(text), None, "{text}");
        }
    }

    #[test]
    fn depth_and_names_are_bounded() {
        let nested = |depth| "[".repeat(depth) + &"]".repeat(depth);
        assert!(read(&nested(DEEPEST), 9).is_ok());
        assert_eq!(read(&nested(DEEPEST + 1), 9).unwrap_err().allowed, "at most 127 levels");
        assert!(read(&nested(1_000_000), 9).is_err());
        assert!(read(&format!("{{\"{}\": 1}}", "n".repeat(LONGEST_NAME)), 9).is_ok());
        assert!(read(&format!("[{{\"{}\": 1}}]", "n".repeat(LONGEST_NAME + 1)), 9).is_err());
    }

    #[test]
    fn values_are_never_counted_too_low() {
        for (text, most) in [("1", 1), ("[1,2]", 3), (r#"{"a,[":"\",\"","b":[]}"#, 4), ("[]", 2)] {
            assert_eq!(most_values(text), most, "{text}");
        }
    }

    #[test]
    fn strange_bytes_are_placed_on_whole_characters() {
        for text in
            ["[µ]", "{\"a\":µ}", "µ", "[\"\\ud800\"]", "[\"µ\n\"]", "{\n\n", "\n\n]", "[1\n", "\u{2028}[]", "[\"\\µ\"]"]
        {
            let fault = read(text, 9).unwrap_err();
            assert!(text.get(fault.span.clone()).is_some(), "{text:?} {fault:?}");
        }
    }
}
