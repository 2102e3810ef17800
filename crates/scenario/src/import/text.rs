//! What a rate says in words: identity, dates, remarks, and everything that is not known.
//!
//! Belongs here: members that hold no price of their own, or hide one. Does not belong here: prices in their places.

use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp, tz};
use serde_json::{Map, Value, json};

use super::desk::{Desk, Member, found, has_digit, holds_number, number, quote};

/// Longest description that is kept, in characters.
const LONGEST_NOTE: usize = 500;

/// What no rate of this form can say, as a remark on the tariff.
const LIMITS: &str = "Read from a rate in the open URDB form, which knows whole hours, weekdays and weekends only: holidays, \
                      half hours and taxes in percent must be added from the printed sheet.";

/// Stamps stand for a midnight or a morning somewhere in the United States, some hours off midnight in UTC; so much later
/// it is the same day there and in UTC.
const INTO_THE_DAY: SignedDuration = SignedDuration::from_hours(6);

/// Members that say who may have the rate.
const ELIGIBILITY: [&str; 4] = ["peakkw", "voltage", "phasewiring", "demandunits"];

/// Members that identify the rate.
const IDENTITY: [&str; 8] =
    ["sector", "country", "eiaid", "supersedes", "is_default", "approved", "version", "sourceparent"];

/// Words in the names of members that could be prices.
const PRICE_LIKE: [&str; 4] = ["rate", "charge", "price", "adjust"];

/// Whether the name of a member, in small letters, is that of a price.
pub(super) fn is_price_like(folded: &str) -> bool {
    PRICE_LIKE.iter().any(|word| folded.contains(word))
}

/// Reads `name` and `origin`.
pub(super) fn identity(desk: &mut Desk, tariff: &mut Map<String, Value>) {
    let name = desk.take_text("name").map(|(member, name)| {
        desk.mapped(member, "it is the name");
        quote(&name, 200)
    });
    tariff.insert("name".to_string(), json!(name.unwrap_or("a rate without a name".to_string())));
    let parts = [("utility", ""), ("label", "rate "), ("uri", ""), ("source", "printed in ")];
    let parts = parts.into_iter().filter_map(|(folded, lead)| {
        let (member, text) = desk.take_text(folded)?;
        desk.mapped(member, "it stands in the origin");
        Some(format!("{lead}{}", quote(&text, 300)))
    });
    let parts: Vec<String> = parts.collect();
    if !parts.is_empty() {
        tariff.insert("origin".to_string(), json!(parts.join("; ")));
    }
    for folded in IDENTITY {
        if let Some(Member { name, value }) = desk.take(folded) {
            desk.no_effect(name, format!("identity: {}", found(value)));
        }
    }
}

/// Reads `valid`.
pub(super) fn validity(desk: &mut Desk, tariff: &mut Map<String, Value>) {
    let from = date(desk, "startdate", "the first day");
    let until = date(desk, "enddate", "the last day");
    if let (Some((_, first)), Some((name, last))) = (from, until)
        && first > last
    {
        desk.fault(&desk.at(name), format!("{last}, before the first day, {first}"), "the first day or later");
    }
    let dates = [("from", from), ("until", until)];
    let mut valid: Map<String, Value> =
        dates.into_iter().filter_map(|(name, date)| Some((name.to_string(), json!(date?.1.to_string())))).collect();
    if !valid.is_empty() {
        // A lifetime is longer than any sheet holds.
        valid.insert("outside".to_string(), json!("use_anyway"));
        tariff.insert("valid".to_string(), Value::Object(valid));
    }
}

fn date<'a>(desk: &mut Desk<'a>, folded: &str, what: &str) -> Option<(&'a str, Date)> {
    let Member { name, value } = desk.take(folded)?;
    let date = match (number(value), value) {
        (Some(seconds), _) => day_of(seconds),
        (None, Value::String(text)) => text.trim().get(..10).and_then(|day| day.parse().ok()),
        _ => None,
    };
    let date = date.filter(|date| (1900..2200).contains(&date.year()));
    match date {
        Some(date) => desk.mapped(name, format!("{what} is {date}")),
        None => desk.fault(&desk.at(name), found(value), "seconds since 1970, or a date such as \"2031-03-01\""),
    }
    Some((name, date?))
}

/// The day in the United States of a stamp in seconds since 1970.
fn day_of(seconds: f64) -> Option<Date> {
    // Beyond the range of either type the cast ends at the largest number, which is no stamp.
    let stamp = Timestamp::from_second(seconds as i64).ok()?.checked_add(INTO_THE_DAY).ok()?;
    Some(tz::Offset::UTC.to_datetime(stamp).date())
}

/// Reads the description into `note`, and asks about prices that hide in texts. `minimums` are those that members carry.
pub(super) fn remarks(desk: &mut Desk, minimums: &[f64], tariff: &mut Map<String, Value>) {
    let mut note = LIMITS.to_string();
    if let Some((name, text)) = desk.take_text("description") {
        note = format!("{} {note}", quote(&text, LONGEST_NOTE));
        remark(desk, name, &text, minimums, true);
    }
    tariff.insert("note".to_string(), json!(note));
    for folded in desk.left(|name| name.ends_with("comments")) {
        if let Some((name, text)) = desk.take_text(&folded) {
            remark(desk, name, &text, minimums, false);
        }
    }
    for folded in ["demandattrs", "energyattrs", "fixedattrs"] {
        if let Some(member) = desk.take(folded) {
            attributes(desk, member);
        }
    }
    if let Some((name, service)) = desk.take_text("servicetype") {
        let service = quote(&service, 40);
        if service.eq_ignore_ascii_case("bundled") {
            desk.no_effect(name, "bundled: energy and delivery are both in it");
        } else {
            let question = format!(
                "`{name}` is \"{service}\", so this may be only a part of the bill: add what the other supplier charges."
            );
            desk.ask(name, "it may be only a part of the bill", question);
        }
    }
}

