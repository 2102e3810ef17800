//! Prices by period and tier, which energy and demand share.
//!
//! Belongs here: reading `[period][tier]` and writing it as a price or as blocks. Does not belong here: when a period
//! holds, and what the bounds of its tiers count.

use std::collections::BTreeMap;

use serde_json::{Map, Value, json};

use super::desk::{Desk, HIGHEST, Member, found, is_blank, number, plain, quote};
use super::text::is_price_like;
use crate::pointer;

/// Most periods of a structure: as many as there are hours in its schedules.
const MOST_PERIODS: usize = 576;

/// Most tiers of a period.
const MOST_TIERS: usize = 100;

/// From here on a bound means that there is none.
const NO_LIMIT: f64 = 1e30;

/// One tier: a price up to a bound.
#[derive(Debug, Clone, Default)]
pub(super) struct Tier {
    /// rate + adj, 0 where missing.
    pub price: f64,
    /// Whether either was given.
    pub is_priced: bool,
    /// The bound as written.
    pub max: Option<f64>,
    /// Unit of the bound as written.
    pub unit: Option<String>,
    /// Where the price comes from.
    note: String,
}

/// Prices by period and tier.
pub(super) struct Structure<'a> {
    /// Name of the member, in the original's letters.
    pub name: &'a str,
    /// The tiers of each period.
    pub periods: Vec<Vec<Tier>>,
    /// What a price is for, such as "/kWh".
    per: &'static str,
    /// The unit of tiers that state none, in small letters.
    unit: &'static str,
}

impl<'a> Structure<'a> {
    /// Reads a structure whose prices are per `per`; nothing when it is absent or no list. What does not fit is a fault.
    pub(super) fn read(desk: &mut Desk<'a>, folded: &str, per: &'static str, unit: &'static str) -> Option<Self> {
        let Member { name, value } = desk.take(folded)?;
        let at = desk.at(name);
        let Some(periods) = value.as_array().filter(|periods| periods.len() <= MOST_PERIODS) else {
            desk.fault(&at, found(value), format!("a list of at most {MOST_PERIODS} periods, each a list of tiers"));
            return None;
        };
        let mut structure = Self { name, periods: Vec::new(), per, unit };
        let mut further = BTreeMap::new();
        for (index, period) in periods.iter().enumerate() {
            let at = pointer::join(&at, &index.to_string());
            let Some(tiers) = period.as_array().filter(|tiers| tiers.len() <= MOST_TIERS) else {
                desk.fault(&at, found(period), format!("a list of at most {MOST_TIERS} tiers"));
                structure.periods.push(vec![Tier::default()]);
                continue;
            };
            let tiers = tiers.iter().enumerate().map(|(tier, value)| {
                let at = pointer::join(&at, &tier.to_string());
                structure.tier(desk, &at, (index, tier), value, &mut further)
            });
            let tiers: Vec<Tier> = tiers.collect();
            structure.check_bounds(desk, &at, index, &tiers);
            structure.periods.push(tiers);
        }
        for (name, (place, value)) in further {
            report_further(desk, &name, &place, value);
        }
        Some(structure)
    }

