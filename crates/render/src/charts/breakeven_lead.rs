//! The lead of one option over another against the value of an input, one line for each contract.
//!
//! Belongs here: lines with their noise, the level of nothing and the ties on it. Does not belong here: the leads, which
//! arrive with the numbers.

use super::ChartError;
use super::breakeven_strips::{axis, axis_unit, caption, options, stopped};
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL, Ticks, input_in_title};
use super::ink::{self, GREY, Place, RULE};
use super::lettering::{fit, width, wrap, wrap_bold};
use super::scale::{Scale, airy, extent};
use super::sheet::Hold;
use super::span::Span;
use super::starts::apart;
use crate::breakeven::{NOISE, lead_unit, printed, tie_text, unit_of, with_unit};
use crate::words::{clean, distinct};
use decide::breakeven_report::{BreakevenContract, BreakevenInput, BreakevenReport};
use decide::result::Estimate;

const PLOT: (f64, f64) = (LEFT + 56.0, 676.0);
const HEIGHT: f64 = 330.0;
/// Where the sample of a line stands that names it, and where its words begin.
const SAMPLE: (f64, f64) = (700.0, 726.0);
const WORDS: f64 = 733.0;
const NAME_LINE: f64 = 15.5;
const NOTE_LINE: f64 = 13.5;
/// Free room below a name.
const GAP: f64 = 7.0;
/// Leads far beyond three quarters of all are cut off, so that the ties stay in sight.
const CUT: f64 = 2.5;
/// Ties that are written out beside a line.
const MOST_TIES: usize = 3;

/// One contract's line.
struct Line<'a> {
    index: usize,
    name: Vec<String>,
    notes: Vec<String>,
    points: Vec<(f64, Estimate)>,
    contract: &'a BreakevenContract,
}

impl Line<'_> {
    fn height(&self) -> f64 {
        self.name.len() as f64 * NAME_LINE + self.notes.len() as f64 * NOTE_LINE + GAP
    }
}

/// The chart of one input.
pub(super) fn breakeven_lead(report: &BreakevenReport, input: &BreakevenInput) -> Result<String, ChartError> {
    let [a, b] = options(report);
    let title = format!("{}: how far apart the two options are", input_in_title(&clean(&input.name)));
    let help = format!(
        "A line follows one contract: cost of {} less that of {}, on average. The shade around it: ±1.96 standard errors. \
         Dots: ties. Leads far from the others are cut off.",
        fit(&a, BODY, 260.0),
        fit(&b, BODY, 260.0)
    );
    let mut frame = Frame::open(&title, stopped(report), &help);
    let (unit, currency) = (lead_unit(report.measure, &report.currency), clean(&report.currency));
    frame.note(&format!("{unit}, {} {currency}; below nothing {a} is cheaper, above it {b}", clean(&report.basis)));
    frame.top += 10.0;
    let mut lines = lines(report, input);
    let Some(span) = Span::fitting(input.searched, PLOT).filter(|_| lines.iter().any(|line| !line.points.is_empty()))
    else {
        frame.note("There is nothing to show.");
        return frame.close(caption(report));
    };
    let words: f64 = lines.iter().map(Line::height).sum();
    let (top, bottom) = (frame.top + 8.0, frame.top + 8.0 + HEIGHT.max(words));
    let lead = Scale::new(range(&lines), bottom, top);
    frame.y_axis(&lead, PLOT, 6, Ticks::Plain);
    let after = axis(&mut frame, &span, PLOT, (top, bottom), &axis_unit(input, &span));
    for line in &lines {
        shade(&mut frame, &span, &lead, line);
    }
    if let Some(y) = lead.at(0.0) {
        frame.sheet.line((PLOT.0, y), (PLOT.1, y), ink::BLACK, 1.2);
    }
    let mut drawn = vec![];
    for line in &lines {
        let (ink, dash) = ink::contract(line.index);
        for piece in between(&line.points.iter().map(|(at, lead)| (*at, lead.value)).collect::<Vec<_>>(), &lead) {
            let places: Vec<Place> = piece.iter().filter_map(|(at, y)| Some((span.at(*at)?, lead.at(*y)?))).collect();
            drawn.extend(ink::dashes(&places, &[4.0, 0.1]).into_iter().flatten());
            frame.sheet.dashed(places, ink, 2.0, dash);
        }
    }
    if let Some(y) = lead.at(0.0) {
        sides(&mut frame, y, (top, bottom), (&a, &b), &drawn);
    }
    for line in &lines {
        for tie in &line.contract.ties {
            if let (Some(x), Some(y)) = (span.within(tie.at.value), lead.at(0.0)) {
                frame.sheet.dot((x, y), 5.6, ink::PAPER);
                frame.sheet.dot((x, y), 4.2, ink::contract(line.index).0);
            }
        }
    }
    names(&mut frame, &mut lines, &span, &lead, (top, bottom));
    frame.top = after + 6.0;
    frame.close(caption(report))
}

