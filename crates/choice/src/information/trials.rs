//! The value of knowing some inputs, from trials that vary all inputs at once.

use super::basis::Basis;
use super::fit::{Fit, gains, model, whole, without_groups};
use crate::fault::{Fault, demand_count, demand_length, demand_sample};
use crate::normal;
use crate::table::Table;

/// Chance with which an input without effect is taken for one with an effect.
const ALPHA: f64 = 0.001;

/// Trials that are needed at the least.
const FEWEST_TRIALS: usize = 100;

/// Inputs that may be known together: the number of products grows with the square.
const MOST_INPUTS: usize = 12;

/// What knowing inputs before the choice is worth, in the unit of the costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worth {
    /// The expected value of perfect information about the inputs, 0 or more and never above that about everything.
    pub value: f64,
    /// Its standard error; where no effect was seen, `unseen`.
    pub se: f64,
    /// About what an effect may be worth that is too weak to be told from none with so many trials: a value below it means
    /// little, and a value of 0 says "less than some of this".
    pub unseen: f64,
    /// Whether the inputs have an effect on any difference in cost that is clear of chance. If not, the value is 0. If so,
    /// a value of 0 says that knowing them would not change the choice.
    pub is_seen: bool,
}

/// The value of knowing one input, of which `values` holds the value in each trial: see [`inputs`].
///
/// ```
/// // the second option is cheaper by the input, which lies evenly around 0: half of its mean size is gained
/// let x: Vec<f64> = (0..1000).map(|k| f64::from(k * 619 % 1000) - 499.5).collect();
/// let costs = choice::Table::from_options(&[&vec![0.0; 1000], &x]).unwrap();
/// let worth = choice::information::input(&costs, &x).unwrap();
/// assert!((worth.value - 125.0).abs() < 3.0 * worth.se && worth.is_seen);
/// ```
///
/// # Errors
/// Those of [`inputs`].
pub fn input(costs: &Table, values: &[f64]) -> Result<Worth, Fault> {
    inputs(costs, &[values])
}

/// The expected value of perfect partial information (EVPPI): what it is worth to know some inputs before choosing, while
/// all else stays uncertain. `inputs` holds for each input its values trial by trial, one to twelve inputs.
///
/// min over options of E(cost) − E(min over options of E(cost | inputs)). The inner mean is estimated by regression over
/// the trials (Strong, Oakley and Brennan, Medical Decision Making 34:311, 2014): of each option's cost less that of the best
/// by mean, on the inputs, their normal scores, natural splines of them and products of pairs. How many of these functions
/// are taken is decided by generalised cross-validation for each option. Inputs whose effect is not clear of chance at
/// 1 in 1000 are taken to have none.
///
/// The regression only advises: its lowest mean would be too low, as noise can make it lower but not higher. What is counted
/// is what each trial gains, at its own costs, by following advice from trials of other groups. So noise in the advice makes
/// the value a little too low, never too high, and the standard error is that of a mean of gains. The value is also a
/// little too low (by some half of the standard error) where two options have all but the same mean, as the best by mean
/// is picked with the same trials.
///
/// What goes wrong: independent trials are assumed; effects of three inputs together, and jumps or waves in one, are
/// smoothed over, which makes advice worse and the value too low; inputs that go together (correlated) each get the credit of the other.
///
/// # Errors
/// No input or more than twelve; an input with another number of values than trials, or with one that is no number; fewer
/// than 100 trials.
pub fn inputs(costs: &Table, inputs: &[&[f64]]) -> Result<Worth, Fault> {
    demand_fitting(costs, inputs)?;
    let Some(fitted) = Fitted::new(costs, inputs) else {
        return Ok(Worth { value: 0.0, se: 0.0, unseen: 0.0, is_seen: false });
    };
    let Fitted { unit, differences, basis, wholes, sizes, unseen, .. } = &fitted;
    let (unit, unseen) = (*unit, *unseen);
    if !fitted.is_seen() {
        return Ok(Worth { value: 0.0, se: unseen, unseen, is_seen: false });
    }
    let fits = without_groups(basis, differences, wholes, sizes);
    let gain = crate::mean(&gains(differences, basis, &fits));
    let lows: f64 = (0..costs.trials())
        .map(|trial| differences.iter().map(|difference| difference[trial]).fold(0.0, f64::min))
        .sum();
    let most = -lows / costs.trials() as f64;
    Ok(Worth { value: unit * gain.value.min(most).max(0.0), se: unit * gain.se, unseen, is_seen: true })
}