    fn tier(
        &self,
        desk: &mut Desk<'a>,
        at: &str,
        (period, tier): (usize, usize),
        value: &'a Value,
        further: &mut BTreeMap<String, (String, &'a Value)>,
    ) -> Tier {
        let place = format!("{}[{period}][{tier}]", self.name);
        let Value::Object(members) = value else {
            desk.fault(at, found(value), "a tier, as an object with `rate`");
            return Tier::default();
        };
        let mut tier = Tier::default();
        let (mut rate, mut adj) = (None, None);
        for (folded, Member { name, value }) in desk.folded(at, members) {
            let at = pointer::join(at, name);
            let allowed = format!("a number from -10000000 to 10000000, {}{}", desk.currency, self.per);
            match folded.as_str() {
                _ if is_blank(value) => {}
                "rate" => rate = desk.within(&at, value, -HIGHEST..=HIGHEST, &allowed),
                "adj" => adj = desk.within(&at, value, -HIGHEST..=HIGHEST, &allowed),
                "max" => tier.max = desk.within(&at, value, 0.0..=f64::MAX, "a number of at least 0"),
                "unit" => match value.as_str().map(str::trim) {
                    Some("") => {}
                    Some(unit) => tier.unit = Some(unit.to_string()),
                    None => desk.fault(&at, found(value), "a text such as \"kWh\""),
                },
                _ => {
                    further.entry(folded).or_insert_with(|| (format!("{place}.{name}"), value));
                }
            }
        }
        tier.is_priced = rate.is_some() || adj.is_some();
        tier.note = match (rate, adj) {
            (rate, Some(adj)) if adj != 0.0 => {
                format!("{place}: rate {} and adj {}", plain(rate.unwrap_or(0.0)), plain(adj))
            }
            _ => place,
        };
        tier.price = sum(rate.unwrap_or(0.0), adj.unwrap_or(0.0));
        if !(0.0..=HIGHEST).contains(&tier.price) {
            let found = format!("the price {} (rate and adj together)", plain(tier.price));
            desk.fault(at, found, format!("0 to 10000000 {}{}", desk.currency, self.per));
        }
        tier
    }

    /// Bounds must rise from tier to tier, except that the last tier has none whatever is written.
    fn check_bounds(&self, desk: &mut Desk, at: &str, period: usize, tiers: &[Tier]) {
        let Some((last, others)) = tiers.split_last() else { return };
        let mut below = 0.0;
        for (index, tier) in others.iter().enumerate() {
            let at = pointer::join(&pointer::join(at, &index.to_string()), "max");
            let found = tier.max.map_or("no bound".to_string(), |max| format!("the bound {}", plain(max)));
            // Bounds in different units cannot be compared.
            let least = if self.has_one_unit(tiers) { below } else { 0.0 };
            match tier.max {
                Some(max) if max > least && max < NO_LIMIT => below = max,
                _ => desk.fault(
                    &at,
                    found,
                    format!("more than {}, as only the last tier may be without a bound", plain(least)),
                ),
            }
        }
        if let Some(max) = last.max {
            let member = format!("{}[{period}][{}].max", self.name, others.len());
            desk.mapped(&member, format!("the last bound, {}, was read as unbounded", plain(max)));
        }
    }

    /// The unit of a tier's bound: small letters, no blanks.
    pub(super) fn unit_of(&self, tier: &Tier) -> String {
        let compact = |unit: &String| unit.to_lowercase().replace(char::is_whitespace, "");
        tier.unit.as_ref().map_or(self.unit.to_string(), compact)
    }

    /// Whether all tiers state the same unit.
    pub(super) fn has_one_unit(&self, tiers: &[Tier]) -> bool {
        tiers.windows(2).all(|pair| self.unit_of(&pair[0]) == self.unit_of(&pair[1]))
    }

    /// The tiers in words, for a question.
    pub(super) fn told(&self, period: usize) -> String {
        let tier = |tier: &Tier| {
            let unit = quote(tier.unit.as_deref().unwrap_or(self.unit), 20);
            let bound = tier.max.map_or("no bound".to_string(), |max| format!("up to {} {unit}", plain(max)));
            format!("{} {bound}", plain(tier.price))
        };
        let tiers: Vec<String> = self.periods[period].iter().map(tier).collect();
        quote(&tiers.join("; "), 300)
    }

    /// The price of a tier as our form writes it.
    pub(super) fn figure(&self, desk: &Desk, tier: &Tier) -> Value {
        desk.figure(tier.price, self.per, tier.note.as_str())
    }

    /// A period as our form writes it: the members `price`, or `blocks` when it has several tiers.
    pub(super) fn charge(&self, desk: &Desk, period: usize) -> Map<String, Value> {
        let tiers = &self.periods[period];
        let block = |(index, tier): (usize, &Tier)| {
            let price = self.figure(desk, tier);
            match tier.max.filter(|_| index + 1 < tiers.len()) {
                Some(max) => json!({ "up_to": max, "price": price }),
                None => json!({ "price": price }),
            }
        };
        let (name, value) = match tiers.as_slice() {
            [only] => ("price", self.figure(desk, only)),
            tiers => ("blocks", tiers.iter().enumerate().map(block).collect()),
        };
        Map::from_iter([(name.to_string(), value)])
    }

    /// Whether a period costs nothing.
    pub(super) fn is_free(&self, period: usize) -> bool {
        self.periods[period].iter().all(|tier| tier.price == 0.0)
    }

    /// The bounds that count: all but the last.
    pub(super) fn bounds(&self, period: usize) -> Vec<Option<f64>> {
        let tiers = &self.periods[period];
        tiers.iter().take(tiers.len().saturating_sub(1)).map(|tier| tier.max).collect()
    }

    /// Whether two periods cost the same.
    pub(super) fn are_alike(&self, one: usize, other: usize) -> bool {
        let prices = |period: usize| self.periods[period].iter().map(|tier| tier.price).collect::<Vec<_>>();
        prices(one) == prices(other) && self.bounds(one) == self.bounds(other)
    }
}

/// The sum of two decimals, without the dust that binary numbers leave: 0.1 and 0.02 are 0.12.
fn sum(one: f64, other: f64) -> f64 {
    let sum = one + other;
    let short = format!("{sum:.12}").parse().unwrap_or(sum);
    if (short - sum).abs() <= f64::EPSILON * one.abs().max(other.abs()) { short + 0.0 } else { sum }
}

/// Reports a member of tiers that is none of the known ones; the same name is reported once.
fn report_further(desk: &mut Desk, folded: &str, place: &str, value: &Value) {
    match folded {
        "sell" => desk.no_effect(place, "it pays for energy sent out, and a load sends none"),
        _ if is_price_like(folded) && number(value).is_some_and(|number| number != 0.0) => {
            let (place_shown, value) = (quote(place, 80), found(value));
            desk.ask(
                place,
                "it could be a price and is not known here",
                format!("`{place_shown}` holds {value}: is it a price?"),
            );
        }
        _ => desk.no_effect(place, "it is not known here"),
    }
}
