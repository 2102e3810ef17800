//! Rankings: the numbers are those of a run, labels do not matter, and what is lost adds up.

use std::sync::atomic::AtomicBool;

use decide::World;
use decide::rank::{NamedFuture, RankOrder, rank};
use decide::rank_report::{HeldOption, Material, RankReport, Reason, Rule, Word};
use engine::Settings;
use scenario::form::Scenario;
use scenario::{Page, gather};
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{Bare, demo, option, patched, plan, room, with_options};

fn form(scenario: &Value) -> Scenario {
    let page = Page { name: "test.json".into(), text: scenario.to_string() };
    gather(page, &Bare, &[]).unwrap_or_else(|faulty| panic!("{:?}", faulty.faults)).form
}

/// A future by name with one input moved.
fn future(name: &str, input: &str, value: f64) -> NamedFuture {
    NamedFuture { name: name.into(), moved: vec![(input.into(), value)] }
}

fn asked(
    scenario: &Value,
    trials: u64,
    rooms: u32,
    material: Material,
    futures: Vec<NamedFuture>,
) -> Result<RankReport, String> {
    let (form, plan, stop) = (form(scenario), plan(scenario), AtomicBool::new(false));
    let settings = Settings { seed: 5, trials, threads: 2, precision: None };
    let world = World { form: &form, plan: &plan, settings, stop: &stop };
    let order = RankOrder { contracts: (0..plan.contracts.len()).collect(), material, futures, rooms };
    rank(&world, &order, "test", &mut |_| {})
}

fn ranked(scenario: &Value, trials: u64) -> RankReport {
    asked(scenario, trials, 1, Material::Share(0.0), vec![]).unwrap()
}

/// The demonstration with its options in another order.
fn reordered(order: [usize; 4]) -> Value {
    let mut scenario = demo();
    let options = scenario["options"].clone();
    scenario["options"] = order.iter().map(|&k| options[k].clone()).collect();
    scenario
}

#[test]
fn the_numbers_are_those_of_a_run() {
    let (scenario, trials) = (demo(), 300);
    let report = ranked(&scenario, trials);
    let plan = plan(&scenario);
    let outcome = crate::support::run(&plan, trials, 5);
    for (c, contract) in report.contracts.iter().enumerate() {
        let costs: Vec<Vec<f64>> = (0..4).map(|o| outcome.costs(o, c, |cell| cell.levelized)).collect();
        for (of_option, spread) in costs.iter().zip(&contract.costs) {
            assert_eq!(*spread, decide::spread(of_option.clone()));
        }
        for pair in &contract.pairs {
            let race = decide::race(pair.a, &costs[pair.a], pair.b, &costs[pair.b]);
            assert_eq!((pair.lead, pair.chance_a_cheaper), (race.lead, race.chance_a_cheaper));
            assert_eq!((pair.lead_p10.value, pair.lead_p90.value), (race.lead_p10, race.lead_p90));
        }
        // the light is that of the run too: the whole of it, and of its months on average
        let held = contract.service_held.as_ref().unwrap();
        let clock = plan.contracts[c].clock;
        for (o, option) in held.options.iter().enumerate() {
            let moles = decide::mean(&outcome.lives_of(o, clock, |life| life.moles)).0.value;
            assert_close(option.share.value, moles / held.target_mol, 1e-12, "share held");
            assert!(option.worst_share.value < option.share.value);
        }
    }
}

