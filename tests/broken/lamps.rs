//! What nobody may state of lamps and their keeping: numbers beyond all bounds, empty and contradictory lists, promises
//! that contradict themselves.
//!
//! Belongs here: every member of an option with everything on. Does not belong here: rate sheets and photoperiods.

use serde_json::{Value, json};

use super::tariffs::{faults, refuses};
use super::{Fate, fate, places, with_raw};
use crate::laws::everything;
use crate::support::{lamped, option, patched, with_options};

/// The room with everything on, of one year and few sockets, so that it runs quickly.
fn room() -> Value {
    let mut room = patched(everything::room(), json!({ "horizon_years": 1 }));
    room["options"].as_array_mut().unwrap().remove(1);
    room["contracts"].as_array_mut().unwrap().truncate(1);
    for option in room["options"].as_array_mut().unwrap() {
        option["fixtures"] = json!(2);
    }
    room
}

/// The places of numbers in the options.
fn numbers(room: &Value) -> Vec<String> {
    places(room, Value::is_number).into_iter().filter(|at| at.starts_with("/options/")).collect()
}

/// Puts every raw text at every place: refused in words, or run to finite numbers.
fn walk(room: &Value, places: &[String], raw: &[&str]) -> (usize, usize) {
    let (mut refused, mut ran, mut wrong) = (0, 0, vec![]);
    for at in places {
        for raw in raw {
            match fate(&with_raw(room, at, raw)) {
                Ok(Fate::Refused(_)) => refused += 1,
                Ok(Fate::Ran(_)) => ran += 1,
                Err(error) => wrong.push(format!("{at} = {raw}: {error}")),
            }
        }
    }
    assert!(wrong.is_empty(), "{} go wrong:\n{}", wrong.len(), wrong.join("\n"));
    (refused, ran)
}

#[test]
fn the_room_with_everything_on_runs_soundly() {
    match fate(&room().to_string()).unwrap() {
        Fate::Ran(result) => assert_eq!(result.options.len(), 2),
        Fate::Refused(shown) => panic!("{shown}"),
    }
}

#[test]
fn what_is_no_number_is_refused_at_every_place() {
    let room = room();
    let all = numbers(&room);
    assert!(all.len() > 70, "{}", all.len());
    let never = ["1e400", "NaN", "\"text\"", "[]", "{}"];
    assert_eq!(walk(&room, &all, &never), (all.len() * never.len(), 0));
}

#[test]
fn odd_numbers_are_refused_in_words_or_run_to_finite_numbers() {
    let room = room();
    let (refused, ran) = walk(&room, &numbers(&room), &["1e308", "-1", "0", "1e-308", "null"]);
    assert!(refused > 150 && ran > 50, "{refused} refused, {ran} ran");
}

/// A room of one option with a lamp.
fn lamp_room(changes: Value) -> Value {
    with_options(vec![patched(lamped("lamp", 8_000.0, 3.0, json!({ "on_failure": {} })), changes)])
}

/// A room of one option without a lamp.
fn bar_room(changes: Value) -> Value {
    with_options(vec![patched(option("bars"), changes)])
}

/// Asserts that a scenario has faults, that the first is at a place, and that each says what is allowed.
#[track_caller]
fn refuses_at(scenario: &Value, place: &str) {
    let faults = faults(scenario);
    assert!(!faults.is_empty(), "it is taken, but {place} should be refused");
    let there = faults.iter().any(|fault| fault[0].contains(place));
    assert!(there, "no fault at {place}: {faults:?}");
    assert!(faults.iter().all(|fault| !fault[1].is_empty()), "a fault that does not say what is allowed: {faults:?}");
}

