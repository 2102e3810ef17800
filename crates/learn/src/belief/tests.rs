//! Beliefs whose posterior is known in closed form.

use statrs::distribution::{ContinuousCDF, Gamma};

use super::*;

fn quantile(posterior: &Posterior, number: usize, share: f64) -> f64 {
    let mut values: Vec<f64> = posterior.draws.iter().map(|draw| draw[number]).collect();
    values.sort_by(f64::total_cmp);
    let place = share * values.len() as f64 - 0.5;
    let low = place.floor() as usize;
    values[low] + (place - place.floor()) * (values[low + 1] - values[low])
}

fn mean(posterior: &Posterior, of: &dyn Fn(&[f64]) -> f64) -> f64 {
    posterior.draws.iter().map(|draw| of(draw)).sum::<f64>() / posterior.draws.len() as f64
}

/// Exponential lives with a gamma prior of their rate: with d deaths in a total of T hours the posterior is gamma with d more
/// and T more. Hours are in thousands.
#[test]
fn exponential_lives_with_a_gamma_prior_are_met_in_closed_form() {
    let (shape, rate) = (2.5, 30.0);
    let prior = Gamma::new(shape, rate).unwrap();
    for (deaths, hours) in [(0.0, 0.0), (2.0, 104.2), (0.0, 118.8), (400.0, 1.0e3)] {
        let seen = |u: &[f64]| {
            let risk = prior.inverse_cdf(u[0]);
            deaths * risk.ln() - risk * hours
        };
        let found = update(1, &seen, 1_000).unwrap();
        let after = Gamma::new(shape + deaths, rate + hours).unwrap();
        for share in [0.05, 0.1, 0.5, 0.9, 0.95] {
            let risk = prior.inverse_cdf(quantile(&found, 0, share));
            assert!((after.cdf(risk) - share).abs() < 2e-4, "{deaths} {hours} {share}: {}", after.cdf(risk));
        }
        let ln_gamma = statrs::function::gamma::ln_gamma;
        let evidence =
            ln_gamma(shape + deaths) - ln_gamma(shape) + shape * f64::ln(rate) - (shape + deaths) * (rate + hours).ln();
        assert!((found.ln_evidence - evidence).abs() < 1e-6, "{} {evidence}", found.ln_evidence);
    }
}

/// Normal numbers seen with normal noise, in two and in more dimensions: a sum of all of them is seen, which ties them to one
/// another. With prior z ~ N(0, I) and a seen s = Σz ± noise, each z has mean s/(d + noise²), variance 1 − 1/(d + noise²), and
/// two have covariance −1/(d + noise²).
#[test]
fn numbers_that_are_seen_as_a_sum_are_tied_as_they_should_be() {
    let normal = Normal::standard();
    for numbers in [2, 3, 5, 8] {
        let (sum, noise) = (2.0, 0.1f64);
        let seen = |u: &[f64]| {
            let z: f64 = u.iter().map(|&u| normal.inverse_cdf(u)).sum();
            -0.5 * ((z - sum) / noise).powi(2)
        };
        let found = update(numbers, &seen, 1_000).unwrap();
        let z = |draw: &[f64], k: usize| normal.inverse_cdf(draw[k]);
        let all = numbers as f64 + noise * noise;
        for k in [0, numbers - 1] {
            let middle = mean(&found, &|draw| z(draw, k));
            let variance = mean(&found, &|draw| (z(draw, k) - middle).powi(2));
            // beyond the second number draws are as uneven as luck would make them: a standard error of 0.03
            assert!(
                (middle - sum / all).abs() < if k < 2 { 0.04 } else { 0.09 },
                "{numbers} {k}: {middle} against {}",
                sum / all
            );
            assert!(
                (variance - (1.0 - 1.0 / all)).abs() < 0.06,
                "{numbers} {k}: {variance} against {}",
                1.0 - 1.0 / all
            );
        }
        let covariance = mean(&found, &|draw| (z(draw, 0) - sum / all) * (z(draw, 1) - sum / all));
        assert!((covariance + 1.0 / all).abs() < 0.06, "{numbers}: {covariance} against {}", -1.0 / all);
        // the sum's own prior is N(0, d), so the evidence is that of N(0, d + noise²) at what was seen, without the noise's 1/(noise·√2π)
        let ln = -0.5 * sum * sum / all - 0.5 * all.ln() + noise.ln();
        assert!((found.ln_evidence - ln).abs() < 0.03, "{numbers}: {} against {ln}", found.ln_evidence);
        assert!(found.effective > 1_000.0, "{numbers}: {}", found.effective);
    }
}

/// The same problem on the grid and over points must agree: a third number that nothing is seen of changes nothing.
#[test]
fn grid_and_points_agree() {
    let seen = |u: &[f64]| {
        let (scale, shape) = (10.0 + 20.0 * u[0], 2.0 + 4.0 * u[1]);
        let alive = |hours: f64| -(hours / scale).powf(shape);
        12.0 * alive(9.9) + f64::ln(alive(6.0).exp() - alive(6.2).exp())
    };
    let (two, three) = (update(2, &seen, 1_000).unwrap(), update(3, &seen, 1_000).unwrap());
    assert!(matches!((two.way, three.way), (Way::Grid(_), Way::Points(_))));
    for share in [0.1, 0.5, 0.9] {
        for number in 0..2 {
            let (a, b) = (quantile(&two, number, share), quantile(&three, number, share));
            assert!((a - b).abs() < 0.02, "{number} at {share}: {a} {b}");
        }
        assert!((quantile(&three, 2, share) - share).abs() < 0.02);
    }
    assert!((two.ln_evidence - three.ln_evidence).abs() < 0.01);
}

