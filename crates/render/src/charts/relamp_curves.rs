//! Levelized cost over the interval of relamping, one line for each policy.
//!
//! Belongs here: the lines, their dots and names, and the strips of intervals that cost little more. Does not belong
//! here: which interval is best, which arrives with the numbers.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL, Ticks, in_title};
use super::ink::{self, GREY, Ink, Place, RULE};
use super::lettering::{fit, width, wrap, wrap_bold};
use super::scale::{Scale, airy, extent, from_zero};
use super::sheet::Hold;
use super::starts::apart;
use crate::number;
use crate::relamp::{scaled, stretches};
use crate::words::{clean, distinct};
use decide::relamp_report::{PolicyCurve, RelampOption, RelampReport};
use decide::result::{Ended, Estimate};

const PLOT: (f64, f64) = (LEFT + 44.0, 676.0);
const HEIGHT: f64 = 330.0;
/// Where the sample of a line stands that names it, and where its words begin.
const SAMPLE: (f64, f64) = (700.0, 726.0);
const WORDS: f64 = 733.0;
const NAME_LINE: f64 = 15.5;
const NOTE_LINE: f64 = 13.5;
/// Free room below a name.
const GAP: f64 = 7.0;
/// Distance of two strips below the drawing.
const STRIP: f64 = 16.0;
/// Strokes of the level line at the cost as written.
const WRITTEN: &[f64] = &[3.0, 3.0];
/// Costs that are so many times the lowest are cut off, unless a level line lies higher.
const CUT: f64 = 1.25;
/// Whiskers reach so many standard errors to either side, and are drawn from so many page units on.
const NOISE: f64 = 1.96;
const VISIBLE: f64 = 3.0;

/// A policy's line and what is said at its end.
struct Line<'a> {
    index: usize,
    name: Vec<String>,
    notes: Vec<String>,
    /// Burn hours and ct/mol.
    points: Vec<(f64, Estimate)>,
    policy: &'a PolicyCurve,
}

/// What stands beside the end of a line.
struct Label {
    name: Vec<String>,
    notes: Vec<String>,
    end: Option<Place>,
    look: (Ink, &'static [f64]),
}

impl Label {
    fn height(&self) -> f64 {
        self.name.len() as f64 * NAME_LINE + self.notes.len() as f64 * NOTE_LINE + GAP
    }
}

impl Line<'_> {
    /// Whether the policy has no interval.
    fn level(&self) -> bool {
        self.policy.intervals_h.is_empty()
    }
}

/// The chart of one option.
pub(super) fn relamp_curves(report: &RelampReport, option: &RelampOption) -> Result<String, ChartError> {
    let title = format!("{}: what light costs by the interval of relamping", in_title(&clean(&option.name)));
    let within = number::percent(report.flat_within, 0.0);
    let help = format!(
        "A line follows one policy through its intervals. Dot and tick: its best interval. Strip below: where it costs at \
         most {within} more; shaded, the same of the best policy. Whiskers: ±1.96 standard errors, where they can be \
         seen. Costs far above the lowest are cut off. The scale need not begin at 0."
    );
    let mut frame = Frame::open(&title, stopped(report), &help);
    let currency = clean(&report.currency);
    frame.note(&format!(
        "ct/mol, levelized, {} {currency} (1 ct = 0.01 {currency}), light counted {}",
        clean(&report.basis),
        clean(&option.light_basis)
    ));
    frame.top += 10.0;
    let lines = lines(option);
    if lines.is_empty() {
        frame.note("There is nothing to show.");
        return frame.close(caption(report));
    }
    let mut labels: Vec<Label> = lines.iter().map(label).collect();
    labels.push(as_written(&mut frame, option));
    let words: f64 = labels.iter().map(Label::height).sum();
    let (top, bottom) = (frame.top + 8.0, frame.top + 8.0 + HEIGHT.max(words));
    let cost = Scale::new(range(option, &lines), bottom, top);
    let all = lines.iter().flat_map(|line| line.policy.intervals_h.iter().copied());
    let time = Scale::new(from_zero(extent(all), 0.02), PLOT.0, PLOT.1);
    shade(&mut frame, &time, (top, bottom), option);
    frame.y_axis(&cost, PLOT, 6, Ticks::Plain);
    let strips: Vec<&Line> = lines.iter().filter(|line| line.policy.best.is_some()).collect();
    let low = bottom + strips.len() as f64 * STRIP + 6.0;
    let unit = "interval between two relampings, or age at which a lamp is replaced, burn hours of the schedule";
    let after = frame.x_axis(&time, (top, low), unit, Ticks::Plain);
    for (k, line) in strips.iter().enumerate() {
        strip(&mut frame, &time, bottom + STRIP * (k as f64 + 0.7), line);
    }
    for line in &lines {
        draw(&mut frame, &time, &cost, line);
    }
    let written = ct(option.cost_as_written).value;
    if let Some(y) = cost.at(written).filter(|_| written.is_finite()) {
        frame.sheet.dashed(vec![(PLOT.0, y), (PLOT.1, y)], GREY, 1.2, WRITTEN);
    }
    for line in &lines {
        dot(&mut frame, &time, &cost, line, line.index == option.best_policy);
    }
    let ends = lines.iter().map(|line| end(line, &time, &cost));
    let written = cost.at(written).filter(|_| written.is_finite()).map(|y| (PLOT.1, y));
    labels.iter_mut().zip(ends.chain([written])).for_each(|(label, end)| label.end = end);
    names(&mut frame, labels, (top, bottom));
    frame.top = after + 6.0;
    frame.close(caption(report))
}

