//! One map of light readings: its cells, their shades and numbers, and the scale that all maps of a page share.
//!
//! Belongs here: whatever cards and scenarios show alike. Does not belong here: which maps stand where, and what is said below
//! them.

use super::frame::{Frame, LEFT, SMALL};
use super::ink::{self, GREY, Hatch, Place, RULE};
use super::lettering::{fit, width};
use super::sheet::Hold;
use crate::number;
use decide::canopy_report::{Point, PointKind};

/// Cells of a map on one side that are drawn at most; larger ones are drawn in blocks.
const CELLS: usize = 48;
const LINE: f64 = 13.5;
/// Heights of a map, and sizes of the numbers in its cells.
const TALL: (f64, f64) = (30.0, 300.0);
const SIZES: [f64; 3] = [10.5, 9.0, 8.0];

/// Readings over an area.
pub(super) struct Map<'a> {
    /// Row by row.
    pub(super) rows: &'a [Vec<Point>],
    /// Whether they stand from edge to edge of the area, not at the centres of its cells.
    pub(super) is_edged: bool,
    /// Side of the area across the rows over the side along them.
    pub(super) across_over_along: f64,
}

/// The scale of shades with its numbers.
pub(super) fn key(frame: &mut Frame, (low, high): (f64, f64)) {
    const STEPS: usize = 9;
    const WIDE: f64 = 30.0;
    let y = frame.top;
    let unit = "µmol/m²/s";
    frame.sheet.text((LEFT, y + 6.0), Hold::Left, SMALL, GREY, unit);
    let left = LEFT + width(unit, SMALL) + 64.0;
    for step in 0..STEPS {
        let part = step as f64 / (STEPS - 1) as f64;
        let x = left + step as f64 * WIDE;
        frame.sheet.rect((x, y), (x + WIDE, y + 12.0), ink::shade(1.0 - part));
    }
    let right = left + STEPS as f64 * WIDE;
    frame.sheet.path(vec![(left, y), (right, y), (right, y + 12.0), (left, y + 12.0), (left, y)], RULE, 0.8);
    let text = |value: f64| fit(&number::significant(value, 4), SMALL, 58.0);
    frame.sheet.text((left - 5.0, y + 6.0), Hold::Right, SMALL, GREY, &text(low));
    frame.sheet.text((right + 5.0, y + 6.0), Hold::Left, SMALL, GREY, &text(high));
    frame.top += 30.0;
}

/// Draws a map from the frame's height down; hands back where it ends.
pub(super) fn map(frame: &mut Frame, map: &Map, (left, room): (f64, f64), range: (f64, f64)) -> f64 {
    let tall = (room * map.across_over_along).clamp(TALL.0, TALL.1);
    let tall = if tall.is_finite() { tall } else { TALL.0 };
    // a narrow area is drawn narrow
    let wide = (tall / map.across_over_along).min(room);
    let wide = if wide.is_finite() { wide.max(TALL.0) } else { room };
    let top = frame.top;
    let cells = blocks(map.rows);
    let xs = edges(cells.first().map_or(0, Vec::len), map.is_edged, left, wide);
    let ys = edges(cells.len(), map.is_edged, top, tall);
    let size = number_size(&cells, &xs, &ys);
    for (row, y) in cells.iter().zip(ys.windows(2)) {
        for (point, x) in row.iter().zip(xs.windows(2)) {
            cell(frame, *point, ((x[0], y[0]), (x[1], y[1])), range, size);
        }
    }
    let (right, bottom) = (left + wide, top + tall);
    frame.sheet.path(vec![(left, top), (right, top), (right, bottom), (left, bottom), (left, top)], RULE, 0.8);
    bottom
}

