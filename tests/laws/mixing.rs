//! Several options in one room: what a blend of costs must keep to.

use std::sync::atomic::AtomicBool;

use decide::World;
use decide::mix::{MixOrder, mix};
use decide::mix_report::MixReport;
use decide::{mean, spread};
use engine::Settings;
use scenario::{Page, gather};
use serde_json::{Value, json};

use crate::support::{Bare, lamped, patched, plan, run, with_options};

fn mixed(scenario: &Value, parts: u32, trials: u64) -> MixReport {
    let page = Page { name: "test.json".into(), text: scenario.to_string() };
    let form = gather(page, &Bare, &[]).unwrap_or_else(|faulty| panic!("{:?}", faulty.faults)).form;
    let (plan, stop) = (plan(scenario), AtomicBool::new(false));
    let settings = Settings { seed: 5, trials, threads: 2, precision: None };
    let world = World { form: &form, plan: &plan, settings, stop: &stop };
    let order = MixOrder { options: (0..plan.options.len()).collect(), parts, contract: 0, rooms: 1 };
    mix(&world, &order, "test", &mut |_| {}).unwrap()
}

/// Three lamps whose lives are believed independently, and cost about the same.
fn room() -> Value {
    let one = |name: &str, price: f64, median: f64| {
        let life = json!({ "lognormal": { "median": median, "p90": 2.0 * median }, "unit": "h", "luck": name });
        let figures = json!({ "fixtures": 5, "lamp": { "price": price, "life": { "b50": life } },
                              "upkeep": { "spot_labour": 20 } });
        patched(lamped(name, 9_000.0, 4.0, json!({ "on_failure": {} })), figures)
    };
    with_options(vec![one("a", 60.0, 12_000.0), one("b", 90.0, 16_000.0), one("c", 115.0, 20_000.0)])
}

#[test]
fn an_option_alone_is_the_option_itself_bit_for_bit() {
    let report = mixed(&room(), 4, 500);
    let outcome = run(&plan(&room()), 500, 5);
    let scale = report.service_mol;
    let costs: Vec<Vec<f64>> = (0..3).map(|o| outcome.costs(o, 0, |cell| cell.levelized * scale)).collect();
    for (o, costs) in costs.iter().enumerate() {
        let (mix, alone) = (&report.mixes[o], spread(costs.clone()));
        assert_eq!(mix.parts.iter().position(|&part| part == 4), Some(o));
        assert_eq!((mix.mean, mix.sd, mix.p90), (alone.mean, alone.sd, alone.p90));
    }
    // the best option alone regrets what it would be worth to know everything
    let table = choice::Table::from_options(&[&costs[0], &costs[1], &costs[2]]).unwrap();
    let regrets = choice::regret::regrets(&table, 0.95).unwrap();
    for (mix, regret) in report.mixes.iter().zip(&regrets) {
        let (found, expected) = (mix.regret_mean, regret.mean);
        assert!((found.value - expected.value).abs() <= 1e-9 * expected.value, "{found:?} {expected:?}");
        assert!((mix.regret_p95.value - regret.quantile).abs() <= 1e-9 * regret.quantile);
    }
}

#[test]
fn means_are_linear_and_a_hedge_is_paid_for() {
    let report = mixed(&room(), 10, 2_000);
    assert_eq!(report.mixes.len(), 66);
    let alone: Vec<f64> = report.mixes[..3].iter().map(|mix| mix.mean.value).collect();
    for mix in &report.mixes {
        let blend: f64 = mix.parts.iter().zip(&alone).map(|(&part, mean)| f64::from(part) / 10.0 * mean).sum();
        assert!((mix.mean.value - blend).abs() < 1e-9 * blend, "{mix:?}");
        // spread, regret and its points are convex: no blend has more than its parts together
        let most: f64 = mix.parts.iter().zip(&report.mixes).map(|(&part, one)| f64::from(part) / 10.0 * one.sd).sum();
        assert!(mix.sd <= most * (1.0 + 1e-9), "{mix:?}");
    }
    assert!(report.lowest_mean < 3);
    let hedge = report.lowest_regret;
    let (safest, cheapest) = (&report.mixes[hedge.mix], &report.mixes[report.lowest_mean]);
    assert!(report.mixes.iter().all(|mix| mix.regret_p95.value >= safest.regret_p95.value));
    // beliefs that know nothing of each other: the safest is no option alone
    assert!(hedge.mix >= 3 && safest.is_frontier && hedge.premium.value > 0.0, "{hedge:?}");
    let lowered = cheapest.regret_p95.value - safest.regret_p95.value;
    assert!((hedge.lowers.value - lowered).abs() < 1e-9 * lowered && lowered > 0.0);
}

#[test]
fn copies_of_one_option_cannot_be_told_apart() {
    let mut room = room();
    for k in [1, 2] {
        let mut copy = room["options"][0].clone();
        copy["name"] = json!(format!("again {k}"));
        room["options"][k] = copy;
    }
    let report = mixed(&room, 5, 200);
    let (of, _) = mean(&[report.mixes[0].mean.value, report.mixes[1].mean.value]);
    assert_eq!((of.value, of.se), (report.mixes[0].mean.value, 0.0));
    assert_eq!(report.lowest_mean, 0);
    let cost = report.mixes[0].mean.value;
    assert!(report.mixes.iter().all(|mix| mix.regret_p95.value.abs() < 1e-12 * cost), "regret is rounding at most");
}
