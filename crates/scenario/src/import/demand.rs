//! Demand charges: at any time, by the hour of the day, and what else is billed by the peak.
//!
//! Belongs here: rules for kW. Does not belong here: looking back at earlier peaks.

use serde_json::{Map, Value, json};

use super::desk::{Desk, MONTHS, Member, found, holds_number, number, plain, quote};
use super::ratchet;
use super::schedule::{Schedule, months_written};
use super::tiers::Structure;
use crate::pointer;

/// Minutes over which our form averages demand.
const INTERVALS: [f64; 6] = [5.0, 10.0, 15.0, 20.0, 30.0, 60.0];

/// Members that belong to charges at the time of the utility's own peak.
const COINCIDENT: [&str; 5] =
    ["coincidentratestructure", "coincidentrateschedule", "coincidentschedule", "coincidentrateunit", "coincidentunit"];

type Rule = Map<String, Value>;

/// Reads demand charges into `demand` and their interval into `demand_interval`.
pub(super) fn read(desk: &mut Desk, tariff: &mut Map<String, Value>) {
    let mut rules = flat(desk);
    unit(desk, "flatdemandunit", !rules.is_empty());
    let by_hour = by_hour(desk);
    unit(desk, "demandrateunit", !by_hour.is_empty());
    rules.extend(by_hour);
    window(desk, tariff);
    let names: Vec<&str> = rules.iter().filter_map(|rule| rule["name"].as_str()).collect();
    ratchet::read(desk, &names);
    coincident(desk);
    reactive(desk);
    if !rules.is_empty() {
        tariff.insert("demand".to_string(), json!(rules));
    }
}

/// One rule, or one for each kind of month when prices have tiers.
fn flat(desk: &mut Desk) -> Vec<Rule> {
    const MEMBER: &str = "flatdemandmonths";
    let Some(structure) = Structure::read(desk, "flatdemandstructure", "/kW/month", "kw") else {
        orphan(desk, MEMBER, "flatdemandstructure");
        return Vec::new();
    };
    let Some(months) = flat_months(desk, MEMBER, &structure) else { return Vec::new() };
    let mut used = months.clone();
    used.sort_unstable();
    used.dedup();
    for period in (0..structure.periods.len()).filter(|period| !used.contains(period)) {
        desk.no_effect(&format!("{}[{period}]", structure.name), "no month uses it");
    }
    if used.iter().all(|period| structure.is_free(*period)) {
        desk.no_effect(structure.name, "all its prices are 0");
        return Vec::new();
    }
    used.iter().for_each(|period| tier_units(desk, &structure, *period));
    // Periods that cost the same are one.
    let alike =
        |period: usize| used.iter().copied().find(|other| structure.are_alike(period, *other)).unwrap_or(period);
    let months: Vec<usize> = months.into_iter().map(alike).collect();
    let mut kinds = months.clone();
    kinds.sort_unstable();
    kinds.dedup();
    let name = |name: String| ("name".to_string(), Value::String(name));
    if let [only] = kinds[..] {
        let mut rule = structure.charge(desk, only);
        rule.extend([name("any-time demand".to_string())]);
        desk.mapped(structure.name, "it became one demand rule");
        return vec![rule];
    }
    if kinds.iter().all(|period| structure.periods[*period].len() == 1) {
        let price = |period: &usize| structure.figure(desk, &structure.periods[*period][0]);
        let by_month: Value = months.iter().map(price).collect();
        desk.mapped(structure.name, "it became one demand rule with a price for each month");
        return vec![Map::from_iter([name("any-time demand".to_string()), ("by_month".to_string(), by_month)])];
    }
    let note = "its blocks differ by month, so it became a rule for each kind of month; a ratchet added to one of them \
                would not see the peaks of the others";
    desk.mapped(structure.name, note);
    let costs = kinds.into_iter().filter(|period| !structure.is_free(*period));
    costs
        .map(|period| {
            let mut rule = structure.charge(desk, period);
            let here: Vec<usize> = (0..12).filter(|month| months[*month] == period).collect();
            rule.extend([name(format!("any-time demand, period {period}"))]);
            rule.insert("when".to_string(), json!({ "months": months_written(&here) }));
            rule
        })
        .collect()
}

/// The period of each month; period 0 throughout when it is the only one and nothing is said.
fn flat_months(desk: &mut Desk, folded: &str, structure: &Structure) -> Option<Vec<usize>> {
    let Some(member) = desk.take(folded) else {
        if structure.periods.len() > 1 {
            desk.fault(desk.base(), format!("no `{folded}`"), format!("`{folded}`: a list of 12 period numbers"));
        }
        return match structure.periods.as_slice() {
            [tiers] if !tiers.is_empty() => Some(vec![0; 12]),
            _ => None,
        };
    };
    let at = desk.at(member.name);
    let mut months = Vec::new();
    for (month, value) in desk.twelve(member)?.iter().enumerate() {
        let at = pointer::join(&at, &month.to_string());
        match structure.period(value) {
            Some(period) if structure.periods[period].is_empty() => {
                let found = format!("{}: period {period}, which has no tier", MONTHS[month]);
                desk.fault(&at, found, "a period with at least one tier");
            }
            Some(period) => months.push(period),
            None => desk.fault(&at, format!("{}: {}", MONTHS[month], found(value)), structure.allowed()),
        }
    }
    desk.mapped(member.name, "it says which price holds in which month");
    Some(months).filter(|months| months.len() == 12)
}

