//! Ties, maps and drivers: closed forms where there are some, and what is put back must come out.

use std::sync::atomic::AtomicBool;

use decide::World;
use decide::breakeven::{BreakevenOrder, breakeven};
use decide::breakeven_report::{BreakevenReport, Measure};
use decide::drivers::{DriversOrder, drivers};
use decide::drivers_report::DriversReport;
use decide::map::{MapOrder, map};
use decide::map_report::MapReport;
use decide::result::{Ended, Verdict};
use engine::Settings;
use scenario::form::Scenario;
use scenario::{Page, gather};
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{Bare, demo, option, patched, plan, run, with_options};

fn form(scenario: &Value) -> Scenario {
    let page = Page { name: "test.json".into(), text: scenario.to_string() };
    gather(page, &Bare, &[]).unwrap_or_else(|faulty| panic!("{:?}", faulty.faults)).form
}

fn settings(trials: u64) -> Settings {
    Settings { seed: 5, trials, threads: 2, precision: None }
}

/// Does something in the world of a scenario.
fn within<T>(scenario: &Value, trials: u64, act: impl FnOnce(&World) -> T) -> T {
    let (form, plan, stop) = (form(scenario), plan(scenario), AtomicBool::new(false));
    act(&World { form: &form, plan: &plan, settings: settings(trials), stop: &stop })
}

fn ties(scenario: &Value, pair: (usize, usize), of: &[&str], trials: u64) -> Result<BreakevenReport, String> {
    within(scenario, trials, |world| {
        let order = BreakevenOrder {
            a: pair.0,
            b: pair.1,
            contracts: (0..world.plan.contracts.len()).collect(),
            inputs: of.iter().map(|name| ((*name).to_owned(), None, None)).collect(),
            measure: Measure::Mole,
        };
        breakeven(world, &order, "test", &mut |_| {})
    })
}

/// Two fixtures of equal light: one draws 1 kW and costs 300, the other draws 0.8 kW and costs 900.
fn pair() -> Value {
    let with = |name: &str, watts: f64, price: f64| {
        patched(option(name), json!({ "wall_power": watts, "fixture": { "price": price } }))
    };
    with_options(vec![with("thirsty", 1000.0, 300.0), with("frugal", 800.0, 900.0)])
}

/// Hours of ten years from 2031, lit round the clock.
const HOURS: f64 = 3653.0 * 24.0;

#[test]
fn a_tie_is_where_the_arithmetic_puts_it() {
    // the frugal one saves 0.2 kW · hours · 0.10 and costs 600 more
    let saved = 0.2 * HOURS * 0.10;
    let report = ties(
        &pair(),
        (0, 1),
        &["frugal.fixture.price", "electricity", "thirsty.wall_power", "contracts.0.tariff.energy.0.price"],
        16,
    );
    // a contract is known by its name, not by its position
    assert!(report.is_err());
    let report =
        ties(&pair(), (0, 1), &["frugal.fixture.price", "electricity", "thirsty.wall_power", "flat.price"], 16)
            .unwrap();
    let expected = [300.0 + saved, 600.0 / saved, 800.0 + 600.0 / (HOURS * 0.10) * 1000.0, 0.10 * 600.0 / saved];
    for (input, expected) in report.inputs.iter().zip(expected) {
        let [tie] = &input.contracts[0].ties[..] else { panic!("{input:?}") };
        assert_close(tie.at.value, expected, 1e-9, &input.name);
        assert!(tie.bracket.0 <= expected * (1.0 + 1e-9) && expected * (1.0 - 1e-9) <= tie.bracket.1, "{tie:?}");
        assert!(tie.bracket.1 - tie.bracket.0 <= 1e-6 * tie.bracket.1, "{tie:?}");
        assert!(tie.lead_there.value.abs() < 1e-12, "{tie:?}");
        assert_eq!(input.contracts[0].belief_for_a, None);
    }
    // above its tie the frugal one's price makes the thirsty one cheaper
    assert!(!report.inputs[0].contracts[0].ties[0].a_below);
    assert!(report.inputs[1].contracts[0].ties[0].a_below);
}

#[test]
fn light_ties_too_and_never_is_an_answer() {
    let mut scenario = pair();
    scenario["options"][1]["fixture"]["price"] = json!(300);
    // at equal price the frugal one wins whatever a kWh costs
    let report = ties(&scenario, (0, 1), &["electricity"], 16).unwrap();
    let under = &report.inputs[0].contracts[0];
    assert!(under.ties.is_empty() && under.lead_now.value > 0.0 && under.chance_a_now == 0.0);
    // its light may fall by as much as its costs are lower
    let [tie] = &ties(&scenario, (0, 1), &["frugal.ppfd"], 16).unwrap().inputs[0].contracts[0].ties[..] else {
        panic!()
    };
    let (thirsty, frugal) = (300.0 + HOURS * 0.10, 300.0 + 0.8 * HOURS * 0.10);
    assert_close(tie.at.value, 1000.0 * frugal / thirsty, 1e-9, "PPFD at the tie");
}