/// One text: repeated in the report, and asked about when it states a minimum that no member carries.
fn remark(desk: &mut Desk, name: &str, text: &str, minimums: &[f64], is_note: bool) {
    if let Some(passage) = minimum_in(text, minimums) {
        let passage = quote(passage, 300);
        let question = format!(
            "`{}` speaks of a minimum that no member carries: \"{passage}\". A least bill is `minimum_bill`, a least demand \
             `minimum_kw` of a demand rule.",
            quote(name, 80)
        );
        desk.ask(name, format!("it speaks of a minimum: \"{passage}\""), question);
    } else if !is_note && names_an_amount(text) {
        let told = quote(text, 300);
        let question =
            format!("`{}` names an amount: \"{told}\". Is it a charge that no member carries?", quote(name, 80));
        desk.ask(name, "it names an amount that may be a charge", question);
    } else if is_note {
        desk.mapped(name, "it stands in the note");
    } else {
        desk.no_effect(name, format!("a remark: \"{}\"", quote(text, 200)));
    }
}

/// Whether a text holds a percentage, an amount of dollars or a number with decimals: it may speak of a charge.
fn names_an_amount(text: &str) -> bool {
    let letters: Vec<char> = text.chars().filter(|letter| *letter != ' ').collect();
    let digit = |letter: &char| letter.is_ascii_digit();
    letters.windows(2).any(|pair| digit(&pair[0]) && pair[1] == '%' || pair[0] == '$' && digit(&pair[1]))
        || letters.windows(3).any(|three| digit(&three[0]) && three[1] == '.' && digit(&three[2]))
}

/// The passage around the first word "minimum" that has digits beside it, none of them a number that members carry.
fn minimum_in<'a>(text: &'a str, carried: &[f64]) -> Option<&'a str> {
    const WORD: &str = "minimum";
    // Small letters of ASCII keep every place in the text.
    let folded = text.to_ascii_lowercase();
    let before =
        |start: usize, most: usize| text[..start].char_indices().rev().take(most).last().map_or(start, |at| at.0);
    let after = |end: usize, most: usize| text[end..].char_indices().nth(most).map_or(text.len(), |at| end + at.0);
    folded.match_indices(WORD).find_map(|(start, word)| {
        let end = start + word.len();
        let edge = after(end, 30);
        // A number may run on beyond the edge.
        let edge = text[edge..].find(|letter| !is_digit_like(letter)).map_or(text.len(), |rest| edge + rest);
        let near = [&text[before(start, 12)..start], &text[end..edge]];
        let mut words = near.iter().flat_map(|near| near.split(|letter| !is_digit_like(letter)));
        let is_carried = |word: &str| {
            let number = word.replace(',', "").trim_matches('.').parse();
            number.is_ok_and(|number: f64| carried.contains(&number))
        };
        let states = near.iter().any(|near| has_digit(near)) && !words.any(is_carried);
        states.then(|| &text[before(start, 80)..after(end, 120)])
    })
}

fn is_digit_like(letter: char) -> bool {
    letter.is_ascii_digit() || matches!(letter, '.' | ',')
}

/// Free names and texts, in which real prices hide.
fn attributes(desk: &mut Desk, Member { name, value }: Member) {
    let pairs: Vec<(String, String)> = match value {
        Value::Array(elements) => elements.iter().flat_map(pairs).collect(),
        value => pairs(value),
    };
    let told: Vec<String> = pairs.iter().map(|(key, text)| format!("{}: {}", key.trim(), text.trim())).collect();
    let told = quote(&told.join("; "), 400);
    if pairs.iter().any(|(_, text)| has_digit(text)) {
        let question = format!("`{name}` may hide prices, and none of it is in the bill: {told}");
        desk.ask(name, "it may hide prices", question);
    } else {
        desk.no_effect(name, format!("remarks without a number: {}", quote(&told, 200)));
    }
}

fn pairs(value: &Value) -> Vec<(String, String)> {
    let plain = |value: &Value| value.as_str().map_or_else(|| value.to_string(), str::to_string);
    match value {
        Value::Object(members) => members.iter().map(|(key, value)| (key.clone(), plain(value))).collect(),
        value => vec![(String::new(), plain(value))],
    }
}

/// Whether an unknown member is a table of prices, whatever its own name: something in it is named like one.
fn holds_prices(value: &Value) -> bool {
    match value {
        Value::Array(elements) => elements.iter().any(holds_prices),
        Value::Object(members) => members.iter().any(|(name, value)| {
            is_price_like(&name.to_ascii_lowercase()) && holds_number(value) || holds_prices(value)
        }),
        _ => false,
    }
}

/// Reports whatever is left.
pub(super) fn rest(desk: &mut Desk) {
    for folded in desk.left(|_| true) {
        let Some(Member { name, value }) = desk.take(&folded) else { continue };
        if ELIGIBILITY.iter().any(|start| folded.starts_with(start)) {
            desk.no_effect(name, format!("eligibility ({}); check that the load is inside", found(value)));
        } else if matches!(folded.as_str(), "dgrules" | "usenetmetering" | "sell") {
            desk.no_effect(name, "it is about energy sent out, and a load sends none");
        } else if is_price_like(&folded) && holds_number(value) || holds_prices(value) {
            let (member, told) = (quote(name, 80), quote(&value.to_string(), 200));
            desk.ask(
                name,
                "it could be a price and is not known here",
                format!("`{member}` holds {told}: is it a price?"),
            );
        } else {
            desk.no_effect(name, "it is not known here, and nothing in it is named like a price");
        }
    }
}
