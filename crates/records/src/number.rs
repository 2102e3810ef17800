//! Numbers as people write them.

use crate::flaw::quoted;

/// What stands between whole numbers and decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Decimals {
    /// 3.5
    #[default]
    Point,
    /// 3,5
    Comma,
}

/// A number as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Number {
    /// Its value; finite.
    pub value: f64,
    /// Whether a `~` before it says that it is only about right.
    pub is_about: bool,
}

/// Reads a number: digits with a decimal mark, a sign and a power of ten if need be, `~` before it for "about".
///
/// Thousands take no sign, because `10,000` is ten somewhere and ten thousand elsewhere.
///
/// ```
/// use records::{Decimals, number};
/// assert_eq!(number("3,5", Decimals::Comma).unwrap().value, 3.5);
/// assert!(number("~9800", Decimals::Point).unwrap().is_about);
/// assert!(number("10,000", Decimals::Comma).is_err() && number("1e999", Decimals::Point).is_err());
/// ```
///
/// # Errors
/// What was found, in plain words.
pub fn number(text: &str, decimals: Decimals) -> Result<Number, String> {
    match two_ways(text, ',') {
        Some(told) => Err(told),
        None => number_where(text, decimals),
    }
}

/// What is said of a number whose mark may part decimals as well as thousands, none where it cannot: one to three digits that
/// do not begin with 0, and three behind each mark.
pub(crate) fn two_ways(text: &str, mark: char) -> Option<String> {
    let digits = bare(text).1;
    let digits = digits.strip_prefix(['-', '+']).unwrap_or(digits);
    let mut parts = digits.split(mark);
    let first = parts.next()?;
    let is_digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    let is_grouped = (1..=3).contains(&first.len())
        && !first.starts_with('0')
        && is_digits(first)
        && digits.len() > first.len()
        && parts.all(|part| part.len() == 3 && is_digits(part));
    let whole = digits.replace(mark, "");
    match digits.matches(mark).count() {
        _ if !is_grouped => None,
        1 => Some(format!("{}, which may mean {whole} or {}", quoted(text.trim()), digits.replace(mark, "."))),
        _ => Some(format!("{}, which may mean {whole}; thousands take no sign", quoted(text.trim()))),
    }
}

/// Whether `~` stands before a number, and what stands behind it.
fn bare(text: &str) -> (bool, &str) {
    let text = text.trim();
    match text.strip_prefix('~') {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text),
    }
}

/// Reads a number where it is known what stands before decimals, so that `951,125` has but one meaning.
///
/// # Errors
/// What was found, in plain words.
pub(crate) fn number_where(text: &str, decimals: Decimals) -> Result<Number, String> {
    let text = text.trim();
    let (is_about, digits) = bare(text);
    let (mark, other) = if decimals == Decimals::Comma { (',', '.') } else { ('.', ',') };
    let is_plain = |c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | 'e' | 'E') || c == mark;
    if digits.contains(other) || !digits.chars().all(is_plain) || !digits.contains(|c: char| c.is_ascii_digit()) {
        return Err(format!("{}, which is no number with a decimal {}", quoted(text), word(decimals)));
    }
    match digits.replace(mark, ".").parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(Number { value, is_about }),
        Ok(_) => Err(format!("{}, which is too large for a number", quoted(text))),
        Err(_) => Err(format!("{}, which is no number with a decimal {}", quoted(text), word(decimals))),
    }
}

fn word(decimals: Decimals) -> &'static str {
    if decimals == Decimals::Comma { "comma" } else { "point" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_in_either_way_of_writing() {
        let of = |text: &str, decimals| number(text, decimals).map(|number| (number.value, number.is_about));
        assert_eq!(of(" 540 ", Decimals::Point), Ok((540.0, false)));
        assert_eq!(of("-1.5e3", Decimals::Point), Ok((-1500.0, false)));
        assert_eq!(of("~ 398,25", Decimals::Comma), Ok((398.25, true)));
        assert_eq!(of("0,125", Decimals::Comma), Ok((0.125, false)));
    }

    #[test]
    fn what_may_mean_two_things_is_refused() {
        for text in ["10,000", "1.5,2", "", "nan", "inf", "1e400", "12 h", "--", "1_000", "٣"] {
            for decimals in [Decimals::Point, Decimals::Comma] {
                assert!(number(text, decimals).is_err(), "{text}");
            }
        }
        assert!(number("3.5", Decimals::Comma).is_err() && number("3,5", Decimals::Point).is_err());
    }
}
