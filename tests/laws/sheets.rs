//! Rate sheets, loads and rooms at random, for laws that must hold of every bill.
//!
//! Belongs here: what a random bill is made of. Does not belong here: the laws (`bills`).

use decide::bill::{BillOrder, SheetBills, bills};
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::{Value, json};

use crate::support::{option, patched, plan, room};

/// Minutes of the day as HH:MM.
pub fn clock(minute: u32) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

/// A window of the day on full steps of some minutes, which may run over midnight and is never empty.
pub fn window(step: u32) -> impl Strategy<Value = (u32, u32)> {
    let steps = 1440 / step;
    (0..steps, 1..steps).prop_map(move |(from, length)| (from * step, (from + length) % steps * step))
}

/// Hours of a rule: a window, and now and then days, a season or months.
fn when(step: u32) -> impl Strategy<Value = Value> {
    let days = select(vec![json!({}), json!({ "days": ["weekday"] }), json!({ "days": ["weekend", "wed"] })]);
    let time = select(vec![json!({}), json!({ "seasons": ["a"] }), json!({ "months": [1, 2, 6, 7, 8] })]);
    (window(step), days, time).prop_map(|((from, until), days, time)| {
        patched(patched(json!({ "from": clock(from), "until": clock(until) }), days), time)
    })
}

fn price(most: u32) -> impl Strategy<Value = f64> {
    (0..most).prop_map(|thousandths| f64::from(thousandths) / 1000.0)
}

/// Two blocks, of which the second costs at least as much.
fn blocks(bound: std::ops::Range<u32>, most: u32) -> impl Strategy<Value = Value> {
    (bound, price(most), price(most))
        .prop_map(|(bound, first, more)| json!([{ "up_to": bound, "price": first }, { "price": first + more }]))
}

fn energy() -> impl Strategy<Value = Value> {
    let counted = prop_oneof![
        price(500).prop_map(|price| json!({ "price": price })),
        blocks(500..60_000, 300).prop_map(|blocks| json!({ "blocks": blocks })),
        blocks(10..2_000, 300).prop_map(|blocks| json!({ "blocks": blocks, "block_unit": "kWh/day" })),
    ];
    (proptest::collection::vec((counted.clone(), when(1)), 0..3), counted).prop_map(|(rules, last)| {
        let with_when = rules.into_iter().map(|(rule, when)| patched(rule, json!({ "when": when })));
        with_when.chain([last]).collect()
    })
}

fn demand() -> impl Strategy<Value = Value> {
    let priced = prop_oneof![
        price(20_000).prop_map(|price| json!({ "price": price })),
        blocks(10..200, 10_000).prop_map(|blocks| json!({ "blocks": blocks })),
        (price(20_000), price(20_000)).prop_map(|(a, b)| json!({ "by_season": { "a": a, "b": b } })),
        proptest::collection::vec(price(20_000), 12).prop_map(|by_month| json!({ "by_month": by_month })),
    ];
    let ratchet = (1..100u32, 1..14u32)
        .prop_map(|(share, months)| json!({ "share": f64::from(share) / 100.0, "previous_months": months }));
    (priced, when(30), of(ratchet), of(1..120u32)).prop_map(|(rule, when, ratchet, least)| {
        let more = json!({ "when": when, "ratchet": ratchet, "minimum_kw": least });
        patched(rule, more)
    })
}

/// A sheet without credits: blocks cost more and more, and no percentage is taken of the minimum alone.
pub fn sheet() -> impl Strategy<Value = Value> {
    let fixed = (price(90_000), select(vec!["day", "month", "year"]))
        .prop_map(|(price, each)| json!({ "price": price, "each": each }));
    let minimum = (0..9_000u32, select(vec!["day", "month"]))
        .prop_map(|(price, each)| json!({ "price": if each == "day" { price / 30 } else { price }, "each": each }));
    let parts = select(vec![json!(["energy", "demand", "fixed"]), json!(["subtotal"]), json!(["energy", "riders"])]);
    let percent = (0..30u32, parts).prop_map(|(share, on)| json!({ "share": f64::from(share) / 100.0, "on": on }));
    (
        energy(),
        select(vec!["in_proportion", "in_time_order", "separate"]),
        proptest::collection::vec(price(50).prop_map(|price| json!({ "price": price })), 0..2),
        proptest::collection::vec(demand(), 0..4),
        proptest::collection::vec(fixed, 0..3),
        of(minimum),
        proptest::collection::vec(percent, 0..3),
        select(vec![5, 10, 15, 30]),
    )
        .prop_map(|(energy, shared, riders, demand, fixed, minimum, percent, interval)| {
            json!({
                "seasons": { "a": "03-16..10-14", "b": "10-15..03-15" },
                "energy": energy,
                "blocks_shared": shared,
                "riders": riders,
                "demand_interval": interval,
                "demand": demand,
                "fixed": fixed,
                "minimum_bill": minimum,
                "percent": percent
            })
        })
        // a member that is null is left out
        .prop_map(|sheet| patched(json!({}), sheet))
}

