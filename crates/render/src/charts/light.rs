//! The room's light over the years as a share of its light when new.
//!
//! Belongs here: bands and medians over time. Does not belong here: depreciation itself.

use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL, Ticks, basis, in_title, option_names, shared_basis};
use super::ink::{self, GREY};
use super::lettering::{wrap, wrap_bold};
use super::scale::{Scale, airy, extent, from_zero};
use super::sheet::Hold;
use super::{ChartError, option_at};
use crate::number;
use crate::words::clean;
use decide::result::{Band, RunResult};

const NAME_LINE: f64 = 15.5;
const NOTE_LINE: f64 = 13.5;

const HELP: &str = "The line is the median of the trials, the band holds the middle 80 % of them. Dark sockets count \
                    as no light; a rise is a new lamp. The scale need not begin at 0.";

/// One option's light over the years: the band from the 10 % to the 90 % point and the median.
///
/// # Errors
/// If there is no such option, or the drawing fails.
pub fn light_over_years(run: &RunResult, option: usize) -> Result<String, ChartError> {
    let line = option_at(run, option)?;
    let title = format!("{}: light of the room over the years", in_title(&clean(&line.name)));
    let mut frame = Frame::new(run, &title, &format!("{HELP} {}", drawn_from(&line.light)));
    let unit = format!("light, % of new, {}", basis(line));
    frame.note(&unit);
    let right = RIGHT - 132.0;
    let top = frame.top + 8.0;
    let bottom = top + 340.0;
    let time = Scale::new(span(run), LEFT + 48.0, right);
    let level = Scale::new(levels([&line.light]), bottom, top);
    frame.y_axis(&level, (LEFT + 48.0, right), 6, Ticks::Percent);
    let after = frame.x_axis(&time, (top, bottom), &time_unit(run), Ticks::Plain);
    panel(&mut frame, &time, &level, &line.light, option);
    ends(&mut frame, &level, &line.light, right + 8.0);
    frame.top = after;
    describe(&mut frame, &line.name, &line.light);
    frame.finish(run)
}

/// The light of all options over the years, one small picture each, all on the same scales.
///
/// # Errors
/// If the drawing fails.
pub fn light_of_all(run: &RunResult) -> Result<String, ChartError> {
    let shared = shared_basis(run);
    let first = run.options.first().map(|option| drawn_from(&option.light)).unwrap_or_default();
    let mut frame = Frame::new(run, "Light of the room over the years, all options", &format!("{HELP} {first}"));
    frame.note(&match &shared {
        Some(basis) => format!("light, % of new, {basis}"),
        None => "light, % of new, on the basis named with each option".to_owned(),
    });
    let count = run.options.len();
    let across = match count {
        0 | 1 => 1,
        2 | 4 => 2,
        3 | 5 | 6 | 9 => 3,
        _ => 4,
    };
    let gap = 24.0;
    let wide = (RIGHT - LEFT + gap) / across as f64 - gap;
    let tall = if across < 3 { 190.0 } else { 130.0 };
    let range = levels(run.options.iter().map(|option| &option.light));
    frame.top += 6.0;
    let names = option_names(run);
    for (row, options) in run.options.chunks(across).enumerate() {
        let heads: Vec<Head> = options
            .iter()
            .enumerate()
            .map(|(column, option)| Head {
                name: wrap_bold(names.get(row * across + column).map_or("", String::as_str), BODY, wide, 2),
                note: if shared.is_some() { vec![] } else { wrap(&basis(option), SMALL, wide, 2) },
            })
            .collect();
        let top = frame.top + heads.iter().map(Head::height).fold(0.0, f64::max) + 10.0;
        let mut after = top + tall;
        for (column, option) in options.iter().enumerate() {
            let left = LEFT + (wide + gap) * column as f64;
            let mut y = frame.top + 6.0;
            for line in &heads[column].name {
                frame.sheet.bold((left, y), Hold::Left, BODY, ink::BLACK, line);
                y += NAME_LINE;
            }
            for line in &heads[column].note {
                frame.sheet.text((left, y), Hold::Left, SMALL, GREY, line);
                y += NOTE_LINE;
            }
            let axis = left + 44.0;
            let time = Scale::new(span(run), axis, left + wide);
            let level = Scale::new(range, top + tall, top);
            small_axis(&mut frame, &level, (axis, left + wide));
            after = after.max(frame.x_axis(&time, (top, top + tall), "", Ticks::Plain));
            panel(&mut frame, &time, &level, &option.light, row * across + column);
            describe(&mut frame, &option.name, &option.light);
        }
        frame.top = after + 8.0;
    }
    frame.note(&time_unit(run));
    frame.finish(run)
}

/// Name and note over a small picture.
struct Head {
    name: Vec<String>,
    note: Vec<String>,
}

impl Head {
    fn height(&self) -> f64 {
        self.name.len() as f64 * NAME_LINE + self.note.len() as f64 * NOTE_LINE
    }
}

