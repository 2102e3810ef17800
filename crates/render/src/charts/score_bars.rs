//! Forecasts as bars from their 10 % to their 90 % point, all drawn to one length, with what happened on them.
//!
//! Belongs here: rows, the surprises on top. Does not belong here: who missed by how much, which arrives with the numbers.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL, narrow};
use super::ink::{self, GREY, RULE};
use super::lettering::{bold_width, wrap};
use super::sheet::Hold;
use crate::number::significant;
use crate::score::{counts, of_unit, title, verdict};
use crate::words::clean;
use decide::score_report::{ScoreLine, ScoreReport};

/// Where names end, and where a span begins and ends.
const NAMES: f64 = 288.0;
const SPAN: (f64, f64) = (476.0, 640.0);
/// Where outcomes are drawn at most, and where they are written.
const EDGES: (f64, f64) = (402.0, 714.0);
const PITCH: f64 = 30.0;
/// Most forecasts that are drawn.
const MOST: usize = 40;

const HELP: &str = "Each bar is a forecast from its 10 % to its 90 % point, all drawn to one length; the upright tick is its \
                    median. A filled dot is what happened where the span held, a triangle where it did not, its tip away \
                    from the bar; an arrow beside the triangle: farther out than can be drawn. Surprises stand on top.";

/// The picture.
pub(super) fn score_bars(report: &ScoreReport) -> Result<String, ChartError> {
    let mut frame = Frame::open(&title(report), None, HELP);
    for line in wrap(verdict(report), BODY * 1.1, RIGHT - LEFT, 2) {
        frame.sheet.bold((LEFT, frame.top), Hold::Left, BODY, ink::BLACK, &line);
        frame.top += 17.0;
    }
    frame.say(verdict(report).to_owned());
    frame.top += 8.0;
    if report.lines.is_empty() {
        frame.note("No forecast has an outcome yet.");
        return frame.close(counts(report));
    }
    let missed = report.lines.iter().filter(|line| !line.is_within).count();
    let shown = &report.lines[..report.lines.len().min(MOST)];
    let mut heading = None;
    for line in shown {
        if heading != Some(line.is_within) {
            heading = Some(line.is_within);
            let count = if line.is_within { report.lines.len() - missed } else { missed };
            let what = if line.is_within { "Held" } else { "Missed, the farthest first" };
            frame.group(&format!("{what}: {count} of {}", report.lines.len()));
        }
        let y = frame.top + PITCH / 2.0 - 6.0;
        row(&mut frame, line, y);
        frame.top += PITCH;
    }
    if report.lines.len() > MOST {
        frame.note(&format!("{} more that held or missed by less are not drawn.", report.lines.len() - MOST));
    }
    let within = report.within.map_or_else(String::new, |held| {
        format!(
            " · {} of {} within, {}\u{202f}% to {}\u{202f}% at 95\u{202f}% confidence if independent",
            held.found,
            held.of,
            significant((held.low * 100.0).round(), 3),
            significant((held.high * 100.0).round(), 3)
        )
    });
    frame.close(format!("{}{within}", counts(report)))
}

/// Where a value of a row stands; none for a span without width.
fn place(line: &ScoreLine, value: f64) -> Option<f64> {
    let width = line.p90 - line.p10;
    let at = SPAN.0 + (value - line.p10) / width * (SPAN.1 - SPAN.0);
    (width > 0.0 && at.is_finite()).then_some(at)
}

fn row(frame: &mut Frame, line: &ScoreLine, y: f64) {
    let names = wrap(&clean(&line.what), SMALL, NAMES, 2);
    let first = y - 6.5 * (names.len() as f64 - 1.0);
    for (k, name) in names.iter().enumerate() {
        frame.sheet.text((LEFT, first + 13.0 * k as f64), Hold::Left, SMALL, ink::BLACK, name);
    }
    let middle = (SPAN.0 + SPAN.1) / 2.0;
    let has_width = line.p90 > line.p10;
    if has_width {
        frame.sheet.line((EDGES.0, y), (EDGES.1, y), ink::GRID, 1.0);
        frame.sheet.rect((SPAN.0, y - 5.0), (SPAN.1, y + 5.0), ink::MID);
        if let Some(x) = line.p50.and_then(|median| place(line, median)) {
            frame.sheet.line((x, y - 8.0), (x, y + 8.0), ink::BLACK, 2.0);
        }
    } else {
        frame.sheet.line((middle, y - 8.0), (middle, y + 8.0), ink::BLACK, 2.0);
    }
    // the ends of a span stand left and right of where anything is drawn
    let [low, high] = [line.p10, line.p90].map(|value| significant(value, 4));
    frame.sheet.text((EDGES.0 - 6.0, y), Hold::Right, SMALL, GREY, &narrow(&low, SMALL, 74.0));
    frame.sheet.text((EDGES.1 + 6.0, y), Hold::Left, SMALL, GREY, &narrow(&high, SMALL, 62.0));
    outcome(frame, line, y);
    let about = if line.is_about { "~" } else { "" };
    let number = format!("{about}{}", significant(line.happened, 4));
    let told = format!("{number}{}", of_unit(&line.unit));
    // a long unit may go, a digit may not
    let room = RIGHT - EDGES.1 - 74.0;
    let shown = if bold_width(&told, SMALL) <= room { told.clone() } else { narrow(&number, SMALL * 1.1, room) };
    frame.sheet.bold((RIGHT, y), Hold::Right, SMALL, ink::BLACK, &shown);
    let held = if line.is_within { "held" } else { "missed" };
    frame.say(format!("{}: {low} to {high}, {told} happened, {held}.", clean(&line.what)));
}

fn outcome(frame: &mut Frame, line: &ScoreLine, y: f64) {
    let exact = place(line, line.happened).unwrap_or((SPAN.0 + SPAN.1) / 2.0 + if line.is_within { 0.0 } else { 14.0 });
    let at = exact.clamp(EDGES.0 + 14.0, EDGES.1 - 14.0);
    if line.is_within {
        frame.sheet.dot((at, y), 6.0, ink::PAPER);
        frame.sheet.dot((at, y), 4.6, ink::BLACK);
        return;
    }
    let way = if line.happened < line.p10 { -1.0 } else { 1.0 };
    let triangle =
        |size: f64| vec![(at + way * size, y), (at - way * size * 0.8, y - size), (at - way * size * 0.8, y + size)];
    frame.sheet.area(triangle(9.0), ink::PAPER);
    frame.sheet.area(triangle(7.0), ink::FIRST);
    if exact != at {
        let tip = at + way * 13.0;
        frame.sheet.path(vec![(tip - way * 4.0, y - 4.0), (tip, y), (tip - way * 4.0, y + 4.0)], RULE, 1.6);
    }
}
