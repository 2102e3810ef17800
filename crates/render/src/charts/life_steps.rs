//! Survival by steps, under what was believed before the log and after it.
//!
//! Belongs here: bands, steps, the marks of single lamps. Does not belong here: how survival was estimated, which arrives with
//! the numbers.

use super::ChartError;
use super::frame::{Frame, LEFT, RIGHT, SMALL, Ticks, in_title};
use super::ink::{self, GREY, Ink};
use super::lettering::{fit, width};
use super::scale::{Scale, clip};
use super::sheet::Hold;
use crate::learn_life::{believed, lamps, three, too_few, weight};
use crate::number;
use crate::words::clean;
use decide::learn_life_report::{CurvePoint, LearnLifeReport, Mark, Points, StepLine, StepsWay};

const PLOT: (f64, f64) = (LEFT + 54.0, RIGHT - 8.0);
const TALL: f64 = 330.0;
/// Height of a row of marks.
const ROW: f64 = 34.0;
/// How far the line of a row of marks lies from its lower edge, and the numbers of lamps above that line.
const LINE: f64 = 9.0;
const NUMBERS: f64 = 15.0;
const DOTS: &[f64] = &[1.6, 3.2];
const STROKES: &[f64] = &[7.0, 4.0];
const FINE: &[f64] = &[2.5, 3.5];
/// How much of a band is paper, before and after.
const GHOST: f64 = 0.35;
const NEW: f64 = 0.25;

const HELP: &str = "Share of lamps alive by burn hours. Pale band and dotted line: believed before the log, from the 10 % to the \
                    90 % point, and its median. Darker band and bold line: believed after it. Black steps: the log alone, fine \
                    strokes its band. Below: where single lamps died, and how far the others have come.";

/// A reach over which hours are shown.
fn reach(report: &LearnLifeReport) -> f64 {
    let curve = report.belief.iter().flat_map(|belief| &belief.curves).map(|point| point.burn_h);
    let marks = report.marks.iter().map(|mark| mark.to_h.unwrap_or(mark.from_h));
    let steps = report.survival.steps.iter().map(|step| step.to_h);
    let all = curve.chain(marks).chain(steps).chain(report.claim_h.map(|hours| hours * 1.04));
    all.filter(|hours| hours.is_finite() && *hours < 1e9).fold(0.0, f64::max)
}

/// The picture.
pub(super) fn life_steps(report: &LearnLifeReport) -> Result<String, ChartError> {
    let title = format!("{}: how long its lamps live", in_title(&clean(&report.option)));
    let mut frame = Frame::open(&title, None, HELP);
    let end = reach(report);
    if !(end > 0.0) {
        frame.note("There is nothing to show.");
        return frame.close(caption(report));
    }
    key(&mut frame, report);
    let (top, bottom) = (frame.top, frame.top + TALL);
    let x = Scale::new((0.0, end), PLOT.0, PLOT.1);
    let y = Scale::new((0.0, 1.0), bottom, top);
    frame.y_axis(&Scale::new((0.0, 100.0), bottom, top), PLOT, 5, Ticks::Percent);
    let unit = format!("burn hours, at {} h per start", number::significant(report.log_hours_per_start, 3));
    let after = frame.x_axis(&x, (top, bottom), &unit, Ticks::Plain);
    if let Some(belief) = &report.belief {
        let curves = &belief.curves;
        band(&mut frame, (&x, &y), curves, &|point| point.before, ink::paler(ink::PALE, GHOST));
        band(&mut frame, (&x, &y), curves, &|point| point.after, ink::paler(ink::MID, NEW));
        let median = |of: &dyn Fn(&CurvePoint) -> Option<f64>| line(&x, &y, curves, of);
        frame.sheet.dashed(median(&|point| Some(point.before.p50)), GREY, 1.6, DOTS);
        frame.sheet.dashed(median(&|point| point.dropped), ink::FIRST, 1.4, STROKES);
        frame.sheet.path(median(&|point| Some(point.after.p50)), ink::DEEP, 2.6);
    }
    steps(&mut frame, report, &x, &y);
    claim(&mut frame, report, &x, &y);
    frame.top = after + 10.0;
    marks(&mut frame, report, &x);
    told(&mut frame, report);
    frame.close(caption(report))
}

