//! How lamps fade and die, and what is promised about them, as meant.

use lamp::{Early, Life, Maintenance, SurvivalTable, Table, WearOut, Weibull};

use crate::inputs::InputId;

/// How light fades, with its uncertain numbers in the table of inputs.
#[derive(Debug, Clone, PartialEq)]
pub enum MaintenancePlan {
    /// start · exp(−rate·b).
    Exponential {
        /// Fraction at 0 h.
        start: InputId,
        /// Decay rate, 1/h.
        rate: InputId,
    },
    /// Through one or two stated fractions.
    Through(Vec<StatedPlan>),
    /// exp(−(b/time_constant)^power).
    Stretched {
        /// Burn hours after which 1/e is left.
        time_constant: InputId,
        /// Power.
        power: InputId,
    },
    /// fast_share · exp(−fast_rate·b) + (1 − fast_share) · exp(−slow_rate·b).
    Biexponential {
        /// Share of the light that fades fast.
        fast_share: InputId,
        /// Its decay rate, 1/h.
        fast_rate: InputId,
        /// Decay rate of the rest, 1/h.
        slow_rate: InputId,
    },
    /// A test of LEDs, projected up to a cap.
    Projected {
        /// Fraction at 0 h.
        start: InputId,
        /// Decay rate up to the cap, 1/h.
        rate: InputId,
        /// Length of the test, h, and its multiple at the cap.
        cap: (InputId, InputId),
        /// Factor on the decay rate beyond.
        beyond: InputId,
    },
    /// Points, over hours or over shares of rated life.
    Table {
        /// The curve.
        table: Table,
        /// Whether its ages are shares of rated life.
        of_rated_life: bool,
    },
    /// No fading.
    Constant,
}

/// A stated fraction of initial flux.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StatedPlan {
    /// The fraction.
    pub fraction: InputId,
    /// Where it is left: burn hours, or a share of rated life.
    pub at: InputId,
    /// Whether it is a share of rated life.
    pub of_rated_life: bool,
}

impl MaintenancePlan {
    /// The curve in a trial; `rated` is the lamp's rated life in hours.
    ///
    /// Two stated fractions that do not fall in a trial make the exponential through the later one.
    pub fn curve(&self, values: &[f64], rated: f64) -> Maintenance {
        let value = |id: InputId| values[id.index()];
        match self {
            Self::Exponential { start, rate } => Maintenance::Exponential { start: value(*start), rate: value(*rate) },
            Self::Through(stated) => {
                let point =
                    |s: &StatedPlan| (value(s.at) * if s.of_rated_life { rated } else { 1.0 }, value(s.fraction));
                let points: Vec<(f64, f64)> = stated.iter().map(point).collect();
                Maintenance::through(&points)
                    .or_else(|| Maintenance::through(points.last().map(std::slice::from_ref)?))
                    .unwrap_or(Maintenance::CONSTANT)
            }
            Self::Stretched { time_constant, power } => {
                Maintenance::Stretched { time_constant: value(*time_constant), power: value(*power) }
            }
            Self::Biexponential { fast_share, fast_rate, slow_rate } => Maintenance::Biexponential {
                fast_share: value(*fast_share),
                fast_rate: value(*fast_rate),
                slow_rate: value(*slow_rate),
            },
            Self::Projected { start, rate, cap, beyond } => {
                let rate = value(*rate);
                let cap = value(cap.0) * value(cap.1);
                Maintenance::Projected { start: value(*start), rate, cap, beyond: rate * value(*beyond) }
            }
            Self::Table { table, of_rated_life } => {
                Maintenance::Table(if *of_rated_life { table.stretched(rated) } else { table.clone() })
            }
            Self::Constant => Maintenance::CONSTANT,
        }
    }
}

/// A replaceable lamp.
#[derive(Debug, Clone, PartialEq)]
pub struct LampPlan {
    /// Price of one.
    pub price: InputId,
    /// Disposal of one.
    pub disposal: InputId,
    /// What is claimed about its life.
    pub claim: ClaimPlan,
    /// How wear-out spreads.
    pub wear_out: WearOutPlan,
    /// Burn hours per start at which life was rated, h.
    pub rated_hours_per_start: InputId,
    /// Burn hours of life that a start costs, h.
    pub start_cost: InputId,
    /// Early failures: share, and window of rated hours.
    pub early: Option<(InputId, InputId)>,
    /// Constant hazard, 1/h.
    pub random: Option<InputId>,
    /// Factors on life.
    pub derates: Vec<InputId>,
    /// Luck shared by lamps bought together: spread, and sockets to a batch.
    pub batch: Option<(InputId, usize)>,
    /// What its maker promises.
    pub warranty: Option<WarrantyPlan>,
    /// Whether the first ones come with the fixture, because the fixture is replaced as a whole.
    pub is_fixture: bool,
}

/// What is claimed about a lamp's life.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClaimPlan {
    /// Burn hours.
    pub hours: InputId,
    /// Share alive then, all causes of death together.
    pub alive: Alive,
}

