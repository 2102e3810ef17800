//! How fast lives are lived and priced. `cargo bench` prints the figures; nothing here is a test.
//!
//! The floor, one counter-based draw, is measured in the same run: on a noisy machine only ratios travel.
#![allow(clippy::unwrap_used, missing_docs)]

mod folder;

use std::hint::black_box;
use std::sync::atomic::AtomicBool;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use draws::{Purpose, Stream, fill_gumbel, fill_lives};
use engine::{Ledger, Living, Luck, Priced, Pricing, Settings, live, price};
use plan::Plan;
use serde_json::json;

/// A thousand sockets with lamps that fade, die after a median of 4 500 h and are replaced at once, for ten years.
const THOUSAND_SOCKETS: &str = r#"{
        "title": "bench", "start": "2031-01-01", "horizon_years": 10, "time_zone": "Etc/UTC", "currency": "EUR",
        "money": { "basis": "real", "discount_rate": 0.05 },
        "canopy": { "area": 1000 },
        "photoperiod": { "phases": [{ "name": "all", "days": 100, "lights": [{ "on": "00:00", "off": "00:00" }] }] },
        "contracts": [{ "name": "flat", "tariff": { "energy": [{ "price": 0.10 }] } }],
        "options": [{
            "name": "lamp", "technology": "high_pressure_sodium", "fixtures": 1000, "wall_power": 1000,
            "light": { "mean": { "ppfd": 1000, "area": 1, "height": 1 } },
            "maintenance": { "exponential": { "rate": 2e-5 } },
            "fixture": { "price": 100, "installation": 10 },
            "lamp": { "price": 50, "disposal": 1, "life": { "b50": 4500, "shape": 3.5, "rated_hours_per_start": 12 } },
            "upkeep": { "relamp": { "on_failure": {} }, "spot_labour": 30 }
        }]
    }"#;

fn thousand_sockets() -> Plan {
    folder::plan_of(&serde_json::from_str(THOUSAND_SOCKETS).unwrap())
}

fn lamp_lives(c: &mut Criterion) {
    let plan = thousand_sockets();
    let (option, clock) = (&plan.options[0], &plan.clocks[0]);
    let (mut luck, mut living, mut ledger) = (Luck::new(option.sockets()), Living::default(), Ledger::default());
    let (mut pricing, mut priced) = (Pricing::default(), Priced::default());
    let mut one_trial = |trial: u64| {
        let values = plan.inputs.draw(1, trial);
        luck.turn_to(1, trial);
        pricing.turn_to(&plan, &values, 1, trial);
        live(option, clock, &values, &mut luck, &mut living, &mut ledger);
        price(&plan, 0, 0, &values, &ledger, &mut pricing, &mut priced);
        (ledger.lamps_bought(), priced.levelized())
    };
    // lives that end in failure; those cut off by the horizon come on top and are not counted
    let trials = 64;
    let lives: u64 = (0..trials).map(|trial| one_trial(trial).0).sum::<u64>() / trials;

    let mut group = c.benchmark_group("lamp life");
    group.throughput(Throughput::Elements(lives));
    let mut trial = 0;
    group.bench_function("lived, lit and priced", |b| {
        b.iter(|| {
            trial += 1;
            black_box(one_trial(trial))
        });
    });
    group.throughput(Throughput::Elements(1000));
    let stream = Stream::new(1, Purpose::LampLife, 0, 0);
    let (mut g, mut x) = (vec![0.0; 1000], vec![0.0; 1000]);
    group.bench_function("floor: one draw", |b| {
        b.iter(|| (0..1000).map(|k| stream.bits(black_box(k))).fold(0, u64::wrapping_add));
    });
    group.bench_function("floor: one Weibull life in a buffer", |b| {
        b.iter(|| {
            fill_gumbel(stream, 0, &mut g);
            fill_lives(&g, 5000.0, 1.0 / 3.5, &mut x);
            black_box(x[0])
        });
    });
    group.finish();
}