/// The vertical axis of a small picture, its numbers right at its own edge.
fn small_axis(frame: &mut Frame, level: &Scale, (left, right): (f64, f64)) {
    let (ticks, decimals) = level.ticks(4);
    for value in ticks {
        if let Some(y) = level.at(value) {
            frame.sheet.line((left, y), (right, y), if value == 0.0 { ink::RULE } else { ink::GRID }, 1.0);
            let text = format!("{}\u{202f}%", number::fixed(value, decimals));
            frame.sheet.text((left - 6.0, y), Hold::Right, SMALL, GREY, &text);
        }
    }
}

fn drawn_from(band: &Band) -> String {
    match band.trials {
        0 => String::new(),
        trials => format!("Drawn from the first {}.", number::counted(trials, "trial")),
    }
}

fn time_unit(run: &RunResult) -> String {
    format!("years since {}", clean(&run.method.start))
}

fn span(run: &RunResult) -> (f64, f64) {
    (0.0, f64::from(run.method.horizon_years.max(1)))
}

fn levels<'a>(bands: impl IntoIterator<Item = &'a Band>) -> (f64, f64) {
    let values = bands.into_iter().flat_map(|band| band.p90.iter().chain(&band.p50).chain(&band.p10));
    // new light is always in the picture, so that "% of new" can be seen
    let range = extent(values.map(|v| v * 100.0).chain([100.0]));
    match range {
        // a thin band would vanish on a scale from 0
        Some((low, _)) if low > 50.0 => airy(range, 0.04),
        _ => from_zero(range, 0.02),
    }
}

fn panel(frame: &mut Frame, time: &Scale, level: &Scale, band: &Band, option: usize) {
    let ((ink, dash), (surface, _)) = (ink::series(option), ink::region(option));
    let place = |t: f64, v: f64| Some((time.at(t)?, level.at(v * 100.0)?));
    let line = |values: &[f64]| -> Vec<(f64, f64)> {
        band.years.iter().zip(values).filter(|(_, v)| v.is_finite()).filter_map(|(t, v)| place(*t, *v)).collect()
    };
    if let Some(y) = level.at(100.0) {
        frame.sheet.dashed(
            vec![(time.at(time.low).unwrap_or(0.0), y), (time.at(time.high).unwrap_or(0.0), y)],
            ink::RULE,
            1.0,
            &[3.0, 3.0],
        );
    }
    let (low, middle, high) = (line(&band.p10), line(&band.p50), line(&band.p90));
    match (middle.as_slice(), low.first(), high.first()) {
        ([], _, _) => {
            if let (Some(x), Some(y)) = (time.at(time.low), level.at((level.low + level.high) / 2.0)) {
                frame.on_paper((x + 10.0, y), Hold::Left, SMALL, GREY, "no band was computed", ink::PAPER);
            }
        }
        ([only], Some(low), Some(high)) => {
            frame.sheet.line(*low, *high, surface, 5.0);
            frame.sheet.dot(*only, 3.5, ink);
        }
        _ => {
            let outline = low.iter().copied().chain(high.iter().rev().copied()).collect();
            frame.sheet.area(outline, ink::paler(surface, 0.35));
            frame.sheet.path(low, surface, 1.0);
            frame.sheet.path(high, surface, 1.0);
            frame.sheet.dashed(middle, ink, 2.0, dash);
        }
    }
}

/// Names of the lines where they end, pushed apart so that they can be read.
fn ends(frame: &mut Frame, level: &Scale, band: &Band, x: f64) {
    let last = |values: &[f64]| values.last().copied().filter(|v| v.is_finite());
    let (Some(p10), Some(p50), Some(p90)) = (last(&band.p10), last(&band.p50), last(&band.p90)) else { return };
    let text = |name: &str, v: f64| format!("{name}: {}\u{202f}%", number::fixed(v * 100.0, 1));
    let marks = [(text("90 % point", p90), p90), (text("median", p50), p50), (text("10 % point", p10), p10)];
    let middle = level.at(p50 * 100.0).unwrap_or(0.0);
    for (i, (text, value)) in marks.iter().enumerate() {
        let Some(y) = level.at(value * 100.0) else { continue };
        let y = match i {
            0 => y.min(middle - 15.0),
            1 => y,
            _ => y.max(middle + 15.0),
        };
        if i == 1 {
            frame.sheet.bold((x, y), Hold::Left, SMALL, ink::BLACK, text);
        } else {
            frame.sheet.text((x, y), Hold::Left, SMALL, GREY, text);
        }
    }
}

fn describe(frame: &mut Frame, name: &str, band: &Band) {
    let Some(((p10, p50), p90)) = band.p10.last().zip(band.p50.last()).zip(band.p90.last()) else { return };
    let shown = |v: &f64| number::fixed(v * 100.0, 1);
    let range = number::range(&shown(p10), &shown(p90));
    frame.say(format!("{}: {} % of new at the end, from {range}.", clean(name), shown(p50)));
}
