//! Cash paid since the start, one line of steps for each option, with the middle 80 % of the trials around it.
//!
//! Belongs here: steps, bands and names. Does not belong here: the sums, which arrive with the numbers.

use super::ChartError;
use super::cash_panels;
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL, Ticks};
use super::ink::{self, GREY, Place, RULE};
use super::lettering::{fit, wrap, wrap_bold};
use super::scale::{Scale, extent, from_zero};
use super::sheet::Hold;
use super::starts::apart;
use crate::cash::{mean_and_range, names as option_names, stopped};
use crate::number;
use crate::words::clean;
use decide::cash_report::{CashOption, CashReport, Stretch};

const PLOT: (f64, f64) = (LEFT + 56.0, 676.0);
const HEIGHT: f64 = 340.0;
/// Where the sample of a line stands that names it, and where its words begin.
const SAMPLE: (f64, f64) = (700.0, 726.0);
const WORDS: f64 = 733.0;
const NAME_LINE: f64 = 15.5;
const NOTE_LINE: f64 = 13.5;
/// Free room below a name.
const GAP: f64 = 7.0;
/// Options that can be told apart in one drawing.
const MOST: usize = 12;
/// Options that share one drawing; more have a small one each.
const TOGETHER: usize = 4;
/// Height of a row of relamps.
const RELAMP: f64 = 13.0;
/// A month stands out in which so much of the dearest month's lamps is bought, and so many times the mean month's.
const PEAK: (f64, f64) = (0.5, 3.0);
/// How much of a band is paper.
const PALE: f64 = 0.76;

/// One option's line.
pub(super) struct Line {
    pub(super) index: usize,
    pub(super) name: Vec<String>,
    pub(super) notes: Vec<String>,
    /// Moment in years and the sum, in the unit of the axis.
    points: Vec<(f64, Stretch)>,
    /// Moments of relamping, years.
    pub(super) relamps: Vec<f64>,
}

/// The years that are drawn, and what stands below their axis.
pub(super) struct Span {
    pub(super) last: f64,
    pub(super) start: String,
}

impl Line {
    fn height(&self) -> f64 {
        self.name.len() as f64 * NAME_LINE + self.notes.len() as f64 * NOTE_LINE + GAP
    }

    fn end(&self) -> Option<f64> {
        self.points.last().map(|(_, at)| at.mean)
    }
}

/// The chart.
pub(super) fn cash_curves(report: &CashReport) -> Result<String, ChartError> {
    let mut help = "A line adds up all that an option has cost since the start, mean over the trials, not discounted, before tax \
                    and loan. Steps are outlays, relamps and repairs; the even rise between them is electricity. The shade \
                    around a line holds the middle 80 % of the trials. Short bars: most lamps are bought."
        .to_owned();
    if report.options.len() > TOGETHER {
        help.push_str(" Pale lines: the other options.");
    }
    let mut frame = Frame::open("Cash paid since the start", stopped(report), &help);
    let all = report.options.iter().flat_map(|option| option.cumulative.iter());
    let range = extent(all.flat_map(|at| [at.mean, at.p10, at.p90]));
    let (size, word) = unit(range);
    let (currency, basis) = (clean(&report.currency), clean(&report.basis));
    frame.note(&format!("{word}{basis} {currency}, prices of {}", clean(&report.prices_of)));
    frame.top += 10.0;
    let mut lines = lines(report, size);
    let last = report.moments_yr.last().copied().filter(|last| *last > 0.0 && *last < 1e4);
    let (Some(last), true) = (last, lines.iter().any(|line| !line.points.is_empty())) else {
        frame.note("There is nothing to show.");
        return frame.close(caption(report));
    };
    let time = Span { last, start: format!("years from {}", fit(&clean(&report.start), SMALL, 120.0)) };
    let paid = from_zero(range.map(|(low, high)| (low / size, high / size)), 0.05);
    if lines.len() > TOGETHER {
        cash_panels::panels(&mut frame, &lines, &time, paid);
    } else {
        together(&mut frame, &mut lines, &time, paid);
    }
    if report.options.len() > lines.len() {
        frame.note(&format!("The first {} options are drawn.", lines.len()));
    }
    frame.close(caption(report))
}