/// What a low power factor may cost.
pub fn power_factor() -> impl Strategy<Value = Value> {
    prop_oneof![
        (50..100u32).prop_map(|below| json!({ "rule": "scale_demand", "below": f64::from(below) / 100.0 })),
        Just(json!({ "rule": "kva_billing" })),
        (0..100u32, price(9_000)).prop_map(|(free, price)| json!({
            "rule": "kvar_over_allowance", "allowance": f64::from(free) / 100.0, "price": price
        })),
        (50..100u32, price(30)).prop_map(|(below, percent)| json!({
            "rule": "percent_per_point", "below": f64::from(below) / 100.0, "percent": percent
        })),
    ]
}

/// Lights and a load beside them.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// Power of the lights, kW.
    pub lights: f64,
    /// Their window.
    pub lit: (u32, u32),
    /// Power of the base load, kW.
    pub base: f64,
    /// Its window.
    pub runs: (u32, u32),
    /// Day on which the meter is read.
    pub read_day: u32,
}

/// A load at random, whose edges may be any minute.
pub fn load() -> impl Strategy<Value = Load> {
    (1..50u32, window(1), 1..150u32, window(1), select(vec![1, 1, 14, 28])).prop_map(
        |(lights, lit, base, runs, read_day)| Load {
            lights: f64::from(lights),
            lit,
            base: f64::from(base),
            runs,
            read_day,
        },
    )
}

impl Load {
    /// A year of it under a tariff, in a zone with summer time, with a little cooling.
    pub fn under(&self, tariff: &Value) -> Value {
        let lights = patched(
            option("lights"),
            json!({ "wall_power": { "is": self.lights, "unit": "kW" }, "power_factor": 0.92 }),
        );
        let window = |(from, until): (u32, u32)| json!({ "from": clock(from), "until": clock(until) });
        patched(
            room(),
            json!({
                "horizon_years": 1,
                "time_zone": "America/Chicago",
                "photoperiod": { "already_running": true, "phases": [{ "name": "all", "days": 365,
                    "lights": [{ "on": clock(self.lit.0), "off": clock(self.lit.1) }] }] },
                "cooling": { "cop": 4, "lag_minutes": 25, "power_factor": 0.85 },
                "base_load": [{ "name": "base", "power": { "is": self.base, "unit": "kW" }, "power_factor": 0.8,
                                "when": window(self.runs) }],
                "contracts": [{ "name": "c", "tariff": tariff, "read_day": self.read_day }],
                "options": [lights]
            }),
        )
    }
}

/// The bills of a scenario's first year.
pub fn billed(scenario: &Value) -> SheetBills {
    let order = BillOrder { option: 0, months: 12, rooms: vec![] };
    bills(&plan(scenario), &order, "test").unwrap().sheets.remove(0)
}

/// Pointers to every number of a sheet that is money, without shares and percentages.
pub fn money(sheet: &Value) -> Vec<String> {
    numbers(sheet).into_iter().filter(|at| !is_share(at)).collect()
}

/// Pointers to every price and share of a sheet; bounds, windows and counts are none.
pub fn prices(sheet: &Value) -> Vec<String> {
    numbers(sheet)
}

fn is_share(at: &str) -> bool {
    at.ends_with("/share") || at.ends_with("/percent")
}

fn numbers(sheet: &Value) -> Vec<String> {
    let is_price = |at: &str| {
        ["/price", "/share", "/percent"].iter().any(|name| at.ends_with(name))
            || at.contains("/by_month/")
            || at.contains("/by_season/")
    };
    fn walk(value: &Value, at: String, found: &mut Vec<String>) {
        match value {
            Value::Array(items) => {
                items.iter().enumerate().for_each(|(k, item)| walk(item, format!("{at}/{k}"), found))
            }
            Value::Object(members) => members.iter().for_each(|(key, item)| walk(item, format!("{at}/{key}"), found)),
            Value::Number(_) => found.push(at),
            _ => {}
        }
    }
    let mut found = vec![];
    walk(sheet, String::new(), &mut found);
    found.retain(|at| is_price(at));
    found
}

/// The number at a place of a sheet.
pub fn number<'a>(sheet: &'a mut Value, at: &str) -> &'a mut Value {
    sheet.pointer_mut(at).unwrap_or_else(|| panic!("no {at}"))
}
