//! Distributions of inputs: what a plan draws against distribution functions of another library, or written out here.

use plan::Plan;
use serde_json::{Value, json};
use statrs::distribution::{
    Beta, ChiSquared, ContinuousCDF, LogNormal, Normal, Triangular, Uniform, Weibull as OtherWeibull,
};

use super::statistics::distance;
use super::{assert_close, data, number};
use crate::support::{patched, plan, room};

/// Number of draws and the distance that they must keep to.
pub fn yardstick() -> (u64, f64) {
    let file = data("distance.json");
    let (draws, alpha) = (number(&file, "draws"), number(&file, "alpha"));
    let bound = ((2.0 / alpha).ln() / (2.0 * draws)).sqrt();
    assert_close(bound, number(&file, "bound"), 1e-5, "the bound as stated");
    (draws as u64, bound)
}

/// A plan whose energy price has a distribution.
fn with_price(distribution: Value) -> Plan {
    plan(&patched(
        room(),
        json!({ "contracts": [{ "name": "c", "tariff": { "energy": [{ "price": distribution }] } }] }),
    ))
}

/// What the plan draws for that price in so many trials.
fn prices(distribution: Value, draws: u64) -> Vec<f64> {
    let plan = with_price(distribution);
    let id = plan.contracts[0].prices[0];
    (0..draws).map(|trial| plan.inputs.value(id, 81, trial)).collect()
}

const Z90: f64 = 1.281_551_565_544_6;

type Cdf = Box<dyn Fn(f64) -> f64>;

/// Every continuous kind of distribution with its distribution function and one that is a little wrong.
fn kinds() -> Vec<(Value, Cdf, Cdf)> {
    let normal = |mean: f64, sd: f64| move |x: f64| Normal::new(mean, sd).unwrap().cdf(x);
    let cut = |mean: f64, sd: f64, low: f64, high: f64| {
        let phi = normal(mean, sd);
        move |x: f64| ((phi(x) - phi(low)) / (phi(high) - phi(low))).clamp(0.0, 1.0)
    };
    let lognormal =
        |median: f64, p90: f64| move |x: f64| LogNormal::new(median.ln(), (p90 / median).ln() / Z90).unwrap().cdf(x);
    let triangular = |low: f64, mode: f64, high: f64| move |x: f64| Triangular::new(low, high, mode).unwrap().cdf(x);
    let uniform = |low: f64, high: f64| move |x: f64| Uniform::new(low, high).unwrap().cdf(x);
    // low 1, mode 2, high 5: beta with 2 and 4, whose distribution function is a sum of binomial terms
    let pert = |x: f64| {
        let y: f64 = (x - 1.0) / 4.0;
        [(10.0, 2), (10.0, 3), (5.0, 4), (1.0, 5)].iter().map(|(c, j)| c * y.powi(*j) * (1.0 - y).powi(5 - j)).sum()
    };
    let pert_like = |x: f64| Beta::new(2.2, 4.0).unwrap().cdf((x - 1.0) / 4.0);
    // two halves of a normal on the logarithm, or on the value itself when the low point is not positive
    let standard = normal(0.0, 1.0);
    let halves = move |steps: (f64, f64), off: f64| standard(off / if off < 0.0 { steps.0 } else { steps.1 } * Z90);
    let on_log =
        move |p10: f64, p50: f64, p90: f64| move |x: f64| halves(((p50 / p10).ln(), (p90 / p50).ln()), (x / p50).ln());
    vec![
        (
            json!({ "normal": { "mean": 100, "sd": 9 } }),
            Box::new(normal(100.0, 9.0)) as Cdf,
            Box::new(normal(100.0, 9.8)) as Cdf,
        ),
        (
            json!({ "truncated_normal": { "mean": 2, "sd": 3, "low": 0, "high": 4 } }),
            Box::new(cut(2.0, 3.0, 0.0, 4.0)),
            Box::new(cut(2.0, 2.0, 0.0, 4.0)),
        ),
        (
            json!({ "truncated_normal": { "mean": 2, "sd": 0.5, "low": 3, "high": 9 } }),
            Box::new(cut(2.0, 0.5, 3.0, 9.0)),
            Box::new(cut(2.0, 0.5, 3.01, 9.0)),
        ),
        (
            json!({ "lognormal": { "median": 17_000, "p90": 24_970 } }),
            Box::new(lognormal(17_000.0, 24_970.0)),
            Box::new(lognormal(17_000.0, 26_000.0)),
        ),
        (
            json!({ "triangular": { "low": 1, "mode": 2, "high": 5 } }),
            Box::new(triangular(1.0, 2.0, 5.0)),
            Box::new(triangular(1.0, 2.1, 5.0)),
        ),
        (json!({ "pert": { "low": 1, "mode": 2, "high": 5 } }), Box::new(pert), Box::new(pert_like)),
        (json!({ "uniform": { "low": 3, "high": 8 } }), Box::new(uniform(3.0, 8.0)), Box::new(uniform(3.0, 8.2))),
        (
            json!({ "elicited": { "p10": 11_600, "p50": 17_000, "p90": 24_900 } }),
            Box::new(on_log(11_600.0, 17_000.0, 24_900.0)),
            Box::new(on_log(11_600.0, 17_000.0, 26_000.0)),
        ),
    ]
}

