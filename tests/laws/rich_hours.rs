//! The search for the hours to light knows of lamps what a run knows.

use std::sync::atomic::AtomicBool;

use decide::hours::{HoursOrder, hours};
use engine::Settings;
use serde_json::{Value, json};

use super::{assert_close, everything};
use crate::support::{patched, plan, run};

const TRIALS: u64 = 40;

/// The room with everything on under its flat contract, lit by night.
fn room(changes: Value) -> Value {
    let mut room = patched(
        everything::room(),
        json!({ "horizon_years": 3, "photoperiod": { "turnaround_days": 4, "phases": [
            { "name": "crop", "days": 60, "lights": [{ "on": "18:00", "off": "06:00" }] }] } }),
    );
    room["contracts"].as_array_mut().unwrap().truncate(1);
    room["options"].as_array_mut().unwrap().remove(1);
    for option in room["options"].as_array_mut().unwrap() {
        *option = patched(option.take(), changes.clone());
    }
    room
}

/// What the search says of the start as written, and what a run says: present value of cost over that of moles.
fn both(changes: Value) -> Vec<(f64, f64)> {
    let plan = plan(&room(changes));
    let order = HoursOrder {
        option: 0,
        step: 60,
        blocks: vec![],
        least_dark: 0,
        lit_during: vec![],
        dark_during: vec![],
        rooms: None,
        settings: Settings { seed: 5, trials: TRIALS, threads: 1, precision: None },
    };
    let report = hours(&plan, &order, "test", &AtomicBool::new(false), |_| {}).unwrap();
    let start = report.patterns[0].on.iter().position(|on| on == "18:00").unwrap();
    let outcome = run(&plan, TRIALS, 5);
    (0..plan.options.len())
        .map(|option| {
            let cells = (0..TRIALS as usize).map(|trial| *outcome.cell(trial, option, 0));
            let (cost, moles) = cells
                .fold((0.0, 0.0), |(cost, moles), cell| (cost + cell.present, moles + cell.present / cell.levelized));
            (report.patterns[0].levelized[start][0][option], cost / moles)
        })
        .collect()
}

#[test]
fn the_start_as_written_costs_what_a_run_says_with_everything_on_but_drift() {
    for (option, (found, expected)) in both(json!({ "power_drift": null })).into_iter().enumerate() {
        assert_close(found, expected, 1e-9, &format!("option {option}"));
    }
}

#[test]
fn the_search_bills_the_power_to_which_lamps_have_drifted() {
    // 2 % more in 1 000 h, which is what a run bills; the search prices means over trials, where power and price are
    // certain and the bill is linear in energy
    for (option, (found, expected)) in both(json!({ "power_drift": 2e-5 })).into_iter().enumerate() {
        assert_close(found, expected, 1e-6, &format!("option {option}"));
    }
}
