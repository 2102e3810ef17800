//! What starts cost: median life in burn hours by hours per start.

use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{lamped, lived, patched, plan, run, with_options};

/// Lives of this shape lie within 2.5e-5 of their median: g = ln(−ln U) stays between −25 and 4 and moves by g/shape.
const ALL_AT_ONCE: f64 = 1e6;
const CLOSE: f64 = 3e-5;

fn room(lights: Value, wear: Value, b50: f64) -> Value {
    let never = json!({ "group": { "every": 1_000_000, "spot_between": false } });
    let option = patched(lamped("x", b50, ALL_AT_ONCE, never), json!({ "fixtures": 5, "lamp": { "life": wear } }));
    patched(with_options(vec![option]), json!({ "photoperiod": { "phases": lights } }))
}

/// Burn hours at which a lamp of median life 1 500 h dies when it burns so many minutes a day, from midnight on.
fn life(minutes: u32, start_cost: f64, rated: f64, seed: u64) -> f64 {
    let off = format!("{:02}:{:02}", minutes / 60, minutes % 60);
    let lights = json!([{ "name": "p", "days": 9, "lights": [{ "on": "00:00", "off": off }] }]);
    let wear = json!({ "start_cost": start_cost, "rated_hours_per_start": rated });
    let plan = plan(&room(lights, wear, 1_500.0));
    let outcome = run(&plan, 2, seed);
    let life = outcome.life(0, 0, 0);
    assert_eq!(life.failures, 5.0);
    plan.clocks[0].timeline.lit_hours - life.dark_hours / 5.0
}

#[test]
fn life_by_hours_per_start_follows_its_formula() {
    let mut runner = TestRunner::new(Config { cases: 40, failure_persistence: None, ..Config::default() });
    let inputs = (30u32..1440, 0.0..10.0f64, 0.5..24.0f64, any::<u64>());
    runner
        .run(&inputs, |(minutes, s, rated, seed)| {
            let h = f64::from(minutes) / 60.0;
            let expected = 1_500.0 * h / (h + s) * (rated + s) / rated;
            // only lamps that die within the horizon tell their life
            prop_assume!(expected < 0.99 * h * 3653.0);
            let found = life(minutes, s, rated, seed);
            prop_assert!((found / expected - 1.0).abs() < CLOSE, "{found} against {expected}");
            Ok(())
        })
        .unwrap();
}

#[test]
fn life_is_as_rated_when_starts_cost_nothing_or_come_as_rated() {
    for minutes in [60, 480, 720, 1080] {
        assert_close(life(minutes, 0.0, 10.0, 2), 1_500.0, CLOSE, "no cost");
        assert_close(life(minutes, 4.5, f64::from(minutes) / 60.0, 3), 1_500.0, CLOSE, "as rated");
    }
}

#[test]
fn a_lamp_that_never_goes_off_lives_as_if_its_one_start_cost_nothing() {
    let lights = json!([{ "name": "p", "days": 9, "lights": [{ "on": "00:00", "off": "00:00" }] }]);
    let wear = json!({ "start_cost": 5, "rated_hours_per_start": 10 });
    let plan = plan(&room(lights, wear, 1_500.0));
    let lit = plan.clocks[0].timeline.lit_hours;
    let ledger = lived(&plan, 0, 4, 0);
    assert_close(lit - ledger.dark_hours / 5.0, 1_500.0 * lit / (lit + 5.0) * 15.0 / 10.0, CLOSE, "life");
    assert_eq!(ledger.starts, 5);
}

#[test]
fn damage_adds_up_over_phases_of_different_length() {
    let (s, rated, b50) = (3.0, 11.0, 9_000.0);
    let lights = json!([
        { "name": "long", "days": 30, "lights": [{ "on": "04:00", "off": "22:00" }] },
        { "name": "short", "days": 40, "lights": [{ "on": "20:00", "off": "08:00" }] },
        { "name": "twice", "days": 10,
          "lights": [{ "on": "09:00", "off": "12:00" }, { "on": "15:00", "off": "17:30" }] }
    ]);
    let plan = plan(&room(lights, json!({ "start_cost": s, "rated_hours_per_start": rated }), b50));
    let ledger = lived(&plan, 0, 5, 0);
    let found = plan.clocks[0].timeline.lit_hours - ledger.dark_hours / 5.0;

    // burn by burn: h hours and a start use up (h + s)·rated/(rated + s) hours of rated life, evenly over the burn
    let (mut used, mut burned, mut day, mut starts) = (0.0, 0.0, 0, 0);
    let expected = 'died: loop {
        let burns: &[f64] = match day % 80 {
            0..30 => &[18.0],
            30..70 => &[12.0],
            _ => &[3.0, 2.5],
        };
        for h in burns {
            starts += 1;
            let wear = (h + s) * rated / (rated + s);
            if used + wear >= b50 {
                break 'died burned + h * (b50 - used) / wear;
            }
            used += wear;
            burned += h;
        }
        day += 1;
    };
    assert!(day > 400, "the lamp must live through several cycles, not {day} days");
    assert_close(found, expected, CLOSE, "life");
    assert_eq!(ledger.starts, 5 * starts, "starts of five lamps until they die");
}
