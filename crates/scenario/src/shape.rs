//! Whether a value has the shape of a scenario, and if not, what is wrong in words.
//!
//! Belongs here: unknown and missing names, wrong kinds, wrong words. Does not belong here: whether a number makes
//! sense.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use jsonschema::error::ValidationErrorKind;
use jsonschema::types::JsonType;
use jsonschema::{ValidationError, Validator};
use serde_json::Value;

use crate::fault::{Fault, Spot};
use crate::pointer;
use crate::schema::{self, SCENARIO};
use crate::unions::{self, Meant};
use crate::words::{did_you_mean, either, found, nearest, quoted, shortened, synonym, unquoted};

/// Most faults that are collected; nobody reads more, and a hostile file could hold one in every value.
const MOST_FAULTS: usize = 10_000;

/// Longest description that is repeated in a message, in characters.
const LONGEST_PURPOSE: usize = 200;

/// Most names of an object that are listed where something else stands in its place.
const MOST_LISTED: usize = 6;

/// A figure for people who know a range rather than a number.
const BELIEF: &str = r#"{"elicited": {"p10": 11000, "p50": 17000, "p90": 22000}, "unit": "h"}"#;

static VALIDATOR: LazyLock<Option<Validator>> =
    LazyLock::new(|| jsonschema::options().with_draft(jsonschema::Draft::Draft202012).build(&SCENARIO).ok());

/// Everything that is wrong with the shape of a scenario.
pub(crate) fn check(value: &Value) -> Vec<Fault> {
    let Some(validator) = VALIDATOR.as_ref() else {
        return vec![Fault::value("", "a scenario that could not be checked", "a schema that is valid")];
    };
    if validator.is_valid(value) {
        return Vec::new();
    }
    let mut list = List::default();
    for error in validator.iter_errors(value) {
        if list.is_full() {
            break;
        }
        list.take(&error);
    }
    // A misspelt name is the cause; that the right one is missing is only its effect.
    // And one thing wrong with a value is enough: a fraction below 0 need not be told twice where counts are.
    let List { mut faults, meant } = list;
    let mut told = BTreeSet::new();
    faults.retain(|fault| fault.spot == Spot::Name || (!meant.contains(&fault.at) && told.insert(fault.at.clone())));
    faults
}

/// The faults so far, and the places that misspelt names were meant for.
#[derive(Default)]
struct List {
    faults: Vec<Fault>,
    meant: BTreeSet<String>,
}

impl List {
    fn is_full(&self) -> bool {
        self.faults.len() >= MOST_FAULTS
    }

    fn take(&mut self, error: &ValidationError) {
        if self.is_full() {
            return;
        }
        let at = error.instance_path().as_str();
        let written: &Value = error.instance();
        match error.kind() {
            ValidationErrorKind::AnyOf { context } => match unions::meant(context, at, written) {
                Meant::Branch(branch) => branch.into_iter().for_each(|error| self.take(error)),
                Meant::Kinds(kinds, linked) => self.wrong_kind(at, written, &kinds, linked),
            },
            ValidationErrorKind::AdditionalProperties { unexpected } => self.unknown(error, at, written, unexpected),
            ValidationErrorKind::Required { property } => {
                let name = property.as_str().unwrap_or_default();
                let at = pointer::join(at, name);
                let allowed = with_purpose(format!("{} is needed here", quoted(name)), &at);
                self.faults.push(Fault::value(at, "nothing", allowed));
            }
            ValidationErrorKind::Type { kind } => self.wrong_kind(at, written, &unions::kinds(kind), false),
            ValidationErrorKind::Minimum { limit } => self.wrong_value(at, written, format!("at least {limit}")),
            ValidationErrorKind::Maximum { limit } => self.wrong_value(at, written, format!("at most {limit}")),
            _ => {
                let words = unions::words(error);
                match words.is_empty() {
                    true => self.wrong_value(at, written, error.masked().to_string()),
                    false => self.wrong_word(at, written, &words),
                }
            }
        }
    }

    fn unknown(&mut self, error: &ValidationError, at: &str, written: &Value, unexpected: &[String]) {
        let path = error.schema_path().as_str();
        let part: Option<&'static Value> = pointer::parent(path).and_then(|(part, _)| SCENARIO.pointer(part));
        let known = part.map(schema::member_names).unwrap_or_default();
        let free: Vec<&'static str> = known.iter().copied().filter(|name| written.get(name).is_none()).collect();
        for name in unexpected {
            if self.is_full() {
                return;
            }
            let place = pointer::join(at, name);
            // A name that is not there yet is more likely meant than one that is there already.
            let among = |names: &[&'static str]| {
                synonym(name, names.iter().copied()).or_else(|| nearest(name, names.iter().copied()))
            };
            let meant = among(&free).or_else(|| among(&known));
            let fault = match meant {
                Some(meant) => {
                    self.meant.insert(pointer::join(at, meant));
                    let allowed = format!("{}, or another name that belongs here", quoted(meant));
                    Fault::name(place, "an unknown name", allowed).with_hint(did_you_mean(meant))
                }
                None => Fault::name(place, "an unknown name", either(&known)),
            };
            self.faults.push(fault);
        }
    }

