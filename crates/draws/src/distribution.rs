//! Distributions of shared inputs, each drawn by its quantile function so that one uniform number gives one value.

use std::fmt;
use std::sync::Arc;

use statrs::distribution::{Beta, ContinuousCDF, Normal};

/// z-value of the 90 % point of the standard normal distribution, Φ⁻¹(0.9).
const Z90: f64 = 1.281_551_565_544_600_4;

/// Most draws of a list.
const MOST_DRAWS: usize = 100_000;

/// What an uncertain input may be. All parameters are in the input's own unit.
#[derive(Debug, Clone, PartialEq)]
pub enum Distribution {
    /// One value.
    Fixed(f64),
    /// Normal.
    Normal {
        /// Mean.
        mean: f64,
        /// Standard deviation.
        sd: f64,
    },
    /// Normal, cut off on both sides.
    TruncatedNormal {
        /// Mean before the cut.
        mean: f64,
        /// Standard deviation before the cut.
        sd: f64,
        /// Smallest value.
        low: f64,
        /// Largest value.
        high: f64,
    },
    /// Lognormal.
    Lognormal {
        /// 50 % point.
        median: f64,
        /// 90 % point.
        p90: f64,
    },
    /// Triangular.
    Triangular {
        /// Smallest value.
        low: f64,
        /// Most likely value.
        mode: f64,
        /// Largest value.
        high: f64,
    },
    /// PERT: beta on [low, high] with mean (low + 4·mode + high)/6 (Malcolm, Roseboom, Clark and Fazar 1959).
    Pert {
        /// Smallest value.
        low: f64,
        /// Most likely value.
        mode: f64,
        /// Largest value.
        high: f64,
    },
    /// Uniform.
    Uniform {
        /// Smallest value.
        low: f64,
        /// Largest value.
        high: f64,
    },
    /// Values with weights.
    Discrete(Vec<(f64, f64)>),
    /// Three points of a belief, joined by two half-normals of different width: through all three exactly. On the
    /// logarithm of the value when all three are above zero, so that a positive quantity stays positive.
    Elicited {
        /// 10 % point.
        p10: f64,
        /// 50 % point.
        p50: f64,
        /// 90 % point.
        p90: f64,
    },
    /// One of a list of draws, each as likely as any other.
    Drawn(Drawn),
}

/// A list of draws, in the order in which somebody drew them. Inputs that share their luck and have equally many draws
/// take the draws of one place together, so whatever ties them to one another is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    draws: Arc<[f64]>,
    sorted: Arc<[f64]>,
}

impl Drawn {
    /// From draws in their order.
    pub fn new(draws: &[f64]) -> Self {
        let mut sorted = draws.to_vec();
        sorted.sort_by(f64::total_cmp);
        Self { draws: draws.into(), sorted: sorted.into() }
    }

    /// Number of draws.
    pub fn len(&self) -> usize {
        self.draws.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.draws.is_empty()
    }

    /// The draws in their order.
    pub fn draws(&self) -> &[f64] {
        &self.draws
    }

    /// The item of a list at a share of its length.
    fn at(of: &[f64], u: f64) -> f64 {
        // a share of a length, cut to a whole number below it
        let place = ((u * of.len() as f64) as usize).min(of.len().saturating_sub(1));
        of.get(place).copied().unwrap_or(f64::NAN)
    }
}

/// Why parameters make no distribution.
#[derive(Debug, Clone, PartialEq)]
pub struct BadDistribution {
    /// What was found, with its numbers.
    pub found: String,
    /// What is allowed.
    pub allowed: &'static str,
}

impl fmt::Display for BadDistribution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; allowed: {}", self.found, self.allowed)
    }
}

impl std::error::Error for BadDistribution {}

/// The standard normal value below which a share u of all values lies: Φ⁻¹(u), by statrs.
pub fn standard_normal(u: f64) -> f64 {
    Normal::standard().inverse_cdf(u)
}

