//! Photons: the engine's sums by month against quadrature over the days, and against closed forms.

use std::f64::consts::LN_2;

use serde_json::{Value, json};

use super::statistics::{ERRORS, integrate, mean_and_error};
use super::{assert_close, data, number};
use crate::support::{lamped, patched, plan, run, with_options};

const FLUX: f64 = 1000.0;
const MOL_PER_FLUX_HOUR: f64 = 0.0036;
/// A median life, and a shape, that no horizon here reaches.
const FOR_EVER: f64 = 1e6;
/// Hours of 2031 to 2033, one of them a leap year.
const THREE_YEARS: f64 = 26_304.0;

/// Points of the tabulated curve of these tests.
const CURVE: [(f64, f64); 5] = [(0.0, 1.0), (100.0, 1.04), (3_000.0, 0.9), (9_000.0, 0.78), (12_000.0, 0.5)];

/// The curve between its points and on along its last slope.
fn curve(b: f64) -> f64 {
    let last = CURVE.len() - 1;
    let k = (1..last).find(|&k| b < CURVE[k].0).unwrap_or(last);
    let ((from, high), (to, low)) = (CURVE[k - 1], CURVE[k]);
    (high + (low - high) * (b - from) / (to - from)).max(0.0)
}

fn table() -> Value {
    let points: Vec<Value> = CURVE.iter().map(|(h, f)| json!({ "hours": h, "fraction": f })).collect();
    json!({ "constant": null, "table": points })
}

fn exponential(start: f64, rate: f64) -> Value {
    json!({ "constant": null, "exponential": { "start": start, "rate": rate } })
}

/// Moles of every option in one trial of a room.
fn moles(options: Vec<Value>, room: Value, seed: u64) -> Vec<f64> {
    let count = options.len();
    let outcome = run(&plan(&patched(with_options(options), room)), 2, seed);
    (0..count).map(|o| outcome.life(0, o, 0).moles).collect()
}

/// Flux-hours of a lamp kept in step with this crop over 1 096 days from 2031, day by day: 20 days of 18 h at 55 % of
/// the flux, 43 days of 12 h in two windows over midnight and noon at all of it, then four dark days.
fn crop_by_quadrature(fading: &dyn Fn(f64) -> f64, every: f64) -> f64 {
    // clock hours of the windows that begin on a day, and their share of full flux
    let windows = |day: u32| match day % 67 {
        0..20 => vec![(5.5, 23.5, 0.55)],
        20..63 => vec![(11.0, 15.0, 1.0), (20.0, 28.0, 1.0)],
        _ => vec![],
    };
    let (mut lit, mut relamped, mut sum) = (0.0, 0.0, 0.0);
    for day in 0..1096 {
        for (on, off, flux) in windows(day) {
            // the horizon ends at midnight
            let hours = f64::min(off, if day == 1095 { 24.0 } else { f64::INFINITY }) - on;
            let mut at = lit;
            while at < lit + hours {
                if at >= relamped + every {
                    relamped += every;
                }
                let until = (relamped + every).min(lit + hours);
                sum += flux * integrate(&|u| fading(u - relamped), at, until, 1e-13);
                at = until;
            }
            lit += hours;
        }
    }
    sum
}

fn crop() -> Value {
    json!({ "horizon_years": 3, "photoperiod": { "turnaround_days": 4, "phases": [
        { "name": "young", "days": 20, "flux": 0.55, "power": 0.6, "lights": [{ "on": "05:30", "off": "23:30" }] },
        { "name": "old", "days": 43, "lights": [{ "on": "20:00", "off": "04:00" }, { "on": "11:00", "off": "15:00" }] }
    ] } })
}

#[test]
fn dimmed_crops_and_group_relamps_deliver_what_quadrature_says() {
    // the last is too slow and the one before too fast for the running sum over months
    let rates = [2e-5, 2.2e-4, 9e-4, 3e-8];
    for every in [1_234.5, 5_000.0] {
        let relamp = json!({ "group": { "every": every } });
        let kept =
            |fading: Value| patched(lamped("x", FOR_EVER, FOR_EVER, relamp.clone()), json!({ "maintenance": fading }));
        let mut options = vec![patched(kept(table()), json!({ "name": "table" }))];
        for rate in rates {
            options.push(patched(kept(exponential(0.97, rate)), json!({ "name": format!("rate {rate}") })));
        }
        let found = moles(options, crop(), 41);
        // the flux that is stated is that of a new lamp, so the start is divided out
        let scale = FLUX * MOL_PER_FLUX_HOUR;
        assert_close(found[0], scale * crop_by_quadrature(&curve, every), 1e-11, "table");
        for (k, rate) in rates.into_iter().enumerate() {
            let expected = scale * crop_by_quadrature(&|b| (-rate * b).exp(), every);
            assert_close(found[k + 1], expected, 1e-11, &format!("rate {rate}, group each {every} h"));
        }
    }
}

