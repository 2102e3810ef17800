//! One text for one meaning, so that a caller can tell by a hash whether two inputs are the same.
//!
//! Belongs here: the canonical text. Does not belong here: hashing it.

use serde_json::{Map, Number, Value};

/// Whole numbers up to here are the same as integers and as floating-point numbers.
const EXACT: f64 = 9_007_199_254_740_992.0;

/// The canonical text of a value: no blanks, members sorted by name (by code point), numbers in their shortest form
/// that reads back as the same number; `5`, `5.0` and `5e0` are all `5`, and −0 is 0.
pub fn canonical(value: &Value) -> String {
    let mut text = String::new();
    write(value, &mut text);
    text
}

fn write(value: &Value, text: &mut String) {
    match value {
        Value::Array(elements) => {
            text.push('[');
            for (index, element) in elements.iter().enumerate() {
                if index > 0 {
                    text.push(',');
                }
                write(element, text);
            }
            text.push(']');
        }
        Value::Object(members) => {
            // Sorted here, because whether the map sorts is decided by features that other crates may switch on.
            let mut sorted: Vec<_> = members.iter().collect();
            sorted.sort_unstable_by_key(|(name, _)| *name);
            text.push('{');
            for (index, (name, member)) in sorted.into_iter().enumerate() {
                if index > 0 {
                    text.push(',');
                }
                text.push_str(&Value::String(name.clone()).to_string());
                text.push(':');
                write(member, text);
            }
            text.push('}');
        }
        Value::Number(number) => text.push_str(&whole(number).to_string()),
        plain => text.push_str(&plain.to_string()),
    }
}

/// The same number as an integer when it is one that a floating-point number holds exactly. −0 is 0.
fn whole(number: &Number) -> Number {
    match number.as_f64() {
        Some(float) if number.is_f64() && float.fract() == 0.0 && float.abs() < EXACT => Number::from(float as i64),
        _ => number.clone(),
    }
}

/// The same value with `5.0` written as `5` throughout, so that a whole number may be written either way.
pub(crate) fn with_whole_numbers(value: &Value) -> Value {
    match value {
        Value::Number(number) => Value::Number(whole(number)),
        Value::Array(elements) => Value::Array(elements.iter().map(with_whole_numbers).collect()),
        Value::Object(members) => {
            let members = members.iter().map(|(name, member)| (name.clone(), with_whole_numbers(member)));
            Value::Object(members.collect::<Map<_, _>>())
        }
        plain => plain.clone(),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn one_text_for_one_meaning() {
        let one =
            serde_json::from_str(r#"{ "b": [5.0, 1e3, 0.1], "a": {"z": null, "é\n": "µ\"", "y": true} }"#).unwrap();
        let two = serde_json::from_str(r#"{"a":{"y":true,"é\u000a":"\u00b5\"","z":null},"b":[5,1000,1e-1]}"#).unwrap();
        assert_eq!(canonical(&one), r#"{"a":{"y":true,"z":null,"é\n":"µ\""},"b":[5,1000,0.1]}"#);
        assert_eq!(canonical(&one), canonical(&two));
    }

    #[test]
    fn different_numbers_stay_different() {
        let text = |json: &str| canonical(&serde_json::from_str(json).unwrap());
        assert_eq!(text("0.1"), "0.1");
        assert_ne!(text("0.1"), text("0.10000000000000002"));
        assert_eq!(text("-0.0"), "0");
        assert_eq!(text("18446744073709551615"), "18446744073709551615");
        assert_eq!(text("2.5E300"), "2.5e+300");
        assert_eq!(text("5e-324"), "5e-324");
    }
}