#[test]
fn nothing_seen_is_the_prior_to_the_draw() {
    for numbers in [1, 2, 3, 6] {
        let found = update(numbers, &|_| 0.0, 1_000).unwrap();
        for number in 0..numbers {
            // from the third number on draws are as uneven as luck would make them: half of 1/√1000 at the median
            let allowed = [6e-4, 4e-3, 0.045][if numbers < 3 { number } else { 2 - usize::from(number == 0) }];
            for share in [0.05, 0.1, 0.5, 0.9, 0.95] {
                let off = quantile(&found, number, share) - share;
                assert!(off.abs() < allowed, "{numbers} {number} {share}: {off}");
            }
        }
        assert!(found.ln_evidence.abs() < 1e-3, "{}", found.ln_evidence);
    }
}

/// A hill a ten-thousandth of the prior wide, far out in its tail, is found.
#[test]
fn a_narrow_hill_far_out_is_found() {
    let seen = |u: &[f64]| -0.5 * ((Normal::standard().inverse_cdf(u[0]) - 4.0) / 1e-4).powi(2);
    let found = update(1, &seen, 1_000).unwrap();
    let z = |share: f64| Normal::standard().inverse_cdf(quantile(&found, 0, share));
    assert!((z(0.5) - 4.0).abs() < 1e-6, "{}", z(0.5));
    assert!((z(0.9) - z(0.5) - 1.281_551_565_5e-4).abs() < 2e-7, "{}", z(0.9) - z(0.5));
}

#[test]
fn what_cannot_be_is_said() {
    assert_eq!(update(0, &|_| 0.0, 10), Err(NoPosterior::NothingUncertain));
    for numbers in 1..5 {
        assert_eq!(update(numbers, &|_| f64::NAN, 10), Err(NoPosterior::Impossible));
        assert_eq!(update(numbers, &|_| f64::NEG_INFINITY, 10), Err(NoPosterior::Impossible));
    }
}

/// Normal hills much narrower than any cell: independent in three numbers, and a ridge across two. With prior N(0, 1) and a sum
/// seen within a noise, the difference of the two keeps its own spread of √2.
#[test]
fn hills_and_ridges_that_no_grid_resolves_are_summed_up() {
    let z = |u: f64| Normal::standard().inverse_cdf(u);
    let hill = |u: &[f64]| (0..3).map(|k| -0.5 * ((z(u[k]) - 0.7) / 0.003).powi(2)).sum::<f64>();
    let found = update(3, &hill, 1_000).unwrap();
    for k in 0..2 {
        assert!((z(quantile(&found, k, 0.5)) - 0.7).abs() < 3e-4);
        let wide = z(quantile(&found, k, 0.9)) - z(quantile(&found, k, 0.1));
        assert!((wide / (2.0 * 1.281_551_6 * 0.003) - 1.0).abs() < 0.1, "{k}: {wide}");
    }
    let ridge = |u: &[f64]| -0.5 * ((z(u[0]) + z(u[1]) - 1.0) / 0.004).powi(2);
    let found = update(2, &ridge, 1_000).unwrap();
    let spread = |of: &dyn Fn(&[f64]) -> f64| {
        let middle = mean(&found, of);
        mean(&found, &|draw| (of(draw) - middle).powi(2)).sqrt()
    };
    let (sum, difference) = (spread(&|u| z(u[0]) + z(u[1])), spread(&|u| z(u[0]) - z(u[1])));
    assert!((sum / 0.004 - 1.0).abs() < 0.1, "{sum}");
    assert!((difference / 2.0f64.sqrt() - 1.0).abs() < 0.1, "{difference}");
}

/// A list with what was seen of a coin: of entries 0.1 … 0.9 after 3 heads of 4, the exact shares by Bayes.
#[test]
fn a_list_keeps_its_entries_and_weighs_them() {
    let chances: Vec<f64> = (1..10).map(|k| f64::from(k) / 10.0).collect();
    let ln = |k: usize| 3.0 * chances[k].ln() + (1.0 - chances[k]).ln();
    let (drawn, ln_evidence, effective) = among(9, &ln, 1_000, 2.0).unwrap();
    let weights: Vec<f64> = (0..9).map(|k| ln(k).exp()).collect();
    let all: f64 = weights.iter().sum();
    for (k, weight) in weights.iter().enumerate() {
        let share = drawn.iter().filter(|&&entry| entry == k).count() as f64 / 1_000.0;
        assert!((share - weight / all).abs() <= 2e-3, "{k}: {share}");
    }
    assert!((ln_evidence - (all / 9.0).ln()).abs() < 1e-12 && effective > 2.0 && effective < 9.0);
    assert_eq!(among(9, &ln, 10, 9.0), Err(NoPosterior::TooFewPoints));
    assert_eq!(among(2, &|_| f64::NAN, 10, 1.0), Err(NoPosterior::Impossible));
}