#[test]
fn hours_and_years_tie_to_the_step_in_which_they_are_set() {
    let mut scenario = pair();
    scenario["photoperiod"]["phases"][0]["lights"] = json!([{ "on": "06:00", "off": "18:00" }]);
    scenario["options"][1]["fixture"]["price"] = json!(900);
    let report = ties(&scenario, (0, 1), &["hours", "years"], 16).unwrap();
    let hours = &report.inputs[0];
    assert_eq!(hours.belief, (12.0, 12.0, 12.0));
    let [tie] = &hours.contracts[0].ties[..] else { panic!("{hours:?}") };
    let expected = 600.0 / (0.2 * 0.10 * 3653.0);
    assert!(tie.bracket.0 <= expected && expected <= tie.bracket.1, "{tie:?} {expected}");
    assert!(tie.bracket.1 - tie.bracket.0 < 1.5 / 60.0, "{tie:?}");
    let [tie] = &report.inputs[1].contracts[0].ties[..] else { panic!("{report:?}") };
    let years: f64 = 600.0 / (0.2 * 0.10 * 12.0 * 365.25);
    assert_eq!(tie.bracket, (years.floor(), years.ceil()), "{years}");
}

#[test]
fn what_cannot_be_asked_is_said_in_plain_words() {
    let said = |of: &str, pair: (usize, usize)| ties(&demo(), pair, &[of], 16).unwrap_err();
    assert_eq!(said("B.lamp.pric", (0, 1)), "no input is called \"B.lamp.pric\": did you mean B.lamp.price?");
    assert_eq!(
        said("C.fixture.price", (0, 1)),
        "C bar LED: fixture.price does not matter between A cheap arc and B long-life arc: it belongs to C bar LED"
    );
    assert!(said("lamp.price", (0, 1)).starts_with("\"lamp.price\" may be any of A.lamp.price, B.lamp.price"));
    assert_eq!(said("B.life", (1, 1)), "B long-life arc ties with itself at every value: name two options");
    assert!(said("", (0, 1)).contains("no input is called \"\""));
    let over = |from: f64, to: f64| {
        within(&demo(), 16, |world| {
            let inputs = vec![("cooling.cop".to_owned(), Some(from), Some(to))];
            let order = BreakevenOrder { a: 0, b: 1, contracts: vec![0], inputs, measure: Measure::Mole };
            breakeven(world, &order, "test", &mut |_| {}).unwrap_err()
        })
    };
    assert_eq!(over(3.0, 2.0), "cooling.cop: 3 to 2 is no range; say from where to where, the smaller first");
    assert_eq!(over(-1.0, 2.0), "cooling.cop: -1 to 2; 0.2 to 50 is allowed");
    assert!(over(f64::NAN, 2.0).contains("is allowed"));
}

#[test]
fn a_tie_put_back_is_too_close_to_call_and_swapping_flips_the_sign() {
    let report = ties(&demo(), (1, 0), &["B.life"], 400).unwrap();
    let swapped = ties(&demo(), (0, 1), &["B.life"], 400).unwrap();
    let believed: Vec<f64> = report.inputs[0].contracts.iter().map(|c| c.belief_for_a.unwrap()).collect();
    assert!(
        believed[0] < believed[1] && believed[1] < believed[2],
        "dear light wants lamps that hold it: {believed:?}"
    );
    for (c, (one, other)) in report.inputs[0].contracts.iter().zip(&swapped.inputs[0].contracts).enumerate() {
        assert_eq!(one.lead_now.value.to_bits(), (-other.lead_now.value).to_bits());
        for ((x, lead), (x2, lead2)) in one.curve.iter().zip(&other.curve) {
            assert_eq!((x, lead.value.to_bits()), (x2, (-lead2.value).to_bits()));
        }
        let ([tie], [mirrored]) = (&one.ties[..], &other.ties[..]) else { panic!("{one:?}") };
        assert_eq!((tie.bracket, tie.a_below), (mirrored.bracket, !mirrored.a_below));
        assert_close(one.belief_for_a.unwrap() + other.belief_for_a.unwrap(), 1.0, 1e-12, "beliefs");
        // written into the scenario, run by the engine as any other
        let mut back = demo();
        back["options"][1]["lamp"]["life"]["b50"] = json!(tie.at.value);
        let plan = plan(&back);
        let outcome = run(&plan, 400, 5);
        let costs = |option: usize| outcome.costs(option, c, |cell| cell.levelized);
        let race = decide::race(1, &costs(1), 0, &costs(0));
        assert_eq!(race.verdict, Verdict::Tie, "{c}: {race:?}");
        assert_close(race.lead.value, tie.lead_there.value, 1e-9, "the same luck");
    }
}

