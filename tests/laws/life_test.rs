//! Planned life tests: bounds and limits of what they are worth, what they cost by hand, and the rule when to stop.

use std::sync::atomic::AtomicBool;

use choice::Table;
use choice::information::inputs;
use decide::World;
use decide::life_test::{TestOrder, life_test};
use decide::life_test_report::{StopAdvice, TestReport};
use engine::{Settings, watch};
use scenario::form::Scenario;
use scenario::{Page, gather};
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{Bare, lamped, patched, plan, run, with_options};

const SEED: u64 = 5;

fn order() -> TestOrder {
    TestOrder {
        of: 1,
        against: 0,
        among: vec![],
        contract: 0,
        rooms: 1,
        lamps: vec![1, 3, 9, 27],
        hours: vec![2_000.0, 8_000.0, 16_000.0],
        look_every: 500.0,
        bench_hours_per_start: 11.0,
        in_sockets: false,
        kwh: None,
        set_up: None,
        look_cost: 0.0,
    }
}

fn form(scenario: &Value) -> Scenario {
    let page = Page { name: "test.json".into(), text: scenario.to_string() };
    gather(page, &Bare, &[]).unwrap_or_else(|faulty| panic!("{:?}", faulty.faults)).form
}

fn tested(scenario: &Value, order: &TestOrder, trials: u64) -> Result<TestReport, String> {
    let (form, plan, stop) = (form(scenario), plan(scenario), AtomicBool::new(false));
    let settings = Settings { seed: SEED, trials, threads: 2, precision: None };
    let world = World { form: &form, plan: &plan, settings, stop: &stop };
    life_test(&world, order, "test", &mut |_| {})
}

/// Ten lamps of a certain life, and ten dearer ones of which nobody knows how long they live, for two years.
fn uncertain(price: f64) -> Value {
    let on_failure = json!({ "on_failure": {} });
    let one = |name: &str, price: f64, life: Value| {
        let figures = json!({
            "fixtures": 10,
            "lamp": { "price": price, "life": { "b50": life, "shape": 4 } },
            "upkeep": { "spot_labour": 20 }
        });
        patched(lamped(name, 9_000.0, 4.0, on_failure.clone()), figures)
    };
    let belief = json!({ "lognormal": { "median": 24_000, "p90": 48_000 }, "unit": "h", "luck": "long" });
    let room = with_options(vec![one("short", 40.0, json!(12_000)), one("long", price, belief)]);
    patched(room, json!({ "horizon_years": 2 }))
}

#[test]
fn a_test_costs_what_it_costs_by_hand() {
    let order = TestOrder { look_cost: 3.0, ..order() };
    let report = tested(&uncertain(80.0), &order, 200).unwrap();
    for design in &report.designs {
        let (n, hours) = (f64::from(design.lamps), design.hours);
        // lamps of 80, 1 kW each at 0.10 a kWh, 150 for the bench and 3 for a look every 500 h
        assert_close(design.cost, n * 80.0 + n * hours * 0.10 + 150.0 + 3.0 * hours / 500.0, 1e-9, "cost");
        assert_close(design.days, hours * 12.0 / 11.0 / 24.0, 1e-12, "11 h on, 1 h off");
    }
    let given = TestOrder { kwh: Some(0.25), set_up: Some(7.0), lamps: vec![3], hours: vec![1_100.0], ..order.clone() };
    let report = tested(&uncertain(80.0), &given, 200).unwrap();
    assert_eq!(report.designs[0].looks, 3);
    assert_close(report.designs[0].cost, 240.0 + 3.0 * 1_100.0 * 0.25 + 7.0 + 9.0, 1e-12, "as given");
    // in sockets only the dearer lamp counts
    let there = tested(&uncertain(80.0), &TestOrder { in_sockets: true, lamps: vec![3], ..order }, 200).unwrap();
    assert_close(there.designs[0].cost, 3.0 * 40.0 + 3.0 * 4.0, 1e-12, "in sockets");
    assert!(there.in_sockets.is_none() && there.designs[0].days == 2_000.0 / 24.0);
}

