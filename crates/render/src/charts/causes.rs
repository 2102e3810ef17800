//! What the levelized cost is made of: stacked bars whose pieces carry their names and sums.
//!
//! Belongs here: the bars. Does not belong here: the split by cause, which arrives finished.

use super::frame::{
    BODY, Frame, LEFT, NAMES, RIGHT, Row, SMALL, Ticks, basis, contract_names, contract_rows, in_title, money_unit,
    narrow, option_names, shared_basis,
};
use super::ink::{self, GREY};
use super::lettering::width;
use super::scale::{Scale, extent, from_zero};
use super::sheet::Hold;
use super::{ChartError, option_at};
use crate::number;
use crate::words::clean;
use decide::result::{Cause, CauseLine, CostResult, RunResult};

const PLOT: (f64, f64) = (LEFT + NAMES + 16.0, RIGHT - 70.0);
const BAR: f64 = 34.0;

const HELP: &str = "Each bar is the mean levelized cost of a delivered mole, cut into its causes, in ct/mol; what is \
                    too thin for a name stands below its bar with its pattern, in the order of the bar.";
/// Height of a line below a bar.
const LINE: f64 = 15.0;
/// Size of a sample of a pattern: steps of every hatch show in it.
const SWATCH: (f64, f64) = (17.0, 12.0);

/// One option's levelized cost by cause, a stacked bar per contract.
///
/// # Errors
/// If there is no such option, or the drawing fails.
pub fn cost_by_cause(run: &RunResult, option: usize) -> Result<String, ChartError> {
    let line = option_at(run, option)?;
    let rows = contract_rows(run, option, line);
    let title = format!("{}: where the cost of light comes from", in_title(&clean(&line.name)));
    let mut frame = Frame::new(run, &title, &format!("{HELP} Light counted {}.", basis(line)));
    bars(&mut frame, run, vec![(String::new(), rows)]);
    frame.finish(run)
}

/// The levelized cost of all options by cause, a stacked bar per option, grouped by contract, all on one scale.
///
/// # Errors
/// If the drawing fails.
pub fn costs_by_cause(run: &RunResult) -> Result<String, ChartError> {
    let shared = shared_basis(run);
    let names = option_names(run);
    let groups = contract_names(run)
        .into_iter()
        .enumerate()
        .map(|(i, contract)| {
            let rows = names.iter().zip(&run.options).enumerate().filter_map(|(place, (name, option))| {
                let note = if shared.is_some() { String::new() } else { basis(option) };
                Some(Row { option: place, name: name.clone(), note, cost: option.costs.get(i)? })
            });
            (contract, rows.collect())
        })
        .collect();
    let help = shared.map_or_else(|| HELP.to_owned(), |basis| format!("{HELP} Light counted {basis}."));
    let mut frame = Frame::new(run, "Where the cost of light comes from, all options", &help);
    bars(&mut frame, run, groups);
    frame.finish(run)
}

fn bars(frame: &mut Frame, run: &RunResult, groups: Vec<(String, Vec<Row>)>) {
    let rows = groups.iter().flat_map(|(_, rows)| rows);
    let ends = rows.flat_map(|row| {
        let sum = |sign: f64| pieces(row.cost).map(|c| c.levelized * sign).filter(|v| *v > 0.0).sum::<f64>() * sign;
        [sum(1.0) * 100.0, sum(-1.0) * 100.0, row.cost.levelized.mean.value * 100.0]
    });
    let scale = Scale::new(from_zero(extent(ends), 0.01), PLOT.0, PLOT.1);
    for (heading, rows) in &groups {
        if rows.is_empty() {
            continue;
        }
        if !heading.is_empty() {
            frame.group(heading);
        }
        let top = frame.top;
        // heights first, because the lines of the axis lie under the bars
        let spilled: Vec<Vec<Vec<Thin>>> = rows.iter().map(|row| spill(row.cost, &scale)).collect();
        let pitches: Vec<f64> = spilled.iter().map(|lines| BAR + 16.0 + lines.len() as f64 * LINE).collect();
        let bottom = top + pitches.iter().sum::<f64>();
        let after = frame.x_axis(&scale, (top, bottom), &money_unit(run), Ticks::Plain);
        let mut y = top + 4.0;
        for ((row, lines), pitch) in rows.iter().zip(&spilled).zip(&pitches) {
            bar(frame, &scale, y, row);
            for (i, line) in lines.iter().enumerate() {
                list(frame, y + BAR + 10.0 + LINE * i as f64, line);
            }
            y += pitch;
        }
        frame.top = after + 10.0;
    }
}

