//! Prices round the clock as dials, one for each pattern of a day, with the hours in which lights burn as an arc.
//!
//! Belongs here: the dials and what stands below them. Does not belong here: levels and decimals, which all pictures of prices
//! share; which days have which prices in detail (`prices`).

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL, in_title};
use super::ink::{self, GREY, Place, RULE};
use super::lettering::{width, wrap, wrap_bold};
use super::prices::{caption, legend};
use super::sheet::Hold;
use crate::number;
use crate::prices::{Levels, Light, MONTHS, ct, incomplete, lights_on};
use crate::words::clean;
use decide::bill::{BillReport, SheetBills};
use decide::picture::PictureCell;

/// Dials side by side, and most of them on a page.
const ABREAST: usize = 3;
const MOST: usize = 6;
const GAP: f64 = 16.0;
/// Radii, for a dial of 1: edges of the ring of prices, of the arc of lights, and of the numbers of hours.
const RING: (f64, f64) = (0.64, 1.0);
const ARC: (f64, f64) = (0.53, 0.6);
/// Outer radius of a dial where there are few and where there are many, and from there to the middle of the numbers of hours.
const RADII: (f64, f64) = (150.0, 116.0);
const HOURS: f64 = 12.0;
const NUMBER: f64 = 9.5;
const LINE: f64 = 14.0;
/// Hours of one step of a drawn arc.
const STEP: f64 = 0.1;

const HELP: &str = "A dial is a day, midnight above and noon below, clockwise. The outer ring holds what one more kWh costs, in ct: the \
                    darker, the dearer. The black arc inside it: the lights burn.";

/// The dials of one contract.
pub(super) fn price_dial(report: &BillReport, sheet: &SheetBills) -> Result<String, ChartError> {
    let levels = Levels::new(&sheet.picture);
    let title = format!("{}: a day's prices round the clock, and the lights", in_title(&clean(&sheet.contract)));
    let mut frame = Frame::open(&title, incomplete(sheet), HELP);
    let patterns = patterns(sheet, &levels);
    if patterns.is_empty() {
        frame.note("There is nothing to show.");
        return frame.close(caption(report, sheet));
    }
    legend(&mut frame, report, sheet, &levels);
    let (abreast, radius) = if patterns.len() < ABREAST { (2, RADII.0) } else { (ABREAST, RADII.1) };
    let room = (RIGHT - LEFT - (abreast as f64 - 1.0) * GAP) / abreast as f64;
    for line in patterns[..patterns.len().min(MOST)].chunks(abreast) {
        let heads: Vec<Vec<String>> = line.iter().map(|pattern| wrap_bold(&pattern.days(), BODY, room, 3)).collect();
        let rows = heads.iter().map(Vec::len).max().unwrap_or(0);
        let mut lowest = frame.top;
        for (column, (pattern, head)) in line.iter().zip(&heads).enumerate() {
            let left = LEFT + column as f64 * (room + GAP);
            for (i, words) in head.iter().enumerate() {
                let at = (left, frame.top + 6.0 + 15.5 * i as f64);
                frame.sheet.bold(at, Hold::Left, BODY, ink::BLACK, words);
            }
            let top = frame.top + 15.5 * rows as f64 + 8.0;
            let reach = radius + HOURS;
            let circle = Circle { middle: (left + reach + 8.0, top + reach + 6.0), radius };
            dial(&mut frame, &levels, pattern, &circle);
            lights(&mut frame, pattern, &circle, &lights_on(report, sheet));
            let mut y = circle.middle.1 + reach + 22.0;
            let said = pattern.said(&levels);
            for words in said.iter().flat_map(|words| wrap(words, SMALL, room, 2)) {
                frame.sheet.text((left, y), Hold::Left, SMALL, ink::BLACK, &words);
                y += LINE;
            }
            frame.say(format!("{}: {}.", pattern.days(), said.join(", ")));
            lowest = lowest.max(y);
        }
        frame.top = lowest + 14.0;
    }
    if patterns.len() > MOST {
        let more = number::counted((patterns.len() - MOST) as u64, "more pattern");
        frame.note(&format!("{more} of days are in the picture by month and hour."));
    }
    frame.close(caption(report, sheet))
}

/// A day of prices and light, and the days that are like it.
struct Pattern {
    /// Price as shown, hour by hour.
    shown: Vec<Option<String>>,
    /// The same days of all months that have it: sums of prices in ct/kWh and of lit shares by hour.
    sums: Vec<(f64, f64)>,
    /// Months that have it: from Monday to Friday, on Saturday and Sunday.
    months: [Vec<usize>; 2],
    /// Months that any bill reaches.
    known: usize,
}

