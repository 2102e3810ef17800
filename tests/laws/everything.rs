//! A room in which everything that may be stated of lamps is stated at once.

use std::sync::atomic::AtomicBool;

use engine::{BATCH, Outcome, Settings};
use plan::Plan;
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{lived, option, patched, plan, priced, with_options};

/// An option with a replaceable lamp and all that may be said of it.
pub fn all_on(name: &str) -> Value {
    json!({
        "name": name,
        "technology": "high_pressure_sodium",
        "fixtures": 6,
        "lamps_per_fixture": 2,
        "wall_power": 1_050,
        "power_factor": 0.93,
        "light": {
            "grid": { "readings": [[640, 900, 700], [510, 810, 550]], "points": "edge_to_edge", "area": 1.8, "height": 1 },
            "lamp_hours": 120, "since_cleaning": 20, "spill": 1.05, "lamp_to_lamp": 0.03
        },
        "maintenance": {
            "through": [{ "fraction": 0.92, "of_rated_life": 0.4 }, { "fraction": 0.8, "of_rated_life": 1 }],
            "lamp_to_lamp": 0.1
        },
        "fixture": { "price": 240, "installation": 60 },
        "lamp": {
            "price": { "uniform": { "low": 40, "high": 60 } },
            "disposal": 3,
            "life": {
                "test_stopped_at": { "hours": 9_000 },
                "lognormal_sd": 0.35,
                "rated_hours_per_start": 11,
                "life_by_start": [{ "hours_per_start": 10, "life": 20_000 }, { "hours_per_start": 5, "life": 17_000 }],
                "early": { "share": 0.03, "within": 400 },
                "random": 2e-6,
                "derates": [{ "cause": "position", "factor": 0.9 }, { "cause": "supply", "factor": 0.95 }],
                "batch": { "spread": 0.1, "sockets": 4 }
            },
            "warranty": { "full_for": 6, "until": 18, "renewing": false, "most_hours_per_year": 8_000,
                "least_hours_per_start": 2, "needs_match": true, "honoured": 0.8, "credited_after": 45, "effort": 12 }
        },
        "gear": { "failures_per_year": 0.1, "price": 120, "labour": 30 },
        "components": [
            { "name": "igniter", "b50": 12_000, "shape": 1.6, "price": 18, "labour": 25,
              "old_lamps": { "older_than": 6_000, "times": 3 } },
            { "name": "fan", "b50": 30_000, "clock": "calendar", "darkens": false, "price": 9, "labour": 12 }
        ],
        "dirt": { "lost_in_a_year": 0.06, "power": 0.7, "optics_lost_in_a_year": 0.01 },
        "start_loss": { "warm_up": 4, "re_strike": 9, "hot_for": 15 },
        "power_drift": 2e-6,
        "in_sockets": { "from": 500, "to": 4_000 },
        "build": { "enclosed": true, "protected_lamp": false, "quartz_jacket": false, "matched": true },
        "upkeep": {
            "relamp": { "group": { "every": 6_000, "at_turnaround": true, "keep_younger_than": 1_500, "zones": 2 } },
            "found_after": 1.5, "walk_through": 7, "wait_for_dark": 2,
            "spot_labour": 4, "planned_labour": 2,
            "crew": { "call_out": 80, "lift": 120, "wage": 95, "spot_minutes": 20, "planned_minutes": 8, "least_time": 60 },
            "breakage": 0.02,
            "spares": { "stock": 3, "lead_time": 21 },
            "cleaning": { "with_group": {}, "cost": 6 },
            "end": { "skip_within": 900, "resale": 0.3 }
        }
    })
}

