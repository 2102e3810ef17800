//! What `learn life` finds out: plain data with units in the names, stored as `learn-life.json`. No arithmetic here.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Version of the shape of `learn-life.json`.
pub const LEARN_LIFE_FORMAT: &str = "lampledger-learn-life/1";

/// What burn logs say of a lamp's life, and the belief that comes of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LearnLifeReport {
    /// [`LEARN_LIFE_FORMAT`].
    pub format: String,
    /// Version of the program.
    pub program: String,
    /// Title of the scenario.
    pub title: String,
    /// Name of the option.
    pub option: String,
    /// JSON Pointer of the life that was brought up to date.
    pub place: String,
    /// Names of the logs.
    pub logs: Vec<String>,
    /// What the logs hold.
    pub counts: Counts,
    /// Burn hours per start of the logged lamps.
    pub log_hours_per_start: f64,
    /// Mean burn hours per start of the scenario's photoperiod.
    pub hours_per_start: f64,
    /// Burn hours a day by which days were turned into hours.
    pub hours_per_day: f64,
    /// Confidence of bands and intervals of what the log alone says, 0.95.
    pub confidence: f64,
    /// Survival as the logs alone show it.
    pub survival: SurvivalSteps,
    /// Curves fitted to the logs alone, the better one first; empty with fewer than two deaths.
    pub fits: Vec<FitLine>,
    /// What too few deaths still say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bound: Option<MedianBound>,
    /// Lots beside one another.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lots: Option<LotsLine>,
    /// The belief brought up to date; absent where the scenario's life is certain, so that nothing can move it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub belief: Option<BeliefLine>,
    /// What stands on the box, burn hours.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub claim_h: Option<f64>,
    /// Ends of watched lives for the picture, by hours.
    pub marks: Vec<Mark>,
    /// What is taken for granted, sentence by sentence.
    pub assumptions: Vec<String>,
    /// Cautions that the scenario calls for.
    pub cautions: Vec<String>,
    /// Things a reader should know.
    pub remarks: Vec<String>,
}

/// What the logs hold, in lamps unless the name says otherwise.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Counts {
    /// Lamps of the option.
    pub lamps: u64,
    /// Died at a known hour.
    pub died: u64,
    /// Died between two hours.
    pub died_between: u64,
    /// Burning at the last look.
    pub burning: u64,
    /// Taken out alive.
    pub removed: u64,
    /// Broken by accident.
    pub broken: u64,
    /// Watched from a later hour than 0 on.
    pub late: u64,
    /// With hours worked out from days.
    pub by_days: u64,
    /// Rows that are not filled in.
    pub blank_rows: u64,
    /// Rows of other lamps.
    pub other_rows: u64,
    /// Burn hours that were watched, all lamps together, whole hours.
    pub watched_h: u64,
    /// Most burn hours at which a lamp was seen.
    pub oldest_h: u64,
}

impl Counts {
    /// Lamps that died.
    pub fn deaths(&self) -> u64 {
        self.died + self.died_between
    }
}

/// How survival was estimated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum StepsWay {
    /// Kaplan and Meier's product, over lamps at risk.
    KaplanMeier,
    /// Turnbull's self-consistent shares, for deaths between two hours.
    Turnbull,
}

/// Survival by steps.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SurvivalSteps {
    /// How it was estimated.
    pub way: StepsWay,
    /// Its steps, hours rising.
    pub steps: Vec<StepLine>,
}

/// A step of survival.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StepLine {
    /// Burn hours at which it begins.
    pub from_h: f64,
    /// Burn hours at which it ends.
    pub to_h: f64,
    /// Lamps that were watched just before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_risk: Option<u64>,
    /// Deaths in it.
    pub deaths: f64,
    /// Share alive after it.
    pub alive: f64,
    /// Pointwise band about that share.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub band: Option<(f64, f64)>,
}

/// Families of curves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum FamilyName {
    /// Weibull.
    Weibull,
    /// Lognormal.
    Lognormal,
}

