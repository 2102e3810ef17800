//! Buying now and deciding later: closed forms where nothing is uncertain, and what knowledge may never be worth.

use std::sync::atomic::AtomicBool;

use decide::World;
use decide::result::Estimate;
use decide::stage::{StageOrder, stage};
use decide::stage_report::{Advice, StageKind, StageReport};
use engine::{Settings, watch};
use scenario::form::Scenario;
use scenario::{Page, gather};
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{Bare, demo, lamped, patched, plan, run, with_options};

const ORDER: StageOrder =
    StageOrder { now: 0, later: 1, after_years: 3, watch: 4, keep_fixtures: true, contract: 0, rooms: 1 };
/// The same with one lamp watched, for rooms of a single socket.
const ONE: StageOrder = StageOrder { watch: 1, ..ORDER };
/// Hours of ten years from 2031, lit round the clock.
const HOURS: f64 = 3653.0 * 24.0;

fn form(scenario: &Value) -> Scenario {
    let page = Page { name: "test.json".into(), text: scenario.to_string() };
    gather(page, &Bare, &[]).unwrap_or_else(|faulty| panic!("{:?}", faulty.faults)).form
}

fn staged(scenario: &Value, order: &StageOrder, trials: u64) -> Result<StageReport, String> {
    let (form, plan, stop) = (form(scenario), plan(scenario), AtomicBool::new(false));
    let settings = Settings { seed: 5, trials, threads: 2, precision: None };
    let world = World { form: &form, plan: &plan, settings, stop: &stop };
    stage(&world, order, "test", &mut |_| {})
}

fn cost(report: &StageReport, kind: StageKind) -> Estimate {
    report.policies.iter().find(|policy| policy.kind == kind).unwrap().cost
}

/// Two lamps that never die and never fade: a light of 1 kW, and one of 0.9 kW whose lamp is dearer.
fn immortal() -> Value {
    let never = json!({ "group": { "every": 1_000_000, "spot_between": true } });
    let one = |name: &str, watts: f64, price: f64| {
        let priced = json!({
            "wall_power": watts,
            "fixture": { "price": 200, "installation": 50 },
            "lamp": { "price": price, "disposal": 2 },
            "upkeep": { "planned_labour": 15, "spot_labour": 68 }
        });
        patched(lamped(name, 1e6, 1e6, never.clone()), priced)
    };
    with_options(vec![one("plain", 1000.0, 40.0), one("frugal", 900.0, 120.0)])
}

/// Two lamps of uncertain median lives; the second is dearer and may live long enough to be worth it.
fn uncertain() -> Value {
    let on_failure = json!({ "on_failure": {} });
    let one = |name: &str, price: f64, life: Value| {
        let figures = json!({
            "fixtures": 10,
            "lamp": { "price": price, "life": { "b50": life, "shape": 4 } },
            "upkeep": { "spot_labour": 20 }
        });
        patched(lamped(name, 9_000.0, 4.0, on_failure.clone()), figures)
    };
    let belief = |median: f64, p90: f64| json!({ "lognormal": { "median": median, "p90": p90 }, "unit": "h" });
    with_options(vec![
        one("short", 40.0, json!(12_000)),
        one("long", 115.0, patched(belief(24_000.0, 48_000.0), json!({ "luck": "long" }))),
    ])
}

#[test]
fn without_chance_every_way_costs_what_is_bought() {
    let of_now = HOURS * 0.10;
    let split = f64::from(365 * 3 + 1) / 3653.0;
    for (money, note) in [
        (json!({ "basis": "real", "discount_rate": 0 }), "real"),
        // what rises as fast as it is discounted costs what it costs today
        (json!({ "basis": "nominal", "discount_rate": 0.06, "inflation": 0.06 }), "nominal"),
    ] {
        let room = patched(immortal(), json!({ "money": money }));
        let stays = |lamp: f64, watts: f64, light: f64| 250.0 + lamp + light * of_now * watts + 2.0 + 15.0 + lamp;
        let report = staged(&room, &ONE, 100).unwrap();
        assert_close(cost(&report, StageKind::NowThroughout).value, stays(40.0, 1.0, 1.0), 1e-9, note);
        assert_close(cost(&report, StageKind::LaterThroughout).value, stays(120.0, 0.9, 1.0), 1e-9, note);
        let changed = of_now * (split + (1.0 - split) * 0.9);
        let planned = 250.0 + 40.0 + 2.0 + 120.0 + 15.0 + changed;
        assert_close(cost(&report, StageKind::Planned).value, planned, 1e-9, note);
        assert_eq!((report.watchings[0].lamps, report.watchings[0].extra.value), (1, 80.0));
        // with fixtures of its own: they and their installation instead of the labour of putting lamps in
        let own = staged(&room, &StageOrder { keep_fixtures: false, ..ONE }, 100).unwrap();
        assert_close(cost(&own, StageKind::Planned).value, planned - 15.0 + 250.0, 1e-9, note);
        assert_close(cost(&own, StageKind::LaterThroughout).value, stays(120.0, 0.9, 1.0), 1e-9, note);
    }
}

