//! Electricity bills against another library's, and against bills worked out with paper and pencil.
//!
//! Belongs here: rooms to be billed, and the comparison of bills with a data file. Does not belong here: what must hold
//! of every bill (`laws::bills`).

mod blocks_by_hand;
mod clock_by_hand;
mod dates_by_hand;
mod demand_by_hand;
mod library;
mod readings;
mod rooms;
mod sums_by_hand;

use std::ops::Range;

use decide::bill::{Bill, BillOrder, SheetBills, bills};
use serde_json::{Value, json};

use crate::support::{option, patched, plan, room};

/// A year of lights under one tariff, from 1 January of a year without summer time or leap day that begins on a Monday.
fn lit(kw: f64, phases: Value, tariff: Value) -> Value {
    // ten fixtures, because one of more than 100 kW would not be believed
    let power = json!({ "is": kw / 10.0, "unit": "kW" });
    let lights = patched(option("lights"), json!({ "fixtures": 10, "wall_power": power }));
    patched(
        room(),
        json!({
            "start": "2018-01-01",
            "horizon_years": 1,
            "currency": "USD",
            "photoperiod": { "already_running": true, "phases": phases },
            "contracts": [{ "name": "c", "tariff": tariff }],
            "options": [lights]
        }),
    )
}

/// One phase that is lit at full power in some windows of each day.
fn daily(windows: &[(&str, &str)]) -> Value {
    let lights: Vec<Value> = windows.iter().map(|(on, off)| json!({ "on": on, "off": off })).collect();
    json!([{ "name": "all", "days": 365, "lights": lights }])
}

/// The bills of a scenario's first year under its only contract.
fn billed(scenario: &Value) -> SheetBills {
    let order = BillOrder { option: 0, months: 12, rooms: vec![] };
    bills(&plan(scenario), &order, "test").unwrap().sheets.remove(0)
}

/// One side of a bill: everything with the lights, or what they add.
#[derive(Clone, Copy, PartialEq)]
enum Side {
    With,
    Added,
}

/// What lines of a part come to on a bill; `fits` chooses by the name on the line.
fn lines(bill: &Bill, side: Side, part: &str, fits: impl Fn(&str) -> bool) -> f64 {
    let chosen = bill.lines.iter().filter(|line| line.part == part && fits(&line.name));
    chosen.map(|line| if side == Side::With { line.amount.with } else { line.amount.difference }).sum()
}

/// kW or kWh of lines of a part on the bill with the lights.
fn quantity(bill: &Bill, part: &str, fits: impl Fn(&str) -> bool) -> f64 {
    bill.lines.iter().filter(|line| line.part == part && fits(&line.name)).map(|line| line.quantity_with).sum()
}

/// The twelve numbers of a list.
fn twelve(list: &Value) -> [f64; 12] {
    serde_json::from_value(list.clone()).unwrap_or_else(|error| panic!("{error}: {list}"))
}

/// Runs of months with equal values, from 0.
fn runs(values: &[f64; 12]) -> Vec<Range<usize>> {
    let mut runs: Vec<Range<usize>> = vec![];
    for month in 0..12 {
        match runs.last_mut() {
            Some(run) if values[run.start] == values[month] => run.end = month + 1,
            _ => runs.push(month..month + 1),
        }
    }
    runs
}

/// A year of 100 kW from 06:00 to 18:00: 1 200 kWh a day, 37 200 in January, 33 600 in February.
fn day_lights(tariff: Value) -> Value {
    lit(100.0, daily(&[("06:00", "18:00")]), tariff)
}

/// Asserts that an amount, kW or kWh is what it was worked out to be; nothing is rounded on the way.
#[track_caller]
fn assert_is(found: f64, by_hand: f64, what: &str) {
    assert!((found - by_hand).abs() <= 1e-6, "{what}: {found} against {by_hand} by hand");
}
