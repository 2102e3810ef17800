//! Prices that move over the years: part by part, by tables, at random; bounds and percentages never move.

use serde_json::{Value, json};

use super::assert_close;
use crate::support::{option, patched, plan, run, with_options};

/// One kilowatt lit round the clock for so many years from 1 March 2031, under a contract.
fn room(years: u32, contract: Value) -> Value {
    let contract = patched(json!({ "name": "c" }), contract);
    patched(
        with_options(vec![option("x")]),
        json!({ "start": "2031-03-01", "horizon_years": years, "contracts": [contract] }),
    )
}

fn total(scenario: &Value) -> f64 {
    run(&plan(scenario), 2, 1).cell(0, 0, 0).total
}

/// Hours of each year from a first of March.
const HOURS: [f64; 4] = [8784.0, 8760.0, 8760.0, 8760.0];

#[test]
fn each_part_rises_on_its_own_from_anniversary_to_anniversary() {
    let tariff = json!({
        "energy": [{ "price": 0.1 }],
        "riders": [{ "price": 0.01 }],
        "demand": [{ "price": 5 }],
        "fixed": [{ "price": 20, "each": "month" }]
    });
    let path = json!({
        "energy": { "rise": 0.05 }, "riders": { "rise": -0.1 }, "demand": { "levels": [1, 1.5, 1.5, 2] },
        "fixed": { "rise": 0.02 }
    });
    let found = total(&room(4, json!({ "tariff": tariff, "price_path": path })));
    let expected: f64 = (0..4)
        .map(|year| {
            let y = year as i32;
            HOURS[year] * (0.1 * 1.05f64.powi(y) + 0.01 * 0.9f64.powi(y))
                + 12.0 * 5.0 * [1.0, 1.5, 1.5, 2.0][year]
                + 12.0 * 20.0 * 1.02f64.powi(y)
        })
        .sum();
    assert_close(found, expected, 1e-12, "four years");
}

#[test]
fn a_step_in_january_comes_ten_months_after_a_start_in_march() {
    let path = json!({ "step": "january", "energy": { "levels": [1, 2, 3] } });
    let found = total(&room(2, json!({ "tariff": { "energy": [{ "price": 0.1 }] }, "price_path": path })));
    // March to December 2031, then 2032 with its leap day, then January and February 2033
    let expected = 0.1 * (306.0 * 24.0 + 2.0 * 366.0 * 24.0 + 3.0 * 59.0 * 24.0);
    assert_close(found, expected, 1e-12, "two years");
}

#[test]
fn bounds_and_percentages_stay() {
    let blocks = json!([{ "up_to": 500, "price": 0.1 }, { "price": 0.2 }]);
    let tariff = json!({
        "energy": [{ "blocks": blocks }],
        "demand": [{ "price": 3, "minimum_kw": 4 }],
        "percent": [{ "share": 0.05, "on": ["energy"] }]
    });
    let path = json!({ "energy": { "rise": 1 }, "demand": { "rise": 0.5 } });
    let found = total(&room(2, json!({ "tariff": tariff, "price_path": path })));
    let energy = |hours: f64| 12.0 * 500.0 * 0.1 + (hours - 6000.0) * 0.2;
    let demand = 12.0 * 4.0 * 3.0;
    let expected = 1.05 * (energy(HOURS[0]) + 2.0 * energy(HOURS[1])) + demand * 2.5;
    assert_close(found, expected, 1e-12, "two years");
}

#[test]
fn nominal_paths_take_no_inflation_on_top() {
    let money = json!({ "money": { "basis": "nominal", "discount_rate": 0, "inflation": 0.1 } });
    let with = |path: Value| {
        let contract = json!({ "tariff": { "energy": [{ "price": 0.1 }] }, "price_path": path });
        total(&patched(room(1, contract), money.clone()))
    };
    assert_close(with(json!({ "basis": "nominal" })), 0.1 * HOURS[0], 1e-12, "nominal");
    assert!(with(json!({})) > 1.04 * 0.1 * HOURS[0], "beyond inflation");
}

/// Logarithm of the second and of the last year's level in each of some trials.
fn levels(market: Value, years: u32, trials: u64) -> (Vec<f64>, Vec<f64>) {
    let path = json!({ "market": market });
    let plan = plan(&room(years, json!({ "tariff": { "energy": [{ "price": 1 }] }, "price_path": path })));
    (0..trials)
        .map(|trial| {
            let levels = engine::levels_by_year(&plan, &plan.contracts[0], &plan.inputs.draw(3, trial), 3, trial);
            assert_eq!(levels[0], [1.0; 4], "the first year is as written");
            assert!(levels.iter().all(|level| level.iter().all(|part| *part == level[0])), "all parts move");
            (levels[1][0].ln(), levels[years as usize - 1][0].ln())
        })
        .unzip()
}

