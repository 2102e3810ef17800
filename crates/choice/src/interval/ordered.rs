//! Intervals of quantiles from order statistics.

use super::sorted;
use crate::fault::{Fault, demand_count, demand_inner, demand_sample};

/// Largest sample for which ranks are worked out: time and memory grow with the square root of it.
const LARGEST_SAMPLE: usize = 1 << 40;

/// The ranks, counted from 1, of the two order statistics that enclose a quantile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ranks {
    /// Rank of the lower end.
    pub low: usize,
    /// Rank of the upper end.
    pub high: usize,
    /// The probability with which the two enclose the quantile, at least what was asked for.
    pub coverage: f64,
}

/// An interval for a quantile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Lower end, in the unit of the sample.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// The probability with which such an interval encloses the quantile, whatever the distribution (if continuous;
    /// more if it has steps).
    pub coverage: f64,
}

/// The ranks l < u so that the l-th and the u-th smallest of n independent trials enclose the p-quantile with at least
/// `confidence`, each end being missed with at most half of the rest.
///
/// How many trials lie below the quantile is binomial (n, p), B say. With α = 1 − confidence, l is the largest rank with
/// P(B ≤ l − 1) ≤ α/2, u the smallest with P(B ≤ u − 1) ≥ 1 − α/2; coverage is P(l ≤ B ≤ u − 1) (Conover, Practical
/// Nonparametric Statistics, 1999; Hahn and Meeker, Statistical Intervals, 1991). No density is needed.
///
/// ```
/// let ranks = choice::interval::ranks(100, 0.5, 0.95).unwrap();
/// assert_eq!((ranks.low, ranks.high), (40, 61));
/// ```
///
/// # Errors
/// p or confidence outside (0, 1); too few trials for an end of the interval to exist: then nothing can be said at this
/// confidence without knowing the distribution.
pub fn ranks(n: usize, p: f64, confidence: f64) -> Result<Ranks, Fault> {
    demand_inner("the quantile's probability", p)?;
    demand_inner("the confidence", confidence)?;
    demand_count("trials", n, 1)?;
    if n > LARGEST_SAMPLE {
        return Err(Fault::Number { what: "the number of trials", found: n as f64, allowed: "at most 2^40" });
    }
    let each = 0.5 * (1.0 - confidence);
    let too_few = || {
        // the rarer of the two ends decides: all trials below or all above the quantile
        let share = p.max(1.0 - p);
        Fault::TooFew { what: "trials", found: n, needed: (each.ln() / share.ln()).ceil() as usize }
    };
    let (first, chances) = binomial(n, p);
    // l is the number of leading outcomes whose chances together stay within α/2; so is n + 1 − u from the other end
    let (skipped_low, missed_low) = within(chances.iter(), each);
    let (skipped_high, missed_high) = within(chances.iter().rev(), each);
    let low = first + skipped_low;
    let high = (first + chances.len()).saturating_sub(skipped_high);
    if low < 1 || high > n || low >= high {
        return Err(too_few());
    }
    Ok(Ranks { low, high, coverage: 1.0 - missed_low - missed_high })
}

/// How many leading chances add up to no more than `most`, and what they add up to.
fn within<'a>(chances: impl Iterator<Item = &'a f64>, most: f64) -> (usize, f64) {
    let (mut count, mut sum) = (0, 0.0);
    for chance in chances {
        if !(sum + chance <= most) {
            break;
        }
        sum += chance;
        count += 1;
    }
    (count, sum)
}

/// The chances of the binomial outcomes that are not negligible (below 1e-30 of the likeliest), and the first of these.
///
/// They are built from the likeliest outcome outwards by the ratio of neighbours and then made to add up to 1: that stays
/// exact to a few last digits for any n, where a continued fraction of the incomplete beta function runs out of steps.
fn binomial(n: usize, p: f64) -> (usize, Vec<f64>) {
    let odds = p / (1.0 - p);
    let mode = (((n + 1) as f64 * p).floor() as usize).min(n);
    let mut below = vec![];
    let (mut k, mut chance) = (mode, 1.0);
    while k > 0 && chance > 1e-30 {
        chance *= k as f64 / ((n - k + 1) as f64 * odds);
        k -= 1;
        below.push(chance);
    }
    let first = k;
    below.reverse();
    let mut chances = below;
    chances.push(1.0);
    (k, chance) = (mode, 1.0);
    while k < n && chance > 1e-30 {
        chance *= (n - k) as f64 * odds / (k + 1) as f64;
        k += 1;
        chances.push(chance);
    }
    let sum: f64 = chances.iter().sum();
    chances.iter_mut().for_each(|chance| *chance /= sum);
    (first, chances)
}

