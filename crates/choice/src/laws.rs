//! What must hold between the parts of this crate, for any luck.

use crate::dominance::{Verdict, Which, compare, excess};
use crate::information::{discrete, input, inputs, perfect};
use crate::interval::{harrell_davis, quantile_interval, tail_mean};
use crate::luck::Luck;
use crate::regret::{minimax, regrets};
use crate::sensitivity::indices;
use crate::table::Table;

/// Two inputs and a table of three options that they and further luck drive.
fn table(seed: u64, trials: usize) -> (Table, Vec<f64>, Vec<f64>) {
    let mut luck = Luck::new(seed);
    let (x, y) = (luck.normals(trials), luck.normals(trials));
    let cost = |x: &f64, y: &f64, noise: f64| vec![5.0 + x + 0.5 * y, 5.2 - x * y + noise, 5.5 - x.abs() + 0.2 * noise];
    let rows: Vec<Vec<f64>> = x.iter().zip(&y).map(|(x, y)| cost(x, y, luck.normal())).collect();
    (Table::new(&rows).unwrap(), x, y)
}

/// The table with every cost changed.
fn changed(costs: &Table, change: impl Fn(f64) -> f64) -> Table {
    let rows: Vec<Vec<f64>> = costs.rows().map(|row| row.iter().map(|cost| change(*cost)).collect()).collect();
    Table::new(&rows).unwrap()
}

fn close(found: f64, expected: f64) -> bool {
    (found - expected).abs() <= 1e-9 * expected.abs().max(1e-3)
}

#[test]
fn part_of_the_information_is_worth_no_more_than_all_of_it() {
    for seed in 0..10 {
        let (costs, x, y) = table(seed, 1500);
        let all = perfect(&costs).unwrap();
        let [one, other, both] = [&[&x[..]][..], &[&y], &[&x, &y]].map(|known| inputs(&costs, known).unwrap());
        for worth in [one, other, both] {
            assert!((0.0..=all.value).contains(&worth.value), "{seed}: {worth:?} of {all:?}");
        }
        assert!(both.value >= one.value - 2.0 * one.se, "{seed}: {one:?} {both:?}");
        assert!(both.value >= other.value - 2.0 * other.se, "{seed}: {other:?} {both:?}");
        assert!(one.is_seen && both.is_seen && one.value > 4.0 * one.se, "{seed}: {one:?} {both:?}");
    }
}

#[test]
fn perfect_information_is_worth_the_least_regret_and_even_chances() {
    for seed in 0..10 {
        let (costs, ..) = table(seed, 400);
        let regrets = regrets(&costs, 0.95).unwrap();
        let all = perfect(&costs).unwrap();
        assert_eq!(regrets[costs.best()].mean, all);
        assert!(regrets.iter().all(|regret| regret.mean.value >= all.value && regret.quantile >= 0.0));
        assert!(close(discrete(&[1.0 / 400.0; 400], &costs).unwrap().value, all.value));
        let sum: f64 = regrets.iter().map(|regret| regret.cheapest.value).sum();
        assert!(close(sum, 1.0), "{sum}");
    }
}

#[test]
fn the_best_of_each_trial_is_never_regretted() {
    let (costs, ..) = table(3, 300);
    let with_best: Vec<Vec<f64>> =
        costs.rows().map(|row| [row, &[row.iter().copied().fold(f64::INFINITY, f64::min)]].concat()).collect();
    let costs = Table::new(&with_best).unwrap();
    let last = regrets(&costs, 1.0).unwrap()[3];
    assert_eq!((last.mean.value, last.mean.se, last.quantile), (0.0, 0.0, 0.0));
    assert_eq!(perfect(&costs).unwrap().value, 0.0);
    assert_eq!(minimax(&costs).unwrap().picks, [3]);
}

#[test]
fn a_shift_changes_nothing_and_a_scale_scales() {
    let (costs, x, y) = table(5, 1200);
    // everything that should move with the scale and stay under a shift
    let answers = |costs: &Table| -> Vec<f64> {
        let worth = inputs(costs, &[&x, &y]).unwrap();
        let alone = input(costs, &x).unwrap();
        let regret = regrets(costs, 0.9).unwrap()[1];
        let compared = compare(&costs.option(0), &costs.option(1)).unwrap();
        let tail = tail_mean(&costs.option(2), 0.93).unwrap();
        let smooth = harrell_davis(&costs.option(2), 0.93).unwrap();
        let all = perfect(costs).unwrap();
        let gaps = [compared.excess.for_first, compared.excess.for_second, compared.difference];
        let worths = [worth.value, worth.se, worth.unseen, alone.value, alone.se, all.value, all.se];
        let rest = [regret.mean.value, regret.quantile, tail.se, smooth.jackknife_sd, tail.value - smooth.value];
        [&gaps[..], &worths, &rest, &minimax(costs).unwrap().worst].concat()
    };
    let before = answers(&costs);
    for (scale, shift) in [(1.0, 1000.0), (1.0, -7.0), (3.7, 0.0), (1e-9, 0.0), (1e60, 0.0)] {
        let after = answers(&changed(&costs, |cost| scale * cost + shift));
        for (place, (after, before)) in after.iter().zip(&before).enumerate() {
            assert!(close(after / scale, *before), "number {place}, {scale}, {shift}: {after} {before}");
        }
    }
    // an input's own scale and shift say nothing either
    let other: Vec<f64> = x.iter().map(|x| 1e6 - 3e4 * x).collect();
    assert!(close(input(&costs, &other).unwrap().value, input(&costs, &x).unwrap().value));
}

