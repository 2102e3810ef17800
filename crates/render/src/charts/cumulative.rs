//! Cumulative curves of the levelized cost: how many trials cost less than a given sum.
//!
//! Belongs here: the curves and the flags that name them at the 90 % line. Does not belong here: the shares themselves.
//!
//! Each flag is joined to its curve by an upright leader at the curve's 90 % point. The flag of the leftmost point
//! stands highest, so that no leader runs through another flag, however many there are.

use super::digits::three_points;
use super::frame::{
    BODY, Frame, LEFT, RIGHT, SMALL, Ticks, basis, contract_names, in_title, money_unit, narrow, option_names,
    shared_basis,
};
use super::ink::{self, GREY, RULE};
use super::lettering::{bold_width, width, wrap_bold};
use super::scale::{Scale, airy, clip, extent};
use super::sheet::Hold;
use super::{ChartError, contract_at, option_at};
use crate::words::clean;
use decide::result::{CostResult, RunResult};

const PLOT: (f64, f64) = (LEFT + 44.0, 690.0);
const HEIGHT: f64 = 330.0;
/// From a flag of one line to the next flag.
const FLAG: f64 = 18.0;
/// From line to line within a flag.
const WORDS: f64 = 15.0;
/// From the leader to the words of its flag.
const POLE: f64 = 34.0;
/// Shares that have a line: the ends, the middle, and the points that are read off.
const LINES: [(f64, &str); 5] = [(0.0, "0 %"), (0.1, "10 %"), (0.5, "50 %"), (0.9, "90 %"), (1.0, "100 %")];

struct Series<'a> {
    look: (ink::Ink, &'static [f64]),
    name: String,
    cost: &'a CostResult,
}

/// The words of a flag: a name in lines, and a sum after the last of them or below it.
struct Flag {
    name: Vec<String>,
    value: String,
    below: bool,
}

/// Cumulative curves of one option's levelized cost, one per contract.
///
/// # Errors
/// If there is no such option, or the drawing fails.
pub fn cost_cumulative(run: &RunResult, option: usize) -> Result<String, ChartError> {
    let line = option_at(run, option)?;
    let series = contract_names(run)
        .into_iter()
        .zip(&line.costs)
        .enumerate()
        .map(|(index, (name, cost))| Series { look: ink::contract(index), name, cost })
        .collect();
    let title = format!("{}: the cost that most trials stay below", in_title(&clean(&line.name)));
    draw(run, &title, &format!("Light counted {}.", basis(line)), series).finish(run)
}

/// Cumulative curves of the levelized cost of all options under one contract.
///
/// # Errors
/// If there is no such contract, or the drawing fails.
pub fn cumulatives(run: &RunResult, contract: usize) -> Result<String, ChartError> {
    let line = contract_at(run, contract)?;
    let series = option_names(run)
        .into_iter()
        .zip(&run.options)
        .enumerate()
        .filter_map(|(index, (name, option))| {
            Some(Series { look: ink::series(index), name, cost: option.costs.get(contract)? })
        })
        .collect();
    let title = format!("{}: the cost that most trials stay below, by option", in_title(&clean(&line.name)));
    let basis = shared_basis(run).map_or_else(
        || "The options' light is not counted on one basis: see below.".to_owned(),
        |basis| format!("Light counted {basis}."),
    );
    let mut frame = draw(run, &title, &basis, series);
    frame.note_bases(run, &option_names(run));
    frame.finish(run)
}

fn draw(run: &RunResult, title: &str, basis: &str, mut series: Vec<Series>) -> Frame {
    let help = format!(
        "A curve rises to the share of trials that cost less than the sum below it. Follow a flag down to the 90 % \
         line: nine trials in ten cost less than there. {basis}"
    );
    let mut frame = Frame::new(run, title, &help);
    if series.is_empty() {
        frame.note("There is nothing to show.");
        return frame;
    }
    let curves = series.iter().map(|s| s.cost).flat_map(|cost| {
        let near = |y: &f64| (0.003..=0.997).contains(y);
        let body = cost.cumulative.x.iter().zip(&cost.cumulative.y).filter(move |(_, y)| near(y)).map(|(x, _)| *x);
        let l = &cost.levelized;
        body.chain([l.p5, l.p10, l.p50, l.p90, l.p95].map(|e| e.value))
    });
    let range = extent(curves.map(|x| x * 100.0));
    let scale = Scale::new(airy(range, 0.03), PLOT.0, PLOT.1);
    // leftmost 90 % point first: its flag stands highest
    series.sort_by(|a, b| a.cost.levelized.p90.value.total_cmp(&b.cost.levelized.p90.value));
    let flags: Vec<Flag> = series.iter().map(|line| worded(&scale, line)).collect();
    let mut pole = frame.top + 4.0;
    let top = pole + flags.iter().map(Flag::height).sum::<f64>() + 4.0;
    let share = Scale::new((0.0, 1.0), top + HEIGHT, top);
    let after = frame.x_axis(&scale, (top, top + HEIGHT), &money_unit(run), Ticks::Plain);
    for (value, text) in LINES {
        if let Some(y) = share.at(value) {
            let (ink, stroke) = if value == 0.9 { (GREY, 1.2) } else { (ink::GRID, 1.0) };
            frame.sheet.line((PLOT.0, y), (PLOT.1, y), ink, stroke);
            frame.sheet.text((PLOT.0 - 6.0, y), Hold::Right, SMALL, GREY, text);
        }
    }
    if let Some(y) = share.at(0.9) {
        frame.sheet.text((PLOT.1 + 8.0, y), Hold::Left, SMALL, GREY, "90 % of trials cost less");
    }
    frame.sheet.text((PLOT.1 + 8.0, top + HEIGHT), Hold::Left, SMALL, GREY, "share of trials");
    for line in &series {
        let (ink, dash) = line.look;
        let places = steps(line.cost, &scale).into_iter().filter_map(|p| scale.place(&share, p)).collect();
        frame.sheet.dashed(places, ink, 2.0, dash);
    }
    for (line, flag) in series.iter().zip(&flags) {
        raise(&mut frame, &scale, share.at(0.9), pole, line, flag);
        pole += flag.height();
    }
    frame.top = after;
    frame
}