/// Lines below a map that ends at a height, one of them bold; hands back where they end.
pub(super) fn words(frame: &mut Frame, bottom: f64, (left, room): (f64, f64), lines: &[String], bold: usize) -> f64 {
    let mut y = bottom + 12.0;
    for (k, line) in lines.iter().enumerate() {
        if k == bold {
            frame.sheet.bold((left, y), Hold::Left, SMALL, ink::BLACK, &fit(line, SMALL * 1.1, room));
        } else {
            frame.sheet.text((left, y), Hold::Left, SMALL, GREY, &fit(line, SMALL, room));
        }
        y += LINE;
    }
    y
}

/// The mean in words, with its unit.
pub(super) fn mean(umol_m2_s: f64) -> String {
    format!("mean {}\u{202f}µmol/m²/s", number::fixed(umol_m2_s, 1))
}

/// Readings as they are drawn: themselves, or the means of blocks where there are too many.
fn blocks(rows: &[Vec<Point>]) -> Vec<Vec<Point>> {
    let longest = rows.len().max(rows.first().map_or(0, Vec::len));
    let side = longest.div_ceil(CELLS).max(1);
    if side == 1 {
        return rows.to_vec();
    }
    let block = |rows: &[Vec<Point>], from: usize| {
        let all: Vec<Point> = rows.iter().flat_map(|row| row.iter().skip(from).take(side)).copied().collect();
        let mean = all.iter().map(|point| point.umol_m2_s).sum::<f64>() / all.len() as f64;
        all.first().map(|first| Point { umol_m2_s: mean, kind: PointKind::Read, ..*first })
    };
    rows.chunks(side)
        .map(|band| (0..band[0].len()).step_by(side).filter_map(|from| block(band, from)).collect())
        .collect()
}

/// Edges of cells: equal ones, or from edge to edge with half cells at both ends.
fn edges(count: usize, is_edged: bool, from: f64, length: f64) -> Vec<f64> {
    let all = count as f64;
    let at = |k: usize| match (k, is_edged && count > 1) {
        (0, _) => 0.0,
        (k, _) if k == count => 1.0,
        (k, true) => (k as f64 - 0.5) / (all - 1.0),
        (k, false) => k as f64 / all,
    };
    (0..=count).map(|k| from + length * at(k)).collect()
}

/// What is written in a cell.
fn written(point: Point) -> String {
    let number = number::fixed(point.umol_m2_s, if point.umol_m2_s < 9.95 { 1 } else { 0 });
    match point.kind {
        PointKind::Filled => format!("({number})"),
        PointKind::Doubtful => format!("{number}?"),
        PointKind::Read | PointKind::Between => number,
    }
}

/// Size of numbers that fit into every cell; none where none does.
fn number_size(cells: &[Vec<Point>], xs: &[f64], ys: &[f64]) -> Option<f64> {
    let narrowest = |edges: &[f64]| edges.windows(2).map(|pair| pair[1] - pair[0]).fold(f64::INFINITY, f64::min);
    let (wide, tall) = (narrowest(xs), narrowest(ys));
    let longest = |size: f64| cells.iter().flatten().map(|point| width(&written(*point), size)).fold(0.0, f64::max);
    SIZES.into_iter().find(|size| longest(*size) + 2.0 <= wide && size * 1.3 <= tall)
}

fn cell(frame: &mut Frame, point: Point, (from, to): (Place, Place), (low, high): (f64, f64), size: Option<f64>) {
    let part = if high > low { (point.umol_m2_s - low) / (high - low) } else { 1.0 };
    if !part.is_finite() {
        frame.sheet.hatch(from, to, Hatch::Crossed, RULE);
        return;
    }
    let surface = ink::shade(1.0 - part);
    frame.sheet.rect(from, to, surface);
    match size {
        Some(size) => {
            let middle = ((from.0 + to.0) / 2.0, (from.1 + to.1) / 2.0);
            frame.sheet.text(middle, Hold::Middle, size, ink::text_on(surface), &written(point));
        }
        None if point.kind == PointKind::Filled => frame.sheet.hatch(from, to, Hatch::Rising, ink::text_on(surface)),
        None if point.kind == PointKind::Doubtful => frame.sheet.hatch(from, to, Hatch::Falling, ink::text_on(surface)),
        None => {}
    }
}