#[test]
fn who_dominates_has_the_lower_mean_and_tail() {
    let (mut for_all, mut cautious) = (0, 0);
    for seed in 0..400 {
        let mut luck = Luck::new(seed);
        let spread = 0.5 + luck.uniform();
        let shift = 2.0 * luck.uniform();
        let first: Vec<f64> = (0..7).map(|_| luck.normal()).collect();
        let second: Vec<f64> = (0..9).map(|_| shift + spread * luck.normal()).collect();
        let compared = compare(&first, &second).unwrap();
        let verdict = compared.verdict(0.0).unwrap();
        let swapped = compare(&second, &first).unwrap().verdict(0.0).unwrap();
        let (which, is_for_all) = match verdict {
            Verdict::ForAll(which) => (which, true),
            Verdict::ForTheCautious(which) => (which, false),
            other => {
                assert_eq!(swapped, other);
                continue;
            }
        };
        let (better, worse) = if which == Which::First { (&first, &second) } else { (&second, &first) };
        assert!(compared.difference.is_sign_negative() == (which == Which::First), "{compared:?}");
        for p in [0.0, 0.3, 0.6, 0.95] {
            assert!(tail_mean(better, p).unwrap().value <= tail_mean(worse, p).unwrap().value + 1e-12);
        }
        for k in [-2.0, -0.5, 0.0, 0.7, 1.5, 3.0] {
            assert!(excess(better, k).unwrap() <= excess(worse, k).unwrap() + 1e-12);
            let share = |costs: &[f64]| costs.iter().filter(|cost| **cost <= k).count() as f64 / costs.len() as f64;
            assert!(!is_for_all || share(better) >= share(worse));
        }
        *(if is_for_all { &mut for_all } else { &mut cautious }) += 1;
        let other = if which == Which::First { Which::Second } else { Which::First };
        assert_eq!(swapped, if is_for_all { Verdict::ForAll(other) } else { Verdict::ForTheCautious(other) });
    }
    assert!(for_all > 20 && cautious > 20, "{for_all} {cautious}: the law was hardly put to the test");
}

#[test]
fn more_trials_and_less_confidence_make_intervals_narrower() {
    let values = Luck::new(8).normals(4000);
    let width = |n: usize, confidence: f64| {
        let interval = quantile_interval(&values[..n], 0.7, confidence).unwrap();
        assert!(interval.coverage >= confidence);
        interval.high - interval.low
    };
    assert!(width(4000, 0.95) < width(1000, 0.95) && width(1000, 0.5) < width(1000, 0.95));
}

#[test]
fn indices_of_a_sum_add_up_and_keep_under_scale_and_shift() {
    let mut luck = Luck::new(21);
    let n = 8000;
    let parts: [Vec<f64>; 4] = std::array::from_fn(|_| luck.normals(n));
    let [ax, ay, bx, by] = &parts;
    let outcome = |x: &[f64], y: &[f64], scale: f64, shift: f64| -> Vec<f64> {
        x.iter().zip(y).map(|(x, y)| scale * (2.0 * x + y) + shift).collect()
    };
    let found = |scale, shift| {
        let f = |x, y| outcome(x, y, scale, shift);
        indices(&f(ax, ay), &f(bx, by), &[f(bx, ay), f(ax, by)]).unwrap()
    };
    let plain = found(1.0, 0.0);
    for indices in &plain {
        let (first, total) = (indices.first, indices.total);
        assert!((first.value - total.value).abs() < 4.0 * first.se.hypot(total.se), "{indices:?}");
    }
    assert!((plain[0].first.value - 0.8).abs() < 4.0 * plain[0].first.se, "{plain:?}");
    for (scale, shift) in [(1e40, 0.0), (1e-40, 0.0), (1.0, 1e5), (-2.0, 3.0)] {
        for (after, before) in found(scale, shift).iter().zip(&plain) {
            assert!((after.first.value - before.first.value).abs() < 1e-6, "{scale} {shift}");
            assert!((after.total.se / before.total.se - 1.0).abs() < 1e-6, "{scale} {shift}");
        }
    }
}
