//! What must hold of every bill, whatever the sheet and the load.
//!
//! Belongs here: relations between two bills of random rooms under random sheets (`sheets`). Does not belong here: what a
//! certain bill comes to (`outside::bills`).

use std::cell::Cell;

use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::{Config, TestRunner};
use serde_json::{Value, json};

use super::sheets::{Load, billed, clock, load, money, number, power_factor, prices, sheet, window};
use crate::support::patched;

fn runner(cases: u32) -> TestRunner {
    TestRunner::new(Config { cases, failure_persistence: None, ..Config::default() })
}

/// Totals of all bills with the lights and without them.
fn totals(scenario: &Value) -> Vec<[f64; 2]> {
    billed(scenario).bills.iter().map(|bill| [bill.total.with, bill.total.without]).collect()
}

/// Whether two amounts are the same but for rounding.
fn same(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * (1.0 + one.abs().max(other.abs()))
}

/// Whether two lists of totals are the same but for rounding.
fn all_same(one: &[[f64; 2]], other: &[[f64; 2]]) -> bool {
    one.len() == other.len() && one.as_flattened().iter().zip(other.as_flattened()).all(|(&a, &b)| same(a, b))
}

#[test]
fn a_dearer_price_never_lowers_a_bill() {
    // a percentage of the minimum alone would break it: what a price adds, the minimum no longer tops up
    let random = (sheet(), prop::option::of(power_factor()), load(), any::<Index>(), 1..400u32);
    let (raised, dearer) = (Cell::new(0), Cell::new(0));
    runner(96)
        .run(&random, |(sheet, power_factor, load, which, more)| {
            let sheet = patched(sheet, json!({ "power_factor": power_factor }));
            let places = prices(&sheet);
            let at = &places[which.index(places.len())];
            let mut dear = sheet.clone();
            let price = number(&mut dear, at);
            let factor = 1.0 + f64::from(more) / 100.0;
            let is_share = at.ends_with("share") || at.ends_with("percent");
            let new = if is_share { price.as_f64().unwrap() + 0.001 } else { price.as_f64().unwrap() * factor + 0.01 };
            *price = json!(new);
            raised.set(raised.get() + 1);
            let (before, after) = (totals(&load.under(&sheet)), totals(&load.under(&dear)));
            for (before, after) in before.as_flattened().iter().zip(after.as_flattened()) {
                prop_assert!(*after >= before - 1e-9 * before.abs(), "{at}: {before} became {after}");
            }
            if !all_same(&before, &after) {
                dearer.set(dearer.get() + 1);
            }
            Ok(())
        })
        .unwrap();
    // most prices do count, or the law would say nothing
    let (raised, dearer) = (raised.get(), dearer.get());
    assert!(dearer * 2 > raised, "{dearer} of {raised}");
}

#[test]
fn more_load_never_lowers_a_bill() {
    // without credits; with blocks that cost more and more (where two prices share blocks that cost less and less, more
    // load under the cheap price moves the dear one into the cheap block); without a price on the power factor, which
    // another load may mend; and without bounds for each kW, which demand widens
    let random = (sheet(), load(), 1..50u32, any::<bool>());
    runner(64)
        .run(&random, |(sheet, load, more, lights)| {
            let mut larger = load.clone();
            let grown = if lights { &mut larger.lights } else { &mut larger.base };
            *grown += f64::from(more);
            let (before, after) = (totals(&load.under(&sheet)), totals(&larger.under(&sheet)));
            for (before, after) in before.as_flattened().iter().zip(after.as_flattened()) {
                prop_assert!(*after >= before - 1e-9 * before.abs(), "{before} became {after}");
            }
            // the lights themselves are a load on top of the rest
            for [with, without] in after {
                prop_assert!(with >= without - 1e-9 * without.abs(), "{with} with lights, {without} without");
            }
            Ok(())
        })
        .unwrap();
}

#[test]
fn lines_add_up_to_the_total_and_their_differences_to_what_the_lights_add() {
    let random = (sheet(), prop::option::of(power_factor()), load(), any::<bool>());
    runner(64)
        .run(&random, |(sheet, power_factor, load, rounded)| {
            let rounding = if rounded { "line" } else { "none" };
            let bills =
                billed(&load.under(&patched(sheet, json!({ "power_factor": power_factor, "rounding": rounding }))));
            for bill in &bills.bills {
                let sum =
                    |of: fn(&decide::bill::ThreeWays) -> f64| bill.lines.iter().map(|line| of(&line.amount)).sum();
                prop_assert!(same(sum(|amount| amount.with), bill.total.with));
                prop_assert!(same(sum(|amount| amount.without), bill.total.without));
                prop_assert!(same(sum(|amount| amount.difference), bill.total.difference));
                prop_assert!(same(bill.total.with - bill.total.without, bill.total.difference));
                for line in &bill.lines {
                    let cents = line.amount.with * 100.0;
                    prop_assert!(!rounded || (cents - cents.round()).abs() < 1e-6, "{} on {}", cents, line.name);
                }
            }
            let sum = |of: fn(&decide::bill::ThreeWays) -> f64| bills.bills.iter().map(|bill| of(&bill.total)).sum();
            prop_assert!(same(sum(|total| total.with), bills.total.with));
            prop_assert!(same(sum(|total| total.difference), bills.total.difference));
            let parts = bills.parts.iter().map(|part| part.amount.with).sum();
            prop_assert!(same(parts, bills.total.with), "parts {parts}, bills {}", bills.total.with);
            Ok(())
        })
        .unwrap();
}