/// One rule for each period that costs anything.
fn by_hour(desk: &mut Desk) -> Vec<Rule> {
    const MEMBERS: [&str; 2] = ["demandweekdayschedule", "demandweekendschedule"];
    let structure = Structure::read(desk, "demandratestructure", "/kW/month", "kw");
    let Some(structure) = structure else {
        MEMBERS.iter().for_each(|member| orphan(desk, member, "demandratestructure"));
        return Vec::new();
    };
    if (0..structure.periods.len()).all(|period| structure.is_free(period)) {
        desk.no_effect(structure.name, "all its prices are 0");
        for member in MEMBERS {
            if let Some(member) = desk.take(member) {
                desk.no_effect(member.name, "all prices are 0");
            }
        }
        return Vec::new();
    }
    let Some(schedule) = Schedule::read(desk, "demand", &structure) else { return Vec::new() };
    let mut rules = Vec::new();
    for period in 0..structure.periods.len() {
        let place = format!("{}[{period}]", structure.name);
        if schedule.hours(period) == 0 {
            desk.no_effect(&place, "no hour uses it");
        } else if structure.is_free(period) {
            desk.no_effect(&place, "its price is 0");
        } else {
            tier_units(desk, &structure, period);
            let mut rule = structure.charge(desk, period);
            rule.insert("name".to_string(), json!(format!("demand period {period}")));
            if let Some(when) = schedule.when(period) {
                rule.insert("when".to_string(), when);
            }
            rules.push(rule);
        }
    }
    desk.mapped(structure.name, format!("{} of its periods became demand rules", rules.len()));
    rules
}

/// Asks when a tier is counted in anything but kW.
fn tier_units(desk: &mut Desk, structure: &Structure, period: usize) {
    let other = structure.periods[period].iter().find(|tier| structure.unit_of(tier) != "kw");
    if let Some(written) = other.and_then(|tier| tier.unit.as_deref()) {
        let place = format!("{}[{period}][*].unit", structure.name);
        let question = format!(
            "`{}` counts period {period} in \"{}\" and was read in kW: check prices and bounds against the sheet.",
            structure.name,
            quote(written, 40)
        );
        desk.ask(&place, "it is not kW but was read as kW", question);
    }
}

/// The unit of demand prices.
fn unit(desk: &mut Desk, folded: &str, has_prices: bool) {
    let Some((name, unit)) = desk.take_text(folded) else { return };
    if !has_prices {
        desk.no_effect(name, "there is no demand price that it belongs to");
    } else if unit.eq_ignore_ascii_case("kw") {
        desk.mapped(name, "prices are for a kW and a month");
    } else {
        let question = format!(
            "`{name}` is \"{}\", but prices were read as for a kW and a month: change them to what the sheet means.",
            quote(&unit, 40)
        );
        desk.ask(name, "it is not kW, but prices were read as for a kW and a month", question);
    }
}

/// The months or hours of prices that are not there.
fn orphan(desk: &mut Desk, folded: &str, missing: &str) {
    let Some(Member { name, value }) = desk.take(folded) else { return };
    if holds_number(value) {
        let question = format!("`{name}` tells demand periods apart, but `{missing}` with their prices is missing.");
        desk.ask(name, format!("there is no `{missing}` with prices for it"), question);
    } else {
        desk.no_effect(name, format!("there is no `{missing}` with prices for it"));
    }
}

fn window(desk: &mut Desk, tariff: &mut Map<String, Value>) {
    let Some(Member { name, value }) = desk.take("demandwindow") else { return };
    match number(value) {
        Some(minutes) if INTERVALS.contains(&minutes) => {
            tariff.insert("demand_interval".to_string(), json!(minutes as u32));
            desk.mapped(name, "demand is averaged over these minutes");
        }
        Some(minutes) => {
            let question = format!(
                "Demand is averaged over {} min by `{name}`; `demand_interval` can be 5, 10, 15, 20, 30 or 60, and is 15 \
                 until set.",
                plain(minutes)
            );
            desk.ask(name, "it is no interval of ours", question);
        }
        None => desk.fault(&desk.at(name), found(value), "5, 10, 15, 20, 30 or 60 minutes"),
    }
}

/// The hour of the utility's peak is only known afterwards.
fn coincident(desk: &mut Desk) {
    let members: Vec<Member> = COINCIDENT.iter().filter_map(|member| desk.take(member)).collect();
    let has_price = |member: &Member| member.name.to_lowercase().ends_with("structure") && holds_number(member.value);
    if !members.iter().any(has_price) {
        members.iter().for_each(|member| desk.no_effect(member.name, "there is no price at the utility's own peak"));
        return;
    }
    for member in members {
        if has_price(&member) {
            let question = format!(
                "`{}` bills the demand at the hour of the utility's own peak: {}. It is not in the bill; if it matters, \
                 add a demand rule for the hours in which that peak is likely.",
                member.name,
                quote(&member.value.to_string(), 160)
            );
            desk.ask(member.name, "the hour of the utility's peak is only known afterwards", question);
        } else {
            desk.asked(member.name, "it belongs to the price at the utility's own peak");
        }
    }
}

fn reactive(desk: &mut Desk) {
    let Some((name, price)) = desk.take_amount("demandreactivepowercharge") else { return };
    let question = format!(
        "`{name}` is {1} {0}/kvar, without the kvar that are free. If the sheet has such an allowance, add \
         \"power_factor\": {{\"rule\": \"kvar_over_allowance\", \"allowance\": 0.48, \"price\": {{\"is\": {1}, \"unit\": \
         \"{0}/kvar/month\", \"grade\": \"datasheet\"}}}} with the kvar that it frees for each kW (0.48 is a power factor of \
         0.90).",
        desk.currency,
        plain(price)
    );
    desk.ask(name, "the kvar that are free are not stated", question);
}
