//! Lamp by lamp: the lives and the outputs that the engine itself gives its lamps, as their dark hours and moles tell.

use serde_json::{Value, json};
use statrs::distribution::{ContinuousCDF, LogNormal, Weibull};

use super::samplers::yardstick;
use super::statistics::{ERRORS, distance, mean_and_error};
use crate::support::{lamped, option, patched, plan, run, with_options};

/// Hours of 2031 to 2040.
const TEN_YEARS: f64 = 87_672.0;

/// Lives in burn hours of single lamps that are never replaced, one a trial, from their dark hours.
fn lives(lamp: Value, seed: u64, count: u64) -> Vec<f64> {
    let never = json!({ "group": { "every": 1_000_000, "spot_between": false } });
    let plan = plan(&with_options(vec![patched(lamped("x", 9_500.0, 3.2, never), json!({ "lamp": lamp }))]));
    assert_eq!(plan.clocks[0].timeline.lit_hours, TEN_YEARS);
    let outcome = run(&plan, count, seed);
    outcome.lives_of(0, 0, |life| {
        assert_eq!(life.failures, 1.0);
        TEN_YEARS - life.dark_hours
    })
}

fn wear_out(x: f64) -> f64 {
    Weibull::new(3.2, 9_500.0 / std::f64::consts::LN_2.powf(1.0 / 3.2)).unwrap().sf(x)
}

#[test]
fn lamps_in_a_run_live_by_their_weibull_distribution() {
    let (draws, bound) = yardstick();
    let off = distance(lives(json!({}), 91, draws), |x| 1.0 - wear_out(x));
    assert!(off < bound, "off by {off}, allowed {bound}");
}

#[test]
fn early_failures_and_wear_out_are_competing_risks() {
    let (draws, bound) = yardstick();
    let lives = lives(json!({ "life": { "early": { "share": 0.08, "within": 6_000 } } }), 92, draws);
    // alive at x: worn out by then it is not, and it is not among the share of early ones that have failed so far; all
    // causes together leave half alive at the rated 9 500 h, so wear-out leaves 0.5/(1 − share) alive then
    let cdf = |share: f64| {
        move |x: f64| {
            let worn = (0.5 / (1.0 - share)).powf((x / 9_500.0).powf(3.2));
            1.0 - worn * (1.0 - share * (x / 6_000.0).min(1.0))
        }
    };
    let off = distance(lives.clone(), cdf(0.08));
    assert!(off < bound, "off by {off}, allowed {bound}");
    assert!(distance(lives, cdf(0.05)) > bound, "another share of early failures is not told apart");
}

#[test]
fn initial_output_is_lognormal_with_the_stated_mean_and_spread() {
    let (draws, bound) = yardstick();
    let light = json!({ "light": { "lamp_to_lamp": 0.04 } });
    let plan = plan(&patched(with_options(vec![patched(option("x"), light)]), json!({ "horizon_years": 1 })));
    let outcome = run(&plan, draws, 93);
    // one lamp of 1 000 µmol/s on average, lit for the 8 760 h of 2031
    let outputs = outcome.lives_of(0, 0, |life| life.moles / (0.0036 * 1000.0 * 8760.0));
    // mean 1 and standard deviation s: σ² = ln(1 + s²), μ = −σ²/2
    let cdf = |spread: f64| {
        let variance = (1.0 + spread * spread).ln();
        let output = LogNormal::new(-0.5 * variance, variance.sqrt()).unwrap();
        move |x: f64| output.cdf(x)
    };
    let off = distance(outputs.clone(), cdf(0.04));
    assert!(off < bound, "off by {off}, allowed {bound}");
    assert!(distance(outputs, cdf(0.045)) > bound, "another spread is not told apart");
}

/// Asserts that a sample of counts or sums has a variance, within the scatter of a sample variance: σ²·√((κ − 1)/n),
/// where κ is the kurtosis.
fn assert_variance(values: &[f64], variance: f64, kurtosis: f64, what: &str) {
    let n = values.len() as f64;
    let (_, error) = mean_and_error(values);
    let off = error * error * n / variance - 1.0;
    assert!(off.abs() < ERRORS * ((kurtosis - 1.0) / n).sqrt(), "{what}: variance off by {off}");
}

#[test]
fn every_lamp_of_a_room_has_luck_of_its_own() {
    // what neighbours shared would add up instead of averaging out: the variance of a sum over lamps would be too large
    let trials = 4000;
    let year = |lamps: Value| {
        let room = patched(with_options(vec![lamps]), json!({ "horizon_years": 1 }));
        run(&plan(&room), trials, 94)
    };
    let never = json!({ "group": { "every": 1_000_000, "spot_between": false } });
    let spread = json!({ "fixtures": 16, "light": { "lamp_to_lamp": 0.04 } });
    let outputs =
        year(patched(option("x"), spread)).lives_of(0, 0, |life| life.moles / (16.0 * 0.0036 * 1000.0 * 8760.0));
    assert_variance(&outputs, 0.04 * 0.04 / 16.0, 3.01, "mean output of sixteen lamps");

    // early failures among fifty lamps that do not wear out: binomial
    let early = json!({ "fixtures": 50, "lamp": { "life": { "early": { "share": 0.2, "within": 1_000 } } } });
    let early = year(patched(lamped("x", 1e6, 100.0, never), early)).lives_of(0, 0, |life| life.failures);
    assert_variance(&early, 50.0 * 0.2 * 0.8, 3.0, "early failures of fifty lamps");

    // lives without memory, five or hundreds of them a year in each of eight sockets: Poisson counts
    for a_year in [5.0, 300.0] {
        let b50 = 8760.0 / a_year * std::f64::consts::LN_2;
        let lamps = patched(lamped("x", b50, 1.0, json!({ "on_failure": {} })), json!({ "fixtures": 8 }));
        let counts = year(lamps).lives_of(0, 0, |life| life.failures);
        assert_variance(&counts, 8.0 * a_year, 3.03, &format!("failures, {a_year} a year and socket"));
        let (mean, error) = mean_and_error(&counts);
        assert!((mean - 8.0 * a_year).abs() < ERRORS * error, "{mean} ± {error}");
    }
}