/// What each option is expected to cost given some inputs, trial by trial, so that luck is not mistaken for knowledge: costs
/// less those of the option that is best by mean, in the unit of the costs. The column of the latter is 0 throughout, and
/// the mean of each column is that of the costs.
///
/// The regression is that of [`inputs`], on all trials. A difference that does not go with the inputs clear of chance is
/// its mean in every trial.
///
/// ```
/// let x: Vec<f64> = (0..1000).map(|k| f64::from(k * 619 % 1000) - 499.5).collect();
/// let costs: Vec<f64> = x.iter().enumerate().map(|(k, x)| 9.0 + x + if k % 2 == 0 { 40.0 } else { -40.0 }).collect();
/// let table = choice::Table::from_options(&[&vec![0.0; 1000], &costs]).unwrap();
/// let expected = choice::information::expected(&table, &[&x]).unwrap();
/// assert!((expected.row(3)[1] - (9.0 + x[3])).abs() < 10.0 && expected.row(3)[0] == 0.0);
/// ```
///
/// # Errors
/// Those of [`inputs`].
pub fn expected(costs: &Table, inputs: &[&[f64]]) -> Result<Table, Fault> {
    demand_fitting(costs, inputs)?;
    let best = costs.best();
    let mut columns = vec![vec![0.0; costs.trials()]; costs.options()];
    if let Some(Fitted { unit, basis, wholes, sizes, others, .. }) = Fitted::new(costs, inputs) {
        for ((option, whole), size) in others.iter().zip(&wholes).zip(&sizes) {
            for (part, column) in whole.iter().zip(&basis.columns).take(*size) {
                columns[*option].iter_mut().zip(column).for_each(|(cost, x)| *cost += unit * part * x);
            }
        }
    }
    debug_assert!(columns[best].iter().all(|cost| *cost == 0.0));
    let columns: Vec<&[f64]> = columns.iter().map(Vec::as_slice).collect();
    Table::from_options(&columns)
}

/// Refuses what cannot be regressed.
fn demand_fitting(costs: &Table, inputs: &[&[f64]]) -> Result<(), Fault> {
    demand_count("inputs", inputs.len(), 1)?;
    let count = inputs.len();
    if count > MOST_INPUTS {
        return Err(Fault::Number { what: "the number of inputs", found: count as f64, allowed: "1 to 12" });
    }
    demand_count("trials", costs.trials(), FEWEST_TRIALS)?;
    for (place, values) in inputs.iter().enumerate() {
        demand_length("input", place, values.len(), costs.trials())?;
        demand_sample("a value of an input", values, 1)?;
    }
    Ok(())
}

/// Differences in cost with their regression on all trials.
struct Fitted {
    /// Options other than the best by mean.
    others: Vec<usize>,
    /// Their costs less those of the best, in units of the largest difference, and this unit: so neither squares nor roots
    /// of them can vanish.
    differences: Vec<Vec<f64>>,
    unit: f64,
    basis: Basis,
    /// Coefficients of the whole basis, and how many leading ones each difference takes.
    wholes: Vec<Fit>,
    sizes: Vec<usize>,
    /// About what an effect may be worth that cannot be seen.
    unseen: f64,
}

