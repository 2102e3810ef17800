//! Two ways of living a room: socket by socket, and event by event. Where nothing that only the second knows has any
//! effect, both must find the same lamps, the same darkness, the same light and the same costs.

use engine::{CAUSES, Ledger, Priced};
use plan::Plan;
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{lamped, lived, patched, plan, priced, with_options};

/// What only the walk by events knows, stated so that it changes nothing.
fn neutral(group: bool) -> Vec<(&'static str, Value)> {
    let mut all = vec![
        ("no breakage", json!({ "upkeep": { "breakage": 0 } })),
        (
            "a part for ever",
            json!({ "components": [
            { "name": "fan", "b50": 1e9, "shape": 1e6, "price": 9, "labour": 9 } ] }),
        ),
        ("no dirt", json!({ "dirt": { "lost_in_a_year": 0, "optics_lost_in_a_year": 0 } })),
        ("no loss at starts", json!({ "start_loss": { "warm_up": 0, "re_strike": 0, "hot_for": 30 } })),
        ("batches without a spread", json!({ "lamp": { "life": { "batch": { "spread": 0, "sockets": 2 } } } })),
        ("one pace", json!({ "maintenance": { "lamp_to_lamp": 0 } })),
        ("steady power", json!({ "power_drift": 0 })),
        ("no random failures", json!({ "lamp": { "life": { "random": 0 } } })),
        (
            "a crew for nothing",
            json!({ "upkeep": {
            "crew": { "wage": 0, "spot_minutes": 5, "planned_minutes": 3 } } }),
        ),
        ("no resale", json!({ "upkeep": { "end": { "resale": 0, "skip_within": 0 } } })),
        ("spares enough", json!({ "upkeep": { "spares": { "stock": 1_000_000, "lead_time": 30 } } })),
        ("cleaning without dirt", json!({ "upkeep": { "cleaning": { "every": 45, "cost": 0 } } })),
        ("a promise never kept", json!({ "lamp": { "warranty": { "until": 600, "honoured": 0 } } })),
    ];
    if group {
        let relamp = |member: Value| json!({ "upkeep": { "relamp": { "group": member } } });
        all.push(("no lamp kept", relamp(json!({ "keep_younger_than": 0 }))));
        all.push(("a single zone", relamp(json!({ "keep_younger_than": 0, "zones": 1 }))));
    }
    all
}

/// Five lamps with gear that fades and fails, relamped in some way, found after some days, in a crop with dimming.
fn base(name: &str, relamp: Value, found_after: f64) -> Value {
    let kept = json!({
        "fixtures": 5,
        "light": { "lamp_to_lamp": 0.05 },
        "maintenance": { "constant": null, "exponential": { "rate": 2e-5, "start": 0.97 } },
        "fixture": { "price": 300, "installation": 20 },
        "lamp": { "price": 40, "disposal": 2, "life": { "start_cost": 2, "early": { "share": 0.05, "within": 700 } } },
        "gear": { "failures_per_year": 0.4, "price": 110, "labour": 15 },
        "upkeep": { "found_after": found_after, "spot_labour": 18, "planned_labour": 7 }
    });
    patched(lamped(name, 5_000.0, 2.5, relamp), kept)
}

/// A crop of two phases, the first dimmed, with five dark days between two crops; prices by time and a demand charge.
fn crop(options: Vec<Value>) -> Value {
    patched(
        with_options(options),
        json!({
            "horizon_years": 6,
            "money": { "discount_rate": 0.07 },
            "photoperiod": { "turnaround_days": 5, "phases": [
                { "name": "young", "days": 21, "flux": 0.6, "power": 0.65, "lights": [{ "on": "05:00", "off": "23:00" }] },
                { "name": "old", "days": 40, "lights": [{ "on": "18:00", "off": "02:00" }, { "on": "06:00", "off": "10:00" }] }
            ] },
            "contracts": [{ "name": "c", "tariff": {
                "energy": [{ "when": { "from": "08:00", "until": "20:00" }, "price": 0.22 }, { "price": 0.09 }],
                "demand": [{ "name": "peak", "price": 6 }] } }]
        }),
    )
}

fn assert_same(a: (&Ledger, &Priced), b: (&Ledger, &Priced), what: &str) {
    let counts = |l: &Ledger| {
        [&l.spot_lamps, &l.planned_lamps, &l.lamp_failures, &l.gear_failures, &l.gear_repairs].map(Clone::clone)
    };
    assert_eq!(counts(a.0), counts(b.0), "{what}: lamps and gear by month");
    assert_eq!(a.0.starts, b.0.starts, "{what}: starts");
    // a life comes out of two ways of drawing the same number, which part in the last digits
    assert!((a.0.dark_hours - b.0.dark_hours).abs() < 1e-6, "{what}: {} {}", a.0.dark_hours, b.0.dark_hours);
    // in a month in which every socket is dark the sums may leave a few last digits of others
    let most = a.0.moles.iter().copied().fold(0.0, f64::max);
    for (month, (a, b)) in a.0.moles.iter().zip(&b.0.moles).enumerate() {
        assert!((a - b).abs() <= 1e-9 * a.max(1e-3 * most), "{what}: moles of month {month}: {a} {b}");
    }
    for cause in 0..CAUSES {
        assert_close(b.1.total[cause], a.1.total[cause], 1e-9, &format!("{what}: cause {cause}"));
        assert_close(b.1.present[cause], a.1.present[cause], 1e-9, &format!("{what}: cause {cause}, discounted"));
    }
    assert_close(b.1.kwh, a.1.kwh, 1e-9, &format!("{what}: kWh"));
}

