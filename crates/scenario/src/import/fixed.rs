//! Charges that do not depend on use, and the least that a bill comes to.
//!
//! Belongs here: amounts for a day, a month or a year. Does not belong here: minimums that only stand in a text.

use serde_json::{Map, Value, json};

use super::desk::{Desk, plain, quote};

/// An amount and the stretch of time it is for.
#[derive(Debug, Clone, Copy)]
struct Amount<'a> {
    member: &'a str,
    is: f64,
    each: &'static str,
}

/// Reads the customer charge into `fixed`, in the unit it was written in.
pub(super) fn charges(desk: &mut Desk, tariff: &mut Map<String, Value>) {
    let first = with_unit(desk, "fixedchargefirstmeter", "fixedchargeunits");
    let amounts = [first, with_each(desk, "fixedmonthlycharge", "month")];
    if let Some(amount) = choose(desk, amounts, "fixed charge") {
        let price = desk.figure(amount.is, "", amount.member);
        tariff.insert("fixed".to_string(), json!([{ "name": "customer charge", "price": price, "each": amount.each }]));
    }
    if let Some((name, _)) = desk.take_amount("fixedchargeeaaddl") {
        desk.no_effect(name, "it is for further meters, and there is one");
    }
}

/// Reads the minimum charge into `minimum_bill`, and returns all minimums that the members carry.
pub(super) fn minimum(desk: &mut Desk, tariff: &mut Map<String, Value>) -> Vec<f64> {
    let amounts = [
        with_unit(desk, "mincharge", "minchargeunits"),
        with_each(desk, "minmonthlycharge", "month"),
        with_each(desk, "annualmincharge", "year"),
    ];
    if let Some(amount) = choose(desk, amounts, "minimum") {
        let price = desk.figure(amount.is, "", amount.member);
        tariff
            .insert("minimum_bill".to_string(), json!({ "name": "minimum bill", "price": price, "each": amount.each }));
    }
    amounts.iter().flatten().map(|amount| amount.is).collect()
}

fn with_each<'a>(desk: &mut Desk<'a>, folded: &str, each: &'static str) -> Option<Amount<'a>> {
    desk.take_amount(folded).map(|(member, is)| Amount { member, is, each })
}

/// An amount whose unit stands in a member of its own.
fn with_unit<'a>(desk: &mut Desk<'a>, folded: &str, unit: &str) -> Option<Amount<'a>> {
    let amount = desk.take_amount(folded);
    let unit = desk.take_text(unit);
    let Some((member, is)) = amount else {
        if let Some((name, _)) = unit {
            desk.no_effect(name, "there is no amount that it belongs to");
        }
        return None;
    };
    let Some((name, written)) = unit else {
        let question =
            format!("`{member}` has no unit and was read as {} {} each month: check it.", plain(is), desk.currency);
        desk.ask(&format!("{member} (unit)"), "there is none, and a month was assumed", question);
        return Some(Amount { member, is, each: "month" });
    };
    let compact = written.to_lowercase().replace(char::is_whitespace, "");
    let each = match compact.trim_start_matches('$').trim_start_matches('/') {
        "day" => "day",
        "month" => "month",
        "year" => "year",
        _ => {
            let question = format!(
                "`{name}` is \"{}\", and `{member}` was read as {} {} each month: check it.",
                quote(&written, 40),
                plain(is),
                desk.currency
            );
            desk.ask(name, "the unit is not known, and a month was assumed", question);
            return Some(Amount { member, is, each: "month" });
        }
    };
    desk.mapped(name, format!("the amount is for each {each}"));
    Some(Amount { member, is, each })
}

/// The first of several amounts, of which only one can hold; any other is reported, and asked about when it differs.
fn choose<'a, const N: usize>(desk: &mut Desk, amounts: [Option<Amount<'a>>; N], what: &str) -> Option<Amount<'a>> {
    let mut amounts = amounts.into_iter().flatten();
    let first = amounts.next()?;
    desk.mapped(first.member, format!("it became the {what} of each {}", first.each));
    for other in amounts {
        if (other.is, other.each) == (first.is, first.each) {
            desk.no_effect(other.member, format!("`{}` says the same", first.member));
            continue;
        }
        let told = |amount: Amount| {
            format!("`{}` ({} {} each {})", amount.member, plain(amount.is), desk.currency, amount.each)
        };
        let question = format!(
            "The {what} stands twice: as {}, which was used, and as {}: which one holds?",
            told(first),
            told(other)
        );
        desk.ask(other.member, format!("`{}` says something else and was used", first.member), question);
    }
    Some(first)
}