fn mean_and_sd(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    (mean, (values.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt())
}

#[test]
fn yearly_steps_have_the_stated_drift_and_volatility() {
    let (one, ten) = levels(json!({ "yearly_steps": { "drift": 0.0175, "volatility": 0.03 } }), 11, 4000);
    // four standard errors of a mean and of a standard deviation over 4 000 normal numbers
    for (values, years) in [(one, 1.0f64), (ten, 10.0)] {
        let (mean, sd) = mean_and_sd(&values);
        let expected = 0.03 * years.sqrt();
        assert!((mean - 0.0175 * years).abs() < 4.0 * expected / 4000f64.sqrt(), "{mean} after {years} years");
        assert!((sd / expected - 1.0).abs() < 4.0 / 8000f64.sqrt(), "{sd} after {years} years");
    }
}

#[test]
fn an_uncertain_drift_widens_the_years_to_come() {
    let drift = json!({ "normal": { "mean": 0.0175, "sd": 0.007 } });
    let (_, ten) = levels(json!({ "yearly_steps": { "drift": drift, "volatility": 0.03 } }), 11, 4000);
    // variance 10·0.03² + 10²·0.007²: ignorance of the drift adds up, luck averages out
    let expected = (10.0 * 0.03f64.powi(2) + 100.0 * 0.007f64.powi(2)).sqrt();
    let (_, sd) = mean_and_sd(&ten);
    assert!((sd / expected - 1.0).abs() < 4.0 / 8000f64.sqrt(), "{sd} against {expected}");
}

#[test]
fn a_block_bootstrap_takes_following_years_of_its_history() {
    // steps of log 2, log 3, log 5 and log 7: every product names its factors
    let prices: Vec<f64> = vec![1.0, 2.0, 6.0, 30.0, 210.0];
    let history = |block: u32| json!({ "history": { "block_years": block, "prices": { "source": "invented", "first_year": 2001, "prices": prices } } });
    let steps = [2.0f64, 3.0, 5.0, 7.0];
    let (one, two) = levels(history(2), 3, 2000);
    let mut seen = [0; 4];
    for (one, two) in one.iter().zip(&two) {
        let first = steps.iter().position(|step| (step.ln() - one).abs() < 1e-12).expect("a step of the history");
        // the history's end is joined to its beginning
        let second = steps[(first + 1) % 4];
        assert!((two - one - second.ln()).abs() < 1e-12, "the step after it");
        seen[first] += 1;
    }
    // each of four beginnings: 500 ± four standard deviations of a binomial count
    assert!(seen.iter().all(|&n| (n as f64 - 500.0).abs() < 4.0 * (2000.0f64 * 0.25 * 0.75).sqrt()), "{seen:?}");
    // one step at a time, the second owes nothing to the first
    let (one, two) = levels(history(1), 3, 2000);
    let again = one.iter().zip(&two).filter(|(one, two)| (*two - 2.0 * *one).abs() < 1e-12).count();
    assert!((again as f64 - 500.0).abs() < 4.0 * (2000.0f64 * 0.25 * 0.75).sqrt(), "{again}");
}

#[test]
fn all_contracts_see_the_same_market_and_only_the_parts_that_move_do() {
    let market = |moves: Value| {
        json!({ "tariff": { "energy": [{ "price": 0.1 }], "demand": [{ "price": 10 }] },
                "price_path": { "market": { "yearly_steps": { "drift": 0, "volatility": 0.1 }, "moves": moves } } })
    };
    let mut scenario = room(3, market(json!(["energy"])));
    let mut second = market(json!(["energy"]));
    second["name"] = json!("d");
    scenario["contracts"].as_array_mut().unwrap().push(second);
    let plan = plan(&scenario);
    let outcome = run(&plan, 50, 1);
    for trial in 0..50 {
        assert_eq!(outcome.cell(trial, 0, 0), outcome.cell(trial, 0, 1));
        let levels =
            engine::levels_by_year(&plan, &plan.contracts[0], &plan.inputs.draw(1, trial as u64), 1, trial as u64);
        assert!(levels[2][0] != 1.0 && levels[2][2] == 1.0);
        let expected: f64 = (0..3).map(|y| 0.1 * HOURS[y] * levels[y][0] + 120.0).sum();
        assert_close(outcome.cell(trial, 0, 0).total, expected, 1e-12, "a trial");
    }
}