#[test]
fn both_stages_together_are_the_whole_where_the_change_costs_nothing() {
    let free = json!({ "lamp": { "price": 0, "disposal": 0 }, "upkeep": { "planned_labour": 0 } });
    let mut room = immortal();
    for option in room["options"].as_array_mut().unwrap() {
        *option = patched(option.take(), free.clone());
    }
    let levels = json!([1, 1.2, 1.1, 0.7, 1.9, 1, 1.3, 0.8, 1, 1.4, 1.5]);
    let rising = json!({
        "start": "2031-07-01",
        "money": { "discount_rate": 0.05 },
        "canopy": { "target_ppfd": 500 },
        "photoperiod": { "phases": [{ "name": "all", "days": 30, "lights": [{ "on": "19:00", "off": "07:00" }] }],
                         "already_running": true },
        "contracts": [{
            "name": "rising",
            "tariff": { "energy": [{ "price": 0.10 }] },
            "price_change": 0.07,
            "price_path": { "step": "january", "energy": { "levels": levels } }
        }]
    });
    let room = patched(room, rising);
    let report = staged(&room, &ONE, 100).unwrap();
    let outcome = run(&plan(&room), 2, 5);
    let whole = outcome.costs(0, 0, |cell| cell.levelized)[0] * report.service_mol;
    // light and money of the stages are brought to their moles one by one: with even light that is the same
    assert_close(cost(&report, StageKind::NowThroughout).value, whole, 1e-9, "whole");
}

#[test]
fn inputs_are_those_of_the_whole_in_both_stages() {
    let room = demo();
    let whole = plan(&room);
    for part in [json!({ "horizon_years": 2 }), json!({ "horizon_years": 3, "start": "2033-03-01" })] {
        let part = plan(&patched(room.clone(), part));
        assert_eq!(part.inputs.len(), whole.inputs.len());
        for trial in 0..20 {
            assert_eq!(part.inputs.draw(9, trial), whole.inputs.draw(9, trial));
        }
    }
}

#[test]
fn equal_options_tie_at_exactly_nothing() {
    let mut room = uncertain();
    let mut copy = room["options"][1].clone();
    copy["name"] = json!("again");
    room["options"][0] = copy;
    let report = staged(&room, &ORDER, 400).unwrap();
    assert_eq!((report.saving, report.known.value), (Estimate { value: 0.0, se: 0.0 }, 0.0));
    for policy in &report.policies {
        assert_eq!(policy.above_best, Estimate { value: 0.0, se: 0.0 }, "{policy:?}");
    }
    assert!(report.watchings.iter().all(|w| w.worth.value == 0.0 && w.extra.value == 0.0 && w.net.value == 0.0));
    assert!(
        report.rule.iter().all(|outcome| matches!(outcome.advice, Advice::TooClose | Advice::TooRare))
            && report.is_idle
    );
}

#[test]
fn certain_inputs_and_no_lamps_teach_nothing() {
    let certain = patched(uncertain(), json!({}));
    let mut certain = certain;
    certain["options"][1]["lamp"]["life"]["b50"] = json!(20_000);
    let report = staged(&certain, &ORDER, 400).unwrap();
    assert!(report.rule.iter().filter(|outcome| outcome.chance.value > 0.0).count() > 1, "{:?}", report.rule);
    assert!(report.watchings.iter().all(|watching| watching.worth.value == 0.0 && watching.worth.se == 0.0));
    assert_eq!((report.known.value, report.is_idle), (0.0, true));
    let unwatched = staged(&uncertain(), &StageOrder { watch: 0, ..ORDER }, 400).unwrap();
    assert!(unwatched.watchings.is_empty() && unwatched.rule.is_empty() && unwatched.known.value > 0.0);
    assert!(unwatched.policies.iter().all(|policy| policy.kind != StageKind::Watched));
}

