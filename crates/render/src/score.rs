//! Past forecasts against what happened: what `score` prints, and its tables.
//!
//! Belongs here: the order of what is said. Does not belong here: CSV (`tables`), the picture, counting.

mod tables;

use decide::score_report::{Held, ScoreLine, ScoreReport, WidthWord};

use crate::number::{self, significant};
use crate::page::{Column, Page, first_column};
use crate::words::{clean, columns, shorten};

pub use tables::{score_csv, sheet_csv};

/// Digits of numbers that are read off a page; the tables have all.
const DIGITS: usize = 4;
/// Forecasts that are printed at most, of those that missed and of those that are open; the tables have all.
const MOST: usize = 20;

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &ScoreReport, width: usize) -> Page {
    let mut page = Page::new(width);
    page.bold(&title(report));
    page.gap();
    page.hanging("Forecasts  ", &counts(report));
    spans(&mut page, report);
    points(&mut page, report);
    bias(&mut page, report);
    losses(&mut page, report);
    misses(&mut page, report);
    open(&mut page, report);
    page.list("What stands against it", &report.caveats);
    page.list("Remarks", &report.remarks);
    page
}

/// The title of a page or a picture.
pub(crate) fn title(report: &ScoreReport) -> String {
    format!("{}: forecasts and what happened", clean(&report.source))
}

/// How many forecasts there are, as a sentence.
pub(crate) fn counts(report: &ScoreReport) -> String {
    format!("{} with an outcome, {} still open", report.came, report.open.len())
}

/// How many spans held, with the limits of the share.
fn held(held: &Held, span: &str) -> String {
    let on = match held.on {
        0 => String::new(),
        on => format!(", {on} of them exactly on an end, which counts for neither side"),
    };
    format!(
        "{} of {} outcomes lie within {span} ({} promised){on}. Taken as independent, between {} and {} of such spans hold what \
         happens (exact limits, 95\u{202f}% confidence).",
        held.found,
        held.of,
        percent(held.promised),
        percent(held.low),
        percent(held.high)
    )
}

/// A share in whole per cent.
fn percent(share: f64) -> String {
    format!("{}\u{202f}%", number::fixed(share * 100.0, 0))
}

/// How far off something is, in widths: whole per cent, with more digits where it is little and times where it is much.
fn widths(miss: f64) -> String {
    match miss.abs() {
        miss if miss >= 100.0 => format!("{} times", significant(miss, 3)),
        miss if miss >= 0.1 => percent(miss),
        miss if miss >= 1e-4 => format!("{}\u{202f}%", significant(miss * 100.0, 2)),
        _ => "less than 0.01\u{202f}%".to_owned(),
    }
}

/// A chance in per cent, with a bound where it is very small.
fn chance(share: f64) -> String {
    if share < 0.001 {
        "less than 0.1\u{202f}%".to_owned()
    } else {
        format!("{}\u{202f}%", significant(share * 100.0, 2))
    }
}

/// What may be said of the spans, as a sentence.
pub(crate) fn verdict(report: &ScoreReport) -> &'static str {
    match report.width {
        WidthWord::TooFew => "Too few outcomes to tell whether the spans are right: at least ten are needed.",
        WidthWord::TooNarrow => "Overconfident: the spans are too narrow for what happened.",
        WidthWord::TooWide => "Underconfident: the spans are wider than what happened needed.",
        WidthWord::Fits => "Nothing here speaks against the spans; that is not to say that they are right.",
    }
}

fn spans(page: &mut Page, report: &ScoreReport) {
    page.heading("Did the spans hold?");
    page.hanging("", verdict(report));
    if let Some(within) = &report.within {
        page.hanging("", &held(within, "their span from the 10\u{202f}% to the 90\u{202f}% point"));
    }
    if let Some(wide) = &report.within_wide {
        page.hanging("", &held(wide, "their span from the 5\u{202f}% to the 95\u{202f}% point"));
    }
}

fn points(page: &mut Page, report: &ScoreReport) {
    if report.came == 0 {
        return;
    }
    page.heading("How many fell below each point");
    let names: Vec<String> = report.below.iter().map(|below| format!("{} point", percent(below.share))).collect();
    let column = |name: &str, of: &dyn Fn(usize) -> String| Column {
        name: name.into(),
        cells: (0..names.len()).map(|k| vec![of(k)]).collect(),
    };
    let below = &report.below;
    page.grid(
        &names,
        &[
            column("outcomes", &|k| below[k].of.to_string()),
            column("below, should be", &|k| number::fixed(below[k].expected, 1)),
            column("below, found", &|k| below[k].found.to_string()),
            column("exactly on it", &|k| below[k].on.to_string()),
            column("share below, limits", &|k| number::range(&percent(below[k].low), &percent(below[k].high))),
        ],
    );
    if let Some(parts) = &report.parts {
        page.gap();
        let [a, b, c, d] = parts.counts;
        page.hanging(
            "",
            &format!(
                "In the four parts lie {a}, {b}, {c} and {d}; chi-square {} with 3 degrees of freedom: so much or more has a \
                 chance of {} if the forecasts are right and independent.",
                significant(parts.chi_square, 3),
                chance(parts.chance)
            ),
        );
    }
}

