//! A room that runs for ever, by the renewal equation, against the run over its horizon where the two must be the same.

use std::sync::atomic::AtomicBool;

use decide::relamp::{RelampOrder, RelampReport, relamp};
use engine::Settings;
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{lamped, patched, plan, with_options};

fn search(scenario: &Value, trials: u64) -> RelampReport {
    let order = RelampOrder {
        options: vec![],
        contract: 0,
        flat_within: 0.01,
        crew_day: None,
        exact: true,
        settings: Settings { seed: 5, trials, threads: 1, precision: None },
    };
    relamp(&plan(scenario), &order, "test", &AtomicBool::new(false), |_| {})
}

/// Lamps that cost nothing, never fade and never fail: whatever is done with them, a mole costs what a run says.
fn free_lamps(changes: Value, scenario: Value) -> Value {
    let group = json!({ "group": { "every": 4_000, "spot_between": true } });
    let free = json!({ "lamp": { "price": 0, "disposal": 0 },
        "upkeep": { "spot_labour": 0, "planned_labour": 0 }, "wall_power": 400 });
    patched(with_options(vec![patched(patched(lamped("x", 9e5, 40.0, group), free), changes)]), scenario)
}

#[test]
fn free_lamps_that_last_cost_for_ever_what_they_cost_over_the_horizon() {
    let dimmed = json!({ "photoperiod": { "phases": [
        { "name": "low", "days": 30, "power": 0.5, "flux": 0.4, "lights": [{ "on": "06:00", "off": "18:00" }] },
        { "name": "high", "days": 30, "lights": [{ "on": "06:00", "off": "18:00" }] } ] } });
    let discounted = json!({ "money": { "discount_rate": 0.08 } });
    for scenario in [json!({}), dimmed.clone(), discounted.clone(), patched(dimmed, discounted)] {
        let report = search(&free_lamps(json!({}), scenario.clone()), 16);
        let (option, exact) = (&report.options[0], report.options[0].exact.as_ref().unwrap());
        assert!(exact.does_not_apply.is_empty() && exact.for_ever.len() >= 3, "{exact:?}");
        for policy in &exact.for_ever {
            // a socket that is dark for good has no mole to cost
            if policy.cost_per_mol.is_finite() {
                assert_close(
                    policy.cost_per_mol,
                    option.cost_as_written.value,
                    1e-6,
                    &format!("{scenario} {policy:?}"),
                );
            }
        }
        assert!(exact.lines.iter().all(|line| line.agrees), "{exact:?}");
    }
}

#[test]
fn how_the_room_is_kept_as_written_does_not_change_what_it_should_do_for_ever() {
    let of = |spot_between: bool| {
        let group = json!({ "group": { "every": 6_000, "spot_between": spot_between } });
        let upkeep = json!({ "upkeep": { "spot_labour": 30, "planned_labour": 10 }, "wall_power": 900,
            "fixture": { "price": 300, "installation": 0 } });
        let room = with_options(vec![patched(lamped("x", 6_000.0, 2.0, group), upkeep)]);
        search(&room, 400).options.remove(0).exact.unwrap().for_ever
    };
    for (lit, dark) in of(true).iter().zip(&of(false)) {
        assert_eq!(lit.kind, dark.kind);
        assert_close(lit.cost_per_mol, dark.cost_per_mol, 3e-3, &format!("{lit:?}"));
    }
}