    fn wrong_kind(&mut self, at: &str, written: &Value, kinds: &[JsonType], linked: bool) {
        let takes_number = kinds.iter().any(|kind| matches!(kind, JsonType::Number | JsonType::Integer));
        let hint = written.as_str().filter(|_| takes_number).and_then(unquoted);
        // Whoever writes words or several numbers where one is expected knows more than one number can say.
        let is_range = hint.is_none() && matches!(written, Value::String(_) | Value::Array(_));
        let is_figure = takes_number && kinds.contains(&JsonType::Object);
        let is_number_of_figure = takes_number && pointer::parent(at).is_some_and(|(_, name)| name == "is");
        let allowed = match is_range {
            true if is_figure => {
                format!("a number, or an object such as {{\"is\": 46, \"grade\": \"invoice\"}} or {BELIEF}")
            }
            true if is_number_of_figure => format!("a number; for a range, write the figure such as {BELIEF}"),
            _ if is_figure => "a number, or an object such as {\"is\": 46, \"grade\": \"invoice\"}".to_string(),
            _ => {
                let kinds = kinds.iter().filter_map(|kind| kind_in_words(*kind, at));
                let link = linked.then(|| "a link such as {\"file\": \"part.json\"}".to_string());
                kinds.chain(link).collect::<Vec<String>>().join(", or ")
            }
        };
        let fault = Fault::value(at, found(written), with_purpose(allowed, at));
        self.faults.push(Fault { hint: hint.map(str::to_string), ..fault });
    }

    fn wrong_word(&mut self, at: &str, written: &Value, words: &[String]) {
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let fault = Fault::value(at, found(written), with_purpose(either(&words), at));
        let meant = written.as_str().and_then(|word| nearest(word, words));
        self.faults.push(match meant {
            Some(word) => fault.with_hint(did_you_mean(word)),
            None => fault,
        });
    }

    fn wrong_value(&mut self, at: &str, written: &Value, allowed: String) {
        self.faults.push(Fault::value(at, found(written), with_purpose(allowed, at)));
    }
}

/// What is allowed, followed by what the member is for, if the schema says so.
fn with_purpose(allowed: String, at: &str) -> String {
    match schema::purpose(at) {
        Some(purpose) => format!("{allowed}. {}", shortened(&purpose, LONGEST_PURPOSE)),
        None => allowed,
    }
}

/// A kind of value in words; null is left out, because leaving the member out says the same.
fn kind_in_words(kind: JsonType, at: &str) -> Option<String> {
    let words = match kind {
        JsonType::Null => return None,
        JsonType::Boolean => "true or false",
        JsonType::Integer => "a whole number",
        JsonType::Number => "a number",
        JsonType::String => "a text",
        JsonType::Array => "a list",
        JsonType::Object => return Some(object_in_words(at)),
    };
    Some(words.to_string())
}

/// What an object at a pointer holds, in words, unless it is too much to be listed.
fn object_in_words(at: &str) -> String {
    let Some(part) = schema::object(at) else { return "an object".to_string() };
    let choice = schema::names_to_choose_from(part);
    let needed = schema::needed_names(part);
    let mut others = schema::member_names(part);
    others.retain(|name| !needed.contains(name) && *name != "$schema");
    if needed.len() > MOST_LISTED {
        return "an object".to_string();
    }
    let listed = |names: &[&str]| names.iter().map(|name| quoted(name)).collect::<Vec<String>>().join(", ");
    let many = needed.len() + others.len() > MOST_LISTED;
    match (needed.is_empty(), others.is_empty()) {
        (true, false) if many && choice.is_empty() => "an object".to_string(),
        (false, false) if many => format!("an object with {} and perhaps others", listed(&needed)),
        (true, true) => "an empty object, {}".to_string(),
        (true, false) if !choice.is_empty() => format!("an object with one of {}", listed(&choice)),
        (true, false) => format!("an object with any of {}", listed(&others)),
        (false, true) => format!("an object with {}", listed(&needed)),
        (false, false) => format!("an object with {} and perhaps {}", listed(&needed), listed(&others)),
    }
}