#[test]
fn of_one_thing_stated_in_several_ways_exactly_one_may_stand() {
    let at = "options[\"lamp\"]";
    let life = |changes: Value| lamp_room(json!({ "lamp": { "life": changes } }));
    for both in [
        json!({ "b10": 5_000 }),
        json!({ "alive_at": { "hours": 5_000, "alive": 0.8 } }),
        json!({ "test_stopped_at": { "hours": 5_000 } }),
        json!({ "lognormal_sd": 0.3 }),
        json!({ "b50": null }),
        json!({ "shape": null }),
    ] {
        refuses_at(&life(both), &format!("{at}.lamp.life"));
    }
    let points = json!([{ "hours": 0, "alive": 1 }, { "hours": 9_000, "alive": 0.2 }]);
    refuses_at(&life(json!({ "survival": points })), &format!("{at}.lamp.life.survival"));
    refuses_at(
        &life(
            json!({ "start_cost": 1, "life_by_start": [{ "hours_per_start": 10, "life": 2 }, { "hours_per_start": 5, "life": 1.5 }] }),
        ),
        &format!("{at}.lamp.life.life_by_start"),
    );
    for fading in [
        json!({ "exponential": { "rate": 1e-5 } }),
        json!({ "stretched": { "time_constant": 9_000, "power": 1 } }),
        json!({ "biexponential": { "fast_share": 0.1, "fast_rate": 1e-3, "slow_rate": 1e-5 } }),
        json!({ "constant": null }),
        json!({ "through": [{ "fraction": 0.9, "hours": 9_000 }], "table": [{ "hours": 0, "fraction": 1 }] }),
    ] {
        refuses_at(&lamp_room(json!({ "maintenance": fading })), &format!("{at}.maintenance"));
    }
    for relamp in [
        json!({ "by_age": { "at": 100 } }),
        json!({ "on_failure": null }),
        json!({ "on_failure": null, "group": {} }),
        json!({ "on_failure": null, "group": { "every": 900, "every_crops": 2 } }),
        json!({ "on_failure": null, "group": { "every": 900, "at_light": 0.8 } }),
        json!({ "on_failure": null, "by_age": {} }),
        json!({ "on_failure": null, "by_age": { "at": 900, "at_light": 0.8 } }),
    ] {
        refuses_at(&lamp_room(json!({ "upkeep": { "relamp": relamp } })), &format!("{at}.upkeep.relamp"));
    }
    for cleaning in [
        json!({ "cost": 1 }),
        json!({ "cost": 1, "every": 30, "with_group": {} }),
        json!({ "cost": 1, "with_group": {} }),
    ] {
        refuses_at(&lamp_room(json!({ "upkeep": { "cleaning": cleaning } })), &format!("{at}.upkeep.cleaning"));
    }
    for used in [json!({}), json!({ "from": 100 }), json!({ "hours": 5, "to": 9 }), json!({ "from": 900, "to": 100 })] {
        refuses_at(&lamp_room(json!({ "in_sockets": used })), &format!("{at}.in_sockets"));
    }
}

#[test]
fn empty_lists_and_zero_counts_are_refused_where_they_say_nothing() {
    let at = "options[\"lamp\"]";
    for (changes, place) in [
        (json!({ "lamp": { "life": { "b50": null, "shape": null, "survival": [] } } }), "lamp.life.survival"),
        (json!({ "lamp": { "life": { "life_by_start": [] } } }), "lamp.life.life_by_start"),
        (json!({ "lamp": { "life": { "batch": { "spread": 0.1, "sockets": 0 } } } }), "lamp.life.batch.sockets"),
        (json!({ "maintenance": { "constant": null, "through": [] } }), "maintenance.through"),
        (json!({ "maintenance": { "constant": null, "table": [] } }), "maintenance.table"),
        (json!({ "upkeep": { "wait_for_dark": 0 } }), "upkeep.wait_for_dark"),
        (json!({ "upkeep": { "wait_for_dark": 2 } }), "upkeep.wait_for_dark"),
        (json!({ "upkeep": { "walk_through": 0 } }), "upkeep.walk_through"),
        (json!({ "upkeep": { "relamp": { "on_failure": null, "group": { "every_crops": 0 } } } }), "every_crops"),
        (json!({ "upkeep": { "relamp": { "on_failure": null, "group": { "every": 900, "zones": 0 } } } }), "zones"),
        (json!({ "start_loss": { "re_strike": 5 } }), "start_loss.hot_for"),
        (json!({ "light": { "since_cleaning": 5 } }), "light.since_cleaning"),
    ] {
        refuses_at(
            &lamp_room(changes),
            &format!("{at}.{}", place)
                .replace("lamp\"].every", "lamp\"].upkeep.relamp.group.every")
                .replace("lamp\"].zones", "lamp\"].upkeep.relamp.group.zones"),
        );
    }
    // an empty list of parts or of factors says that there are none
    assert!(faults(&lamp_room(json!({ "components": [], "lamp": { "life": { "derates": [] } } }))).is_empty());
}