/// A fitted curve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FitLine {
    /// Its family.
    pub family: FamilyName,
    /// Weibull: scale η. Lognormal: median. Burn hours.
    pub scale_h: Interval,
    /// Weibull: shape k. Lognormal: standard deviation of ln(life).
    pub spread: Interval,
    /// Burn hours by which one in ten has died.
    pub b10_h: Interval,
    /// Burn hours by which half have died.
    pub b50_h: Interval,
    /// ln of the likelihood.
    pub log_likelihood: f64,
    /// Akaike's criterion.
    pub aic: f64,
}

/// A fitted number.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Interval {
    /// Its most likely value.
    pub value: f64,
    /// Its standard error.
    pub se: f64,
    /// Lower end by the profile of the likelihood; absent where there is none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub low: Option<f64>,
    /// Upper end; absent where there is none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub high: Option<f64>,
}

/// A bound of the median life.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MedianBound {
    /// Family for which it holds.
    pub family: FamilyName,
    /// Shape k, or standard deviation of ln(life), for which it holds.
    pub spread: f64,
    /// Burn hours that the median exceeds.
    pub b50_h: f64,
    /// With this confidence.
    pub confidence: f64,
}

/// Lots beside one another.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LotsLine {
    /// Each lot; at most 50 are kept.
    pub lots: Vec<LotLine>,
    /// Chance of differences as large as these if all lots were alike.
    pub chance: f64,
}

/// One lot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LotLine {
    /// Its name, or that of the log whose lamps have none.
    pub name: String,
    /// Lamps.
    pub lamps: u64,
    /// Deaths that were seen.
    pub deaths: u64,
    /// Deaths to be expected if all lots were alike.
    pub expected: f64,
}

/// 10 %, 50 % and 90 % point of a belief: that share of it lies below.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Points {
    /// 10 % point.
    pub p10: f64,
    /// Median.
    pub p50: f64,
    /// 90 % point.
    pub p90: f64,
}

/// The belief brought up to date. Median lives are burn hours on the scenario's photoperiod, by which half are dead.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BeliefLine {
    /// Median life before the logs.
    pub before_b50_h: Points,
    /// Median life after them.
    pub after_b50_h: Points,
    /// The wrong answer: median life if lamps that did not die were dropped; absent where none died.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dropped_b50_h: Option<Points>,
    /// Share by which the variance of ln(median life) fell; what is left is what was believed before. 0 where it did not.
    pub data_share: f64,
    /// Deaths in a log that would say as much about the median life as was believed before, for the shape at hand; absent
    /// where life is a table, or certain.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before_in_deaths: Option<f64>,
    /// Every uncertain input of the life.
    pub inputs: Vec<LearntInput>,
    /// How it was summed up: "grid" or "points".
    pub way: String,
    /// Cells or points.
    pub size: u64,
    /// Points of equal weight that the sum is worth; of a grid its cells.
    pub effective: f64,
    /// ln of the mean likelihood over the prior; of two priors the one with the larger number foresaw the log better.
    pub ln_evidence: f64,
    /// Number of draws in `life.json`.
    pub draws: u64,
    /// Survival under both beliefs, at the burn hours per start of the log.
    pub curves: Vec<CurvePoint>,
}

/// An uncertain input of a life.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LearntInput {
    /// JSON Pointer within the life, such as `/b50`.
    pub pointer: String,
    /// Its place in words.
    pub place: String,
    /// Unit of its values.
    pub unit: String,
    /// Before.
    pub before: Points,
    /// After.
    pub after: Points,
    /// Draws after the logs, in the order in which those of all inputs belong together.
    #[serde(skip)]
    pub draws: Vec<f64>,
}

/// Share alive at some hours.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CurvePoint {
    /// Burn hours.
    pub burn_h: f64,
    /// Share alive as believed before.
    pub before: Points,
    /// Share alive as believed after.
    pub after: Points,
    /// Median of the wrong answer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dropped: Option<f64>,
}

/// Where watched lives ended.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Mark {
    /// Burn hours at which the lamps were last seen alive; those of death where it is known.
    pub from_h: f64,
    /// Burn hours by which they were dead; absent for lamps that were not seen to die.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to_h: Option<f64>,
    /// How many lamps.
    pub lamps: u64,
}
