//! Rates in the open URDB form (rate JSON of the application interface, versions 3 to 8), read into our own form.
//!
//! Belongs here: finding the rate in its wrappings, and the order in which its parts are read. Does not belong here:
//! the parts themselves, and any judgement that a person has to make: those become `open_questions` of the tariff.
//!
//! ```
//! let rate = format!(
//!     r#"{{"energyratestructure": [[{{"rate": 0.1, "adj": 0.02}}]], "energyweekdayschedule": {0},
//!         "energyweekendschedule": {0}}}"#,
//!     serde_json::json!(vec![vec![0; 24]; 12]),
//! );
//! let imported = scenario::import::import(&rate, "USD").unwrap();
//! assert_eq!(imported.tariff["energy"][0]["price"]["is"], 0.12);
//! ```

mod demand;
mod desk;
mod energy;
mod fixed;
mod ratchet;
mod schedule;
mod text;
mod tiers;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use self::desk::Desk;
use crate::fault::Fault;
use crate::lines::Lines;
use crate::pointer;
use crate::shelf::LARGEST_PAGE;
use crate::strict;
use crate::words::harmless;

/// The member by which a rate is known.
const ENERGY: &str = "energyratestructure";

/// The same member in a dump of the whole database, which has another shape, in small letters.
const DUMPED: &str = "energyratestrux";

/// What both begin with.
const SIGN: &str = "energyratestru";

/// Most values that a text may hold.
const MOST_VALUES: usize = 500_000;

/// Most rates of an answer that are named in a fault.
const MOST_NAMED: usize = 10;

/// What became of one member of the original.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Fate {
    /// The tariff says the same.
    Mapped,
    /// It changes nothing on the bill of a load.
    NoEffect,
    /// A person must decide; the tariff has an open question.
    NeedsDecision,
}

/// One line of the report on an import.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ReportLine {
    /// The member of the original, such as `flatdemandstructure[0][1].max`.
    pub member: String,
    /// What became of it.
    pub fate: Fate,
    /// More about it, one sentence. Whatever the original holds, it is harmless to a terminal.
    pub note: String,
}

/// A rate that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Imported {
    /// The tariff, in the shape of [`crate::form::Tariff`].
    pub tariff: Value,
    /// What became of each member of the original; each is named once.
    pub report: Vec<ReportLine>,
}

/// Reads a rate: bare, as the only one in `{"items": […]}`, or either of them as a JSON text inside a JSON text.
///
/// `currency` is the ISO code that units are written with. Names may be in capitals or not, and numbers may be texts.
/// Whatever the format leaves open, or our form cannot say, becomes an open question of the tariff.
///
/// # Errors
///
/// Every fault of the first step that finds any: reading the text, finding the rate, then reading its members. Each
/// points into the original.
pub fn import(text: &str, currency: &str) -> Result<Imported, Vec<Fault>> {
    let mut value = parse(text)?;
    if let Value::String(inner) = &value {
        value = parse(inner)?;
    }
    let (rate, base) = rate_of(&value).map_err(|fault| vec![fault])?;
    let mut desk = Desk::new(rate, &base, currency);
    let mut tariff = Map::new();
    text::identity(&mut desk, &mut tariff);
    text::validity(&mut desk, &mut tariff);
    energy::read(&mut desk, &mut tariff);
    demand::read(&mut desk, &mut tariff);
    fixed::charges(&mut desk, &mut tariff);
    let minimums = fixed::minimum(&mut desk, &mut tariff);
    text::remarks(&mut desk, &minimums, &mut tariff);
    text::rest(&mut desk);
    if let (false, Value::Object(members)) = (base.is_empty(), &value) {
        members.keys().filter(|name| !is_items(name)).for_each(|name| {
            desk.no_effect(&format!("beside the rate: {name}"), "it stands around the rate, not in it");
        });
    }
    desk.close(tariff)
}

/// Whether a text is a rate that [`import`] may be tried on, rather than a tariff in our own form.
pub fn looks_like_a_rate(text: &str) -> bool {
    // Most files need not be read to know that they are none.
    if !text.as_bytes().windows(SIGN.len()).any(|bytes| bytes.eq_ignore_ascii_case(SIGN.as_bytes())) {
        return false;
    }
    let is_rate = |value: &Value| member(value, ENERGY).or_else(|| member(value, DUMPED)).is_some();
    let holds_rate = |value: &Value| {
        let items = member(value, "items").unwrap_or(value);
        is_rate(value) || items.as_array().is_some_and(|items| items.iter().any(is_rate))
    };
    match serde_json::from_str(text) {
        Ok(Value::String(inner)) => serde_json::from_str(&inner).is_ok_and(|value| holds_rate(&value)),
        Ok(value) => holds_rate(&value),
        Err(_) => false,
    }
}

