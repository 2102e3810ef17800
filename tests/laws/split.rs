//! Ignorance, luck and noise told apart by lives lived twice.

use decide::result::{RunResult, Split};
use decide::{Provenance, summarize};
use engine::TWIN_EVERY;
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{lamped, option, patched, plan, run, with_options};

/// Standard errors that an estimate may lie off.
const ERRORS: f64 = 4.5;

fn result(scenario: &Value, trials: u64, seed: u64) -> RunResult {
    let plan = plan(scenario);
    let outcome = run(&plan, trials, seed);
    let provenance = Provenance { program: "0".into(), input_digest: String::new(), seed, what_ifs: vec![] };
    summarize(&plan, &outcome, engine::Ended::Trials, provenance)
}

fn split(scenario: &Value, trials: u64, seed: u64) -> Split {
    result(scenario, trials, seed).options[0].costs[0].split
}

fn short(option: Value) -> Value {
    patched(with_options(vec![option]), json!({ "horizon_years": 1 }))
}

/// Squares of the parts and of the whole.
#[track_caller]
fn assert_adds_up(split: &Split) {
    let parts = split.ignorance.value.powi(2) + split.luck.value.powi(2);
    assert_close(parts, split.whole.powi(2), 1e-12, "squares");
}

#[test]
fn where_every_input_is_certain_nothing_is_ignorance() {
    let lamps = patched(
        lamped("x", 3_000.0, 1.4, json!({ "on_failure": {} })),
        json!({ "fixtures": 6, "lamp": { "price": 80 }, "components": [
            { "name": "fan", "b50": 4_000, "price": 9, "labour": 2 } ] }),
    );
    let split = split(&short(lamps), 1_000, 41);
    assert_eq!((split.ignorance.value, split.ignorance.se), (0.0, 0.0));
    assert_eq!(split.luck.value, split.whole);
    assert!(split.whole > 0.0 && split.twins == 1_000 / TWIN_EVERY);
    assert_close(split.simulation, split.whole / 1_000f64.sqrt(), 1e-12, "simulation");
}

#[test]
fn where_nothing_can_happen_nothing_is_luck() {
    let price = json!({ "contracts": [{ "name": "c", "tariff": { "energy": [
        { "price": { "uniform": { "low": 0.1, "high": 0.2 } } }] } }] });
    for option in [option("bars"), lamped("x", 1e6, 1e6, json!({ "group": { "every": 1e6, "spot_between": false } }))] {
        let split = split(&patched(short(option), price.clone()), 4_000, 42);
        assert_adds_up(&split);
        // 1 kW for 3.6 mol an hour: the spread of a uniform price over 3.6
        assert_close(split.whole, 0.1 / 12f64.sqrt() / 3.6, 0.03, "whole");
        let se = split.luck.se;
        assert!(split.luck.value <= ERRORS.sqrt() * se, "{} ± {se}", split.luck.value);
        assert!((split.ignorance.value - split.whole).abs() <= ERRORS * split.ignorance.se.max(1e-12));
    }
}

#[test]
fn a_price_and_a_count_have_their_closed_parts() {
    // lamps without memory, 25 a year in all: N is Poisson. Price c uniform on 20 to 60, nothing else costs anything:
    // Var(E[cN | c]) = E[N]²·Var(c), E[Var(cN | c)] = E[c²]·E[N]; the light is 3.6 · 8 760 · 5 mol a year
    let b50 = 8_760.0 * 5.0 / 25.0 * std::f64::consts::LN_2;
    let lamps = patched(
        lamped("x", b50, 1.0, json!({ "on_failure": {} })),
        json!({ "fixtures": 5, "upkeep": { "spot_labour": { "uniform": { "low": 20, "high": 60 } } } }),
    );
    let free = json!({ "contracts": [{ "name": "c", "tariff": { "energy": [{ "price": 0 }] } }] });
    let split = split(&patched(short(lamps), free), 16_000, 43);
    assert_adds_up(&split);
    let moles = 3.6 * 8_760.0 * 5.0;
    let variance = 1_600.0 / 12.0;
    let ignorance = 25.0 * f64::sqrt(variance) / moles;
    let luck = ((1_600.0 + variance) * 25.0).sqrt() / moles;
    for (part, expected) in [(split.ignorance, ignorance), (split.luck, luck)] {
        assert!(part.se < 0.07 * expected, "± {} of {expected} does not bite", part.se);
        assert!((part.value - expected).abs() < ERRORS * part.se, "{} ± {}, not {expected}", part.value, part.se);
    }
    assert_eq!(split.twins, 16_000 / TWIN_EVERY);
}

#[test]
fn knowing_an_input_takes_away_what_it_brought() {
    let with = |b50: Value| {
        let lamps = patched(
            lamped("x", 4_000.0, 3.0, json!({ "on_failure": {} })),
            json!({ "fixtures": 10, "lamp": { "price": 50, "life": { "b50": b50, "start_cost": 1 } },
                "upkeep": { "breakage": { "uniform": { "low": 0.01, "high": 0.011 } } } }),
        );
        split(&short(lamps), 2_000, 44)
    };
    let (known, unknown) = (with(json!(4_000)), with(json!({ "uniform": { "low": 2_000, "high": 8_000 } })));
    assert_adds_up(&known);
    assert_adds_up(&unknown);
    assert!(unknown.ignorance.value > 5.0 * known.ignorance.value.max(known.ignorance.se));
    assert!(unknown.ignorance.value > unknown.luck.value);
}