#[test]
fn what_contradicts_itself_is_refused() {
    let part = |name: &str| json!({ "name": name, "b50": 9_000, "price": 0, "labour": 0 });
    let many: Vec<Value> = (0..17).map(|k| part(&format!("part {k}"))).collect();
    let old = json!({ "older_than": 5, "times": 2 });
    for (scenario, place) in [
        (bar_room(json!({ "in_sockets": { "hours": 5 } })), "options[\"bars\"].in_sockets"),
        (bar_room(json!({ "upkeep": { "relamp": { "on_failure": {} } } })), "options[\"bars\"].upkeep.relamp"),
        (
            bar_room(
                json!({ "maintenance": { "constant": null, "through": [{ "fraction": 0.9, "of_rated_life": 0.5 }] } }),
            ),
            "options[\"bars\"].maintenance.through[0].of_rated_life",
        ),
        (bar_room(json!({ "lamps_per_fixture": 2, "fixture": { "ends_at_light": 0.8 } })), "fixture.ends_at_light"),
        (lamp_room(json!({ "fixture": { "ends_at_light": 0.8 } })), "fixture.ends_at_light"),
        (bar_room(json!({ "components": [part("fan"), part("fan")] })), "components[1].name"),
        (bar_room(json!({ "components": [part(" ")] })), "components[\" \"].name"),
        (bar_room(json!({ "components": many })), "components"),
        (
            bar_room(
                json!({ "components": [patched(part("fan"), json!({ "clock": "calendar", "old_lamps": old })) ] }),
            ),
            "components[\"fan\"].old_lamps",
        ),
        (lamp_room(json!({ "lamp": { "warranty": { "full_for": 13, "until": 12 } } })), "lamp.warranty.full_for"),
        (
            lamp_room(json!({ "lamp": { "warranty": { "until": 12, "most_hours_per_year": 0 } } })),
            "most_hours_per_year",
        ),
        (
            lamp_room(json!({ "lamp": { "warranty": { "until": 12, "least_hours_per_start": -1 } } })),
            "least_hours_per_start",
        ),
        (lamp_room(json!({ "lamp": { "life": { "early": { "share": 0.6, "within": 500 } } } })), "lamp.life"),
        (
            lamp_room(json!({ "maintenance": { "constant": null, "projection": {
                "rate": 1e-6, "test_hours": 6_000, "units_tested": 20, "cap_multiple": 6 } } })),
            "projection.cap_multiple",
        ),
        (
            lamp_room(json!({ "maintenance": { "constant": null, "through": [
                { "fraction": 0.8, "hours": 900 }, { "fraction": 0.9, "hours": 9_000 }] } })),
            "maintenance.through",
        ),
        (
            lamp_room(json!({ "lamp": { "life": { "b50": null, "shape": null, "survival": [
                { "hours": 0, "alive": 1 }, { "hours": 900, "alive": 0.5 }, { "hours": 900, "alive": 0.4 }] } } })),
            "lamp.life.survival[2]",
        ),
    ] {
        refuses_at(&scenario, place);
    }
    refuses(
        &bar_room(json!({ "components": [part("fan"), part("fan")] })),
        "options[\"bars\"].components[1].name: found \"fan\"",
        "a name of its own for each component",
        "",
    );
}

/// Whether a scenario would change more lamps than can be lived: such a plan must be refused, because to live it would
/// take for ever. Nothing is run here.
#[track_caller]
fn too_many(changes: Value) {
    let found = faults(&lamp_room(changes.clone()));
    assert!(!found.is_empty(), "{changes} is taken, although nobody could live to see its end");
}

#[test]
fn relamping_by_light_that_would_come_every_moment_is_refused() {
    // exp(−(b/100)^0.25) is at 0.9 after 0.0123 h: seven million relamps of ten lamps in ten years. The same with a power of
    // 0.1 is at 0.9 after 1.7e-8 h and at 0.999 after 1e-28 h; it stands last, because its dates alone would fill any memory
    for (power, share) in [(0.25, 0.9), (0.1, 0.9), (0.1, 0.999)] {
        let fading = json!({ "constant": null, "stretched": { "time_constant": 100, "power": power } });
        for relamp in [json!({ "by_age": { "at_light": share } }), json!({ "group": { "at_light": share } })] {
            let relamp = patched(json!({ "on_failure": null }), relamp);
            too_many(json!({ "fixtures": 10, "maintenance": fading, "upkeep": { "relamp": relamp } }));
        }
    }
    let fading =
        json!({ "constant": null, "table": [{ "hours": 0, "fraction": 1 }, { "hours": 1e-9, "fraction": 0.5 }] });
    let relamp = json!({ "on_failure": null, "by_age": { "at_light": 0.7 } });
    too_many(json!({ "maintenance": fading, "upkeep": { "relamp": relamp } }));
    let found = faults(&bar_room(json!({ "fixture": { "ends_at_light": 0.9 }, "maintenance": {
        "constant": null, "stretched": { "time_constant": 100, "power": 0.1 } } })));
    assert!(!found.is_empty(), "fixtures that end after 2e-8 h are taken");
}

#[test]
fn lives_that_factors_shorten_to_nothing_are_refused() {
    let derates = vec![json!({ "cause": "other", "factor": 0.01 }); 8];
    too_many(json!({ "lamp": { "life": { "derates": derates } } }));
}
