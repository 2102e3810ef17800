//! Cautions: each is said when a scenario calls for it and only then, once, in a fixed order, with its public source.

use serde_json::{Value, json};

use crate::support::{lamped, option, patched, plan, room, with_options};

/// Every caution in the order in which they are said, with a word of its source.
const ALL: [(&str, &str); 14] = [
    ("Cracked glass", "FDA"),
    ("Ultraviolet", "New Jersey"),
    ("Jacket", "New Jersey"),
    ("Eyes and skin", "UL 8800"),
    ("Rupture", "NEC"),
    ("No break", "NEMA"),
    ("Past rated life", "GE sheet"),
    ("Run to failure", "NEMA"),
    ("Cycling", "Maintenance Guide"),
    ("Control gear", "Lighting"),
    ("Dimming", "NEMA LSD 14"),
    ("Mercury", "40 CFR 273"),
    ("Work at height and on circuits", "29 CFR 1910.333"),
    ("Electrical load", "NEC"),
];

/// Median life of the lamps here, h.
const B50: f64 = 20_000.0;

/// The room with such options, lit for 12 h a day.
fn by_day(options: Vec<Value>) -> Value {
    lit(&with_options(options), json!([{ "on": "06:00", "off": "18:00" }]))
}

/// A scenario with other light windows.
fn lit(scenario: &Value, lights: Value) -> Value {
    let phases = json!([{ "name": "all", "days": 100, "lights": lights }]);
    patched(scenario.clone(), json!({ "photoperiod": { "phases": phases } }))
}

/// An option with lamps of a technology that calls for as little caution as its kind allows, then changed.
fn kind(technology: &str, change: Value) -> Value {
    let build = json!({ "enclosed": true, "quartz_jacket": false, "matched": true });
    let plain = json!({ "technology": technology, "build": build });
    // another way of relamping takes the place of the first one as a whole
    let relamp =
        if change.pointer("/upkeep/relamp").is_some() { Value::Null } else { json!({ "group": { "every": 10_000 } }) };
    patched(patched(lamped(technology, B50, 3.5, relamp), plain), change)
}

fn halide(change: Value) -> Value {
    kind("metal_halide", change)
}

fn sodium(change: Value) -> Value {
    kind("high_pressure_sodium", change)
}

/// What an option changes when its lamps are relamped in another way.
fn relamped(relamp: Value) -> Value {
    json!({ "upkeep": { "relamp": relamp } })
}

/// The head of a caution: what stands before the options that it names, or before its colon.
fn head(caution: &str) -> &str {
    let (head, _) = caution.split_once(": ").unwrap();
    head.split_once(" (for ").map_or(head, |(head, _)| head)
}

/// The caution with a head, if it is said.
fn said(scenario: &Value, wanted: &str) -> Option<String> {
    assert!(ALL.iter().any(|(known, _)| *known == wanted), "{wanted}");
    let mut found = plan(scenario).cautions.into_iter().filter(|caution| head(caution) == wanted);
    let first = found.next();
    assert_eq!(found.next(), None, "said twice");
    first
}

/// Fails unless the caution is said of the one scenario and not of the other.
fn parts(wanted: &str, calls: &Value, calm: &Value) {
    assert!(said(calls, wanted).is_some(), "{wanted} is not said: {calls}");
    assert_eq!(said(calm, wanted), None, "{calm}");
}

/// A scenario that calls for everything.
fn dangerous() -> Value {
    let broken = json!({ "upkeep": { "breakage": 0.02 }, "build": { "matched": false, "quartz_jacket": true } });
    let options = vec![
        patched(halide(broken), json!({ "name": "quartz" })),
        patched(halide(relamped(json!({ "on_failure": {} }))), json!({ "name": "left in", "build": null })),
        sodium(relamped(json!({ "on_failure": {} }))),
        option("no lamp"),
    ];
    let phases = json!([{ "name": "all", "days": 100, "power": 0.4, "lights": [{ "on": "00:00", "off": "00:00" }] }]);
    patched(with_options(options), json!({ "photoperiod": { "phases": phases } }))
}

