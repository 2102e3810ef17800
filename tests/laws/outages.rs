//! Dark sockets on the bill: energy falls with each, a peak only when no whole interval at it was free of them.
//!
//! Belongs here: bills of ledgers made by hand, and of random ones against a count minute by minute. Does not belong here:
//! bills of a lit room (`bills`).

use engine::{Ledger, Priced, Pricing, price};
use meter::Outage;
use plan::Plan;
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{option, patched, plan, with_options};

const DAY: f64 = 86_400.0;

/// Ten sockets of 1 kW, lit from 20:00 to 08:00 in 2031, under a tariff.
fn room(tariff: Value, more: Value) -> Plan {
    let ten = patched(option("x"), json!({ "fixtures": 10 }));
    let base = json!({
        "horizon_years": 1,
        "photoperiod": { "phases": [{ "name": "p", "days": 365, "lights": [{ "on": "20:00", "off": "08:00" }] }] },
        "contracts": [{ "name": "c", "tariff": tariff }]
    });
    plan(&patched(patched(with_options(vec![ten]), base), more))
}

/// What the lights cost when these sockets are dark, from and to in days of the year.
fn cost(plan: &Plan, dark: &[(f64, f64)]) -> Priced {
    let ledger = Ledger {
        outages: dark.iter().map(|&(from, to)| Outage { from: from * DAY, to: to * DAY }).collect(),
        moles: vec![1.0; plan.months()],
        spot_lamps: vec![0; plan.months()],
        planned_lamps: vec![0; plan.months()],
        lamp_failures: vec![0; plan.months()],
        gear_failures: vec![0; plan.months()],
        gear_repairs: vec![0; plan.months()],
        ..Ledger::default()
    };
    let (mut pricing, mut priced) = (Pricing::default(), Priced::default());
    let values = plan.inputs.draw(1, 0);
    pricing.turn_to(plan, &values, 1, 0);
    price(plan, 0, 0, &values, &ledger, &mut pricing, &mut priced);
    priced
}

fn total(plan: &Plan, dark: &[(f64, f64)]) -> f64 {
    cost(plan, dark).total.iter().sum()
}

fn demand(ratchet: Value) -> Value {
    json!({ "energy": [{ "price": 0 }], "demand": [patched(json!({ "price": 10 }), ratchet)] })
}

#[test]
fn a_dark_socket_lowers_a_peak_only_when_it_spans_it() {
    let plan = room(demand(json!({})), json!({}));
    let minute = 1.0 / 1440.0;
    // the last lit time of January is the 31st, 20:00 to 24:00
    assert_eq!(total(&plan, &[]), 1200.0);
    assert_eq!(total(&plan, &[(4.0, 7.0)]), 1200.0, "three days");
    assert_close(total(&plan, &[(0.0, 31.0)]), 1190.0, 1e-12, "all of January");
    assert_eq!(total(&plan, &[(0.0, 31.0 - 15.0 * minute)]), 1200.0, "all but one interval");
    // 5 min of the last interval dark, 10 min lit: 9 + 10/15 kW
    assert_close(
        total(&plan, &[(0.0, 31.0 - 10.0 * minute)]),
        1190.0 + 10.0 * 10.0 / 15.0,
        1e-12,
        "part of an interval",
    );
    // two sockets whose darkness overlaps: never all lit, at best nine
    assert_close(total(&plan, &[(0.0, 20.0), (15.0, 31.0)]), 1190.0, 1e-12, "one after the other");
    assert_close(total(&plan, &[(0.0, 31.0), (0.0, 31.0)]), 1180.0, 1e-12, "two of ten");
    // two months, the second in part
    assert_close(total(&plan, &[(31.0, 60.0)]), 1190.0, 1e-12, "February and a day");
}

#[test]
fn a_ratchet_remembers_what_was_measured_and_a_lowered_peak_is_lower_for_it_too() {
    let ratchet = |share: f64| demand(json!({ "ratchet": { "share": share, "previous_months": 2 } }));
    // February measures 9; 95 % of January's 10 are billed
    let plan = room(ratchet(0.95), json!({}));
    assert_close(total(&plan, &[(31.0, 59.0)]), 1200.0 - 5.0, 1e-12, "lifted");
    // January and February measure 5 each: March's 10 owes nothing to them
    let half: Vec<(f64, f64)> = vec![(0.0, 59.0); 5];
    assert_close(total(&plan, &half), 1200.0 - 100.0, 1e-12, "low months");
    // from March to December at 5: two months are lifted to 9.5, the rest is as measured
    let late: Vec<(f64, f64)> = vec![(59.0, 365.0); 5];
    assert_close(total(&plan, &late), 200.0 + 2.0 * 95.0 + 8.0 * 50.0, 1e-12, "two months of memory");
    // the next trial without darkness does not remember this one
    assert_eq!(total(&plan, &[]), 1200.0);
}

