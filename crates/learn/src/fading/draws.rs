//! Curves that the readings leave open, as draws.
//!
//! Belongs here: turning uniform numbers into curves. Does not belong here: the uniform numbers.

use statrs::distribution::{ContinuousCDF, StudentsT};

use super::{Curve, Fading, Form};

/// Most by which a draw moves the pace, as a factor either way: with three lamps the tails of Student's t go anywhere.
const FARTHEST: f64 = 10.0;

/// One curve for each row of uniform numbers (0 < u < 1), each row with one more of them than the form has parameters.
///
/// The first number of a row moves the mean pace of lamps, by Student's t with one degree less than there are lamps; the others
/// move the coordinates along the columns of a Cholesky factor of their covariance, by Student's t with the degrees of freedom
/// of the noise. Where rows are stratified, so are the draws. A row that is too short, and readings without a reading to spare, give
/// the curve itself.
pub fn draws(fading: &Fading, rows: &[Vec<f64>]) -> Vec<Curve> {
    let student = |freedom: f64| StudentsT::new(0.0, 1.0, freedom.max(1.0)).ok();
    let of_noise = student(fading.freedom);
    let of_lamps = student(fading.paces.as_ref().map_or(1.0, |paces| paces.lamps as f64 - 1.0));
    let (Some(of_noise), Some(of_lamps)) = (of_noise, of_lamps) else { return vec![fading.curve; rows.len()] };
    let form = fading.curve.form();
    let middle = fading.curve.coordinates();
    let p = middle.len();
    let factor = cholesky(&fading.fit.fit.spread, p, fading.noise);
    let curve = |row: &Vec<f64>| {
        let Some((of_pace, rest)) = row.split_first().filter(|(_, rest)| rest.len() >= p) else { return fading.curve };
        let steps: Vec<f64> = rest.iter().map(|u| of_noise.inverse_cdf(*u)).collect();
        let at: Vec<f64> =
            (0..p).map(|k| middle[k] + (0..=k).map(|j| factor[k * p + j] * steps[j]).sum::<f64>()).collect();
        let moved = if fading.pace_error > 0.0 { fading.pace_error * of_lamps.inverse_cdf(*of_pace) } else { 0.0 };
        // a rate may pass through nothing; times and powers may not
        let pace = match form {
            Form::Exponential => 1.0 + moved,
            _ => moved.clamp(-FARTHEST.ln(), FARTHEST.ln()).exp(),
        };
        Curve::at(form, &at).paced(pace)
    };
    rows.iter().map(curve).collect()
}

/// Lower triangle L with L·Lᵀ = variance · matrix, row by row; what is not positive by rounding counts as 0.
fn cholesky(matrix: &[f64], p: usize, variance: f64) -> Vec<f64> {
    let mut lower = vec![0.0; p * p];
    for row in 0..p {
        for column in 0..=row {
            let known: f64 = (0..column).map(|k| lower[row * p + k] * lower[column * p + k]).sum();
            let rest = variance * matrix[row * p + column] - known;
            lower[row * p + column] = if row == column {
                rest.max(0.0).sqrt()
            } else {
                let pivot: f64 = lower[column * p + column];
                if pivot > 0.0 { rest / pivot } else { 0.0 }
            };
        }
    }
    lower
}