#[test]
fn other_labels_change_signs_and_nothing_else() {
    let (one, other) = (ranked(&demo(), 200), ranked(&reordered([1, 0, 3, 2]), 200));
    let moved = [1, 0, 3, 2];
    for (here, there) in one.contracts.iter().zip(&other.contracts) {
        assert_eq!(here.order.iter().map(|&o| moved[o]).collect::<Vec<_>>(), there.order);
        for pair in &here.pairs {
            let (a, b) = (moved[pair.a], moved[pair.b]);
            let turned = a > b;
            let twin = there.pairs.iter().find(|twin| (twin.a, twin.b) == (a.min(b), a.max(b))).unwrap();
            let sign = if turned { -1.0 } else { 1.0 };
            assert_eq!(pair.lead.value.to_bits(), (sign * twin.lead.value).to_bits());
            assert_eq!(pair.lead_money.value.to_bits(), (sign * twin.lead_money.value).to_bits());
            let losses = if turned { (twin.loss_if_b, twin.loss_if_a) } else { (twin.loss_if_a, twin.loss_if_b) };
            assert_eq!((pair.loss_if_a, pair.loss_if_b), losses);
            assert_eq!((pair.word, pair.dominance.rule), (twin.word, twin.dominance.rule));
        }
        for (o, loss) in here.losses.iter().enumerate() {
            assert_eq!(*loss, there.losses[moved[o]]);
        }
    }
}

#[test]
fn losses_add_up() {
    let report = ranked(&demo(), 300);
    for contract in &report.contracts {
        let chances: f64 = contract.losses.iter().map(|loss| loss.cheapest.value).sum();
        assert_close(chances, 1.0, 1e-12, "chances of being the cheapest");
        for pair in &contract.pairs {
            let lost = pair.loss_if_a.value - pair.loss_if_b.value;
            assert_close(lost, pair.lead_money.value, 1e-9, "loss of a less loss of b");
            assert_close(pair.lead_money.value, pair.lead.value * contract.service_mol, 1e-12, "money at equal light");
            // against the cheapest of all, the two differ by the same lead
            let [a, b] = [pair.a, pair.b].map(|o| contract.losses[o].mean_money.value);
            assert_close(a - b, pair.lead_money.value, 1e-8, "difference of losses");
            assert!(a >= pair.loss_if_a.value - 1e-9 && b >= pair.loss_if_b.value - 1e-9);
        }
    }
}

#[test]
fn an_option_beside_itself_is_exactly_nothing_and_shares_its_place() {
    let mut scenario = demo();
    let mut copy = scenario["options"][3].clone();
    copy["name"] = json!("E the same");
    scenario["options"].as_array_mut().unwrap().push(copy);
    let report = ranked(&scenario, 200);
    for contract in &report.contracts {
        let pair = contract.pairs.iter().find(|pair| (pair.a, pair.b) == (3, 4)).unwrap();
        assert_eq!((pair.lead.value, pair.lead.se, pair.chance_a_cheaper.value), (0.0, 0.0, 0.5));
        assert_eq!((pair.word, pair.dominance.rule, pair.loss_if_a.value), (Word::WithinNoise, Rule::Alike, 0.0));
        assert_eq!(contract.losses[3], contract.losses[4]);
        assert_eq!(contract.first_place.contains(&3), contract.first_place.contains(&4));
    }
}

#[test]
fn money_times_k_is_costs_and_losses_times_k() {
    let priced = |factor: f64| {
        let with = |name: &str, watts: f64, price: f64| {
            patched(option(name), json!({ "wall_power": watts, "fixture": { "price": price * factor } }))
        };
        let mut scenario = with_options(vec![with("thirsty", 1000.0, 300.0), with("frugal", 800.0, 900.0)]);
        scenario["contracts"][0]["tariff"]["energy"][0]["price"] = json!({ "elicited": { "p10": 0.05 * factor, "p50": 0.1 * factor, "p90": 0.2 * factor }, "unit": "EUR/kWh" });
        asked(&scenario, 200, 1, Material::Share(0.01), vec![]).unwrap()
    };
    let (one, seven) = (priced(1.0), priced(7.0));
    let (one, seven) = (&one.contracts[0], &seven.contracts[0]);
    assert_eq!((&one.order, one.pairs[0].word), (&seven.order, seven.pairs[0].word));
    for (a, b) in one.losses.iter().zip(&seven.losses) {
        assert_close(b.mean_money.value, 7.0 * a.mean_money.value, 1e-9, "expected loss");
        assert_close(b.p95_money.value, 7.0 * a.p95_money.value, 1e-9, "bad case");
        assert_close(b.cheapest.value, a.cheapest.value, 1e-12, "chance");
    }
    assert_close(seven.pairs[0].material, 7.0 * one.pairs[0].material, 1e-9, "material");
    assert!(one.pairs[0].chance_a_cheaper.value > 0.0 && one.pairs[0].chance_a_cheaper.value < 1.0);
}