fn lines<'a>(report: &BreakevenReport, input: &'a BreakevenInput) -> Vec<Line<'a>> {
    let room = 2.0 * (RIGHT - WORDS);
    let unit = unit_of(&input.unit);
    let names =
        distinct(input.contracts.iter().map(|contract| contract.contract.as_str()), |name| fit(name, BODY, room));
    let line = |(index, (contract, name)): (usize, (&'a BreakevenContract, String))| {
        let point = |(at, lead): &(f64, Estimate)| (*at, printed(report.measure, *lead));
        let mut points: Vec<(f64, Estimate)> = contract.curve.iter().map(point).collect();
        points.retain(|(at, lead)| at.abs() < 1e200 && lead.value.abs() < 1e200);
        let mut ties: Vec<String> = contract
            .ties
            .iter()
            .take(MOST_TIES)
            .map(|tie| format!("tie at {}", with_unit(&tie_text(tie), &unit)))
            .collect();
        match contract.ties.len() {
            0 => ties.push("never a tie".to_owned()),
            count if count > MOST_TIES => ties.push(format!("and {} more", count - MOST_TIES)),
            _ => {}
        }
        let notes = ties.iter().flat_map(|note| wrap(note, SMALL, RIGHT - WORDS, 2)).collect();
        Line { index, name: wrap_bold(&name, BODY, RIGHT - WORDS, 2), notes, points, contract }
    };
    input.contracts.iter().zip(names).enumerate().map(line).collect()
}

/// From the lowest lead to the highest, nothing included, but not far beyond where most of them are.
fn range(lines: &[Line]) -> (f64, f64) {
    let all = || lines.iter().flat_map(|line| line.points.iter().map(|(_, lead)| lead.value));
    let mut sizes: Vec<f64> = all().map(f64::abs).collect();
    sizes.sort_by(f64::total_cmp);
    let most = sizes.get(sizes.len() * 3 / 4).map_or(f64::INFINITY, |size| size * CUT);
    let most = if most > 0.0 { most } else { f64::INFINITY };
    airy(extent(all().map(|lead| lead.clamp(-most, most)).chain([0.0])), 0.08)
}

/// The parts of a line that the scale holds, their ends interpolated.
fn between(points: &[Place], scale: &Scale) -> Vec<Vec<Place>> {
    let (low, high) = (scale.low, scale.high);
    let inside = |y: f64| (low..=high).contains(&y);
    let mut pieces: Vec<Vec<Place>> = vec![];
    let mut open = false;
    for (k, &point) in points.iter().enumerate() {
        if let Some(&before) = k.checked_sub(1).and_then(|k| points.get(k)) {
            let mut cuts: Vec<(f64, Place)> = [low, high]
                .into_iter()
                .map(|edge| ((edge - before.1) / (point.1 - before.1), edge))
                .filter(|(t, _)| *t > 0.0 && *t < 1.0)
                .map(|(t, edge)| (t, (before.0 + (point.0 - before.0) * t, edge)))
                .collect();
            cuts.sort_by(|a, b| a.0.total_cmp(&b.0));
            for (_, cut) in cuts {
                if open {
                    pieces.last_mut().into_iter().for_each(|piece| piece.push(cut));
                } else {
                    pieces.push(vec![cut]);
                }
                open = !open;
            }
        }
        if inside(point.1) {
            if !open {
                pieces.push(vec![]);
                open = true;
            }
            pieces.last_mut().into_iter().for_each(|piece| piece.push(point));
        } else {
            open = false;
        }
    }
    pieces
}

/// The noise around a line, where the line itself is in the drawing.
fn shade(frame: &mut Frame, span: &Span, lead: &Scale, line: &Line) {
    let ink = ink::paler(ink::contract(line.index).0, 0.78);
    let inside = |point: &(f64, Estimate)| (lead.low..=lead.high).contains(&point.1.value) && point.1.se.is_finite();
    for run in finer(&line.points).split(|point| !inside(point)) {
        let edge = |side: f64| {
            let place = move |(at, lead): &(f64, Estimate)| (*at, lead.value + side * NOISE * lead.se);
            run.iter().map(place).filter_map(|(at, y)| Some((span.at(at)?, lead.at(y)?))).collect::<Vec<Place>>()
        };
        frame.sheet.area(edge(1.0).into_iter().chain(edge(-1.0).into_iter().rev()).collect(), ink);
    }
}

/// A line with points between its points, so that it can be cut near the edge of the drawing.
fn finer(points: &[(f64, Estimate)]) -> Vec<(f64, Estimate)> {
    const PARTS: u32 = 12;
    let mut all = vec![];
    for pair in points.windows(2) {
        let ((x, a), (to, b)) = (pair[0], pair[1]);
        let mix = |a: f64, b: f64, k: u32| a + (b - a) * f64::from(k) / f64::from(PARTS);
        all.extend(
            (0..PARTS).map(|k| (mix(x, to, k), Estimate { value: mix(a.value, b.value, k), se: mix(a.se, b.se, k) })),
        );
    }
    all.extend(points.last());
    all
}