/// Days that differ in prices as they are shown, in the order of the year; those no bill reaches are left out.
fn patterns(sheet: &SheetBills, levels: &Levels) -> Vec<Pattern> {
    let mut found: Vec<Pattern> = vec![];
    let reached = |row: &Vec<PictureCell>| row.iter().any(|cell| ct(cell).is_some());
    let known = sheet.picture.weekdays.iter().filter(|row| reached(row)).count();
    for (kind, rows) in [&sheet.picture.weekdays, &sheet.picture.weekends].into_iter().enumerate() {
        for (month, row) in rows.iter().enumerate().take(12).filter(|(_, row)| reached(row)) {
            let row = &row[..row.len().min(24)];
            let shown: Vec<Option<String>> = row.iter().map(|cell| ct(cell).map(|price| levels.text(price))).collect();
            let at = found.iter().position(|pattern| pattern.shown == shown).unwrap_or_else(|| {
                let (sums, months) = (vec![(0.0, 0.0); shown.len()], [vec![], vec![]]);
                found.push(Pattern { shown, sums, months, known });
                found.len() - 1
            });
            for (sum, cell) in found[at].sums.iter_mut().zip(row) {
                *sum = (sum.0 + ct(cell).unwrap_or(f64::NAN), sum.1 + cell.lit);
            }
            found[at].months[kind].push(month);
        }
    }
    found
}

/// Hours of the clock that show the same; `to` may lie beyond 24.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Run {
    from: usize,
    to: usize,
    price: Option<f64>,
}

impl Pattern {
    fn count(&self) -> f64 {
        self.months.iter().map(Vec::len).sum::<usize>() as f64
    }

    /// Mean price of an hour, ct/kWh, and its mean share of light.
    fn hour(&self, hour: usize) -> (Option<f64>, f64) {
        let (price, lit) = self.sums[hour % self.sums.len()];
        (Some(price / self.count()).filter(|price| price.is_finite()), lit / self.count())
    }

    /// Hours that show the same price, joined over midnight.
    fn runs(&self) -> Vec<Run> {
        let mut runs: Vec<Run> = vec![];
        for (hour, shown) in self.shown.iter().enumerate() {
            match runs.last_mut() {
                Some(run) if self.shown[run.from] == *shown => run.to = hour + 1,
                _ => runs.push(Run { from: hour, to: hour + 1, price: self.hour(hour).0 }),
            }
        }
        if runs.len() > 1 && self.shown.first() == self.shown.last() {
            let first = runs.remove(0);
            if let Some(last) = runs.last_mut() {
                last.to += first.to;
            }
        }
        runs
    }

    /// The days that have it, in words.
    fn days(&self) -> String {
        let [work, rest] = &self.months;
        let when = |months: &[usize]| {
            if months.len() == 12 || months.len() == self.known && self.known == 12 {
                "all year".to_owned()
            } else {
                spans(months)
            }
        };
        match (work.is_empty(), rest.is_empty()) {
            _ if work == rest => format!("Every day, {}", when(work)),
            (false, true) => format!("Monday to Friday, {}", when(work)),
            (true, _) => format!("Saturday and Sunday, {}", when(rest)),
            _ => format!("Monday to Friday, {}; Saturday and Sunday, {}", when(work), when(rest)),
        }
    }

    /// Dearest and cheapest hours, and the price while lights burn.
    fn said(&self, levels: &Levels) -> Vec<String> {
        let runs = self.runs();
        let prices = || runs.iter().filter_map(|run| run.price);
        let at = |sought: f64| {
            let hours =
                runs.iter().filter(|run| run.price.is_some_and(|price| levels.text(price) == levels.text(sought)));
            let hours: Vec<String> = hours.map(|run| format!("{}–{}", run.from, hour_of_day(run.to))).collect();
            match hours.len() {
                1..=3 => format!("{} h", hours.join(", ")),
                count => format!("{count} stretches of hours"),
            }
        };
        let (low, high) = (prices().fold(f64::INFINITY, f64::min), prices().fold(f64::NEG_INFINITY, f64::max));
        let mut said = match low < high && levels.text(low) != levels.text(high) {
            true => vec![
                format!("dearest {} ct/kWh: {}", levels.text(high), at(high)),
                format!("cheapest {} ct/kWh: {}", levels.text(low), at(low)),
            ],
            false => vec![format!("{} ct/kWh at every hour", levels.text(high))],
        };
        let lit = (0..self.sums.len()).map(|hour| self.hour(hour)).filter(|(_, lit)| *lit > 0.0);
        let (sum, hours) =
            lit.fold((0.0, 0.0), |sum, (price, lit)| (sum.0 + price.unwrap_or(f64::NAN) * lit, sum.1 + lit));
        said.push(match hours > 0.0 {
            true => format!("while lit, {} h: {} ct/kWh on average", number::fixed(hours, 1), levels.text(sum / hours)),
            false => "no light on these days".to_owned(),
        });
        said
    }
}

