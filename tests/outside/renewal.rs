//! How many lamps fail: spot replacement against the renewal function.

use std::f64::consts::LN_2;

use serde_json::json;

use super::statistics::{ERRORS, mean_and_error};
use super::{cases, data, number};
use crate::support::{lamped, option, patched, plan, run, with_options};

/// Hours of the horizon: 2031, lit round the clock.
const HORIZON: f64 = 8760.0;
const SOCKETS: f64 = 1000.0;
const TRIALS: u64 = 300;

/// An option whose lamps, of a Weibull shape, have a scale of which the horizon is `t`; they are replaced at once.
fn spot(shape: f64, t: f64) -> serde_json::Value {
    let b50 = HORIZON / t * LN_2.powf(1.0 / shape);
    let option = lamped(&format!("shape {shape}, t {t}"), b50, shape, json!({ "on_failure": {} }));
    patched(option, json!({ "fixtures": SOCKETS }))
}

/// Failures per socket of each option: mean and standard error.
fn failures(options: Vec<serde_json::Value>, seed: u64) -> Vec<(f64, f64)> {
    let count = options.len();
    let plan = plan(&patched(with_options(options), json!({ "horizon_years": 1 })));
    assert_eq!(plan.clocks[0].timeline.lit_hours, HORIZON);
    let outcome = run(&plan, TRIALS, seed);
    (0..count)
        .map(|o| {
            let per_socket: Vec<f64> = outcome.lives_of(o, 0, |life| life.failures / SOCKETS);
            mean_and_error(&per_socket)
        })
        .collect()
}

#[test]
fn spot_replacement_follows_the_weibull_renewal_function() {
    let file = data("renewal.json");
    let cases = cases(&file);
    assert_eq!(cases.len(), 35);
    let options = cases.iter().map(|case| spot(number(case, "shape"), number(case, "t"))).collect();
    for (case, (mean, error)) in cases.iter().zip(failures(options, 11)) {
        let expected = number(case, "renewals");
        assert!(error < 0.005 * expected, "{case}: a standard error of {error} does not bite");
        assert!((mean - expected).abs() < ERRORS * error, "{case}: {mean} ± {error}");
    }
}

#[test]
fn spot_replacement_does_not_follow_the_asymptote_where_that_is_wrong() {
    let file = data("renewal_asymptote.json");
    let t = number(&file, "t");
    for case in cases(&file) {
        let (mean, error) = failures(vec![spot(number(case, "shape"), t)], 12)[0];
        assert!((mean - number(case, "exact")).abs() < ERRORS * error, "{case}: {mean} ± {error}");
        assert!((mean - number(case, "line")).abs() > ERRORS * error, "{case}: {mean} ± {error}");
    }
}

#[test]
fn gear_fails_at_its_rate_and_scatters_like_a_poisson_process() {
    let gear = json!({ "failures_per_year": 0.06, "price": 0, "labour": 0 });
    let plan = plan(&with_options(vec![patched(option("bars"), json!({ "fixtures": 40, "gear": gear }))]));
    let outcome = run(&plan, 4000, 13);
    let counts = outcome.lives_of(0, 0, |life| life.failures);
    let (mean, error) = mean_and_error(&counts);
    // 40 fixtures, ten years, repaired at once: a Poisson count of mean and variance 24
    assert!((mean - 24.0).abs() < ERRORS * error, "{mean} ± {error}");
    let variance = error * error * counts.len() as f64;
    // the variance of a sample variance is (κ₄/σ⁸ + 2/(n − 1))·σ⁴ with κ₄ = σ² = 24 here
    let scatter = 24.0 * ((1.0 / 24.0 + 2.0) / counts.len() as f64).sqrt();
    assert!((variance - 24.0).abs() < ERRORS * scatter, "{variance}");
}
