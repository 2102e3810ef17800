//! Levelized cost over the start of the lights, one line for each option.
//!
//! Belongs here: the lines, their dots and names, and the axis of the day. Does not belong here: which start is
//! cheapest, which arrives with the numbers.
//!
//! The scale begins at 0: where it hardly matters when the lights start, the lines shall look level.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL, Ticks, in_title};
use super::ink::{self, GREY, Place, RULE};
use super::lettering::{fit, width, wrap, wrap_bold};
use super::scale::{Scale, extent, from_zero};
use super::sheet::Hold;
use crate::hours::{any_will_do, spans, tried};
use crate::number;
use crate::words::{clean, distinct};
use decide::hours::{Choice, Finding, HoursReport};
use decide::result::Ended;

const PLOT: (f64, f64) = (LEFT + 44.0, 676.0);
const HEIGHT: f64 = 330.0;
/// Where the sample of a line stands that names it, and where its words begin.
const SAMPLE: (f64, f64) = (700.0, 726.0);
const WORDS: f64 = 733.0;
const NAME_LINE: f64 = 15.5;
const NOTE_LINE: f64 = 13.5;
/// Free room below a name.
const GAP: f64 = 7.0;
const DAY: f64 = 24.0;
const MINUTES: u16 = 24 * 60;

/// An option's line and what is said at its end.
struct Line<'a> {
    index: usize,
    name: Vec<String>,
    notes: Vec<String>,
    /// Hours of the day and ct/mol, unbroken where starts follow each other.
    pieces: Vec<Vec<(f64, f64)>>,
    finding: Option<&'a Finding>,
}

impl Line<'_> {
    fn height(&self) -> f64 {
        self.name.len() as f64 * NAME_LINE + self.notes.len() as f64 * NOTE_LINE + GAP
    }

    fn end(&self) -> Option<(f64, f64)> {
        self.pieces.last().and_then(|piece| piece.last()).copied()
    }
}

/// The chart of one sheet.
pub(super) fn starts(report: &HoursReport, sheet: usize) -> Result<String, ChartError> {
    let name = clean(report.sheets.get(sheet).map_or("", String::as_str));
    let title = format!("{}: what light costs by the start of the lights", in_title(&name));
    let mut frame = Frame::open(&title, stopped(report), &help(report));
    let currency = clean(&report.currency);
    frame.note(&format!("ct/mol, levelized, {} {currency} (1 ct = 0.01 {currency})", clean(&report.basis)));
    frame.top += 10.0;
    let names = distinct(report.options.iter().map(String::as_str), |name| fit(name, BODY, RIGHT - WORDS));
    let mut lines: Vec<Line> = names.iter().enumerate().map(|(index, name)| line(report, sheet, index, name)).collect();
    if lines.is_empty() {
        frame.note("There is nothing to show.");
        return frame.close(caption(report));
    }
    let costs = lines.iter().flat_map(|line| {
        let written = line.finding.map(|finding| ct(finding.written.levelized.value));
        line.pieces.iter().flatten().map(|point| point.1).chain(written)
    });
    let range = from_zero(extent(costs), 0.06);
    let words: f64 = lines.iter().map(Line::height).sum();
    let (top, bottom) = (frame.top + 8.0, frame.top + 8.0 + HEIGHT.max(words));
    let cost = Scale::new(range, bottom, top);
    let time = Scale::new((0.0, DAY), PLOT.0, PLOT.1);
    frame.y_axis(&cost, PLOT, 6, Ticks::Plain);
    let after = clock_axis(&mut frame, &time, (top, bottom), 3);
    frame.sheet.text((PLOT.0, after), Hold::Left, SMALL, GREY, "start of the lights, local time");
    as_written(&mut frame, &time, (top, bottom), &lines);
    for line in &lines {
        let (ink, dash) = ink::series(line.index);
        for piece in &line.pieces {
            let places: Vec<Place> = piece.iter().filter_map(|point| time.place(&cost, *point)).collect();
            match places.as_slice() {
                [only] => frame.sheet.dot(*only, 2.0, ink),
                _ => frame.sheet.dashed(places, ink, 2.0, dash),
            }
        }
    }
    for line in &lines {
        dots(&mut frame, &time, &cost, line);
    }
    // where the lines end, from above to below; those without an end come last
    let end = |line: &Line| line.end().and_then(|point| cost.at(point.1)).unwrap_or(bottom);
    lines.sort_by(|a, b| end(a).total_cmp(&end(b)));
    let heights: Vec<f64> = lines.iter().map(Line::height).collect();
    let wanted: Vec<f64> = lines.iter().map(end).collect();
    for (line, y) in lines.iter().zip(apart(&wanted, &heights, (top, bottom))) {
        name_of_line(&mut frame, &time, &cost, line, y);
    }
    frame.top = after + 14.0;
    frame.close(caption(report))
}

