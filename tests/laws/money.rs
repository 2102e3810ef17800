//! Money: parts add up, prices scale, and no price changes what was lived.

use engine::Cause;
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use serde_json::{Value, json};

use super::{assert_close, physical};
use crate::support::{demo, patched, plan, run};

/// Members that hold money.
const MONEY: [&str; 6] = ["price", "installation", "disposal", "labour", "spot_labour", "planned_labour"];

/// Multiplies every number of a figure.
fn times(figure: &mut Value, factor: f64) {
    match figure {
        Value::Number(number) => *figure = json!(number.as_f64().unwrap() * factor),
        Value::Object(members) => members
            .iter_mut()
            .filter(|(key, _)| !["unit", "grade", "note", "dated", "luck", "weight"].contains(&key.as_str()))
            .for_each(|(_, member)| times(member, factor)),
        Value::Array(items) => items.iter_mut().for_each(|item| times(item, factor)),
        _ => {}
    }
}

/// Multiplies all money in a scenario; returns how many figures that were.
pub fn scale(value: &mut Value, factor: f64) -> usize {
    match value {
        Value::Object(members) => members
            .iter_mut()
            .map(|(key, member)| {
                if MONEY.contains(&key.as_str()) {
                    times(member, factor);
                    1
                } else {
                    scale(member, factor)
                }
            })
            .sum(),
        Value::Array(items) => items.iter_mut().map(|item| scale(item, factor)).sum(),
        _ => 0,
    }
}

/// The demonstration with uncertain prices of several kinds.
fn uncertain() -> Value {
    let mut scenario = demo();
    scenario["options"][0]["lamp"]["price"] = json!({ "normal": { "mean": 46, "sd": 3 } });
    scenario["options"][1]["lamp"]["price"] = json!({ "lognormal": { "median": 124, "p90": 150 } });
    scenario["options"][2]["gear"]["labour"] = json!({ "triangular": { "low": 200, "mode": 330, "high": 500 } });
    scenario["options"][3]["fixture"]["price"] = json!({ "elicited": { "p10": 600, "p50": 640, "p90": 700 } });
    scenario["contracts"][0]["tariff"]["energy"][0]["price"] =
        json!({ "pert": { "low": 0.03, "mode": 0.041, "high": 0.07 } });
    scenario["contracts"][0]["price_change"] = json!({ "uniform": { "low": -0.01, "high": 0.04 } });
    patched(scenario, json!({ "money": { "basis": "nominal", "inflation": 0.02 } }))
}

#[test]
fn twice_the_money_doubles_every_amount_to_the_last_bit_and_nothing_else() {
    let once = uncertain();
    let mut twice = once.clone();
    // 2 + 5 + 5 prices of electricity; 6 of each option with a lamp, 4 of each without
    assert_eq!(scale(&mut twice, 2.0), 32);
    let (once, twice) = (run(&plan(&once), 100, 1), run(&plan(&twice), 100, 1));
    for (one, two) in once.cells.iter().zip(&twice.cells) {
        assert_eq!(
            [two.levelized, two.plain, two.total, two.present],
            [one.levelized, one.plain, one.total, one.present].map(|x| 2.0 * x)
        );
    }
    assert_eq!(once.lives, twice.lives);
    assert_eq!(once.samples, twice.samples);
    for (one, two) in once.tallies.iter().zip(&twice.tallies) {
        assert_eq!(two.by_year, one.by_year.iter().map(|x| 2.0 * x).collect::<Vec<_>>());
        assert_eq!(two.kwh, one.kwh);
    }
}

