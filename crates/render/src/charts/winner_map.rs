//! Who wins where over two inputs.
//!
//! Belongs here: the plane with its axes, regions, lines of equal lead, and where the scenario stands. Does not belong
//! here: who wins, which arrives with the numbers, interpolation (`field`), room for names (`labels`), the key (`key`).

mod field;
mod key;
mod labels;

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL, in_title};
use super::ink::{self, GREY, Hatch, Ink, Place, RULE};
use super::lettering::{bold_width, fit, fit_input, width, wrap_bold};
use super::sheet::Hold;
use super::span::Span;
use crate::breakeven::unit_of;
use crate::map::{compared, is_bare, median_here, stands, stopped};
use crate::number;
use crate::words::{clean, distinct};
use decide::map_report::{MapAxis, MapReport};
use field::{Field, reach};
use labels::{Taken, along, regions, spots};

/// Left and right edge of the plane.
const PLOT: (f64, f64) = (LEFT + 56.0, 690.0);
const HEIGHT: f64 = 440.0;
/// Lines of a hatch are that far apart, and so are the dots where nobody wins.
const HATCH: f64 = 9.0;
const DOTS: f64 = 11.0;
/// Most amounts that have lines.
const LEVELS: usize = 6;
const NAME_LINE: f64 = 15.0;
/// Points of what is believed that are drawn at most.
const CLOUD: usize = 300;

/// The chart.
pub(super) fn winner_map(report: &MapReport) -> Result<String, ChartError> {
    let title = format!("{}: who wins where", in_title(&clean(&report.title)));
    let help = "A region is named after the option that is cheapest there on average. Dotted: too close to call, the lead is \
                within 1.96 standard errors. Thick lines: ties. Thin lines: where the winner leads by the amount that is \
                written on them. Cross: where the scenario stands, at the medians; small dots: what is believed.";
    let mut frame = Frame::open(&title, stopped(report), help);
    frame.note(&format!("{} {}: {}", clean(&report.basis), clean(&report.currency), compared(report)));
    frame.top += 8.0;
    let names = distinct(report.options.iter().map(String::as_str), |name| fit(name, BODY, 2.0 * (RIGHT - key::WORDS)));
    let tall = key::height(&names).max(HEIGHT);
    let up = axis_name(&report.y);
    frame.note(&fit(&format!("↑ {up}"), SMALL, RIGHT - LEFT));
    let (top, bottom) = (frame.top + 2.0, frame.top + 2.0 + tall);
    let spans = || {
        let x = Span::new(reach(&report.x)?, PLOT, report.x.logarithmic)?;
        let y = Span::new(reach(&report.y)?, (bottom, top), report.y.logarithmic)?;
        Some((Field::new(report, &x, &y)?, x, y))
    };
    let Some((field, x, y)) = spans().filter(|_| !is_bare(report) && !report.options.is_empty()) else {
        frame.note("There is nothing to show.");
        return frame.close(caption(report));
    };
    surfaces(&mut frame, &field);
    let lines = lines(&mut frame, report, &field);
    let after = axes(&mut frame, report, (&x, &y), (top, bottom));
    let mut taken = Taken::new((PLOT.0, top, PLOT.1, bottom));
    unpriced(&mut frame, &field, (top, bottom), &mut taken);
    here(&mut frame, report, (&x, &y), &mut taken);
    named(&mut frame, &field, &names, &mut taken);
    you_are(&mut frame, report, (&x, &y), &mut taken);
    amounts(&mut frame, report, lines, &mut taken);
    key::key(&mut frame, report, &names, top);
    frame.say(stands(report));
    frame.top = after + 4.0;
    frame.close(caption(report))
}