fn caption(report: &LearnLifeReport) -> String {
    let logs = report.logs.iter().map(|name| clean(name)).collect::<Vec<_>>().join("; ");
    let belief = report.belief.as_ref().map(|belief| {
        format!(
            "belief summed up over {} {}",
            number::count(belief.size),
            if belief.way == "grid" { "cells" } else { "points" }
        )
    });
    let parts = [
        Some(fit(&clean(&report.title), SMALL, 260.0)),
        Some(fit(&logs, SMALL, 260.0)),
        Some(lamps(&report.counts)),
        belief,
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(" · ")
}

type Scales<'a> = (&'a Scale, &'a Scale);

fn band(frame: &mut Frame, (x, y): Scales, curves: &[CurvePoint], of: &dyn Fn(&CurvePoint) -> Points, ink: Ink) {
    let side = |pick: &dyn Fn(Points) -> f64| -> Vec<(f64, f64)> {
        curves.iter().filter_map(|point| x.place(y, (point.burn_h, pick(of(point))))).collect()
    };
    let mut around = side(&|points| points.p10);
    around.extend(side(&|points| points.p90).into_iter().rev());
    frame.sheet.area(around, ink);
}

fn line(x: &Scale, y: &Scale, curves: &[CurvePoint], of: &dyn Fn(&CurvePoint) -> Option<f64>) -> Vec<(f64, f64)> {
    let points: Vec<(f64, f64)> =
        curves.iter().filter_map(|point| of(point).map(|share| (point.burn_h, share))).collect();
    clip(&points, x.low, x.high).into_iter().filter_map(|point| x.place(y, point)).collect()
}

/// The steps of the log out to the oldest lamp, and their band.
fn steps(frame: &mut Frame, report: &LearnLifeReport, x: &Scale, y: &Scale) {
    let marks = report.marks.iter().map(|mark| mark.to_h.unwrap_or(mark.from_h));
    let end = marks.filter(|hours| hours.is_finite()).fold(0.0, f64::max);
    let mut points = vec![(0.0, 1.0)];
    let mut share = 1.0;
    for step in &report.survival.steps {
        points.extend([(step.from_h, share), (step.to_h, step.alive)]);
        share = step.alive;
    }
    points.push((end, share));
    for side in [|band: (f64, f64)| band.0, |band: (f64, f64)| band.1] {
        for run in bands(&report.survival.steps, end, side) {
            let run = run.into_iter().filter_map(|point| x.place(y, point)).collect();
            frame.sheet.dashed(run, ink::BLACK, 1.0, FINE);
        }
    }
    let points = points.into_iter().filter_map(|point| x.place(y, point)).collect();
    frame.sheet.path(points, ink::BLACK, 2.0);
}

/// One side of the band, in as many runs as steps without a band leave of it.
fn bands(steps: &[StepLine], end: f64, side: fn((f64, f64)) -> f64) -> Vec<Vec<(f64, f64)>> {
    let mut runs: Vec<Vec<(f64, f64)>> = vec![];
    let mut last: Option<f64> = None;
    for step in steps {
        let next = step.band.map(side);
        match (last, next) {
            (None, Some(share)) => runs.push(vec![(step.to_h, share)]),
            (Some(old), _) => {
                let run = runs.last_mut().into_iter();
                run.for_each(|run| {
                    run.extend([Some((step.from_h, old)), next.map(|share| (step.to_h, share))].into_iter().flatten())
                });
            }
            (None, None) => {}
        }
        last = next;
    }
    if let (Some(share), Some(run)) = (last, runs.last_mut()) {
        run.push((end, share));
    }
    runs
}

/// A hollow mark where the box would have half of the lamps dead.
fn claim(frame: &mut Frame, report: &LearnLifeReport, x: &Scale, y: &Scale) {
    let Some(hours) = report.claim_h.filter(|hours| hours.is_finite()) else { return };
    let Some(at) = x.place(y, (hours, 0.5)) else { return };
    frame.sheet.dot(at, 6.0, ink::BLACK);
    frame.sheet.dot(at, 4.2, ink::PAPER);
    let text = format!("box: {}\u{202f}h", believed(hours));
    let hold = if at.0 + width(&text, SMALL) + 14.0 > RIGHT { Hold::Right } else { Hold::Left };
    let to = if hold == Hold::Left { at.0 + 11.0 } else { at.0 - 11.0 };
    frame.sheet.text((to, at.1), hold, SMALL, ink::BLACK, &text);
}

/// What each look stands for, in a row above the drawing.
fn key(frame: &mut Frame, report: &LearnLifeReport) {
    let turnbull = report.survival.way == StepsWay::Turnbull;
    let mut entries = vec![("the log alone, by steps", 0)];
    if turnbull {
        entries[0].0 = "the log alone, by steps (slopes: somewhere within)";
    }
    if let Some(belief) = &report.belief {
        entries.extend([("believed after", 1), ("believed before", 2)]);
        if belief.dropped_b50_h.is_some() {
            entries.push(("WRONG: dead lamps only", 3));
        }
    }
    let (mut left, y) = (PLOT.0, frame.top + 2.0);
    for (text, look) in entries {
        let (from, to) = ((left, y), (left + 26.0, y));
        match look {
            0 => frame.sheet.line(from, to, ink::BLACK, 2.0),
            1 => {
                frame.sheet.rect((left, y - 7.0), (left + 26.0, y + 7.0), ink::paler(ink::MID, NEW));
                frame.sheet.line(from, to, ink::DEEP, 2.6);
            }
            2 => {
                frame.sheet.rect((left, y - 7.0), (left + 26.0, y + 7.0), ink::paler(ink::PALE, GHOST));
                frame.sheet.dashed(vec![from, to], GREY, 1.6, DOTS);
            }
            _ => frame.sheet.dashed(vec![from, to], ink::FIRST, 1.4, STROKES),
        }
        frame.sheet.text((left + 32.0, y), Hold::Left, SMALL, ink::BLACK, text);
        left += 32.0 + width(text, SMALL) + 22.0;
    }
    frame.top += 22.0;
}

/// Single lamps: deaths as filled marks, the others as hollow ones, with their number where there is room.
fn marks(frame: &mut Frame, report: &LearnLifeReport, x: &Scale) {
    for (name, is_dead) in [("died", true), ("alive", false)] {
        let y = frame.top + ROW - LINE;
        frame.sheet.text((LEFT, y), Hold::Left, SMALL, GREY, name);
        frame.sheet.line((PLOT.0, y), (PLOT.1, y), ink::GRID, 1.0);
        let mut free = PLOT.0;
        for mark in report.marks.iter().filter(|mark| mark.to_h.is_some() == is_dead) {
            single(frame, mark, x, y, &mut free);
        }
        frame.top += ROW;
    }
    frame.top += 16.0;
}

fn single(frame: &mut Frame, mark: &Mark, x: &Scale, y: f64, free: &mut f64) {
    let (Some(from), Some(to)) = (x.at(mark.from_h), x.at(mark.to_h.unwrap_or(mark.from_h))) else { return };
    if mark.to_h.is_none() {
        frame.sheet.dot((from, y), 4.4, ink::DEEP);
        frame.sheet.dot((from, y), 2.8, ink::PAPER);
    } else {
        if to > from {
            frame.sheet.line((from, y), (to, y), ink::FIRST, 2.4);
        }
        for at in [from, to] {
            frame.sheet.line((at, y - 6.0), (at, y + 6.0), ink::FIRST, 2.4);
        }
    }
    let text = format!("×\u{202f}{}", number::count(mark.lamps));
    let left = (from + to) / 2.0 - 3.0;
    if mark.lamps > 1 && left > *free && left + width(&text, SMALL) < RIGHT {
        frame.sheet.text((left, y - NUMBERS), Hold::Left, SMALL, GREY, &text);
        *free = left + width(&text, SMALL) + 4.0;
    }
}

fn told(frame: &mut Frame, report: &LearnLifeReport) {
    let Some(belief) = &report.belief else {
        frame.note(&too_few_or_fit(report));
        return;
    };
    let of = |points: Points| three(points).join(" – ");
    let sentence = format!(
        "Median life, burn hours (10 % – half – 90 % of the belief below): before {}; after {}. {}",
        of(belief.before_b50_h),
        of(belief.after_b50_h),
        weight(belief)
    );
    frame.say(sentence.clone());
    frame.note(&sentence);
}

fn too_few_or_fit(report: &LearnLifeReport) -> String {
    match report.fits.first() {
        Some(fit) => {
            format!("Half of the lamps are dead by {}\u{202f}h, as the log alone says.", believed(fit.b50_h.value))
        }
        None => too_few(report),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A band is drawn where there is one, and nowhere else.
    #[test]
    fn no_band_is_drawn_where_there_is_none() {
        let step = |at: f64, band| StepLine { from_h: at, to_h: at, at_risk: None, deaths: 1.0, alive: 0.5, band };
        let low = |band: (f64, f64)| band.0;
        assert!(bands(&[step(1.0, None), step(2.0, None)], 9.0, low).is_empty());
        let steps =
            [step(1.0, Some((0.8, 1.0))), step(2.0, Some((0.5, 0.9))), step(3.0, None), step(4.0, Some((0.1, 0.2)))];
        assert_eq!(
            bands(&steps, 9.0, low),
            [vec![(1.0, 0.8), (2.0, 0.8), (2.0, 0.5), (3.0, 0.5)], vec![(4.0, 0.1), (9.0, 0.1)]]
        );
    }
}
