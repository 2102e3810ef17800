//! Lamps as the walk by events lives them, against the renewal equation solved without a random number: failures,
//! planned replacements, light and discounted cost, for every kind of life and every way of relamping.

use std::f64::consts::LN_2;

use renewal::{Expected, Lamp, Policy, expect};
use serde_json::{Value, json};
use statrs::distribution::{ContinuousCDF, Normal};

use super::assert_close;
use super::statistics::{ERRORS, mean_and_error};
use crate::support::{lamped, lived, patched, plan, run, with_options};

/// Hours of 2031 and 2032.
const HORIZON: f64 = 17_544.0;
const SOCKETS: u32 = 500;
const TRIALS: u64 = 40;
const RATE: f64 = 3e-5;

/// A kind of life: what is written, the share alive at an age, and where that bends.
struct Life {
    written: Value,
    survival: Box<dyn Fn(f64) -> f64>,
    kinks: Vec<f64>,
}

fn weibull(b50: f64, shape: f64) -> impl Fn(f64) -> f64 {
    move |age| (-LN_2 * (age / b50).powf(shape)).exp()
}

fn above(z: f64) -> f64 {
    Normal::standard().sf(z)
}

/// A life written in place of the plain one.
fn in_place(life: Value) -> Value {
    patched(json!({ "b50": null, "shape": null }), life)
}

fn lives() -> Vec<Life> {
    let smooth = |written: Value, survival: Box<dyn Fn(f64) -> f64>| Life { written, survival, kinks: vec![] };
    let erlang = |age: f64| (1.0 + age / 2_500.0) * (-age / 2_500.0).exp();
    let points: Vec<Value> =
        (0..=600).map(|k| json!({ "hours": 50.0 * f64::from(k), "alive": erlang(50.0 * f64::from(k)) })).collect();
    // all causes together leave half at 6 000 h: a tenth fails within 1 500 h, evenly, and 2 %/kh at random
    let others = |age: f64| (1.0 - 0.1 * (age / 1_500.0).min(1.0)) * (-2e-5 * age).exp();
    let worn = 0.5 / others(6_000.0);
    vec![
        smooth(json!({ "b50": 6_000, "shape": 3.1 }), Box::new(weibull(6_000.0, 3.1))),
        smooth(json!({ "b50": 6_000, "shape": 0.8 }), Box::new(weibull(6_000.0, 0.8))),
        smooth(
            in_place(json!({ "b50": 6_000, "lognormal_sd": 0.4 })),
            Box::new(|age: f64| above((age / 6_000.0).ln() / 0.4)),
        ),
        // nine in ten alive at 4 000 h: z of 0.9 is 1.2815515655446004
        smooth(
            in_place(json!({ "b10": 4_000, "lognormal_sd": 0.3 })),
            Box::new(|age: f64| above(((age / 4_000.0).ln() - 0.3 * 1.281_551_565_544_600_4) / 0.3)),
        ),
        smooth(
            in_place(json!({ "alive_at": { "hours": 5_000, "alive": 0.67 }, "shape": 2.4 })),
            Box::new(|age: f64| 0.67f64.powf((age / 5_000.0).powf(2.4))),
        ),
        smooth(
            in_place(json!({ "test_stopped_at": { "hours": 5_000, "alive": 0.6 }, "shape": 4 })),
            Box::new(|age: f64| 0.6f64.powf((age / 5_000.0).powf(4.0))),
        ),
        Life {
            written: in_place(json!({ "survival": [{ "hours": 0, "alive": 1 }, { "hours": 9_000, "alive": 0 }] })),
            survival: Box::new(|age: f64| (1.0 - age / 9_000.0).max(0.0)),
            kinks: vec![9_000.0],
        },
        // a table so fine that its straight lines lie within 5e-5 of the curve
        smooth(in_place(json!({ "survival": points })), Box::new(erlang)),
        Life {
            written: json!({ "b50": 6_000, "shape": 3.5, "random": 2e-5, "early": { "share": 0.1, "within": 1_500 } }),
            survival: Box::new(move |age: f64| others(age) * worn.powf((age / 6_000.0).powf(3.5))),
            kinks: vec![1_500.0],
        },
        smooth(
            json!({ "b50": 10_000, "shape": 3.1, "derates": [
                { "cause": "position", "factor": 0.75 }, { "cause": "supply", "factor": 0.8 } ] }),
            Box::new(weibull(6_000.0, 3.1)),
        ),
    ]
}