/// What the picture rests on.
fn caption(report: &MapReport) -> String {
    let mut parts = vec![
        fit(&clean(&report.title), SMALL, 260.0),
        format!("{}, seed {}", number::counted(report.trials, "trial"), report.seed),
        format!(
            "{} from {}, {} {} at {} a year, prices of {}",
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start),
            clean(&report.basis),
            clean(&report.currency),
            number::percent(report.discount_rate, 0.0),
            clean(&report.prices_of)
        ),
        format!("contract: {}", fit(&clean(&report.contract), SMALL, 260.0)),
        clean(&report.method),
    ];
    let mut bases: Vec<String> = report.light_bases.iter().map(|basis| clean(basis)).collect();
    bases.dedup();
    parts.extend(match bases.as_slice() {
        [] => None,
        [basis] => Some(format!("light counted {basis}")),
        _ => Some("light counted at places that differ from option to option".to_owned()),
    });
    parts.join(" · ")
}

/// Name, unit and kind of an axis.
fn axis_name(axis: &MapAxis) -> String {
    let (name, unit) = (fit_input(&clean(&axis.name), SMALL, 420.0), unit_of(&axis.unit));
    let steps = if axis.logarithmic { " (logarithmic)" } else { "" };
    if unit.is_empty() { format!("{name}{steps}") } else { format!("{name}, {}{steps}", fit(&unit, SMALL, 220.0)) }
}

/// Regions with their hatches, and dots where nobody wins for certain.
fn surfaces(frame: &mut Frame, field: &Field) {
    let ends = |at: &[f64]| at.first().copied().zip(at.last().copied());
    let (Some((left, right)), Some((bottom, top))) = (ends(&field.xs), ends(&field.ys)) else { return };
    frame.sheet.rect((left, top), (right, bottom), ink::NOBODY);
    let mut rings: Vec<(Vec<Place>, f64, Ink)> = vec![];
    for option in field.options() {
        let look = |area: f64| if area > 0.0 { ink::region(option).0 } else { ink::NOBODY };
        rings.extend(field.rings(option).into_iter().map(|(points, area)| (points, area.abs(), look(area))));
    }
    // rings lie within each other or apart: what is inside is painted over what is around it
    rings.sort_by(|a, b| b.1.total_cmp(&a.1));
    for (points, area, ink) in rings {
        if area > 0.5 {
            frame.sheet.area(points, ink);
        }
    }
    for option in field.options() {
        let (ink, hatch) = ink::region(option);
        hatched(frame, field, option, hatch, ink::region_lines(ink), ((left, top), (right, bottom)));
    }
    let mut row = 0.0;
    while top + DOTS * (row + 0.5) < bottom {
        let y = top + DOTS * (row + 0.5);
        // every other row is set in
        let mut x = left + if row % 2.0 == 0.0 { DOTS * 0.5 } else { DOTS };
        while x < right {
            if field.winner_at((x, y)).is_none() {
                frame.sheet.dot((x, y), 0.9, RULE);
            }
            x += DOTS;
        }
        row += 1.0;
    }
}

/// The lines of a hatch where an option wins for certain.
fn hatched(frame: &mut Frame, field: &Field, option: usize, hatch: Hatch, ink: Ink, (from, to): (Place, Place)) {
    const STEP: f64 = 1.0;
    for (a, b) in ink::hatch_lines_apart(from, to, hatch, HATCH) {
        let length = (b.0 - a.0).hypot(b.1 - a.1);
        let steps = (length / STEP).ceil().max(1.0);
        let at = |k: f64| (a.0 + (b.0 - a.0) * k / steps, a.1 + (b.1 - a.1) * k / steps);
        let mut begun: Option<f64> = None;
        let mut k = 0.0;
        while k <= steps {
            let on = k < steps && field.winner_at(at(k + 0.5)) == Some(option);
            match (begun, on) {
                (None, true) => begun = Some(k),
                (Some(first), false) => {
                    frame.sheet.line(at(first), at(k), ink, 0.8);
                    begun = None;
                }
                _ => {}
            }
            k += 1.0;
        }
    }
}

/// Draws ties and lines of equal lead; hands back the latter with their amounts.
fn lines(frame: &mut Frame, report: &MapReport, field: &Field) -> Vec<(f64, Vec<Place>)> {
    let options = field.options();
    let mut found = vec![];
    if report.options.len() < 2 {
        return found;
    }
    for level in levels(field.leads()) {
        for line in options.iter().flat_map(|option| field.lines(*option, level)) {
            frame.sheet.path(line.points.clone(), GREY, 0.8);
            found.push((level, line.points));
        }
    }
    for line in options.iter().flat_map(|option| field.lines(*option, 0.0)) {
        frame.sheet.path(line.points, ink::BLACK, 2.0);
    }
    found
}

