//! The same futures with some inputs moved: what need not be lived anew, and that what is looked at again is what a run with
//! these inputs would have found.

use std::sync::atomic::AtomicBool;

use engine::{Ledger, Scope, Settings, revisit};
use serde_json::json;

use super::everything;
use crate::support::{demo, option, patched, plan, priced, run, with_options};

fn settings(trials: u64, seed: u64, threads: usize) -> Settings {
    Settings { seed, trials, threads, precision: None }
}

#[test]
fn what_only_prices_changes_no_life() {
    let mut rich = everything::room();
    rich["options"] = json!([everything::all_on("one")]);
    rich["options"][0]["fixture"]["rebate"] = json!(20);
    rich["options"][0]["fixture"]["worth_at_end"] = json!(0.1);
    rich["build_out"] = json!({ "service": 100, "cooling_plant": 200 });
    let plan = plan(&rich);
    let values = plan.inputs.draw(3, 0);
    let living = |values: &[f64]| {
        let mut luck = engine::Luck::new(plan.options[0].sockets());
        luck.turn_to(3, 0);
        let mut ledger = Ledger::default();
        engine::live(&plan.options[0], &plan.clocks[0], values, &mut luck, &mut engine::Living::default(), &mut ledger);
        ledger
    };
    let before = living(&values);
    let (mut prices, mut matter) = (0, vec![]);
    for id in plan.input_ids() {
        let mut moved = values.clone();
        moved[id.index()] = 1.3 * moved[id.index()] + 0.01;
        let same = living(&moved) == before;
        let pointer = &plan.inputs.at(id).pointer;
        if plan.only_prices(id) {
            assert!(same, "{pointer} changes a life");
            prices += 1;
        } else if !same {
            matter.push(pointer.clone());
        }
    }
    assert!(prices > 25, "{prices}");
    for name in
        ["/options/0/light/spill", "/options/0/lamp/life/test_stopped_at/hours", "/options/0/upkeep/walk_through"]
    {
        assert!(matter.iter().any(|pointer| pointer == name), "{name} is not among {matter:?}");
    }
}

#[test]
fn a_point_that_moves_nothing_is_the_run_itself() {
    for scenario in [demo(), everything::room()] {
        let plan = plan(&scenario);
        let trials = 40;
        let outcome = run(&plan, trials, 9);
        let (options, contracts): (Vec<usize>, Vec<usize>) =
            ((0..plan.options.len()).collect(), (0..plan.contracts.len()).collect());
        for threads in [1, 2, 7] {
            let scope = Scope { options: &options, contracts: &contracts, points: 2, months: true };
            let again = revisit(
                &plan,
                scope,
                &settings(trials, 9, threads),
                &AtomicBool::new(false),
                |_| {},
                |_, _, _| 9,
                |seen| {
                    let months: f64 = seen.priced.by_month.iter().flatten().sum();
                    let total: f64 = seen.priced.total.iter().sum();
                    assert!((months / total - 1.0).abs() < 1e-12, "{months} {total}");
                    (seen.option, seen.contract, seen.priced.levelized(), seen.ledger.failures())
                },
            );
            assert_eq!(again.len(), trials as usize);
            for (trial, noted) in again.iter().enumerate() {
                assert_eq!(noted.len(), 2 * options.len() * contracts.len());
                for (option, contract, levelized, failures) in noted {
                    let cell = outcome.cell(trial, *option, *contract);
                    assert_eq!(levelized.to_bits(), cell.levelized.to_bits());
                    let life = outcome.life(trial, *option, plan.contracts[*contract].clock);
                    assert_eq!(*failures as f64, life.failures);
                }
            }
        }
    }
}

#[test]
fn a_moved_input_is_a_run_in_which_it_is_written() {
    let before = demo();
    let mut after = before.clone();
    after["options"][1]["lamp"]["life"]["b50"] = json!(12_500);
    after["contracts"][2]["price_level"] = json!(1.5);
    after["options"][0]["fixture"]["price"] = json!(333);
    let (plan, changed) = (plan(&before), self::plan(&after));
    let find = |pointer: &str| {
        plan.input_ids()
            .find(|id| plan.inputs.at(*id).pointer == pointer)
            .unwrap_or_else(|| panic!("{pointer}"))
            .index()
    };
    let moves = [
        (find("/options/1/lamp/life/b50"), 12_500.0),
        (find("/contracts/2/price_level"), 1.5),
        (find("/options/0/fixture/price"), 333.0),
    ];
    let outcome = run(&changed, 60, 4);
    let scope = Scope { options: &[0, 1], contracts: &[0, 2], points: 2, months: false };
    let again = revisit(
        &plan,
        scope,
        &settings(60, 4, 2),
        &AtomicBool::new(false),
        |_| {},
        |_, point, values| {
            if point == 1 {
                moves.iter().for_each(|&(index, value)| values[index] = value);
            }
            4
        },
        |seen| (seen.point, seen.option, seen.contract, seen.priced.levelized()),
    );
    let unchanged = run(&plan, 60, 4);
    for (trial, noted) in again.iter().enumerate() {
        for &(point, option, contract, levelized) in noted {
            let of = if point == 1 { &outcome } else { &unchanged };
            assert_eq!(levelized.to_bits(), of.cell(trial, option, contract).levelized.to_bits());
        }
    }
}

#[test]
fn what_is_built_and_what_comes_back_is_counted_once() {
    let plain = option("a");
    let bought = patched(
        plain.clone(),
        json!({ "name": "b", "fixtures": 3, "fixture": { "price": 400, "installation": 50, "rebate": 90, "worth_at_end": 0.25 } }),
    );
    let mut room = with_options(vec![plain, bought]);
    room["build_out"] = json!({ "service": { "is": 190, "unit": "EUR/kW" }, "cooling_plant": 520 });
    room["money"] = json!({ "basis": "real", "discount_rate": 0.05 });
    let plan = plan(&room);
    let priced = priced(&plan, 1, 1, 0);
    let of = |cause: engine::Cause| (priced.total[cause as usize], priced.present[cause as usize]);
    assert_eq!(of(engine::Cause::Capital), (1350.0, 1350.0));
    // three fixtures of 1 kW, 710 for each kW
    assert_eq!(of(engine::Cause::Plant), (2130.0, 2130.0));
    let (total, present) = of(engine::Cause::Credits);
    assert_eq!(total, -270.0 - 300.0);
    // 300 come back at the end of ten years
    assert!((present + 270.0 + 300.0 / 1.05f64.powi(10)).abs() < 1e-9, "{present}");
    assert_eq!(priced.by_year[0], 1350.0 + 2130.0 - 270.0);
}
