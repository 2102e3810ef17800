//! Leads split into causes: the parts add up, turn round, vanish, and say what algebra says.

use std::sync::atomic::AtomicBool;

use decide::result::{Cause, Estimate};
use decide::why::{Lead, WhyOrder, WhyReport, why};
use decide::why_terms::evaluate;
use engine::{Ledger, Living, Luck, Settings, live, new_flux};
use plan::Plan;
use serde_json::{Value, json};

use super::{assert_close, everything, money};
use crate::support::{demo, option, patched, plan, run, with_options};

const TRIALS: u64 = 64;

fn ask(plan: &Plan, option: usize, against: usize, contract: usize) -> WhyReport {
    let settings = Settings { seed: 7, trials: TRIALS, threads: 2, precision: None };
    let order = WhyOrder { option, against: Some(against), contract, settings };
    why(plan, &order, "test", &AtomicBool::new(false), |_| {})
}

fn lead(plan: &Plan, option: usize, against: usize, contract: usize) -> Lead {
    ask(plan, option, against, contract).lead.unwrap()
}

/// Every number of a lead that turns its sign with the names.
fn signed(lead: &Lead) -> Vec<Estimate> {
    let parts = lead.parts.iter().flat_map(|part| [Some(part.lead), part.by_money, part.by_new_light]).flatten();
    let more = [lead.lead, lead.energy.by_kwh, lead.energy.by_price, lead.held.by_dark, lead.held.by_dimming];
    parts.chain(more).collect()
}

fn cause(lead: &Lead, cause: Cause) -> f64 {
    lead.parts.iter().find(|part| part.cause == Some(cause)).unwrap().lead.value
}

fn held(lead: &Lead) -> f64 {
    lead.parts.iter().find(|part| part.cause.is_none()).unwrap().lead.value
}

/// The demonstration, and a room with everything in it that has bars as well.
fn rooms() -> [(Plan, Vec<(usize, usize)>); 2] {
    let demo = (plan(&demo()), vec![(0, 1), (0, 2), (3, 0), (2, 3)]);
    [demo, (plan(&everything::room()), vec![(0, 2), (2, 1)])]
}

#[test]
fn parts_add_up_and_turn_their_signs_bit_for_bit() {
    for (plan, pairs) in rooms() {
        for contract in 0..plan.contracts.len() {
            for &(a, b) in &pairs {
                let (one, other) = (lead(&plan, a, b, contract), lead(&plan, b, a, contract));
                let sum: f64 = one.parts.iter().map(|part| part.lead.value).sum();
                let all: f64 = one.parts.iter().map(|part| part.lead.value.abs()).sum();
                assert!(all > 0.0 && (sum - one.lead.value).abs() <= 1e-12 * all, "{sum} {}", one.lead.value);
                for part in &one.parts {
                    let (Some(money), Some(light)) = (part.by_money, part.by_new_light) else { continue };
                    assert!((money.value + light.value - part.lead.value).abs() <= 1e-12 * all, "{part:?}");
                }
                let energy = one.energy.by_kwh.value + one.energy.by_price.value;
                assert!((energy - cause(&one, Cause::Energy)).abs() <= 1e-12 * all);
                let light = one.held.by_dark.value + one.held.by_dimming.value;
                assert!((light - held(&one)).abs() <= 1e-12 * all);
                for (x, y) in signed(&one).into_iter().zip(signed(&other)) {
                    // nothing has no sign
                    assert!(x.value.to_bits() == (-y.value).to_bits() || (x.value == 0.0 && y.value == 0.0));
                    assert_eq!(x.se.to_bits(), y.se.to_bits());
                }
            }
        }
    }
}

#[test]
fn a_lead_is_that_of_the_run_and_against_itself_nothing() {
    for (plan, pairs) in rooms() {
        let outcome = run(&plan, TRIALS, 7);
        let (a, b) = pairs[0];
        let found = lead(&plan, a, b, 1);
        let costs = |option: usize| outcome.costs(option, 1, |cell| cell.levelized);
        assert_eq!(found.lead, decide::race(a, &costs(a), b, &costs(b)).lead);
        assert_eq!(ask(&plan, a, b, 1).sums[0].levelized, decide::mean(&costs(a)).0);
        let own = lead(&plan, a, a, 1);
        assert!(signed(&own).iter().all(|part| part.value == 0.0 && part.se == 0.0), "{own:?}");
    }
    // a copy under another name is as good as itself, with its batches, crews and dirt
    let copy = lead(&plan(&everything::room()), 0, 1, 0);
    assert!(signed(&copy).iter().all(|part| part.value == 0.0 && part.se == 0.0), "{copy:?}");
}

