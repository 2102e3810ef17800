//! How good past forecasts were: how often their spans held, and what they lost.
//!
//! Belongs here: shares with their limits, losses of quantiles and spans. Does not belong here: words, tables, files.
//!
//! Every limit takes outcomes as independent. Where they share luck, the truth is wider.

use statrs::function::beta::beta_reg;
use statrs::function::factorial::ln_binomial;
use statrs::function::gamma::gamma_ur;

/// What a share of 1 may be, after so many of so many.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Least.
    pub low: f64,
    /// Most.
    pub high: f64,
}

/// A count out of a number of cases.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hits {
    /// Cases that count; at most all.
    pub found: u64,
    /// All cases.
    pub of: u64,
}

/// Exact limits of a share at a confidence (two-sided), whatever the share is: Clopper and Pearson, Biometrika 26, 1934, page
/// 404: the values of p at which seeing so many or more, or so many or fewer, has the chance (1 − confidence)/2.
///
/// ```
/// use learn::score::{Hits, share_limits};
/// let none = share_limits(Hits { found: 0, of: 10 }, 0.95).unwrap();
/// assert!(none.low == 0.0 && (none.high - (1.0 - 0.025f64.powf(0.1))).abs() < 1e-12);
/// ```
///
/// None without cases, with more hits than cases, or with a confidence outside 0 to 1.
pub fn share_limits(hits: Hits, confidence: f64) -> Option<Limits> {
    let Hits { found, of } = hits;
    if of == 0 || found > of || !(confidence > 0.0 && confidence < 1.0) {
        return None;
    }
    let tail = (1.0 - confidence) / 2.0;
    let (k, n) = (found as f64, of as f64);
    let low = if found == 0 { 0.0 } else { crossing(|p| beta_reg(k, n - k + 1.0, p), tail) };
    let high = if found == of { 1.0 } else { crossing(|p| beta_reg(k + 1.0, n - k, p), 1.0 - tail) };
    Some(Limits { low, high })
}

/// Where a function that rises from 0 to 1 over 0 to 1 reaches a height.
fn crossing(rising: impl Fn(f64) -> f64, height: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if rising(middle) < height { low = middle } else { high = middle }
    }
    (low + high) / 2.0
}

/// Limits of a median at a confidence, without any assumption about the shape: the two order statistics that enclose it at
/// least so often (Conover, Practical Nonparametric Statistics, 1999, section 3.2; from memory). None where so few values
/// (five, at 95 %) enclose it less often than that.
pub fn median_limits(sorted: &[f64], confidence: f64) -> Option<Limits> {
    let n = sorted.len();
    let tail = (1.0 - confidence) / 2.0;
    let mut below = 0.0;
    let mut rank = 0;
    while rank < n / 2 {
        below += (ln_binomial(n as u64, rank as u64) - n as f64 * std::f64::consts::LN_2).exp();
        if !(below <= tail) {
            break;
        }
        rank += 1;
    }
    // so many may lie below the lower one
    (rank > 0).then(|| Limits { low: sorted[rank - 1], high: sorted[n - rank] })
}

/// The quantile of rising values by the rule of Hyndman and Fan's type 8; not a number without values.
pub fn quantile(sorted: &[f64], share: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else { return f64::NAN };
    let at = ((sorted.len() as f64 + 1.0 / 3.0) * share + 1.0 / 3.0 - 1.0).clamp(0.0, last as f64);
    // between 0 and the last index
    let below = at.floor() as usize;
    let above = (below + 1).min(last);
    sorted[below] + (sorted[above] - sorted[below]) * (at - below as f64)
}

/// A span that should hold a share of what happens, as much missing below as above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Its lower end.
    pub low: f64,
    /// Its upper end.
    pub high: f64,
    /// Share of outcomes that it should hold, such as 0.8 from the 10 % to the 90 % point.
    pub holds: f64,
}

impl Span {
    /// Whether an outcome lies within it, its ends included.
    pub fn has(&self, outcome: f64) -> bool {
        outcome >= self.low && outcome <= self.high
    }