/// That the search was stopped early.
pub(super) fn stopped(report: &HoursReport) -> Option<String> {
    let trials = number::counted(report.trials, "trial");
    (report.ended == Ended::Interrupted).then(|| format!("INTERRUPTED RUN: stopped after {trials}"))
}

fn help(report: &HoursReport) -> String {
    let mut help =
        "A line follows one option through the starts of the lights. Filled dot: its cheapest start. Ring: its \
                    hours as written. The scale begins at 0."
            .to_owned();
    if report.patterns.len() > 1 {
        help.push_str(&format!(" At each start the best of {} patterns is drawn.", report.patterns.len()));
    }
    if !report.conditions.is_empty() {
        help.push_str(" A line is broken where a start does not meet the conditions.");
    }
    help
}

fn line<'a>(report: &'a HoursReport, sheet: usize, index: usize, name: &str) -> Line<'a> {
    let finding = report.findings.iter().find(|finding| (finding.sheet, finding.option) == (sheet, index));
    let pieces = pieces(&best(report, sheet, index), report.step_minutes);
    let mut notes = vec![];
    match finding {
        Some(finding) if !pieces.is_empty() => {
            let shown = |choice: &Choice| format!("{} ct/mol at {}", number::ct(choice.levelized), clean(&choice.on));
            notes.push(format!("cheapest {}", shown(&finding.cheapest)));
            if any_will_do(report, finding).is_some() {
                notes.push("any start within 1 % of it".to_owned());
            }
            if report.patterns.len() > 1
                && let Some(pattern) = report.patterns.get(finding.cheapest.pattern)
            {
                notes.push(clean(&pattern.name));
            }
        }
        _ => notes.push("no start could be priced".to_owned()),
    }
    let notes = notes.iter().flat_map(|note| wrap(note, SMALL, RIGHT - WORDS, 2)).collect();
    Line { index, name: wrap_bold(name, BODY, RIGHT - WORDS, 2), notes, pieces, finding }
}

/// Lowest cost over the patterns of each start, by minute of the day.
fn best(report: &HoursReport, sheet: usize, option: usize) -> Vec<(u16, f64)> {
    let mut found = std::collections::BTreeMap::new();
    for pattern in &report.patterns {
        for (on, costs) in pattern.on.iter().zip(&pattern.levelized) {
            let cost = costs.get(sheet).and_then(|options| options.get(option)).copied();
            if let (Some(minute), Some(cost)) = (spans::minutes(on), cost.filter(|cost| ct(*cost).is_finite())) {
                let lowest = found.entry(minute).or_insert(cost);
                *lowest = cost.min(*lowest);
            }
        }
    }
    found.into_iter().collect()
}

