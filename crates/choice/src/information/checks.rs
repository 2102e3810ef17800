//! The value of knowing inputs, from trials, against closed forms.

use super::{Worth, input, inputs, perfect, unit_normal_loss};
use crate::luck::Luck;
use crate::normal;
use crate::table::Table;

/// Trials of a sample.
const TRIALS: usize = 10_000;

/// Samples of which the mean is held against what is known.
const SAMPLES: u64 = 12;

/// A table of an option that costs nothing and others.
fn against_nothing(others: &[&[f64]]) -> Table {
    let nothing = vec![0.0; others[0].len()];
    let mut columns = vec![&nothing[..]];
    columns.extend(others);
    Table::from_options(&columns).unwrap()
}

fn map(x: &[f64], mut f: impl FnMut(f64) -> f64) -> Vec<f64> {
    x.iter().map(|x| f(*x)).collect()
}

fn map2(x: &[f64], y: &[f64], mut f: impl FnMut(f64, f64) -> f64) -> Vec<f64> {
    x.iter().zip(y).map(|(x, y)| f(*x, *y)).collect()
}

fn uniforms(luck: &mut Luck) -> Vec<f64> {
    (0..TRIALS).map(|_| luck.uniform()).collect()
}

/// Holds the mean of twelve estimates against the truth: within 4.5 of its errors, and a share more for what is smoothed
/// over or lost by picking the best with the same trials.
#[track_caller]
fn check(truth: f64, share: f64, one: impl Fn(&mut Luck) -> Worth) {
    let worths: Vec<Worth> = (0..SAMPLES).map(|seed| one(&mut Luck::new(1000 + seed))).collect();
    let n = SAMPLES as f64;
    let mean = worths.iter().map(|worth| worth.value).sum::<f64>() / n;
    let se = worths.iter().map(|worth| worth.se).sum::<f64>() / n;
    assert!(worths.iter().all(|worth| worth.is_seen), "{worths:?}");
    assert!((mean - truth).abs() <= 4.5 * se / n.sqrt() + share * truth, "{mean} ± {} against {truth}", se / n.sqrt());
    // errors must neither be too small for the scatter nor so large that nothing is said
    let scatter = (worths.iter().map(|worth| (worth.value - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
    assert!(scatter < 1.9 * se && se < 0.15 * truth, "scatter {scatter}, said {se}, of {truth}");
}

#[test]
fn a_linear_effect_is_worth_the_unit_normal_loss() {
    for (middle, noise, share) in [(0.0, 1.0, 0.015), (0.5, 1.0, 0.0), (-1.5, 0.5, 0.0), (0.3, 5.0, 0.0)] {
        check(unit_normal_loss(f64::abs(middle)), share, |luck| {
            let x = luck.normals(TRIALS);
            let cost = map(&x, |x| middle + x + noise * luck.normal());
            input(&against_nothing(&[&cost]), &x).unwrap()
        });
    }
}

#[test]
fn kinks_and_steps_come_out_within_a_few_per_cent() {
    // E(|u − ½| − ¼)⁻ of u even on (0, 1) is 1/16, and that of a step of ±½ is ¼
    check(1.0 / 16.0, 0.03, |luck| {
        let x = uniforms(luck);
        let cost = map(&x, |x| (x - 0.5).abs() - 0.25 + 0.3 * luck.normal());
        input(&against_nothing(&[&cost]), &x).unwrap()
    });
    check(0.25, 0.02, |luck| {
        let x = uniforms(luck);
        let cost = map(&x, |x| if x > 0.5 { 0.5 } else { -0.5 } + 0.3 * luck.normal());
        input(&against_nothing(&[&cost]), &x).unwrap()
    });
}

#[test]
fn an_input_of_two_values_is_worth_what_the_rarer_changes() {
    check(0.3 * 0.5, 0.0, |luck| {
        let x = map(&uniforms(luck), |u| f64::from(u8::from(u < 0.3)));
        let cost = map(&x, |x| if x > 0.0 { -0.5 } else { 0.4 } + luck.normal());
        input(&against_nothing(&[&cost]), &x).unwrap()
    });
}

/// E(k − X)⁻ less (k − EX)⁻ of a lognormal X of median 1: what knowing X is worth where an option costs k − X.
fn lognormal_worth(sigma: f64, k: f64) -> f64 {
    let mean = (0.5 * sigma * sigma).exp();
    let d = -k.ln() / sigma;
    mean * normal::below(d + sigma) - k * normal::below(d) - (mean - k).max(0.0)
}

#[test]
fn a_lognormal_input_and_a_product_of_two_come_out() {
    check(lognormal_worth(0.8, 1.5), 0.0, |luck| {
        let x = map(&luck.normals(TRIALS), |z| (0.8 * z).exp());
        // noise of mean 1, so that the expectation given x is k − x
        let cost = map(&x, |x| 1.5 - x * (0.5 * luck.normal() - 0.125).exp());
        input(&against_nothing(&[&cost]), &x).unwrap()
    });
    check(lognormal_worth(1.0, 1.5), 0.01, |luck| {
        let [x, y] = [0.6, 0.8].map(|sigma| map(&luck.normals(TRIALS), |z| (sigma * z).exp()));
        let cost = map2(&x, &y, |x, y| 1.5 - x * y * (0.5 * luck.normal() - 0.125).exp());
        inputs(&against_nothing(&[&cost]), &[&x, &y]).unwrap()
    });
}

#[test]
fn of_two_inputs_each_is_worth_its_own_and_both_their_sum() {
    // 0.6·x + 0.8·y is standard normal
    for (known, sd) in [(0, 0.6), (1, 0.8), (2, 1.0)] {
        check(sd * unit_normal_loss(0.4 / sd), 0.0, |luck| {
            let (x, y) = (luck.normals(TRIALS), luck.normals(TRIALS));
            let cost = map2(&x, &y, |x, y| 0.4 + 0.6 * x + 0.8 * y + luck.normal());
            let costs = against_nothing(&[&cost]);
            match known {
                0 => input(&costs, &x).unwrap(),
                1 => input(&costs, &y).unwrap(),
                _ => inputs(&costs, &[&x, &y]).unwrap(),
            }
        });
    }
}

#[test]
fn three_options_and_one_input_come_out() {
    // costs 0, x and −x of a standard normal x: the least is −|x|, on average −√(2/π)
    check(2.0 * unit_normal_loss(0.0), 0.02, |luck| {
        let x = luck.normals(TRIALS);
        let [up, down] = [1.0, -1.0].map(|sign| map(&x, |x| sign * x + luck.normal()));
        input(&against_nothing(&[&up, &down]), &x).unwrap()
    });
}

#[test]
fn inputs_without_effect_are_worth_nothing() {
    let trials = 2000;
    let mut luck = Luck::new(77);
    let driver = luck.normals(trials);
    let costs = [0.0, 0.02].map(|middle| map(&driver, |x| middle + x + luck.normal()));
    let costs = against_nothing(&[&costs[0], &costs[1]]);
    let all = perfect(&costs).unwrap().value;
    let idle: Vec<Vec<f64>> = (0..20).map(|_| luck.normals(trials)).collect();
    let worths: Vec<Worth> = idle.iter().map(|values| input(&costs, values).unwrap()).collect();
    let mean = worths.iter().map(|worth| worth.value).sum::<f64>() / 20.0;
    // a regression that takes the lowest of its own fits would say some 0.02 of a standard deviation of √2
    assert!(mean < 0.001 * all, "{mean} of {all}");
    assert!(worths.iter().all(|worth| worth.value <= 3.0 * worth.se && worth.unseen < 0.1 * all), "{worths:?}");
    // all twelve of them together are no better, nor do they spoil the one that matters
    let known: Vec<&[f64]> = idle.iter().take(11).map(Vec::as_slice).collect();
    let together = inputs(&costs, &known).unwrap();
    assert!(together.value <= 2.0 * together.se, "{together:?}");
    let alone = input(&costs, &driver).unwrap();
    let joined = inputs(&costs, &[&known[..], &[&driver]].concat()).unwrap();
    assert!((joined.value - alone.value).abs() < 2.0 * alone.se, "{joined:?} {alone:?}");
    assert!(alone.value > 5.0 * alone.se && alone.value > 3.0 * alone.unseen, "{alone:?}");
}

#[test]
fn an_effect_that_changes_no_choice_is_worth_nothing() {
    let mut luck = Luck::new(78);
    let x = luck.normals(TRIALS);
    let dear = map(&x, |x| 20.0 + x + luck.normal());
    let worth = input(&against_nothing(&[&dear]), &x).unwrap();
    assert!(worth.is_seen && worth.value == 0.0 && worth.se == 0.0, "{worth:?}");
}

#[test]
fn where_options_tie_noise_is_no_value() {
    // given x all options cost |x| or x, so the last is never worse; knowing x is worth nothing
    let mut sum = 0.0;
    for seed in 0..SAMPLES {
        let mut luck = Luck::new(500 + seed);
        let x = luck.normals(TRIALS);
        let [a, b, c] = [0; 3].map(|_| map(&x, |x| x.abs() + luck.normal()));
        let worth = input(&Table::from_options(&[&a, &b, &c, &x]).unwrap(), &x).unwrap();
        assert!(worth.value <= 4.5 * worth.se, "{worth:?}");
        sum += worth.value / worth.se;
    }
    // cut off at 0, noise of mean 0 has a mean of 0.4 errors
    assert!(sum / (SAMPLES as f64) < 1.2, "{sum}");
}