fn hour_of_day(hour: usize) -> usize {
    if hour > 24 { hour - 24 } else { hour }
}

/// Months as spans, those over the new year joined: "Nov–Feb, Jul".
fn spans(months: &[usize]) -> String {
    let mut spans: Vec<(usize, usize)> = vec![];
    for &month in months {
        match spans.last_mut() {
            Some(span) if span.1 + 1 == month => span.1 = month,
            _ => spans.push((month, month)),
        }
    }
    if spans.len() > 1 && spans[0].0 == 0 && spans.last().is_some_and(|span| span.1 == 11) {
        let first = spans.remove(0);
        if let Some(last) = spans.last_mut() {
            last.1 = first.1;
        }
    }
    let named = |(from, to): &(usize, usize)| match from == to {
        true => MONTHS[*from].to_owned(),
        false => format!("{}–{}", MONTHS[*from], MONTHS[*to]),
    };
    spans.iter().map(named).collect::<Vec<_>>().join(", ")
}

/// Where a dial lies, and its outer radius.
struct Circle {
    middle: Place,
    radius: f64,
}

impl Circle {
    /// Place of an hour at a distance from the middle.
    fn at(&self, hour: f64, distance: f64) -> Place {
        let angle = (hour / 24.0) * std::f64::consts::TAU;
        (self.middle.0 + distance * angle.sin(), self.middle.1 - distance * angle.cos())
    }

    /// A part of a ring between two hours; its radii are shares of the dial's.
    fn piece(&self, (from, to): (f64, f64), (inner, outer): (f64, f64)) -> Vec<Place> {
        let steps = ((to - from) / STEP).ceil().clamp(1.0, 400.0) as usize;
        let hour = |k: usize| from + (to - from) * k as f64 / steps as f64;
        let out = (0..=steps).map(|k| self.at(hour(k), outer * self.radius));
        out.chain((0..=steps).rev().map(|k| self.at(hour(k), inner * self.radius))).collect()
    }
}

/// The ring of prices with its numbers, and the hours around it.
fn dial(frame: &mut Frame, levels: &Levels, pattern: &Pattern, circle: &Circle) {
    let runs = pattern.runs();
    for run in &runs {
        let span = (run.from as f64, run.to as f64);
        let points = circle.piece(span, RING);
        match run.price {
            Some(price) => frame.sheet.area(points, ink::shade(levels.height(price))),
            None => frame.sheet.path(points, RULE, 0.8),
        }
    }
    for hour in 0..24 {
        let at = |distance| circle.at(f64::from(hour), distance);
        frame.sheet.line(
            at(RING.0 * circle.radius),
            at(circle.radius),
            ink::PAPER,
            if hour % 6 == 0 { 1.2 } else { 0.6 },
        );
        let long = if hour % 3 == 0 { 6.0 } else { 3.0 };
        frame.sheet.line(at(circle.radius + 1.0), at(circle.radius + long), RULE, 1.0);
        if hour % 3 == 0 {
            let (x, y) = at(circle.radius + HOURS + 1.0);
            frame.sheet.text((x, y), Hold::Middle, SMALL, GREY, &hour.to_string());
        }
    }
    for run in &runs {
        let Some(price) = run.price else { continue };
        let (text, fill) = (levels.text(price), ink::shade(levels.height(price)));
        // long runs are labelled where the middle of an hour is
        let hour = ((run.from + run.to) as f64 / 2.0).floor() + if (run.to - run.from) % 2 == 0 { 0.0 } else { 0.5 };
        let at = circle.at(hour, (RING.0 + RING.1) / 2.0 * circle.radius);
        if fits(circle, at, (width(&text, NUMBER) + 2.0, NUMBER * 1.1), (run.from as f64, run.to as f64)) {
            frame.on_paper(at, Hold::Middle, NUMBER, ink::text_on(fill), &text, fill);
        }
    }
}

/// Whether a text around a place lies within its part of the ring.
fn fits(circle: &Circle, at: Place, (wide, tall): (f64, f64), (from, to): (f64, f64)) -> bool {
    [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0), (0.0, -1.0), (0.0, 1.0), (-1.0, 0.0), (1.0, 0.0)].iter().all(
        |(right, down)| {
            let (x, y) = (at.0 + right * wide / 2.0 - circle.middle.0, at.1 + down * tall / 2.0 - circle.middle.1);
            let radius = x.hypot(y);
            let hour = x.atan2(-y).rem_euclid(std::f64::consts::TAU) / std::f64::consts::TAU * 24.0;
            let within = |hour: f64| hour >= from && hour <= to;
            (RING.0 * circle.radius..=circle.radius).contains(&radius) && (within(hour) || within(hour + 24.0))
        },
    )
}

