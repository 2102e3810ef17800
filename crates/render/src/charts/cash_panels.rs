//! Cash paid since the start, a small drawing for each option, where there are too many for one.
//!
//! Belongs here: panels. Does not belong here: lines and bands (`cash_curves`).

use super::cash_curves::{Line, Span, band, steps};
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL, Ticks, narrow};
use super::ink::{self, GREY, RULE};
use super::scale::{Scale, tick};
use super::sheet::Hold;

/// Drawings side by side.
const ABREAST: usize = 3;
const GAP: f64 = 22.0;
/// Width of a drawing with its numbers.
pub(super) const WIDE: f64 = (RIGHT - LEFT + GAP) / ABREAST as f64 - GAP;
/// Room for the numbers of the axis of money.
const NUMBERS: f64 = 48.0;
const HEIGHT: f64 = 130.0;
const NAME_LINE: f64 = 15.5;
const NOTE_LINE: f64 = 13.5;

/// One drawing for each line, all on the same scales, with the other lines pale behind it.
pub(super) fn panels(frame: &mut Frame, lines: &[Line], span: &Span, range: (f64, f64)) {
    for row in lines.chunks(ABREAST) {
        let head = |line: &Line| line.name.len() as f64 * NAME_LINE + line.notes.len() as f64 * NOTE_LINE;
        let heads = row.iter().map(head).fold(0.0, f64::max);
        let top = frame.top + heads + 8.0;
        let mut after = top + HEIGHT;
        for (column, line) in row.iter().enumerate() {
            let left = LEFT + column as f64 * (WIDE + GAP);
            words(frame, line, (left, frame.top + heads - head(line)));
            let time = Scale::new((0.0, span.last), left + NUMBERS, left + WIDE);
            let paid = Scale::new(range, top + HEIGHT, top);
            money(frame, &paid, (left + NUMBERS, left + WIDE));
            after = after.max(frame.x_axis(&time, (top, top + HEIGHT), "", Ticks::Plain));
            for other in lines.iter().filter(|other| other.index != line.index) {
                frame.sheet.path(steps(&time, &paid, other, |at| at.mean), RULE, 0.5);
            }
            band(frame, &time, &paid, line);
            let (ink, dash) = ink::series(line.index);
            frame.sheet.dashed(steps(&time, &paid, line, |at| at.mean), ink, 2.0, dash);
            for x in line.relamps.iter().filter_map(|at| time.at(*at)) {
                frame.sheet.line((x, top + HEIGHT - 7.0), (x, top + HEIGHT), ink, 3.0);
            }
        }
        frame.top = after + 8.0;
    }
    frame.note(&span.start);
}

/// Name and sum above a drawing.
fn words(frame: &mut Frame, line: &Line, (left, top): (f64, f64)) {
    let mut y = top + NAME_LINE / 2.0;
    for words in &line.name {
        frame.sheet.bold((left, y), Hold::Left, BODY, ink::BLACK, words);
        y += NAME_LINE;
    }
    for note in &line.notes {
        frame.sheet.text((left, y - 1.0), Hold::Left, SMALL, GREY, note);
        y += NOTE_LINE;
    }
    frame.say(format!("{}: {} in all.", line.name.join(" "), line.notes.join(" ")));
}

/// The vertical axis, its numbers at its own left edge.
fn money(frame: &mut Frame, paid: &Scale, (left, right): (f64, f64)) {
    let (ticks, decimals) = paid.ticks(4);
    for value in ticks {
        if let Some(y) = paid.at(value) {
            frame.sheet.line((left, y), (right, y), if value == 0.0 { RULE } else { ink::GRID }, 1.0);
            let text = narrow(&tick(value, decimals), SMALL, NUMBERS - 6.0);
            frame.sheet.text((left - 6.0, y), Hold::Right, SMALL, GREY, &text);
        }
    }
}
