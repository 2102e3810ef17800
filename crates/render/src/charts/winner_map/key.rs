//! The key beside the plane: what each surface and mark stands for, and how much each option wins.
//!
//! Belongs here: samples and words. Does not belong here: the plane.

use super::super::frame::{BODY, Frame, RIGHT, SMALL};
use super::super::ink::{self, GREY, Hatch, Ink, RULE};
use super::super::lettering::{fit, wrap_bold};
use super::super::sheet::Hold;
use super::NAME_LINE;
use crate::map::{of, shares};
use decide::map_report::MapReport;

/// Where samples begin.
pub(super) const LEFT_EDGE: f64 = 712.0;
/// Where words begin.
pub(super) const WORDS: f64 = 750.0;
const SAMPLE: f64 = 28.0;
const NOTE: f64 = 14.0;
const GAP: f64 = 9.0;
/// Marks below the options, each with two lines at most.
const MARKS: f64 = 5.0;
/// From so many options on each has one line for its name.
const MANY: usize = 7;

fn lines(names: &[String], name: &str) -> Vec<String> {
    wrap_bold(name, BODY, RIGHT - WORDS, if names.len() < MANY { 2 } else { 1 })
}

/// Height that the key needs.
pub(super) fn height(names: &[String]) -> f64 {
    let options: f64 = names.iter().map(|name| lines(names, name).len() as f64 * NAME_LINE + NOTE + GAP).sum();
    options + MARKS * (NOTE + GAP) + NOTE * 2.0
}

/// Draws the key from a height on.
pub(super) fn key(frame: &mut Frame, report: &MapReport, names: &[String], top: f64) {
    let shares = shares(report);
    let mut y = top;
    for (k, name) in names.iter().enumerate() {
        let (ink, hatch) = ink::region(k);
        swatch(frame, y, (ink, hatch));
        let mut at = y + NAME_LINE / 2.0;
        for line in lines(names, name) {
            frame.sheet.bold((WORDS, at), Hold::Left, BODY, ink::BLACK, &line);
            at += NAME_LINE;
        }
        let won = of(shares.won.get(k).copied().unwrap_or(0), shares.cells);
        frame.sheet.text((WORDS, at - 1.0), Hold::Left, SMALL, GREY, &format!("wins {won} of the plane"));
        frame.say(format!("{name} wins {won} of the plane."));
        y = at + NOTE / 2.0 + GAP;
    }
    let close = of(shares.cells.saturating_sub(shares.won.iter().sum()), shares.cells);
    swatch(frame, y, (ink::NOBODY, Hatch::None));
    for (right, down) in [(5.0, 4.0), (14.0, 4.0), (23.0, 4.0), (9.5, 9.0), (18.5, 9.0)] {
        frame.sheet.dot((LEFT_EDGE + right, y + down), 0.9, RULE);
    }
    words(frame, y, &format!("too close to call, {close}"));
    frame.say(format!("Too close to call: {close} of the plane."));
    y += NOTE + GAP;
    if report.options.len() > 1 {
        let (left, right, middle) = (LEFT_EDGE, LEFT_EDGE + SAMPLE, y + 7.0);
        frame.sheet.line((left, middle), (right, middle), ink::BLACK, 2.0);
        words(frame, y, "tie on average");
        y += NOTE + GAP;
        let middle = y + 7.0;
        frame.sheet.line((left, middle), (right, middle), GREY, 0.8);
        words(frame, y, "winner leads by so much");
        y += NOTE + GAP;
    }
    super::cross(frame, (LEFT_EDGE + SAMPLE / 2.0, y + 7.0));
    words(frame, y, "the scenario, at its medians");
    y += NOTE + GAP;
    if report.here.len() > 1 {
        for (right, down) in [(8.0, 5.0), (14.0, 10.0), (20.0, 4.0)] {
            frame.sheet.dot((LEFT_EDGE + right, y + down), 1.3, ink::DEEP);
        }
        words(frame, y, "values as believed");
    }
}

fn words(frame: &mut Frame, y: f64, text: &str) {
    frame.sheet.text((WORDS, y + 7.0), Hold::Left, SMALL, GREY, &fit(text, SMALL, RIGHT - WORDS));
}

fn swatch(frame: &mut Frame, y: f64, (ink, hatch): (Ink, Hatch)) {
    let (from, to) = ((LEFT_EDGE, y), (LEFT_EDGE + SAMPLE, y + 14.0));
    frame.sheet.rect(from, to, ink);
    frame.sheet.hatch(from, to, hatch, ink::region_lines(ink));
    frame.sheet.path(vec![from, (to.0, from.1), to, (from.0, to.1), from], RULE, 0.8);
}