/// That the search was stopped early.
pub(super) fn stopped(report: &RelampReport) -> Option<String> {
    let trials = number::counted(report.trials, "trial");
    (report.ended == Ended::Interrupted).then(|| format!("INTERRUPTED RUN: stopped after {trials}"))
}

/// What a picture of a search rests on.
pub(super) fn caption(report: &RelampReport) -> String {
    let parts = [
        fit(&clean(&report.title), SMALL, 300.0),
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
        format!("contract: {}", clean(&report.contract)),
    ];
    parts.join(" · ")
}

fn ct(estimate: Estimate) -> Estimate {
    scaled(estimate, 100.0)
}

fn lines(option: &RelampOption) -> Vec<Line<'_>> {
    let room = 2.0 * (RIGHT - WORDS);
    let names = distinct(option.policies.iter().map(|policy| policy.name.as_str()), |name| fit(name, BODY, room));
    option.policies.iter().zip(names).enumerate().map(|(index, (policy, name))| line(index, policy, &name)).collect()
}

fn line<'a>(index: usize, policy: &'a PolicyCurve, name: &str) -> Line<'a> {
    let costs = policy.levelized.iter().map(|cost| ct(*cost));
    let mut points: Vec<(f64, Estimate)> = match policy.intervals_h.as_slice() {
        [] => costs.take(1).map(|cost| (0.0, cost)).collect(),
        intervals => intervals.iter().copied().zip(costs).collect(),
    };
    points.retain(|(hours, cost)| hours.is_finite() && cost.value.is_finite());
    let lowest = format!("{} ct/mol", number::ct(policy.lowest));
    let mut notes = match &policy.best {
        Some(best) => vec![format!("lowest {lowest} at {} h", number::estimate(best.interval_h))],
        None => vec![lowest],
    };
    if policy.best.as_ref().is_some_and(|best| best.at_the_end) {
        notes.push("which is the longest that was tried".to_owned());
    }
    let notes = notes.iter().flat_map(|note| wrap(note, SMALL, RIGHT - WORDS, 2)).collect();
    Line { index, name: wrap_bold(name, BODY, RIGHT - WORDS, 2), notes, points, policy }
}

/// From the lowest cost to the highest that is worth showing.
fn range(option: &RelampOption, lines: &[Line]) -> (f64, f64) {
    let written = ct(option.cost_as_written).value;
    let level = lines.iter().filter(|line| line.level()).flat_map(|line| line.points.iter().map(|point| point.1.value));
    let all = lines.iter().flat_map(|line| line.points.iter().map(|point| point.1.value)).chain([written]);
    let found = extent(all).map(|(low, high)| {
        let levels = extent(level.chain([written])).map_or(low, |levels| levels.1);
        (low, if low > 0.0 { high.min(levels.max(low * CUT)) } else { high })
    });
    airy(found, 0.06)
}

/// The intervals at which the best policy costs little more.
fn shade(frame: &mut Frame, time: &Scale, (top, bottom): (f64, f64), option: &RelampOption) {
    let best = option.policies.get(option.best_policy).and_then(|policy| policy.best.as_ref());
    for (from, to) in best.iter().flat_map(|best| &best.flat) {
        if let (Some(from), Some(to)) = (time.at(*from), time.at(*to)) {
            frame.sheet.rect((from, top), (to, bottom), ink::PALE);
        }
    }
}