/// All options in one drawing.
fn together(frame: &mut Frame, lines: &mut [Line], span: &Span, range: (f64, f64)) {
    let words: f64 = lines.iter().map(Line::height).sum();
    let (top, bottom) = (frame.top + 8.0, frame.top + 8.0 + HEIGHT.max(words));
    let time = Scale::new((0.0, span.last), PLOT.0, PLOT.1);
    let paid = Scale::new(range, bottom, top);
    frame.y_axis(&paid, PLOT, 7, Ticks::Plain);
    let relamped: Vec<&Line> = lines.iter().filter(|line| !line.relamps.is_empty()).collect();
    let foot = bottom + RELAMP * relamped.len() as f64 + if relamped.is_empty() { 0.0 } else { 8.0 };
    let after = frame.x_axis(&time, (top, foot), &span.start, Ticks::Plain);
    for (k, line) in relamped.iter().enumerate() {
        let y = bottom + 6.0 + RELAMP * (k as f64 + 0.5);
        if k == 0 {
            frame.sheet.text((PLOT.0 - 6.0, y), Hold::Right, SMALL, GREY, "relamps");
        }
        for x in line.relamps.iter().filter_map(|at| time.at(*at)) {
            frame.sheet.line((x, y - 4.5), (x, y + 4.5), ink::series(line.index).0, 3.0);
        }
        let name = fit(&line.name.join(" "), SMALL, RIGHT - PLOT.1 - 8.0);
        frame.sheet.text((PLOT.1 + 8.0, y), Hold::Left, SMALL, GREY, &name);
    }
    for line in &*lines {
        band(frame, &time, &paid, line);
    }
    for line in &*lines {
        let (ink, dash) = ink::series(line.index);
        frame.sheet.dashed(steps(&time, &paid, line, |at| at.mean), ink, 2.0, dash);
    }
    names(frame, lines, &paid, (top, bottom));
    frame.top = after + 6.0;
}

/// The middle 80 % of the trials.
pub(super) fn band(frame: &mut Frame, time: &Scale, paid: &Scale, line: &Line) {
    let edge = |read: fn(&Stretch) -> f64| steps(time, paid, line, read);
    let band = edge(|at| at.p90).into_iter().chain(edge(|at| at.p10).into_iter().rev()).collect();
    frame.sheet.area(band, ink::paler(ink::series(line.index).0, PALE));
}

/// Size of the unit of the axis, and its word.
fn unit(range: Option<(f64, f64)>) -> (f64, &'static str) {
    let most = range.map_or(0.0, |(low, high)| high.abs().max(low.abs()));
    match most {
        most if !(most >= 1e5) => (1.0, ""),
        most if most < 1e8 => (1e3, "thousand "),
        most if most < 1e11 => (1e6, "million "),
        _ => (1e9, "billion (10⁹) "),
    }
}

fn lines(report: &CashReport, size: f64) -> Vec<Line> {
    let wide = if report.options.len() > TOGETHER { cash_panels::WIDE } else { RIGHT - WORDS };
    let line = |(index, (option, name)): (usize, (&CashOption, String))| {
        let shown = |at: &&Stretch| [at.mean, at.p10, at.p90].iter().all(|value| value.abs() < 1e200);
        let scaled = |at: &Stretch| Stretch { mean: at.mean / size, p10: at.p10 / size, p90: at.p90 / size };
        let points = report.moments_yr.iter().zip(&option.cumulative).filter(|(t, at)| t.is_finite() && shown(at));
        let (mean, range) = mean_and_range(&option.budget.total);
        let note = format!("{mean} {range} {}", clean(&report.currency));
        Line {
            index,
            name: wrap_bold(&name, BODY, wide, 2),
            notes: wrap(&note, SMALL, wide, 2),
            points: points.map(|(t, at)| (*t, scaled(at))).collect(),
            relamps: relamps(option, &report.moments_yr),
        }
    };
    let names = option_names(report).into_iter().map(|name| fit(&name, BODY, 2.0 * wide));
    report.options.iter().zip(names).take(MOST).enumerate().map(line).collect()
}

/// Moments at which lamps are bought for the whole room, by mean cash: months that stand out among their neighbours and
/// among all.
fn relamps(option: &CashOption, moments: &[f64]) -> Vec<f64> {
    let Some(lamps) = option.lines.iter().find(|line| line.name == "lamps") else { return vec![] };
    let months = &lamps.months;
    let most = months.iter().copied().fold(0.0, f64::max);
    let mean = months.iter().sum::<f64>() / months.len() as f64;
    let at = |k: usize| months.get(k).copied().unwrap_or(0.0);
    let stands_out = |k: &usize| {
        let here = at(*k);
        here >= PEAK.0 * most && here >= PEAK.1 * mean && here > 0.0 && here >= at(k + 1) && *k > 0 && here > at(k - 1)
    };
    (0..months.len()).filter(stands_out).filter_map(|k| moments.get(k).copied()).collect()
}

