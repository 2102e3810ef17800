//! How fast bills are made, and how many starts and rate sheets can be priced while one is lived. `cargo bench` prints
//! the figures; nothing here is a test. Only ratios within one run travel between machines.
#![allow(clippy::unwrap_used, missing_docs)]

mod folder;

use std::hint::black_box;
use std::sync::atomic::AtomicBool;

use calendar::{Minute, Photoperiod};
use criterion::{Criterion, criterion_group, criterion_main};
use engine::{Pricing, Settings, live_pattern, screen_all};
use meter::{Lit, Registers};
use plan::Plan;
use serde_json::{Value, json};
use tariff::{Levels, Past, Reading, bill};

/// The demonstration under so many time-of-use tariffs that differ in a price.
fn demo(tariffs: usize) -> Plan {
    let mut scenario = folder::demo();
    let contract = scenario["contracts"][1].clone();
    let contracts: Vec<Value> = (0..tariffs)
        .map(|k| {
            let mut contract = contract.clone();
            contract["name"] = json!(format!("tariff {k}"));
            contract["tariff"]["energy"][0]["price"]["is"] = json!(0.2 + 0.01 * k as f64);
            contract
        })
        .collect();
    scenario["contracts"] = json!(contracts);
    folder::plan_of(&scenario)
}

fn year(c: &mut Criterion) {
    let plan = demo(1);
    let contract = &plan.contracts[0];
    let medians = plan.inputs.medians();
    let prices: Vec<f64> = contract.prices.iter().map(|id| medians[id.index()]).collect();
    let (mut registers, mut reading) = (Registers::default(), Reading::default());
    let lit = Lit { kw: 25.0, cooling: 0.3, ..Lit::default() };
    c.bench_function("a year's bills, demand and time of use: read and billed", |b| {
        b.iter(|| {
            let mut past = Past::new(&contract.sheet, &contract.before, 3);
            let mut sum = 0.0;
            for p in 0..12 {
                let base = &contract.lit.base;
                let steps = &contract.lit.steps;
                contract.schedule.reading(&contract.sheet, p, base, steps, lit, &mut registers, &mut reading);
                let of = &contract.schedule.periods[p];
                sum += bill(&contract.sheet, of, &reading, &prices, &Levels::AS_WRITTEN, &mut past, |_| {}).total();
            }
            black_box(sum)
        });
    });
}

fn search(c: &mut Criterion) {
    let mut group = c.benchmark_group("10 000 trials, one thread");
    group.sample_size(10);
    let settings = Settings { seed: 1, trials: 10_000, threads: 1, precision: None };
    let stop = AtomicBool::new(false);
    let one = demo(1);
    group.bench_function("lived and priced trial by trial, one start, one tariff", |b| {
        b.iter(|| engine::run(&one, &settings, &stop, |_| {}).unwrap().0.trials);
    });
    let many = demo(20);
    let clock = &many.clocks[0];
    let starts: Vec<Photoperiod> =
        (0..96).map(|k| clock.photoperiod.starting_at(Minute::MIDNIGHT.later(15 * k))).collect();
    let sheets: Vec<usize> = (0..20).collect();
    group.bench_function("lived once and priced, 96 starts, 20 tariffs", |b| {
        b.iter(|| {
            let mut pricing = Pricing::default();
            pricing.turn_to_medians(&many, &many.inputs.medians());
            let futures = live_pattern(&many, clock, &settings, &stop, |_| {});
            black_box(screen_all(&many, &sheets, &pricing, &starts, &futures, 1).len())
        });
    });
    group.finish();
}

criterion_group!(benches, year, search);
criterion_main!(benches);