/// Intervals that cost little more than the best one, and a tick at that.
fn strip(frame: &mut Frame, time: &Scale, y: f64, line: &Line) {
    let Some(best) = &line.policy.best else { return };
    let (ink, dash) = ink::series(line.index);
    for (from, to) in &best.flat {
        if let (Some(from), Some(to)) = (time.at(*from), time.at(*to)) {
            frame.sheet.rect((from, y - 4.0), (to, y + 4.0), ink::PALE);
            frame.sheet.dashed(vec![(from, y), (to, y)], ink, 2.0, dash);
        }
    }
    if let Some(x) = time.at(best.interval_h.value) {
        frame.sheet.line((x, y - 6.0), (x, y + 6.0), ink, 2.4);
    }
    frame.sheet.dashed(vec![(SAMPLE.0, y), (SAMPLE.1, y)], ink, 2.0, dash);
    let told = format!("{} h", stretches(&best.flat).join(", "));
    let room = RIGHT - WORDS;
    let text = match best.flat.len() {
        0 => "no stretch was found".to_owned(),
        _ if width(&told, SMALL) <= room => told,
        count => format!("{count} stretches"),
    };
    frame.sheet.text((WORDS, y), Hold::Left, SMALL, GREY, &text);
}

fn draw(frame: &mut Frame, time: &Scale, cost: &Scale, line: &Line) {
    let (ink, dash) = ink::series(line.index);
    if line.level() {
        if let Some(y) = line.points.first().and_then(|point| cost.at(point.1.value)) {
            frame.sheet.dashed(vec![(PLOT.0, y), (PLOT.1, y)], ink, 2.0, dash);
        }
        return;
    }
    let points: Vec<Place> = line.points.iter().map(|(hours, cost)| (*hours, cost.value)).collect();
    for piece in below(&points, cost.high) {
        let places: Vec<Place> = piece.iter().filter_map(|point| time.place(cost, *point)).collect();
        match places.as_slice() {
            [only] => frame.sheet.dot(*only, 2.0, ink),
            _ => frame.sheet.dashed(places, ink, 2.0, dash),
        }
    }
    for (hours, at) in line.points.iter().filter(|(_, at)| at.value <= cost.high) {
        let reach = NOISE * at.se;
        let ends = (time.at(*hours), cost.at(at.value - reach), cost.at(at.value + reach));
        if let (Some(x), Some(from), Some(to)) = ends
            && from - to > VISIBLE
        {
            frame.sheet.line((x, from), (x, to), ink, 1.0);
            for y in [from, to] {
                frame.sheet.line((x - 2.0, y), (x + 2.0, y), ink, 1.0);
            }
        }
    }
}

/// The parts of a line that are not above a height, their ends interpolated.
fn below(points: &[Place], high: f64) -> Vec<Vec<Place>> {
    let mut pieces: Vec<Vec<Place>> = vec![];
    let mut before: Option<Place> = None;
    for &point in points {
        let crossing = before.filter(|from| (from.1 <= high) != (point.1 <= high)).map(|from| {
            let t = (high - from.1) / (point.1 - from.1);
            (from.0 + (point.0 - from.0) * t, high)
        });
        let goes_on = before.is_some_and(|from| from.1 <= high);
        if !goes_on && (crossing.is_some() || point.1 <= high) {
            pieces.push(vec![]);
        }
        if let Some(piece) = pieces.last_mut() {
            piece.extend(crossing);
            piece.extend((point.1 <= high).then_some(point));
        }
        before = Some(point);
    }
    pieces
}

fn label(line: &Line) -> Label {
    Label { name: line.name.clone(), notes: line.notes.clone(), end: None, look: ink::series(line.index) }
}

/// What is said of the level line at the cost as written.
fn as_written(frame: &mut Frame, option: &RelampOption) -> Label {
    let cost = format!("{} ct/mol", number::ct(option.cost_as_written));
    frame.say(format!("As written: {}.", clean(&option.as_written)));
    Label { name: vec!["as written".to_owned()], notes: vec![cost], end: None, look: (GREY, WRITTEN) }
}