/// An option of many lamps of some life, which fades exponentially; it is lived event by event.
fn of_life(name: &str, life: &Value, relamp: Value) -> Value {
    patched(
        lamped(name, 6_000.0, 3.0, relamp),
        json!({ "fixtures": SOCKETS, "lamp": { "life": life }, "upkeep": { "breakage": 0 },
            "maintenance": { "constant": null, "exponential": { "rate": RATE } } }),
    )
}

fn policies() -> Vec<(Value, Policy)> {
    let dates = |every: f64| (1..).map(|k| every * f64::from(k)).take_while(|&date| date < HORIZON).collect::<Vec<_>>();
    vec![
        (json!({ "on_failure": {} }), Policy::OnFailure),
        (json!({ "group": { "every": 4_800 } }), Policy::Group { dates: dates(4_800.0), spot_between: true }),
        (
            json!({ "group": { "every": 4_800, "spot_between": false } }),
            Policy::Group { dates: dates(4_800.0), spot_between: false },
        ),
        (json!({ "by_age": { "at": 4_800 } }), Policy::ByAge { at: 4_800.0 }),
    ]
}

/// Asserts that means over trials are as expected, with standard errors that bite.
#[track_caller]
fn assert_expected(values: &[f64], expected: f64, bite: f64, what: &str) {
    let (mean, error) = mean_and_error(values);
    assert!(error <= bite * expected, "{what}: ± {error} of {expected} does not bite");
    // where nothing scatters the digits to which the equation is solved are left
    assert!((mean - expected).abs() <= ERRORS * error + 1e-9 * expected, "{what}: {mean} ± {error} against {expected}");
}

fn assert_lived(plan: &plan::Plan, option: usize, expected: &Expected, seed: u64, what: &str) {
    let n = f64::from(SOCKETS);
    let (mut failures, mut planned, mut light, mut lit) = (vec![], vec![], vec![], vec![]);
    for trial in 0..TRIALS {
        let ledger = lived(plan, option, seed, trial);
        let count = |months: &[u32]| f64::from(months.iter().sum::<u32>()) / n;
        failures.push(count(&ledger.lamp_failures));
        planned.push(count(&ledger.planned_lamps));
        light.push(ledger.moles.iter().sum::<f64>() / (n * 3.6));
        lit.push(ledger.burn_hours / n);
    }
    // 20 000 sockets with a relative scatter below 1.2 each
    assert_expected(&failures, expected.failures, 0.01, &format!("{what}: failures"));
    assert_expected(&light, expected.flux_hours, 0.002, &format!("{what}: light"));
    assert_expected(&lit, expected.lit_hours, 0.002, &format!("{what}: lit hours"));
    // the first planned replacement may be of every socket: then nothing scatters
    assert_expected(&planned, expected.planned, 0.01, &format!("{what}: planned"));
}

#[test]
fn every_life_under_every_policy_follows_the_renewal_equation() {
    for (k, life) in lives().iter().enumerate() {
        let options =
            policies().into_iter().enumerate().map(|(p, (relamp, _))| of_life(&format!("{p}"), &life.written, relamp));
        let plan = plan(&patched(with_options(options.collect()), json!({ "horizon_years": 2 })));
        assert_eq!(plan.clocks[0].timeline.lit_hours, HORIZON);
        let light = |age: f64| (-RATE * age).exp();
        let lamp = Lamp { survival: &life.survival, light: &light, survival_kinks: &life.kinks, light_kinks: &[] };
        for (p, (relamp, policy)) in policies().iter().enumerate() {
            assert!(!plan.options[p].is_plain());
            let expected = expect(&lamp, 0.0, policy, HORIZON, &[HORIZON]).unwrap()[0];
            assert_lived(&plan, p, &expected, 70 + k as u64, &format!("life {k}: {relamp}"));
        }
    }
}

