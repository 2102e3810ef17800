//! Past forecasts against what happened.
//!
//! Belongs here: which shares, losses and words come from which rows. Does not belong here: reading rows (`records`), the
//! mathematics (`learn::score`), what a stored run foretells (`sheet`).

mod sheet;
mod words;

use learn::score::{Hits, Span, median_limits, misfit, plain_loss, quantile, quantile_loss, share_limits};
use records::Forecast;

use crate::score_report::{
    Below, Bias, Held, Losses, OpenLine, Parts, SCORE_FORMAT, ScoreLine, ScoreReport, WidthWord,
};

pub use sheet::sheet;

/// Outcomes from which on a word is said about spans.
const ENOUGH: usize = 10;
/// Times its median that the numbers of a row may be for shares of the median to say something.
const MOST_TIMES: f64 = 1e6;
/// Confidence of all limits.
const CONFIDENCE: f64 = 0.95;
/// Shares of the points, and of the span between the outer two.
const POINTS: [f64; 3] = [0.1, 0.5, 0.9];
const HOLDS: f64 = 0.8;
const HOLDS_WIDE: f64 = 0.9;

/// A forecast with its outcome.
struct Came<'a> {
    forecast: &'a Forecast,
    happened: f64,
}

impl Came<'_> {
    fn span(&self) -> Span {
        Span { low: self.forecast.p10, high: self.forecast.p90, holds: HOLDS }
    }

    /// The points that it states, with their shares.
    fn points(&self) -> Vec<(f64, f64)> {
        let all = [Some(self.forecast.p10), self.forecast.p50, Some(self.forecast.p90)];
        POINTS.into_iter().zip(all).filter_map(|(share, point)| Some((share, point?))).collect()
    }

    /// Mean loss of its points, in its unit.
    fn loss(&self) -> f64 {
        let points = self.points();
        points.iter().map(|(share, point)| quantile_loss(*share, *point, self.happened)).sum::<f64>()
            / points.len() as f64
    }
}

/// Scores forecasts; `source` is the name of their file.
pub fn score(forecasts: &[Forecast], source: &str, program: &str) -> ScoreReport {
    let came: Vec<Came<'_>> =
        forecasts.iter().filter_map(|forecast| Some(Came { forecast, happened: forecast.happened?.value })).collect();
    let open = forecasts.iter().filter(|forecast| forecast.happened.is_none()).map(|forecast| OpenLine {
        line: forecast.line,
        what: forecast.what.clone(),
        unit: forecast.unit.clone(),
        p10: forecast.p10,
        p50: forecast.p50,
        p90: forecast.p90,
        made: forecast.made.clone(),
    });
    let within = held(came.iter().map(|one| (one.span(), one.happened)), HOLDS);
    let wide = came.iter().filter_map(|one| {
        let (low, high) = one.forecast.wide?;
        Some((Span { low, high, holds: HOLDS_WIDE }, one.happened))
    });
    let width = width(within);
    let below: Vec<Below> = POINTS.into_iter().map(|share| below(&came, share)).collect();
    let is_coarse = below.iter().any(words::is_coarse);
    let (bias, losses) = relative(&came);
    ScoreReport {
        format: SCORE_FORMAT.into(),
        program: program.into(),
        source: source.into(),
        came: came.len(),
        within,
        within_wide: held(wide, HOLDS_WIDE),
        width,
        parts: if is_coarse { None } else { parts(&came) },
        bias,
        losses,
        lines: lines(&came),
        open: open.collect(),
        caveats: words::caveats(&below),
        remarks: words::remarks(forecasts),
        below,
    }
}

/// Hits with the limits of their share; none without cases.
fn held(all: impl Iterator<Item = (Span, f64)>, promised: f64) -> Option<Held> {
    let all: Vec<(Span, f64)> = all.collect();
    let within: Vec<&(Span, f64)> = all.iter().filter(|(span, happened)| span.has(*happened)).collect();
    let on = within.iter().filter(|(span, happened)| *happened == span.low || *happened == span.high).count();
    let (low, high) = limits(within.len(), on, all.len())?;
    Some(Held { found: within.len(), on, of: all.len(), promised, low, high })
}

/// Least and most that a share may be, some of the hits being ties, such as outcomes on the end of a span or on a point. Of right
/// quantiles no more than the promised share lies off the ties and no less lies there with them, however coarse the outcomes
/// are, so that ties are taken as no hits for the least, and as hits for the most.
fn limits(found: usize, ties: usize, of: usize) -> Option<(f64, f64)> {
    let of_hits = |found: usize| share_limits(Hits { found: found as u64, of: of as u64 }, CONFIDENCE);
    Some((of_hits(found - ties)?.low, of_hits(found)?.high))
}

