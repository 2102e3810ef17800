//! Whether one of two options is better for everybody, or for everybody who is cautious. Costs: lower is better.
//!
//! First order: at every cost k, the better option has at least as large a chance of costing no more than k. Then every
//! buyer who likes low costs better prefers it. Second order (the increasing convex order of costs): at every k, its mean
//! excess E(cost − k)⁺, the stop-loss transform, is at most as large. Then every buyer who also dislikes risk prefers it
//! (Shaked and Shanthikumar, Stochastic Orders, 2007, chapter 4; from memory). The first implies the second, and the second
//! that the mean is no higher.
//!
//! What goes wrong: samples are noisy, and where two distributions hardly differ in a tail, a single trial breaks the rule.
//! So [`compare`] also says by how much each rule is broken, and [`chance_gap`] what chance alone breaks it by.

use crate::fault::{Fault, demand, demand_count, demand_number, demand_positive, demand_sample};
use crate::normal;

/// Which of two options.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which {
    /// The first that was given.
    First,
    /// The second.
    Second,
}

/// What may be said of two options.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Both have the same distribution of costs.
    Equal,
    /// This one is better at every cost (first order): for everybody.
    ForAll(Which),
    /// This one has the smaller mean excess over every cost (second order): for everybody who dislikes risk.
    ForTheCautious(Which),
    /// It depends on how risk is weighed.
    Neither,
}

/// How far a rule speaks for each of two options.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Largest distance in favour of the first option.
    pub for_first: f64,
    /// Largest distance in favour of the second option.
    pub for_second: f64,
}

impl Gap {
    /// By how much the rule "this one is better" is broken: the distance against it as a share of both, 0 where it holds
    /// everywhere, 1 where the other one is better everywhere; ½ where nothing differs.
    pub fn broken(&self, which: Which) -> f64 {
        let sum = self.for_first + self.for_second;
        if !(sum > 0.0) {
            return 0.5;
        }
        match which {
            Which::First => self.for_second / sum,
            Which::Second => self.for_first / sum,
        }
    }
}

/// Two samples of costs compared.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Comparison {
    /// Distances between the two distribution functions, as chances (0 to 1).
    pub chances: Gap,
    /// Distances between the two mean excesses, in the unit of the costs.
    pub excess: Gap,
    /// Mean cost of the first less that of the second.
    pub difference: f64,
}

/// A share of rule-breaking that rounding explains.
const ROUNDING: f64 = 1e-12;

impl Comparison {
    /// The verdict, if a rule may be broken by a share `allowed`, 0 or more and below ½ (see [`Gap::broken`]): 0 takes the
    /// samples as the truth, some 0.05 overlooks a trial or two in a tail.
    ///
    /// # Errors
    /// A share that is not allowed.
    pub fn verdict(&self, allowed: f64) -> Result<Verdict, Fault> {
        demand((0.0..0.5).contains(&allowed), "the share that is overlooked", allowed, "0 or more, below 0.5")?;
        let most = allowed.max(ROUNDING);
        if self.chances.for_first + self.chances.for_second == 0.0 {
            return Ok(Verdict::Equal);
        }
        let better = |gap: &Gap| [Which::First, Which::Second].into_iter().find(|which| gap.broken(*which) <= most);
        let verdict = better(&self.chances).map(Verdict::ForAll);
        Ok(verdict.or(better(&self.excess).map(Verdict::ForTheCautious)).unwrap_or(Verdict::Neither))
    }
}

/// Compares the costs of two options, of which the samples may differ in size.
///
/// ```
/// use choice::dominance::{Verdict, Which, compare};
/// let calm = compare(&[2.0, 2.0], &[1.0, 3.0]).unwrap();
/// assert_eq!(calm.verdict(0.0), Ok(Verdict::ForTheCautious(Which::First)));
/// let cheap = compare(&[3.0, 4.0], &[1.0, 4.0]).unwrap();
/// assert_eq!(cheap.verdict(0.0), Ok(Verdict::ForAll(Which::Second)));
/// ```
///
/// # Errors
/// An empty sample, a cost that is no number.
pub fn compare(first: &[f64], second: &[f64]) -> Result<Comparison, Fault> {
    demand_sample("a cost of the first option", first, 1)?;
    demand_sample("a cost of the second option", second, 1)?;
    // from the dearest down: how many of each lie at or above a cost, and the area between the two shares so far
    let mut costs: Vec<(f64, bool)> =
        first.iter().map(|cost| (*cost, true)).chain(second.iter().map(|cost| (*cost, false))).collect();
    costs.sort_unstable_by(|a, b| b.0.total_cmp(&a.0));
    let mut above = [0usize; 2];
    let mut chances = Gap { for_first: 0.0, for_second: 0.0 };
    let mut excess = chances;
    let (mut area, mut last, mut difference) = (0.0, costs[0].0, 0.0);
    let mut rest = costs.as_slice();
    while let Some((cost, _)) = rest.first().copied() {
        area += difference * (last - cost);
        widen(&mut excess, area);
        let same = rest.iter().take_while(|(other, _)| *other == cost).count().max(1);
        for (_, is_first) in &rest[..same] {
            above[usize::from(!is_first)] += 1;
        }
        rest = &rest[same..];
        difference = lead(above, first.len(), second.len());
        widen(&mut chances, difference);
        last = cost;
    }
    Ok(Comparison { chances, excess, difference: area })
}

