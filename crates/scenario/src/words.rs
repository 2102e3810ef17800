//! Plain words about what was found and what was meant.
//!
//! Belongs here: phrases that several faults share, and making foreign text harmless. Does not belong here: deciding
//! that something is a fault.

use serde_json::Value;

/// Names of the months.
pub const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Longest piece of foreign text that is repeated in a message, in characters.
const LONGEST_QUOTE: usize = 60;

/// Longest name for which a likely meaning is sought, in bytes; comparing longer ones would take long.
const LONGEST_GUESS: usize = 100;

/// What to do about a number with a comma, a blank or another sign in it.
pub(crate) const PLAIN_DIGITS: &str = "decimals need a point (3.5); thousands take no sign (11000)";

/// Names that people know from elsewhere, in the way [`folded`] writes them, and ours for the same thing.
const SYNONYMS: [(&str, &str); 15] = [
    ("likely", "mode"),
    ("most_likely", "mode"),
    ("min", "low"),
    ("minimum", "low"),
    ("lowest", "low"),
    ("max", "high"),
    ("maximum", "high"),
    ("highest", "high"),
    ("std", "sd"),
    ("stdev", "sd"),
    ("std_dev", "sd"),
    ("standard_deviation", "sd"),
    ("sigma", "sd"),
    ("average", "mean"),
    ("value", "is"),
];

/// The same text with everything that could disturb a terminal or hide its meaning replaced, character by character:
/// control characters, and the invisible characters that turn the writing direction or take no room. Line ends and
/// tabs become blanks.
pub fn harmless(text: &str) -> String {
    text.chars()
        .map(|letter| match letter {
            '\n' | '\r' | '\t' | '\u{2028}' | '\u{2029}' => ' ',
            _ if letter.is_control() || is_hidden(letter) => '\u{FFFD}',
            _ => letter,
        })
        .collect()
}

/// Whether a character is invisible and changes how its neighbours look or are read.
fn is_hidden(letter: char) -> bool {
    matches!(letter,
        '\u{AD}' | '\u{34F}' | '\u{61C}' | '\u{115F}' | '\u{1160}' | '\u{17B4}' | '\u{17B5}' | '\u{180B}'..='\u{180F}'
        | '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{3164}' | '\u{FEFF}'
        | '\u{FFA0}' | '\u{FFF0}'..='\u{FFFB}' | '\u{1D173}'..='\u{1D17A}' | '\u{E0000}'..='\u{E0FFF}')
}

/// The first `most` characters of a text, with a mark when there are more.
pub(crate) fn shortened(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_string(),
    }
}

/// A name as it is repeated in a message.
pub(crate) fn quoted(name: &str) -> String {
    format!("`{}`", shortened(name, LONGEST_QUOTE))
}

/// Names as a list in words: `a`, `b` or `c`.
pub(crate) fn either(names: &[&str]) -> String {
    let mut names: Vec<String> = names.iter().map(|name| quoted(name)).collect();
    match names.pop() {
        Some(last) if names.is_empty() => last,
        Some(last) => format!("{} or {last}", names.join(", ")),
        None => "nothing".to_string(),
    }
}

/// What a value is, in words: its kind, and as much of it as fits.
pub(crate) fn found(value: &Value) -> String {
    match value {
        Value::Null => "null".to_string(),
        Value::Bool(truth) => truth.to_string(),
        Value::Number(number) => format!("the number {number}"),
        Value::String(text) => format!("the text \"{}\"", shortened(text, LONGEST_QUOTE)),
        Value::Array(elements) if elements.is_empty() => "an empty list".to_string(),
        Value::Array(elements) => format!("a list of {}", elements.len()),
        Value::Object(members) => match members.keys().next() {
            None => "an empty object".to_string(),
            Some(name) if members.len() == 1 => format!("an object with {}", quoted(name)),
            Some(name) => format!("an object with {} and {} more", quoted(name), members.len() - 1),
        },
    }
}

/// The known name that means the same as the one that was written; nothing when none does.
pub(crate) fn synonym<'a>(written: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if written.len() > LONGEST_GUESS {
        return None;
    }
    let written = folded(written);
    let (_, ours) = SYNONYMS.iter().find(|(theirs, _)| *theirs == written)?;
    known.into_iter().find(|name| name == ours)
}

