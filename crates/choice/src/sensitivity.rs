//! Which share of the variance of an outcome comes from which input.
//!
//! The outcome f is worked out for two independent tables of inputs A and B, and for each input (or group of inputs) for A
//! with that input's column from B. The first index S is the share of the variance that goes if the input alone is known;
//! the total index T the share that stays if all other inputs are known: T − S is what it does together with others.
//!
//! What goes wrong: indices ask about variance, not about choices: an input may move all options alike and matter to no
//! choice (ask [`crate::information::input`] then). Inputs must be independent; put those that are not into one group.

use crate::fault::{Fault, demand_count, demand_length, demand_sample};
use crate::{Estimate, mean};

/// The first and the total index of one input or group.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Indices {
    /// First index. Noise can make it negative; it is not cut off, as a mean of cut values would be too high.
    pub first: Estimate,
    /// Total index, 0 or more.
    pub total: Estimate,
}

/// The indices of each input from outcomes: `a` and `b` those of the tables A and B, `mixed` for each input those of A with
/// that input from B, row by row. An outcome without variance has indices of 0.
///
/// First: mean of f(B)·(f(AB) − f(A)), after taking the mean off f(B), over the variance (Saltelli et al., Computer Physics
/// Communications 181:259, 2010); it stays exact for inputs of little effect, as the bracket is then small itself. Total:
/// mean of (f(A) − f(AB))²/2 over the variance (Jansen, Computer Physics Communications 117:35, 1999). The variance is that
/// of A and B together. Standard errors are those of a ratio of means over independent rows; with low-discrepancy rows
/// they are too large.
///
/// ```
/// // f = 2·x + y, with x and y each −1 or 1: x has four fifths of the variance
/// let rows = [[-1.0, -1.0], [-1.0, 1.0], [1.0, -1.0], [1.0, 1.0]];
/// let f = |row: &[f64]| 2.0 * row[0] + row[1];
/// let (mut a, mut b, mut mixed) = (vec![], vec![], vec![vec![]; 2]);
/// for (left, right) in rows.iter().flat_map(|left| rows.iter().map(move |right| (left, right))) {
///     a.push(f(left));
///     b.push(f(right));
///     for (input, outcomes) in mixed.iter_mut().enumerate() {
///         outcomes.push(f(&choice::sensitivity::mix(left, right, &[input])));
///     }
/// }
/// let indices = choice::sensitivity::indices(&a, &b, &mixed).unwrap();
/// assert!((indices[0].first.value - 0.8).abs() < 1e-12 && (indices[1].total.value - 0.2).abs() < 1e-12);
/// ```
///
/// # Errors
/// Fewer than two rows, lists that differ in length, an outcome that is no number.
pub fn indices(a: &[f64], b: &[f64], mixed: &[Vec<f64>]) -> Result<Vec<Indices>, Fault> {
    demand_sample("an outcome of table A", a, 2)?;
    demand_sample("an outcome of table B", b, 2)?;
    demand_length("table B, as list", 0, b.len(), a.len())?;
    for (place, outcomes) in mixed.iter().enumerate() {
        demand_length("mixed table", place, outcomes.len(), a.len())?;
        demand_sample("an outcome of a mixed table", outcomes, 2)?;
    }
    // one unit for all, so that no square vanishes
    let unit = a.iter().chain(b).chain(mixed.iter().flatten()).fold(0.0, |most: f64, f| most.max(f.abs()));
    let middle = 0.5 * mean(a).value + 0.5 * mean(b).value;
    let taken = |f: &f64| if unit > 0.0 { (f - middle) / unit } else { 0.0 };
    let [a, b]: [Vec<f64>; 2] = [a, b].map(|outcomes| outcomes.iter().map(taken).collect());
    let squares: Vec<f64> = a.iter().zip(&b).map(|(a, b)| 0.5 * (a * a + b * b)).collect();
    let of = |outcomes: &Vec<f64>| {
        let steps: Vec<f64> = outcomes.iter().map(taken).zip(&a).map(|(ab, a)| ab - a).collect();
        let firsts: Vec<f64> = steps.iter().zip(&b).map(|(step, b)| b * step).collect();
        let totals: Vec<f64> = steps.iter().map(|step| 0.5 * step * step).collect();
        Indices { first: ratio(&firsts, &squares), total: ratio(&totals, &squares) }
    };
    Ok(mixed.iter().map(of).collect())
}

/// The ratio of two means over the same rows; the standard error is that of the mean of (x − ratio·y)/mean(y). 0 if the
/// lower one is nothing but rounding.
fn ratio(upper: &[f64], lower: &[f64]) -> Estimate {
    let size = mean(lower).value;
    // outcomes are in units of the largest: rounding leaves some 1e-32 of its square
    if !(size > 1e-30) {
        return Estimate { value: 0.0, se: 0.0 };
    }
    let value = mean(upper).value / size;
    let off: Vec<f64> = upper.iter().zip(lower).map(|(x, y)| (x - value * y) / size).collect();
    Estimate { value, se: mean(&off).se }
}

/// A row of A with the inputs of a group, given by their places, from the same row of B. Places beyond the row are ignored.
///
/// ```
/// assert_eq!(choice::sensitivity::mix(&[1.0, 2.0, 3.0], &[7.0, 8.0, 9.0], &[0, 2]), [7.0, 2.0, 9.0]);
/// ```
pub fn mix(a: &[f64], b: &[f64], group: &[usize]) -> Vec<f64> {
    let mut row = a.to_vec();
    for place in group {
        if let (Some(to), Some(from)) = (row.get_mut(*place), b.get(*place)) {
            *to = *from;
        }
    }
    row
}

/// Groups of inputs by label, in the order in which labels first appear: each label with the places of its inputs.
///
/// ```
/// let groups = choice::sensitivity::groups(&["price", "life", "price"]).unwrap();
/// assert_eq!(groups, [("price", vec![0, 2]), ("life", vec![1])]);
/// ```
///
/// # Errors
/// No label.
pub fn groups<'a>(labels: &[&'a str]) -> Result<Vec<(&'a str, Vec<usize>)>, Fault> {
    demand_count("labels", labels.len(), 1)?;
    let mut groups: Vec<(&str, Vec<usize>)> = vec![];
    for (place, label) in labels.iter().enumerate() {
        match groups.iter_mut().find(|(known, _)| known == label) {
            Some((_, members)) => members.push(place),
            None => groups.push((label, vec![place])),
        }
    }
    Ok(groups)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_outcome_without_variance_has_no_indices() {
        let none = Estimate { value: 0.0, se: 0.0 };
        for constant in [0.0, 0.1, -1e100] {
            let found = indices(&[constant; 5], &[constant; 5], &[vec![constant; 5]]).unwrap();
            assert_eq!(found, [Indices { first: none, total: none }], "{constant}");
        }
    }

    #[test]
    fn hostile_input_is_refused() {
        let two = [1.0, 2.0];
        assert!(indices(&two, &[1.0, 2.0, 3.0], &[]).is_err() && indices(&two, &two, &[vec![1.0]]).is_err());
        assert!(indices(&[1.0], &[1.0], &[]).is_err() && indices(&two, &[1.0, f64::NAN], &[]).is_err());
        assert!(indices(&two, &two, &[vec![1.0, 1e308]]).is_err() && groups(&[]).is_err());
    }
}