#[test]
fn used_lamps_of_a_known_age_have_only_the_rest_of_their_lives() {
    let age = 3_000.0;
    for (k, life) in lives().iter().enumerate() {
        let options = policies().into_iter().enumerate().filter(|(p, _)| *p != 3).map(|(p, (relamp, _))| {
            patched(of_life(&format!("{p}"), &life.written, relamp), json!({ "in_sockets": { "hours": age } }))
        });
        let plan = plan(&patched(with_options(options.collect()), json!({ "horizon_years": 2 })));
        let light = |age: f64| (-RATE * age).exp();
        let lamp = Lamp { survival: &life.survival, light: &light, survival_kinks: &life.kinks, light_kinks: &[] };
        for (p, (relamp, policy)) in policies().iter().take(3).enumerate() {
            let expected = expect(&lamp, age, policy, HORIZON, &[HORIZON]).unwrap()[0];
            assert_lived(&plan, p, &expected, 90 + k as u64, &format!("life {k}, used: {relamp}"));
        }
    }
}

#[test]
fn used_lamps_are_replaced_by_age_when_they_reach_it() {
    // used for 3 000 h, replaced at 4 800 h: the first turn comes after 1 800 h
    let by_age = json!({ "by_age": { "at": 4_800 } });
    let life = json!({ "b50": 1e6, "shape": 1e6 });
    let used = patched(of_life("used", &life, by_age), json!({ "in_sockets": { "hours": 3_000 } }));
    let plan = plan(&patched(with_options(vec![used]), json!({ "horizon_years": 2 })));
    let ledger = lived(&plan, 0, 1, 0);
    // turns at 1 800, 6 600, 11 400 and 16 200 h: days 75, 275, 475 and 675 from 1 January 2031
    let months: Vec<usize> =
        ledger.planned_lamps.iter().enumerate().filter(|(_, n)| **n > 0).map(|(month, _)| month).collect();
    assert_eq!(months, [2, 9, 15, 22]);
    assert!(ledger.planned_lamps.iter().all(|n| n % SOCKETS == 0));
}

#[test]
fn used_lamps_of_unknown_age_are_a_mixture_over_the_span() {
    let life = &lives()[0];
    let option = patched(
        of_life("used", &life.written, json!({ "on_failure": {} })),
        json!({ "in_sockets": { "from": 1_000, "to": 5_000 } }),
    );
    let plan = plan(&patched(with_options(vec![option]), json!({ "horizon_years": 2 })));
    let light = |age: f64| (-RATE * age).exp();
    let lamp = Lamp { survival: &life.survival, light: &light, survival_kinks: &[], light_kinks: &[] };
    let at = |age: f64| expect(&lamp, age, &Policy::OnFailure, HORIZON, &[HORIZON]).unwrap()[0];
    // the mean over the span by Simpson's rule on 16 pieces: it is smooth
    let weights = (0..=16).map(|k| (k, if k == 0 || k == 16 { 1.0 } else { f64::from(2 + 2 * (k % 2)) } / 48.0));
    let (mut failures, mut flux) = (0.0, 0.0);
    for (k, weight) in weights {
        let expected = at(1_000.0 + 250.0 * f64::from(k));
        failures += weight * expected.failures;
        flux += weight * expected.flux_hours;
    }
    let ledgers: Vec<_> = (0..TRIALS).map(|trial| lived(&plan, 0, 101, trial)).collect();
    let n = f64::from(SOCKETS);
    let count = |ledger: &engine::Ledger| f64::from(ledger.lamp_failures.iter().sum::<u32>()) / n;
    assert_expected(&ledgers.iter().map(count).collect::<Vec<_>>(), failures, 0.01, "failures");
    let light: Vec<f64> = ledgers.iter().map(|ledger| ledger.moles.iter().sum::<f64>() / (n * 3.6)).collect();
    assert_expected(&light, flux, 0.002, "light");
}

