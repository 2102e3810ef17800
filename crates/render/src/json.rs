//! `result.json`: the finished numbers as a file that can be read back.
//!
//! Belongs here: writing and reading the stored form and refusing another version of it. Does not belong here: the
//! shape itself, which is the type [`RunResult`].

use decide::result::{RESULT_FORMAT, RunResult};
use std::fmt;

/// Most contradictions that are told at once.
const MOST_TOLD: usize = 5;

/// Why a stored result could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ReadError {
    /// The text is not JSON, or not of the shape that its version promises.
    Broken(String),
    /// It does not say which version of the shape it is, so it is no result of this program.
    Unmarked,
    /// It does not agree with itself: places, what was found there and what is needed.
    Contradicts(Vec<String>),
    /// It is of another version of the shape.
    OtherFormat {
        /// The version that it is of.
        found: String,
    },
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Broken(why) => write!(f, "the result cannot be read: {why}"),
            Self::Unmarked => write!(f, "this is not a stored result: it has no \"format\" member with a text"),
            Self::Contradicts(faults) => {
                let shown: Vec<String> =
                    faults.iter().take(MOST_TOLD).map(|fault| crate::words::clean(fault)).collect();
                let more = faults.len().saturating_sub(MOST_TOLD);
                let more = if more > 0 { format!("; and {more} more") } else { String::new() };
                write!(f, "the result contradicts itself: {}{more}", shown.join("; "))
            }
            Self::OtherFormat { found } => write!(
                f,
                "the result is of format \"{}\", which this program does not read (`lampledger schema list` names those that \
                 it knows; a run is \"{RESULT_FORMAT}\"); ask again with this program, or read the result with the program that \
                 wrote it",
                crate::words::shorten(&crate::words::clean(found), 60.0, |text| text.chars().count() as f64)
            ),
        }
    }
}

impl std::error::Error for ReadError {}

/// Anything as indented JSON with its members in order and a line break at the end.
pub fn pretty(value: &impl serde::Serialize) -> String {
    serde_json::to_string_pretty(value).map_or_else(|_| String::new(), |text| text + "\n")
}

/// The result as indented JSON with its members in the order of the type and a line break at the end.
///
/// A number that is not finite becomes `null`, which [`read_result`] refuses.
pub fn result_json(result: &RunResult) -> String {
    let mut text = serde_json::to_string_pretty(result).expect("plain data with text keys always serialises");
    text.push('\n');
    text
}

/// Reads a result that [`result_json`] wrote.
///
/// # Errors
/// Another version of the format is named before anything else is looked at, so that its reader is not sent after
/// members that merely moved.
pub fn read_result(text: &str) -> Result<RunResult, ReadError> {
    let value: serde_json::Value = serde_json::from_str(text).map_err(|e| ReadError::Broken(e.to_string()))?;
    match value.get("format").and_then(serde_json::Value::as_str) {
        None => Err(ReadError::Unmarked),
        Some(found) if found != RESULT_FORMAT => Err(ReadError::OtherFormat { found: found.to_owned() }),
        // read again from the text, not from the value, because only then an error knows its line
        Some(_) => serde_json::from_str(text).map_err(|e| ReadError::Broken(e.to_string())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    #[test]
    fn a_result_comes_back_unchanged() {
        for result in [sample::realistic(), sample::hostile(), sample::crowded(), sample::all_equal()] {
            let text = result_json(&result);
            assert_eq!(read_result(&text).unwrap(), result);
            assert_eq!(result_json(&read_result(&text).unwrap()), text);
        }
    }

    #[test]
    fn other_files_are_refused_with_a_reason() {
        let mut other = sample::realistic();
        other.format = "lampledger-result/9".to_owned();
        let error = read_result(&result_json(&other)).unwrap_err();
        assert_eq!(error, ReadError::OtherFormat { found: "lampledger-result/9".to_owned() });
        assert!(error.to_string().contains("lampledger-result/9") && error.to_string().contains(RESULT_FORMAT));
        assert_eq!(read_result("{}").unwrap_err(), ReadError::Unmarked);
        assert_eq!(read_result("[1]").unwrap_err(), ReadError::Unmarked);
        assert!(matches!(read_result("{").unwrap_err(), ReadError::Broken(_)));
        let broken = result_json(&sample::realistic()).replace("\"seed\"", "\"sead\"");
        assert!(matches!(read_result(&broken).unwrap_err(), ReadError::Broken(why) if why.contains("line")));
    }
}