/// Runs of starts that follow each other, in hours and ct/mol; one that goes on over midnight ends at 24:00.
fn pieces(points: &[(u16, f64)], step: u16) -> Vec<Vec<(f64, f64)>> {
    let at = |(minute, cost): (u16, f64)| (f64::from(minute) / 60.0, ct(cost));
    let mut pieces: Vec<Vec<(f64, f64)>> = vec![];
    let mut before = None;
    for &point in points {
        match pieces.last_mut() {
            Some(piece) if before == point.0.checked_sub(step) => piece.push(at(point)),
            _ => pieces.push(vec![at(point)]),
        }
        before = Some(point.0);
    }
    if let (Some(&(0, cost)), Some(&(last, _)), Some(piece)) = (points.first(), points.last(), pieces.last_mut())
        && last + step == MINUTES
    {
        piece.push((DAY, ct(cost)));
    }
    pieces
}

fn ct(cost: f64) -> f64 {
    cost * 100.0
}

/// The hours of the day below a drawing: a tick for each, every `named`th with its number. Height below which is room.
pub(super) fn clock_axis(frame: &mut Frame, time: &Scale, (top, bottom): (f64, f64), named: u16) -> f64 {
    for hour in 0..=24u16 {
        let Some(x) = time.at(f64::from(hour)) else { continue };
        let told = hour % named == 0;
        if told && named > 1 {
            frame.sheet.line((x, top), (x, bottom), ink::GRID, 1.0);
        }
        frame.sheet.line((x, bottom), (x, bottom + if told { 5.0 } else { 3.0 }), RULE, 1.0);
        let text = if named > 1 { format!("{hour:02}:00") } else { hour.to_string() };
        if told {
            frame.sheet.text((x, bottom + 13.0), Hold::Middle, SMALL, GREY, &text);
        }
    }
    if let (Some(from), Some(to)) = (time.at(0.0), time.at(DAY)) {
        frame.sheet.line((from, bottom), (to, bottom), RULE, 1.0);
    }
    bottom + 30.0
}

/// An upright line at the start as written.
fn as_written(frame: &mut Frame, time: &Scale, (top, bottom): (f64, f64), lines: &[Line]) {
    let Some(on) = lines.iter().find_map(|line| line.finding).map(|finding| &finding.written.on) else { return };
    let Some(x) = spans::minutes(on).and_then(|minute| time.at(f64::from(minute) / 60.0)) else { return };
    frame.sheet.dashed(vec![(x, top), (x, bottom)], GREY, 1.0, &[3.0, 3.0]);
    let text = format!("as written {on}");
    let hold = if x + width(&text, SMALL) / 2.0 > RIGHT { Hold::Right } else { Hold::Middle };
    frame.sheet.text((x, top - 8.0), hold, SMALL, GREY, &text);
}

/// A filled dot at the cheapest start, a ring at the hours as written; both in one where they are the same.
fn dots(frame: &mut Frame, time: &Scale, cost: &Scale, line: &Line) {
    let Some(finding) = line.finding else { return };
    let (ink, _) = ink::series(line.index);
    let place = |choice: &Choice| {
        let hour = f64::from(spans::minutes(&choice.on)?) / 60.0;
        let value = ct(choice.levelized.value);
        time.place(cost, (hour, value)).filter(|_| value.is_finite())
    };
    if let Some(at) = place(&finding.written) {
        frame.sheet.dot(at, 6.4, ink);
        frame.sheet.dot(at, 5.0, ink::PAPER);
    }
    if let Some(at) = place(&finding.cheapest) {
        if finding.cheapest.on != finding.written.on {
            frame.sheet.dot(at, 4.8, ink::PAPER);
        }
        frame.sheet.dot(at, 3.6, ink);
    }
}

