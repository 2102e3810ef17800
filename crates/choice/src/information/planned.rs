//! What an experiment would be worth that is only planned: preposterior analysis by exact likelihoods.
//!
//! Belongs here: beliefs as weighted truths, what is believed after an outcome, the worth of outcomes that were simulated
//! or enumerated. Does not belong here: how an outcome is drawn and how likely it is, which the caller knows.

use crate::Estimate;
use crate::fault::{Fault, demand, demand_count, demand_length};
use crate::table::{Table, first_lowest, lowest};

/// Logarithms of likelihoods that lie so far below the largest weigh nothing.
const NOTHING: f64 = 60.0;

/// What may be true, as a list of truths with their weights, and what every option costs if one of them is.
///
/// The costs of a truth are *expected* ones: what luck adds that no experiment shows must be smoothed away before, see
/// [`crate::information::expected`]; otherwise luck counts as knowledge.
#[derive(Debug, Clone)]
pub struct Truths<'a> {
    costs: &'a Table,
    /// By truth; they add up to 1.
    weights: Vec<f64>,
}

/// What a planned experiment is worth.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    /// The expected value of sample information, in the unit of the costs: never below 0 and never above the value of
    /// knowing the truth. The standard error is that of the outcomes that were simulated, the truths taken as they are.
    pub worth: Estimate,
    /// Share of the simulated outcomes that change the choice.
    pub changes: f64,
    /// Chance that each option is chosen after the experiment if a truth holds, by option, then by truth; over the options
    /// they add up to 1. From the simulated outcomes by Bayes' rule: of all weight that a truth gets after outcomes, the part
    /// after those that lead to the option; 1 for the choice of now where no outcome leaves it any.
    pub chosen: Vec<Vec<f64>>,
}

impl Planned {
    /// Standard error of the worth that comes from the costs being those of so many trials: `saved` holds for each option
    /// and trial what it saves over the choice of now, as lived, luck and all; in the unit of the costs.
    ///
    /// The worth is the mean over the truths of what the option chosen saves. A small change in costs does not change the
    /// mean by moving an option's border, where the options are worth the same, so that the error is that of the
    /// mean of savings weighted by the chance of the option: near a change of choice it is far larger than in
    /// proportion to the worth.
    ///
    /// What goes wrong: at a worth of 0 no option but that of now is chosen, and this error is 0, too, however near the
    /// next one is.
    ///
    /// # Errors
    /// Fewer than two truths; another number of options or of trials.
    pub fn error_of_costs(&self, saved: &[Vec<f64>]) -> Result<f64, Fault> {
        let truths = self.chosen.first().map_or(0, Vec::len);
        demand_count("truths", truths, 2)?;
        demand_length("the list of savings, number", 0, saved.len(), self.chosen.len())?;
        let mut gains = vec![0.0; truths];
        for (option, (saved, chosen)) in saved.iter().zip(&self.chosen).enumerate() {
            demand_length("the savings of option", option, saved.len(), truths)?;
            gains.iter_mut().zip(saved.iter().zip(chosen)).for_each(|(gain, (saved, chance))| *gain += saved * chance);
        }
        Ok(crate::mean(&gains).se)
    }
}

impl<'a> Truths<'a> {
    /// Equally likely truths, one for each row of the costs.
    pub fn new(costs: &'a Table) -> Self {
        let n = costs.trials();
        Self { costs, weights: vec![1.0 / n as f64; n] }
    }

    /// The weight of each truth; they add up to 1.
    pub fn weights(&self) -> &[f64] {
        &self.weights
    }

    /// What each option is expected to cost.
    pub fn means(&self) -> Vec<f64> {
        let mut means = vec![0.0; self.costs.options()];
        for (row, weight) in self.costs.rows().zip(&self.weights) {
            means.iter_mut().zip(row).for_each(|(mean, cost)| *mean += weight * cost);
        }
        means
    }

    /// The option to choose on this belief: the lowest expected cost, the first of equals.
    pub fn best(&self) -> usize {
        first_lowest(&self.means())
    }

    /// The value of knowing the truth before the choice (EVPI), in the unit of the costs.
    pub fn perfect(&self) -> f64 {
        let best = self.best();
        self.costs.rows().zip(&self.weights).map(|(row, weight)| weight * (row[best] - lowest(row))).sum()
    }

