//! What `score` finds out: plain data, each number in the unit that stands beside it, stored as `score.json`. No arithmetic here.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Version of the shape of `score.json`.
pub const SCORE_FORMAT: &str = "lampledger-score/1";

/// Past forecasts against what happened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ScoreReport {
    /// [`SCORE_FORMAT`].
    pub format: String,
    /// Version of the program.
    pub program: String,
    /// Name of the file with the forecasts.
    pub source: String,
    /// Forecasts whose outcome is known.
    pub came: usize,
    /// How many of them lay within their span of 10 % to 90 %; absent while none has come.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<Held>,
    /// The same for spans of 5 % to 95 %, of the rows that have one; absent where none has.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within_wide: Option<Held>,
    /// What may be said of the spans of 10 % to 90 %.
    pub width: WidthWord,
    /// How many outcomes fell below each point, of the rows that state it: 10 %, 50 %, 90 %.
    pub below: Vec<Below>,
    /// Whether the outcomes fall into the four parts that the points make as they should; absent with too few, and where
    /// many lie exactly on a point.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parts: Option<Parts>,
    /// How far outcomes lie from their medians; absent where no row has both above 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bias: Option<Bias>,
    /// What the forecasts lost; absent where no row has a median above 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub losses: Option<Losses>,
    /// Forecasts whose outcome is known: those that missed first, the farthest first, then the others as written.
    pub lines: Vec<ScoreLine>,
    /// Forecasts that are still open, as written.
    pub open: Vec<OpenLine>,
    /// What stands against trusting these numbers, sentence by sentence.
    pub caveats: Vec<String>,
    /// Things a reader should know.
    pub remarks: Vec<String>,
}

/// A count of hits with the exact limits of the share behind it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Held {
    /// Hits, the ends of spans included.
    pub found: usize,
    /// Those of them that lie exactly on an end.
    #[serde(default)]
    pub on: usize,
    /// Cases.
    pub of: usize,
    /// Share that is promised, 1 = all.
    pub promised: f64,
    /// Least that the share may be at 95 % confidence, cases taken as independent and those on an end as outside.
    pub low: f64,
    /// Most that it may be, those on an end taken as within.
    pub high: f64,
}

/// What may be said of the width of spans.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WidthWord {
    /// Too few outcomes to tell.
    TooFew,
    /// Fewer outcomes within than promised: overconfident.
    TooNarrow,
    /// More within than promised: underconfident.
    TooWide,
    /// Nothing speaks against them.
    Fits,
}

/// How many outcomes fell below a point.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Below {
    /// Share that should fall below it.
    pub share: f64,
    /// Outcomes below it.
    pub found: usize,
    /// Outcomes exactly on it.
    pub on: usize,
    /// Rows that state the point and have an outcome.
    pub of: usize,
    /// Outcomes that should be below it on average.
    pub expected: f64,
    /// Least that the share below may be at 95 % confidence, those on the point taken as above.
    pub low: f64,
    /// Most that it may be, those on the point taken as below.
    pub high: f64,
}

/// How well outcomes fit the four parts: below 10 %, up to 50 %, up to 90 %, above.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Parts {
    /// Outcomes in each.
    pub counts: [u64; 4],
    /// Pearson's chi-square with three degrees of freedom.
    pub chi_square: f64,
    /// Chance of so much or more if the forecasts are right and independent.
    pub chance: f64,
}

/// How far outcomes lie from their medians.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Bias {
    /// Median of outcome over forecast median, 1 = as foretold.
    pub ratio: f64,
    /// Limits of that median at 95 % confidence; absent with fewer than six.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limits: Option<(f64, f64)>,
    /// Rows.
    pub of: usize,
}

/// What forecasts lost on average, as shares of their own medians, so that units do not matter; lower is better.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Losses {
    /// Mean loss of the 10 %, 50 % and 90 % points.
    pub own: f64,
    /// The same of a plain rule: every median, with the one relative span that would have suited all other rows; absent with
    /// fewer than ten.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plain: Option<f64>,
    /// Mean interval score of the spans of 10 % to 90 %.
    pub interval: f64,
    /// Rows: those with a median above 0.
    pub of: usize,
}

/// A forecast whose outcome is known.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ScoreLine {
    /// Line of the file.
    pub line: u64,
    /// What was foretold.
    pub what: String,
    /// Unit of all its numbers.
    pub unit: String,
    /// 10 % point.
    pub p10: f64,
    /// Median, if it was said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub p50: Option<f64>,
    /// 90 % point.
    pub p90: f64,
    /// What happened.
    pub happened: f64,
    /// Whether that is only about right.
    pub is_about: bool,
    /// Day on which the forecast was made, as written.
    pub made: String,
    /// Day on which the outcome was known, as written.
    pub came: String,
    /// Whether the outcome lay within the span.
    pub is_within: bool,
    /// How far outside it lay, in widths of the span, below zero under it; 0 within; absent for a span without width that was
    /// missed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub miss: Option<f64>,
    /// Interval score of the span.
    pub interval_score: f64,
    /// Mean loss of its points.
    pub quantile_loss: f64,
    /// What to look at, for one that missed; else empty.
    pub look: String,
    /// Note of the row.
    pub note: String,
}

/// A forecast that is still open.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct OpenLine {
    /// Line of the file.
    pub line: u64,
    /// What is foretold.
    pub what: String,
    /// Unit of all its numbers.
    pub unit: String,
    /// 10 % point.
    pub p10: f64,
    /// Median, if it was said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub p50: Option<f64>,
    /// 90 % point.
    pub p90: f64,
    /// Day on which it was made, as written.
    pub made: String,
}

/// A forecast to be written down for later: what a stored run foretells.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetRow {
    /// What is foretold.
    pub what: String,
    /// Unit.
    pub unit: String,
    /// 10 % point.
    pub p10: f64,
    /// Median, if there is one.
    pub p50: Option<f64>,
    /// 90 % point.
    pub p90: f64,
    /// 5 % and 95 % points, if there are any.
    pub wide: Option<(f64, f64)>,
    /// Where it comes from.
    pub note: String,
}