/// Hours of ten years from 2031, lit round the clock.
const HOURS: f64 = 3653.0 * 24.0;

#[test]
fn regrets_are_those_of_the_hand_and_rooms_multiply_money() {
    // per mole of 1 000 µmol/s: (price + kW · hours · price of a kWh) / moles
    let with = |name: &str, watts: f64, price: f64| {
        patched(option(name), json!({ "wall_power": watts, "fixture": { "price": price } }))
    };
    let scenario =
        with_options(vec![with("cheap", 1000.0, 0.0), with("middle", 900.0, 800.0), with("dear", 800.0, 2400.0)]);
    let futures = vec![future("dear power", "electricity", 2.0), future("dear cheap", "cheap.fixture.price", 2000.0)];
    let report = asked(&scenario, 16, 3, Material::Share(0.0), futures).unwrap();
    let moles = HOURS * 3600.0 * 1e-3;
    let cost = |price: f64, kilowatts: f64, level: f64| (price + kilowatts * HOURS * 0.10 * level) / moles;
    let expected = [
        [cost(0.0, 1.0, 1.0), cost(800.0, 0.9, 1.0), cost(2400.0, 0.8, 1.0)],
        [cost(0.0, 1.0, 2.0), cost(800.0, 0.9, 2.0), cost(2400.0, 0.8, 2.0)],
        [cost(2000.0, 1.0, 1.0), cost(800.0, 0.9, 1.0), cost(2400.0, 0.8, 1.0)],
    ];
    let futures = report.futures.unwrap();
    let names: Vec<&str> = futures.rows.iter().map(|row| row.future.as_str()).collect();
    assert_eq!(names, ["as written", "dear power", "dear cheap"]);
    let mut worst = [0.0_f64; 3];
    for (row, costs) in futures.rows.iter().zip(expected) {
        let low = costs.iter().copied().fold(f64::INFINITY, f64::min);
        for o in 0..3 {
            assert_close(row.costs[o].value, costs[o], 1e-9, "cost");
            assert!((row.regret[o].value - (costs[o] - low)).abs() < 1e-12);
            assert!((row.regret_money[o].value - 3.0 * moles * (costs[o] - low)).abs() < 1e-4, "{row:?}");
            worst[o] = worst[o].max(costs[o] - low);
        }
    }
    for (told, worst) in futures.worst.iter().zip(worst) {
        assert!((told - worst).abs() < 1e-12, "{told} {worst}");
    }
    assert_eq!(futures.picks, [1]);
    assert_eq!(futures.best_in, [0, 2, 1]);
}

#[test]
fn futures_that_make_no_sense_are_refused() {
    let scenario = room();
    let refused = |futures: Vec<NamedFuture>| asked(&scenario, 16, 1, Material::Share(0.0), futures).unwrap_err();
    assert!(refused(vec![future("x", "nothing", 1.0)]).contains("the future \"x\": no input is called \"nothing\""));
    assert!(refused(vec![future("x", "electricity", -1.0)]).contains("is allowed"));
    assert!(refused(vec![future("x", "electricity", f64::NAN)]).contains("is allowed"));
    assert!(refused(vec![future("x", "electricity", 2.0); 2]).contains("two futures are called \"x\""));
    assert!(refused(vec![future("as written", "electricity", 2.0)]).contains("two futures"));
    let twice = NamedFuture { name: "x".into(), moved: vec![("electricity".into(), 1.0), ("electricity".into(), 2.0)] };
    assert!(refused(vec![twice]).contains("twice"));
    assert!(refused(vec![NamedFuture { name: "x".into(), moved: vec![] }]).contains("moves nothing"));
}

