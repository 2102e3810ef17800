//! The crate `choice` against closed forms, worked examples and statistics packages.

use choice::dominance::{Verdict, Which, compare, excess, lognormal_excess};
use choice::information::{Belief, Truths, discrete, unit_normal_loss};
use choice::interval::{harrell_davis, lognormal_tail, normal_tail, quantile, quantile_interval, ranks, tail_mean};
use choice::{Estimate, Table};
use draws::{Purpose, Stream, standard_normal};
use serde_json::Value;

use super::statistics::ERRORS;
use super::{assert_close, cases, data, number};

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect()
}

/// A sample of a normal distribution.
fn normals(mean: f64, sd: f64, item: u64) -> Vec<f64> {
    let luck = Stream::new(91, Purpose::Shared, item, 0);
    (0..40_000).map(|k| mean + sd * standard_normal(luck.uniform(k))).collect()
}

fn lognormals(mu: f64, sigma: f64, item: u64) -> Vec<f64> {
    normals(mu, sigma, item).into_iter().map(f64::exp).collect()
}

#[track_caller]
fn assert_within(found: Estimate, expected: f64, what: &str) {
    assert!((found.value - expected).abs() < ERRORS * found.se, "{what}: {found:?} against {expected}");
}

#[test]
fn ranks_that_enclose_a_quantile_are_those_of_the_binomial_distribution() {
    let file = data("choice_ranks.json");
    for case in cases(&file) {
        let n = number(case, "n") as usize;
        let found = ranks(n, number(case, "p"), number(&file, "confidence")).unwrap();
        assert_eq!([found.low as f64, found.high as f64], ["low", "high"].map(|key| number(case, key)), "{case}");
        assert!((found.coverage - number(case, "coverage")).abs() < 1e-9, "{case}: {}", found.coverage);
    }
}

#[test]
fn intervals_of_quantiles_cover_as_often_as_they_say() {
    let (samples, n, p) = (4000, 60, 0.8);
    let mut covered = 0.0;
    let mut coverage = 0.0;
    for sample in 0..samples {
        let luck = Stream::new(92, Purpose::Shared, 0, sample);
        let values: Vec<f64> = (0..n).map(|k| luck.uniform(k)).collect();
        let interval = quantile_interval(&values, p, 0.9).unwrap();
        covered += f64::from(u8::from((interval.low..interval.high).contains(&p)));
        coverage = interval.coverage;
    }
    let error = (coverage * (1.0 - coverage) / samples as f64).sqrt();
    assert!((covered / samples as f64 - coverage).abs() < ERRORS * error, "{covered} of {samples} for {coverage}");
    assert!((0.9..0.95).contains(&coverage));
}

#[test]
fn harrell_davis_quantiles_and_their_errors_come_out() {
    let file = data("choice_harrell_davis.json");
    let values = numbers(&file["data"]);
    for case in cases(&file) {
        let found = harrell_davis(&values, number(case, "p")).unwrap();
        assert_close(found.value, number(case, "value"), 1e-9, &case.to_string());
        assert_close(found.jackknife_sd, number(case, "jackknife_sd"), 1e-9, &case.to_string());
        assert_close(found.maritz_jarrett_se.unwrap(), number(case, "maritz_jarrett_se"), 1e-9, &case.to_string());
    }
    let file = data("quantiles.json");
    for case in cases(&file) {
        let found = quantile(&numbers(&file["data"]), number(case, "p")).unwrap();
        assert_close(found, number(case, "quantile"), 1e-12, &case.to_string());
    }
}

#[test]
fn tails_come_out_in_closed_form_and_from_samples() {
    let file = data("choice_tails.json");
    for (item, case) in (0..).zip(file["lognormal"].as_array().unwrap()) {
        let [mu, sigma, p] = ["mu", "sigma", "p"].map(|key| number(case, key));
        let tail = lognormal_tail(mu, sigma, p).unwrap();
        assert_close(tail.quantile, number(case, "quantile"), 1e-10, &case.to_string());
        assert_close(tail.mean, number(case, "tail_mean"), 1e-10, &case.to_string());
        assert_close(tail.whole_mean, number(case, "mean"), 1e-10, &case.to_string());
        let sample = tail_mean(&lognormals(mu, sigma, item), p).unwrap();
        assert_within(sample, number(case, "tail_mean"), &case.to_string());
        assert!(sample.se < 0.03 * sample.value, "{case}: an error of {} does not bite", sample.se);
    }
    for (item, case) in (10..).zip(file["normal"].as_array().unwrap()) {
        let [mean, sd, p] = ["mean", "sd", "p"].map(|key| number(case, key));
        assert_close(normal_tail(mean, sd, p).unwrap().mean, number(case, "tail_mean"), 1e-10, &case.to_string());
        assert_within(tail_mean(&normals(mean, sd, item), p).unwrap(), number(case, "tail_mean"), &case.to_string());
    }
}