/// What the limits allow to be said.
fn width(within: Option<Held>) -> WidthWord {
    match within {
        Some(held) if held.of >= ENOUGH && held.high < held.promised => WidthWord::TooNarrow,
        Some(held) if held.of >= ENOUGH && held.low > held.promised => WidthWord::TooWide,
        Some(held) if held.of >= ENOUGH => WidthWord::Fits,
        _ => WidthWord::TooFew,
    }
}

fn below(came: &[Came<'_>], share: f64) -> Below {
    let stated: Vec<(f64, f64)> = came
        .iter()
        .filter_map(|one| {
            let (_, point) = one.points().into_iter().find(|(other, _)| *other == share)?;
            Some((point, one.happened))
        })
        .collect();
    let found = stated.iter().filter(|(point, happened)| happened < point).count();
    let on = stated.iter().filter(|(point, happened)| happened == point).count();
    let (low, high) = limits(found + on, on, stated.len()).unwrap_or((0.0, 1.0));
    Below { share, found, on, of: stated.len(), expected: share * stated.len() as f64, low, high }
}

/// The four parts, of the rows that state a median.
fn parts(came: &[Came<'_>]) -> Option<Parts> {
    let mut counts = [0; 4];
    for one in came {
        let Some(median) = one.forecast.p50 else { continue };
        let part = match one.happened {
            x if x < one.forecast.p10 => 0,
            x if x < median => 1,
            x if x <= one.forecast.p90 => 2,
            _ => 3,
        };
        counts[part] += 1;
    }
    let found = misfit(&counts, &[0.1, 0.4, 0.4, 0.1])?;
    Some(Parts { counts, chi_square: found.distance, chance: found.chance })
}

/// What can be said without units: of the rows whose median lies above 0, and is not so small beside the other numbers that
/// shares of it say nothing.
fn relative(came: &[Came<'_>]) -> (Option<Bias>, Option<Losses>) {
    let usable = |one: &Came<'_>, median: f64| {
        let sizes = [one.happened, one.forecast.p10, one.forecast.p90].map(f64::abs);
        median > 0.0 && sizes.iter().all(|size| *size < median * MOST_TIMES)
    };
    let rows: Vec<(&Came<'_>, f64)> =
        came.iter().filter_map(|one| Some((one, one.forecast.p50.filter(|median| usable(one, *median))?))).collect();
    if rows.is_empty() {
        return (None, None);
    }
    let of = rows.len();
    let ratios: Vec<f64> = rows.iter().map(|(one, median)| one.happened / median).collect();
    let mean = |value: &dyn Fn(usize) -> Option<f64>| -> Option<f64> {
        let values: Vec<f64> = (0..of).map(value).collect::<Option<_>>()?;
        Some(values.iter().sum::<f64>() / of as f64)
    };
    let mut sorted = ratios.clone();
    sorted.sort_by(f64::total_cmp);
    let limits = median_limits(&sorted, CONFIDENCE).map(|limits| (limits.low, limits.high));
    let bias = Bias { ratio: quantile(&sorted, 0.5), limits, of };
    let own = mean(&|k| Some(rows[k].0.loss() / rows[k].1));
    let interval = mean(&|k| Some(rows[k].0.span().score(rows[k].0.happened) / rows[k].1));
    let plain = (of >= ENOUGH).then(|| mean(&|k| plain_loss(&ratios, k, &POINTS))).flatten();
    let losses = own.zip(interval).map(|(own, interval)| Losses { own, plain, interval, of });
    (Some(bias), losses)
}

/// Every forecast with its outcome, the farthest misses first.
fn lines(came: &[Came<'_>]) -> Vec<ScoreLine> {
    let mut lines: Vec<ScoreLine> = came
        .iter()
        .map(|one| {
            let Forecast { line, what, unit, p10, p50, p90, made, came, note, .. } = one.forecast.clone();
            let span = one.span();
            let is_within = span.has(one.happened);
            ScoreLine {
                look: if is_within { String::new() } else { words::look(&what, &unit, one.happened > p90) },
                line,
                what,
                unit,
                p10,
                p50,
                p90,
                happened: one.happened,
                is_about: one.forecast.happened.is_some_and(|number| number.is_about),
                made,
                came,
                is_within,
                miss: span.miss(one.happened),
                interval_score: span.score(one.happened),
                quantile_loss: one.loss(),
                note,
            }
        })
        .collect();
    // a span without width that was missed is missed by more widths than any other
    let far = |line: &ScoreLine| line.miss.map_or(f64::INFINITY, f64::abs);
    lines.sort_by(|a, b| far(b).total_cmp(&far(a)));
    lines
}

#[cfg(test)]
mod tests;