/// Which side of nothing is whose, at the end of the drawing where fewer lines run.
fn sides(frame: &mut Frame, y: f64, (top, bottom): (f64, f64), (a, b): (&str, &str), drawn: &[Place]) {
    let text = |sign: char, name: &str| format!("{sign} {} is cheaper", fit(name, SMALL, 220.0));
    for (middle, text) in [(y - 12.0, text('↑', b)), (y + 12.0, text('↓', a))] {
        if middle - 10.0 < top || middle + 10.0 > bottom {
            continue;
        }
        let wide = width(&text, SMALL);
        let met = |left: f64| {
            let on = |at: &&Place| (left..=left + wide).contains(&at.0) && (at.1 - middle).abs() < 9.0;
            drawn.iter().filter(on).count()
        };
        let lefts = [PLOT.0 + 8.0, PLOT.1 - wide - 8.0];
        let left = if met(lefts[1]) < met(lefts[0]) { lefts[1] } else { lefts[0] };
        frame.on_paper((left, middle), Hold::Left, SMALL, GREY, &text, ink::PAPER);
    }
}

/// Names beside the ends of the lines, from above to below.
fn names(frame: &mut Frame, lines: &mut [Line], span: &Span, lead: &Scale, (top, bottom): (f64, f64)) {
    let end = |line: &Line| line.points.last().and_then(|(at, y)| Some((span.at(*at)?, lead.at(y.value)?)));
    let wanted = |line: &Line| end(line).map_or(bottom, |end| end.1);
    lines.sort_by(|a, b| wanted(a).total_cmp(&wanted(b)));
    let heights: Vec<f64> = lines.iter().map(Line::height).collect();
    let tops = apart(&lines.iter().map(wanted).collect::<Vec<_>>(), &heights, (top, bottom));
    for (line, top) in lines.iter().zip(tops) {
        let (ink, dash) = ink::contract(line.index);
        let mut y = top + NAME_LINE / 2.0;
        if let Some(end) = end(line) {
            frame.sheet.line((end.0 + 3.0, end.1), (SAMPLE.0 - 3.0, y), RULE, 0.8);
        }
        frame.sheet.dashed(vec![(SAMPLE.0, y), (SAMPLE.1, y)], ink, 2.0, dash);
        for words in &line.name {
            frame.sheet.bold((WORDS, y), Hold::Left, BODY, ink::BLACK, words);
            y += NAME_LINE;
        }
        for note in &line.notes {
            frame.sheet.text((WORDS, y - 1.0), Hold::Left, SMALL, GREY, note);
            y += NOTE_LINE;
        }
        frame.say(format!("{}: {}.", line.name.join(" "), line.notes.join(", ")));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::breakeven as sample;

    #[test]
    fn lines_end_where_they_leave_the_drawing() {
        let scale = Scale::new((-1.0, 2.0), 100.0, 0.0);
        let line = [(0.0, 4.0), (1.0, 0.0), (2.0, -2.0), (3.0, 4.0), (4.0, 1.0)];
        let pieces = between(&line, &scale);
        assert_eq!(pieces.len(), 3);
        assert_eq!(pieces[0], [(0.5, 2.0), (1.0, 0.0), (1.5, -1.0)]);
        assert!((pieces[1][0].0 - (2.0 + 1.0 / 6.0)).abs() < 1e-12 && pieces[1].len() == 2);
        assert_eq!(pieces[2].last(), Some(&(4.0, 1.0)));
        assert_eq!(between(&line[1..2], &scale), [vec![(1.0, 0.0)]]);
        assert!(between(&[], &scale).is_empty());
    }

    #[test]
    fn finer_lines_run_through_the_same_points() {
        let point = |at: f64, value: f64| (at, Estimate { value, se: 0.1 });
        let all = finer(&[point(0.0, 1.0), point(12.0, 25.0), point(13.0, 0.0)]);
        assert_eq!((all.len(), all[3], all[12], all[24]), (25, point(3.0, 7.0), point(12.0, 25.0), point(13.0, 0.0)));
        assert!(finer(&[]).is_empty() && finer(&[point(1.0, 2.0)]).len() == 1);
    }

    #[test]
    fn sides_and_ties_are_written_on_the_picture() {
        let report = sample::realistic();
        let svg = breakeven_lead(&report, &report.inputs[0]).unwrap().replace(['\u{202f}', '\u{a0}'], " ");
        for needed in [
            ">\n↑ B long-life arc is cheaper\n<",
            ">\n↓ A cheap arc is cheaper\n<",
            ">\ntie at 16 000 ± 700 h\n<",
            ">\nnever a tie\n<",
            "ct/mol, real USD; below nothing A cheap arc is cheaper, above it B long-life arc",
            "B long-life arc: lamp.life.b50, h",
        ] {
            assert!(svg.contains(needed), "{needed} is not in {svg}");
        }
    }
}