#[test]
fn lognormal_costs_dominate_as_theory_says() {
    let file = data("choice_dominance.json");
    let options = file["options"].as_array().unwrap();
    for (item, option) in (20..).zip(options) {
        let [mu, sigma] = ["mu", "sigma"].map(|key| number(option, key));
        let sample = lognormals(mu, sigma, item);
        for (k, expected) in numbers(&file["k"]).into_iter().zip(numbers(&option["excess"])) {
            let what = format!("{option} over {k}");
            assert_close(lognormal_excess(mu, sigma, k).unwrap(), expected, 1e-9, &what);
            // the variance of the excess is at most its mean square, of which these samples know enough
            let square = sample.iter().map(|x| (x - k).max(0.0).powi(2)).sum::<f64>() / sample.len() as f64;
            let se = (square / sample.len() as f64).sqrt();
            assert_within(Estimate { value: excess(&sample, k).unwrap(), se }, expected, &what);
        }
    }
    for verdict in file["verdicts"].as_array().unwrap() {
        // even steps instead of luck, so that the verdict is that of the distributions themselves
        let steps = |key: &str| -> Vec<f64> {
            let option = options.iter().find(|option| option["name"] == verdict[key]).unwrap();
            let even = |k: u32| standard_normal((f64::from(k) + 0.5) / 5000.0);
            (0..5000).map(|k| (number(option, "mu") + number(option, "sigma") * even(k)).exp()).collect()
        };
        let comparison = compare(&steps("worse"), &steps("better")).unwrap();
        // means of A and C are equal, and steps miss a little of C's longer tail: a share of 1e-3 is overlooked
        let found = comparison.verdict(1e-3).unwrap();
        let expected = match number(verdict, "order") as u32 {
            1 => Verdict::ForAll(Which::Second),
            _ => Verdict::ForTheCautious(Which::Second),
        };
        assert_eq!(found, expected, "{verdict}: {comparison:?}");
    }
}

#[test]
fn the_unit_normal_loss_integral_and_what_is_built_on_it_come_out() {
    for case in cases(&data("choice_unit_normal_loss.json")) {
        let (x, expected) = (number(case, "x"), number(case, "loss"));
        assert_close(unit_normal_loss(x), expected, 1e-9, &case.to_string());
        assert_close(unit_normal_loss(-x), expected + x, 1e-9, &case.to_string());
    }
    for case in cases(&data("choice_measured.json")) {
        let belief = Belief::new(number(case, "mean"), number(case, "sd")).unwrap();
        let (noise, n) = (number(case, "noise"), number(case, "n") as u64);
        assert_close(belief.perfect(), number(case, "perfect"), 1e-9, &case.to_string());
        assert_close(belief.measured(noise, n).unwrap(), number(case, "measured"), 1e-9, &case.to_string());
        let sd = belief.preposterior_sd(noise, n).unwrap();
        assert_close(sd, number(case, "preposterior_sd"), 1e-9, &case.to_string());
    }
}

/// The same numbers by simulating measurements and weighing truths by their likelihood.
#[test]
fn measurements_that_are_only_planned_are_worth_what_the_closed_form_says() {
    const TRUTHS: usize = 1_000;
    for (item, case) in cases(&data("choice_measured.json")).iter().enumerate() {
        let (mean, sd) = (number(case, "mean"), number(case, "sd"));
        let noise = number(case, "noise") / number(case, "n").sqrt();
        // the normal belief in equal shares, each at its middle
        let truths: Vec<f64> =
            (0..TRUTHS).map(|k| mean + sd * standard_normal((k as f64 + 0.5) / TRUTHS as f64)).collect();
        let costs = Table::from_options(&[&[0.0; TRUTHS], &truths]).unwrap();
        let belief = Truths::new(&costs);
        assert_close(belief.perfect(), number(case, "perfect"), 2e-3, &case.to_string());
        let luck = Stream::new(92, Purpose::Shared, item as u64, 0);
        let found = belief.simulated(4 * TRUTHS, |k, log| {
            let seen = truths[k % TRUTHS] + noise * standard_normal(luck.uniform(k as u64));
            log.iter_mut().zip(&truths).for_each(|(log, truth)| *log = -0.5 * ((seen - truth) / noise).powi(2));
        });
        let (found, expected) = (found.unwrap().worth, number(case, "measured"));
        assert!((found.value - expected).abs() < ERRORS * found.se + 3e-3 * expected, "{case}: {found:?}");
        assert!(found.se < 0.08 * expected && found.value < belief.perfect(), "{case}: {found:?}");
    }
}

#[test]
fn a_break_even_example_comes_out_and_so_does_what_rounding_makes_of_it() {
    let file = data("choice_break_even.json");
    let [slope, sd] = ["loss_per_piece", "sd"].map(|key| number(&file, key));
    let belief = Belief::new(slope * (number(&file, "mean") - number(&file, "break_even")), slope * sd).unwrap();
    assert_close(belief.perfect(), number(&file, "exact"), 1e-9, "exact");
    let loss = (unit_normal_loss(number(&file, "book_x")) * 1e4).round() / 1e4;
    assert!((loss - number(&file, "book_loss")).abs() < 1e-12, "{loss}");
    assert!((slope * sd * loss - number(&file, "book")).abs() < 0.01);
}

#[test]
fn a_discrete_example_comes_out() {
    let file = data("choice_discrete.json");
    let payoffs: Vec<Vec<f64>> = file["payoffs"].as_array().unwrap().iter().map(numbers).collect();
    let costs: Vec<Vec<f64>> = payoffs.iter().map(|option| option.iter().map(|payoff| -payoff).collect()).collect();
    let columns: Vec<&[f64]> = costs.iter().map(Vec::as_slice).collect();
    let found = discrete(&numbers(&file["chances"]), &Table::from_options(&columns).unwrap()).unwrap();
    for (found, expected) in found.expected.iter().zip(numbers(&file["expected"])) {
        assert_close(-found, expected, 1e-12, "expected payoff");
    }
    assert_eq!(found.choice, 0);
    assert_close(-found.informed, number(&file, "informed"), 1e-12, "informed");
    assert_close(found.value, number(&file, "value"), 1e-12, "value of information");
}
