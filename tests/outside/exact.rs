//! The crate `renewal`, which has no luck, against the theory of renewal and replacement.
//!
//! Where a data file's own tolerance speaks of a simulation, the tolerance stands here with its reason.

use renewal::{
    Best, Costs, Expected, Goal, Lamp, LongRun, Planned, Policy, Renewal, Search, best_interval, expect, spares,
};
use serde_json::Value;
use statrs::distribution::{DiscreteCDF, Poisson};

use super::{assert_close, cases, data, number};

const SPOT: Planned = Planned::Group { spot_between: true };
const DARK: Planned = Planned::Group { spot_between: false };

/// Costs of a planned replacement 1 and a failure, and nothing else.
fn lamps_only(failure: f64) -> Costs {
    Costs { failure, planned: 1.0, running: 0.0, standing: 0.0, first: 0.0, discount: 0.0 }
}

fn weibull(shape: f64) -> impl Fn(f64) -> f64 {
    move |age| (-age.powf(shape)).exp()
}

/// A lamp without kinks.
fn lamp<'a>(survival: &'a dyn Fn(f64) -> f64, light: &'a dyn Fn(f64) -> f64) -> Lamp<'a> {
    Lamp { survival, light, survival_kinks: &[], light_kinks: &[] }
}

/// The best interval of a lamp of scale 1 with constant light.
fn best_of(shape: f64, costs: &Costs, planned: Planned) -> Best {
    let search = Search { shortest: 0.02, longest: 3.0, within: 0.01 };
    best_interval(&lamp(&weibull(shape), &|_| 1.0), costs, planned, Goal::PerHour, &search).unwrap()
}

#[test]
fn the_renewal_function_and_its_density_come_out() {
    for case in cases(&data("renewal_function.json")) {
        let renewal = Renewal::new(&weibull(number(case, "shape")), &[], 0.0, 3.0).unwrap();
        assert_close(renewal.count(number(case, "t")), number(case, "renewals"), 1e-9, &case.to_string());
    }
    for case in cases(&data("renewal_density.json")) {
        let renewal = Renewal::new(&weibull(number(case, "shape")), &[], 0.0, 3.0).unwrap();
        assert_close(renewal.density(number(case, "t")), number(case, "density"), 1e-8, &case.to_string());
    }
    let file = data("renewal_asymptote.json");
    for case in cases(&file) {
        let t = number(&file, "t");
        let renewal = Renewal::new(&weibull(number(case, "shape")), &[], 0.0, t).unwrap();
        assert_close(renewal.count(t), number(case, "exact"), 1e-9, &case.to_string());
    }
}

#[test]
fn closed_renewal_functions_come_out() {
    let file = data("renewal_closed.json");
    let erlang = Renewal::new(&|age| (1.0 + age) * (-age).exp(), &[], 0.0, 5.0).unwrap();
    for case in file["erlang"].as_array().unwrap() {
        assert_close(erlang.count(number(case, "t")), number(case, "renewals"), 1e-9, &case.to_string());
    }
    let uniform = Renewal::new(&|age| (1.0 - age).max(0.0), &[1.0], 0.0, 2.0).unwrap();
    for case in file["uniform"].as_array().unwrap() {
        assert_close(uniform.count(number(case, "t")), number(case, "renewals"), 1e-12, &case.to_string());
    }
}

#[test]
fn the_mean_of_renewals_nears_the_line_in_the_long_run_and_not_before() {
    // mean and second moment of a Weibull life of shape 2: √π/2 and 1; at 50 lives M(t) − (t/μ + μ₂/(2μ²) − 1) is gone
    let mean = 0.5 * std::f64::consts::PI.sqrt();
    let t = 50.0 * mean;
    let renewal = Renewal::new(&weibull(2.0), &[], 0.0, t).unwrap();
    assert_close(renewal.count(t), t / mean + 0.5 / (mean * mean) - 1.0, 1e-10, "shape 2 at 50 mean lives");
    assert_close(renewal.density(t), 1.0 / mean, 1e-8, "density at 50 mean lives");
}

/// The values have 12 digits. The cost curve is smooth, so that its slope is 0 within 1e-9 of the best interval, even for
/// shape 1.5 and ratio 2, where planned replacement gains 0.2 % only.
const INTERVAL: f64 = 1e-9;