/// A dot at the best interval, with a ring around that of the best policy.
fn dot(frame: &mut Frame, time: &Scale, cost: &Scale, line: &Line, best: bool) {
    let (ink, _) = ink::series(line.index);
    let lowest = ct(line.policy.lowest).value;
    let at = line.policy.best.as_ref().filter(|found| found.interval_h.value.is_finite() && lowest.is_finite());
    if let Some(at) = at.and_then(|found| time.place(cost, (found.interval_h.value, lowest))) {
        frame.sheet.dot(at, if best { 7.0 } else { 4.8 }, if best { ink } else { ink::PAPER });
        if best {
            frame.sheet.dot(at, 5.4, ink::PAPER);
        }
        frame.sheet.dot(at, 3.6, ink);
    }
}

fn end(line: &Line, time: &Scale, cost: &Scale) -> Option<Place> {
    let (hours, last) = line.points.last()?;
    let x = if line.level() { PLOT.1 } else { time.at(*hours)? };
    Some((x, cost.at(last.value)?))
}

/// Names beside the ends of the lines, from above to below.
fn names(frame: &mut Frame, mut labels: Vec<Label>, (top, bottom): (f64, f64)) {
    let wanted = |label: &Label| label.end.map_or(bottom, |end| end.1);
    labels.sort_by(|a, b| wanted(a).total_cmp(&wanted(b)));
    let heights: Vec<f64> = labels.iter().map(Label::height).collect();
    let tops = apart(&labels.iter().map(wanted).collect::<Vec<_>>(), &heights, (top, bottom));
    for (label, top) in labels.into_iter().zip(tops) {
        let (ink, dash) = label.look;
        let mut y = top + NAME_LINE / 2.0;
        if let Some(end) = label.end {
            frame.sheet.line((end.0 + 3.0, end.1), (SAMPLE.0 - 3.0, y), RULE, 0.8);
        }
        frame.sheet.dashed(vec![(SAMPLE.0, y), (SAMPLE.1, y)], ink, 2.0, dash);
        for words in &label.name {
            frame.sheet.bold((WORDS, y), Hold::Left, BODY, ink::BLACK, words);
            y += NAME_LINE;
        }
        for note in &label.notes {
            frame.sheet.text((WORDS, y - 1.0), Hold::Left, SMALL, GREY, note);
            y += NOTE_LINE;
        }
        frame.say(format!("{}: {}.", label.name.join(" "), label.notes.join(", ")));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::relamp as sample;

    #[test]
    fn lines_end_where_they_leave_the_drawing() {
        let line = [(0.0, 9.0), (1.0, 3.0), (2.0, 1.0), (3.0, 5.0), (4.0, 2.0)];
        let pieces = below(&line, 4.0);
        assert_eq!(pieces.len(), 2);
        assert_eq!(pieces[0], [(5.0 / 6.0, 4.0), (1.0, 3.0), (2.0, 1.0), (2.75, 4.0)]);
        assert_eq!(pieces[1], [(3.0 + 1.0 / 3.0, 4.0), (4.0, 2.0)]);
        assert_eq!(below(&line, 9.0), [line.to_vec()]);
        assert!(below(&line, 0.5).is_empty() && below(&[], 1.0).is_empty());
    }

    #[test]
    fn level_lines_are_never_cut_off() {
        let mut report = sample::realistic();
        let option = &mut report.options[0];
        option.policies[0].levelized[0].value = 0.05;
        let (low, high) = range(option, &lines(option));
        assert!(low > 1.7 && low < 1.95 && high > 5.0, "{low} to {high}");
        option.policies[0].levelized[0].value = 0.0201;
        let (_, high) = range(option, &lines(option));
        assert!(high < 3.0, "{high}");
    }

    #[test]
    fn unit_basis_and_policies_are_on_the_picture() {
        let report = sample::realistic();
        let svg = relamp_curves(&report, &report.options[0]).unwrap().replace('\u{202f}', " ");
        for needed in [
            "ct/mol, levelized, real USD (1 ct = 0.01 USD), light counted into 2.25 m² at 0.90 m",
            "as written: 1.971 ct/mol.",
            "\n6000–9000, 11 000–13 000 h\n",
            "where it costs at most 1 % more",
            "lowest 1.946 ct/mol at 8000 h",
            "burn hours of the schedule",
            "The scale need not begin at 0.",
            "10 000 trials, seed 1",
            "5 years from 2031-03-01, real USD at 8 % a year, prices of 2031-03 · contract: flat contract",
        ] {
            assert!(svg.contains(needed), "{needed}");
        }
        assert!(!svg.contains("INTERRUPTED"));
        let report = sample::long();
        assert!(relamp_curves(&report, &report.options[0]).unwrap().contains("INTERRUPTED RUN: stopped after 192"));
    }
}
