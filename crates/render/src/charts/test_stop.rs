//! When to stop a life test, as a ladder of check-points over the number of dead lamps.
//!
//! Belongs here: bars of numbers that call for the same. Does not belong here: the rule, its sentences.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL, narrow};
use super::ink::{self, GREY, Hatch, Ink, RULE};
use super::lettering::{bold_width, fit};
use super::sheet::Hold;
use super::test_surface::{caption, stopped};
use crate::life_test::{chance, ends, named, ranges, sentence};
use crate::number;
use crate::relamp::hours;
use crate::words::clean;
use decide::life_test_report::{StopTable, TestReport};

/// Left and right edge of the bars.
const PLOT: (f64, f64) = (LEFT + 92.0, 830.0);
const PITCH: f64 = 34.0;
/// Half of the height of a bar.
const HALF: f64 = 12.0;
/// Least room between two numbers of dead lamps.
const APART: f64 = 30.0;

const HELP: &str = "From top to bottom: burn hours of the test. From left to right: lamps that are dead by then. A bar says what to do \
                    with so many: choose an option and stop, or go on. At the right: how likely the test ends there.";

/// Colour and hatch of what is to be done.
fn look(report: &TestReport, choose: Option<usize>) -> (Ink, Hatch) {
    let place = |option: usize| report.places.get(option).copied().unwrap_or(option);
    choose.map_or((ink::NOBODY, Hatch::None), |option| ink::region(place(option)))
}

/// The picture.
pub(super) fn test_stop(report: &TestReport, stop: &StopTable) -> Result<String, ChartError> {
    let title = format!(
        "When to stop {} of {}",
        number::counted(stop.lamps.into(), "lamp"),
        fit(&clean(&report.of), 18.0, 460.0)
    );
    let mut frame = Frame::open(&title, stopped(report), HELP);
    frame.note(&format!("For {} chosen after it.", number::counted(stop.rooms, "room")));
    frame.top += 6.0;
    if stop.checks.is_empty() {
        frame.note("There is nothing to show.");
        return frame.close(caption(report));
    }
    key(&mut frame, report, stop);
    ladder(&mut frame, report, stop);
    if let Some(check) = stop.checks.iter().find(|check| ends(check) > 0.0) {
        frame.note(&sentence(report, stop, check));
    }
    frame.close(caption(report))
}

/// What is to be done, in words.
fn what(report: &TestReport, choose: Option<usize>) -> String {
    choose.map_or_else(|| "go on".to_owned(), |option| format!("choose {}", named(report, option)))
}

fn key(frame: &mut Frame, report: &TestReport, stop: &StopTable) {
    let mut all: Vec<Option<usize>> =
        stop.checks.iter().flat_map(|check| ranges(check).into_iter().map(|range| range.choose)).collect();
    all.sort_unstable();
    all.dedup();
    for choose in all {
        let y = frame.top + 2.0;
        let (from, to) = ((PLOT.0, y - 7.0), (PLOT.0 + 28.0, y + 7.0));
        surface(frame, from, to, look(report, choose));
        let text = fit(&what(report, choose), BODY, RIGHT - to.0 - 12.0);
        frame.sheet.text((to.0 + 8.0, y), Hold::Left, BODY, ink::BLACK, &text);
        frame.top += 20.0;
    }
    frame.top += 6.0;
}

fn surface(frame: &mut Frame, from: (f64, f64), to: (f64, f64), (ink, hatch): (Ink, Hatch)) {
    frame.sheet.rect(from, to, ink);
    frame.sheet.hatch(from, to, hatch, ink::region_lines(ink));
    frame.sheet.path(vec![from, (to.0, from.1), to, (from.0, to.1), from], RULE, 0.8);
}

fn ladder(frame: &mut Frame, report: &TestReport, stop: &StopTable) {
    let count = f64::from(stop.lamps) + 1.0;
    let step = (PLOT.1 - PLOT.0) / count;
    let left = |dead: u32| PLOT.0 + step * f64::from(dead);
    frame.sheet.text((LEFT, frame.top + 4.0), Hold::Left, SMALL, GREY, "dead lamps");
    let every = (APART / step).ceil().max(1.0);
    let mut dead = 0.0;
    while dead < count {
        let x = PLOT.0 + step * (dead + 0.5);
        frame.sheet.text((x, frame.top + 4.0), Hold::Middle, SMALL, GREY, &number::fixed(dead, 0));
        dead += every;
    }
    frame.sheet.text((RIGHT, frame.top + 4.0), Hold::Right, SMALL, GREY, "ends here");
    let top = frame.top + 14.0;
    for (row, check) in stop.checks.iter().enumerate() {
        let y = top + PITCH * (row as f64 + 0.5);
        let name = narrow(&format!("{}\u{202f}h", hours(check.hours)), BODY * 1.08, PLOT.0 - LEFT - 8.0);
        frame.sheet.bold((LEFT, y), Hold::Left, BODY, ink::BLACK, &name);
        for range in ranges(check) {
            let (from, to) = ((left(range.least), y - HALF), (left(range.most) + step, y + HALF));
            let style = look(report, range.choose);
            surface(frame, from, to, style);
            let name = range.choose.map(|option| named(report, option));
            let first = name.iter().filter_map(|name| name.split_whitespace().next()).map(str::to_owned).next();
            // the whole, the name, or the first word of it: half a word says less than the hatch
            let room = to.0 - from.0 - 12.0;
            let said = [Some(what(report, range.choose)), name, first].into_iter().flatten();
            if let Some(text) = said.into_iter().find(|text| bold_width(text, BODY) <= room) {
                let (middle, half) = ((from.0 + to.0) / 2.0, bold_width(&text, BODY) / 2.0 + 3.0);
                frame.sheet.rect((middle - half, y - 8.0), (middle + half, y + 8.0), style.0);
                frame.sheet.bold((middle, y), Hold::Middle, BODY, ink::text_on(style.0), &text);
            }
        }
        let share = narrow(&chance(ends(check)), BODY, RIGHT - PLOT.1 - 10.0);
        frame.sheet.text((RIGHT, y), Hold::Right, BODY, ink::BLACK, &share);
        frame.say(sentence(report, stop, check));
    }
    frame.top = top + PITCH * stop.checks.len() as f64 + 14.0;
}