/// The values have 12 digits, and at the best interval the cost is flat.
const COST: f64 = 1e-10;

#[test]
fn best_ages_come_out() {
    for case in cases(&data("age_replacement.json")) {
        let best = best_of(number(case, "shape"), &lamps_only(number(case, "failure")), Planned::ByAge);
        assert_close(best.interval, number(case, "age"), INTERVAL, &case.to_string());
        assert_close(best.cost, number(case, "rate"), COST, &case.to_string());
    }
    let file = data("age_published.json");
    let [shape, scale, failure, age, rate] = ["shape", "scale", "failure", "age", "rate"].map(|key| number(&file, key));
    let survival = |age: f64| (-(age / scale).powf(shape)).exp();
    let search = Search { shortest: 0.01 * scale, longest: 5.0 * scale, within: 0.01 };
    let lamp_of_hours = lamp(&survival, &|_| 1.0);
    let best = best_interval(&lamp_of_hours, &lamps_only(failure), Planned::ByAge, Goal::PerHour, &search).unwrap();
    assert_close(best.interval, age, INTERVAL, "published");
    assert_close(best.cost, rate, COST, "published");
}

#[test]
fn the_best_age_of_a_uniform_life_comes_out() {
    let file = data("age_uniform.json");
    let survival = |age: f64| (1.0 - age).max(0.0);
    let uniform = Lamp { survival_kinks: &[1.0], ..lamp(&survival, &|_| 1.0) };
    let search = Search { shortest: 0.01, longest: 1.5, within: 0.01 };
    let costs = lamps_only(number(&file, "failure"));
    let best = best_interval(&uniform, &costs, Planned::ByAge, Goal::PerHour, &search).unwrap();
    assert_close(best.interval, number(&file, "age"), 1e-9, "age");
    assert_close(best.cost, number(&file, "rate"), 1e-12, "rate");
}

#[test]
fn best_ages_with_discounting_come_out() {
    for case in cases(&data("age_discounted.json")) {
        let costs = Costs { discount: number(case, "discount"), ..lamps_only(number(case, "failure")) };
        let best = best_of(number(case, "shape"), &costs, Planned::ByAge);
        assert_close(best.interval, number(case, "age"), 1e-8, &case.to_string());
        let survival = weibull(number(case, "shape"));
        let long_run = LongRun::new(&lamp(&survival, &|_| 1.0), &costs, Planned::ByAge, 3.0).unwrap();
        assert_close(long_run.at(best.interval).total, number(case, "total"), 1e-10, &case.to_string());
    }
}

#[test]
fn best_group_intervals_come_out_and_are_dearer_than_best_ages() {
    for case in cases(&data("block_replacement.json")) {
        let (shape, costs) = (number(case, "shape"), lamps_only(number(case, "failure")));
        let best = best_of(shape, &costs, SPOT);
        assert_close(best.interval, number(case, "interval"), INTERVAL, &case.to_string());
        assert_close(best.cost, number(case, "rate"), COST, &case.to_string());
        assert!(best.cost > best_of(shape, &costs, Planned::ByAge).cost);
        // what a group costs in the long run is what a socket lives through, interval by interval
        let dates: Vec<f64> = (1..4).map(|k| f64::from(k) * best.interval).collect();
        let horizon = 4.0 * best.interval;
        let survival = weibull(shape);
        let policy = Policy::Group { dates, spot_between: true };
        let lived = expect(&lamp(&survival, &|_| 1.0), 0.0, &policy, horizon, &[horizon]).unwrap()[0];
        let cost = (lived.planned + 1.0 + costs.failure * lived.failures) / horizon;
        assert_close(cost, best.cost, COST, &case.to_string());
    }
}

