//! Regression of differences in cost on a basis, with groups of trials left out.

use statrs::function::gamma::gamma_ur;

use super::basis::Basis;
use super::linear::{cholesky, dot, solve};

/// Groups of trials (every 25th) that are left out in turn. The cost of a fit falls with fewer, its precision rises with more.
pub const GROUPS: usize = 25;

/// How much a function more counts when models are compared: 1.4 instead of 1 guards generalised cross-validation against
/// its liking for too many (Kim and Gu, Journal of the Royal Statistical Society B 66:337, 2004).
const PRICE: f64 = 1.4;

/// Coefficients of a difference in cost, as many as the model has functions.
pub type Fit = Vec<f64>;

/// How many functions a difference takes: the model with the lowest score of generalised cross-validation
/// n·RSS/(n − 1.4·p)² (Craven and Wahba, Numerische Mathematik 31:377, 1979), or the constant alone, if the chance that
/// a difference without any effect looks as strong is above `alpha`.
///
/// The test is that of the likelihood ratio with Bartlett's correction: (n − 1 − (p + 1)/2)·ln(TSS/RSS), p functions besides
/// the constant, against χ² with p degrees of freedom.
pub fn model(basis: &Basis, difference: &[f64], whole: &[f64], alpha: f64) -> usize {
    let n = difference.len() as f64;
    let mean = whole[0];
    let total = difference.iter().map(|y| (y - mean).powi(2)).sum::<f64>();
    if !(total > 0.0) {
        return 1;
    }
    let rest = |count: usize| (total - n * dot(&whole[1..count], &whole[1..count])).max(1e-15 * total);
    let score = |count: usize| rest(count) / (n - PRICE * count as f64).powi(2);
    let best = basis.levels.iter().copied().fold(1, |best, next| if score(next) < score(best) { next } else { best });
    let further = (best - 1) as f64;
    let statistic = (n - 1.0 - 0.5 * (further + 1.0)) * (total / rest(best)).ln();
    // beyond this no double holds the chance any more
    let is_clear = statistic > 1400.0 + 4.0 * further;
    if best == 1 || is_clear || gamma_ur(0.5 * further, 0.5 * statistic) <= alpha { best } else { 1 }
}

/// Coefficients of the whole basis on all trials.
pub fn whole(basis: &Basis, difference: &[f64]) -> Fit {
    basis.columns.iter().map(|column| dot(column, difference) / difference.len() as f64).collect()
}

/// Fits of all differences on the leading functions of the basis, as many as each takes, without each group in turn.
pub fn without_groups(basis: &Basis, differences: &[Vec<f64>], wholes: &[Fit], sizes: &[usize]) -> Vec<Vec<Fit>> {
    let n = basis.columns[0].len();
    let most = sizes.iter().copied().max().unwrap_or(1);
    (0..GROUPS)
        .map(|left_out| {
            let sum = |a: &[f64], b: &[f64]| (left_out..n).step_by(GROUPS).map(|t| a[t] * b[t]).sum::<f64>();
            let columns = &basis.columns[..most];
            // with all trials the matrix is n on the diagonal and 0 elsewhere
            let matrix: Vec<Vec<f64>> = (0..most)
                .map(|i| {
                    let all = |j: usize| if i == j { n as f64 } else { 0.0 };
                    (0..=i).map(|j| all(j) - sum(&columns[i], &columns[j])).collect()
                })
                .collect();
            let factor = cholesky(&matrix);
            let fit = |((difference, whole), size): ((&Vec<f64>, &Fit), &usize)| {
                let right: Vec<f64> = (0..*size).map(|i| n as f64 * whole[i] - sum(&columns[i], difference)).collect();
                // a function that lives in this group only cannot be told without it: all trials must do
                factor.as_ref().map_or_else(|| whole[..*size].to_vec(), |factor| solve(factor, &right))
            };
            differences.iter().zip(wholes).zip(sizes).map(fit).collect()
        })
        .collect()
}

/// What each trial gains by the choice that its inputs advise over the option that differences are taken against. Advice is
/// made from fits without the trial's own group and paid at the trial's own costs, so that chance is not mistaken for it.
pub fn gains(differences: &[Vec<f64>], basis: &Basis, fits: &[Vec<Fit>]) -> Vec<f64> {
    let gain = |trial: usize| {
        let told = |fit: &Fit| fit.iter().zip(&basis.columns).map(|(part, column)| part * column[trial]).sum();
        choice(fits[trial % GROUPS].iter().map(told)).map_or(0.0, |option| -differences[option][trial])
    };
    (0..differences[0].len()).map(gain).collect()
}

/// The place of the lowest difference, or none if none is below 0.
fn choice(differences: impl Iterator<Item = f64>) -> Option<usize> {
    let mut best = (None, 0.0);
    for (place, difference) in differences.enumerate() {
        if difference < best.1 {
            best = (Some(place), difference);
        }
    }
    best.0
}