/// The share of the first option's costs that lie above, less the second's; exactly 0 where they are equal.
fn lead(above: [usize; 2], first: usize, second: usize) -> f64 {
    let (a, b) = (above[0] as u128 * second as u128, above[1] as u128 * first as u128);
    if a == b { 0.0 } else { (a as f64 - b as f64) / (first as f64 * second as f64) }
}

/// Takes a difference "first less second" of something that should be small into a gap.
fn widen(gap: &mut Gap, difference: f64) {
    gap.for_first = gap.for_first.max(-difference);
    gap.for_second = gap.for_second.max(difference);
}

/// The one-sided distance between two distribution functions (see [`Comparison::chances`]) that two independent samples of
/// one distribution exceed with probability `alpha`: √(−ln α/2)·√((n + m)/(nm)), the limit of Smirnov's for large samples.
///
/// Options that shared their luck lie closer together by chance; then this is too careful.
///
/// ```
/// let gap = choice::dominance::chance_gap(1000, 1000, 0.05).unwrap();
/// assert!((gap - 0.0547).abs() < 1e-4);
/// ```
///
/// # Errors
/// An empty sample, α outside (0, 1).
pub fn chance_gap(first: usize, second: usize, alpha: f64) -> Result<f64, Fault> {
    demand_count("trials", first.min(second), 1)?;
    crate::fault::demand_inner("the chance", alpha)?;
    Ok((-0.5 * alpha.ln()).sqrt() * (1.0 / first as f64 + 1.0 / second as f64).sqrt())
}

/// The mean excess E(cost − k)⁺ of a sample over k (stop-loss transform), in the unit of the costs.
///
/// ```
/// assert_eq!(choice::dominance::excess(&[1.0, 4.0], 2.0), Ok(1.0));
/// ```
///
/// # Errors
/// An empty sample, a cost or k that is no number.
pub fn excess(costs: &[f64], k: f64) -> Result<f64, Fault> {
    demand_sample("a cost", costs, 1)?;
    demand_number("the cost beyond which the excess counts", k)?;
    Ok(costs.iter().map(|cost| (cost - k).max(0.0)).sum::<f64>() / costs.len() as f64)
}

/// The mean excess over k > 0 of a lognormal cost whose logarithm has mean μ and standard deviation σ:
/// e^(μ + σ²/2)·Φ(d + σ) − k·Φ(d) with d = (μ − ln k)/σ.
///
/// ```
/// let excess = choice::dominance::lognormal_excess(0.0, 0.3, 1.0).unwrap();
/// assert!((excess - 0.14635).abs() < 1e-5);
/// ```
///
/// # Errors
/// A number out of bounds; a distribution so wide that its mean is above 1e100.
pub fn lognormal_excess(mu: f64, sigma: f64, k: f64) -> Result<f64, Fault> {
    demand_number("the mean of the logarithm", mu)?;
    demand_positive("the standard deviation of the logarithm", sigma)?;
    demand_positive("the cost beyond which the excess counts", k)?;
    let mean = (mu + 0.5 * sigma * sigma).exp();
    demand_number("the mean", mean)?;
    let d = (mu - k.ln()) / sigma;
    Ok((mean * normal::below(d + sigma) - k * normal::below(d)).max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_numbers_in_another_order_or_number_are_equal() {
        let twice = compare(&[1.0, 2.0, 3.0], &[3.0, 1.0, 2.0, 2.0, 3.0, 1.0]).unwrap();
        assert_eq!(twice.verdict(0.0), Ok(Verdict::Equal));
        assert_eq!((twice.difference, twice.chances.broken(Which::First)), (0.0, 0.5));
    }

    #[test]
    fn a_single_odd_trial_is_overlooked_if_asked() {
        let first: Vec<f64> = (0..100).map(f64::from).collect();
        let mut second: Vec<f64> = first.iter().map(|cost| cost + 10.0).collect();
        let all = Ok(Verdict::ForAll(Which::First));
        assert_eq!(compare(&first, &second).unwrap().verdict(0.0), all);
        second[0] = -1.0;
        let odd = compare(&first, &second).unwrap();
        // the one odd trial is a hundredth against eleven hundredths at most, minus itself
        assert!((odd.chances.broken(Which::First) - 1.0 / 11.0).abs() < 1e-12, "{odd:?}");
        assert_eq!(odd.verdict(0.0), Ok(Verdict::ForTheCautious(Which::First)));
        assert_eq!(odd.verdict(0.1), all);
    }

    #[test]
    fn cheap_on_average_and_dear_at_worst_is_for_neither() {
        let risky = compare(&[0.0, 10.0], &[6.0, 6.0]).unwrap();
        assert_eq!(risky.verdict(0.0), Ok(Verdict::Neither));
        assert_eq!((risky.difference, risky.excess.for_first, risky.excess.for_second), (-1.0, 1.0, 2.0));
    }

    #[test]
    fn hostile_input_is_refused() {
        assert!(compare(&[], &[1.0]).is_err() && compare(&[1.0], &[f64::NAN]).is_err());
        assert!(compare(&[1.0], &[2.0]).unwrap().verdict(f64::NAN).is_err());
        assert!(chance_gap(0, 5, 0.05).is_err() && chance_gap(5, 5, 0.0).is_err());
        assert!(lognormal_excess(0.0, 0.0, 1.0).is_err() && lognormal_excess(0.0, 40.0, 1.0).is_err());
        assert!(excess(&[1.0], f64::INFINITY).is_err());
    }
}