#[test]
fn every_kind_of_distribution_is_drawn_as_stated_and_not_as_something_near_it() {
    let (draws, bound) = yardstick();
    for (stated, right, wrong) in kinds() {
        let values = prices(stated.clone(), draws);
        let off = distance(values.clone(), right);
        assert!(off < bound, "{stated}: off by {off}, allowed {bound}");
        let off = distance(values, wrong);
        assert!(off > bound, "{stated}: another distribution lies only {off} away");
    }
}

/// χ² of counts against the shares that are expected.
fn chi_squared(values: &[f64], expected: &[(f64, f64)]) -> f64 {
    let n = values.len() as f64;
    let count = |x: f64| values.iter().filter(|value| **value == x).count() as f64;
    assert_eq!(expected.iter().map(|(x, _)| count(*x)).sum::<f64>(), n, "a value that nobody stated");
    expected.iter().map(|(x, share)| (count(*x) - n * share).powi(2) / (n * share)).sum()
}

#[test]
fn a_few_values_are_drawn_by_their_weights() {
    let (draws, _) = yardstick();
    let points = json!([
        { "value": 4, "weight": 1 }, { "value": 1, "weight": 5 },
        { "value": 9, "weight": 0 }, { "value": 2.5, "weight": 2 }
    ]);
    let values = prices(json!({ "discrete": points }), draws);
    let critical = ChiSquared::new(2.0).unwrap().inverse_cdf(0.999);
    let found = chi_squared(&values, &[(4.0, 0.125), (1.0, 0.625), (2.5, 0.25)]);
    assert!(found < critical, "{found}, allowed {critical}");
    let found = chi_squared(&values, &[(4.0, 0.14), (1.0, 0.61), (2.5, 0.25)]);
    assert!(found > critical, "other weights give only {found}");
}

#[test]
fn a_belief_goes_through_its_three_points() {
    for points in [[11_600.0, 17_000.0, 24_900.0], [0.5, 6.0, 12.0]] {
        let [p10, p50, p90] = points;
        let plan = with_price(json!({ "elicited": { "p10": p10, "p50": p50, "p90": p90 } }));
        let input = plan.inputs.at(plan.contracts[0].prices[0]);
        for (share, value) in [(0.1, p10), (0.5, p50), (0.9, p90)] {
            assert_close(input.quantile(share), value, 1e-12, &format!("{share} of {points:?}"));
        }
    }
}

#[test]
fn lamp_lives_have_their_weibull_distribution_and_a_near_shape_is_told_apart() {
    let (draws, bound) = yardstick();
    for (b50, shape, other) in [(9_500.0, 3.2, 3.0), (17_000.0, 3.0, 3.2), (800.0, 0.8, 0.85), (5_000.0, 1.0, 1.07)] {
        let mut luck = vec![0.0; draws as usize];
        let mut lives = luck.clone();
        draws::fill_gumbel(draws::Stream::new(82, draws::Purpose::LampLife, 0, 3), 0, &mut luck);
        let life = lamp::Weibull::from_b50(b50, shape).unwrap();
        draws::fill_lives(&luck, life.scale(), life.inverse_shape(), &mut lives);
        // scale from the median, written out: S(b50) = 1/2
        let cdf = |shape: f64| {
            let scale = b50 / std::f64::consts::LN_2.powf(1.0 / shape);
            let other = OtherWeibull::new(shape, scale).unwrap();
            move |x: f64| other.cdf(x)
        };
        let off = distance(lives.clone(), cdf(shape));
        assert!(off < bound, "shape {shape}: off by {off}, allowed {bound}");
        let off = distance(lives, cdf(other));
        assert!(off > bound, "shape {shape} is not told from {other}: {off}, bound {bound}");
    }
}
