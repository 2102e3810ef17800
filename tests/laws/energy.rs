//! Energy: kilowatt-hours under each price are lit hours times power, and hours may be cut into pieces at will.

use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{demo, lamped, lived, option, patched, plan, priced, run, with_options};

#[test]
fn energy_under_each_price_adds_up_to_lit_hours_times_power() {
    let day = |from: &str, until: &str, price: f64| json!({ "when": { "from": from, "until": until }, "price": price });
    let tariff = json!({ "energy": [day("07:00", "09:30", 3.0), day("20:15", "22:00", 2.0), { "price": 1 }] });
    // 366 days of 2032 in cycles of 10: six days of 14 h at 70 %, three days of 8 h (full), one dark day
    let photoperiod = json!({ "turnaround_days": 1, "phases": [
        { "name": "young", "days": 6, "power": 0.7, "flux": 0.9, "lights": [{ "on": "08:00", "off": "22:00" }] },
        { "name": "old", "days": 3, "lights": [{ "on": "09:00", "off": "17:00" }] }
    ] });
    let room = patched(
        with_options(vec![option("x")]),
        json!({
            "start": "2032-01-01", "horizon_years": 1, "photoperiod": photoperiod,
            "contracts": [{ "name": "c", "tariff": tariff }]
        }),
    );
    let plan = plan(&room);
    // kilowatt-hours of the room's one kilowatt under each energy price
    let kwh = |rule: usize| -> f64 { plan.contracts[0].lit.registers.iter().map(|r| r.kwh[rule].lights).sum() };
    // 36 whole cycles and six more days: 222 young days, 108 old ones
    let (young, old) = (36.0 * 6.0 + 6.0, 36.0 * 3.0);
    let morning = 0.7 * young * 1.5 + old * 0.5;
    let evening = 0.7 * young * 1.75;
    let rest = 0.7 * young * (14.0 - 1.5 - 1.75) + old * 7.5;
    for (rule, expected) in [morning, evening, rest].into_iter().enumerate() {
        assert_close(kwh(rule), expected, 1e-12, "kWh of a price");
    }
    assert_close(plan.clocks[0].timeline.lit_hours, young * 14.0 + old * 8.0, 1e-13, "lit hours");
}

#[test]
fn dark_sockets_draw_no_power() {
    let lamps = patched(
        lamped("x", 4_000.0, 2.0, json!({ "on_failure": {} })),
        json!({ "fixtures": 6, "lamps_per_fixture": 2, "wall_power": 900, "upkeep": { "found_after": 9.5 },
                "gear": { "failures_per_year": 0.5, "price": 0, "labour": 0 } }),
    );
    let lights = json!([{ "name": "p", "days": 7, "lights": [{ "on": "19:40", "off": "11:10" }] }]);
    let plan = plan(&patched(with_options(vec![lamps]), json!({ "photoperiod": { "phases": lights } })));
    let lit = 12.0 * plan.clocks[0].timeline.lit_hours;
    for trial in 0..20 {
        let ledger = lived(&plan, 0, 2, trial);
        assert!(ledger.dark_hours > 1_000.0);
        assert_close(ledger.burn_hours + ledger.dark_hours, lit, 1e-13, "socket hours");
        assert_close(priced(&plan, 0, 2, trial).kwh, 0.45 * ledger.burn_hours, 1e-11, "energy");
        // nothing fades here, so light goes with the burn hours, too
        assert_close(ledger.moles.iter().sum(), 0.0036 * 500.0 * ledger.burn_hours, 1e-11, "moles");
    }
}