/// How a number that was written as a text is written as a number; nothing when the text is no number.
pub(crate) fn unquoted(text: &str) -> Option<&'static str> {
    let text = text.trim();
    if text.parse::<f64>().is_ok_and(f64::is_finite) {
        return Some("write the number without quotes");
    }
    let digits = text.strip_prefix(['+', '-', '−']).unwrap_or(text);
    let is_digit = |letter: char| letter.is_ascii_digit();
    let is_number = digits.starts_with(is_digit)
        && digits.ends_with(is_digit)
        && digits.chars().all(|letter| is_digit(letter) || is_number_sign(letter));
    is_number.then_some(PLAIN_DIGITS)
}

/// Whether people write this character inside a number, for thousands or decimals, in one country or another.
pub(crate) fn is_number_sign(letter: char) -> bool {
    matches!(letter, ',' | '.' | '\'' | '’' | '_' | ' ' | '\u{A0}' | '\u{2009}' | '\u{202F}')
}

/// The known name that was most likely meant; nothing when none is near.
pub fn nearest<'a>(written: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if written.len() > LONGEST_GUESS {
        return None;
    }
    let written = folded(written);
    let mut best = None;
    let mut nearness = 0.6;
    for name in known {
        let candidate = folded(name);
        let here = if written.is_empty() || name.len() > LONGEST_GUESS {
            0.0
        } else if written == candidate {
            1.0
        } else {
            let extended =
                written.starts_with(&format!("{candidate}_")) || candidate.starts_with(&format!("{written}_"));
            strsim::normalized_damerau_levenshtein(&written, &candidate).max(if extended { 0.65 } else { 0.0 })
        };
        if here >= nearness && (best.is_none() || here > nearness) {
            best = Some(name);
            nearness = here;
        }
    }
    best
}

/// A name without the differences that people overlook.
fn folded(name: &str) -> String {
    name.to_lowercase().replace(['-', ' ', '.'], "_")
}

/// The hint that asks whether `name` was meant.
pub(crate) fn did_you_mean(name: &str) -> String {
    format!("did you mean {}?", quoted(name))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn harmless_text_keeps_its_length_in_characters() {
        let text = "a\u{1b}[31m\u{202e}b\tµ\u{200d}\n\u{85}";
        assert_eq!(harmless(text), "a\u{FFFD}[31m\u{FFFD}b µ\u{FFFD} \u{FFFD}");
        assert_eq!(harmless(text).chars().count(), text.chars().count());
    }

    #[test]
    fn near_names_are_found_and_far_ones_are_not() {
        let known = ["wall_power", "price", "labour", "b50", "shape", "technology"];
        assert_eq!(nearest("wal_power", known), Some("wall_power"));
        assert_eq!(nearest("Wall-Power", known), Some("wall_power"));
        assert_eq!(nearest("labor", known), Some("labour"));
        assert_eq!(nearest("price_usd", known), Some("price"));
        assert_eq!(nearest("b5", known), Some("b50"));
        assert_eq!(nearest("colour", known), None);
        assert_eq!(nearest("", known), None);
        assert_eq!(nearest(&"p".repeat(1_000_000), known), None);
    }

    #[test]
    fn synonyms_are_found_among_the_known_names_only() {
        let known = ["low", "mode", "high"];
        assert_eq!(synonym("Most likely", known), Some("mode"));
        assert_eq!(synonym("likely", known), Some("mode"));
        assert_eq!(synonym("min", known), Some("low"));
        assert_eq!(synonym("MAX", known), Some("high"));
        assert_eq!(synonym("sigma", known), None);
        assert_eq!(synonym("sigma", ["mean", "sd"]), Some("sd"));
        assert_eq!(synonym("std", ["mean", "sd"]), Some("sd"));
        assert_eq!(synonym("value", ["is", "unit"]), Some("is"));
    }

    #[test]
    fn numbers_in_texts_are_recognized() {
        for text in ["46", " 1e3 ", "-0.5"] {
            assert_eq!(unquoted(text), Some("write the number without quotes"), "{text}");
        }
        for text in ["3,5", "11,000", "16 000", "16\u{a0}000", "1'000", "-1.234,5", "1.234.567"] {
            assert_eq!(unquoted(text), Some(PLAIN_DIGITS), "{text}");
        }
        for text in ["", "often", "2031-01", "22:00", "11-22", "3,", ",5", "inf", "16 kh"] {
            assert_eq!(unquoted(text), None, "{text}");
        }
    }

    #[test]
    fn lists_in_words() {
        assert_eq!(either(&[]), "nothing");
        assert_eq!(either(&["a"]), "`a`");
        assert_eq!(either(&["a", "b", "c"]), "`a`, `b` or `c`");
    }
}