fn drawn(scenario: &Value, x: &str, y: &str, steps: usize, trials: u64) -> Result<MapReport, String> {
    within(scenario, trials, |world| {
        let order = MapOrder {
            options: (0..world.plan.options.len()).collect(),
            contract: world.plan.contracts.len() - 1,
            x: (x.into(), None, None),
            y: (y.into(), None, None),
            steps: Some(steps),
            measure: Measure::Mole,
        };
        map(world, &order, "test", &mut |_| {})
    })
}

#[test]
fn a_map_is_what_runs_at_its_points_would_say() {
    let cases = [
        ("B.lamp.price", "/options/1/lamp/price", "C.fixture.price", "/options/2/fixture/price"),
        ("B.life", "/options/1/lamp/life/b50", "A.lamp.price", "/options/0/lamp/price"),
        ("cooling.cop", "/cooling/cop", "discount_rate", "/money/discount_rate"),
    ];
    for (x, x_at, y, y_at) in cases {
        let trials = 50;
        let report = drawn(&demo(), x, y, 5, trials).unwrap();
        assert_eq!((report.trials, report.columns.len(), report.columns[0].len()), (trials, 5, 5));
        for (i, j) in [(0, 0), (4, 1), (2, 3), (3, 4)] {
            let mut there = demo();
            for (at, value) in [(x_at, report.x.values[i]), (y_at, report.y.values[j])] {
                *there.pointer_mut(at).unwrap() = json!(value);
            }
            let outcome = run(&plan(&there), trials, 5);
            let costs: Vec<Vec<f64>> = (0..4).map(|o| outcome.costs(o, 2, |cell| cell.levelized)).collect();
            let mean = |o: usize| costs[o].iter().sum::<f64>() / trials as f64;
            let mut order = [0, 1, 2, 3];
            order.sort_by(|&a, &b| mean(a).total_cmp(&mean(b)));
            let cell = &report.columns[i][j];
            assert_eq!((cell.winner, cell.second), (order[0], order[1]), "{x} {i}, {y} {j}");
            let lead = (mean(order[1]) - mean(order[0])) * report.service_mol;
            assert_close(cell.lead, lead, 1e-7, "lead in money");
            let wins = (0..trials as usize).filter(|&t| (0..4).all(|o| costs[order[0]][t] <= costs[o][t])).count();
            assert_close(cell.chance, wins as f64 / trials as f64, 1e-12, "chance");
        }
    }
}

#[test]
fn a_line_that_bends_is_priced_at_every_value() {
    let straight = drawn(&demo(), "B.lamp.price", "electricity", 4, 20).unwrap();
    assert!(straight.method.contains("corners"), "{}", straight.method);
    let mut scenario = demo();
    // bills in whole cents: no straight line any more
    scenario["contracts"][2]["tariff"]["rounding"] = json!("line");
    let bent = drawn(&scenario, "B.lamp.price", "electricity", 4, 20).unwrap();
    assert!(bent.method.contains("every value of the input upwards"), "{}", bent.method);
    assert_eq!(
        drawn(&demo(), "cooling.cop", "cop", 4, 20).unwrap_err(),
        "both sides of the map are cooling.cop: name two inputs"
    );
}

#[test]
fn a_stopped_map_keeps_its_columns_or_says_that_there_are_none() {
    let (form, plan, stop) = (form(&demo()), plan(&demo()), AtomicBool::new(false));
    let world = World { form: &form, plan: &plan, settings: settings(20), stop: &stop };
    let order = MapOrder {
        options: vec![0, 1],
        contract: 0,
        x: ("B.life".into(), None, None),
        y: ("A.life".into(), None, None),
        steps: Some(6),
        measure: Measure::Mole,
    };
    let mut columns = 0;
    let report = map(&world, &order, "test", &mut |progress| {
        columns += usize::from(progress.done > 0);
        if 6 * progress.done >= 2 * progress.most {
            stop.store(true, std::sync::atomic::Ordering::Relaxed);
        }
    })
    .unwrap();
    assert!(columns > 0);
    assert_eq!(report.ended, Ended::Interrupted);
    assert!(!report.columns.is_empty() && report.columns.len() < 6, "{}", report.columns.len());
    let whole = {
        stop.store(false, std::sync::atomic::Ordering::Relaxed);
        map(&world, &order, "test", &mut |_| {}).unwrap()
    };
    assert_eq!(report.columns[..], whole.columns[..report.columns.len()]);
}