#[test]
fn everything_is_said_once_in_order_with_its_source_and_promises_nothing() {
    let cautions = plan(&dangerous()).cautions;
    let heads: Vec<&str> = cautions.iter().map(|caution| head(caution)).collect();
    assert_eq!(heads, ALL.map(|(head, _)| head));
    for (caution, (_, source)) in cautions.iter().zip(ALL) {
        let (sentence, named) = caution.rsplit_once(" (").unwrap();
        assert!(named.strip_suffix(").").is_some_and(|named| named.contains(source)), "{caution}");
        assert!(!sentence.contains(". ") && !sentence.contains(['!', '?']), "more than a sentence: {caution}");
        let small = caution.to_lowercase();
        for promise in ["complies", "compliant", "compliance", "safe to", "certified", "meets "] {
            assert!(!small.contains(promise), "{promise}: {caution}");
        }
    }
}

#[test]
fn sentences_stand_word_for_word() {
    let both = by_day(vec![halide(json!({})), sodium(json!({})), option("no lamp")]);
    assert_eq!(
        said(&both, "Cracked glass").unwrap(),
        "Cracked glass (for metal_halide, high_pressure_sodium): switch off and replace an arc lamp whose outer glass \
         is cracked or missing, and never look at it or work under it while it burns, because the arc can go on \
         burning and hurt eyes and skin within minutes; where the carton bears a mark, T means that a broken lamp \
         puts itself out within 15 minutes, not at once, and R that it does not; the FDA notice does not name sodium \
         lamps, so ask their maker's sheet (FDA notice on metal-halide and mercury lamps; 21 CFR 1040.30)."
    );
    assert_eq!(
        said(&both, "Electrical load").unwrap(),
        "Electrical load: power figures here are for costing only; lights that are on for 3 hours or more are a \
         continuous load, for which circuits are planned at 125 %, and a licensed person must design them to the \
         local code (NEC 210.19(A)(1), 210.20(A) and Article 100, in summaries)."
    );
    assert_eq!(
        said(&dangerous(), "No break").unwrap(),
        "No break (for quartz, left in): metal-halide lamps burn for 87672 h here without a break of 15 minutes; \
         where they burn day and night, switch them off for at least 15 minutes once a week, because the risk of \
         rupture is higher otherwise, and follow the maker's sheet where it asks for more (GE sheet for 400 W \
         metal-halide lamps, 1999; NEMA advice as quoted by electricians; Hartford Steam Boiler 2013)."
    );
}

#[test]
fn options_are_named_unless_all_are_concerned() {
    let of = |options| said(&by_day(options), "Mercury").unwrap();
    assert!(of(vec![halide(json!({}))]).starts_with("Mercury: "));
    assert!(of(vec![halide(json!({})), sodium(json!({}))]).starts_with("Mercury: "));
    let mixed = vec![halide(json!({})), option("no lamp"), sodium(json!({}))];
    assert!(of(mixed).starts_with("Mercury (for metal_halide, high_pressure_sodium): "));
}

#[test]
fn fixtures_of_diodes_are_warned_of_eyes_and_circuits_alone() {
    let heads = |options| -> Vec<String> {
        // even round the clock, dimmed as far as may be
        let lights = json!([{ "on": "00:00", "off": "00:00" }]);
        let phases = json!([{ "name": "all", "days": 100, "power": 0.1, "lights": lights }]);
        let scenario = patched(with_options(options), json!({ "photoperiod": { "phases": phases } }));
        plan(&scenario).cautions.iter().map(|caution| head(caution).to_owned()).collect()
    };
    assert_eq!(heads(vec![option("no lamp")]), ["Eyes and skin", "Electrical load"]);
    let kept = kind("led", patched(relamped(json!({ "on_failure": {} })), json!({ "upkeep": { "breakage": 0.02 } })));
    assert_eq!(heads(vec![kept]), ["Eyes and skin", "Work at height and on circuits", "Electrical load"]);
}