impl Distribution {
    /// The same distribution with every value multiplied by a positive factor (a change of unit).
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        let s = |x: f64| x * factor;
        match *self {
            Self::Fixed(x) => Self::Fixed(s(x)),
            Self::Normal { mean, sd } => Self::Normal { mean: s(mean), sd: s(sd) },
            Self::TruncatedNormal { mean, sd, low, high } => {
                Self::TruncatedNormal { mean: s(mean), sd: s(sd), low: s(low), high: s(high) }
            }
            Self::Lognormal { median, p90 } => Self::Lognormal { median: s(median), p90: s(p90) },
            Self::Triangular { low, mode, high } => Self::Triangular { low: s(low), mode: s(mode), high: s(high) },
            Self::Pert { low, mode, high } => Self::Pert { low: s(low), mode: s(mode), high: s(high) },
            Self::Uniform { low, high } => Self::Uniform { low: s(low), high: s(high) },
            Self::Discrete(ref points) => Self::Discrete(points.iter().map(|&(x, w)| (s(x), w)).collect()),
            Self::Elicited { p10, p50, p90 } => Self::Elicited { p10: s(p10), p50: s(p50), p90: s(p90) },
            Self::Drawn(ref drawn) => Self::Drawn(Drawn::new(&drawn.draws.iter().map(|&x| s(x)).collect::<Vec<f64>>())),
        }
    }

    /// Whether the parameters make a distribution. Each test is written so that NaN fails it.
    ///
    /// # Errors
    /// What was found and what is allowed.
    pub fn check(&self) -> Result<(), BadDistribution> {
        let all_finite = |xs: &[f64]| xs.iter().all(|x| x.is_finite());
        let bad = |found: String, allowed| Err(BadDistribution { found, allowed });
        match *self {
            Self::Fixed(x) if !x.is_finite() => bad(format!("{x}"), "a finite number"),
            Self::Normal { mean, sd } if !(all_finite(&[mean, sd]) && sd >= 0.0) => {
                bad(format!("normal with mean {mean} and sd {sd}"), "finite numbers with sd ≥ 0")
            }
            Self::TruncatedNormal { mean, sd, low, high } => {
                if !(all_finite(&[mean, sd, low, high]) && sd > 0.0 && low < high) {
                    return bad(
                        format!("truncated normal with mean {mean}, sd {sd}, low {low} and high {high}"),
                        "finite numbers with sd > 0 and low < high",
                    );
                }
                let standard = Normal::standard();
                let share = standard.cdf((high - mean) / sd) - standard.cdf((low - mean) / sd);
                if !(share > 1e-6) {
                    return bad(
                        format!("a cut from {low} to {high} that leaves {share:.1e} of the normal distribution"),
                        "a cut that leaves more than a millionth",
                    );
                }
                Ok(())
            }
            Self::Lognormal { median, p90 } if !(all_finite(&[median, p90]) && median > 0.0 && p90 >= median) => {
                bad(format!("lognormal with median {median} and p90 {p90}"), "0 < median ≤ p90")
            }
            Self::Triangular { low, mode, high } | Self::Pert { low, mode, high }
                if !(all_finite(&[low, mode, high]) && low <= mode && mode <= high && low < high) =>
            {
                bad(format!("low {low}, mode {mode} and high {high}"), "low ≤ mode ≤ high with low < high")
            }
            Self::Uniform { low, high } if !(all_finite(&[low, high]) && low < high) => {
                bad(format!("low {low} and high {high}"), "low < high")
            }
            Self::Discrete(ref points) => {
                let total: f64 = points.iter().map(|&(_, w)| w).sum();
                if !(points.iter().all(|&(x, w)| x.is_finite() && w >= 0.0) && total > 0.0 && total.is_finite()) {
                    return bad(
                        format!("{} values with weights that add up to {total}", points.len()),
                        "finite values with weights ≥ 0 that add up to more than 0",
                    );
                }
                Ok(())
            }
            Self::Elicited { p10, p50, p90 } if !(all_finite(&[p10, p50, p90]) && p10 < p50 && p50 < p90) => {
                bad(format!("p10 {p10}, p50 {p50} and p90 {p90}"), "p10 < p50 < p90")
            }
            Self::Drawn(ref drawn) if drawn.is_empty() || drawn.len() > MOST_DRAWS || !all_finite(&drawn.draws) => {
                bad(format!("a list of {} draws", drawn.len()), "1 to 100 000 finite numbers")
            }
            _ => Ok(()),
        }
    }

    /// The value below which a share `u` (0 < u < 1) of all values lies.
    ///
    /// ```
    /// use draws::Distribution;
    /// let belief = Distribution::Elicited { p10: 11_600.0, p50: 17_000.0, p90: 24_900.0 };
    /// assert!((belief.quantile(0.9) - 24_900.0).abs() < 1e-6);
    /// ```
    pub fn quantile(&self, u: f64) -> f64 {
        match *self {
            Self::Fixed(x) => x,
            Self::Normal { mean, sd } => mean + sd * standard_normal(u),
            Self::TruncatedNormal { mean, sd, low, high } => {
                let standard = Normal::standard();
                // far in the upper tail the cdf loses its digits, so work in the mirror image there
                let flip = (low - mean) / sd > 0.0;
                let (a, b, u) = if flip {
                    ((mean - high) / sd, (mean - low) / sd, 1.0 - u)
                } else {
                    ((low - mean) / sd, (high - mean) / sd, u)
                };
                let (from, to) = (standard.cdf(a), standard.cdf(b));
                let z = standard_normal((from + u * (to - from)).clamp(f64::MIN_POSITIVE, 1.0 - 1e-16));
                let x = if flip { mean - sd * z } else { mean + sd * z };
                x.clamp(low, high)
            }
            Self::Lognormal { median, p90 } => median * ((p90 / median).ln() / Z90 * standard_normal(u)).exp(),
            Self::Triangular { low, mode, high } => {
                let (width, rise) = (high - low, mode - low);
                if u * width <= rise {
                    low + (u * width * rise).sqrt()
                } else {
                    high - ((1.0 - u) * width * (high - mode)).sqrt()
                }
            }
            Self::Pert { low, mode, high } => {
                let width = high - low;
                let a = 1.0 + 4.0 * (mode - low) / width;
                let b = 1.0 + 4.0 * (high - mode) / width;
                // a and b lie in [1, 5] once the parameters are checked, so the beta distribution exists
                Beta::new(a, b).map_or(mode, |beta| low + width * beta.inverse_cdf(u))
            }
            Self::Uniform { low, high } => low + u * (high - low),
            Self::Discrete(ref points) => {
                let total: f64 = points.iter().map(|&(_, w)| w).sum();
                let mut sorted: Vec<(f64, f64)> = points.iter().copied().filter(|&(_, w)| w > 0.0).collect();
                sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
                let mut below = 0.0;
                let last = sorted.last().map_or(f64::NAN, |&(x, _)| x);
                sorted
                    .into_iter()
                    .find(|&(_, w)| {
                        below += w;
                        u * total <= below
                    })
                    .map_or(last, |(x, _)| x)
            }
            Self::Elicited { p10, p50, p90 } => {
                let z = standard_normal(u) / Z90;
                if p10 > 0.0 {
                    let step = if z < 0.0 { (p50 / p10).ln() } else { (p90 / p50).ln() };
                    p50 * (step * z).exp()
                } else {
                    p50 + z * if z < 0.0 { p50 - p10 } else { p90 - p50 }
                }
            }
            Self::Drawn(ref drawn) => Drawn::at(&drawn.sorted, u),
        }
    }

    /// The value that a uniform number u (0 < u < 1) draws: that at a share u of the distribution, and of a list of draws the
    /// one that stands at that share of the list.
    ///
    /// ```
    /// use draws::{Distribution, Drawn};
    /// let life = Distribution::Drawn(Drawn::new(&[9_000.0, 17_000.0, 12_000.0, 15_000.0]));
    /// assert_eq!((life.draw(0.3), life.quantile(0.3)), (17_000.0, 12_000.0));
    /// ```
    pub fn draw(&self, u: f64) -> f64 {
        match self {
            Self::Drawn(drawn) => Drawn::at(&drawn.draws, u),
            _ => self.quantile(u),
        }
    }

    /// Whether every draw is the same.
    pub fn is_certain(&self) -> bool {
        match *self {
            Self::Fixed(_) => true,
            Self::Normal { sd, .. } => sd == 0.0,
            Self::Lognormal { median, p90 } => median == p90,
            Self::Drawn(ref drawn) => drawn.sorted.first() == drawn.sorted.last(),
            _ => false,
        }
    }
}