/// Reads one text strictly, with the line in the fault when it cannot be read.
fn parse(text: &str) -> Result<Value, Vec<Fault>> {
    if text.len() > LARGEST_PAGE || strict::most_values(text) > MOST_VALUES {
        let found = format!("{} bytes with some {} values", text.len(), strict::most_values(text));
        return Err(vec![Fault::value("", found, format!("at most {LARGEST_PAGE} bytes and {MOST_VALUES} values"))]);
    }
    let reading = strict::read(text, desk::MOST_FAULTS).map_err(|broken| {
        let (line, column) = Lines::of(text).line_and_column(text, broken.span.start);
        let found = format!("{} (line {line}, column {column})", harmless(&broken.found));
        vec![Fault { hint: broken.hint, ..Fault::value("", found, broken.allowed) }]
    })?;
    if reading.twice.is_empty() {
        return Ok(reading.value);
    }
    Err(reading
        .twice
        .into_iter()
        .map(|twice| Fault::name(twice.at, "a name that stands twice", "each name once"))
        .collect())
}

/// The rate inside its wrapping, and the pointer to it.
fn rate_of(value: &Value) -> Result<(&Map<String, Value>, String), Fault> {
    let (rate, base) = unwrapped(value)?;
    let Value::Object(members) = rate else {
        return Err(Fault::value(base, desk::found(rate), "a rate, as an object with `energyratestructure`"));
    };
    if member(rate, DUMPED).is_some() {
        let found = "the shape of a dump of the whole database (`energyRateStrux`)";
        return Err(Fault::value(base, found, "the shape of the application interface, with `energyratestructure`")
            .with_hint("fetch this one rate by its label, in version 7 or later"));
    }
    match member(rate, ENERGY) {
        Some(_) => Ok((members, base)),
        None => Err(Fault::value(base, "no energy prices: there is no `energyratestructure`", "a whole rate")),
    }
}

/// The only element of `items`, or the value itself when it has none.
fn unwrapped(value: &Value) -> Result<(&Value, String), Fault> {
    let items = value.as_object().filter(|_| member(value, ENERGY).is_none());
    let Some((name, items)) = items.and_then(|members| members.iter().find(|(name, _)| is_items(name))) else {
        // A dump is a bare list; its first element shows the shape.
        let dumped = value.as_array().and_then(|rates| rates.first()).filter(|rate| member(rate, DUMPED).is_some());
        return Ok((dumped.unwrap_or(value), String::new()));
    };
    let at = pointer::join("", name);
    match items.as_array().map(Vec::as_slice) {
        Some([only]) => Ok((only, pointer::join(&at, "0"))),
        Some(rates @ [_, _, ..]) => {
            let found = format!("{} rates: {}", rates.len(), names(rates));
            let hint = "keep one of them in a file of its own, as the rate alone";
            Err(Fault::value(at, found, "exactly one rate").with_hint(hint))
        }
        _ => Err(Fault::value(at, desk::found(items), "a list with exactly one rate")),
    }
}

/// A member by its name in small letters, when it holds anything.
fn member<'a>(value: &'a Value, folded: &str) -> Option<&'a Value> {
    let found = value.as_object()?.iter().find(|(name, _)| name.to_lowercase() == folded);
    found.map(|(_, value)| value).filter(|value| !value.is_null())
}

fn is_items(name: &str) -> bool {
    name.eq_ignore_ascii_case("items")
}

/// The names of rates, as a list in words.
fn names(rates: &[Value]) -> String {
    let name = |rate: &Value| match member(rate, "name").and_then(Value::as_str) {
        Some(name) => format!("\"{}\"", desk::quote(name, 60)),
        None => "one without a name".to_string(),
    };
    let mut named: Vec<String> = rates.iter().take(MOST_NAMED).map(name).collect();
    if rates.len() > MOST_NAMED {
        named.push(format!("and {} more", rates.len() - MOST_NAMED));
    }
    named.join(", ")
}