#[test]
fn glass_and_jackets() {
    let fluorescent = by_day(vec![kind("fluorescent", json!({}))]);
    parts("Cracked glass", &by_day(vec![kind("ceramic_metal_halide", json!({}))]), &fluorescent);
    parts("Cracked glass", &by_day(vec![sodium(json!({}))]), &fluorescent);
    // each kind is told only what its sources say of it
    let halides = said(&by_day(vec![halide(json!({}))]), "Cracked glass").unwrap();
    let sodiums = said(&by_day(vec![sodium(json!({}))]), "Cracked glass").unwrap();
    assert!(halides.contains("T means") && !halides.contains("sodium"), "{halides}");
    assert!(!sodiums.contains("T means") && sodiums.contains("sodium"), "{sodiums}");

    let jacket = |quartz: Value| json!({ "build": { "quartz_jacket": quartz } });
    let of = |lamp: fn(Value) -> Value, quartz: Value| by_day(vec![lamp(jacket(quartz))]);
    for lamp in [halide, sodium] {
        parts("Ultraviolet", &of(lamp, true.into()), &of(lamp, false.into()));
        assert_eq!(said(&of(lamp, Value::Null), "Ultraviolet"), None);
    }
    parts("Jacket", &of(halide, Value::Null), &of(halide, false.into()));
    parts("Jacket", &by_day(vec![halide(json!({ "build": null }))]), &of(halide, true.into()));
    assert_eq!(said(&of(sodium, Value::Null), "Jacket"), None);
}

#[test]
fn open_fixtures() {
    let of = |lamp: fn(Value) -> Value, enclosed: Value, protected: Value| {
        by_day(vec![lamp(json!({ "build": { "enclosed": enclosed, "protected_lamp": protected } }))])
    };
    let (yes, no, unknown) = (Value::Bool(true), Value::Bool(false), Value::Null);
    for (enclosed, protected) in [(&no, &no), (&no, &unknown), (&unknown, &no), (&unknown, &unknown)] {
        let open = of(halide, enclosed.clone(), protected.clone());
        parts("Rupture", &open, &of(halide, yes.clone(), protected.clone()));
        parts("Rupture", &open, &of(halide, enclosed.clone(), yes.clone()));
        assert_eq!(said(&of(sodium, enclosed.clone(), protected.clone()), "Rupture"), None);
    }
}

#[test]
fn burning_without_a_break() {
    let windows = |off: &str| lit(&with_options(vec![halide(json!({}))]), json!([{ "on": "00:00", "off": off }]));
    parts("No break", &windows("24:00"), &windows("18:00"));
    // ten minutes are no break, a quarter of an hour is
    parts("No break", &windows("23:50"), &windows("23:45"));
    // one burn of 24 h in a crop is enough: an evening and the next phase's day
    let phases = |off: &str| {
        let first = json!({ "name": "first", "days": 1, "lights": [{ "on": "18:00", "off": "24:00" }] });
        let then = json!({ "name": "then", "days": 9, "lights": [{ "on": "00:00", "off": off }] });
        patched(windows("12:00"), json!({ "photoperiod": { "phases": [first, then] } }))
    };
    parts("No break", &phases("18:00"), &phases("17:45"));
    assert!(said(&phases("18:00"), "No break").unwrap().contains(" 24 h "));
    let sodiums = with_options(vec![sodium(json!({}))]);
    assert_eq!(said(&lit(&sodiums, json!([{ "on": "00:00", "off": "24:00" }])), "No break"), None);
}

