//! Light as it was measured: what a meter's error and the error of single readings do to costs and to races, and figures
//! that are lists of draws.

use engine::new_flux;
use serde_json::{Value, json};

use crate::support::{option, patched, plan, room, run, with_options};

/// A room of two options: grids of the same area and height, measured with the same meter.
fn measured(first: Value, second: Value, meter: Value) -> Value {
    let of = |name: &str, change: Value| {
        let grid = json!({ "readings": [[500, 600], [700, 900]], "points": "cell_centred", "area": 2, "height": 1 });
        let mut option = option(name);
        option["light"] = json!({ "grid": grid, "meter": "sensor" });
        patched(option, change)
    };
    let meters = json!({ "meters": { "sensor": meter } });
    patched(with_options(vec![of("one", first), of("two", second)]), meters)
}

/// New flux of each option, trial by trial.
fn fluxes(scenario: &Value, trials: u64) -> Vec<[f64; 2]> {
    let plan = plan(scenario);
    (0..trials)
        .map(|trial| {
            let values = plan.inputs.draw(5, trial);
            [0, 1].map(|k| new_flux(&plan.options[k], &values))
        })
        .collect()
}

fn sd(values: &[f64]) -> f64 {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    (values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / (values.len() - 1) as f64).sqrt()
}

/// A normal factor about 1.
fn about(sd: f64) -> Value {
    json!({ "normal": { "mean": 1, "sd": sd } })
}

#[test]
fn the_error_of_a_meter_is_that_of_all_its_readings() {
    let exact = json!({ "led": 1 });
    let drawn = fluxes(&measured(json!({}), json!({}), json!({ "gain": about(0.05), "by_source": exact })), 4000);
    assert!(drawn.iter().all(|pair| pair[0] == pair[1]));
    // 675 µmol/m²/s over 2 m²
    let share: Vec<f64> = drawn.iter().map(|pair| pair[0] / 1350.0).collect();
    // a sample's standard deviation has one of its own of σ/√(2n)
    assert!((sd(&share) - 0.05).abs() < 4.5 * 0.05 / (2.0 * 4000.0_f64).sqrt(), "{}", sd(&share));
}

#[test]
fn what_a_source_does_to_a_meter_cancels_between_like_sources_only() {
    let meter = json!({ "gain": about(0.05), "by_source": { "led": about(0.04), "fluorescent": about(0.02) } });
    let ratios = |second: Value| -> Vec<f64> {
        fluxes(&measured(json!({}), second, meter.clone()), 4000).iter().map(|pair| pair[0] / pair[1]).collect()
    };
    assert!(ratios(json!({})).iter().all(|ratio| *ratio == 1.0));
    let unlike = sd(&ratios(json!({ "technology": "fluorescent" })));
    // of a ratio of two independent factors about 1: √(0.04² + 0.02²), to first order
    assert!((unlike - 0.0447).abs() < 0.003, "{unlike}");
}

#[test]
fn the_error_of_points_shrinks_with_their_number_and_belongs_to_one_measurement() {
    let points = json!({ "light": { "point_error": { "is": 4, "unit": "%" } } });
    let other = json!({ "light": { "point_error": 0.04, "grid": { "readings": [[600, 500], [700, 900]] } } });
    let meter = json!({ "gain": 1, "by_source": { "led": 1 } });
    let drawn = fluxes(&measured(points.clone(), other, meter.clone()), 4000);
    // σ·√Σ(w·PPFD)²: 0.04 × √(500² + 600² + 700² + 900²) / 4 × 2 m²
    let expected = 0.04 * (250_000.0_f64 + 360_000.0 + 490_000.0 + 810_000.0).sqrt() / 4.0 * 2.0;
    for k in 0..2 {
        let found = sd(&drawn.iter().map(|pair| pair[k]).collect::<Vec<f64>>());
        assert!((found / expected - 1.0).abs() < 4.5 / (2.0 * 4000.0_f64).sqrt(), "{found} against {expected}");
    }
    let apart = sd(&drawn.iter().map(|pair| pair[0] - pair[1]).collect::<Vec<f64>>());
    assert!((apart / expected - 2.0_f64.sqrt()).abs() < 0.1, "two measurements err on their own: {apart}");
    // the same readings in two options are one measurement
    let drawn = fluxes(&measured(points.clone(), points, meter), 100);
    assert!(drawn.iter().all(|pair| pair[0] == pair[1]));
}

