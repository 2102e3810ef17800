//! Light that is promised against light that is given, and races between options that give the same.

use decide::result::Verdict;
use decide::{Provenance, summarize};
use engine::Ended;
use scenario::{Page, gather};
use serde_json::{Value, json};

use crate::support::{Bare, option, patched, plan, room, run, with_options};

fn summary(scenario: &Value) -> decide::result::RunResult {
    let plan = plan(scenario);
    let provenance = Provenance { program: String::new(), input_digest: String::new(), seed: 1, what_ifs: vec![] };
    summarize(&plan, &run(&plan, 50, 1), Ended::Trials, provenance)
}

#[test]
fn lamps_dimmed_to_half_meet_half_of_the_target() {
    let target = json!({ "canopy": { "target_ppfd": 1000 } });
    let full = summary(&patched(room(), target.clone()));
    let lights = json!([{ "on": "00:00", "off": "00:00" }]);
    let phase = json!([{ "name": "dim", "days": 100, "lights": lights, "power": 0.6, "flux": 0.5 }]);
    let half = summary(&patched(patched(room(), target), json!({ "photoperiod": { "phases": phase } })));
    let met = |result: &decide::result::RunResult| result.options[0].target_met.as_ref().unwrap().mean.value;
    assert!((met(&full) - 1.0).abs() < 1e-12, "{}", met(&full));
    assert!((met(&half) - 0.5).abs() < 1e-12, "{}", met(&half));
}

#[test]
fn rooms_that_differ_in_size_alone_tie_whatever_the_rounding() {
    for (few, many) in [(3, 9), (10, 30), (11, 23), (1, 2)] {
        let sized =
            |name: &str, fixtures: u32| patched(option(name), json!({ "fixtures": fixtures, "wall_power": 737 }));
        let result = summary(&with_options(vec![sized("few", few), sized("many", many)]));
        let race = &result.contracts[0].races[0];
        assert_eq!((race.lead.value, race.verdict), (0.0, Verdict::Tie), "{few} against {many}");
    }
}

#[test]
fn light_measured_on_a_lamp_that_has_all_but_faded_is_refused() {
    let faded = json!({
        "light": { "lamp_hours": 12_000 },
        "maintenance": { "constant": null, "table": [{ "hours": 0, "fraction": 1 }, { "hours": 10_000, "fraction": 0 }] }
    });
    let scenario = with_options(vec![patched(option("faded"), faded)]);
    let page = Page { name: "test.json".into(), text: scenario.to_string() };
    let faults = plan::Plan::new(&gather(page, &Bare, &[]).unwrap().form).unwrap_err();
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert_eq!(faults[0].at, "/options/0/light/lamp_hours");
    assert_eq!(faults[0].found, "12000 h, when the stated fading leaves 0.0 % of the light");
}
