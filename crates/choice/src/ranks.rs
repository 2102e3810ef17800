//! Ranks of numbers.

/// For each number, the share of numbers below it, equal ones counted by half: (rank − ½)/n with mean ranks for ties.
pub fn shares_below(values: &[f64]) -> Vec<f64> {
    let n = values.len();
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_unstable_by(|a, b| values[*a].total_cmp(&values[*b]));
    let mut shares = vec![0.0; n];
    let mut first = 0;
    while first < n {
        let same = order[first..].iter().take_while(|place| values[**place] == values[order[first]]).count().max(1);
        let share = (first as f64 + 0.5 * same as f64) / n as f64;
        for place in &order[first..first + same] {
            shares[*place] = share;
        }
        first += same;
    }
    shares
}

/// The distinct numbers in rising order, or none if there are more than `most`.
pub fn few_distinct(values: &[f64], most: usize) -> Option<Vec<f64>> {
    let mut found: Vec<f64> = vec![];
    for value in values {
        if let Err(place) = found.binary_search_by(|known| known.total_cmp(&(value + 0.0))) {
            if found.len() == most {
                return None;
            }
            found.insert(place, value + 0.0);
        }
    }
    Some(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_numbers_share_their_rank() {
        assert_eq!(shares_below(&[3.0, 1.0, 3.0, 2.0]), [0.75, 0.125, 0.75, 0.375]);
        assert_eq!(shares_below(&[0.0, -0.0]), [0.5, 0.5]);
        assert_eq!(few_distinct(&[2.0, 1.0, 2.0, -0.0, 0.0], 3), Some(vec![0.0, 1.0, 2.0]));
        assert_eq!(few_distinct(&[2.0, 1.0, 3.0], 2), None);
    }
}