#[test]
fn readings_times_the_gain_and_a_meter_with_that_gain_are_the_same_light() {
    let ceiling = json!({ "canopy": { "ppfd_ceiling": 800, "area": 2 } });
    let by_meter = measured(json!({}), json!({}), json!({ "gain": 1.2, "by_source": { "led": 1 } }));
    let grid = json!({ "light": { "grid": { "readings": [[600, 720], [840, 1080]] } } });
    let by_readings = measured(grid.clone(), grid, json!({ "gain": 1, "by_source": { "led": 1 } }));
    let of = |scenario: Value| {
        let outcome = run(&plan(&patched(scenario, ceiling.clone())), 2, 1);
        (outcome.life(0, 0, 0).moles, outcome.cell(0, 0, 0).levelized, outcome.useful_moles_of(0, 0).unwrap()[0])
    };
    let (a, b) = (of(by_meter), of(by_readings));
    for (a, b) in [(a.0, b.0), (a.1, b.1), (a.2, b.2)] {
        assert!((a / b - 1.0).abs() < 1e-12, "{a} against {b}");
    }
    assert!(a.2 < a.0);
}

#[test]
fn draws_of_one_luck_are_taken_together() {
    // life and shape rise together in the list, which no pair of marginal distributions would tell
    let rows = 50;
    let life: Vec<f64> = (0..rows).map(|k| 10_000.0 + 100.0 * f64::from((k * 7) % rows)).collect();
    let shape: Vec<f64> = life.iter().map(|hours| 2.0 + hours / 10_000.0).collect();
    let draws = |of: &[f64], luck: &str| json!({ "draws": of, "luck": luck });
    let lamp = |luck: &str| {
        json!({ "lamp": { "price": 1, "disposal": 0,
        "life": { "b50": draws(&life, "log"), "shape": draws(&shape, luck), "rated_hours_per_start": 12 } },
        "upkeep": { "relamp": { "on_failure": {} }, "spot_labour": 0 } })
    };
    let pairs = |luck: &str| -> Vec<(f64, f64)> {
        let plan = plan(&with_options(vec![patched(option("lamp"), lamp(luck))]));
        let place = |end: &str| plan.inputs.iter().position(|input| input.pointer.ends_with(end)).unwrap();
        let (b50, shape) = (place("/b50"), place("/shape"));
        (0..500)
            .map(|trial| {
                let values = plan.inputs.draw(3, trial);
                (values[b50], values[shape])
            })
            .collect()
    };
    assert!(pairs("log").iter().all(|(hours, shape)| *shape == 2.0 + hours / 10_000.0));
    assert!(pairs("other").iter().any(|(hours, shape)| *shape != 2.0 + hours / 10_000.0));
    let all: std::collections::BTreeSet<u64> = pairs("log").iter().map(|pair| pair.0.to_bits()).collect();
    assert!(all.len() > 45, "500 draws of 50 values meet nearly all of them: {}", all.len());
}

#[test]
fn a_meter_nobody_knows_and_errors_without_readings_are_refused() {
    let plain = room();
    let told = |scenario: &Value| -> Vec<String> {
        let page = scenario::Page { name: "room.json".into(), text: scenario.to_string() };
        let gathered = scenario::gather(page, &crate::support::Bare, &[]).unwrap_or_else(|_| panic!("shape"));
        plan::Plan::new(&gathered.form)
            .unwrap_err()
            .iter()
            .map(|fault| format!("{}: {}; {}", fault.at, fault.found, fault.allowed))
            .collect()
    };
    let light = |change: Value| patched(plain.clone(), json!({ "options": [patched(option("lamp"), change)] }));
    assert_eq!(
        told(&light(json!({ "light": { "meter": "sensor" } }))),
        ["/options/0/light/meter: \"sensor\"; none, because the scenario has no `meters`"]
    );
    assert_eq!(
        told(&light(json!({ "light": { "point_error": 0.02 } }))),
        [
            "/options/0/light/point_error: an error of points without readings; an error of points beside a `grid` only; of \
          a mean or a PPF say how uncertain it is"
        ]
    );
    let draws = |n: usize| json!({ "draws": vec![1.0; n], "luck": "x" });
    let two = patched(plain.clone(), json!({ "canopy": { "area": draws(3) }, "cooling": { "cop": draws(4) } }));
    assert_eq!(
        told(&two),
        ["/cooling/cop: 4 draws with the luck \"x\"; 3, as many as the first list of that luck has"]
    );
    assert_eq!(
        told(&patched(plain, json!({ "canopy": { "area": draws(0) } }))),
        ["/canopy/area: a list of 0 draws; 1 to 100 000 finite numbers"]
    );
}