#[test]
fn worth_lies_between_nothing_and_knowing_and_grows_with_lamps_and_hours() {
    let report = tested(&uncertain(80.0), &order(), 3_000).unwrap();
    let known = report.known;
    assert!(known.is_seen && known.value > 10.0 * known.se, "{known:?}");
    let worth = |lamps: u32, hours: f64| {
        report.designs.iter().find(|design| design.lamps == lamps && design.hours == hours).unwrap().worth
    };
    for design in &report.designs {
        assert!(design.worth.value >= 0.0 && design.worth.value <= known.value, "{design:?}");
        assert_eq!(design.worth.value == 0.0, design.changes == 0.0);
    }
    for (few, many) in [(1, 3), (3, 9), (9, 27)] {
        for hours in [2_000.0, 8_000.0, 16_000.0] {
            let (less, more) = (worth(few, hours), worth(many, hours));
            assert!(more.value >= less.value - 3.0 * more.se.hypot(less.se), "{less:?} {more:?}");
        }
    }
    assert!(worth(9, 16_000.0).value > worth(9, 2_000.0).value && worth(27, 16_000.0).value > worth(1, 16_000.0).value);
    // next to nothing is worth next to nothing, and a test of very many lamps to their end as good as all
    let ends = TestOrder { lamps: vec![1, 200], hours: vec![10.0, 120_000.0], look_every: 400.0, ..order() };
    let ends = tested(&uncertain(80.0), &ends, 1_000).unwrap();
    let (least, most) = (ends.designs[0], ends.designs[3]);
    assert!(least.worth.value < 0.01 * ends.known.value, "{least:?}");
    assert!(most.worth.value > 0.97 * ends.known.value && most.worth.value <= ends.known.value, "{most:?}");
}

#[test]
fn rooms_multiply_the_worth_and_not_the_cost() {
    let of = |rooms: u32| tested(&uncertain(80.0), &TestOrder { rooms, ..order() }, 400).unwrap();
    let (one, many) = (of(1), of(7));
    for (one, many) in one.designs.iter().zip(&many.designs) {
        assert_eq!((one.worth, one.cost, one.pays_from_rooms), (many.worth, many.cost, many.pays_from_rooms));
        assert_close(many.net.value, 7.0 * one.worth.value - one.cost, 1e-9, "left");
        if let Some(rooms) = one.pays_from_rooms {
            let rooms = rooms as f64;
            assert!(rooms * one.worth.value >= one.cost && (rooms - 1.0) * one.worth.value < one.cost, "{one:?}");
        }
    }
}

/// The same lamps die by another road: drawn in the room by the engine's own watching, and what they tell is learnt from
/// the trials by regression on the dead and on the hours burnt, without any likelihood.
#[test]
fn exact_likelihoods_agree_with_regression_over_watched_lamps() {
    const TRIALS: u64 = 6_000;
    let room = uncertain(80.0);
    let plan = plan(&room);
    let (clock, lamp) = (&plan.clocks[0], plan.options[1].lamp.as_ref().unwrap());
    let end = clock.timeline.lit_hours;
    let asked = TestOrder { in_sockets: true, lamps: vec![2, 6], hours: vec![end], look_every: 100.0, ..order() };
    let report = tested(&room, &asked, TRIALS).unwrap();
    let outcome = run(&plan, TRIALS, SEED);
    let money = |option: usize| -> Vec<f64> {
        outcome.costs(option, 0, |cell| cell.levelized).iter().map(|cost| cost * report.service_mol).collect()
    };
    let table = Table::from_options(&[&money(0), &money(1)]).unwrap();
    for design in &report.designs {
        let (mut dead, mut hours) = (vec![], vec![]);
        for trial in 0..TRIALS {
            let seen = watch(lamp, clock, &plan.inputs.draw(SEED, trial), (SEED, trial), design.lamps);
            dead.push(seen.iter().filter(|lamp| lamp.is_dead).count() as f64);
            hours.push(seen.iter().map(|lamp| lamp.hours).sum());
        }
        let other = inputs(&table, &[&dead, &hours]).unwrap();
        assert!(design.worth.value > 5.0 * design.worth.se && other.is_seen, "{design:?} {other:?}");
        // what the regression smooths over makes it a little too low
        let allowed = 3.0 * design.worth.se.hypot(other.se) + 0.05 * design.worth.value;
        assert!((design.worth.value - other.value).abs() < allowed, "{design:?} {other:?}");
    }
}

#[test]
fn where_starts_cost_no_life_sockets_tell_what_a_bench_tells() {
    let asked = TestOrder { lamps: vec![9], hours: vec![16_000.0], ..order() };
    let bench = tested(&uncertain(80.0), &asked, 400).unwrap();
    let there = bench.in_sockets.unwrap();
    assert_close(there.worth.value, bench.designs[0].worth.value, 1e-9, "worth");
    assert!(there.cost < bench.designs[0].cost && there.worth.value > 0.0);
}

