//! Densities of the levelized cost, one curve above the other on one scale, each with its numbers beside it.
//!
//! Belongs here: the rows of curves. Does not belong here: the density itself, which arrives as points.

use super::digits::three_points;
use super::frame::{
    BODY, Frame, LEFT, NAMES, RIGHT, Row, SMALL, Ticks, basis, contract_rows, in_title, money_unit, narrow,
    option_names, shared_basis,
};
use super::ink::{self, GREY};
use super::lettering::width;
use super::scale::{Scale, airy, clip, extent};
use super::sheet::Hold;
use super::{ChartError, contract_at, option_at};
use crate::number;
use crate::words::clean;
use decide::result::{CostResult, Estimate, RunResult};

const PLOT: (f64, f64) = (LEFT + NAMES + 20.0, 690.0);
/// Right edges of the three columns of numbers.
const NUMBERS: [(&str, f64); 3] = [("10 %", 768.0), ("median", 850.0), ("90 %", RIGHT)];
/// Less of the peak than this is not worth a place on the axis.
const TAIL: f64 = 0.004;
/// Peaks that differ by more than this would leave the lower ones as lines.
const TOO_UNEQUAL: f64 = 6.0;
/// A scale that is longer than its widest curve by more than this.
const NEEDLE: f64 = 9.0;

const HELP: &str = "Each curve spreads the trials over what a mole came to cost. The dark middle holds 80 % of them, \
                    from the 10 % to the 90 % point; the upright line is the median.";

/// Density of one option's levelized cost, one curve per contract.
///
/// # Errors
/// If there is no such option, or the drawing fails.
pub fn cost_density(run: &RunResult, option: usize) -> Result<String, ChartError> {
    let line = option_at(run, option)?;
    let rows = contract_rows(run, option, line);
    let title = format!("{}: what a mole of light costs under each contract", in_title(&clean(&line.name)));
    rows_of_curves(run, &title, &format!("{HELP} Light counted {}.", basis(line)), rows, true)
}

/// Densities of the levelized cost of all options under one contract, on one scale.
///
/// # Errors
/// If there is no such contract, or the drawing fails.
pub fn densities(run: &RunResult, contract: usize) -> Result<String, ChartError> {
    let line = contract_at(run, contract)?;
    let shared = shared_basis(run);
    let rows = option_names(run)
        .into_iter()
        .zip(&run.options)
        .enumerate()
        .filter_map(|(place, (name, option))| {
            let note = if shared.is_some() { String::new() } else { basis(option) };
            Some(Row { option: place, name, note, cost: option.costs.get(contract)? })
        })
        .collect();
    let title = format!("{}: what a mole of light costs by option", in_title(&clean(&line.name)));
    let help = shared.map_or_else(|| HELP.to_owned(), |basis| format!("{HELP} Light counted {basis}."));
    rows_of_curves(run, &title, &help, rows, false)
}

/// `may_part`: the rows need not be compared on one scale, and part where it would leave needles of them.
fn rows_of_curves(
    run: &RunResult,
    title: &str,
    help: &str,
    rows: Vec<Row>,
    may_part: bool,
) -> Result<String, ChartError> {
    let curves: Vec<Vec<(f64, f64)>> = rows.iter().map(|row| curve(row.cost)).collect();
    let peaks: Vec<f64> = curves.iter().map(|curve| peak(curve)).collect();
    let drawn = extent(peaks.iter().copied().filter(|peak| *peak > 0.0));
    let part = may_part && rows.len() > 1 && needles(&rows, &curves);
    let unequal = part || drawn.is_some_and(|(low, high)| high / low > TOO_UNEQUAL);
    let help = match (part, unequal) {
        (true, _) => format!("{help} Each contract has a scale of its own, which does not begin at 0."),
        (false, true) => format!("{help} Each curve is drawn to its own height."),
        (false, false) => help.to_owned(),
    };
    let mut frame = Frame::new(run, title, &help);
    if rows.is_empty() {
        frame.note("There is nothing to show.");
        return frame.finish(run);
    }
    let pitch = (430.0 / rows.len() as f64).clamp(54.0, 122.0);
    for (head, right) in NUMBERS {
        frame.sheet.text((right, frame.top), Hold::Right, SMALL, GREY, head);
    }
    frame.top += 6.0;
    let over = |rows: &[Row], curves: &[Vec<(f64, f64)>]| Scale::new(airy(range(rows, curves), 0.02), PLOT.0, PLOT.1);
    let shared = over(&rows, &curves);
    let mut base = frame.top;
    let mut after = base;
    if !part {
        after = frame.x_axis(&shared, (base, base + pitch * rows.len() as f64), &money_unit(run), Ticks::Plain);
    }
    for (i, row) in rows.iter().enumerate() {
        base += pitch;
        let mut scale = shared;
        if part {
            scale = over(&rows[i..=i], &curves[i..=i]);
            let unit = if i + 1 == rows.len() { money_unit(run) } else { String::new() };
            after = frame.x_axis(&scale, (base - pitch * 0.9, base), &unit, Ticks::Plain);
        }
        let tallest = if unequal { peaks[i] } else { drawn.map_or(0.0, |(_, high)| high) };
        let height = Scale::new((0.0, tallest), base, base - pitch * 0.86);
        draw_row(&mut frame, &scale, &height, base, pitch, row, &curves[i]);
        base = if part { after } else { base };
    }
    frame.top = after;
    frame.finish(run)
}