impl Fitted {
    /// None where all options cost the same in every trial.
    fn new(costs: &Table, inputs: &[&[f64]]) -> Option<Self> {
        let (others, differences, unit) = differences(costs);
        if differences.is_empty() || unit == 0.0 {
            return None;
        }
        let basis = Basis::new(inputs);
        let alpha = ALPHA / differences.len() as f64;
        let wholes: Vec<Fit> = differences.iter().map(|difference| whole(&basis, difference)).collect();
        let sizes: Vec<usize> = differences
            .iter()
            .zip(&wholes)
            .map(|(difference, whole)| model(&basis, difference, whole, alpha))
            .collect();
        let unseen = unit * differences.iter().map(|difference| weakest(difference, alpha)).sum::<f64>();
        Some(Self { others, differences, unit, basis, wholes, sizes, unseen })
    }

    /// Whether any difference goes with the inputs, clear of chance.
    fn is_seen(&self) -> bool {
        self.sizes.iter().any(|size| *size > 1)
    }
}

/// Options other than the best by mean, their costs less those of the best in units of the largest, and this unit.
fn differences(costs: &Table) -> (Vec<usize>, Vec<Vec<f64>>, f64) {
    let best = costs.best();
    let others: Vec<usize> = (0..costs.options()).filter(|option| *option != best).collect();
    let unit = costs.rows().flat_map(|row| row.iter().map(|cost| (cost - row[best]).abs())).fold(0.0, f64::max);
    let scaled = |option: &usize| costs.rows().map(|row| (row[*option] - row[best]) / unit).collect();
    let scaled = others.iter().map(scaled).collect();
    (others, scaled, unit)
}

/// The value of a normal effect, linear in an input, of the size that just fails the test for one function: with standard
/// deviation σ = s·z/√n, where z is the two-sided point of α, it is σ·L(m/σ).
fn weakest(difference: &[f64], alpha: f64) -> f64 {
    let mean = crate::mean(difference);
    let sd = -normal::quantile(0.5 * alpha) * mean.se;
    if sd > 0.0 { sd * normal::loss(mean.value.abs() / sd) } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hostile_input_is_refused() {
        let x: Vec<f64> = (0..100).map(f64::from).collect();
        let costs = Table::from_options(&[&x, &x]).unwrap();
        assert!(inputs(&costs, &[]).is_err() && input(&costs, &x[1..]).is_err());
        assert!(input(&costs, &vec![f64::NAN; 100]).is_err() && inputs(&costs, &vec![&x[..]; 13]).is_err());
        let few = Table::from_options(&[&x[1..], &x[1..]]).unwrap();
        assert!(input(&few, &x[1..]).is_err());
    }

    #[test]
    fn one_option_or_equal_options_leave_nothing_to_learn() {
        let x: Vec<f64> = (0..100).map(f64::from).collect();
        let nothing = Worth { value: 0.0, se: 0.0, unseen: 0.0, is_seen: false };
        assert_eq!(input(&Table::from_options(&[&x]).unwrap(), &x), Ok(nothing));
        assert_eq!(input(&Table::from_options(&[&x, &x]).unwrap(), &x), Ok(nothing));
    }

    #[test]
    fn extreme_numbers_stay_numbers() {
        let x: Vec<f64> = (0..200).map(|k| f64::from(k % 17) - 8.0).collect();
        for size in [1e-300, 1.0, 1e99] {
            let costs: Vec<f64> = x.iter().map(|x| x * size).collect();
            let costs = Table::from_options(&[&vec![0.0; 200], &costs]).unwrap();
            let odd: Vec<f64> = (0..200).map(|k| if k == 7 { 1e100 } else { x[k] }).collect();
            for values in [&x, &odd] {
                let worth = input(&costs, values).unwrap();
                assert!(worth.value >= 0.0 && worth.value.is_finite() && worth.se.is_finite(), "{size}: {worth:?}");
                assert!(worth.value <= crate::information::perfect(&costs).unwrap().value * (1.0 + 1e-12));
            }
        }
    }
}