/// Such an option twice under two names, and bars that end by their light.
pub fn room() -> Value {
    let bars = json!({
        "maintenance": { "constant": null,
            "projection": { "rate": 6e-6, "test_hours": 1_000, "units_tested": 20 }, "lamp_to_lamp": 0.05 },
        "fixture": { "price": 900, "installation": 70, "ends_at_light": 0.9 },
        "components": [{ "name": "driver", "b50": 40_000, "shape": 2, "price": 130, "labour": 40 }],
        "dirt": { "lost_in_a_year": 0.03 },
        "upkeep": { "cleaning": { "every": 180, "cost": 4 }, "found_after": 2 }
    });
    patched(
        with_options(vec![all_on("one"), all_on("other"), patched(option("bars"), bars)]),
        json!({
            "horizon_years": 5,
            "time_zone": "America/Chicago",
            "currency": "USD",
            "money": { "basis": "nominal", "discount_rate": 0.07, "inflation": 0.02 },
            "canopy": { "area": 20, "target_ppfd": 600, "ppfd_ceiling": 750 },
            "cooling": { "cop": 3.1 },
            "photoperiod": { "turnaround_days": 4, "phases": [
                { "name": "young", "days": 20, "flux": 0.6, "power": 0.7, "lights": [{ "on": "04:00", "off": "22:00" }] },
                { "name": "old", "days": 45, "lights": [{ "on": "20:00", "off": "08:00" }] }
            ] },
            "contracts": [
                { "name": "flat", "tariff": { "energy": [{ "price": 0.11 }] } },
                { "name": "peaks", "tariff": {
                    "energy": [{ "when": { "from": "14:00", "until": "20:00" }, "price": 0.2 }, { "price": 0.08 }],
                    "demand": [{ "name": "peak", "price": 7, "ratchet": { "share": 0.7, "previous_months": 6 } }] } }
            ]
        }),
    )
}

fn on_threads(plan: &Plan, trials: u64, seed: u64, threads: usize) -> Outcome {
    let settings = Settings { seed, trials, threads, precision: None };
    engine::run(plan, &settings, &AtomicBool::new(false), |_| {}).unwrap().0
}

#[test]
fn threads_and_repetition_change_nothing() {
    let plan = plan(&room());
    let trials = BATCH + 41;
    let first = on_threads(&plan, trials, 51, 1);
    for threads in [1, 2, 7] {
        let again = on_threads(&plan, trials, 51, threads);
        assert_eq!(again.digest(), first.digest(), "{threads} threads");
        assert_eq!(again, first, "{threads} threads");
    }
    assert_ne!(on_threads(&plan, trials, 52, 1).digest(), first.digest());
}

#[test]
fn an_option_raced_against_itself_costs_the_same_to_the_last_bit() {
    let plan = plan(&room());
    let outcome = on_threads(&plan, 60, 53, 1);
    for trial in 0..60 {
        assert_eq!(outcome.life(trial, 0, 0), outcome.life(trial, 1, 0));
        for contract in 0..2 {
            assert_eq!(outcome.cell(trial, 0, contract), outcome.cell(trial, 1, contract));
        }
    }
    assert_eq!(outcome.useful_costs_of(0, 1), outcome.useful_costs_of(1, 1));
    assert_eq!(outcome.twice(0, 1), outcome.twice(1, 1));
}

#[test]
fn a_further_option_moves_nobodys_luck() {
    let mut alone = room();
    alone["options"] = json!([all_on("one")]);
    let (alone, among) = (plan(&alone), plan(&room()));
    for trial in 0..8 {
        assert_eq!(lived(&alone, 0, 54, trial), lived(&among, 0, 54, trial));
        assert_eq!(lived(&alone, 0, 54, trial), lived(&among, 1, 54, trial));
    }
}

#[test]
fn books_balance_with_everything_on() {
    let plan = plan(&room());
    for trial in 0..20 {
        for option in 0..3 {
            let ledger = lived(&plan, option, 55, trial);
            let costs = priced(&plan, option, 55, trial);
            let all: f64 = costs.total.iter().sum();
            assert_close(costs.by_year.iter().sum(), all, 1e-12, "years and causes");
            assert!(costs.useful.0 <= costs.moles * (1.0 + 1e-12) && costs.useful.0 > 0.5 * costs.moles);
            let sockets = plan.options[option].sockets() as f64;
            let hours = sockets * plan.clocks[0].timeline.lit_hours;
            assert_close(ledger.burn_hours + ledger.dark_hours, hours, 1e-12, "hours");
            assert!(ledger.dark_hours >= 0.0 && ledger.lamps_left <= sockets && ledger.lamps_left >= 0.0);
            let credited: f64 = ledger.credited.iter().sum();
            assert!(credited <= f64::from(ledger.lamp_failures.iter().sum::<u32>()));
            for year in 0..60 {
                assert!(
                    ledger.moles[year].is_finite() && ledger.useful_moles[year] <= ledger.moles[year] * (1.0 + 1e-9)
                );
            }
        }
    }
}