#[test]
fn lamps_past_their_rated_life() {
    // lit round the clock, ten years are 87 672 h and a crop is 2 400 h
    let of = |lamp: fn(Value) -> Value, change: &Value| with_options(vec![lamp(change.clone())]);
    let life = |life: Value, relamp: Value| {
        let life = patched(json!({ "b50": null }), life);
        patched(json!({ "lamp": { "life": life } }), relamped(relamp))
    };
    let group = |change: Value| relamped(json!({ "group": patched(json!({ "every": 10_000 }), change) }));
    let every = |hours: u32| relamped(json!({ "group": { "every": hours } }));
    let age = |hours: u32| relamped(json!({ "by_age": { "at": hours } }));
    let fading = json!({ "maintenance": { "constant": null, "exponential": { "rate": 0.00002 } } });
    let light = |share: f64| patched(fading.clone(), relamped(json!({ "group": { "at_light": share } })));
    let b10 = |hours: u32| life(json!({ "b10": 10_000 }), json!({ "group": { "every": hours } }));
    let stopped = json!({ "test_stopped_at": { "hours": 12_000 } });
    let long = |hours: u32| life(json!({ "b50": 200_000 }), json!({ "group": { "every": hours } }));
    let stopped = |hours: u32| life(stopped.clone(), json!({ "by_age": { "at": hours } }));
    let derated = json!({ "lamp": { "life": { "derates": [{ "cause": "position", "factor": 0.5 }] } } });
    // the last of four zones waits as long for its first relamp as a room without zones
    let used = |hours: u32| patched(group(json!({ "zones": 4 })), json!({ "in_sockets": { "hours": hours } }));
    let skip = |hours: u32| patched(every(10_000), json!({ "upkeep": { "end": { "skip_within": hours } } }));
    for (late, in_time) in [
        (relamped(json!({ "on_failure": {} })), every(20_000)),
        (every(20_001), patched(every(20_000), derated)),
        (age(20_001), age(20_000)),
        // 20 000 h leave 67 % of the light
        (light(0.66), light(0.68)),
        (relamped(json!({ "group": { "every_crops": 9 } })), relamped(json!({ "group": { "every_crops": 8 } }))),
        // the next turnarounds come at 21 600 h and at 19 200 h
        (
            group(json!({ "every": 19_300, "at_turnaround": true })),
            group(json!({ "every": 19_000, "at_turnaround": true })),
        ),
        (group(json!({ "keep_younger_than": 10_001 })), group(json!({ "keep_younger_than": 10_000 }))),
        (group(json!({ "every": 20_001, "zones": 4 })), group(json!({ "every": 20_000, "zones": 4 }))),
        (used(10_001), used(10_000)),
        // the last relamp is the one at 60 000 h, or the one at 70 000 h
        (skip(17_673), skip(17_671)),
        // one in ten dead by 10 000 h means half of them by 17 100 h
        (b10(17_300), b10(16_900)),
        (stopped(12_001), stopped(12_000)),
        // the habit counts, though the horizon ends before it shows
        (long(200_001), long(200_000)),
    ] {
        parts("Past rated life", &of(halide, &late), &of(halide, &in_time));
        parts("Cycling", &of(sodium, &late), &of(sodium, &in_time));
        assert_eq!(said(&of(sodium, &late), "Past rated life"), None);
        assert_eq!(said(&of(halide, &late), "Cycling"), None);
    }
    let to_failure = relamped(json!({ "on_failure": {} }));
    parts("Run to failure", &of(halide, &to_failure), &of(halide, &every(30_000)));
    assert_eq!(said(&of(sodium, &to_failure), "Run to failure"), None);
    assert_eq!(said(&with_options(vec![kind("fluorescent", to_failure)]), "Cycling"), None);
}

#[test]
fn gear_that_does_not_match() {
    let of = |change: Value| by_day(vec![sodium(change)]);
    let derated = |cause: &str| of(json!({ "lamp": { "life": { "derates": [{ "cause": cause, "factor": 0.9 }] } } }));
    parts("Control gear", &of(json!({ "build": { "matched": false } })), &of(json!({ "build": null })));
    parts("Control gear", &derated("control_gear"), &derated("supply"));
}

