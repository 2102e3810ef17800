//! The desk on which a rate is taken apart: what is left of it, and what was found out.
//!
//! Belongs here: handing out members, plain values, and collecting faults, questions and the report. Does not belong
//! here: what any member means.

use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use serde_json::{Map, Value, json};

use super::{Fate, Imported, ReportLine};
use crate::fault::Fault;
use crate::pointer;
use crate::words::{self, harmless, shortened};

/// Most faults that are kept; the others are counted.
pub(super) const MOST_FAULTS: usize = 200;

/// Most members of a rate.
const MOST_MEMBERS: usize = 500;

/// Longest name of a member in the report, in characters.
const LONGEST_NAME: usize = 80;

/// Highest price or amount that is believed.
pub(super) const HIGHEST: f64 = 1e7;

pub(super) use crate::words::MONTHS;

/// One member as written.
#[derive(Debug, Clone, Copy)]
pub(super) struct Member<'a> {
    /// Its name, in the original's letters.
    pub name: &'a str,
    /// What it holds.
    pub value: &'a Value,
}

/// What is left of a rate, and what was found out about the rest.
pub(super) struct Desk<'a> {
    /// ISO code of the currency.
    pub currency: &'a str,
    base: &'a str,
    members: BTreeMap<String, Member<'a>>,
    faults: Vec<Fault>,
    uncounted: usize,
    report: Vec<ReportLine>,
    questions: Vec<String>,
}

impl<'a> Desk<'a> {
    /// A whole rate, which stands at `base` in the original.
    pub(super) fn new(rate: &'a Map<String, Value>, base: &'a str, currency: &'a str) -> Self {
        let (members, faults, report, questions) = Default::default();
        let mut desk = Self { currency, base, members, faults, uncounted: 0, report, questions };
        match rate.len() {
            0..=MOST_MEMBERS => desk.members = desk.folded(base, rate),
            many => desk.fault(base, format!("{many} members"), format!("at most {MOST_MEMBERS}")),
        }
        desk
    }

    /// The members of an object by their names in small letters; two that differ in nothing else are a fault.
    pub(super) fn folded(&mut self, at: &str, object: &'a Map<String, Value>) -> BTreeMap<String, Member<'a>> {
        let mut members = BTreeMap::new();
        for (name, value) in object {
            if let Some(first) = members.insert(name.to_lowercase(), Member { name, value }) {
                let found = format!("`{}` beside `{}`", shown(name), shown(first.name));
                self.push(Fault::name(pointer::join(at, name), found, "each name once, in capitals or not"));
            }
        }
        members
    }

    /// Takes a member off the desk by its name in small letters. One that holds nothing is reported and left out.
    pub(super) fn take(&mut self, folded: &str) -> Option<Member<'a>> {
        let member = self.members.remove(folded)?;
        if !is_blank(member.value) {
            return Some(member);
        }
        self.no_effect(member.name, "it holds nothing");
        None
    }

    /// Takes a member that holds a text, a number or a truth value, as text; any other is reported and left out.
    pub(super) fn take_text(&mut self, folded: &str) -> Option<(&'a str, String)> {
        let Member { name, value } = self.take(folded)?;
        match value {
            Value::String(text) => Some((name, text.trim().to_string())),
            Value::Number(_) | Value::Bool(_) => Some((name, value.to_string())),
            _ => {
                self.no_effect(name, "it is no text and was left aside");
                None
            }
        }
    }

    /// Takes the amount that a member holds, and its name; 0 is reported and left out.
    pub(super) fn take_amount(&mut self, folded: &str) -> Option<(&'a str, f64)> {
        let Member { name, value } = self.take(folded)?;
        let allowed = format!("0 to 10000000 {}", self.currency);
        let amount = self.within(&self.at(name), value, 0.0..=HIGHEST, &allowed)?;
        if amount == 0.0 {
            self.no_effect(name, "it is 0");
            return None;
        }
        Some((name, amount))
    }

    /// Names in small letters of the members that are left and fit.
    pub(super) fn left(&self, fits: impl Fn(&str) -> bool) -> Vec<String> {
        self.members.keys().filter(|name| fits(name)).cloned().collect()
    }

    /// The pointer to a member of the rate.
    pub(super) fn at(&self, name: &str) -> String {
        pointer::join(self.base, name)
    }

