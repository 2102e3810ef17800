//! What lamps say of their median life when hardly any has died: a bound.

use statrs::distribution::{ChiSquared, ContinuousCDF};

use super::family::Family;
use super::{Watched, deaths};

/// The median life that is exceeded with a confidence such as 0.9, for a stated shape of a Weibull life or a stated standard
/// deviation of ln(life) of a lognormal one (`spread`); hours.
///
/// Weibull of shape k: with y = t^k lives are exponential, so with r deaths in a total of Σ (seen^k − from^k) the mean of y is
/// at least 2·Σ/χ²(confidence; 2r + 2): exact without deaths, and cautious with some, where a death counts at the hour at
/// which it was last seen alive. Lognormal: without deaths, the median at which seeing nobody die has just the chance that
/// confidence leaves.
///
/// None where nothing was watched for any time, for a lognormal life with deaths, and for a spread that is no number above
/// 0.
///
/// ```
/// use learn::life::{Family, Watched, median_bound};
/// // 12 lamps alive at 9 900 h, shape 3: B50 = 9 900·(12·ln 2/ln 10)^(1/3)
/// let lives = [Watched { from: 0.0, seen: 9_900.0, gone: f64::INFINITY, count: 12 }];
/// let bound = median_bound(&lives, Family::Weibull, 3.0, 0.9).unwrap();
/// assert!((bound - 9_900.0 * (12.0 * 2f64.ln() / 10f64.ln()).cbrt()).abs() < 1e-6);
/// ```
pub fn median_bound(lives: &[Watched], family: Family, spread: f64, confidence: f64) -> Option<f64> {
    if !(spread > 0.0 && spread.is_finite() && confidence > 0.0 && confidence < 1.0) {
        return None;
    }
    let longest = lives.iter().map(|life| life.seen).fold(0.0, f64::max);
    let dead = deaths(lives);
    match family {
        Family::Weibull => {
            // in units of the longest life, so that powers stay within bounds
            let power = |hours: f64| (hours / longest).powf(spread);
            let total: f64 = lives.iter().map(|life| life.count as f64 * (power(life.seen) - power(life.from))).sum();
            let divisor = ChiSquared::new(2.0 * dead as f64 + 2.0).ok()?.inverse_cdf(confidence);
            let mean = 2.0 * total / divisor;
            (total > 0.0).then(|| longest * (std::f64::consts::LN_2 * mean).powf(1.0 / spread))
        }
        Family::Lognormal if dead == 0 && longest > 0.0 => {
            let ln_unseen = |median: f64| -> f64 {
                let above = |hours: f64| family.ln_survival((hours / median).ln() / spread);
                lives.iter().map(|life| life.count as f64 * (above(life.seen) - above(life.from))).sum()
            };
            let wanted = (1.0 - confidence).ln();
            let (mut low, mut high) = (longest * 1e-6, longest * 1e6);
            if !(ln_unseen(low) < wanted && ln_unseen(high) > wanted) {
                return None;
            }
            for _ in 0..200 {
                let middle = (low * high).sqrt();
                if ln_unseen(middle) < wanted { low = middle } else { high = middle }
            }
            Some((low * high).sqrt())
        }
        Family::Lognormal => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bound_leaves_just_the_chance_that_it_states() {
        let lives = [
            Watched { from: 0.0, seen: 9_900.0, gone: f64::INFINITY, count: 7 },
            Watched { from: 4_000.0, seen: 7_000.0, gone: f64::INFINITY, count: 3 },
        ];
        let median = median_bound(&lives, Family::Lognormal, 0.4, 0.9).unwrap();
        let normal = statrs::distribution::Normal::standard();
        let alive = |hours: f64| normal.sf((hours / median).ln() / 0.4);
        let unseen = alive(9_900.0).powi(7) * (alive(7_000.0) / alive(4_000.0)).powi(3);
        assert!((unseen - 0.1).abs() < 1e-9, "{unseen}");
        // a death lowers the bound, and a late lamp weighs less than one that was watched throughout
        let new = [Watched { from: 0.0, ..lives[1] }, lives[0]];
        let bound = |lives: &[Watched]| median_bound(lives, Family::Weibull, 3.0, 0.9).unwrap();
        assert!(bound(&lives) < bound(&new));
        let dead = [lives[0], Watched { from: 0.0, seen: 6_000.0, gone: 6_000.0, count: 1 }];
        let alive = [lives[0], Watched { from: 0.0, seen: 6_000.0, gone: f64::INFINITY, count: 1 }];
        assert!(bound(&dead) < bound(&alive));
    }

    #[test]
    fn nothing_watched_is_no_bound() {
        assert_eq!(median_bound(&[], Family::Weibull, 3.0, 0.9), None);
        assert_eq!(median_bound(&[], Family::Lognormal, 0.4, 0.9), None);
        let lives = [Watched { from: 0.0, seen: 9_900.0, gone: f64::INFINITY, count: 7 }];
        assert_eq!(median_bound(&lives, Family::Weibull, f64::NAN, 0.9), None);
        assert_eq!(median_bound(&lives, Family::Weibull, 3.0, 1.0), None);
    }
}