#[test]
fn economic_lives_come_out() {
    let never_fails = |_: f64| 1.0;
    for case in cases(&data("economic_life.json")) {
        let [kappa, x, rate] = ["kappa", "x", "rate"].map(|key| number(case, key));
        let costs = Costs { failure: 0.0, planned: kappa, running: 1.0, standing: 0.0, first: 0.0, discount: 0.0 };
        let search = Search { shortest: 1e-3, longest: 10.0, within: 0.01 };
        for planned in [SPOT, DARK, Planned::ByAge] {
            let fading = lamp(&never_fails, &|age| (-age).exp());
            let best = best_interval(&fading, &costs, planned, Goal::PerFluxHour, &search).unwrap();
            assert_close(best.interval, x, INTERVAL, &case.to_string());
            assert_close(best.cost, rate, COST, &case.to_string());
        }
    }
    let fading = |rate: f64| move |age: f64| (-rate * age).exp();
    let search = Search { shortest: 100.0, longest: 400_000.0, within: 0.01 };
    for case in cases(&data("economic_life_hours.json")) {
        let [set, running, rate] = ["set", "running", "fading"].map(|key| number(case, key));
        let costs = Costs { failure: 0.0, planned: set, running, standing: 0.0, first: 0.0, discount: 0.0 };
        let light = fading(rate);
        let best = best_interval(&lamp(&never_fails, &light), &costs, SPOT, Goal::PerFluxHour, &search).unwrap();
        assert_close(best.interval, number(case, "interval"), INTERVAL, &case.to_string());
        // an hour at full flux holds 0.0036 · flux moles
        assert_close(best.cost / (0.0036 * number(case, "flux")), number(case, "per_mol"), COST, &case.to_string());
    }
    let file = data("block_discounted.json");
    let [set, running, rate, discount] = ["set", "running", "fading", "discount"].map(|key| number(&file, key));
    let costs = Costs { failure: 0.0, planned: set, running, standing: 0.0, first: set, discount };
    for planned in [SPOT, DARK, Planned::ByAge] {
        let light = fading(rate);
        let best = best_interval(&lamp(&never_fails, &light), &costs, planned, Goal::PerFluxHour, &search).unwrap();
        assert_close(best.interval, number(&file, "interval"), 5e-9, "discounted");
        assert_close(best.cost, running * (rate * best.interval).exp(), 1e-11, "discounted");
    }
}

/// What one socket lives through up to a moment.
fn lived(lamp: &Lamp, first_age: f64, policy: &Policy, t: f64) -> Expected {
    expect(lamp, first_age, policy, t, &[t]).unwrap()[0]
}

#[test]
fn photons_of_exponential_lives_come_out() {
    let file = data("photons.json");
    let [hazard, fading, hours] = ["hazard", "fading", "hours"].map(|key| number(&file, key));
    let (survival, light) = (|age: f64| (-hazard * age).exp(), |age: f64| (-fading * age).exp());
    let lamp = lamp(&survival, &light);
    let dark = Policy::Group { dates: vec![], spot_between: false };
    // both are closed forms of exponentials, which the panels take for polynomials
    assert_close(lived(&lamp, 0.0, &dark, hours).flux_hours, number(&file, "until_failure"), 1e-11, "until failure");
    let spot = lived(&lamp, 0.0, &Policy::OnFailure, hours).flux_hours;
    assert_close(spot, number(&file, "with_replacement"), 1e-11, "with replacement");
}

#[test]
fn what_is_left_of_a_lamp_comes_out() {
    let dark = Policy::Group { dates: vec![], spot_between: false };
    for case in cases(&data("renewal_residual.json")) {
        let survival = weibull(number(case, "shape"));
        let lamp = lamp(&survival, &|_| 1.0);
        let age = number(case, "age");
        assert_close(lived(&lamp, age, &dark, 150.0).lit_hours, number(case, "mean"), 1e-9, &case.to_string());
        let half = lived(&lamp, age, &dark, number(case, "median")).failures;
        // 12 digits of the median; the hazard there is below 30
        assert_close(half, 0.5, 1e-10, &case.to_string());
    }
}

#[test]
fn stocks_of_spares_come_out() {
    let file = data("renewal_spares.json");
    let list = |from: &Value| from.as_array().unwrap().clone();
    for case in cases(&file) {
        for (service, stock) in list(&file["services"]).iter().zip(list(&case["stock"])) {
            let found = spares(number(case, "mean"), service.as_f64().unwrap()).unwrap();
            assert_eq!(Some(found), stock.as_u64(), "{case} at {service}");
        }
    }
    for key in ["next_below", "next_above"] {
        let case = &file[key];
        let demand = Poisson::new(number(case, "mean")).unwrap();
        assert_close(demand.cdf(case["stock"].as_u64().unwrap()), number(case, "share"), 1e-12, key);
    }
}