#[test]
fn all_money_times_k_is_the_bill_times_k() {
    let random = (sheet(), prop::option::of(power_factor()), load(), 1..1000u32);
    runner(48)
        .run(&random, |(sheet, power_factor, load, k)| {
            let sheet = patched(sheet, json!({ "power_factor": power_factor }));
            let k = f64::from(k) / 100.0;
            let mut scaled = sheet.clone();
            for at in money(&sheet) {
                let price = number(&mut scaled, &at);
                *price = json!(price.as_f64().unwrap() * k);
            }
            let expected: Vec<[f64; 2]> =
                totals(&load.under(&sheet)).iter().map(|total| total.map(|amount| amount * k)).collect();
            prop_assert!(all_same(&totals(&load.under(&scaled)), &expected));
            Ok(())
        })
        .unwrap();
}

/// Two windows that are one when put together, if there is a minute to cut it at.
fn cut((from, until): (u32, u32), at: u32) -> Option<[(u32, u32); 2]> {
    let inside = (at + 1440 - from) % 1440;
    let length = (until + 1440 - from) % 1440;
    (inside > 0 && inside < length).then_some([(from, at), (at, until)])
}

#[test]
fn an_energy_price_cut_in_two_at_any_minute_changes_no_bill() {
    // except where each price has blocks of its own, which two prices then have twice
    runner(64)
        .run(&(sheet(), load(), window(1), 0..1440u32), |(mut sheet, load, hours, at)| {
            let Some(halves) = cut(hours, at) else { return Ok(()) };
            if sheet["blocks_shared"] == "separate" {
                sheet["blocks_shared"] = json!("in_proportion");
            }
            let rule = sheet["energy"][0].clone();
            let with_hours = |halves: &[(u32, u32)]| {
                let mut sheet = sheet.clone();
                let rules = sheet["energy"].as_array_mut().unwrap();
                for &(from, until) in halves.iter().rev() {
                    let when = json!({ "from": clock(from), "until": clock(until) });
                    rules.insert(0, patched(rule.clone(), json!({ "when": when })));
                }
                totals(&load.under(&sheet))
            };
            prop_assert!(all_same(&with_hours(&halves), &with_hours(&[hours])));
            Ok(())
        })
        .unwrap();
}

#[test]
fn a_base_load_cut_in_two_at_any_minute_changes_no_bill() {
    runner(48)
        .run(&(sheet(), prop::option::of(power_factor()), load(), 0..1440u32), |(sheet, power_factor, load, at)| {
            let Some(halves) = cut(load.runs, at) else { return Ok(()) };
            let scenario = load.under(&patched(sheet, json!({ "power_factor": power_factor })));
            let base = |k: usize| {
                let when = json!({ "from": clock(halves[k].0), "until": clock(halves[k].1) });
                patched(scenario["base_load"][0].clone(), json!({ "name": format!("half {k}"), "when": when }))
            };
            let cut = patched(scenario.clone(), json!({ "base_load": [base(0), base(1)] }));
            prop_assert!(all_same(&totals(&cut), &totals(&scenario)));
            Ok(())
        })
        .unwrap();
}

#[test]
fn a_light_window_cut_in_two_at_any_minute_changes_no_bill() {
    // in a zone without summer time: a window that begins inside the skipped hour is moved on as a whole
    runner(48)
        .run(&(sheet(), load(), 0..1440u32), |(sheet, load, at)| {
            let Some(halves) = cut(load.lit, at) else { return Ok(()) };
            let scenario = patched(load.under(&sheet), json!({ "time_zone": "Etc/UTC" }));
            let mut cut = scenario.clone();
            let window = |(on, off): (u32, u32)| json!({ "on": clock(on), "off": clock(off) });
            cut["photoperiod"]["phases"][0]["lights"] = json!(halves.map(window));
            prop_assert!(all_same(&totals(&cut), &totals(&scenario)));
            Ok(())
        })
        .unwrap();
}