/// A line that keeps its height until the next booking.
pub(super) fn steps(time: &Scale, paid: &Scale, line: &Line, read: fn(&Stretch) -> f64) -> Vec<Place> {
    let mut places: Vec<Place> = vec![];
    for (moment, at) in &line.points {
        let Some(place) = time.place(paid, (*moment, read(at))) else { continue };
        if let Some(before) = places.last() {
            places.push((place.0, before.1));
        }
        places.push(place);
    }
    places
}

/// Names beside the ends of the lines, from above to below.
fn names(frame: &mut Frame, lines: &mut [Line], paid: &Scale, (top, bottom): (f64, f64)) {
    let end = |line: &Line| line.end().and_then(|value| paid.at(value));
    let wanted = |line: &Line| end(line).unwrap_or(bottom);
    lines.sort_by(|a, b| wanted(a).total_cmp(&wanted(b)));
    let heights: Vec<f64> = lines.iter().map(Line::height).collect();
    let tops = apart(&lines.iter().map(wanted).collect::<Vec<_>>(), &heights, (top, bottom));
    for (line, top) in lines.iter().zip(tops) {
        let (ink, dash) = ink::series(line.index);
        let mut y = top + NAME_LINE / 2.0;
        if let Some(end) = end(line) {
            frame.sheet.line((PLOT.1 + 3.0, end), (SAMPLE.0 - 3.0, y), RULE, 0.8);
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
        frame.say(format!("{}: {} in all.", line.name.join(" "), line.notes.join(" ")));
    }
}

fn caption(report: &CashReport) -> String {
    let currency = clean(&report.currency);
    let parts = [
        fit(&clean(&report.title), SMALL, 260.0),
        format!("{}, seed {}", number::counted(report.trials, "trial"), report.seed),
        format!(
            "{} from {}, {} {currency}, prices of {}, booked {}",
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start),
            clean(&report.basis),
            clean(&report.prices_of),
            clean(&report.booked)
        ),
        format!("contract: {}", fit(&clean(&report.contract), SMALL, 260.0)),
    ];
    parts.join(" · ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::cash as sample;

    #[test]
    fn a_line_keeps_its_height_until_the_next_booking() {
        let report = sample::realistic();
        let lines = lines(&report, 1.0);
        let (time, paid) = (Scale::new((0.0, 5.0), 0.0, 5.0), Scale::new((0.0, 1e6), 0.0, 1e6));
        let places = steps(&time, &paid, &lines[0], |at| at.mean);
        assert_eq!(places.len(), 2 * report.dates.len() - 1);
        for pair in places.windows(2) {
            assert!(pair[0].0 == pair[1].0 || pair[0].1 == pair[1].1, "{pair:?} is no step");
        }
    }

    #[test]
    fn months_that_stand_out_are_relamps() {
        let report = sample::realistic();
        // lamps are bought in the months 16, 33 and 50
        assert_eq!(relamps(&report.options[0], &report.moments_yr), [16.0, 33.0, 50.0].map(|month: f64| month / 12.0));
        let mut even = report.options[0].clone();
        let lamps = even.lines.iter_mut().find(|line| line.name == "lamps").unwrap();
        lamps.months.iter_mut().for_each(|amount| *amount = 70.0);
        assert!(relamps(&even, &report.moments_yr).is_empty());
    }

    #[test]
    fn more_than_four_options_have_a_drawing_each() {
        let svg = |options| cash_curves(&sample::study(options, 5)).unwrap();
        assert!(!svg(4).contains("Pale lines") && svg(5).contains("Pale lines: the other options."));
        assert_eq!(svg(12).matches("in all.").count(), 12);
    }

    #[test]
    fn unit_basis_and_names_are_on_the_picture() {
        let svg = cash_curves(&sample::realistic()).unwrap().replace('\u{202f}', " ");
        for needed in ["A cheap arc", "years from 2031-03-01", "real USD, prices of 2031-03", "booked end of month"] {
            assert!(svg.contains(needed), "{needed} is not in {svg}");
        }
        assert!(cash_curves(&sample::wild()).unwrap().contains("Cash paid"));
    }
}
