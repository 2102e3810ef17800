//! What is left over burn hours: readings, the curve through them, and where nobody has looked.
//!
//! Belongs here: points, curve, band, what the scenario states. Does not belong here: fits, which arrive with the numbers.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL, Ticks, in_title};
use super::ink::{self, GREY, Place};
use super::lettering::{fit, wrap};
use super::scale::{Scale, airy, extent};
use super::sheet::Hold;
use crate::number;
use crate::relamp::hours;
use crate::words::clean;
use decide::fading_report::{CurvePoint, FadingReport, Fate};

const PLOT: (f64, f64) = (LEFT + 52.0, RIGHT - 176.0);
const HEIGHT: f64 = 380.0;
/// Dots beyond which only some are drawn.
const MOST: usize = 1_500;
/// Strokes of the curve beyond the readings, and of what is stated.
const BEYOND: &[f64] = &[7.0, 5.0];
const STATED: &[f64] = &[2.0, 3.0];
/// Between the level lines that fill the band beyond the readings.
const HATCH: f64 = 5.0;
/// Least distance between two labels.
const APART: f64 = 34.0;

const HELP: &str = "Small dots: single lamps; large dots: their means without ringed readings. The line is the curve, the band holds the middle 80 % of its \
                    draws. Beyond the last reading the line is broken and the band hatched: nobody has looked there. Rings \
                    stick out or were left out. The scale need not begin at 0.";

/// The picture.
pub(super) fn fading_curve(report: &FadingReport) -> Result<String, ChartError> {
    let title = format!("{}: light over burn hours", in_title(&clean(&report.option)));
    let mut frame = Frame::open(&title, None, HELP);
    frame.note("light left, % of the light at 0 h by the curve");
    frame.top += 6.0;
    let all = report
        .curve
        .iter()
        .flat_map(|p| [p.share, p.interval.0, p.interval.1, p.stated])
        .chain(report.points.iter().filter_map(|point| point.share))
        .map(|share| 100.0 * share);
    let (top, bottom) = (frame.top + 6.0, frame.top + 6.0 + HEIGHT);
    let y = Scale::new(airy(extent(all), 0.05), bottom, top);
    let time = extent(report.curve.iter().map(|p| p.burn_h).chain(report.points.iter().map(|p| p.burn_h)).chain([0.0]));
    let x = Scale::new(airy(time, 0.0), PLOT.0, PLOT.1);
    if report.curve.len() < 2 || x.at(0.0).is_none() || y.at(100.0).is_none() {
        frame.note("There is nothing to show.");
        return frame.close(caption(report));
    }
    frame.y_axis(&y, PLOT, 7, Ticks::Percent);
    let after = frame.x_axis(&x, (top, bottom), "burn hours of the lamp, h", Ticks::Plain);
    let place = |b: f64, share: f64| x.place(&y, (b, 100.0 * share));
    let split = parted(&report.curve, report.read_to_h);
    band(&mut frame, &split, &place);
    points(&mut frame, report, &place);
    let line = |part: &[CurvePoint], of: fn(&CurvePoint) -> f64| -> Vec<Place> {
        part.iter().filter_map(|p| place(p.burn_h, of(p))).collect()
    };
    frame.sheet.dashed(line(&report.curve, |p| p.stated), ink::FIRST, 1.8, STATED);
    frame.sheet.path(line(&split.0, |p| p.share), ink::DEEP, 2.4);
    frame.sheet.dashed(line(&split.1, |p| p.share), ink::DEEP, 2.4, BEYOND);
    uprights(&mut frame, report, &x, (top, bottom));
    labels(&mut frame, report, &y, (top, bottom));
    frame.top = after + 4.0;
    frame.close(caption(report))
}

/// The curve up to some hours and beyond them; the point between belongs to both.
fn parted(curve: &[CurvePoint], at: f64) -> (Vec<CurvePoint>, Vec<CurvePoint>) {
    let known: Vec<CurvePoint> = curve.iter().copied().filter(|p| p.burn_h <= at).collect();
    let mut beyond: Vec<CurvePoint> = curve.iter().copied().filter(|p| !(p.burn_h <= at)).collect();
    if let (Some(last), false) = (known.last(), beyond.is_empty()) {
        beyond.insert(0, *last);
    }
    (known, beyond)
}

/// The band: filled up to the last reading, hatched beyond.
fn band(frame: &mut Frame, split: &(Vec<CurvePoint>, Vec<CurvePoint>), place: &impl Fn(f64, f64) -> Option<Place>) {
    let low = |p: &CurvePoint| place(p.burn_h, p.interval.0);
    let high = |p: &CurvePoint| place(p.burn_h, p.interval.1);
    let around = split.0.iter().filter_map(low).chain(split.0.iter().rev().filter_map(high));
    frame.sheet.area(around.collect(), ink::PALE);
    for pair in split.1.windows(2) {
        let (Some(a), Some(b)) = (low(&pair[0]).zip(high(&pair[0])), low(&pair[1]).zip(high(&pair[1]))) else {
            continue;
        };
        let wide = b.0.0 - a.0.0;
        let steps = (wide / HATCH).ceil().max(1.0);
        let between = |from: f64, to: f64, t: f64| from + (to - from) * t;
        for k in 0..steps as usize {
            let t = k as f64 / steps;
            let at = a.0.0 + wide * t;
            frame.sheet.line((at, between(a.0.1, b.0.1, t)), (at, between(a.1.1, b.1.1, t)), ink::MID, 1.0);
        }
    }
}