#[test]
fn causes_and_years_add_up_to_the_total() {
    let plan = plan(&uncertain());
    let trials = 100;
    let outcome = run(&plan, trials, 2);
    for option in 0..plan.options.len() {
        for contract in 0..plan.contracts.len() {
            let tally = &outcome.tallies[option * plan.contracts.len() + contract];
            let sum = |read: fn(&engine::Cell) -> f64| outcome.costs(option, contract, read).iter().sum::<f64>();
            assert_close(tally.total.iter().sum(), sum(|cell| cell.total), 1e-12, "total by cause");
            assert_close(tally.present.iter().sum(), sum(|cell| cell.present), 1e-12, "present value by cause");
            assert_close(tally.levelized.iter().sum(), sum(|cell| cell.levelized), 1e-12, "levelized by cause");
            assert_close(tally.plain.iter().sum(), sum(|cell| cell.plain), 1e-12, "plain by cause");
            assert_close(tally.by_year.iter().sum(), sum(|cell| cell.total), 1e-12, "total by year");
            assert_eq!(tally.by_year[0], tally.total[Cause::Capital as usize]);
        }
    }
}

#[test]
fn prices_never_change_what_was_lived() {
    let cheap = plan(&demo());
    let mut dear = demo();
    scale(&mut dear, 3.7);
    for contract in 0..3 {
        dear["contracts"][contract]["price_change"] = json!({ "normal": { "mean": 0.05, "sd": 0.01 } });
    }
    let dear = plan(&patched(dear, json!({ "money": { "discount_rate": 0.01 }, "cooling": null })));
    let (one, other) = (run(&cheap, 80, 3), run(&dear, 80, 3));
    assert_eq!((one.lives.len(), cheap.clocks.len()), (80 * 4 * 2, 2));
    for option in 0..4 {
        for clock in 0..2 {
            assert_eq!(physical(&one, option, clock), physical(&other, option, clock));
        }
    }
    assert_ne!(one.digest(), other.digest());
}

#[test]
fn a_dearer_kilowatt_hour_never_lowers_a_cost() {
    let base = demo();
    let mut runner = TestRunner::new(Config { cases: 24, failure_persistence: None, ..Config::default() });
    let before = run(&plan(&base), 12, 4);
    let rules = (1usize..3, 0usize..5, 1e-6..2.0f64);
    runner
        .run(&rules, |(contract, rule, more)| {
            let mut scenario = base.clone();
            let tariff = &mut scenario["contracts"][contract]["tariff"];
            let price = match rule {
                0..3 => &mut tariff["energy"][rule]["price"]["is"],
                _ => &mut tariff["demand"][rule - 3]["price"]["is"],
            };
            *price = json!(price.as_f64().unwrap() * (1.0 + more));
            let after = run(&plan(&scenario), 12, 4);
            for (cheap, dear) in before.cells.iter().zip(&after.cells) {
                prop_assert!(dear.total >= cheap.total && dear.levelized >= cheap.levelized);
            }
            // the lights of the night never see the on-peak price and its demand charge; all else must cost more
            let seen = contract == 2 || ![0, 4].contains(&rule);
            for option in 0..4 {
                let total = |outcome: &engine::Outcome| outcome.cell(0, option, contract).total;
                prop_assert_eq!(total(&after) > total(&before), seen, "contract {} rule {}", contract, rule);
            }
            Ok(())
        })
        .unwrap();
}

#[test]
fn a_higher_discount_rate_never_raises_a_present_value() {
    let at = |rate: f64| run(&plan(&patched(demo(), json!({ "money": { "discount_rate": rate } }))), 40, 5);
    let runs = [-0.02, 0.0, 0.03, 0.08, 0.3].map(at);
    for pair in runs.windows(2) {
        for (low, high) in pair[0].cells.iter().zip(&pair[1].cells) {
            assert!(high.present < low.present);
            assert_eq!(high.plain.to_bits(), low.plain.to_bits());
        }
    }
}

#[test]
fn cooling_costs_its_share_of_electricity() {
    let plan = plan(&patched(
        demo(),
        json!({ "cooling": { "cop": 3.5, "heat_share": 0.8,
        "cop_by_month": [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1] } }),
    ));
    let outcome = run(&plan, 10, 6);
    for tally in &outcome.tallies {
        let electricity = tally.total[Cause::Energy as usize] + tally.total[Cause::Demand as usize];
        assert_close(tally.total[Cause::Cooling as usize], electricity * 0.8 / 3.5, 1e-12, "cooling");
    }
}
