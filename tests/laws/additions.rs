//! What is added to a scenario moves nobody else's results, to the last bit.

use plan::Plan;
use serde_json::{Value, json};

use super::columns;
use crate::support::{demo, lamped, patched, plan, run, with_options};

const TRIALS: u64 = 60;

/// Compares what two plans say about the options and contracts that both have, by name.
fn assert_same(one: &Plan, other: &Plan, seed: u64) {
    let (of_one, of_other) = (run(one, TRIALS, seed), run(other, TRIALS, seed));
    let mut compared = 0;
    for (o, option) in one.options.iter().enumerate() {
        let Some(there) = other.options.iter().position(|known| known.name == option.name) else { continue };
        for (c, contract) in one.contracts.iter().enumerate() {
            let Some(then) = other.contracts.iter().position(|known| known.name == contract.name) else { continue };
            let before = columns(&of_one, o, c, contract.clock);
            let after = columns(&of_other, there, then, other.contracts[then].clock);
            let moved = before.iter().zip(&after).filter(|(before, after)| before != after).count();
            assert_eq!(moved, 0, "{} under {}: {moved} trials moved", option.name, contract.name);
            compared += 1;
        }
    }
    assert_eq!(compared, 12);
}

fn push(scenario: &mut Value, list: &str, item: Value) {
    scenario[list].as_array_mut().unwrap().push(item);
}

#[test]
fn another_option_moves_nobody() {
    let base = demo();
    // more lamps than any other, another life, early failures and a spread of output
    let mut large = patched(base["options"][0].clone(), json!({ "name": "E", "fixtures": 90 }));
    json_patch::merge(&mut large["lamp"]["life"], &json!({ "b50": 800, "early": { "share": 0.1, "within": 90 } }));
    large["light"]["lamp_to_lamp"] = json!(0.03);
    let mut after = base.clone();
    push(&mut after, "options", large.clone());
    assert_same(&plan(&base), &plan(&after), 1);
    let mut before = base.clone();
    before["options"].as_array_mut().unwrap().insert(0, large);
    assert_same(&plan(&base), &plan(&before), 2);
}

#[test]
fn another_contract_with_hours_of_its_own_moves_nobody() {
    let mut more = demo();
    let late = patched(more["contracts"][1].clone(), json!({ "name": "late", "lights_on": "23:10" }));
    push(&mut more, "contracts", late);
    assert_same(&plan(&demo()), &plan(&more), 3);
}

/// The demonstration, and the same with one more contract on the hours of the first, whose prices change at moments at
/// which no other contract's do.
fn with_other_steps() -> (Plan, Plan) {
    let tariff = json!({ "energy": [
        { "when": { "from": "22:35", "until": "05:10" }, "price": 0.05 },
        { "when": { "months": [6, 7, 8] }, "price": 0.2 }, { "price": 0.1 }
    ] });
    let mut more = demo();
    push(&mut more, "contracts", json!({ "name": "other steps", "tariff": tariff }));
    let (base, more) = (plan(&demo()), plan(&more));
    assert_eq!(base.clocks.len(), more.clocks.len());
    (base, more)
}

#[test]
fn another_contract_with_the_same_hours_moves_nobody() {
    let (base, more) = with_other_steps();
    let (of_base, of_more) = (run(&base, TRIALS, 4), run(&more, TRIALS, 4));
    for trial in 0..TRIALS as usize {
        for option in 0..4 {
            for (c, contract) in base.contracts.iter().enumerate() {
                assert_eq!(of_base.life(trial, option, contract.clock), of_more.life(trial, option, contract.clock));
                assert_eq!(of_base.cell(trial, option, c), of_more.cell(trial, option, c));
            }
        }
    }
}

#[test]
fn an_uncertain_number_elsewhere_moves_nobody() {
    let area = json!({ "normal": { "mean": 60, "sd": 1 }, "luck": "tape" });
    let target = json!({ "uniform": { "low": 500, "high": 700 } });
    let mut other = demo();
    other["canopy"] = json!({ "area": area, "target_ppfd": target });
    assert_same(&plan(&demo()), &plan(&other), 5);
}

#[test]
fn a_further_lamp_leaves_the_luck_of_the_others_alone() {
    let never = json!({ "group": { "every": 1_000_000, "spot_between": false } });
    let with = |fixtures: u32| {
        let lamps = patched(lamped("x", 60_000.0, 2.0, never.clone()), json!({ "fixtures": fixtures }));
        let plan = plan(&with_options(vec![lamps]));
        let outcome = run(&plan, 200, 6);
        (plan.clocks[0].timeline.lit_hours, outcome)
    };
    let runs: Vec<_> = (1..6).map(with).collect();
    for pair in runs.windows(2) {
        let (hours, fewer, more) = (pair[0].0, &pair[0].1, &pair[1].1);
        let mut failed = 0.0;
        for trial in 0..200 {
            let (fewer, more) = (fewer.life(trial, 0, 0), more.life(trial, 0, 0));
            // the new lamp adds its own dark hours and at most its own failure; were the others drawn anew, this would
            // go below nothing in many trials
            let (dark, failures) = (more.dark_hours - fewer.dark_hours, more.failures - fewer.failures);
            assert!((-1e-9..hours).contains(&dark) && [0.0, 1.0].contains(&failures), "{dark} h, {failures}");
            assert_eq!(failures == 1.0, dark > 1e-9);
            failed += failures;
        }
        assert!((80.0..200.0).contains(&failed), "{failed} new lamps failed");
    }
}

#[test]
fn figures_in_the_same_place_and_figures_of_one_luck_rise_and_fall_together() {
    let drawn = |first: Value, second: Value| {
        let price = |figure: Value| json!({ "fixture": { "price": figure } });
        let options = vec![
            patched(crate::support::option("a"), price(first)),
            patched(crate::support::option("b"), price(second)),
        ];
        let plan = plan(&with_options(options));
        let outcome = run(&plan, 100, 7);
        let capital = |option: usize| outcome.costs(option, 0, |cell| cell.total);
        let energy = 87_672.0 * 0.1;
        capital(0).into_iter().zip(capital(1)).map(|(a, b)| (a - energy, b - energy)).collect::<Vec<_>>()
    };
    let uniform = |low: f64, luck: &str| json!({ "uniform": { "low": low, "high": low + 1000.0 }, "luck": luck });
    let plain = |low: f64| json!({ "uniform": { "low": low, "high": low + 1000.0 } });
    for (together, pairs) in [
        (true, drawn(plain(100.0), plain(500.0))),
        (true, drawn(uniform(100.0, "x"), uniform(500.0, "x"))),
        (false, drawn(uniform(100.0, "x"), uniform(500.0, "y"))),
        (false, drawn(plain(100.0), uniform(500.0, "y"))),
    ] {
        let apart = pairs.iter().map(|(a, b)| (b - a - 400.0).abs()).fold(0.0, f64::max);
        assert_eq!(apart < 1e-6, together, "{apart}");
    }
}
