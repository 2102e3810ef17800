//! The life as a part of a scenario: what stands there, with draws in the place of what is uncertain.
//!
//! Belongs here: that JSON. Does not belong here: where the draws come from.

use serde_json::{Map, Value, json};

use crate::learn_life_report::{LearnLifeReport, LearntInput};

/// Share of the variance that the data must have taken for a figure to count as measured.
const MEASURED: f64 = 0.5;
/// Digits of a draw.
const DIGITS: usize = 7;

/// The life of the scenario, as written, with the draws of the belief after the logs in the place of its uncertain inputs, all
/// of one luck. It goes back with `--set` or as a file of its own. None where nothing was uncertain, or the life is no object.
pub fn life_json(report: &LearnLifeReport, written: &Value) -> Option<Value> {
    let belief = report.belief.as_ref()?;
    let mut life = written.as_object()?.clone();
    let deaths = report.counts.deaths();
    let note = format!(
        "after {deaths} death{} among {} lamps of {}",
        if deaths == 1 { "" } else { "s" },
        report.counts.lamps,
        report.logs.join(", ")
    );
    let luck = format!("burn log of {}", report.option);
    for input in &belief.inputs {
        let grade = if belief.data_share >= MEASURED { "measured".into() } else { grade_of(&life, &input.pointer) };
        let before = before(&life, &input.pointer);
        let figure = json!({
            "draws": input.draws.iter().map(|&value| rounded(value)).collect::<Vec<f64>>(),
            "unit": input.unit,
            "grade": grade,
            "luck": luck,
            "note": format!("{note}; before: {before}10 % below {}, half below {}, 90 % below {}", plain(input, 0), plain(input, 1), plain(input, 2)),
        });
        put(&mut life, &input.pointer, figure);
    }
    Some(Value::Object(life))
}

/// A point of the belief before, in few digits.
fn plain(input: &LearntInput, point: usize) -> String {
    let value = [input.before.p10, input.before.p50, input.before.p90][point];
    format!("{:.3e}", value).parse::<f64>().map_or_else(|_| value.to_string(), |value| value.to_string())
}

/// To so many significant digits, which is far finer than any belief.
fn rounded(value: f64) -> f64 {
    format!("{value:.*e}", DIGITS - 1).parse().unwrap_or(value)
}

fn told<'a>(life: &'a Map<String, Value>, pointer: &str, key: &str) -> Option<&'a str> {
    let mut names = pointer.split('/').skip(1);
    let first = life.get(names.next()?)?;
    let figure = names.try_fold(first, |value, name| match value {
        Value::Array(items) => items.get(name.parse::<usize>().ok()?),
        other => other.get(name),
    })?;
    figure.get(key)?.as_str()
}

fn grade_of(life: &Map<String, Value>, pointer: &str) -> String {
    told(life, pointer, "grade").unwrap_or("guess").to_owned()
}

fn before(life: &Map<String, Value>, pointer: &str) -> String {
    told(life, pointer, "note").map_or_else(String::new, |note| format!("{note}; "))
}

/// Puts a value at a place within a life, and makes the objects on the way to it.
fn put(life: &mut Map<String, Value>, pointer: &str, value: Value) {
    let names: Vec<&str> = pointer.split('/').skip(1).collect();
    let Some((last, way)) = names.split_last() else { return };
    let mut at: Option<&mut Value> = None;
    for name in way {
        let next = match at {
            None => Some(life.entry((*name).to_owned()).or_insert_with(|| json!({}))),
            Some(Value::Array(items)) => name.parse::<usize>().ok().and_then(|k| items.get_mut(k)),
            Some(Value::Object(members)) => Some(members.entry((*name).to_owned()).or_insert_with(|| json!({}))),
            Some(_) => None,
        };
        let Some(next) = next else { return };
        at = Some(next);
    }
    match at {
        None => {
            life.insert((*last).to_owned(), value);
        }
        Some(Value::Object(members)) => {
            members.insert((*last).to_owned(), value);
        }
        Some(Value::Array(items)) => {
            if let Some(item) = last.parse::<usize>().ok().and_then(|k| items.get_mut(k)) {
                *item = value;
            }
        }
        Some(_) => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_put_where_they_belong() {
        let mut life = json!({ "b50": 5, "derates": [{ "cause": "other", "factor": 1 }] }).as_object().unwrap().clone();
        put(&mut life, "/b50", json!(1));
        put(&mut life, "/derates/0/factor", json!(2));
        put(&mut life, "/test_stopped_at/alive", json!(3));
        put(&mut life, "/derates/7/factor", json!(4));
        let expected =
            json!({ "b50": 1, "derates": [{ "cause": "other", "factor": 2 }], "test_stopped_at": { "alive": 3 } });
        assert_eq!(Value::Object(life), expected);
        assert_eq!((rounded(12_345.678_91), rounded(0.0)), (12_345.68, 0.0));
    }
}