fn held(report: &RankReport) -> &[HeldOption] {
    &report.contracts[0].service_held.as_ref().unwrap().options
}

#[test]
fn rooms_are_counted_by_the_arithmetic() {
    // 300 W and 400 µmol/s each against 1 000 µmol/m²/s on 1 m²: 2.5 fixtures for the mean
    let lamp = |name: &str, fixtures: u32| {
        patched(
            option(name),
            json!({
                "fixtures": fixtures,
                "wall_power": 300,
                "fixture": { "price": 100 },
                "light": { "mean": { "ppfd": 400, "area": 1, "height": 1 } }
            }),
        )
    };
    let mut scenario = with_options(vec![lamp("short", 2), lamp("ample", 4)]);
    scenario["canopy"] = json!({ "area": 1, "target_ppfd": 1000 });
    let report = ranked(&scenario, 16);
    let [short, ample] = held(&report) else { panic!() };
    assert!(short.is_short() && !ample.is_short());
    for option in [short, ample] {
        assert_close(option.needed_for_mean.value, 2.5, 1e-9, "fixtures for the mean");
        assert_eq!((option.whole, option.needed_for_darkest, option.darkest_ppfd), (3, None, None));
        assert_close(option.whole_cost.unwrap().value, 3.0 * (100.0 + 0.3 * HOURS * 0.10), 1e-9, "three fixtures");
    }
    assert_close(short.share.value, 0.8, 1e-9, "share held");
    assert_eq!((short.surplus_mol, short.surplus_cost.value), (0.0, 0.0));
    assert_close(ample.surplus_mol, 600.0 * HOURS * 3600.0 * 1e-6, 1e-9, "surplus");
    assert_close(ample.surplus_cost.value, 4.0 * 0.3 * HOURS * 0.10 * 600.0 / 1600.0, 1e-9, "its electricity");
    assert_close(ample.less_surplus.value + ample.surplus_cost.value, ample.as_written.value, 1e-12, "priced apart");
    // the same lamps cost the same per mole, so no pair turns
    assert_eq!(report.contracts[0].pairs[0].word, Word::WithinNoise);
    assert!(report.contracts[0].service_held.as_ref().unwrap().turned_as_written.is_none());
}

#[test]
fn twice_the_fixtures_at_twice_the_target_hold_the_same_and_need_twice_as_many() {
    let with = |factor: u32| {
        let mut scenario = demo();
        for option in scenario["options"].as_array_mut().unwrap() {
            option["fixtures"] = json!(option["fixtures"].as_u64().unwrap() * u64::from(factor));
        }
        scenario["canopy"]["target_ppfd"] = json!(300 * factor);
        scenario
    };
    let (one, two) = (ranked(&with(1), 64), ranked(&with(2), 64));
    for (one, two) in held(&one).iter().zip(held(&two)) {
        // lamps have luck of their own, so light agrees to their luck only
        assert_close(two.share.value, one.share.value, 2e-3, "share held");
        assert_close(two.needed_for_mean.value, 2.0 * one.needed_for_mean.value, 2e-3, "fixtures");
        assert_close(two.as_written.value, 2.0 * one.as_written.value, 1e-2, "cost");
        assert!(two.whole <= 2 * one.whole);
    }
}