/// Tops of words that want to be centred on rising heights, one below the other: as near to them as all can be.
pub(super) fn apart(wanted: &[f64], heights: &[f64], (top, bottom): (f64, f64)) -> Vec<f64> {
    // without the words above them, tops need only not fall: runs that would are levelled to their mean
    let above = |k: usize| heights[..k].iter().sum::<f64>();
    let mut runs: Vec<(f64, usize)> = vec![];
    for (k, (y, height)) in wanted.iter().zip(heights).enumerate() {
        runs.push((y - (height - GAP) / 2.0 - above(k), 1));
        while let [.., before, last] = runs.as_slice()
            && before.0 > last.0
        {
            let count = before.1 + last.1;
            let mean = (before.0 * before.1 as f64 + last.0 * last.1 as f64) / count as f64;
            runs.truncate(runs.len() - 2);
            runs.push((mean, count));
        }
    }
    let lowest = (bottom + GAP - above(heights.len())).max(top);
    let levels = runs.iter().flat_map(|(level, count)| std::iter::repeat_n(level.clamp(top, lowest), *count));
    levels.enumerate().map(|(k, level)| level + above(k)).collect()
}

fn name_of_line(frame: &mut Frame, time: &Scale, cost: &Scale, line: &Line, top: f64) {
    let (ink, dash) = ink::series(line.index);
    let mut y = top + NAME_LINE / 2.0;
    if let Some(end) = line.end().and_then(|point| time.place(cost, point)) {
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

fn caption(report: &HoursReport) -> String {
    let mut parts = vec![fit(&clean(&report.title), SMALL, 300.0)];
    parts.push(format!("{}, seed {}", number::counted(report.trials, "trial"), report.seed));
    parts.push(format!(
        "{}, {} {}, prices of {}",
        number::counted(report.horizon_years.into(), "year"),
        clean(&report.basis),
        clean(&report.currency),
        clean(&report.prices_of)
    ));
    parts.push(format!("starts every {} minutes", report.step_minutes));
    parts.extend(report.conditions.iter().map(|condition| clean(condition)));
    if report.findings.iter().any(|finding| tried(report, &finding.written) == Some(false)) {
        parts.push("the hours as written were not among the starts tried".to_owned());
    }
    parts.join(" · ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::hours as sample;

    #[test]
    fn lines_break_where_starts_are_missing_and_close_over_midnight() {
        let day: Vec<(u16, f64)> = (0..24).map(|hour| (hour * 60, 0.02)).collect();
        let whole = pieces(&day, 60);
        assert_eq!((whole.len(), whole[0].len(), whole[0][24]), (1, 25, (24.0, 2.0)));
        let broken = pieces(&[(0, 0.02), (60, 0.03), (300, 0.02), (1380, 0.04)], 60);
        assert_eq!(broken.len(), 3);
        assert_eq!(broken[1], [(5.0, 2.0)]);
        assert_eq!(broken[2], [(23.0, 4.0), (24.0, 2.0)]);
        assert!(pieces(&[], 15).is_empty());
    }

    #[test]
    fn words_keep_apart_and_within_the_drawing() {
        let tops = apart(&[10.0, 12.0, 99.0], &[30.0, 30.0, 30.0], (0.0, 100.0));
        assert_eq!(tops, [0.0, 30.0, 77.0]);
        let tops = apart(&[100.0; 3], &[30.0; 3], (0.0, 100.0));
        assert_eq!(tops, [17.0, 47.0, 77.0]);
        let tops = apart(&[50.0; 2], &[20.0; 2], (0.0, 100.0));
        assert_eq!(tops, [33.5, 53.5]);
    }

    #[test]
    fn unit_basis_and_starts_are_on_the_picture() {
        let svg = starts(&sample::realistic(), 1).unwrap();
        for needed in [
            "ct/mol, levelized, real USD (1 ct = 0.01 USD)",
            "as written 21:00",
            "start of the lights, local time",
            "10\u{202f}000 trials, seed 1",
            "5 years, real USD, prices of 2031-03",
            "The scale begins at 0.",
        ] {
            assert!(svg.contains(needed), "{needed}");
        }
        assert!(!svg.contains("patterns") && !svg.contains("conditions"));
        let svg = starts(&sample::patterns(), 0).unwrap();
        for needed in ["best of 2 patterns", "does not meet the conditions", "were not among the starts tried"] {
            assert!(svg.contains(needed), "{needed}");
        }
    }
}
