//! Energy prices, and the monthly fuel adjustments on top.
//!
//! Belongs here: rules for kWh, and what the bounds of their blocks count. Does not belong here: demand.

use serde_json::{Map, Value, json};

use super::desk::{Desk, HIGHEST, MONTHS, listed, quote};
use super::schedule::Schedule;
use super::tiers::Structure;
use super::{ENERGY, desk};
use crate::pointer;

/// What the bounds of a period's tiers count.
enum Counts {
    /// There are no bounds, or they count kWh.
    Plain,
    /// Something that our form can say.
    Known(&'static str),
    /// kVA or hp, which come near to kW but are not the same.
    Near(&'static str),
    /// Several things at once, or something unheard of.
    Odd,
}

/// Reads energy prices into `energy`, and fuel adjustments into `riders`.
pub(super) fn read(desk: &mut Desk, tariff: &mut Map<String, Value>) {
    prices(desk, tariff);
    fuel(desk, tariff);
}

fn prices(desk: &mut Desk, tariff: &mut Map<String, Value>) {
    let Some(structure) = Structure::read(desk, ENERGY, "/kWh", "kwh") else { return };
    if structure.periods.is_empty() {
        desk.fault(&desk.at(structure.name), "an empty list, so no energy prices", "at least one period");
        return;
    }
    let Some(schedule) = Schedule::read(desk, "energy", &structure) else { return };
    let (used, unused): (Vec<usize>, Vec<usize>) =
        (0..structure.periods.len()).partition(|period| schedule.hours(*period) > 0);
    for period in unused {
        desk.no_effect(&format!("{}[{period}]", structure.name), "no hour uses it");
    }
    // The rule that holds whenever no other does comes last; most hours read best there.
    let usual = used.iter().copied().max_by_key(|period| (schedule.hours(*period), usize::MAX - period));
    let ordered = used.iter().copied().filter(|period| Some(*period) != usual).chain(usual);
    let rules: Vec<Value> = ordered
        .map(|period| {
            let mut rule = charge(desk, &structure, period);
            rule.insert("name".to_string(), json!(format!("period {period}")));
            if let Some(when) = schedule.when(period).filter(|_| Some(period) != usual) {
                rule.insert("when".to_string(), when);
            }
            Value::Object(rule)
        })
        .collect();
    let blocks = |rule: &&Value| rule.get("blocks").is_some();
    if rules.iter().filter(blocks).count() > 1 {
        tariff.insert("blocks_shared".to_string(), json!("in_proportion"));
    }
    report(desk, &structure, &schedule, &used, &rules);
    tariff.insert("energy".to_string(), Value::Array(rules));
}

/// The price or blocks of a period, with their unit; whatever is not certain is asked.
fn charge(desk: &mut Desk, structure: &Structure, period: usize) -> Map<String, Value> {
    let tiers = &structure.periods[period];
    let place = format!("{}[{period}]", structure.name);
    if tiers.iter().any(|tier| !tier.is_priced) {
        let question = format!("Energy period {period} has a tier without a price, read as 0: what does it cost?");
        desk.ask(&place, "a tier holds neither rate nor adj and was read as 0", question);
    }
    let mut rule = structure.charge(desk, period);
    let unit = format!("{place}[*].unit");
    match counts(structure, period) {
        Counts::Plain => {}
        Counts::Known(block_unit) => {
            rule.insert("block_unit".to_string(), json!(block_unit));
            desk.mapped(&unit, format!("the bounds of the blocks count {block_unit}"));
        }
        Counts::Near(block_unit) => {
            rule.insert("block_unit".to_string(), json!(block_unit));
            let question = format!(
                "The blocks of energy period {period} ({}) are counted here in {block_unit}: change `up_to` to what the \
                 sheet means.",
                structure.told(period)
            );
            desk.ask(&unit, format!("the bounds count something else and were read as {block_unit}"), question);
        }
        Counts::Odd => {
            // The dearest price errs on the side that a reader notices.
            let dearest = tiers.iter().max_by(|one, other| one.price.total_cmp(&other.price));
            let price = dearest.map(|tier| structure.figure(desk, tier));
            rule = Map::from_iter([("price".to_string(), json!(price))]);
            let question = format!(
                "Energy period {period} counts its tiers in units that have no block of ours: {}. Its dearest price \
                 stands for all of them until the rule is written by hand.",
                structure.told(period)
            );
            desk.ask(
                &unit,
                "the units of the tiers have no block of ours, and the dearest price stands for all",
                question,
            );
        }
    }
    rule
}

fn counts(structure: &Structure, period: usize) -> Counts {
    let tiers = &structure.periods[period];
    let unit = match tiers.first() {
        Some(tier) if structure.has_one_unit(tiers) => structure.unit_of(tier),
        _ => return Counts::Odd,
    };
    let counts = match unit.as_str() {
        "kwh" => Counts::Plain,
        "kwhdaily" => Counts::Known("kWh/day"),
        "kwh/kw" => Counts::Known("kWh/kW"),
        "kwh/kwdaily" => Counts::Known("kWh/kW/day"),
        "kwh/kva" | "kwh/hp" => Counts::Near("kWh/kW"),
        "kwh/kvadaily" | "kwh/hpdaily" => Counts::Near("kWh/kW/day"),
        _ => Counts::Odd,
    };
    match counts {
        // Without a bound there is nothing to count.
        Counts::Known(_) | Counts::Near(_) if tiers.len() == 1 => Counts::Plain,
        counts => counts,
    }
}

/// Reports the structure as a whole. Whether and how periods share their blocks is left open by the format.
fn report(desk: &mut Desk, structure: &Structure, schedule: &Schedule, used: &[usize], rules: &[Value]) {
    let has_blocks = |period: &usize| {
        let name = json!(format!("period {period}"));
        rules.iter().any(|rule| rule["name"] == name && rule.get("blocks").is_some())
    };
    let tiered: Vec<usize> = used.iter().copied().filter(has_blocks).collect();
    let in_month = |month: usize| -> Vec<usize> {
        tiered.iter().copied().filter(|period| schedule.months(*period).contains(&month)).collect()
    };
    let shared: Vec<usize> = (0..12).filter(|month| in_month(*month).len() > 1).collect();
    let mut sharing: Vec<usize> = shared.iter().flat_map(|month| in_month(*month)).collect();
    sharing.sort_unstable();
    sharing.dedup();
    let note = format!("{} of {} periods are used and became rules", used.len(), structure.periods.len());
    let Some(first) = sharing.first() else {
        let alone = "; blocks count the kWh of their own period";
        desk.mapped(structure.name, note + if tiered.is_empty() { "" } else { alone });
        return;
    };
    let is_same = sharing.iter().all(|period| structure.bounds(*period) == structure.bounds(*first));
    let months = match shared.len() {
        12 => "every month".to_string(),
        _ => listed(&shared.iter().map(|month| MONTHS[*month].to_string()).collect::<Vec<_>>()),
    };
    let question = format!(
        "Energy periods {} have blocks side by side in {months}, and the format does not say how they share them. Set \
         `blocks_shared` to what the sheet says: \"in_proportion\" (set now), \"in_time_order\" or \"separate\".{}",
        listed(&sharing.iter().map(usize::to_string).collect::<Vec<_>>()),
        if is_same { "" } else { " Their bounds differ." }
    );
    desk.ask(structure.name, format!("{note}; how they share their blocks is left open"), question);
}

fn fuel(desk: &mut Desk, tariff: &mut Map<String, Value>) {
    let Some(member) = desk.take("fueladjustmentsmonthly") else { return };
    let Some(months) = desk.twelve(member) else { return };
    let at = desk.at(member.name);
    let allowed = format!("a number from -10000000 to 10000000, {}/kWh", desk.currency);
    let prices: Vec<Option<f64>> = (0..12)
        .map(|month| match &months[month] {
            value if desk::is_blank(value) => Some(0.0),
            value => desk.within(&pointer::join(&at, &month.to_string()), value, -HIGHEST..=HIGHEST, &allowed),
        })
        .collect();
    let Some(prices) = prices.into_iter().collect::<Option<Vec<f64>>>() else { return };
    if prices.iter().all(|price| *price == 0.0) {
        desk.no_effect(member.name, "all of it is 0");
        return;
    }
    let note = |month: usize| format!("{}, {}", quote(member.name, 80), MONTHS[month]);
    let by_month: Vec<Value> =
        prices.iter().enumerate().map(|(month, price)| desk.figure(*price, "/kWh", note(month))).collect();
    tariff.insert("riders".to_string(), json!([{ "name": "fuel adjustment", "by_month": by_month }]));
    desk.mapped(member.name, "it became a rider by month");
}