fn points(frame: &mut Frame, report: &FadingReport, place: &impl Fn(f64, f64) -> Option<Place>) {
    let step = report.points.len().div_ceil(MOST).max(1);
    for (index, point) in report.points.iter().enumerate() {
        let Some(at) = point.share.and_then(|share| place(point.burn_h, share)) else { continue };
        match point.fate {
            Fate::Fitted if index % step == 0 => frame.sheet.dot(at, 1.9, GREY),
            Fate::Fitted => {}
            Fate::SticksOut | Fate::SticksOutLeftOut | Fate::LeftOut => {
                frame.sheet.dot(at, 5.0, if point.fate == Fate::LeftOut { GREY } else { ink::FIRST });
                frame.sheet.dot(at, 3.2, ink::PAPER);
                if point.fate == Fate::SticksOut {
                    frame.sheet.dot(at, 1.9, GREY);
                }
            }
        }
    }
    for mean in &report.means {
        if let Some(at) = place(mean.burn_h, mean.share) {
            frame.sheet.dot(at, 4.0, ink::PAPER);
            frame.sheet.dot(at, 3.2, ink::BLACK);
        }
    }
}

/// Where the readings end, and how far may be quoted.
fn uprights(frame: &mut Frame, report: &FadingReport, x: &Scale, (top, bottom): (f64, f64)) {
    let end = report.curve.last().map_or(0.0, |point| point.burn_h);
    let mut taken: Vec<f64> = vec![];
    let marks = [(Some(report.read_to_h), "last reading"), (report.cap_h, "cap of the method")];
    for (at, name) in marks {
        let Some(at) = at.filter(|at| *at > 0.0 && *at <= end) else { continue };
        let Some(place) = x.at(at) else { continue };
        frame.sheet.dashed(vec![(place, top), (place, bottom)], ink::RULE, 1.2, &[4.0, 3.0]);
        let words = fit(&format!("{name}, {} h", hours(at)), SMALL, 170.0);
        // to the side where there is more room, one below the other
        let hold = if place > 0.5 * (PLOT.0 + PLOT.1) { Hold::Right } else { Hold::Left };
        let shift = if hold == Hold::Right { -6.0 } else { 6.0 };
        let height = bottom - 12.0 - 18.0 * taken.len() as f64;
        taken.push(place);
        frame.on_paper((place + shift, height), hold, SMALL, GREY, &words, ink::PAPER);
    }
}

/// Names and values at the ends of both lines.
fn labels(frame: &mut Frame, report: &FadingReport, y: &Scale, (top, bottom): (f64, f64)) {
    let Some(last) = report.curve.last() else { return };
    let percent = |share: f64| number::percent(share, 0.0);
    let noise = (last.interval.1 - last.interval.0) / 25.0;
    let own = if noise > 0.0 { number::percent(last.share, noise).replace("0 ± ", "<") } else { percent(last.share) };
    const WHOLE: &[f64] = &[];
    let mut ends: Vec<(f64, &str, String, ink::Ink, &[f64])> = [
        (last.share, "by the readings", own, ink::DEEP, WHOLE),
        (last.stated, "as stated today", percent(last.stated), ink::FIRST, STATED),
    ]
    .into_iter()
    .filter_map(|(share, name, value, ink, dash)| Some((y.at(100.0 * share)?, name, value, ink, dash)))
    .collect();
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut least = top + 10.0;
    let count = ends.len();
    for (k, (end, name, value, ink, dash)) in ends.into_iter().enumerate() {
        let at = end.max(least).min(bottom - 26.0 - APART * (count - 1 - k) as f64);
        least = at + APART;
        frame.sheet.line((PLOT.1 + 3.0, end), (PLOT.1 + 14.0, at), ink::RULE, 0.8);
        frame.sheet.dashed(vec![(PLOT.1 + 18.0, at), (PLOT.1 + 42.0, at)], ink, 2.2, dash);
        let left = PLOT.1 + 48.0;
        frame.sheet.bold((left, at), Hold::Left, BODY, ink::BLACK, name);
        let beside = format!("{value} at {} h", hours(last.burn_h));
        let lines = wrap(&beside, SMALL, RIGHT - left, 1);
        for line in lines {
            frame.sheet.text((left, at + 14.5), Hold::Left, SMALL, GREY, &line);
        }
        frame.say(format!("{name}: {beside}."));
    }
}

fn caption(report: &FadingReport) -> String {
    let mut parts = vec![
        fit(&clean(&report.title), SMALL, 300.0),
        format!(
            "{} of {} up to {} h",
            number::counted(report.readings, "reading"),
            number::counted(report.lamps.len() as u64, "lamp"),
            hours(report.read_to_h)
        ),
        format!("{}, seed {}", number::counted(report.draws, "draw"), report.seed),
    ];
    if let Some(fitted) = report.chosen.and_then(|chosen| report.fits.get(chosen)) {
        parts.insert(2, clean(&fitted.form));
    }
    if report.points.len() > MOST {
        parts.push("not all readings are drawn".to_owned());
    }
    parts.join(" · ")
}
