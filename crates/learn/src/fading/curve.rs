//! Forms of fading as curves of burn hours, from 1 at 0 h.
//!
//! Belongs here: values, slopes, coordinates without bounds. Does not belong here: data.

/// A form of fading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// exp(−rate·b).
    Exponential,
    /// exp(−(b/time constant)^power).
    Stretched,
    /// share·exp(−fast·b) + (1 − share)·exp(−slow·b).
    Biexponential,
}

impl Form {
    /// All forms, fewest parameters first.
    pub const ALL: [Self; 3] = [Self::Exponential, Self::Stretched, Self::Biexponential];

    /// Number of parameters besides the levels of lamps.
    pub fn parameters(self) -> usize {
        match self {
            Self::Exponential => 1,
            Self::Stretched => 2,
            Self::Biexponential => 3,
        }
    }
}

/// A curve: the share of light at 0 h that is left after b burn hours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Curve {
    /// exp(−rate·b).
    Exponential {
        /// Decay rate, 1/h; below 0 where light grows.
        rate: f64,
    },
    /// exp(−(b/time_constant)^power).
    Stretched {
        /// Burn hours after which 1/e is left.
        time_constant: f64,
        /// Power.
        power: f64,
    },
    /// fast_share·exp(−fast_rate·b) + (1 − fast_share)·exp(−slow_rate·b).
    Biexponential {
        /// Share of the light that fades fast, 0 to 1.
        fast_share: f64,
        /// Its decay rate, 1/h.
        fast_rate: f64,
        /// Decay rate of the rest, 1/h.
        slow_rate: f64,
    },
}

/// Hours in the unit of the coordinates.
const KILO: f64 = 1000.0;

impl Curve {
    /// Its form.
    pub fn form(&self) -> Form {
        match self {
            Self::Exponential { .. } => Form::Exponential,
            Self::Stretched { .. } => Form::Stretched,
            Self::Biexponential { .. } => Form::Biexponential,
        }
    }

    /// The curve at coordinates without bounds: the rate in 1/kh; the logarithms of time constant (kh) and power; the logit of
    /// the fast share and the logarithms of both rates (1/kh).
    pub(crate) fn at(form: Form, coordinates: &[f64]) -> Self {
        match (form, coordinates) {
            (Form::Exponential, [rate, ..]) => Self::Exponential { rate: rate / KILO },
            (Form::Stretched, [time, power, ..]) => {
                Self::Stretched { time_constant: KILO * time.exp(), power: power.exp() }
            }
            (Form::Biexponential, [share, fast, slow, ..]) => Self::Biexponential {
                fast_share: 1.0 / (1.0 + (-share).exp()),
                fast_rate: fast.exp() / KILO,
                slow_rate: slow.exp() / KILO,
            },
            _ => Self::Exponential { rate: f64::NAN },
        }
    }

    /// Its coordinates; see [`Curve::at`].
    pub(crate) fn coordinates(&self) -> Vec<f64> {
        match *self {
            Self::Exponential { rate } => vec![rate * KILO],
            Self::Stretched { time_constant, power } => vec![(time_constant / KILO).ln(), power.ln()],
            Self::Biexponential { fast_share, fast_rate, slow_rate } => {
                vec![(fast_share / (1.0 - fast_share)).ln(), (fast_rate * KILO).ln(), (slow_rate * KILO).ln()]
            }
        }
    }

    /// ln M(b).
    pub fn log_share(&self, b: f64) -> f64 {
        match *self {
            Self::Exponential { rate } => -rate * b,
            Self::Stretched { time_constant, power } => -(b / time_constant).powf(power),
            Self::Biexponential { fast_share, fast_rate, slow_rate } => {
                // the slow part taken out, so that nothing vanishes late
                let gone = fast_share * (-(fast_rate - slow_rate) * b).exp() - fast_share;
                -slow_rate * b + gone.ln_1p()
            }
        }
    }

    /// M(b), the share of the light at 0 h.
    ///
    /// ```
    /// let curve = learn::fading::Curve::Exponential { rate: 2e-5 };
    /// assert!((curve.share(10_000.0) - (-0.2f64).exp()).abs() < 1e-15);
    /// ```
    pub fn share(&self, b: f64) -> f64 {
        self.log_share(b).exp()
    }

    /// Derivatives of ln M(b) by the coordinates; what the form does not have is 0.
    pub(crate) fn log_slopes(&self, b: f64) -> [f64; 3] {
        match *self {
            Self::Exponential { .. } => [-b / KILO, 0.0, 0.0],
            Self::Stretched { .. } if b <= 0.0 => [0.0; 3],
            Self::Stretched { time_constant, power } => {
                let lost = (b / time_constant).powf(power);
                [power * lost, -power * lost * (b / time_constant).ln(), 0.0]
            }
            Self::Biexponential { fast_share, fast_rate, slow_rate } => {
                let (fast, slow) = ((-fast_rate * b).exp(), (-slow_rate * b).exp());
                let whole = fast_share * fast + (1.0 - fast_share) * slow;
                [
                    fast_share * (1.0 - fast_share) * (fast - slow) / whole,
                    -fast_share * fast_rate * b * fast / whole,
                    -(1.0 - fast_share) * slow_rate * b * slow / whole,
                ]
            }
        }
    }

    /// The same curve for a lamp that ages so many times as fast: M(pace·b).
    pub fn paced(&self, pace: f64) -> Self {
        match *self {
            Self::Exponential { rate } => Self::Exponential { rate: rate * pace },
            Self::Stretched { time_constant, power } => Self::Stretched { time_constant: time_constant / pace, power },
            Self::Biexponential { fast_share, fast_rate, slow_rate } => {
                Self::Biexponential { fast_share, fast_rate: fast_rate * pace, slow_rate: slow_rate * pace }
            }
        }
    }

    /// d ln(−ln M) / d ln b at b hours: 1 for the exponential, the power for the stretched one.
    pub(crate) fn elasticity(&self, b: f64) -> f64 {
        match *self {
            Self::Exponential { .. } => 1.0,
            Self::Stretched { power, .. } => power,
            Self::Biexponential { fast_share, fast_rate, slow_rate } => {
                let (fast, slow) = (fast_share * (-fast_rate * b).exp(), (1.0 - fast_share) * (-slow_rate * b).exp());
                let falls = (fast * fast_rate + slow * slow_rate) / (fast + slow);
                b * falls / -self.log_share(b)
            }
        }
    }

    /// Burn hours at which a share (0 to 1) of the light at 0 h is left; none where it never comes to that within a
    /// thousand million hours.
    ///
    /// ```
    /// let curve = learn::fading::Curve::Stretched { time_constant: 46_000.0, power: 0.8 };
    /// assert!((curve.share(curve.age_at(0.7).unwrap()) - 0.7).abs() < 1e-12);
    /// ```
    pub fn age_at(&self, share: f64) -> Option<f64> {
        const FOREVER: f64 = 1e9;
        let lost = -share.ln();
        let age = match *self {
            Self::Exponential { rate } => lost / rate,
            Self::Stretched { time_constant, power } => time_constant * lost.powf(1.0 / power),
            Self::Biexponential { .. } => {
                let (mut low, mut high) = (0.0, FOREVER);
                // halved until neighbouring numbers meet
                for _ in 0..100 {
                    let middle = 0.5 * (low + high);
                    if -self.log_share(middle) < lost { low = middle } else { high = middle }
                }
                high
            }
        };
        (0.0..FOREVER).contains(&age).then_some(age)
    }
}