#[test]
fn cooling_that_follows_later_is_dark_later() {
    // cooling draws what the lights drew an hour before: from 21:00 to 08:00 both are on, 20 kW
    let cooling = json!({ "cooling": { "cop": 1, "lag_minutes": 60 } });
    let plan = room(demand(json!({})), cooling);
    assert_eq!(total(&plan, &[]), 2400.0);
    // one of ten dark until an interval before January ends: its cooling is dark for an hour more, so 10 + 9 kW are left
    let until = 31.0 - 15.0 / 1440.0;
    assert_close(total(&plan, &[(0.0, until)]), 2400.0 - 10.0, 1e-12, "cooling still dark");
    // dark until 22:45: lights are ten from then, cooling from 23:45, one interval before the month ends
    assert_eq!(total(&plan, &[(0.0, 31.0 - 75.0 / 1440.0)]), 2400.0);
    assert_close(total(&plan, &[(0.0, 31.0 - 74.0 / 1440.0)]), 2400.0 - 10.0 / 15.0, 1e-12, "a minute too late");
}

/// A tariff and a site at random, and what they look like minute by minute.
#[derive(Debug, Clone)]
struct Case {
    from: u32,
    until: u32,
    interval: u32,
    ratchet: f64,
    base: (f64, u32, u32),
    lag: u32,
    sharing: &'static str,
    dark: Vec<(u32, u32)>,
}

fn any_case() -> impl Strategy<Value = Case> {
    let quarter = |n: u32| n * 15;
    let window = (0..95u32, 1..96u32).prop_map(move |(a, b)| (quarter(a), quarter((a + b) % 96)));
    // long outages, so that some span whole months
    let outage = (0..500_000u32, prop_oneof![Just(3_000u32), Just(50_000), 1..100_000u32]);
    (
        window,
        prop_oneof![Just(15u32), Just(30), Just(60)],
        prop_oneof![Just(0.0), 0.5..1.0f64],
        (0.0..12.0f64, 0..24u32, 1..24u32),
        prop_oneof![Just(0u32), Just(20), Just(90)],
        prop_oneof![Just("in_proportion"), Just("in_time_order"), Just("separate"), Just("no blocks")],
        prop::collection::vec(outage, 0..9),
    )
        .prop_map(|((from, until), interval, ratchet, (kw, a, b), lag, sharing, dark)| Case {
            from: from / interval * interval,
            until: until / interval * interval,
            interval,
            ratchet,
            base: (kw, a * 60, (a + b) % 24 * 60),
            lag,
            sharing,
            dark: dark.into_iter().map(|(from, length)| (from, (from + length).min(525_600))).collect(),
        })
        .prop_filter("a window", |case| case.from != case.until)
}

fn clock(minute: u32) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