/// The arc of burning lights, and when they burn, in the middle.
fn lights(frame: &mut Frame, pattern: &Pattern, circle: &Circle, words: &str) {
    frame.sheet.path(circle.piece((0.0, 24.0), ((ARC.0 + ARC.1) / 2.0, (ARC.0 + ARC.1) / 2.0)), ink::GRID, 1.0);
    let hours = pattern.sums.len();
    let light = |hour: usize| {
        let lit = pattern.hour(hour).1;
        (Light::of(&PictureCell { price: None, lit }), lit.clamp(0.0, 1.0))
    };
    let mut spans: Vec<(f64, f64)> = vec![];
    for hour in 0..hours {
        let (from, to) = (hour as f64, hour as f64 + 1.0);
        let span = match light(hour) {
            (Light::Off, _) => continue,
            (Light::On, _) => (from, to),
            // what is known of the hour is its share: it is filled towards the light beside it
            (Light::Part, share) => {
                let follows = light(hour + 1).0 == Light::On && light(hour + hours - 1).0 != Light::On;
                if follows { (to - share, to) } else { (from, from + share) }
            }
        };
        // pieces that touch are one, or a seam would show between them
        match spans.last_mut() {
            Some(last) if last.1 == span.0 => last.1 = span.1,
            _ => spans.push(span),
        }
    }
    if spans.len() > 1 && spans[0].0 == 0.0 && spans.last().is_some_and(|last| last.1 == hours as f64) {
        let (_, to) = spans.remove(0);
        if let Some(last) = spans.last_mut() {
            last.1 += to;
        }
    }
    for span in spans {
        frame.sheet.area(circle.piece(span, ARC), ink::BLACK);
    }
    let lines = wrap(words, SMALL, ARC.0 * circle.radius * 1.5, 4);
    let mut y = circle.middle.1 - LINE * lines.len() as f64 / 2.0;
    frame.sheet.bold((circle.middle.0, y), Hold::Middle, SMALL, ink::BLACK, "lights");
    for line in &lines {
        y += LINE;
        frame.sheet.text((circle.middle.0, y), Hold::Middle, SMALL, ink::BLACK, line);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::bill as sample;

    #[test]
    fn days_with_equal_prices_share_a_dial() {
        let report = sample::realistic();
        let found: Vec<Vec<String>> = report
            .sheets
            .iter()
            .map(|sheet| patterns(sheet, &Levels::new(&sheet.picture)).iter().map(Pattern::days).collect())
            .collect();
        assert_eq!(found[0], ["Every day, all year"]);
        assert_eq!(found[1], ["Monday to Friday, Nov–Feb", "Saturday and Sunday, Nov–Feb"]);
    }

    #[test]
    fn hours_are_joined_over_midnight_and_told() {
        let report = sample::realistic();
        let levels = Levels::new(&report.sheets[1].picture);
        let patterns = patterns(&report.sheets[1], &levels);
        let runs: Vec<(usize, usize)> = patterns[0].runs().iter().map(|run| (run.from, run.to)).collect();
        assert_eq!(runs, [(14, 21), (21, 38)]);
        // lit from 20:30 to 08:00: half an hour at 26 ct and eleven hours at 7.12 ct
        let mean = (0.5 * 26.0 + 11.0 * 7.12) / 11.5;
        assert_eq!(
            patterns[0].said(&levels),
            [
                "dearest 26.00 ct/kWh: 14–21 h".to_owned(),
                "cheapest 7.12 ct/kWh: 21–14 h".to_owned(),
                format!("while lit, 11.5 h: {mean:.2} ct/kWh on average")
            ]
        );
    }

    #[test]
    fn months_are_joined_over_the_new_year() {
        assert_eq!(spans(&[0, 1, 6, 10, 11]), "Jul, Nov–Feb");
        assert_eq!(spans(&[5, 6, 7]), "Jun–Aug");
        assert_eq!(spans(&[]), "");
    }

    #[test]
    fn midnight_is_above_and_the_hours_run_clockwise() {
        let circle = Circle { middle: (0.0, 0.0), radius: 1.0 };
        let near = |a: Place, b: Place| (a.0 - b.0).abs() < 1e-9 && (a.1 - b.1).abs() < 1e-9;
        assert!(near(circle.at(0.0, 1.0), (0.0, -1.0)));
        assert!(near(circle.at(6.0, 1.0), (1.0, 0.0)));
        assert!(near(circle.at(12.0, 1.0), (0.0, 1.0)));
    }
}
