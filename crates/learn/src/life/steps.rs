//! Survival as the lives alone show it, without any assumed curve.
//!
//! Belongs here: the estimate of Kaplan and Meier with late entry, its band, and which way is taken. Does not belong here:
//! deaths that are known between two hours only (`turnbull`).

use statrs::distribution::{ContinuousCDF, Normal};

use super::{Watched, turnbull};

/// How survival was estimated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SurvivalWay {
    /// Product of the shares that outlive each death (Kaplan and Meier, Journal of the American Statistical Association
    /// 53:457, 1958), over the lamps at risk, which come in late where they were used already.
    KaplanMeier,
    /// The self-consistent estimate for deaths between two hours (Turnbull, Journal of the Royal Statistical Society B
    /// 38:290, 1976), with late entry as Frydman corrected it (the same journal 56:71, 1994; both from memory).
    Turnbull,
}

/// Survival by steps.
#[derive(Debug, Clone, PartialEq)]
pub struct Survival {
    /// How it was estimated.
    pub way: SurvivalWay,
    /// Its steps, hours rising.
    pub steps: Vec<Step>,
}

/// A step down: between its two hours nothing is known of how survival falls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Burn hours at which it begins; deaths come after these.
    pub from: f64,
    /// Burn hours at which it ends; equal to `from` where deaths are known to the hour.
    pub to: f64,
    /// Lamps that were watched just before; none where deaths lie between hours.
    pub at_risk: Option<u64>,
    /// Deaths in it; expected ones where deaths lie between hours.
    pub deaths: f64,
    /// Share alive after it.
    pub alive: f64,
    /// Band about that share, pointwise, by Greenwood's variance on the scale of ln(−ln S); none at shares 0 and 1, and
    /// where deaths lie between hours.
    pub band: Option<(f64, f64)>,
}

/// Survival as the lives show it, with a pointwise band of a confidence such as 0.95.
pub fn survival(lives: &[Watched], confidence: f64) -> Survival {
    if lives.iter().any(|life| life.is_dead() && !life.is_exact()) {
        return Survival { way: SurvivalWay::Turnbull, steps: turnbull::steps(lives) };
    }
    let mut died: Vec<(f64, u64)> = vec![];
    let mut deaths: Vec<&Watched> = lives.iter().filter(|life| life.is_dead()).collect();
    deaths.sort_by(|a, b| a.gone.total_cmp(&b.gone));
    for life in deaths {
        match died.last_mut() {
            Some((hours, count)) if *hours == life.gone => *count += life.count,
            _ => died.push((life.gone, life.count)),
        }
    }
    let entered = Sorted::new(lives.iter().map(|life| (life.from, life.count)).collect());
    let left = Sorted::new(lives.iter().map(|life| (life.seen, life.count)).collect());
    let z = Normal::standard().inverse_cdf(0.5 + confidence / 2.0);
    let (mut alive, mut variance, mut steps) = (1.0, 0.0, vec![]);
    for (hours, count) in died {
        // who dies in the hour of coming in was watched for no time
        let at_risk = entered.below(hours) - left.below(hours);
        let (d, n) = (count as f64, at_risk as f64);
        if !(n > 0.0) {
            continue;
        }
        alive *= (1.0 - d / n).max(0.0);
        variance += d / (n * (n - d));
        let band = (alive > 0.0 && alive < 1.0).then(|| {
            let theta = z * variance.sqrt() / f64::ln(alive);
            (alive.powf((-theta).exp()), alive.powf(theta.exp()))
        });
        let step = Step { from: hours, to: hours, at_risk: Some(at_risk), deaths: d, alive, band };
        steps.push(step);
    }
    Survival { way: SurvivalWay::KaplanMeier, steps }
}

/// Counts by hours, to be asked how many lie below.
struct Sorted {
    hours: Vec<f64>,
    before: Vec<u64>,
}

impl Sorted {
    fn new(mut counts: Vec<(f64, u64)>) -> Self {
        counts.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut before = vec![0];
        let mut sum = 0;
        for (_, count) in &counts {
            sum += count;
            before.push(sum);
        }
        Self { hours: counts.iter().map(|count| count.0).collect(), before }
    }

    fn below(&self, hours: f64) -> u64 {
        self.before[self.hours.partition_point(|&other| other < hours)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn life(from: f64, seen: f64, gone: f64) -> Watched {
        Watched { from, seen, gone, count: 1 }
    }

    const NEVER: f64 = f64::INFINITY;

    /// Worked by hand: of five lamps two die at 2 and 4, one is taken out at 3, two burn at 5.
    #[test]
    fn the_product_is_that_of_the_hand() {
        let lives = [
            life(0.0, 2.0, 2.0),
            life(0.0, 3.0, NEVER),
            life(0.0, 4.0, 4.0),
            life(0.0, 5.0, NEVER),
            life(0.0, 5.0, NEVER),
        ];
        let found = survival(&lives, 0.95);
        assert_eq!(found.way, SurvivalWay::KaplanMeier);
        let told: Vec<_> = found.steps.iter().map(|step| (step.from, step.at_risk, step.alive)).collect();
        assert_eq!(told, [(2.0, Some(5), 0.8), (4.0, Some(3), 0.8 * (1.0 - 1.0 / 3.0))]);
        // Greenwood: 1/(5·4) and 1/(3·2); the band at 2 h is 0.8^exp(∓1.959964·√0.05/ln 0.8)
        let (low, high) = found.steps[0].band.unwrap();
        let wide = 1.959_963_984_540_054 * 0.05f64.sqrt() / 0.8f64.ln();
        assert!((low - 0.8f64.powf((-wide).exp())).abs() < 1e-12 && (high - 0.8f64.powf(wide.exp())).abs() < 1e-12);
        assert!(low < 0.8 && high > 0.8);
    }

    /// Worked by hand: a lamp that is first watched at 3 h is at risk for the death at 4 h and not for that at 2 h.
    #[test]
    fn late_lamps_are_at_risk_from_their_entry_on() {
        let lives = [life(0.0, 2.0, 2.0), life(3.0, 5.0, NEVER), life(0.0, 4.0, 4.0), life(0.0, 4.0, NEVER)];
        let found: Vec<_> = survival(&lives, 0.9).steps.iter().map(|step| (step.at_risk, step.alive)).collect();
        assert_eq!(found.iter().map(|step| step.0).collect::<Vec<_>>(), [Some(3), Some(3)]);
        assert!((found[0].1 - 2.0 / 3.0).abs() < 1e-15 && (found[1].1 - 4.0 / 9.0).abs() < 1e-15);
    }

    #[test]
    fn nobody_dead_is_no_step() {
        assert!(survival(&[life(0.0, 9.0, NEVER)], 0.95).steps.is_empty());
        assert!(survival(&[], 0.95).steps.is_empty());
        let all = survival(&[life(0.0, 4.0, 4.0)], 0.95);
        assert_eq!((all.steps[0].alive, all.steps[0].band), (0.0, None));
    }
}
