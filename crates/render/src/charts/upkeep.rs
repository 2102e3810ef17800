//! Lamps bought and failures, year by year.
//!
//! Belongs here: the bars by year and their whiskers. Does not belong here: when a lamp fails or is replaced.

use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL, Ticks, in_title};
use super::ink::{self, GREY, Hatch, Ink};
use super::lettering::{bold_width, width};
use super::scale::{Scale, extent, from_zero};
use super::sheet::Hold;
use super::{ChartError, option_at};
use crate::number;
use crate::words::clean;
use decide::result::{RunResult, YearLine};

const PLOT: (f64, f64) = (LEFT + 48.0, RIGHT);
/// Height of the higher picture.
const TALLEST: f64 = 190.0;
/// Height that the other keeps even if there is nothing in it.
const LOWEST: f64 = 48.0;

const HELP: &str = "Bars are means over the trials; a whisker runs from the 10 % to the 90 % point of the trials. Both \
                    pictures have the same scale. The first fill of lamps is not counted.";

/// Lamps bought in each year, after failures and to a plan, and failures beside them.
///
/// # Errors
/// If there is no such option, or the drawing fails.
pub fn lamps_by_year(run: &RunResult, option: usize) -> Result<String, ChartError> {
    let line = option_at(run, option)?;
    let title = format!("{}: lamps bought and failures by year", in_title(&clean(&line.name)));
    let mut frame = Frame::new(run, &title, HELP);
    let sockets = number::counted(line.sockets.into(), "socket");
    let bought = line.years.iter().flat_map(|y| [y.spot_lamps.max(0.0) + y.planned_lamps.max(0.0), y.lamps_p90]);
    let failed = line.years.iter().flat_map(|y| [y.failures, y.failures_p90]);
    let (bought, failed) = (top_of(bought), top_of(failed));
    let unit = TALLEST / bought.max(failed);
    lamps_key(&mut frame, &format!("Lamps bought a year, in {sockets}"));
    picture(&mut frame, &line.years, bought, unit, |year| {
        let spot = Piece { value: year.spot_lamps, ink: ink::SPOT, hatch: Hatch::None };
        let planned = Piece { value: year.planned_lamps, ink: ink::PLANNED, hatch: Hatch::Rising };
        (vec![spot, planned], (year.lamps_p10, year.lamps_p90))
    });
    frame.top += 14.0;
    frame.sheet.bold((LEFT, frame.top), Hold::Left, BODY, ink::BLACK, "Failures of lamps and gear a year");
    frame.top += 16.0;
    picture(&mut frame, &line.years, failed, unit, |year| {
        let failed = Piece { value: year.failures, ink: ink::FAILED, hatch: Hatch::None };
        (vec![failed], (year.failures_p10, year.failures_p90))
    });
    frame.sheet.text((PLOT.0, frame.top), Hold::Left, SMALL, GREY, &format!("year from {}", clean(&run.method.start)));
    frame.top += 12.0;
    for year in &line.years {
        frame.say(format!(
            "Year {}: {} lamps after failures, {} planned, {} failures.",
            year.year,
            number::fixed(year.spot_lamps, 1),
            number::fixed(year.planned_lamps, 1),
            number::fixed(year.failures, 1)
        ));
    }
    frame.finish(run)
}

/// A little more than the highest value.
fn top_of(values: impl Iterator<Item = f64>) -> f64 {
    from_zero(extent(values.filter(|v| *v >= 0.0)), 0.04).1
}

struct Piece {
    value: f64,
    ink: Ink,
    hatch: Hatch,
}

/// The heading of the upper picture, with a sample of each surface before its name.
fn lamps_key(frame: &mut Frame, heading: &str) {
    let y = frame.top;
    frame.sheet.bold((LEFT, y), Hold::Left, BODY, ink::BLACK, heading);
    let mut x = LEFT + bold_width(heading, BODY) + 22.0;
    for (name, ink, hatch) in
        [("after a failure", ink::SPOT, Hatch::None), ("planned (stacked on top)", ink::PLANNED, Hatch::Rising)]
    {
        frame.sheet.rect((x, y - 6.0), (x + 16.0, y + 6.0), ink);
        frame.sheet.hatch((x, y - 6.0), (x + 16.0, y + 6.0), hatch, ink::darker(ink));
        frame.sheet.text((x + 22.0, y), Hold::Left, SMALL, GREY, name);
        x += 22.0 + width(name, SMALL) + 20.0;
    }
    frame.top += 16.0;
}

fn picture(
    frame: &mut Frame,
    years: &[YearLine],
    highest: f64,
    unit: f64,
    bar: impl Fn(&YearLine) -> (Vec<Piece>, (f64, f64)),
) {
    // a lamp is as high as a failure; a picture with little in it is low
    let height = (highest * unit).max(LOWEST);
    let (top, bottom) = (frame.top, frame.top + height);
    let scale = Scale::new((0.0, height / unit), bottom, top);
    frame.y_axis(&scale, PLOT, ((height / 32.0) as usize).max(3), Ticks::Plain);
    frame.top = bottom + 28.0;
    if years.is_empty() {
        frame.on_paper(
            (PLOT.0 + 10.0, bottom - LOWEST / 2.0),
            Hold::Left,
            SMALL,
            GREY,
            "no years were counted",
            ink::PAPER,
        );
        return;
    }
    let pitch = (PLOT.1 - PLOT.0) / years.len() as f64;
    let wide = (pitch * 0.62).min(64.0);
    let last = years.iter().map(|y| y.year).max().unwrap_or(1);
    let every = [1, 2, 5, 10, 20, 50].into_iter().find(|n| pitch * f64::from(*n) > 24.0).unwrap_or(100);
    for (i, year) in years.iter().enumerate() {
        let middle = PLOT.0 + pitch * (i as f64 + 0.5);
        let (pieces, (low, high)) = bar(year);
        let mut sum = 0.0;
        for piece in pieces.iter().filter(|piece| piece.value > 0.0 && piece.value.is_finite()) {
            let (Some(from), Some(to)) = (scale.at(sum), scale.at(sum + piece.value)) else { continue };
            let (a, b) = ((middle - wide / 2.0, to), (middle + wide / 2.0, from));
            frame.sheet.rect(a, b, piece.ink);
            frame.sheet.hatch(a, b, piece.hatch, ink::darker(piece.ink));
            sum += piece.value;
        }
        if low.is_finite()
            && high.is_finite()
            && high > low
            && let (Some(low), Some(high)) = (scale.at(low), scale.at(high))
        {
            let cap = (wide * 0.18).clamp(1.5, 5.0);
            frame.sheet.line((middle, low), (middle, high), ink::BLACK, 1.3);
            for y in [low, high] {
                frame.sheet.line((middle - cap, y), (middle + cap, y), ink::BLACK, 1.3);
            }
        }
        let number = year.year;
        // the last year is named even if its turn has not come, unless it would touch the one before
        if number == 1 || number % every == 0 || (number == last && number % every > every / 2) {
            frame.sheet.text((middle, bottom + 12.0), Hold::Middle, SMALL, GREY, &number.to_string());
        }
    }
}