#[test]
fn whole_fixtures_and_the_darkest_point_turn_the_order_and_are_named() {
    // per mole "coarse" is cheaper, but one fixture gives 60 % of the target and two are needed
    let lamp =
        |name: &str, ppfd: Value, watts: f64| patched(option(name), json!({ "wall_power": watts, "light": ppfd }));
    let mean = |ppfd: f64| json!({ "mean": { "ppfd": ppfd, "area": 1, "height": 1 } });
    let mut scenario = with_options(vec![lamp("coarse", mean(600.0), 600.0), lamp("fine", mean(1000.0), 1100.0)]);
    scenario["canopy"] = json!({ "area": 1, "target_ppfd": 1000 });
    let turned = ranked(&scenario, 16).contracts[0].service_held.as_ref().unwrap().turned_whole.unwrap();
    assert_eq!((turned.per_mole, turned.per_room, turned.reason), (0, 1, Reason::WholeFixtures));
    assert_close(turned.lead.value, (1200.0 - 1100.0) * 1e-3 * HOURS * 0.10, 1e-9, "lead of the room");
    // a spotty lamp: its darkest reading is half of its mean, so it takes twice as many for the darkest point
    let grid = json!({ "mean": null, "grid": {
        "area": 1, "height": 1, "points": "cell_centred", "readings": [[500, 1500], [1500, 500]]
    } });
    let mut scenario = with_options(vec![lamp("spotty", grid, 900.0), lamp("even", mean(1000.0), 1000.0)]);
    scenario["canopy"] = json!({ "area": 1, "target_ppfd": 1000, "least_ppfd": 1000 });
    let report = ranked(&scenario, 16);
    let [spotty, even] = held(&report) else { panic!() };
    assert_close(spotty.needed_for_darkest.unwrap(), 2.0, 1e-9, "fixtures for the darkest point");
    assert_close(spotty.darkest_ppfd.unwrap(), 500.0, 1e-9, "darkest point");
    assert_eq!((spotty.whole, even.whole, even.darkest_ratio), (2, 1, None));
    assert!(spotty.darkest_is_short() && !even.darkest_is_short());
    let turned = report.contracts[0].service_held.as_ref().unwrap().turned_whole.unwrap();
    assert_eq!((turned.per_mole, turned.reason), (0, Reason::DarkestPoint));
    assert!(report.remarks.iter().any(|remark| remark.starts_with("even: no readings")), "{:?}", report.remarks);
}

#[test]
fn a_room_beyond_all_bounds_is_not_lived() {
    let mut scenario = room();
    scenario["canopy"] = json!({ "area": 1000, "target_ppfd": 1000 });
    let report = ranked(&scenario, 16);
    assert_eq!((held(&report)[0].whole, held(&report)[0].whole_cost), (1000, None));
    assert!(report.remarks.iter().any(|remark| remark.contains("so many are not lived")));
}

#[test]
fn without_a_target_and_with_one_option_there_is_still_a_cost() {
    let report = ranked(&room(), 16);
    assert_eq!((report.contracts[0].order.clone(), report.contracts[0].pairs.len()), (vec![0], 0));
    assert!(report.contracts[0].service_held.is_none());
    assert_close(report.contracts[0].costs[0].mean.value, 0.10 / 3.6, 1e-9, "cost of a mole");
    assert_eq!(report.contracts[0].losses[0].cheapest.value, 1.0);
}

#[test]
fn a_lead_too_small_to_matter_is_too_close() {
    let with = |name: &str, watts: f64| patched(option(name), json!({ "wall_power": watts }));
    let scenario = with_options(vec![with("one", 1000.0), with("other", 1008.0)]);
    for (material, word) in [
        (Material::Share(0.0), Word::Clear),
        (Material::Share(0.01), Word::Immaterial),
        (Material::Share(0.007), Word::Clear),
        (Material::Amount(0.0003), Word::Immaterial),
        (Material::Amount(0.0002), Word::Clear),
    ] {
        let report = asked(&scenario, 16, 1, material, vec![]).unwrap();
        let contract = &report.contracts[0];
        assert_eq!(contract.pairs[0].word, word, "{material:?}");
        assert_eq!(contract.first_place.len(), if word.is_too_close() { 2 } else { 1 });
        assert_eq!(contract.pairs[0].dominance.rule, Rule::ForAll);
    }
}