/// Round amounts, evenly apart, that most leads reach.
fn levels(mut leads: Vec<f64>) -> Vec<f64> {
    leads.sort_by(f64::total_cmp);
    let Some(high) = leads.get(leads.len() * 19 / 20).filter(|high| **high > 1e-200) else { return vec![] };
    let power = 10f64.powf((high / 4.0).log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].map(|part| part * power).into_iter().find(|step| *step >= high / 4.0 * 0.999);
    let most = leads.last().copied().unwrap_or(0.0);
    step.into_iter().flat_map(|step| (1..=LEVELS).map(move |k| k as f64 * step)).filter(|level| *level < most).collect()
}

fn axes(frame: &mut Frame, report: &MapReport, (x, y): (&Span, &Span), (top, bottom): (f64, f64)) -> f64 {
    for (value, text) in y.ticks(8) {
        if let Some(at) = y.at(value) {
            frame.sheet.line((PLOT.0 - 4.0, at), (PLOT.0, at), RULE, 1.0);
            frame.sheet.text((PLOT.0 - 7.0, at), Hold::Right, SMALL, GREY, &fit(&text, SMALL, PLOT.0 - LEFT - 8.0));
        }
    }
    let mut free = f64::NEG_INFINITY;
    for (value, text) in x.ticks(9) {
        let Some(at) = x.at(value) else { continue };
        frame.sheet.line((at, bottom), (at, bottom + 4.0), RULE, 1.0);
        let half = width(&text, SMALL) / 2.0;
        if at - half >= free && at + half <= key::LEFT_EDGE {
            frame.sheet.text((at, bottom + 13.0), Hold::Middle, SMALL, GREY, &text);
            free = at + half + 8.0;
        }
    }
    let corners = [(PLOT.0, top), (PLOT.1, top), (PLOT.1, bottom), (PLOT.0, bottom), (PLOT.0, top)];
    frame.sheet.path(corners.to_vec(), GREY, 1.0);
    let name = format!("{} →", axis_name(&report.x));
    frame.sheet.text((PLOT.0, bottom + 30.0), Hold::Left, SMALL, GREY, &fit(&name, SMALL, RIGHT - PLOT.0));
    bottom + 42.0
}

/// Says of the missing columns that they are missing.
fn unpriced(frame: &mut Frame, field: &Field, (top, bottom): (f64, f64), taken: &mut Taken) {
    let Some(last) = field.xs.last().filter(|last| PLOT.1 - **last > 1.0) else { return };
    frame.sheet.line((*last, top), (*last, bottom), GREY, 1.0);
    let text = "not priced";
    let (wide, middle) = (width(text, BODY) + 8.0, (last + PLOT.1) / 2.0);
    let at = (middle, top + 24.0);
    if PLOT.1 - last > wide && bottom - top > 48.0 && taken.take(at, (wide, NAME_LINE + 3.0)) {
        frame.sheet.text(at, Hold::Middle, BODY, GREY, text);
    }
}

/// The cloud of what is believed, and the cross at its middle.
fn here(frame: &mut Frame, report: &MapReport, (x, y): (&Span, &Span), taken: &mut Taken) {
    let place = |point: (f64, f64)| x.within(point.0).zip(y.within(point.1));
    if report.here.len() > 1 {
        for at in report.here.iter().take(CLOUD).filter_map(|point| place(*point)) {
            frame.sheet.dot(at, 2.0, ink::PAPER);
            frame.sheet.dot(at, 1.3, ink::DEEP);
        }
    }
    if let Some(at) = place(median_here(report)) {
        cross(frame, at);
        taken.take(at, (24.0, 24.0));
    }
}