/// The bill of each month by counting minutes: energy in two blocked windows and a demand charge in one of them.
fn counted(case: &Case, lit: bool) -> f64 {
    const MONTHS: [u32; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let inside = |minute: u32, from: u32, until: u32| {
        if from < until { minute >= from && minute < until } else { minute >= from || minute < until }
    };
    let lights = |minute: i64| {
        if minute < 1200 {
            // the first lamps start at 20:00 of the first day
            return 0.0;
        }
        let of_day = (minute % 1440) as u32;
        let dark = case.dark.iter().filter(|d| (i64::from(d.0)..i64::from(d.1)).contains(&minute)).count();
        if inside(of_day, 1200, 480) { 10.0 - dark as f64 } else { 0.0 }
    };
    let (mut total, mut peaks, mut start) = (0.0, vec![], 0u32);
    for days in MONTHS {
        let (mut kwh, mut blocks, mut running) = ([0.0f64; 2], [[0.0f64; 2]; 2], 0.0f64);
        let (mut peak, mut sum) = (0.0f64, 0.0);
        for minute in start..start + days * 1440 {
            let of_day = minute % 1440;
            let mut kw = if inside(of_day, case.base.1, case.base.2) { case.base.0 } else { 0.0 };
            if lit {
                kw += lights(i64::from(minute)) + 0.5 * lights(i64::from(minute) - i64::from(case.lag));
            }
            let rule = usize::from(!inside(of_day, case.from, case.until));
            let energy = kw / 60.0;
            kwh[rule] += energy;
            let low = (2000.0 - running).clamp(0.0, energy);
            blocks[rule][0] += low;
            blocks[rule][1] += energy - low;
            running += energy;
            sum += kw;
            if (of_day + 1) % case.interval == 0 {
                if rule == 0 {
                    peak = peak.max(sum / f64::from(case.interval));
                }
                sum = 0.0;
            }
        }
        start += days * 1440;
        let all = kwh[0] + kwh[1];
        let prices = [[0.2, 0.3], [0.1, 0.15]];
        for rule in 0..2 {
            let (low, high) = match case.sharing {
                "in_time_order" => (blocks[rule][0], blocks[rule][1]),
                "no blocks" => (kwh[rule], 0.0),
                "separate" => (kwh[rule].min(2000.0), (kwh[rule] - 2000.0).max(0.0)),
                _ if all == 0.0 => (0.0, 0.0),
                _ => (all.min(2000.0) * kwh[rule] / all, (all - 2000.0).max(0.0) * kwh[rule] / all),
            };
            total += low * prices[rule][0] + high * prices[rule][1];
        }
        let back = peaks.iter().rev().take(3).fold(0.0f64, |most, kw: &f64| most.max(*kw));
        total += 7.0 * peak.max(case.ratchet * back);
        peaks.push(peak);
    }
    total
}

#[test]
fn random_darkness_is_billed_as_a_count_minute_by_minute_says() {
    let mut runner = TestRunner::new(Config { cases: 48, failure_persistence: None, ..Config::default() });
    runner
        .run(&any_case(), |case| {
            let blocks = |low: f64, high: f64| json!([{ "up_to": 2000, "price": low }, { "price": high }]);
            let window = json!({ "from": clock(case.from), "until": clock(case.until) });
            let priced = if case.sharing == "no blocks" {
                json!({ "energy": [{ "when": window, "price": 0.15 }, { "price": 0.05 }], "riders": [{ "price": 0.05 }] })
            } else {
                json!({
                    "energy": [{ "when": window, "blocks": blocks(0.2, 0.3) }, { "blocks": blocks(0.1, 0.15) }],
                    "blocks_shared": case.sharing
                })
            };
            let tariff = patched(priced, json!({
                "demand_interval": case.interval,
                "demand": [{ "when": window, "price": 7, "ratchet": { "share": case.ratchet, "previous_months": 3 } }]
            }));
            let base = json!([{ "name": "b", "power": case.base.0 * 1000.0,
                                "when": { "from": clock(case.base.1), "until": clock(case.base.2) } }]);
            let cooling = json!({ "cop": 2, "lag_minutes": case.lag });
            let plan = room(tariff, json!({ "base_load": base, "cooling": cooling }));
            let dark: Vec<(f64, f64)> =
                case.dark.iter().map(|&(from, to)| (f64::from(from) / 1440.0, f64::from(to) / 1440.0)).collect();
            let found = total(&plan, &dark);
            let expected = counted(&case, true) - counted(&case, false);
            prop_assert!((found - expected).abs() <= 1e-9 * expected.abs().max(1.0), "{} against {}", found, expected);
            // what was kept from the trial before changes nothing
            prop_assert_eq!(total(&plan, &dark), found);
            Ok(())
        })
        .unwrap();
}

#[test]
fn lights_that_were_on_before_the_beginning_are_cooled_from_the_beginning() {
    let cooling = json!({ "cooling": { "cop": 1, "lag_minutes": 60 },
                          "photoperiod": { "already_running": true } });
    let plan = room(json!({ "energy": [{ "price": 1 }] }), cooling);
    // 12 h of ten kW in each of 365 days, and as much of cooling: its first hour is the night before's, and its last one
    // comes after the end
    assert_close(total(&plan, &[]), 365.0 * 120.0 + 365.0 * 120.0, 1e-12, "the year");
}
