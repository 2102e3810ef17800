//! What a choice costs against the best that could have been chosen. Costs: lower is better.
//!
//! The regret of an option in a trial is its cost less the lowest cost of that trial: 0 for the cheapest, never below.
//! What goes wrong: regret depends on which options are on the table, and adding one that nobody would choose can change
//! which of the others is picked by [`minimax`].

use crate::fault::{Fault, demand, demand_count};
use crate::interval::quantile;
use crate::table::{Table, lowest};
use crate::{Estimate, mean};

/// What is lost by picking an option.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regret {
    /// Expected loss: the mean of cost − lowest cost of the trial, with its standard error, in the unit of the costs.
    pub mean: Estimate,
    /// The quantile of the loss that was asked for (type 8 of Hyndman and Fan).
    pub quantile: f64,
    /// The chance that this option is the cheapest, with its standard error; ties are shared evenly, so that the chances
    /// of all options add up to 1.
    pub cheapest: Estimate,
}

/// The regret of every option over trials, with the p-quantile of each, 0 ≤ p ≤ 1.
///
/// The lowest mean regret belongs to the option of the lowest mean cost, and is what it would be worth to know everything
/// before choosing: see [`crate::information::perfect`].
///
/// ```
/// let costs = choice::Table::new(&[vec![3.0, 2.0], vec![1.0, 4.0], vec![1.0, 1.0], vec![5.0, 7.0]]).unwrap();
/// let regrets = choice::regret::regrets(&costs, 0.95).unwrap();
/// assert_eq!((regrets[0].mean.value, regrets[1].mean.value), (0.25, 1.25));
/// assert_eq!(regrets[0].cheapest.value, 0.625);
/// ```
///
/// # Errors
/// Fewer than two trials, p outside \[0, 1\].
pub fn regrets(costs: &Table, p: f64) -> Result<Vec<Regret>, Fault> {
    demand_count("trials", costs.trials(), 2)?;
    demand((0.0..=1.0).contains(&p), "the quantile's probability", p, "0 to 1")?;
    let lows: Vec<(f64, f64)> = costs
        .rows()
        .map(|row| {
            let low = lowest(row);
            (low, 1.0 / row.iter().filter(|cost| **cost == low).count() as f64)
        })
        .collect();
    (0..costs.options())
        .map(|option| {
            let of_trials = || costs.rows().map(|row| row[option]).zip(&lows);
            let losses: Vec<f64> = of_trials().map(|(cost, (low, _))| cost - low).collect();
            let wins: Vec<f64> =
                of_trials().map(|(cost, (low, part))| if cost == *low { *part } else { 0.0 }).collect();
            Ok(Regret { mean: mean(&losses), quantile: quantile(&losses, p)?, cheapest: mean(&wins) })
        })
        .collect()
}

/// Regrets in named futures, and what to pick if no chances can be given to them.
#[derive(Debug, Clone, PartialEq)]
pub struct Minimax {
    /// Regret of each option (column) in each future (row), in the unit of the costs.
    pub regret: Table,
    /// Largest regret of each option.
    pub worst: Vec<f64>,
    /// The options whose largest regret is the smallest: more than one where they tie.
    pub picks: Vec<usize>,
}

/// The regret table of named futures (rows), and the options whose largest regret is smallest (Savage, Journal of the
/// American Statistical Association 46:55, 1951).
///
/// Options tie if their largest regrets differ by no more than 1e-12 of the largest cost, which is rounding.
///
/// ```
/// let futures = choice::Table::new(&[vec![0.0, 3.0], vec![9.0, 5.0]]).unwrap();
/// let minimax = choice::regret::minimax(&futures).unwrap();
/// assert_eq!((minimax.worst, minimax.picks), (vec![4.0, 3.0], vec![1]));
/// ```
///
/// # Errors
/// Costs that lie more than 1e100 apart.
pub fn minimax(costs: &Table) -> Result<Minimax, Fault> {
    let rows: Vec<Vec<f64>> = costs
        .rows()
        .map(|row| {
            let low = lowest(row);
            row.iter().map(|cost| cost - low).collect()
        })
        .collect();
    let worst: Vec<f64> =
        (0..costs.options()).map(|option| rows.iter().map(|row| row[option]).fold(0.0, f64::max)).collect();
    let largest = costs.rows().flatten().fold(0.0, |most: f64, cost| most.max(cost.abs()));
    let least = lowest(&worst);
    let picks = (0..worst.len()).filter(|option| worst[*option] <= least + 1e-12 * largest).collect();
    Ok(Minimax { regret: Table::new(&rows)?, worst, picks })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_add_up_and_ties_are_shared() {
        let costs = Table::new(&[vec![1.0, 1.0, 2.0], vec![3.0, 2.0, 2.0], vec![1.0, 1.0, 1.0]]).unwrap();
        let regrets = regrets(&costs, 0.5).unwrap();
        let sum: f64 = regrets.iter().map(|regret| regret.cheapest.value).sum();
        assert!((sum - 1.0).abs() < 1e-15);
        assert!((regrets[1].cheapest.value - (0.5 + 0.5 + 1.0 / 3.0) / 3.0).abs() < 1e-15);
        assert_eq!(regrets[1].mean, Estimate { value: 0.0, se: 0.0 });
        assert_eq!(regrets[0].quantile, 0.0);
    }

    #[test]
    fn ties_of_the_largest_regret_are_all_picked() {
        let costs = Table::new(&[vec![0.1 + 0.2, 0.0, 5.0], vec![0.0, 0.3, 0.0]]).unwrap();
        assert_eq!(minimax(&costs).unwrap().picks, [0, 1]);
    }

    #[test]
    fn one_trial_is_refused() {
        let one = Table::new(&[vec![1.0, 2.0]]).unwrap();
        assert!(regrets(&one, 0.5).is_err());
        let two = Table::new(&[vec![1.0, 2.0], vec![1.0, 2.0]]).unwrap();
        assert!(regrets(&two, f64::NAN).is_err());
        let wide = Table::new(&[vec![-1e100, 1e100]]).unwrap();
        assert!(minimax(&wide).is_err());
    }
}