/// What the cross is, beside it where there is room.
fn you_are(frame: &mut Frame, report: &MapReport, (x, y): (&Span, &Span), taken: &mut Taken) {
    let point = median_here(report);
    let Some(at) = x.within(point.0).zip(y.within(point.1)) else { return };
    let text = "you are here";
    let size = (bold_width(text, BODY) + 8.0, NAME_LINE + 3.0);
    let near = [(1.0, -1.0), (-1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(right, down)| (right, down * 12.0));
    let far = near.map(|(right, down)| (right, down * 2.0));
    let beside = near.into_iter().chain(far).map(|(right, down)| (at.0 + right * (size.0 / 2.0 + 12.0), at.1 + down));
    if let Some(spot) = beside.into_iter().find(|spot| taken.take(*spot, size)) {
        on_surface(frame, spot, text, ink::PAPER);
    }
}

/// A cross that stands out from anything.
fn cross(frame: &mut Frame, at: Place) {
    for (ink, arm, stroke) in [(ink::PAPER, 11.0, 5.4), (ink::BLACK, 9.5, 2.6)] {
        frame.sheet.line((at.0 - arm, at.1), (at.0 + arm, at.1), ink, stroke);
        frame.sheet.line((at.0, at.1 - arm), (at.0, at.1 + arm), ink, stroke);
    }
}

/// A bold line of text on a surface of its own.
fn on_surface(frame: &mut Frame, at: Place, text: &str, paper: Ink) {
    let half = bold_width(text, BODY) * 0.47 + 2.0;
    frame.sheet.rect((at.0 - half, at.1 - NAME_LINE / 2.0), (at.0 + half, at.1 + NAME_LINE / 2.0), paper);
    frame.sheet.bold(at, Hold::Middle, BODY, ink::BLACK, text);
}

/// The names of the regions inside them: whole if there is room, in two lines, or as much as fits.
fn named(frame: &mut Frame, field: &Field, names: &[String], taken: &mut Taken) {
    const NARROW: f64 = 64.0;
    for region in regions(field) {
        let Some(name) = names.get(region.option) else { continue };
        let whole = bold_width(name, BODY);
        let mut ways = vec![wrap_bold(name, BODY, whole.min(260.0), 1)];
        let two = [0.5, 0.6, 0.7, 0.8].map(|share| wrap_bold(name, BODY, (whole * share).min(200.0), 2));
        // the narrowest two lines that hold all of the name
        ways.extend(two.into_iter().find(|lines| !lines.concat().ends_with('…')));
        ways.push(wrap_bold(name, BODY, whole.min(120.0), 1));
        ways.push(wrap_bold(name, BODY, whole.min(NARROW), 1));
        for (lines, strict) in ways.iter().flat_map(|lines| [(lines, true), (lines, false)]) {
            let wide = lines.iter().map(|line| bold_width(line, BODY)).fold(0.0, f64::max) + 8.0;
            let size = (wide, lines.len() as f64 * NAME_LINE + 4.0);
            let spot = spots(field, &region, size, strict).into_iter().find(|spot| taken.take(*spot, size));
            if let Some(spot) = spot {
                let mut y = spot.1 - (lines.len() as f64 - 1.0) * NAME_LINE / 2.0;
                for line in lines {
                    on_surface(frame, (spot.0, y), line, ink::region(region.option).0);
                    y += NAME_LINE;
                }
                break;
            }
        }
    }
}

/// The amounts on the lines of equal lead.
fn amounts(frame: &mut Frame, report: &MapReport, lines: Vec<(f64, Vec<Place>)>, taken: &mut Taken) {
    let currency = fit(&clean(&report.currency), SMALL, 60.0);
    for (level, points) in lines {
        let text = format!("{}\u{202f}{currency}", number::to_noise(level, 0.0));
        let size = (width(&text, SMALL) + 8.0, SMALL * 1.5);
        let spot = along(&points, size.0 * 1.4).into_iter().find(|spot| taken.take(*spot, size));
        if let Some(spot) = spot {
            frame.on_paper(spot, Hold::Middle, SMALL, ink::BLACK, &text, ink::PAPER);
        }
    }
}

#[cfg(test)]
mod tests;