#[test]
fn dimming_below_the_floor() {
    let of = |lamp: Value, power: f64| {
        let lights = json!([{ "on": "06:00", "off": "18:00" }]);
        let full = json!({ "name": "full", "days": 50, "lights": lights });
        let dimmed = json!({ "name": "dimmed", "days": 50, "lights": lights, "power": power });
        patched(with_options(vec![lamp]), json!({ "photoperiod": { "phases": [full, dimmed] } }))
    };
    for lamp in [halide(json!({})), sodium(json!({}))] {
        parts("Dimming", &of(lamp.clone(), 0.69), &of(lamp, 0.7));
    }
    let words = |power: f64| said(&of(halide(json!({})), power), "Dimming").unwrap();
    assert!(
        words(0.455).contains("runs at 45.5 % of full power, which is below the floor of every arc lamp (50 % to 70 %")
    );
    assert!(words(0.5).contains("runs at 50 % of full power, which may be below the floor of its arc lamps"));
    assert!(words(0.5).contains("at full power for at least 15 minutes"));
    assert_eq!(said(&of(kind("fluorescent", json!({})), 0.3), "Dimming"), None);
    // a phase without light is not dimmed
    let dark = json!({ "name": "dark", "days": 9, "lights": [], "power": 0.1 });
    let lights = json!([{ "on": "06:00", "off": "18:00" }]);
    let phases = json!([{ "name": "lit", "days": 50, "lights": lights }, dark]);
    let resting = patched(with_options(vec![sodium(json!({}))]), json!({ "photoperiod": { "phases": phases } }));
    assert_eq!(said(&resting, "Dimming"), None);
}

#[test]
fn old_lamps_and_broken_ones() {
    for technology in ["high_pressure_sodium", "metal_halide", "ceramic_metal_halide", "fluorescent"] {
        parts("Mercury", &by_day(vec![kind(technology, json!({}))]), &by_day(vec![kind("led", json!({}))]));
    }
    let counted = |technology: &str, share: f64| {
        let options =
            vec![sodium(json!({})), kind(technology, json!({ "name": "x", "upkeep": { "breakage": share } }))];
        said(&by_day(options), "Mercury").unwrap().contains("counts on lamps that break as they are put in")
    };
    assert!(counted("fluorescent", 0.02));
    assert!(!counted("fluorescent", 0.0) && !counted("led", 0.02));
}

#[test]
fn hands_at_work() {
    let of = |change: Value| by_day(vec![patched(option("no lamp"), change)]);
    let still = of(json!({}));
    let part = json!({ "price": 0, "labour": 0 });
    let gear = patched(part.clone(), json!({ "failures_per_year": 0.01 }));
    let fan = patched(part, json!({ "name": "fan", "b50": 50_000 }));
    for change in [
        json!({ "gear": gear }),
        json!({ "components": [fan] }),
        json!({ "upkeep": { "cleaning": { "every": 365, "cost": 0 } } }),
        json!({ "fixture": { "ends_at_light": 0.7 } }),
    ] {
        parts("Work at height and on circuits", &of(change), &still);
    }
    parts("Work at height and on circuits", &by_day(vec![sodium(json!({}))]), &room());
}

#[test]
fn a_bench_calls_for_what_its_lamps_can_do() {
    let heads = |option: Value| -> Vec<String> {
        let plan = plan(&by_day(vec![option]));
        let said = plan::bench_cautions(&plan.options[0]);
        assert!(said.iter().all(|caution| caution.ends_with(").")), "{said:?}");
        said.iter().map(|caution| head(caution).replace("Test bench, ", "")).collect()
    };
    let nothing = json!({});
    assert_eq!(heads(halide(nothing.clone())), ["ultraviolet", "rupture", "mercury", "electrical", "fire"]);
    assert_eq!(heads(sodium(nothing.clone())), ["ultraviolet", "mercury", "electrical", "fire"]);
    assert_eq!(heads(kind("fluorescent", nothing)), ["mercury", "electrical", "fire"]);
    assert_eq!(heads(option("led")), ["electrical", "fire"]);
}
