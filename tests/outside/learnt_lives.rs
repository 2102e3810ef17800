//! Curves of life and steps of survival against published fits and those of other programs.

use learn::life::{Bounded, Family, Fit, SurvivalWay, Watched, fit, survival};
use serde_json::Value;

use super::{assert_close, cases, data, number};

fn numbers(from: &Value) -> Vec<f64> {
    from.as_array().unwrap().iter().map(|number| number.as_f64().unwrap()).collect()
}

fn life(age: f64, is_dead: bool) -> Watched {
    Watched { from: 0.0, seen: age, gone: if is_dead { age } else { f64::INFINITY }, count: 1 }
}

/// Lives of a file with ages of failures, and how many were taken off at one age.
fn handbook(file: &Value) -> Vec<Watched> {
    let alive = Watched { count: file["alive"].as_u64().unwrap(), ..life(number(file, "alive_at"), false) };
    numbers(&file["failed"]).into_iter().map(|age| life(age, true)).chain([alive]).collect()
}

fn fitted(lives: &[Watched], family: Family) -> Fit {
    fit(lives, family, 0.95).unwrap_or_else(|why| panic!("{why:?}"))
}

#[track_caller]
fn assert_ends(found: Bounded, expected: &Value, what: &str) {
    let expected = numbers(expected);
    assert_close(found.low.unwrap(), expected[0], 1e-6, what);
    assert_close(found.high.unwrap(), expected[1], 1e-6, what);
}

#[test]
fn the_published_fit_comes_out() {
    let file = data("life_handbook.json");
    let lives = handbook(&file);
    let (weibull, lognormal) = (fitted(&lives, Family::Weibull), fitted(&lives, Family::Lognormal));
    let printed = &file["weibull"];
    let near = |found: f64, key: &str, allowed: f64| {
        assert!((found - number(printed, key)).abs() <= allowed, "{key}: {found} against {}", printed[key]);
    };
    near(weibull.scale.value, "scale", 0.001);
    near(weibull.spread.value, "shape", 5e-5);
    near(weibull.log_likelihood, "log_likelihood", 5e-4);
    near(weibull.aic, "aic", 5e-3);
    assert!((lognormal.aic - number(&file, "lognormal_aic")).abs() <= 5e-3);
}

#[test]
fn fits_errors_and_intervals_are_those_of_twenty_digits() {
    let file = data("life_fits.json");
    for case in cases(&file) {
        let name = case["name"].as_str().unwrap();
        let ages = numbers(&case["ages"]).into_iter().zip(numbers(&case["failed"]));
        let lives: Vec<Watched> = ages.map(|(age, failed)| life(age, failed == 1.0)).collect();
        let (found, expected) = (fitted(&lives, Family::Weibull), &case["weibull"]);
        assert_close(found.scale.value, number(expected, "scale"), 1e-7, name);
        assert_close(found.spread.value, number(expected, "shape"), 1e-7, name);
        assert_close(found.b10.value, number(expected, "b10"), 1e-7, name);
        assert_close(found.log_likelihood, number(expected, "log_likelihood"), 1e-9, name);
        assert_close(found.scale.se / found.scale.value, number(expected, "se_ln_scale"), 1e-5, name);
        assert_close(found.spread.se / found.spread.value.powi(2), number(expected, "se_sigma"), 1e-5, name);
        assert_ends(found.scale, &expected["scale_95"], name);
        assert_ends(found.spread, &expected["shape_95"], name);
        let (found, expected) = (fitted(&lives, Family::Lognormal), &case["lognormal"]);
        assert_close(found.scale.value.ln(), number(expected, "mu"), 1e-7, name);
        assert_close(found.spread.value, number(expected, "sigma"), 1e-7, name);
        assert_close(found.log_likelihood, number(expected, "log_likelihood"), 1e-9, name);
        let of_log = Bounded { low: found.scale.low.map(f64::ln), high: found.scale.high.map(f64::ln), ..found.scale };
        assert_ends(of_log, &expected["mu_95"], name);
        assert_ends(found.spread, &expected["sigma_95"], name);
        // the median of a lognormal life is its scale
        assert_close(found.b50.se, found.scale.se, 1e-9, name);
        if expected["se_mu"].is_number() {
            assert_close(found.scale.se / found.scale.value, number(expected, "se_mu"), 1e-5, name);
            assert_close(found.spread.se, number(expected, "se_sigma"), 1e-5, name);
        }
    }
}

#[test]
fn another_library_keeps_the_same_fit() {
    let file = data("life_snapshot.json");
    let fits = data("life_fits.json");
    let case = cases(&fits).iter().find(|case| case["name"].as_str().unwrap().starts_with("shock")).unwrap();
    let ages = numbers(&case["ages"]).into_iter().zip(numbers(&case["failed"]));
    let lives: Vec<Watched> = ages.map(|(age, failed)| life(age, failed == 1.0)).collect();
    for (family, key) in [(Family::Weibull, "weibull"), (Family::Lognormal, "lognormal")] {
        let (found, expected) = (fitted(&lives, family), &file[key]);
        let sigma = if family == Family::Weibull { 1.0 / found.spread.value } else { found.spread.value };
        assert_close(found.scale.value.ln(), number(expected, "mu"), 5e-6, key);
        assert_close(sigma, number(expected, "sigma"), 5e-6, key);
        assert_close(found.log_likelihood, number(expected, "log_likelihood"), 5e-6, key);
        if family == Family::Weibull {
            let variance = (found.scale.se / found.scale.value).powi(2);
            assert_close(variance, number(expected, "variance_mu"), 2e-5, key);
            assert_close((found.spread.se * sigma * sigma).powi(2), number(expected, "variance_sigma"), 2e-5, key);
        }
    }
}

#[test]
fn the_steps_of_survival_come_out() {
    let file = data("life_steps.json");
    let found = survival(&handbook(&file), 0.95);
    assert_eq!(found.way, SurvivalWay::KaplanMeier);
    let expected = numbers(&file["survival"]);
    assert_eq!(found.steps.len(), expected.len());
    for (step, expected) in found.steps.iter().zip(expected) {
        assert!((step.alive - expected).abs() < 1e-12, "{step:?} against {expected}");
    }
}

#[test]
fn the_demonstrations_belief_is_that_of_another_program() {
    use decide::learn_life::{LifeLogs, LifeOrder, learn_life};
    let file = data("life_belief.json");
    let plan = crate::support::plan(&crate::support::demo());
    let believed = |log: &str| {
        let mut logs = LifeLogs::new(&["B long-life arc"]);
        logs.begin(log);
        let text = std::fs::read_to_string(crate::support::tidefall().join("records").join(log)).unwrap();
        let read = records::burn_log(text.as_bytes(), 12.0, &mut |life| logs.take(&life)).unwrap();
        logs.end(read);
        let order = LifeOrder { option: 1, hours_per_start: None, hours_per_day: 12.0, claim_h: None, draws: 1_000 };
        learn_life(&plan, &order, &logs, "0").unwrap().belief.unwrap()
    };
    let (some, none) = (believed("b-next-bay.csv"), believed("b-none-dead.csv"));
    for (found, key) in
        [(some.after_b50_h, "all"), (some.dropped_b50_h.unwrap(), "dead_only"), (none.after_b50_h, "none_dead")]
    {
        for (found, expected) in [found.p10, found.p50, found.p90].into_iter().zip(numbers(&file[key])) {
            assert_close(found, expected, 2e-3, key);
        }
    }
}