fn pieces(cost: &CostResult) -> impl Iterator<Item = &CauseLine> {
    cost.causes.iter().filter(|c| c.levelized.abs() < 1e200 && c.levelized != 0.0)
}

fn amount(piece: &CauseLine, cost: &CostResult) -> String {
    let mean = cost.levelized.mean;
    number::part(piece.levelized * 100.0, mean.value * 100.0, mean.se * 100.0)
}

/// Whether a piece is wide enough for its name and its sum, one below the other.
fn holds_name(piece: &CauseLine, cost: &CostResult, scale: &Scale) -> bool {
    let wide = (PLOT.1 - PLOT.0) * piece.levelized.abs() * 100.0 / (scale.high - scale.low);
    let text = width(piece.cause.label(), SMALL).max(width(&amount(piece, cost), SMALL));
    wide >= text + 8.0
}

/// A piece that is named below its bar.
struct Thin {
    cause: Cause,
    text: String,
}

impl Thin {
    /// Width with its sample, up to the next one.
    fn room(&self) -> f64 {
        SWATCH.0 + 5.0 + width(&self.text, SMALL) + 8.0
    }
}

/// What stands below a bar because its piece is too thin, line by line.
fn spill(cost: &CostResult, scale: &Scale) -> Vec<Vec<Thin>> {
    let mut lines: Vec<Vec<Thin>> = vec![];
    let mut left = 0.0;
    for piece in pieces(cost).filter(|piece| !holds_name(piece, cost, scale)) {
        let thin = Thin { cause: piece.cause, text: format!("{} {}", piece.cause.label(), amount(piece, cost)) };
        let room = thin.room();
        match lines.last_mut() {
            Some(line) if room <= left => line.push(thin),
            _ => {
                lines.push(vec![thin]);
                left = RIGHT - PLOT.0;
            }
        }
        left -= room;
    }
    lines
}

/// Thin pieces side by side, a sample of its pattern before each name: the pieces themselves may be too thin to tell.
fn list(frame: &mut Frame, y: f64, line: &[Thin]) {
    let mut x = PLOT.0 + 1.0;
    for thin in line {
        let (a, b) = ((x, y - SWATCH.1 / 2.0), (x + SWATCH.0, y + SWATCH.1 / 2.0));
        surface(frame, thin.cause, a, b);
        frame.on_paper((b.0 + 5.0, y), Hold::Left, SMALL, GREY, &thin.text, ink::PAPER);
        x += thin.room();
    }
}

/// A rectangle in the colour and the hatch of a cause.
fn surface(frame: &mut Frame, cause: Cause, from: (f64, f64), to: (f64, f64)) {
    let (fill, hatch) = ink::cause(cause);
    frame.sheet.rect(from, to, fill);
    frame.sheet.hatch(from, to, hatch, ink::darker(fill));
}

fn bar(frame: &mut Frame, scale: &Scale, top: f64, row: &Row) {
    let (mut up, mut down) = (0.0, 0.0);
    let mut said = vec![];
    for piece in pieces(row.cost) {
        let part = piece.levelized * 100.0;
        let end = if part > 0.0 { &mut up } else { &mut down };
        let (from, to) = (*end, *end + part);
        *end = to;
        said.push(format!("{} {}", piece.cause.label(), amount(piece, row.cost)));
        let (Some(from), Some(to)) = (scale.at(from), scale.at(to)) else { continue };
        let (left, right) = (from.min(to), from.max(to));
        let (fill, _) = ink::cause(piece.cause);
        surface(frame, piece.cause, (left, top), (right, top + BAR));
        frame.sheet.line((right, top), (right, top + BAR), ink::PAPER, 1.4);
        if holds_name(piece, row.cost, scale) {
            let middle = (left + right) / 2.0;
            let label = piece.cause.label();
            frame.on_paper((middle, top + BAR * 0.3), Hold::Middle, SMALL, ink::BLACK, label, fill);
            frame.on_paper((middle, top + BAR * 0.7), Hold::Middle, SMALL, ink::BLACK, &amount(piece, row.cost), fill);
        }
    }
    if let Some(zero) = scale.at(0.0) {
        frame.sheet.line((zero, top - 2.0), (zero, top + BAR + 2.0), ink::BLACK, 1.0);
    }
    let total = number::ct(row.cost.levelized.mean);
    if let Some(end) = scale.at(up) {
        let text = narrow(&total, BODY, RIGHT - end - 8.0);
        frame.sheet.bold((end + 8.0, top + BAR / 2.0), Hold::Left, BODY, ink::BLACK, &text);
    }
    frame.row_name(top + BAR / 2.0, BAR + 16.0, &row.name, &row.note);
    frame.say(format!("{}: {total} ct/mol in all; {}.", row.name, said.join(", ")));
}