#[test]
fn the_rule_ends_every_test_once_and_goes_on_only_where_that_pays() {
    let asked = TestOrder { rooms: 400, lamps: vec![5], hours: vec![12_000.0], look_cost: 2.0, ..order() };
    let report = tested(&uncertain(80.0), &asked, 1_500).unwrap();
    let stop = report.stop.as_ref().unwrap();
    assert_eq!((stop.lamps, stop.rooms, stop.checks.len()), (5, 400, 8));
    let mut ended = 0.0;
    for (k, check) in stop.checks.iter().enumerate() {
        let is_last = k == 7;
        let chances: f64 = check.counts.iter().map(|count| count.chance).sum();
        assert_close(chances, 1.0 - ended, 1e-9, "who is still here");
        for count in &check.counts {
            let pays = count.worth_of_going_on > count.cost_of_going_on;
            assert_eq!(count.advice == StopAdvice::GoOn, pays && !is_last, "{count:?}");
            if count.advice == StopAdvice::Choose {
                ended += count.chance;
            }
            // electricity of those left until the end at 0.10 a kWh, and the looks still to come
            let left = f64::from(5 - count.dead) * (12_000.0 - check.hours) * 0.10 + 2.0 * (24.0 - check.hours / 500.0);
            assert_close(count.cost_of_going_on + 1.0, left + 1.0, 1e-9, "cost of going on");
        }
        // the more are dead, the less the tested lamp is the one to choose
        let chosen: Vec<usize> = check.counts.iter().map(|count| count.choice).collect();
        assert!(chosen.windows(2).all(|pair| pair[1] <= pair[0]), "{chosen:?}");
    }
    assert_close(ended, 1.0, 1e-9, "every test ends");
    assert_close(stop.chances.iter().sum(), 1.0, 1e-9, "with one choice");
    assert!(stop.expected_h > 0.0 && stop.expected_h <= 12_000.0);
    assert!(stop.checks[0].counts.iter().any(|count| count.advice == StopAdvice::GoOn), "{stop:?}");
}

#[test]
fn what_can_change_no_choice_is_worth_exactly_nothing() {
    // a lamp so dear that no life makes it the better one
    let report = tested(&uncertain(2_000.0), &order(), 400).unwrap();
    assert_eq!((report.known.value, report.choice), (0.0, 0));
    for design in &report.designs {
        assert!(
            design.is_idle && design.worth.value == 0.0 && design.worth.se == 0.0 && design.pays_from_rooms.is_none()
        );
    }
    assert!(report.stop.is_none());
    // two options that are one and the same: nothing to choose, whatever is seen
    let mut room = uncertain(80.0);
    let mut copy = room["options"][1].clone();
    copy["name"] = json!("again");
    room["options"][0] = copy;
    let report = tested(&room, &order(), 400).unwrap();
    assert!(report.designs.iter().all(|design| design.is_idle && design.worth.value == 0.0), "{:?}", report.designs);
}

#[test]
fn a_lot_that_may_differ_tells_less() {
    let asked = TestOrder { lamps: vec![9], hours: vec![16_000.0], ..order() };
    let plain = tested(&uncertain(80.0), &asked, 2_000).unwrap().designs[0].worth;
    let mut room = uncertain(80.0);
    room["options"][1]["lamp"]["life"]["batch"] = json!({ "spread": 0.8 });
    let lots = tested(&room, &asked, 2_000).unwrap();
    assert!(lots.designs[0].worth.value < plain.value - 2.0 * plain.se, "{:?} {plain:?}", lots.designs[0].worth);
}

#[test]
fn what_nobody_doubts_cannot_be_tested() {
    let mut certain = uncertain(80.0);
    certain["options"][1]["lamp"]["life"]["b50"] = json!(20_000);
    assert_eq!(
        tested(&certain, &order(), 200).unwrap_err(),
        "nothing is uncertain about the life of long, so there is nothing to test"
    );
    let many = TestOrder { in_sockets: true, lamps: vec![11], ..order() };
    assert_eq!(
        tested(&uncertain(80.0), &many, 200).unwrap_err(),
        "--lamps 11: there are 10 sockets in which lamps can hang"
    );
    let long = TestOrder { in_sockets: true, hours: vec![20_000.0], lamps: vec![1], ..order() };
    assert_eq!(
        tested(&uncertain(80.0), &long, 200).unwrap_err(),
        "--hours 20000: the room burns 17544 h within its horizon"
    );
}