    /// What is believed after an outcome, of which `log_likelihood` holds the logarithm of the chance (or density) under each
    /// truth; a constant may be missing. None where no truth allows it.
    ///
    /// ```
    /// // is the coin fair (costs 0 and 1) or does it always show heads (costs 1 and 0)? It shows heads, twice.
    /// let costs = choice::Table::new(&[vec![0.0, 1.0], vec![1.0, 0.0]]).unwrap();
    /// let after = choice::information::Truths::new(&costs).given(&[0.25f64.ln(), 0.0]).unwrap().unwrap();
    /// assert!((after.weights()[1] - 0.8).abs() < 1e-12 && after.best() == 1);
    /// ```
    ///
    /// # Errors
    /// Another number of likelihoods than of truths, one that is not a number or infinite upwards.
    pub fn given(&self, log_likelihood: &[f64]) -> Result<Option<Self>, Fault> {
        let mut weights = vec![0.0; self.weights.len()];
        let is_possible = self.weigh(log_likelihood, &mut weights)?;
        Ok(is_possible.then_some(Self { costs: self.costs, weights }))
    }

    /// Writes the weights after an outcome; false where no truth allows it.
    fn weigh(&self, log_likelihood: &[f64], weights: &mut [f64]) -> Result<bool, Fault> {
        demand_length("the list of likelihoods, number", 0, log_likelihood.len(), self.weights.len())?;
        let mut most = f64::NEG_INFINITY;
        for (log, weight) in log_likelihood.iter().zip(&self.weights) {
            demand(*log < f64::INFINITY, "the logarithm of a likelihood", *log, "below infinity")?;
            if *weight > 0.0 {
                most = most.max(*log);
            }
        }
        if most == f64::NEG_INFINITY {
            return Ok(false);
        }
        let mut sum = 0.0;
        for ((after, log), before) in weights.iter_mut().zip(log_likelihood).zip(&self.weights) {
            let below = log - most;
            *after = if below > -NOTHING { before * below.exp() } else { 0.0 };
            sum += *after;
        }
        weights.iter_mut().for_each(|weight| *weight /= sum);
        Ok(true)
    }

    /// The worth of an experiment whose outcomes are simulated: `outcome(k, likelihoods)` draws the k-th outcome and writes the
    /// logarithm of its likelihood under each truth. Outcomes must be drawn as likely as these truths make them: from a
    /// truth that is itself drawn by the weights.
    ///
    /// After each outcome the option of the lowest expected cost is taken. What that gains over the choice of now, on what is
    /// then believed, is never below 0; what knowing the truth would gain on the same belief is never less. The worth is
    /// the mean of the first over the mean of the second, times [`Truths::perfect`], whose value is known without luck: a
    /// ratio estimator, which keeps both bounds exactly and has less noise than the mean alone.
    ///
    /// # Errors
    /// Fewer than two outcomes; those of [`Truths::given`].
    pub fn simulated(&self, outcomes: usize, mut outcome: impl FnMut(usize, &mut [f64])) -> Result<Planned, Fault> {
        demand_count("outcomes", outcomes, 2)?;
        let now = self.best();
        let mut log_likelihood = vec![0.0; self.weights.len()];
        let mut after = Self { costs: self.costs, weights: vec![0.0; self.weights.len()] };
        let mut found = Vec::with_capacity(outcomes);
        let mut changes = 0u64;
        let mut chosen = vec![vec![0.0; self.weights.len()]; self.costs.options()];
        for k in 0..outcomes {
            outcome(k, &mut log_likelihood);
            if !self.weigh(&log_likelihood, &mut after.weights)? {
                found.push((0.0, 0.0));
                continue;
            }
            let (gain, bound, best) = after.gains(now);
            changes += u64::from(gain > 0.0);
            chosen[best].iter_mut().zip(&after.weights).for_each(|(sum, weight)| *sum += weight);
            found.push((gain, bound));
        }
        let n = outcomes as f64;
        let sum = |read: fn(&(f64, f64)) -> f64| found.iter().map(read).sum::<f64>();
        let (gain, bound) = (sum(|found| found.0) / n, sum(|found| found.1) / n);
        let perfect = self.perfect();
        for truth in 0..self.weights.len() {
            let all: f64 = chosen.iter().map(|chosen| chosen[truth]).sum();
            for (option, chosen) in chosen.iter_mut().enumerate() {
                chosen[truth] = if all > 0.0 { chosen[truth] / all } else { f64::from(u8::from(option == now)) };
            }
        }
        if !(bound > 0.0) {
            return Ok(Planned { worth: Estimate { value: 0.0, se: 0.0 }, changes: 0.0, chosen });
        }
        let share = (gain / bound).min(1.0);
        let off = found.iter().map(|(gain, bound)| (gain - share * bound).powi(2)).sum::<f64>();
        let se = (off / (n - 1.0) / n).sqrt() / bound;
        let worth = Estimate { value: perfect * share, se: perfect * se };
        Ok(Planned { worth, changes: changes as f64 / n, chosen })
    }