#[test]
fn what_has_no_effect_changes_nothing() {
    let policies = [
        ("on failure", json!({ "on_failure": {} })),
        ("group", json!({ "group": { "every": 4_321.5 } })),
        ("group without spot", json!({ "group": { "every": 4_321.5, "spot_between": false } })),
        ("group at turnarounds", json!({ "group": { "every": 4_000, "at_turnaround": true } })),
        ("group by crops", json!({ "group": { "every_crops": 5 } })),
        ("by age", json!({ "by_age": { "at": 4_200 } })),
    ];
    let mut failures = 0;
    for (policy, relamp) in policies {
        let group = relamp.get("group").is_some();
        for found_after in [0.0, 4.3] {
            let plain = base("plain", relamp.clone(), found_after);
            let rich = neutral(group).into_iter().map(|(name, patch)| {
                let spares = name == "spares enough" && relamp.pointer("/group/spot_between").is_some();
                let patch = if spares { json!({ "upkeep": { "breakage": 0 } }) } else { patch };
                patched(plain.clone(), patched(patch, json!({ "name": name })))
            });
            let plan: Plan = plan(&crop([plain.clone()].into_iter().chain(rich).collect()));
            assert!(plan.options[0].is_plain(), "the first option is lived socket by socket");
            for trial in 0..6 {
                let (ledger, costs) = (lived(&plan, 0, 51, trial), priced(&plan, 0, 51, trial));
                failures += ledger.lamp_failures.iter().sum::<u32>();
                for option in 1..plan.options.len() {
                    let name = &plan.options[option].name;
                    assert!(!plan.options[option].is_plain(), "{name} is lived event by event");
                    let what = format!("{policy}, found after {found_after} d, {name}, trial {trial}");
                    let (other, price) = (lived(&plan, option, 51, trial), priced(&plan, option, 51, trial));
                    assert_same((&ledger, &costs), (&other, &price), &what);
                }
            }
        }
    }
    assert!(failures > 500, "{failures} failures are too few to tell");
}

#[test]
fn a_fixture_without_a_lamp_lives_the_same_either_way() {
    let bars = |name: &str, extra: Value| {
        let gear = json!({ "failures_per_year": 1.5, "price": 50, "labour": 5 });
        let kept = json!({ "name": name, "fixtures": 4, "gear": gear, "upkeep": { "found_after": 9 },
            "maintenance": { "constant": null, "exponential": { "rate": 4e-6 } } });
        patched(patched(crate::support::option(name), kept), extra)
    };
    let plan = plan(&crop(vec![
        bars("plain", json!({})),
        bars("walk by events", json!({ "power_drift": 0 })),
        bars("never cleaned", json!({ "dirt": {} })),
    ]));
    for trial in 0..20 {
        let first = (lived(&plan, 0, 52, trial), priced(&plan, 0, 52, trial));
        for option in 1..3 {
            let other = (lived(&plan, option, 52, trial), priced(&plan, option, 52, trial));
            assert_same((&first.0, &first.1), (&other.0, &other.1), &format!("option {option}, trial {trial}"));
        }
    }
}

#[test]
fn waiting_for_a_single_dark_socket_is_waiting_for_none() {
    let relamp = json!({ "group": { "every": 6_000, "keep_younger_than": 900 } });
    let plan = plan(&crop(vec![
        base("at once", relamp.clone(), 3.0),
        patched(base("one", relamp, 3.0), json!({ "upkeep": { "wait_for_dark": 1 } })),
    ]));
    for trial in 0..10 {
        assert_eq!(lived(&plan, 0, 53, trial), lived(&plan, 1, 53, trial));
    }
}

#[test]
fn rounds_that_come_every_quarter_of_an_hour_are_as_good_as_a_watch() {
    // 0.01 d is the least: each failure waits 7.2 min on average and at most 14.4
    let relamp = json!({ "on_failure": {} });
    let plan = plan(&crop(vec![
        base("watched", relamp.clone(), 0.0),
        patched(base("rounds", relamp, 0.0), json!({ "upkeep": { "walk_through": 0.01 } })),
    ]));
    for trial in 0..10 {
        let (watched, rounds) = (lived(&plan, 0, 54, trial), lived(&plan, 1, 54, trial));
        assert!(watched.dark_hours == 0.0 && rounds.dark_hours > 0.0);
        assert!(rounds.dark_hours <= 0.24 * rounds.failures() as f64, "{} h", rounds.dark_hours);
    }
}