/// An interval that encloses the p-quantile with at least `confidence`, whatever the distribution: see [`ranks`].
///
/// ```
/// let costs: Vec<f64> = (1..=100).map(f64::from).collect();
/// let median = choice::interval::quantile_interval(&costs, 0.5, 0.95).unwrap();
/// assert_eq!((median.low, median.high), (40.0, 61.0));
/// ```
///
/// # Errors
/// Those of [`ranks`]; a value that is no number.
pub fn quantile_interval(values: &[f64], p: f64, confidence: f64) -> Result<Interval, Fault> {
    demand_sample("a value", values, 1)?;
    let Ranks { low, high, coverage } = ranks(values.len(), p, confidence)?;
    let sorted = sorted(values);
    Ok(Interval { low: sorted[low - 1], high: sorted[high - 1], coverage })
}

/// The p-quantile of a sample, 0 ≤ p ≤ 1: type 8 of Hyndman and Fan (The American Statistician 50:361, 1996), which is
/// nearly median-unbiased for any distribution.
///
/// ```
/// assert_eq!(choice::interval::quantile(&[3.0, 1.0, 2.0], 0.5), Ok(2.0));
/// ```
///
/// # Errors
/// No value, a value that is no number, p outside \[0, 1\].
pub fn quantile(values: &[f64], p: f64) -> Result<f64, Fault> {
    demand_sample("a value", values, 1)?;
    crate::fault::demand((0.0..=1.0).contains(&p), "the quantile's probability", p, "0 to 1")?;
    let sorted = sorted(values);
    let rank = (sorted.len() as f64 + 1.0 / 3.0) * p + 1.0 / 3.0;
    let below = rank.floor();
    let at = |rank: f64| sorted[(rank.max(1.0) as usize - 1).min(sorted.len() - 1)];
    Ok(at(below) + (rank - below) * (at(below + 1.0) - at(below)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn where_an_end_is_missing_the_answer_says_how_many_trials_it_takes() {
        let needed = |n, p| match ranks(n, p, 0.95) {
            Err(Fault::TooFew { needed, .. }) => needed,
            other => panic!("{other:?}"),
        };
        // 0.5^6 = 0.0156 is within 0.025 and 0.5^5 = 0.031 is not
        assert_eq!(needed(5, 0.5), 6);
        assert!(ranks(6, 0.5, 0.95).is_ok_and(|ranks| (ranks.low, ranks.high) == (1, 6)));
        // 0.95^71 = 0.0262, 0.95^72 = 0.0249
        assert_eq!(needed(71, 0.95), 72);
        assert!(ranks(72, 0.95, 0.95).is_ok_and(|ranks| ranks.high == 72));
        assert!(ranks(0, 0.5, 0.9).is_err() && ranks(9, f64::NAN, 0.9).is_err() && ranks(9, 0.5, 1.0).is_err());
        assert!(ranks(usize::MAX, 0.5, 0.9).is_err());
    }

    #[test]
    fn ranks_of_a_large_sample_are_those_of_the_normal_approximation() {
        // μ = np − ½ and 1.959964 σ on either side: the next rank at most is another
        let n = 10_000_000;
        for p in [0.001, 0.05, 0.5, 0.99] {
            let Ranks { low, high, coverage } = ranks(n, p, 0.95).unwrap();
            let (mean, sd) = (n as f64 * p, (n as f64 * p * (1.0 - p)).sqrt());
            // the skewness of the binomial moves both ends by (z² − 1)/6·(1 − 2p)
            let middle = mean + 0.5 + (1.959964f64.powi(2) - 1.0) / 6.0 * (1.0 - 2.0 * p);
            assert!((low as f64 - (middle - 1.959964 * sd)).abs() <= 1.0, "{p}: {low}");
            assert!((high as f64 - (middle + 1.959964 * sd)).abs() <= 1.0, "{p}: {high}");
            assert!((0.95..0.9505 + 1.0 / sd).contains(&coverage), "{p}: {coverage}");
        }
    }

    #[test]
    fn the_ends_of_a_quantile_are_the_ends_of_the_sample() {
        let values = [5.0, -1.0, 2.0];
        assert_eq!((quantile(&values, 0.0), quantile(&values, 1.0)), (Ok(-1.0), Ok(5.0)));
        assert!(quantile(&values, 1.1).is_err() && quantile(&[], 0.5).is_err() && quantile(&[f64::NAN], 0.5).is_err());
    }
}