#[test]
fn lamps_that_fail_and_wait_for_the_crew_deliver_what_quadrature_says() {
    let round_the_clock = json!({ "horizon_years": 3 });
    let (b50, shape, seed) = (10_500.0, 9.0, 43);
    let rate = 4e-5;
    let dark = |relamp: Value| {
        let options = vec![lamped("probe", b50, shape, relamp)];
        run(&plan(&patched(with_options(options), round_the_clock.clone())), 2, seed).life(0, 0, 0).dark_hours
    };
    // probes on the same luck: a lamp that is never replaced tells when the first one dies, one that is replaced once
    // tells when the second does
    let first = THREE_YEARS - dark(json!({ "group": { "every": FOR_EVER, "spot_between": false } }));
    let swap = 14_000.0;
    assert!((8_000.0..swap).contains(&first), "{first}: choose another seed");
    let second = THREE_YEARS - dark(json!({ "group": { "every": swap, "spot_between": false } })) - first;
    assert!((8_000.0..THREE_YEARS - swap).contains(&second), "{second}: choose another seed");

    let days = 5.25;
    let delay = 24.0 * days;
    let found = |fading: Value| {
        let option = patched(
            lamped("kept", b50, shape, json!({ "on_failure": {} })),
            json!({ "maintenance": fading, "upkeep": { "found_after": days } }),
        );
        let outcome = run(&plan(&patched(with_options(vec![option]), round_the_clock.clone())), 2, seed);
        let life = *outcome.life(0, 0, 0);
        assert_eq!((life.failures, life.lamps_bought), (2.0, 2.0));
        assert_close(life.dark_hours, 2.0 * delay, 1e-9, "dark hours");
        life.moles
    };
    let expected = |fading: &dyn Fn(f64) -> f64| {
        let third = THREE_YEARS - first - second - 2.0 * delay;
        let lives = [first, second, third].map(|hours| integrate(fading, 0.0, hours, 1e-8));
        FLUX * MOL_PER_FLUX_HOUR * lives.iter().sum::<f64>()
    };
    assert_close(found(table()), expected(&curve), 1e-11, "table");
    assert_close(found(exponential(1.0, rate)), expected(&|b| (-rate * b).exp()), 1e-11, "exponential");
}

#[test]
fn moles_of_group_cycles_have_their_closed_form_on_both_sides_of_every_switch_of_method() {
    // five years from 2031, cut into 40 cycles; the sum over months changes its method near α·horizon = 1e-3 and 30
    let hours = 43_824.0;
    let cycles = 40.0;
    let group = json!({ "group": { "every": hours / cycles * (1.0 + 1e-13) } });
    let products = [1e-9, 9.9e-4, 1e-3 * (1.0 - 1e-9), 1e-3 * (1.0 + 1e-9), 1.01e-3, 0.7, 29.9, 30.0 * (1.0 - 1e-9)];
    let products = products.into_iter().chain([30.0 * (1.0 + 1e-9), 43.0]);
    let rates: Vec<f64> = products.map(|product| product / hours).collect();
    let options = rates
        .iter()
        .map(|&rate| {
            let option = lamped(&format!("rate {rate}"), FOR_EVER, FOR_EVER, group.clone());
            patched(option, json!({ "maintenance": exponential(1.0, rate) }))
        })
        .collect();
    let found = moles(options, json!({ "horizon_years": 5 }), 44);
    for (rate, found) in rates.into_iter().zip(found) {
        let cycle = hours / cycles;
        let expected = cycles * FLUX * MOL_PER_FLUX_HOUR * -(-rate * cycle).exp_m1() / rate;
        assert_close(found, expected, 1e-12, &format!("α·horizon {}", rate * hours));
    }
}

#[test]
fn lamps_that_fade_and_fail_at_random_deliver_the_expected_photons() {
    let file = data("photons.json");
    // the same problem with the horizon of two years (2031 and 2032) for its hours
    let hours = 17_544.0;
    let stretch = hours / number(&file, "hours");
    let b50 = LN_2 / number(&file, "hazard") * stretch;
    let fading = json!({ "fixtures": 1000, "maintenance": exponential(1.0, number(&file, "fading") / stretch) });
    let never = json!({ "group": { "every": FOR_EVER, "spot_between": false } });
    let options = vec![
        patched(lamped("until it fails", b50, 1.0, never), fading.clone()),
        patched(lamped("replaced", b50, 1.0, json!({ "on_failure": {} })), fading),
    ];
    let outcome = run(&plan(&patched(with_options(options), json!({ "horizon_years": 2 }))), 200, 45);
    for (o, key) in [(0, "until_failure"), (1, "with_replacement")] {
        let scale = 1000.0 * FLUX * MOL_PER_FLUX_HOUR * stretch;
        let (mean, error) = mean_and_error(&outcome.lives_of(o, 0, |life| life.moles / scale));
        let expected = number(&file, key);
        assert!(error < 0.002 * expected, "{key}: ± {error} does not bite");
        assert!((mean - expected).abs() < ERRORS * error, "{key}: {mean} ± {error} against {expected}");
    }
}
