//! Looking back at earlier peaks: never mapped, because the format leaves open what a bill needs to know.
//!
//! Belongs here: the questions, with what to add to the tariff once they are answered. Does not belong here: demand
//! prices.

use serde_json::{Map, Value, json};

use super::desk::{Desk, MONTHS, Member, found, listed, number, plain};
use super::schedule::months_written;
use crate::pointer;

/// What our form allows.
const PREVIOUS_MONTHS: std::ops::RangeInclusive<f64> = 1.0..=60.0;

/// What sheets say most often, when nothing is stated.
const USUAL_MONTHS: u32 = 11;

/// Asks about ratchets; `rules` are the names of the demand rules that there are.
pub(super) fn read(desk: &mut Desk, rules: &[&str]) {
    by_month(desk, rules);
    look_back(desk, rules);
}

/// The older member: a share for each month, and no word on how far to look back.
fn by_month(desk: &mut Desk, rules: &[&str]) {
    let Some(member) = desk.take("demandratchetpercentage") else { return };
    let Some(months) = desk.twelve(member) else { return };
    let at = desk.at(member.name);
    let shares: Vec<Option<f64>> = (0..12)
        .map(|month| desk.within(&pointer::join(&at, &month.to_string()), &months[month], 0.0..=100.0, SHARE))
        .collect();
    let Some(shares) = shares.into_iter().collect::<Option<Vec<f64>>>() else { return };
    let lifting: Vec<usize> = (0..12).filter(|month| shares[*month] > 0.0).collect();
    let Some(first) = lifting.first().map(|month| shares[*month]) else {
        desk.no_effect(member.name, "all of it is 0");
        return;
    };
    let mut ratchet =
        Map::from_iter([("share".to_string(), share(first)), ("previous_months".to_string(), json!(USUAL_MONTHS))]);
    if lifting.len() < 12 {
        ratchet.insert("lifts_in_months".to_string(), months_written(&lifting));
    }
    let varies = match lifting.iter().all(|month| shares[*month] == first) {
        true => String::new(),
        false => {
            let told = |month: &usize| format!("{} {}", MONTHS[*month], plain(shares[*month]));
            format!(
                " The share varies ({}), but a rule has one.",
                listed(&lifting.iter().map(told).collect::<Vec<_>>())
            )
        }
    };
    let question = format!(
        "`{}` bills at least a share of {} of earlier peaks, but does not say over how many months, nor for which demand. \
         {}{varies}",
        member.name,
        plain(first),
        to_add(&ratchet, rules)
    );
    desk.ask(member.name, "how far it looks back is not stated", question);
}

/// The newer members: a share, and either a number of months or the months whose peaks count.
fn look_back(desk: &mut Desk, rules: &[&str]) {
    let percent = desk.take("lookbackpercent");
    let others: Vec<Member> =
        ["lookbackrange", "lookbackmonths"].iter().filter_map(|member| desk.take(member)).collect();
    let written = percent.and_then(|member| desk.within(&desk.at(member.name), member.value, 0.0..=100.0, SHARE));
    let (Some(percent), Some(written)) = (percent, written.filter(|share| *share > 0.0)) else {
        percent
            .into_iter()
            .chain(others)
            .for_each(|member| desk.no_effect(member.name, "there is no share to look back for"));
        return;
    };
    let mut ratchet =
        Map::from_iter([("share".to_string(), share(written)), ("previous_months".to_string(), json!(USUAL_MONTHS))]);
    let mut stated = Vec::new();
    for member in others {
        desk.asked(member.name, "it belongs to the share of earlier peaks");
        if member.name.to_lowercase() == "lookbackrange" {
            match number(member.value) {
                Some(range) if range.fract() == 0.0 && PREVIOUS_MONTHS.contains(&range) => {
                    ratchet.insert("previous_months".to_string(), json!(range as u32));
                    stated.push(format!("over {range} months"));
                }
                Some(0.0) => {}
                Some(range) => stated.push(format!("over {} months, which is more than a rule can say", plain(range))),
                None => desk.fault(&desk.at(member.name), found(member.value), "a number of months"),
            }
        } else if let Some(flags) = desk.twelve(member) {
            let flagged: Vec<usize> = (0..12).filter(|month| is_set(&flags[*month])).collect();
            if (1..12).contains(&flagged.len()) {
                ratchet.insert("peaks_of_months".to_string(), months_written(&flagged));
                stated.push("over the months it flags".to_string());
            }
        }
    }
    let reach = if stated.is_empty() { "without saying over how many months".to_string() } else { listed(&stated) };
    let question = format!(
        "`{}` bills at least a share of {} of earlier peaks, {reach}; the format does not say for which demand, and such \
         entries are often wrong, so check the sheet. {}",
        percent.name,
        plain(written),
        to_add(&ratchet, rules)
    );
    desk.ask(percent.name, "which demand it belongs to is not stated", question);
}

const SHARE: &str = "a share from 0 to 1";

/// A share as our form writes it; above 1 it can only be a percentage.
fn share(written: f64) -> Value {
    if written <= 1.0 { json!(written) } else { json!({ "is": written, "unit": "%" }) }
}

fn is_set(flag: &Value) -> bool {
    match flag {
        Value::Bool(flag) => *flag,
        Value::String(text) if number(flag).is_none() => text.trim().eq_ignore_ascii_case("true"),
        flag => number(flag).is_some_and(|number| number != 0.0),
    }
}

/// What a person may add to the tariff, and where.
fn to_add(ratchet: &Map<String, Value>, rules: &[&str]) -> String {
    let rules: Vec<String> = rules.iter().take(12).map(|rule| format!("\"{rule}\"")).collect();
    let place = match rules.as_slice() {
        [] => return "There is no demand rule that could hold it.".to_string(),
        [only] => format!("the demand rule {only}"),
        many => format!("whichever of the demand rules {} the sheet means", listed(many)),
    };
    format!("If the sheet agrees, add \"ratchet\": {} to {place}.", json!(ratchet))
}
