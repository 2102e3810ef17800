//! What it would be worth to know more before choosing. Costs: lower is better.
//!
//! Whoever must choose now takes the option of the lowest expected cost. Whoever may look first takes the option that is
//! best given what was seen. The expected difference, never below 0, is the value of the information, in the unit of the
//! costs: more should not be paid for it.
//!
//! - [`perfect`]: everything is known (EVPI); [`discrete`]: the same from chances and a table of futures
//! - [`input`], [`inputs`]: one or several uncertain inputs are known and the rest is not (EVPPI), from trials
//! - [`Truths`]: what an experiment would be worth that is only planned (EVSI), by the likelihood of what it may show
//! - [`expected`]: costs given some inputs, with luck smoothed away
//! - [`Belief`]: closed forms for one normal belief, known exactly or by n measurements (EVSI)
//!
//! What goes wrong: information is worth nothing to those whose choice it cannot change, however much it narrows a forecast.
//! The value speaks of one choice on this scale; ten equal rooms gain ten times as much from one measurement.

mod basis;
mod belief;
#[cfg(test)]
mod checks;
mod fit;
mod linear;
mod planned;
mod trials;

pub use belief::{Belief, unit_normal_loss};
pub use planned::{Planned, Truths};
pub use trials::{Worth, expected, input, inputs};

use crate::fault::{Fault, demand, demand_count, demand_length};
use crate::table::{Table, first_lowest, lowest};
use crate::{Estimate, mean};

/// The expected value of perfect information from trials, with its standard error: the mean of the best option by mean,
/// less the mean of the cheapest option of each trial.
///
/// It comes out a little too low (by some half of its standard error) where two options have all but the same mean, as the
/// best by mean is picked with the same trials.
///
/// ```
/// let costs = choice::Table::new(&[vec![3.0, 2.0], vec![1.0, 4.0]]).unwrap();
/// assert_eq!(choice::information::perfect(&costs).unwrap().value, 0.5);
/// ```
///
/// # Errors
/// Fewer than two trials.
pub fn perfect(costs: &Table) -> Result<Estimate, Fault> {
    demand_count("trials", costs.trials(), 2)?;
    let best = costs.best();
    let losses: Vec<f64> = costs.rows().map(|row| row[best] - lowest(row)).collect();
    Ok(mean(&losses))
}

/// What perfect information is worth for futures of known chances.
#[derive(Debug, Clone, PartialEq)]
pub struct Discrete {
    /// Expected cost of each option.
    pub expected: Vec<f64>,
    /// The option to choose now: the lowest expected cost, the first of equals.
    pub choice: usize,
    /// Expected cost if the future is known before the choice.
    pub informed: f64,
    /// The value of perfect information: the lowest expected cost less `informed`.
    pub value: f64,
}

/// The value of perfect information from futures (rows) with their chances, which add up to 1 within 1e-9.
///
/// ```
/// let futures = choice::Table::new(&[vec![0.0, 4.0], vec![10.0, 4.0]]).unwrap();
/// let told = choice::information::discrete(&[0.5, 0.5], &futures).unwrap();
/// assert_eq!((told.expected, told.choice, told.informed, told.value), (vec![5.0, 4.0], 1, 2.0, 2.0));
/// ```
///
/// # Errors
/// Another number of chances than of futures; a chance outside \[0, 1\]; chances that do not add up to 1.
pub fn discrete(chances: &[f64], costs: &Table) -> Result<Discrete, Fault> {
    demand_length("the list of chances, number", 0, chances.len(), costs.trials())?;
    for chance in chances {
        demand((0.0..=1.0).contains(chance), "a chance", *chance, "0 to 1")?;
    }
    let sum: f64 = chances.iter().sum();
    demand((sum - 1.0).abs() <= 1e-9, "the sum of the chances", sum, "1")?;
    let expect = |of: &dyn Fn(&[f64]) -> f64| costs.rows().zip(chances).map(|(row, p)| p * of(row)).sum::<f64>();
    let expected: Vec<f64> = (0..costs.options()).map(|option| expect(&|row| row[option])).collect();
    let choice = first_lowest(&expected);
    // summed as losses, so that a sure best option gives exactly 0
    let value = expect(&|row| row[choice] - lowest(row));
    Ok(Discrete { informed: expect(&lowest), choice, expected, value })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sure_best_option_leaves_nothing_to_learn() {
        let costs = Table::new(&[vec![0.1, 0.3], vec![0.7, 0.9]]).unwrap();
        assert_eq!(perfect(&costs), Ok(Estimate { value: 0.0, se: 0.0 }));
        assert_eq!(discrete(&[0.3, 0.7], &costs).unwrap().value, 0.0);
    }

    #[test]
    fn hostile_input_is_refused() {
        let costs = Table::new(&[vec![0.1, 0.3], vec![0.7, 0.9]]).unwrap();
        for chances in [&[1.0][..], &[0.5, 0.6], &[-0.5, 1.5], &[f64::NAN, 0.5]] {
            assert!(discrete(chances, &costs).is_err(), "{chances:?}");
        }
        assert!(perfect(&Table::new(&[vec![1.0]]).unwrap()).is_err());
    }
}