fn asked(scenario: &Value, rooms: u32, trials: u64) -> DriversReport {
    within(scenario, trials, |world| {
        let options = (0..world.plan.options.len()).collect();
        let order = DriversOrder { options, contract: 0, measure: Measure::Mole, rooms };
        drivers(world, &order, "test", &mut |_| {}).unwrap()
    })
}

#[test]
fn knowing_a_coin_is_worth_half_of_what_it_saves() {
    let mut scenario = pair();
    // the frugal one costs 900 or 3 900, heads or tails: it saves 1 753.44 − 600 or loses 3 600 − 1 753.44
    let coin = json!({ "discrete": [{ "value": 900, "weight": 1 }, { "value": 3_900, "weight": 1 }] });
    scenario["options"][1]["fixture"]["price"] = coin;
    let report = asked(&scenario, 3, 4_000);
    let saved = 0.2 * HOURS * 0.10;
    assert_eq!((report.favourite, report.runner_up), (0, 1));
    let [coin] = &report.inputs.iter().filter(|input| input.is_uncertain).collect::<Vec<_>>()[..] else { panic!() };
    let heads = 3.0 * (saved - 600.0);
    for (what, value, se) in [
        ("clairvoyance", report.clairvoyance.value, report.clairvoyance.se),
        ("the coin", coin.worth.unwrap().value, coin.worth.unwrap().se),
        ("all", report.all_inputs.value, report.all_inputs.se),
    ] {
        assert!((value - 0.5 * heads).abs() < 4.5 * se.max(heads / 120.0), "{what}: {value} ± {se}, {}", 0.5 * heads);
    }
    // all of the variance is the coin's, none is luck
    let shares = coin.shares.unwrap();
    assert!((shares.total.value - 1.0).abs() < 4.5 * shares.total.se && shares.total.value > 0.8, "{shares:?}");
    assert_eq!((report.luck.first.value, report.luck.total.value), (0.0, 0.0));
    let lead = 3.0 * (2_400.0 - 300.0 - saved);
    assert!((report.lead.value - lead).abs() < 4.5 * report.lead.se, "{:?} {lead}", report.lead);
    // three rooms are three times one
    let one = asked(&scenario, 1, 4_000);
    assert_close(report.lead.value, 3.0 * one.lead.value, 1e-12, "lead");
    assert_close(report.clairvoyance.value, 3.0 * one.clairvoyance.value, 1e-9, "clairvoyance");
}

#[test]
fn an_input_changes_the_winner_where_it_ties() {
    let report = asked(&pair(), 1, 200);
    let find = |name: &str| report.inputs.iter().find(|input| input.name == name).unwrap_or_else(|| panic!("{name}"));
    let saved = 0.2 * HOURS * 0.10;
    let price = find("frugal: fixture.price");
    let [flip] = &price.flips[..] else { panic!("{price:?}") };
    assert_close(flip.at, 300.0 + saved, 2e-3, "the frugal one's price");
    assert_eq!((flip.winner, flip.within, flip.believed), (0, false, None));
    // doubted by 30 %, as a guess without a grade
    assert_eq!(price.values, (630.0, 900.0, 1170.0));
    assert_close(price.low.lead.value - price.high.lead.value, 540.0, 1e-9, "a bar is as long as the price");
    assert!(report.inputs.iter().all(|input| input.shares.is_none() && input.worth.is_none()));
    assert_eq!(report.lead.se, 0.0);
    assert_eq!(report.clairvoyance.value, 0.0);
    // bars come sorted
    let swings: Vec<f64> = report.inputs.iter().map(|i| (i.high.lead.value - i.low.lead.value).abs()).collect();
    assert!(swings.windows(2).all(|pair| pair[0] >= pair[1]), "{swings:?}");
}

#[test]
fn drivers_speak_of_the_run() {
    let trials = 300;
    let report = asked(&demo(), 1, trials);
    let outcome = run(&plan(&demo()), trials, 5);
    let mean = |o: usize| outcome.costs(o, 0, |cell| cell.levelized).iter().sum::<f64>() / trials as f64;
    for (o, cost) in report.costs.iter().enumerate() {
        assert_close(cost.value, mean(o) * report.service_mol, 1e-9, "cost");
    }
    assert!(report.all_inputs.value <= report.clairvoyance.value + 1e-9);
    let life = report.inputs.iter().find(|input| input.name == "B long-life arc: lamp.life.b50").unwrap();
    assert!(life.is_uncertain && life.shares.is_some() && life.tied.is_empty());
}