#[test]
fn cost_and_light_are_discounted_as_they_come() {
    // booked at the end of each month at 9 % a year: Σ (what comes in the month)·1.09^(−(m + 1)/12)
    let days = [31.0, 28.0, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0];
    let ends: Vec<f64> = (0..24)
        .scan(0.0, |hours, month| {
            *hours += 24.0 * (days[month % 12] + f64::from(u8::from(month == 13)));
            Some(*hours)
        })
        .collect();
    assert_eq!(ends[23], HORIZON);
    let (spot, planned) = (31.0, 17.5);
    let costs = json!({ "lamp": { "price": 12, "disposal": 0.5 }, "fixture": { "price": 40 },
        "upkeep": { "spot_labour": spot - 12.5, "planned_labour": planned - 12.5 } });
    let life = &lives()[8];
    let options = policies()
        .into_iter()
        .enumerate()
        .map(|(p, (relamp, _))| patched(of_life(&format!("{p}"), &life.written, relamp), costs.clone()));
    let room = json!({ "horizon_years": 2, "money": { "discount_rate": 0.09 },
        "contracts": [{ "name": "free", "tariff": { "energy": [{ "price": 0 }] } }] });
    let plan = plan(&patched(with_options(options.collect()), room));
    let outcome = run(&plan, TRIALS, 110);
    let light = |age: f64| (-RATE * age).exp();
    let lamp = Lamp { survival: &life.survival, light: &light, survival_kinks: &life.kinks, light_kinks: &[] };
    let n = f64::from(SOCKETS);
    for (p, (relamp, policy)) in policies().iter().enumerate() {
        let expected = expect(&lamp, 0.0, policy, HORIZON, &ends).unwrap();
        let dark = matches!(policy, Policy::Group { spot_between: false, .. });
        let (mut cost, mut moles) = (40.0 + 12.0, 0.0);
        let (mut failed, mut turned, mut lit) = (0.0, 0.0, 0.0);
        for (month, until) in expected.iter().enumerate() {
            let factor = 1.09f64.powf(-(month as f64 + 1.0) / 12.0);
            cost += factor * planned * (until.planned - turned);
            cost += if dark { 0.0 } else { factor * spot * (until.failures - failed) };
            moles += factor * 3.6 * (until.flux_hours - lit);
            (failed, turned, lit) = (until.failures, until.planned, until.flux_hours);
        }
        let present = outcome.costs(p, 0, |cell| cell.present / n);
        assert_expected(&present, cost, 0.005, &format!("{relamp}: present value"));
        // the ratio of two means and the mean of ratios part by the square of a scatter of 1 % at most
        let levelized = outcome.costs(p, 0, |cell| cell.levelized);
        let (mean, error) = mean_and_error(&levelized);
        assert!(
            (mean - cost / moles).abs() < ERRORS * error + 1e-4 * mean,
            "{relamp}: {mean} ± {error}, {}",
            cost / moles
        );
    }
}

#[test]
fn a_group_by_light_comes_when_the_curve_is_there() {
    // light falls to 0.8 at −ln(0.8)/3e-5 = 7 438.1 h, so that groups come then and at twice that
    let at = -0.8f64.ln() / RATE;
    let life = json!({ "b50": 1e6, "shape": 1e6 });
    let options = vec![
        of_life("group by light", &life, json!({ "group": { "at_light": 0.8 } })),
        of_life("group by hours", &life, json!({ "group": { "every": at } })),
        of_life("age by light", &life, json!({ "by_age": { "at_light": 0.8 } })),
        of_life("age by hours", &life, json!({ "by_age": { "at": at } })),
    ];
    let plan = plan(&patched(with_options(options), json!({ "horizon_years": 2 })));
    let ledgers: Vec<_> = (0..4).map(|option| lived(&plan, option, 1, 0)).collect();
    for ledger in &ledgers {
        assert_eq!(ledger.planned_lamps, ledgers[1].planned_lamps);
        assert_close(ledger.moles.iter().sum(), ledgers[1].moles.iter().sum(), 1e-12, "moles");
        assert_eq!(ledger.planned_lamps.iter().sum::<u32>(), 2 * SOCKETS);
    }
}