    /// How far outside an outcome lies, in widths of the span: below zero under it, 0 inside. None where the outcome lies outside
    /// and the span has no width, or next to none beside that distance.
    pub fn miss(&self, outcome: f64) -> Option<f64> {
        if self.has(outcome) {
            return Some(0.0);
        }
        let width = self.high - self.low;
        let by = if outcome < self.low { outcome - self.low } else { outcome - self.high };
        (width > 0.0).then(|| by / width).filter(|widths| widths.is_finite())
    }

    /// Its interval score, in the unit of the outcome; lower is better: width, and 2/α times what the outcome lies outside, with
    /// α = 1 − [`Self::holds`] (Winkler, Journal of the American Statistical Association 67, 1972, page 187; Gneiting and Raftery,
    /// the same 102, 2007, page 359, equation 43).
    pub fn score(&self, outcome: f64) -> f64 {
        let missing = (self.low - outcome).max(0.0) + (outcome - self.high).max(0.0);
        self.high - self.low + 2.0 / (1.0 - self.holds) * missing
    }
}

/// Loss of a quantile, in the unit of the outcome; lower is better: share · (outcome − quantile) below the outcome, (1 − share) ·
/// (quantile − outcome) above it (Koenker and Bassett, Econometrica 46, 1978, page 33). Its mean is least for the true quantile.
pub fn quantile_loss(share: f64, quantile: f64, outcome: f64) -> f64 {
    let short = outcome - quantile;
    if short >= 0.0 { share * short } else { (share - 1.0) * short }
}

/// What the quantiles of all the *other* ratios lose at one ratio, mean over shares: a plain rule that says the same relative span
/// of everything, and knows how the others came out. None with fewer than two others.
pub fn plain_loss(ratios: &[f64], at: usize, shares: &[f64]) -> Option<f64> {
    let own = *ratios.get(at)?;
    let mut others: Vec<f64> = ratios.iter().enumerate().filter(|(k, _)| *k != at).map(|(_, ratio)| *ratio).collect();
    if others.len() < 2 || shares.is_empty() {
        return None;
    }
    others.sort_by(f64::total_cmp);
    let sum: f64 = shares.iter().map(|share| quantile_loss(*share, quantile(&others, *share), own)).sum();
    Some(sum / shares.len() as f64)
}

/// How badly counts fit expected shares: Pearson's chi-square, and the chance of one as large or larger if the shares are right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Misfit {
    /// Chi-square.
    pub distance: f64,
    /// Chance of so much or more.
    pub chance: f64,
}