#[test]
fn more_lamps_never_tell_less_and_never_more_than_there_is_to_know() {
    let report = staged(&uncertain(), &StageOrder { watch: 2, rooms: 10, ..ORDER }, 6_000).unwrap();
    let lamps: Vec<u32> = report.watchings.iter().map(|watching| watching.lamps).collect();
    assert_eq!(lamps, [1, 2, 4, 8]);
    let noise = |a: f64, b: f64| 3.0 * a.hypot(b);
    for pair in report.watchings.windows(2) {
        let (few, many) = (pair[0].worth, pair[1].worth);
        assert!(many.value >= few.value - noise(many.se, few.se), "{few:?} {many:?}");
    }
    let (least, most) = (report.watchings[0].worth, report.watchings[3].worth);
    assert!(most.value > least.value && most.value <= report.known.value + noise(most.se, report.known.se));
    assert!(most.value > 5.0 * most.se, "there is something to learn: {most:?}");
    // some outcome advises against what is believed today
    let against = if report.would_change { Advice::Stay } else { Advice::Change };
    assert!(report.rule.iter().any(|outcome| outcome.advice == against) && !report.is_idle, "{:?}", report.rule);
    // the more of them are dead, the less is saved by buying them
    let savings: Vec<f64> =
        report.rule.iter().filter(|o| o.chance.value > 0.02).map(|o| o.saving.unwrap().value).collect();
    assert!(savings.len() > 1 && savings.windows(2).all(|pair| pair[1] < pair[0]), "{savings:?}");
    assert_close(report.rule.iter().map(|outcome| outcome.chance.value).sum(), 1.0, 1e-12, "all outcomes");
}

#[test]
fn rooms_multiply_money_but_not_the_lamps_that_are_watched() {
    let of = |rooms: u32| staged(&uncertain(), &StageOrder { rooms, ..ORDER }, 400).unwrap();
    let (one, many) = (of(1), of(7));
    assert_close(many.saving.value, 7.0 * one.saving.value, 1e-9, "saving");
    assert_eq!(many.watchings[1].extra, one.watchings[1].extra);
    assert_close(many.watchings[1].worth.value, 7.0 * one.watchings[1].worth.value, 1e-6, "worth");
}

#[test]
fn watched_lamps_die_by_the_survival_curve() {
    let life = json!({
        "early": { "share": 0.04, "within": 400 },
        "random": 4e-6,
        "start_cost": 3
    });
    let windows = json!([{ "name": "p", "days": 9, "lights": [{ "on": "21:00", "off": "09:00" }] }]);
    let mut room = patched(uncertain(), json!({ "photoperiod": { "phases": windows }, "horizon_years": 4 }));
    room["options"][0]["lamp"]["life"] = patched(room["options"][0]["lamp"]["life"].take(), life);
    let plan = plan(&room);
    let values = plan.inputs.draw(3, 0);
    let lamp = plan.options[0].lamp.as_ref().unwrap();
    const LAMPS: u32 = 40_000;
    let seen = watch(lamp, &plan.clocks[0], &values, (3, 0), LAMPS);
    // the start is worth as many hours as it was rated at: an hour of burning is an hour of rated life
    let survival = lamp.life(&values);
    for hours in [200.0, 5_000.0, 12_000.0, 17_000.0] {
        let dead = seen.iter().filter(|lamp| lamp.is_dead && lamp.hours <= hours).count() as f64 / f64::from(LAMPS);
        let expected = 1.0 - survival.survival(hours);
        let noise = (expected * (1.0 - expected) / f64::from(LAMPS)).sqrt();
        assert!((dead - expected).abs() < 4.0 * noise, "{hours}: {dead} against {expected}");
    }
    let end = plan.clocks[0].timeline.lit_hours;
    assert!(seen.iter().all(|lamp| lamp.is_dead != (lamp.hours == end)));
    // the first ones are the same, however many are watched
    assert_eq!(watch(lamp, &plan.clocks[0], &values, (3, 0), 7), seen[..7]);
    assert!(watch(lamp, &plan.clocks[0], &values, (3, 0), 0).is_empty());
}
