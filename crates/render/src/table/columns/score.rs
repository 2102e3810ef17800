//! Columns of the tables of `score`.

use super::Table;
use crate::table::{FORECASTS, SCORE};

pub(super) const TABLES: &[Table] = &[
    (
        SCORE,
        &[
            ("line", "Line of the file of forecasts."),
            ("what", "What was foretold."),
            ("unit", "Unit of the row's numbers; 1 for counts."),
            ("p10", "10 % point of the forecast."),
            ("p50", "Its median, if it was said."),
            ("p90", "Its 90 % point."),
            ("happened", "What happened; empty while the forecast is open, and so are the next four."),
            ("within", "\"yes\" where that lies from the 10 % to the 90 % point, the points included, else \"no\"."),
            (
                "miss",
                "How far outside it lies, in widths of that span, below zero under it; 0 within; empty for a missed span of no width.",
            ),
            ("interval_score", "Interval score of that span, in the row's unit; lower is better."),
            ("quantile_loss", "Mean loss of the points, in the row's unit; lower is better."),
            ("made", "Day on which the forecast was made, as written."),
            ("came", "Day on which the outcome was known, as written."),
            ("look_at", "Where to look after a miss; else empty."),
            ("note", "Note of the row."),
        ],
    ),
    (
        FORECASTS,
        &[
            ("what", "What is foretold."),
            ("unit", "Unit of the row's numbers; 1 for counts."),
            ("p10", "One in ten falls below."),
            ("p50", "Half falls below; empty where only the span is known."),
            ("p90", "Nine in ten fall below."),
            ("p5", "One in twenty falls below; empty likewise."),
            ("p95", "Nineteen in twenty fall below."),
            ("happened", "What happened; to be filled in when it is known."),
            ("made", "Day on which the forecast was made."),
            ("came", "Day on which the outcome was known; to be filled in."),
            ("note", "Basis, and the run that it comes from."),
        ],
    ),
];