fn bias(page: &mut Page, report: &ScoreReport) {
    let Some(bias) = report.bias else { return };
    page.heading("Too high or too low?");
    page.hanging("", &bias_sentence(bias.ratio, bias.limits, bias.of));
}

/// How far outcomes lie from their medians, as a sentence.
fn bias_sentence(ratio: f64, limits: Option<(f64, f64)>, of: usize) -> String {
    let shown = |value: f64| number::fixed(value, 2);
    let start = format!(
        "In the middle what happened was {} times the median forecast ({} with a median above 0)",
        shown(ratio),
        number::counted(of as u64, "row")
    );
    match limits {
        None => format!("{start}; too few rows to say how far that is luck."),
        Some((low, high)) => {
            let word = if high < 1.0 {
                "forecasts were too high"
            } else if low > 1.0 {
                "forecasts were too low"
            } else {
                "no lean to either side that could not be luck"
            };
            format!("{start}, {} at 95\u{202f}% confidence: {word}.", number::range(&shown(low), &shown(high)))
        }
    }
}

fn losses(page: &mut Page, report: &ScoreReport) {
    let Some(losses) = report.losses else { return };
    page.heading("What the forecasts lost");
    let shown = |value: f64| format!("{}\u{202f}%", significant(value * 100.0, 3));
    let mut text = format!(
        "Mean loss of the 10, 50 and 90\u{202f}% points: {} of the median; mean interval score of the spans: {} of it ({}). Lower \
         is better; both punish misses and width at once.",
        shown(losses.own),
        shown(losses.interval),
        number::counted(losses.of as u64, "row")
    );
    match losses.plain {
        None => text.push_str(" With ten rows and more they are held against a plain rule."),
        Some(plain) => {
            let word =
                if losses.own < plain { "The forecasts' own spans lost less" } else { "The forecasts lost no less" };
            text.push_str(&format!(
                " A plain rule loses {}: each median with the one relative span, and the one lean, that suited all the other \
                 rows. {word}. That rule knows how the others came out, which no forecaster did.",
                shown(plain)
            ));
        }
    }
    page.hanging("", &text);
}

/// What a span says, in its unit.
pub(crate) fn span_text(p10: f64, p50: Option<f64>, p90: f64, unit: &str) -> String {
    let median = p50.map_or_else(String::new, |median| format!(", median {}", significant(median, DIGITS)));
    let range = number::range(&significant(p10, DIGITS), &significant(p90, DIGITS));
    format!("{range}{median}{}", of_unit(unit))
}

/// A unit behind a number; counts have none.
pub(crate) fn of_unit(unit: &str) -> String {
    if unit == "1" { String::new() } else { format!("\u{202f}{}", clean(unit)) }
}

/// How far outside an outcome lies, in words.
pub(crate) fn miss_text(line: &ScoreLine) -> String {
    match line.miss.filter(|miss| miss.is_finite()) {
        _ if line.is_within => "within".to_owned(),
        None if line.p90 > line.p10 => "missed a span of next to no width".to_owned(),
        None => "missed a span of no width".to_owned(),
        Some(miss) => {
            let side = if miss > 0.0 { "above" } else { "below" };
            let of = if miss.abs() >= 100.0 { "" } else { " of" };
            format!("{side} the span by {}{of} its width", widths(miss))
        }
    }
}

fn misses(page: &mut Page, report: &ScoreReport) {
    let missed: Vec<&ScoreLine> = report.lines.iter().filter(|line| !line.is_within).collect();
    page.heading("Surprises, the farthest first");
    if missed.is_empty() {
        page.hanging("", "No outcome lies outside its span.");
        return;
    }
    for line in missed.iter().take(MOST) {
        let about = if line.is_about { "about " } else { "" };
        page.hanging(
            "- ",
            &format!(
                "line {}, {}: {about}{}{} happened, {}; foretold {}. Look here: {}",
                line.line,
                clean(&line.what),
                significant(line.happened, DIGITS),
                of_unit(&line.unit),
                miss_text(line),
                span_text(line.p10, line.p50, line.p90, &line.unit),
                line.look
            ),
        );
    }
    if missed.len() > MOST {
        page.hanging("", &format!("{} more are in score.csv.", missed.len() - MOST));
    }
}

fn open(page: &mut Page, report: &ScoreReport) {
    if report.open.is_empty() {
        return;
    }
    page.heading("Still open");
    let shown = &report.open[..report.open.len().min(MOST)];
    let limit = (2 * first_column(page.width)) as f64;
    let names: Vec<String> =
        shown.iter().map(|line| shorten(&clean(&line.what), limit, |text| columns(text) as f64)).collect();
    page.grid(
        &names,
        &[
            Column {
                name: "foretold (10 % to 90 % point)".into(),
                cells: shown.iter().map(|line| vec![span_text(line.p10, line.p50, line.p90, &line.unit)]).collect(),
            },
            Column { name: "made".into(), cells: shown.iter().map(|line| vec![clean_or_dash(&line.made)]).collect() },
        ],
    );
    if report.open.len() > MOST {
        page.hanging("", &format!("{} more are in score.csv.", report.open.len() - MOST));
    }
}

fn clean_or_dash(text: &str) -> String {
    if text.is_empty() { "–".to_owned() } else { clean(text) }
}

#[cfg(test)]
mod tests;
