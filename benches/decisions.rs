//! What questions cost beside the run that they are asked of. `cargo bench` prints the figures; nothing here is a test. Only
//! ratios within one run travel between machines.
#![allow(clippy::unwrap_used, missing_docs)]

mod folder;

use std::hint::black_box;
use std::sync::atomic::AtomicBool;

use criterion::{Criterion, criterion_group, criterion_main};
use decide::World;
use decide::breakeven::{BreakevenOrder, breakeven};
use decide::breakeven_report::Measure;
use decide::map::{MapOrder, map};
use engine::Settings;

fn questions(c: &mut Criterion) {
    let scenario = folder::demo();
    let (form, plan) = (folder::form_of(&scenario), folder::plan_of(&scenario));
    let stop = AtomicBool::new(false);
    let world = |trials: u64| World {
        form: &form,
        plan: &plan,
        settings: Settings { seed: 1, trials, threads: 1, precision: None },
        stop: &stop,
    };
    let mut group = c.benchmark_group("10 000 trials, one thread");
    group.sample_size(10);
    group.bench_function("a run: four options, two clocks, three contracts", |b| {
        b.iter(|| black_box(engine::run(&plan, &world(10_000).settings, &stop, |_| {}).unwrap()));
    });
    let order = |x: &str, y: &str, steps: usize| MapOrder {
        options: vec![0, 1, 2, 3],
        contract: 0,
        x: (x.into(), None, None),
        y: (y.into(), None, None),
        steps: Some(steps),
        measure: Measure::Mole,
    };
    group.bench_function("a map of 60 × 60 over two prices", |b| {
        let order = order("A.lamp.price", "electricity", 60);
        b.iter(|| black_box(map(&world(10_000), &order, "bench", &mut |_| {}).unwrap()));
    });
    group.bench_function("one column of a map over a lamp's life and a price", |b| {
        let order = order("B.life", "electricity", 60);
        // sixty columns of a sixtieth of the trials
        b.iter(|| black_box(map(&world(10_000 / 60), &order, "bench", &mut |_| {}).unwrap()));
    });
    group.bench_function("a tenth of the trials: the life at which two options tie, three contracts", |b| {
        let inputs = vec![("B.life".to_owned(), None, None)];
        let order = BreakevenOrder { a: 1, b: 0, contracts: vec![0, 1, 2], inputs, measure: Measure::Mole };
        b.iter(|| black_box(breakeven(&world(1_000), &order, "bench", &mut |_| {}).unwrap()));
    });
    group.finish();
}

criterion_group!(benches, questions);
criterion_main!(benches);