    /// What the best choice on this belief gains over an option, what knowing the truth would, and which choice that is:
    /// the option itself where none gains.
    fn gains(&self, over: usize) -> (f64, f64, usize) {
        let mut gains = vec![0.0; self.costs.options()];
        let mut bound = 0.0;
        for (row, weight) in self.costs.rows().zip(&self.weights) {
            if *weight > 0.0 {
                gains.iter_mut().zip(row).for_each(|(gain, cost)| *gain += weight * (row[over] - cost));
                bound += weight * (row[over] - lowest(row));
            }
        }
        let (mut most, mut best) = (0.0, over);
        for (option, gain) in gains.into_iter().enumerate() {
            if gain > most {
                (most, best) = (gain, option);
            }
        }
        (most.min(bound), bound, best)
    }

    /// The worth of an experiment all of whose outcomes are gone through: `likelihood(k, likelihoods)` writes the chance of the
    /// k-th outcome under each truth. Without luck of its own.
    ///
    /// ```
    /// let costs = choice::Table::new(&[vec![0.0, 1.0], vec![1.0, 0.0]]).unwrap();
    /// let truths = choice::information::Truths::new(&costs);
    /// // one throw of a coin that is fair or always shows heads: tails is certain proof, heads leaves 2/3 against 1/3
    /// let heads = [0.5, 1.0];
    /// let worth = truths.enumerated(2, |k, out| {
    ///     out.iter_mut().zip(heads).for_each(|(out, heads)| *out = if k == 0 { heads } else { 1.0 - heads });
    /// });
    /// assert!((worth.unwrap() - 0.25).abs() < 1e-12);
    /// ```
    ///
    /// # Errors
    /// Chances that do not add up to 1 (within 1e-6) on this belief.
    pub fn enumerated(&self, outcomes: usize, mut likelihood: impl FnMut(usize, &mut [f64])) -> Result<f64, Fault> {
        let now = self.best();
        let mut chances = vec![0.0; self.weights.len()];
        let mut joint = Self { costs: self.costs, weights: vec![0.0; self.weights.len()] };
        let (mut worth, mut all) = (0.0, 0.0);
        for k in 0..outcomes {
            likelihood(k, &mut chances);
            for ((joint, chance), weight) in joint.weights.iter_mut().zip(&chances).zip(&self.weights) {
                *joint = weight * chance;
                all += *joint;
            }
            worth += joint.gains(now).0;
        }
        demand((all - 1.0).abs() <= 1e-6, "the sum of the chances", all, "1")?;
        Ok(worth)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::luck::Luck;

    fn coin() -> Table {
        Table::new(&[vec![0.0, 1.0], vec![1.0, 0.0]]).unwrap()
    }

    /// A coin that is fair or always shows heads, thrown n times: it is called fair as soon as tails show. If not, heads
    /// throughout have the chance (1 + 2⁻ⁿ)/2, and calling it crooked is wrong in 2⁻ⁿ/2 of all cases; before that, half of
    /// all calls are wrong.
    #[test]
    fn two_truths_come_out_as_by_hand() {
        let costs = coin();
        let truths = Truths::new(&costs);
        assert_eq!((truths.perfect(), truths.best()), (0.5, 0));
        for n in [1, 2, 5, 20] {
            let by_hand = 0.5 - 0.5 * 0.5f64.powi(n);
            let binomial = |tails: usize| {
                let ways = (0..tails).fold(1.0, |ways, k| ways * (f64::from(n) - k as f64) / (k as f64 + 1.0));
                ways * 0.5f64.powi(n)
            };
            let worth = truths.enumerated(n as usize + 1, |tails, out| {
                (out[0], out[1]) = (binomial(tails), f64::from(u8::from(tails == 0)));
            });
            assert!((worth.unwrap() - by_hand).abs() < 1e-12, "{n}");
        }
    }

    #[test]
    fn simulated_outcomes_keep_their_bounds_exactly() {
        let costs = coin();
        let truths = Truths::new(&costs);
        // outcomes that say all, and outcomes that say nothing
        let all = truths.simulated(10, |k, out| {
            out.iter_mut()
                .enumerate()
                .for_each(|(truth, out)| *out = if truth == k % 2 { 0.0 } else { f64::NEG_INFINITY });
        });
        let chosen = vec![vec![1.0, 0.0], vec![0.0, 1.0]];
        assert_eq!(all.unwrap(), Planned { worth: Estimate { value: 0.5, se: 0.0 }, changes: 0.5, chosen });
        let nothing = truths.simulated(10, |_, out| out.fill(-3.0)).unwrap();
        let chosen = vec![vec![1.0; 2], vec![0.0; 2]];
        assert_eq!(nothing, Planned { worth: Estimate { value: 0.0, se: 0.0 }, changes: 0.0, chosen });
    }

    /// An option costs m + x + luck more than nothing; x is seen with noise. What is expected of a truth comes from regression
    /// over the trials. Samples drawn anew must scatter as much as their errors say.
    #[test]
    fn errors_are_as_large_as_the_scatter_of_samples_near_a_change_of_choice() {
        const TRIALS: usize = 400;
        let mut worths = vec![];
        let mut errors = vec![];
        for seed in 0..60 {
            let mut luck = Luck::new(9000 + seed);
            let x = luck.normals(TRIALS);
            let lived: Vec<f64> = x.iter().map(|x| 1.2 + x + 3.0 * luck.normal()).collect();
            let costs = Table::from_options(&[&vec![0.0; TRIALS], &lived]).unwrap();
            let costs = crate::information::expected(&costs, &[&x]).unwrap();
            let planned = Truths::new(&costs).simulated(TRIALS, |k, out| {
                let seen = x[k] + luck.normal();
                out.iter_mut().zip(&x).for_each(|(out, x)| *out = -0.5 * (seen - x).powi(2));
            });
            let planned = planned.unwrap();
            let saved = [vec![0.0; TRIALS], lived.iter().map(|lead| -lead).collect()];
            worths.push(planned.worth.value);
            errors.push(planned.worth.se.hypot(planned.error_of_costs(&saved).unwrap()));
        }
        let n = worths.len() as f64;
        let middle = crate::mean(&worths).value;
        let scatter = (worths.iter().map(|worth| (worth - middle).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
        let said = crate::mean(&errors).value;
        assert!(
            middle > 0.0 && (0.7 * scatter..1.5 * scatter).contains(&said),
            "scatter {scatter}, said {said}, of {middle}"
        );
    }

    #[test]
    fn savings_of_another_shape_are_refused() {
        let costs = coin();
        let planned = Truths::new(&costs).simulated(4, |_, out| out.fill(0.0)).unwrap();
        assert_eq!(planned.error_of_costs(&[vec![0.0; 2], vec![3.0, -9.0]]), Ok(0.0));
        assert!(planned.error_of_costs(&[vec![0.0; 2]]).is_err());
        assert!(planned.error_of_costs(&[vec![0.0; 2], vec![0.0]]).is_err());
    }

    #[test]
    fn a_sure_best_option_leaves_nothing_to_find_out() {
        let costs = Table::new(&[vec![0.1, 0.3], vec![0.7, 0.9]]).unwrap();
        let truths = Truths::new(&costs);
        let found = truths.simulated(4, |k, out| (out[0], out[1]) = (-(k as f64), 0.0)).unwrap();
        assert_eq!((found.worth.value, found.changes, truths.perfect()), (0.0, 0.0, 0.0));
    }

    #[test]
    fn hostile_likelihoods_are_refused() {
        let costs = coin();
        let truths = Truths::new(&costs);
        assert!(truths.given(&[0.0]).is_err() && truths.given(&[f64::NAN, 0.0]).is_err());
        assert!(truths.given(&[f64::INFINITY, 0.0]).is_err());
        assert!(truths.given(&[f64::NEG_INFINITY; 2]).unwrap().is_none());
        assert!(truths.simulated(1, |_, out| out.fill(0.0)).is_err());
        assert!(truths.enumerated(1, |_, out| out.fill(0.5)).is_err());
        // far below what a double can hold, and yet one of them is likelier
        let after = truths.given(&[-2e5, -2e5 - 1.0]).unwrap().unwrap();
        assert!((after.weights()[1] - 1.0 / (1.0 + 1f64.exp())).abs() < 1e-12);
    }
}