/// A share of lamps alive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Alive {
    /// By meaning of the claim: 0.5 of B50, 0.9 of B10.
    ByMeaning(f64),
    /// As stated or assumed.
    Stated(InputId),
}

impl Alive {
    /// The share in a trial.
    pub fn share(self, values: &[f64]) -> f64 {
        match self {
            Self::ByMeaning(share) => share,
            Self::Stated(id) => values[id.index()],
        }
    }
}

/// How wear-out spreads.
#[derive(Debug, Clone, PartialEq)]
pub enum WearOutPlan {
    /// Weibull, by its shape.
    Weibull(InputId),
    /// Lognormal, by the standard deviation of ln(life).
    Lognormal(InputId),
    /// As a table.
    Table(SurvivalTable),
    /// Not at all.
    Never,
}

/// What a maker promises.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WarrantyPlan {
    /// Months for which a failed lamp is replaced in full.
    pub full_for: InputId,
    /// Months at which nothing is left.
    pub until: InputId,
    /// Whether a replacement has the whole promise again.
    pub renewing: bool,
    /// Most burn hours a year.
    pub most_hours_per_year: f64,
    /// Least burn hours per start.
    pub least_hours_per_start: f64,
    /// Whether it is void because lamp, gear and fixture are not matched.
    pub unmatched: bool,
    /// Share of claims that are honoured.
    pub honoured: InputId,
    /// Days from the failure to the credit.
    pub credited_after: InputId,
    /// Cost of one claim.
    pub effort: InputId,
}

impl WarrantyPlan {
    /// Why the promise does not hold for lamps that burn so many hours a year and so many a start; empty when it does.
    pub fn outside(&self, hours_per_year: f64, hours_per_start: f64) -> Vec<String> {
        let mut why = vec![];
        if hours_per_year > self.most_hours_per_year {
            why.push(format!("{hours_per_year:.0} h a year, at most {:.0} h are allowed", self.most_hours_per_year));
        }
        if hours_per_start < self.least_hours_per_start {
            why.push(format!("{hours_per_start:.1} h a start, at least {:.1} h are asked", self.least_hours_per_start));
        }
        if self.unmatched {
            why.push("lamp, gear and fixture are not stated to be matched".into());
        }
        why
    }
}

/// Control gear that fails at a constant rate.
#[derive(Debug, Clone, PartialEq)]
pub struct GearPlan {
    /// Share that fails in a calendar year of this photoperiod.
    pub failures_per_year: InputId,
    /// Price of the part.
    pub price: InputId,
    /// Labour of one repair.
    pub labour: InputId,
}

/// A part with a clock of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct ComponentPlan {
    /// Its name.
    pub name: String,
    /// Median life by its clock, h.
    pub b50: InputId,
    /// Weibull shape.
    pub shape: InputId,
    /// Whether it ages all the time, and not only while the lamp burns.
    pub calendar: bool,
    /// Price of the part.
    pub price: InputId,
    /// Labour of one repair.
    pub labour: InputId,
    /// Whether its failure puts the socket in the dark.
    pub darkens: bool,
    /// Burn hours from which a lamp is old, and how many times as fast the part then ages.
    pub old_lamps: Option<(InputId, InputId)>,
}

impl LampPlan {
    /// Whether its life is a Weibull life by its own clock, alone, and nothing is promised about it.
    pub(crate) fn is_plain(&self) -> bool {
        matches!(self.wear_out, WearOutPlan::Weibull(_))
            && self.random.is_none()
            && self.batch.is_none()
            && self.warranty.is_none()
            && !self.is_fixture
    }

    /// Its life in a trial, hours of rated life.
    pub fn life(&self, values: &[f64]) -> Life {
        // early and random failures may leave nothing for wear-out to do
        const MOST_ALIVE: f64 = 1.0 - 1e-9;
        let value = |id: InputId| values[id.index()];
        let derate: f64 = self.derates.iter().map(|&id| value(id)).product();
        let (hours, alive) = (value(self.claim.hours) * derate, self.claim.alive.share(values));
        let early = self.early.map(|(share, within)| Early { share: value(share), within: value(within) });
        let random = self.random.map_or(0.0, value);
        let left = Life::wear_out_alive(hours, alive, early, random).min(MOST_ALIVE);
        let wear_out = match &self.wear_out {
            WearOutPlan::Weibull(shape) => Weibull::from_alive(hours, left, value(*shape)).map(WearOut::Weibull),
            WearOutPlan::Lognormal(sd) => Some(WearOut::lognormal(hours, left, value(*sd))),
            WearOutPlan::Table(table) => Some(WearOut::Table(table.stretched(derate))),
            WearOutPlan::Never => None,
        };
        // a life beyond any horizon
        let never = || WearOut::Lognormal { log_median: 500.0, sd: 1.0 };
        Life { wear_out: wear_out.unwrap_or_else(never), early, random }
    }
}