/// [`Misfit`] of counts in bins whose shares add up to 1. None where a bin is expected to have fewer than 5 (the usual rule of
/// thumb: Cochran, Biometrics 10, 1954, page 417; from memory), or the lists differ in length.
pub fn misfit(counts: &[u64], shares: &[f64]) -> Option<Misfit> {
    let all: u64 = counts.iter().sum();
    let expected: Vec<f64> = shares.iter().map(|share| share * all as f64).collect();
    if counts.len() != shares.len() || counts.len() < 2 || expected.iter().any(|count| !(*count >= 5.0 - 1e-9)) {
        return None;
    }
    let distance: f64 =
        counts.iter().zip(&expected).map(|(count, expected)| (*count as f64 - expected).powi(2) / expected).sum();
    let degrees = (counts.len() - 1) as f64;
    let chance = if distance > 0.0 { gamma_ur(degrees / 2.0, distance / 2.0) } else { 1.0 };
    Some(Misfit { distance, chance })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scores_are_those_of_the_formula_by_hand() {
        // equation 43 with α = 0.2: width 4, and ten times what lies outside
        let span = Span { low: 2.0, high: 6.0, holds: 0.8 };
        let close = |found: f64, expected: f64| assert!((found - expected).abs() < 1e-12, "{found} for {expected}");
        close(span.score(2.0), 4.0);
        close(span.score(1.5), 4.0 + 10.0 * 0.5);
        close(span.score(7.0), 4.0 + 10.0 * 1.0);
        assert_eq!((span.miss(7.0), span.miss(1.0), span.miss(6.0)), (Some(0.25), Some(-0.25), Some(0.0)));
        let none = Span { low: 2.0, high: 2.0, holds: 0.8 };
        assert_eq!((none.miss(2.0), none.miss(2.5)), (Some(0.0), None));
        close(quantile_loss(0.1, 2.0, 5.0), 0.3);
        close(quantile_loss(0.1, 2.0, 1.0), 0.9);
        close(quantile_loss(0.9, 6.0, 7.0), 0.9);
        // the interval score is 2/α times the losses of its two ends
        for outcome in [0.0, 3.0, 9.0] {
            let ends = quantile_loss(0.1, 2.0, outcome) + quantile_loss(0.9, 6.0, outcome);
            close(span.score(outcome), 10.0 * ends);
        }
    }

    #[test]
    fn limits_keep_their_promise_when_all_cases_are_added_up() {
        // exact coverage by adding up the binomial: never below 95 %, for any share
        for n in [1u64, 5, 10, 24] {
            let limits: Vec<Limits> = (0..=n).map(|k| share_limits(Hits { found: k, of: n }, 0.95).unwrap()).collect();
            for step in 1..200 {
                let p = f64::from(step) / 200.0;
                let chance = |k: u64| (ln_binomial(n, k) + k as f64 * p.ln() + (n - k) as f64 * (1.0 - p).ln()).exp();
                let covered: f64 =
                    (0..=n).filter(|k| limits[*k as usize].low <= p && p <= limits[*k as usize].high).map(chance).sum();
                assert!(covered >= 0.95 - 1e-9, "{covered} at {p} of {n}");
            }
        }
        assert_eq!(share_limits(Hits { found: 0, of: 0 }, 0.95), None);
        assert_eq!(share_limits(Hits { found: 3, of: 2 }, 0.95), None);
        assert_eq!(share_limits(Hits { found: 1, of: 2 }, f64::NAN), None);
    }

    #[test]
    fn medians_have_limits_from_six_values_on() {
        // 2 · 0.5⁵ is more than 5 %, 2 · 0.5⁶ is less
        assert_eq!(median_limits(&[1.0, 2.0, 3.0, 4.0, 5.0], 0.95), None);
        let six = median_limits(&[1.0, 2.0, 3.0, 4.0, 5.0, 6.0], 0.95).unwrap();
        assert_eq!((six.low, six.high), (1.0, 6.0));
        assert_eq!(median_limits(&[], 0.95), None);
        let many: Vec<f64> = (0..10_000).map(f64::from).collect();
        let limits = median_limits(&many, 0.95).unwrap();
        assert!((limits.low - 4_900.0).abs() < 3.0 && (limits.high - 5_099.0).abs() < 3.0, "{limits:?}");
    }

    #[test]
    fn a_plain_rule_knows_the_others_only() {
        assert_eq!(plain_loss(&[1.0, 1.0], 0, &[0.5]), None);
        // the others are all 1: half of the distance is lost at the median
        assert_eq!(plain_loss(&[3.0, 1.0, 1.0, 1.0], 0, &[0.5]), Some(1.0));
        assert_eq!(plain_loss(&[1.0, 1.0, 1.0], 0, &[0.1, 0.5, 0.9]), Some(0.0));
        assert!(quantile(&[], 0.5).is_nan());
        assert_eq!(quantile(&[1.0, 2.0, 4.0], 0.5), 2.0);
    }

    #[test]
    fn bins_that_are_too_small_say_nothing() {
        let shares = [0.1, 0.4, 0.4, 0.1];
        assert_eq!(misfit(&[4, 16, 16, 4], &shares), None);
        assert_eq!(misfit(&[5, 20, 20, 5], &shares), Some(Misfit { distance: 0.0, chance: 1.0 }));
        // 25/5 + 25/20 + 25/20 + 25/5 = 12.5; printed tables: 11.34 at 1 %, 12.84 at half a per cent (from memory)
        let found = misfit(&[10, 15, 15, 10], &shares).unwrap();
        assert!((found.distance - 12.5).abs() < 1e-12);
        assert!(found.chance > 0.005 && found.chance < 0.01, "{found:?}");
    }
}