/// The curve from one edge of the axis to the other; where it begins or ends between 0 and 1 it jumps.
fn steps(cost: &CostResult, scale: &Scale) -> Vec<(f64, f64)> {
    let curve: Vec<(f64, f64)> =
        cost.cumulative.x.iter().zip(&cost.cumulative.y).map(|(x, y)| (x * 100.0, y.clamp(0.0, 1.0))).collect();
    let inside = clip(&curve, scale.low, scale.high);
    let (Some(first), Some(last)) = (inside.first().copied(), inside.last().copied()) else {
        let all = cost.levelized.mean.value * 100.0;
        let jump = if all.is_finite() { all } else { return vec![] };
        return vec![(scale.low, 0.0), (jump, 0.0), (jump, 1.0), (scale.high, 1.0)];
    };
    let mut points = vec![];
    if first.0 > scale.low {
        points.extend([(scale.low, 0.0), (first.0, 0.0)]);
    }
    points.extend(inside);
    if last.0 < scale.high {
        points.extend([(last.0, 1.0), (scale.high, 1.0)]);
    }
    points
}

impl Flag {
    fn height(&self) -> f64 {
        let more = (self.name.len() + usize::from(self.below)).saturating_sub(1);
        FLAG + WORDS * more as f64
    }
}

/// Where the words of a flag begin.
fn words_at(scale: &Scale, line: &Series) -> f64 {
    scale.at(line.cost.levelized.p90.value * 100.0).unwrap_or(PLOT.0) + POLE
}

/// Lays the words of a flag out: in one line where they fit, otherwise in up to three, so that no name is cut beside
/// free room.
fn worded(scale: &Scale, line: &Series) -> Flag {
    let [_, _, p90] = three_points(&line.cost.levelized);
    let value = format!("{} ct/mol", narrow(&p90, BODY, 76.0));
    let room = RIGHT - words_at(scale, line);
    let name = wrap_bold(&line.name, BODY, room, 2);
    let last = name.last().map_or(0.0, |words| bold_width(words, BODY));
    let below = last + 8.0 + width(&value, BODY) > room;
    Flag { name, value, below }
}

fn raise(frame: &mut Frame, scale: &Scale, ninety: Option<f64>, y: f64, line: &Series, flag: &Flag) {
    let (ink, dash) = line.look;
    if let (Some(x), Some(foot)) = (scale.at(line.cost.levelized.p90.value * 100.0), ninety) {
        frame.sheet.line((x, y), (x, foot), RULE, 0.8);
        frame.sheet.dashed(vec![(x, y), (x + 28.0, y)], ink, 2.0, dash);
        frame.sheet.dot((x, foot), 3.6, ink::PAPER);
        frame.sheet.dot((x, foot), 2.7, ink);
    }
    let left = words_at(scale, line);
    let mut end = (left, y);
    for (i, words) in flag.name.iter().enumerate() {
        let y = y + WORDS * i as f64;
        frame.sheet.bold((left, y), Hold::Left, BODY, ink::BLACK, words);
        end = (left + bold_width(words, BODY) + 8.0, y);
    }
    if flag.below {
        end = (left, end.1 + WORDS);
    }
    frame.sheet.text(end, Hold::Left, BODY, ink::BLACK, &flag.value);
    let [p10, p50, _] = three_points(&line.cost.levelized);
    let value = &flag.value;
    frame.say(format!(
        "{}: 90 % of trials cost less than {value}, half less than {p50}, 10 % less than {p10}.",
        line.name
    ));
}