#[test]
fn a_price_rule_cut_in_two_at_any_minute_costs_the_same() {
    let mut runner = TestRunner::new(Config { cases: 24, failure_persistence: None, ..Config::default() });
    let before = run(&plan(&demo()), 6, 3);
    runner
        .run(&(14 * 60 + 1..21 * 60u32), |cut| {
            let mut scenario = demo();
            for contract in [1, 2] {
                let rules = scenario["contracts"][contract]["tariff"]["energy"].as_array_mut().unwrap();
                let at = format!("{:02}:{:02}", cut / 60, cut % 60);
                let mut second = rules[0].clone();
                rules[0]["when"]["until"] = json!(at);
                second["when"]["from"] = json!(at);
                rules.insert(1, second);
            }
            let after = run(&plan(&scenario), 6, 3);
            for (one, two) in before.cells.iter().zip(&after.cells) {
                prop_assert!((two.total / one.total - 1.0).abs() < 1e-12);
                prop_assert!((two.levelized / one.levelized - 1.0).abs() < 1e-12);
            }
            Ok(())
        })
        .unwrap();
}

#[test]
fn a_light_window_or_a_phase_cut_in_two_lights_the_same() {
    let with = |phases: Value| {
        let scenario = patched(demo(), json!({ "photoperiod": { "phases": phases, "turnaround_days": 5 } }));
        let plan = plan(&scenario);
        // the first contract keeps the scenario's own hours
        let clock = plan.contracts[0].clock;
        let starts = (0..4).map(|option| lived(&plan, option, 4, 0).starts).collect::<Vec<_>>();
        (run(&plan, 20, 4), clock, starts)
    };
    let phase = |name: &str, days: u32, windows: &[(&str, &str)]| {
        let lights: Vec<Value> = windows.iter().map(|(on, off)| json!({ "on": on, "off": off })).collect();
        json!({ "name": name, "days": days, "lights": lights })
    };
    let whole = with(json!([phase("a", 63, &[("20:00", "08:00")])]));
    let windows = with(json!([phase("a", 63, &[("20:00", "23:10"), ("23:10", "08:00")])]));
    let phases = with(json!([phase("a", 20, &[("20:00", "08:00")]), phase("b", 43, &[("20:00", "08:00")])]));
    for cut in [&windows, &phases] {
        assert_eq!(cut.2, whole.2, "starts");
        for trial in 0..20 {
            for option in 0..4 {
                let (one, other) = (whole.0.life(trial, option, whole.1), cut.0.life(trial, option, cut.1));
                assert_eq!((one.failures, one.lamps_bought), (other.failures, other.lamps_bought));
                assert_close(other.moles, one.moles, 1e-12, "moles");
                assert!((other.dark_hours - one.dark_hours).abs() < 1e-6);
                let (one, other) = (whole.0.cell(trial, option, 0), cut.0.cell(trial, option, 0));
                assert_close(other.levelized, one.levelized, 1e-12, "levelized cost");
            }
        }
    }
}

#[test]
fn a_demand_charge_bills_the_highest_power_inside_its_window() {
    let demand = |hours: Value| {
        let tariff = json!({ "energy": [{ "price": 0 }], "demand": [patched(json!({ "price": 10 }), hours)] });
        let photoperiod = json!({ "phases": [
            { "name": "young", "days": 31, "power": 0.4, "lights": [{ "on": "06:00", "off": "20:00" }] },
            { "name": "old", "days": 334, "lights": [{ "on": "08:00", "off": "18:00" }] }
        ] });
        let room = json!({
            "horizon_years": 1, "photoperiod": photoperiod, "contracts": [{ "name": "c", "tariff": tariff }]
        });
        run(&plan(&patched(with_options(vec![option("x")]), room)), 2, 5).cell(0, 0, 0).total
    };
    // January at 0.4 kW, eleven months at 1 kW
    assert_close(demand(json!({})), 10.0 * 11.4, 1e-13, "any time");
    // before 08:00 only January burns; after 20:00 nothing does; two months of any hour: 0.4 + 1
    assert_close(demand(json!({ "when": { "until": "08:00" } })), 4.0, 1e-13, "morning");
    assert_eq!(demand(json!({ "when": { "from": "20:00" } })), 0.0);
    assert_close(demand(json!({ "when": { "months": [1, 6] } })), 14.0, 1e-13, "two months");
    // two charges add up: a day type is in every month
    assert_close(demand(json!({ "when": { "days": ["weekend"], "from": "12:00" } })), 10.0 * 11.4, 1e-13, "weekends");
}