#[test]
fn ways_of_sharing_blocks_agree_when_only_one_price_is_used() {
    // lights and base load keep inside the hours of the first price, and nothing else runs
    let blocks = (1..40_000u32, 1..40_000u32, 0..500u32, 0..500u32, any::<bool>());
    runner(48)
        .run(&(blocks, window(1), load()), |((bound, more, first, then, per_day), hours, load)| {
            let prices = [first, then].map(|price| f64::from(price) / 1000.0);
            let bounds =
                [bound, bound + more].map(|bound| if per_day { f64::from(bound) / 30.0 } else { f64::from(bound) });
            let rule = |scale: f64| {
                json!({
                    "blocks": [{ "up_to": bounds[0] * scale, "price": prices[0] },
                               { "up_to": bounds[1] * scale, "price": prices[1] }, { "price": 0.2 }],
                    "block_unit": if per_day { "kWh/day" } else { "kWh" }
                })
            };
            let when = json!({ "from": clock(hours.0), "until": clock(hours.1) });
            let load = Load { lit: hours, runs: hours, ..load };
            let total = |shared: &str| {
                let first = patched(rule(1.0), json!({ "when": when }));
                let sheet = json!({ "energy": [first, rule(0.5)], "blocks_shared": shared });
                // no plant that runs on after the lights
                totals(&patched(load.under(&sheet), json!({ "cooling": null, "time_zone": "Etc/UTC" })))
            };
            let separate = total("separate");
            prop_assert!(all_same(&total("in_proportion"), &separate), "in proportion");
            prop_assert!(all_same(&total("in_time_order"), &separate), "in time order");
            Ok(())
        })
        .unwrap();
}

#[test]
fn bills_of_parts_of_a_month_add_up_where_nothing_counts_by_the_month() {
    // prices by the hour, riders, and charges for each day or year: whenever the meter is read, the year is the same
    runner(32)
        .run(&(sheet(), load(), 2..29u32), |(sheet, load, read_day)| {
            let mut plain = sheet.clone();
            for rule in plain["energy"].as_array_mut().unwrap() {
                if let Some(blocks) = rule.as_object_mut().unwrap().remove("blocks") {
                    rule.as_object_mut().unwrap().remove("block_unit");
                    rule["price"] = blocks[0]["price"].clone();
                }
            }
            for charge in plain["fixed"].as_array_mut().unwrap() {
                if charge["each"] == "month" {
                    charge["each"] = json!("day");
                }
            }
            let plain = patched(plain, json!({ "demand": [], "minimum_bill": null }));
            let year = |read_day: u32| {
                let bills = billed(&Load { read_day, ..load.clone() }.under(&plain));
                [bills.total.with, bills.total.without, bills.bills.iter().map(|bill| bill.kwh_with).sum()]
            };
            let (by_month, by_reading) = (year(1), year(read_day));
            for (one, other) in by_month.into_iter().zip(by_reading) {
                prop_assert!(same(one, other), "{one} by the month, {other} read on the {read_day}th");
            }
            Ok(())
        })
        .unwrap();
}

#[test]
fn the_order_of_charges_that_add_up_does_not_matter() {
    runner(48)
        .run(&(sheet(), prop::option::of(power_factor()), load(), 1..4usize), |(sheet, power_factor, load, by)| {
            let sheet = patched(sheet, json!({ "power_factor": power_factor }));
            let mut turned = sheet.clone();
            for part in ["demand", "riders", "fixed"] {
                let rules = turned[part].as_array_mut().unwrap();
                let by = if rules.is_empty() { 0 } else { by % rules.len() };
                rules.rotate_left(by);
            }
            prop_assert!(all_same(&totals(&load.under(&turned)), &totals(&load.under(&sheet))));
            Ok(())
        })
        .unwrap();
}

#[test]
fn a_bill_is_the_sum_of_two_loads_where_only_energy_is_billed() {
    // flat prices by the hour know nothing of one another: the lights add what they would cost alone
    runner(32)
        .run(&(sheet(), load()), |(sheet, load)| {
            let mut flat = sheet.clone();
            for rule in flat["energy"].as_array_mut().unwrap() {
                if let Some(blocks) = rule.as_object_mut().unwrap().remove("blocks") {
                    rule.as_object_mut().unwrap().remove("block_unit");
                    rule["price"] = blocks[1]["price"].clone();
                }
            }
            let flat = patched(flat, json!({ "demand": [], "fixed": [], "minimum_bill": null }));
            let beside = billed(&load.under(&flat));
            let alone = billed(&patched(load.under(&flat), json!({ "base_load": [] })));
            for (beside, alone) in beside.bills.iter().zip(&alone.bills) {
                prop_assert!(same(beside.total.difference, alone.total.with));
            }
            Ok(())
        })
        .unwrap();
}