/// Whether one scale for all rows would leave little more than upright lines.
fn needles(rows: &[Row], curves: &[Vec<(f64, f64)>]) -> bool {
    let wide = |range: Option<(f64, f64)>| range.map_or(0.0, |(low, high)| high - low);
    let each = (0..rows.len()).map(|i| wide(range(&rows[i..=i], &curves[i..=i])));
    let widest = each.fold(0.0, f64::max);
    widest > 0.0 && widest * NEEDLE < wide(range(rows, curves))
}

fn curve(cost: &CostResult) -> Vec<(f64, f64)> {
    let points = cost.density.x.iter().zip(&cost.density.y).map(|(x, y)| (x * 100.0, *y));
    points.filter(|(x, y)| x.is_finite() && y.is_finite() && *y >= 0.0 && *y < 1e200).collect()
}

fn peak(curve: &[(f64, f64)]) -> f64 {
    if curve.len() < 2 { 0.0 } else { curve.iter().map(|p| p.1).fold(0.0, f64::max) }
}

fn range(rows: &[Row], curves: &[Vec<(f64, f64)>]) -> Option<(f64, f64)> {
    let points = rows.iter().flat_map(|row| {
        let l = &row.cost.levelized;
        [l.p5, l.p10, l.p50, l.p90, l.p95].map(|e| e.value * 100.0)
    });
    let tails = curves.iter().flat_map(|curve| {
        let least = peak(curve) * TAIL;
        curve.iter().filter(move |p| least > 0.0 && p.1 >= least).map(|p| p.0)
    });
    extent(points.chain(tails))
}

fn draw_row(frame: &mut Frame, scale: &Scale, height: &Scale, base: f64, pitch: f64, row: &Row, curve: &[(f64, f64)]) {
    let l = &row.cost.levelized;
    let (p10, p50, p90) = (l.p10.value * 100.0, l.p50.value * 100.0, l.p90.value * 100.0);
    frame.sheet.line((PLOT.0, base), (PLOT.1, base), ink::RULE, 0.6);
    let (ink, dash) = ink::series(row.option);
    if peak(curve) > 0.0 {
        let whole = clip(curve, scale.low, scale.high);
        let (surface, _) = ink::region(row.option);
        fill(frame, scale, height, &whole, ink::paler(surface, 0.6));
        fill(frame, scale, height, &clip(curve, p10, p90), surface);
        let line = whole.iter().filter_map(|p| scale.place(height, *p)).collect();
        frame.sheet.dashed(line, ink, 1.6, dash);
        let middle = clip(curve, p50, f64::INFINITY).first().copied().or_else(|| curve.last().copied());
        let at_median = clip(curve, f64::NEG_INFINITY, p50).last().copied().or(middle);
        if let (Some(x), Some(y)) = (scale.at(p50), at_median.and_then(|p| height.at(p.1))) {
            frame.sheet.line((x, base), (x, y), ink::BLACK, 2.0);
        }
    } else if let Some(x) = scale.at(l.mean.value * 100.0) {
        // a density that is one point has no height of its own
        frame.sheet.line((x, base), (x, base - pitch * 0.6), ink, 3.0);
        let note = if l.sd == 0.0 { "the same in every trial" } else { "no curve was computed" };
        let fits = x + 8.0 + width(note, SMALL) < PLOT.1;
        let (at, hold) = if fits { (x + 8.0, Hold::Left) } else { (x - 8.0, Hold::Right) };
        frame.sheet.text((at, base - pitch * 0.45), hold, SMALL, GREY, note);
    }
    for mark in [p10, p90] {
        if let Some(x) = scale.at(mark) {
            frame.sheet.line((x, base), (x, base + 4.0), ink, 1.4);
        }
    }
    let middle = base - pitch * 0.34;
    frame.row_name(middle, pitch * 0.95, &row.name, &row.note);
    let numbers = three_points(l);
    for (i, ((_, right), text)) in NUMBERS.iter().zip(&numbers).enumerate() {
        let text = narrow(text, BODY, 76.0);
        if i == 1 {
            frame.sheet.bold((*right, middle), Hold::Right, BODY, ink::BLACK, &text);
        } else {
            frame.sheet.text((*right, middle), Hold::Right, BODY, ink::BLACK, &text);
        }
    }
    frame.say(sentence(&row.name, &l.mean, &numbers));
}

fn sentence(name: &str, mean: &Estimate, [p10, p50, p90]: &[String; 3]) -> String {
    format!("{name}: mean {} ct/mol, 10 % point {p10}, median {p50}, 90 % point {p90}.", number::ct(*mean))
}

fn fill(frame: &mut Frame, scale: &Scale, height: &Scale, curve: &[(f64, f64)], ink: ink::Ink) {
    let (Some(first), Some(last)) = (curve.first(), curve.last()) else { return };
    let outline = [(first.0, 0.0)].into_iter().chain(curve.iter().copied()).chain([(last.0, 0.0)]);
    let places = outline.filter_map(|p| scale.place(height, p)).collect();
    frame.sheet.area(places, ink);
}