fn demo_trials(c: &mut Criterion) {
    let plan = folder::plan_of(&folder::demo());
    let mut group = c.benchmark_group("demonstration");
    group.sample_size(10);
    let trials = 4096;
    group.throughput(Throughput::Elements(trials));
    for threads in [1, 2] {
        group.bench_with_input(BenchmarkId::new("trials, threads", threads), &threads, |b, &threads| {
            let settings = Settings { seed: 1, trials, threads, precision: None };
            b.iter(|| engine::run(&plan, &settings, &AtomicBool::new(false), |_| {}).unwrap().0.trials);
        });
    }
    group.finish();
}

/// What each feature costs: the room of a thousand sockets with one thing more, time for a trial over that of the plain one.
fn features(c: &mut Criterion) {
    let features = [
        ("plain", json!({})),
        (
            "two stated points, a stretched exponential",
            json!({ "maintenance": { "exponential": null, "through": [
            { "fraction": 0.8, "of_rated_life": 0.4 }, { "fraction": 0.6, "of_rated_life": 1 }] } }),
        ),
        ("lived event by event (breakage)", json!({ "upkeep": { "breakage": 0.01 } })),
        (
            "early and random failures",
            json!({ "lamp": { "life": {
            "early": { "share": 0.02, "within": 300 }, "random": 5e-6 } } }),
        ),
        ("lognormal wear-out", json!({ "lamp": { "life": { "shape": null, "lognormal_sd": 0.3 } } })),
        ("batches", json!({ "lamp": { "life": { "batch": { "spread": 0.1 } } } })),
        ("warranty", json!({ "lamp": { "warranty": { "until": 12 } } })),
        (
            "two components",
            json!({ "components": [
            { "name": "ballast", "b50": 60_000, "price": 1, "labour": 1 },
            { "name": "fan", "b50": 60_000, "clock": "calendar", "price": 1, "labour": 1 }] }),
        ),
        (
            "crew and walk-through",
            json!({ "upkeep": { "walk_through": 3.5,
            "crew": { "wage": 60, "spot_minutes": 30, "planned_minutes": 5 } } }),
        ),
        ("spares", json!({ "upkeep": { "spares": { "stock": 20, "lead_time": 14 } } })),
        ("a pace of fading for each lamp", json!({ "maintenance": { "lamp_to_lamp": 0.1 } })),
        ("power that drifts", json!({ "power_drift": 5e-6 })),
        (
            "dirt, cleaned once a year",
            json!({ "dirt": { "lost_in_a_year": 0.1, "power": 0.7 },
            "upkeep": { "cleaning": { "every": 365, "cost": 5 } } }),
        ),
    ];
    let mut group = c.benchmark_group("features");
    group.sample_size(10);
    for (name, patch) in features {
        let mut scenario: serde_json::Value = serde_json::from_str(THOUSAND_SOCKETS).unwrap();
        json_patch::merge(&mut scenario["options"][0], &patch);
        let plan = folder::plan_of(&scenario);
        let (option, clock) = (&plan.options[0], &plan.clocks[0]);
        let (mut luck, mut living, mut ledger) = (Luck::new(option.sockets()), Living::default(), Ledger::default());
        let (mut pricing, mut priced) = (Pricing::default(), Priced::default());
        let mut trial = 0;
        group.bench_function(name, |b| {
            b.iter(|| {
                trial += 1;
                let values = plan.inputs.draw(1, trial);
                luck.turn_to(1, trial);
                pricing.turn_to(&plan, &values, 1, trial);
                live(option, clock, &values, &mut luck, &mut living, &mut ledger);
                price(&plan, 0, 0, &values, &ledger, &mut pricing, &mut priced);
                black_box(priced.levelized())
            });
        });
    }
    group.finish();
}

criterion_group!(benches, lamp_lives, demo_trials, features);
criterion_main!(benches);