#[test]
fn twice_the_money_doubles_every_part_to_the_last_bit() {
    let mut dear = demo();
    assert!(money::scale(&mut dear, 2.0) > 10);
    let (before, after) = (lead(&plan(&demo()), 3, 0, 1), lead(&plan(&dear), 3, 0, 1));
    for (x, y) in signed(&before).into_iter().zip(signed(&after)) {
        assert_eq!((2.0 * x.value).to_bits(), y.value.to_bits());
        assert_eq!((2.0 * x.se).to_bits(), y.se.to_bits());
    }
}

/// Ten years of 1 000 µmol/s round the clock: 3 653 days, of which three are leap days.
const MOLES: f64 = 3_653.0 * 24.0 * 1_000.0 * 0.0036;
/// Ten years of 1 kW at 0.10 a kWh.
const ENERGY: f64 = 3_653.0 * 24.0 * 0.10;

fn two(change: Value) -> Lead {
    let plain = option("plain");
    let changed = patched(patched(plain.clone(), change), json!({ "name": "changed" }));
    lead(&plan(&with_options(vec![plain, changed])), 1, 0, 0)
}

/// Asserts that a lead has one part that is not nothing.
fn only(lead: &Lead, name: &str, expected: f64) {
    for part in &lead.parts {
        if part.name == name {
            assert_close(part.lead.value, expected, 1e-12, name);
        } else {
            // the dust of a ratio of moles to flux is no part
            assert!(part.lead.value.abs() <= 1e-13 * expected.abs(), "{part:?}");
        }
    }
    assert_close(lead.lead.value, expected, 1e-11, "the lead");
}

#[test]
fn one_price_is_one_part() {
    let lead = two(json!({ "fixture": { "price": 100 } }));
    only(&lead, "capital", 100.0 / MOLES);
    assert_eq!(lead.parts[0].by_new_light.unwrap().value, 0.0);
    assert!(lead.parts.iter().skip(1).all(|part| part.lead.value == 0.0), "{lead:?}");
}

#[test]
fn more_watts_are_kwh_and_a_brighter_fixture_is_efficacy() {
    let watts = two(json!({ "wall_power": 1_200 }));
    only(&watts, "energy", 0.2 * ENERGY / MOLES);
    assert_close(watts.energy.by_kwh.value, 0.2 * ENERGY / MOLES, 1e-12, "kWh");
    assert!(watts.energy.by_price.value.abs() < 1e-16);
    let bright = two(json!({ "light": { "mean": { "ppfd": 1_250 } } }));
    only(&bright, "energy", (1.0 / 1.25 - 1.0) * ENERGY / MOLES);
    let energy = bright.parts.iter().find(|part| part.cause == Some(Cause::Energy)).unwrap();
    assert_eq!(energy.by_money.unwrap().value, 0.0);
    assert_close(energy.by_new_light.unwrap().value, -0.2 * ENERGY / MOLES, 1e-12, "light of a new fixture");
}

#[test]
fn fading_alone_is_light_held() {
    let fading = two(json!({ "maintenance": { "constant": null, "exponential": { "rate": 1e-5 } } }));
    // ∫ e^(−rt) over the horizon against the horizon
    let turned = 1e-5 * 3_653.0 * 24.0;
    let held = (1.0 - f64::exp(-turned)) / turned;
    only(&fading, "light held", (1.0 / held - 1.0) * ENERGY / MOLES);
    assert_eq!(fading.held.by_dark.value, 0.0);
}

#[test]
fn twice_as_many_of_the_same_fixtures_are_no_lead() {
    let more = two(json!({ "fixtures": 2 }));
    assert!(more.parts.iter().all(|part| part.lead.value.abs() < 1e-18), "{more:?}");
}

#[test]
fn the_room_when_new_is_that_of_the_life_that_is_lived() {
    for (plan, _) in rooms() {
        for (option, trial) in plan.options.iter().zip(0..) {
            let values = plan.inputs.draw(3, trial);
            let mut luck = Luck::new(option.sockets());
            luck.turn_to(3, trial);
            let (mut living, mut ledger) = (Living::default(), Ledger::default());
            let lived = live(option, &plan.clocks[0], &values, &mut luck, &mut living, &mut ledger);
            assert_close(new_flux(option, &values), lived, 1e-14, &option.name);
        }
    }
}

#[test]
fn every_sum_comes_to_its_value_and_the_last_to_the_ratio_of_means() {
    for (plan, pairs) in rooms() {
        for contract in 0..plan.contracts.len() {
            let (a, b) = pairs[0];
            let report = ask(&plan, a, b, contract);
            assert_eq!(report.sums.len(), 2);
            for sum in &report.sums {
                for line in &sum.lines {
                    assert_close(evaluate(&line.working).unwrap(), line.value, 1e-9, &line.what);
                }
                assert_close(evaluate(&sum.formula).unwrap() / 100.0, sum.ratio_of_means, 1e-9, &sum.option);
                assert_close(sum.ratio_of_means, sum.levelized.value, 0.02, "two means");
            }
        }
    }
}
