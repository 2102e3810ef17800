//! The tables of scores, and the sheet of forecasts to be filled in over the years.
//!
//! Belongs here: which rows they have. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::score_report::{ScoreReport, SheetRow};

use crate::table::{FORECASTS, Rows, SCORE, header};

/// [`SCORE`] as text: one row for each forecast, those with an outcome first.
pub fn score_csv(report: &ScoreReport) -> String {
    let mut rows = Rows::new(&header(SCORE, "", ""));
    for line in &report.lines {
        rows.number(line.line as f64);
        rows.text(&line.what);
        rows.text(&line.unit);
        for number in [Some(line.p10), line.p50, Some(line.p90), Some(line.happened)] {
            rows.finite(number);
        }
        rows.text(if line.is_within { "yes" } else { "no" });
        for number in [line.miss, Some(line.interval_score), Some(line.quantile_loss)] {
            rows.finite(number);
        }
        for text in [&line.made, &line.came, &line.look, &line.note] {
            rows.text(text);
        }
        rows.end();
    }
    for line in &report.open {
        rows.number(line.line as f64);
        rows.text(&line.what);
        rows.text(&line.unit);
        for number in [Some(line.p10), line.p50, Some(line.p90)] {
            rows.finite(number);
        }
        (0..5).for_each(|_| rows.absent());
        rows.text(&line.made);
        (0..3).for_each(|_| rows.absent());
        rows.end();
    }
    rows.finish()
}

/// [`FORECASTS`] as text: forecasts with nothing happened yet, made on a day that may be left open.
pub fn sheet_csv(sheet: &[SheetRow], made: &str) -> String {
    let mut rows = Rows::new(&header(FORECASTS, "", ""));
    for row in sheet {
        rows.text(&row.what);
        rows.text(&row.unit);
        let (p5, p95) = row.wide.map_or((None, None), |(low, high)| (Some(low), Some(high)));
        for number in [Some(row.p10), row.p50, Some(row.p90), p5, p95] {
            rows.finite(number);
        }
        rows.absent();
        rows.text(made);
        rows.absent();
        rows.text(&row.note);
        rows.end();
    }
    rows.finish()
}