    /// The pointer to the rate.
    pub(super) fn base(&self) -> &'a str {
        self.base
    }

    /// The number at a place, when it is one inside the range; otherwise that is a fault.
    pub(super) fn within(&mut self, at: &str, value: &Value, range: RangeInclusive<f64>, allowed: &str) -> Option<f64> {
        let number = number(value).filter(|number| range.contains(number));
        if number.is_none() {
            self.fault(at, found(value), allowed);
        }
        number
    }

    /// The twelve elements of a list for the months; anything else is a fault.
    pub(super) fn twelve(&mut self, member: Member<'a>) -> Option<&'a [Value]> {
        let months = member.value.as_array().filter(|months| months.len() == 12);
        if months.is_none() {
            self.fault(&self.at(member.name), found(member.value), "a list of 12, January first");
        }
        months.map(Vec::as_slice)
    }

    /// Notes a fault in a value.
    pub(super) fn fault(&mut self, at: &str, found: impl Into<String>, allowed: impl Into<String>) {
        self.push(Fault::value(at, found, allowed));
    }

    fn push(&mut self, fault: Fault) {
        match self.faults.len() {
            MOST_FAULTS.. => self.uncounted += 1,
            _ => self.faults.push(fault),
        }
    }

    /// Reports that the tariff says the same as a member.
    pub(super) fn mapped(&mut self, member: &str, note: impl Into<String>) {
        self.line(member, Fate::Mapped, note.into());
    }

    /// Reports that a member changes nothing.
    pub(super) fn no_effect(&mut self, member: &str, note: impl Into<String>) {
        self.line(member, Fate::NoEffect, note.into());
    }

    /// Reports that a person must decide about a member, and asks.
    pub(super) fn ask(&mut self, member: &str, note: impl Into<String>, question: impl Into<String>) {
        self.line(member, Fate::NeedsDecision, note.into());
        self.questions.push(question.into());
    }

    /// Reports that a person must decide about a member, for which another one has already asked.
    pub(super) fn asked(&mut self, member: &str, note: impl Into<String>) {
        self.line(member, Fate::NeedsDecision, note.into());
    }

    fn line(&mut self, member: &str, fate: Fate, note: String) {
        self.report.push(ReportLine { member: shown(member), fate, note });
    }

    /// A price or an amount as our form writes it; `per` is what follows the currency, such as "/kWh".
    pub(super) fn figure(&self, is: f64, per: &str, note: impl Into<String>) -> Value {
        json!({ "is": is, "unit": format!("{}{per}", self.currency), "grade": "datasheet", "note": note.into() })
    }

    /// The finished tariff and the report, or the faults.
    pub(super) fn close(mut self, mut tariff: Map<String, Value>) -> Result<Imported, Vec<Fault>> {
        if self.uncounted > 0 {
            let found = format!("{} further faults", self.uncounted);
            self.faults.push(Fault::value(self.base, found, "none"));
        }
        if !self.faults.is_empty() {
            return Err(self.faults);
        }
        if !self.questions.is_empty() {
            tariff.insert("open_questions".to_string(), json!(self.questions));
        }
        Ok(Imported { tariff: Value::Object(tariff), report: self.report })
    }
}

/// The finite number that a value is, as a number or as a text.
pub(super) fn number(value: &Value) -> Option<f64> {
    let number = match value {
        Value::String(text) => text.trim().parse().ok(),
        value => value.as_f64(),
    };
    // −0 would be written as such.
    number.filter(|number| number.is_finite()).map(|number| number + 0.0)
}

/// Whether a value holds any number other than 0; a text counts by its digits.
pub(super) fn holds_number(value: &Value) -> bool {
    match value {
        Value::Array(elements) => elements.iter().any(holds_number),
        Value::Object(members) => members.values().any(holds_number),
        Value::String(text) => number(value).map_or(has_digit(text), |number| number != 0.0),
        value => number(value).is_some_and(|number| number != 0.0),
    }
}

/// Whether a text holds a digit.
pub(super) fn has_digit(text: &str) -> bool {
    text.contains(|letter: char| letter.is_ascii_digit())
}

/// What a value is, in words that are harmless.
pub(super) fn found(value: &Value) -> String {
    harmless(&words::found(value))
}

/// Foreign text as it may be repeated: harmless, on one line, cut at `most` characters.
pub(super) fn quote(text: &str, most: usize) -> String {
    shortened(&harmless(text.trim()), most)
}

/// A number as a person writes it.
pub(super) fn plain(number: f64) -> String {
    if number == 0.0 || (1e-6..1e15).contains(&number.abs()) { number.to_string() } else { format!("{number:e}") }
}

/// Things as a list in words: a, b and c.
pub(super) fn listed(things: &[String]) -> String {
    match things {
        [] => "none".to_string(),
        [only] => only.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

fn shown(name: &str) -> String {
    quote(name, LONGEST_NAME)
}

/// Whether a value holds nothing: null, or a text of blanks.
pub(super) fn is_blank(value: &Value) -> bool {
    value.is_null() || value.as_str().is_some_and(|text| text.trim().is_empty())
}
