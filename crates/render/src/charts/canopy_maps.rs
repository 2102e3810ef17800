//! Readings as maps, one colour scale for all: cards side by side, heights below each other.
//!
//! Belongs here: cells, their shades and numbers, what stands below a map. Does not belong here: means and evenness, which
//! arrive with the numbers.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL};
use super::ink::{self, GREY, Hatch, Place, RULE};
use super::lettering::{fit, width, wrap_bold};
use super::scale::extent;
use super::sheet::Hold;
use crate::canopy::{area_of, count, height_of, points_of};
use crate::number;
use crate::words::{clean, distinct};
use decide::canopy_report::{CanopyReport, CardResult, HeightResult, Point, PointKind};

/// Maps side by side, and most maps on a page.
const ABREAST: usize = 4;
const MOST: usize = 40;
/// Cells of a map on one side that are drawn at most; larger cards are drawn in blocks.
const CELLS: usize = 48;
const GAP: f64 = 18.0;
const LINE: f64 = 13.5;
/// Heights of a map, and sizes of the numbers in its cells.
const TALL: (f64, f64) = (30.0, 300.0);
const SIZES: [f64; 3] = [10.5, 9.0, 8.0];

const HELP: &str = "Each cell is the part of the area for which a reading stands; one scale of shades for all maps: the lighter, the \
                    brighter. Numbers are µmol/m²/s; 542? was smudged, (542) was missing and is filled.";

/// The chart.
pub(super) fn canopy_maps(report: &CanopyReport) -> Result<String, ChartError> {
    let mut frame = Frame::open("Light on the canopy, reading by reading", None, HELP);
    let all = report.cards.iter().flat_map(|card| &card.heights).flat_map(|height| height.rows.iter().flatten());
    let Some(range) = extent(all.map(|point| point.umol_m2_s)) else {
        frame.note("There is nothing to show.");
        return frame.close(caption(report));
    };
    key(&mut frame, range);
    let room = (RIGHT - LEFT - (ABREAST as f64 - 1.0) * GAP) / ABREAST as f64;
    let names = distinct(report.cards.iter().map(|card| card.name.as_str()), |name| fit(name, BODY, 1.6 * room));
    let mut left_over = MOST;
    let mut hidden = 0;
    let bands: Vec<Vec<usize>> =
        (0..report.cards.len()).collect::<Vec<_>>().chunks(ABREAST).map(<[usize]>::to_vec).collect();
    for band in bands {
        let mut heads = 0;
        for (place, k) in band.iter().enumerate() {
            let x = LEFT + place as f64 * (room + GAP);
            let lines = wrap_bold(&names[*k], BODY, room, 2);
            for (i, line) in lines.iter().enumerate() {
                frame.sheet.bold((x, frame.top + 7.0 + 15.0 * i as f64), Hold::Left, BODY, ink::BLACK, line);
            }
            heads = heads.max(lines.len());
        }
        frame.top += 15.0 * heads as f64 + 6.0;
        for heights in rows_of(report, &band) {
            let shown = heights.iter().flatten().count();
            if shown > left_over {
                hidden += shown;
                continue;
            }
            left_over -= shown;
            let mut lowest = frame.top + 16.0;
            for (place, height) in heights.iter().enumerate() {
                let x = LEFT + place as f64 * (room + GAP);
                let Some((card, height)) = height.map(|(k, h)| (&report.cards[k], &report.cards[k].heights[h])) else {
                    frame.sheet.text((x, frame.top + 8.0), Hold::Left, SMALL, GREY, "not read at this height");
                    continue;
                };
                lowest = lowest.max(map(&mut frame, (card, height), (x, room), range));
            }
            frame.top = lowest + 14.0;
        }
    }
    if hidden > 0 {
        frame.note(&format!(
            "{} more are not drawn; their readings are in canopy-points.csv.",
            number::counted(hidden as u64, "map")
        ));
    }
    frame.close(caption(report))
}

fn caption(report: &CanopyReport) -> String {
    let mut told = vec![number::counted(report.cards.len() as u64, "card")];
    told.push("areas drawn to their own scale".to_owned());
    told.push("CV: standard deviation of the whole, weighted by area, over the mean".to_owned());
    if let Some(filling) = &report.filling {
        told.push(format!("missing readings filled by {}", clean(filling)));
    }
    if let Some(height) = report.height_m {
        told.push(format!("brought to {}\u{202f}m", number::significant(height, 4)));
    }
    told.join(" · ")
}

/// Heights of some cards as rows, the highest first: in each row the place of each card's readings at that height, if it has
/// any.
fn rows_of(report: &CanopyReport, band: &[usize]) -> Vec<Vec<Option<(usize, usize)>>> {
    let near = |a: f64, b: f64| (a - b).abs() <= 0.01 * b.abs();
    let mut heights: Vec<f64> = vec![];
    for height in band.iter().flat_map(|k| &report.cards[*k].heights) {
        if !heights.iter().any(|known| near(height.height_m, *known)) {
            heights.push(height.height_m);
        }
    }
    heights.sort_by(|a, b| b.total_cmp(a));
    let mut taken: Vec<(usize, usize)> = vec![];
    heights
        .into_iter()
        .map(|row| {
            let of = |k: &usize| {
                let fits = |h: &usize| near(report.cards[*k].heights[*h].height_m, row) && !taken.contains(&(*k, *h));
                (0..report.cards[*k].heights.len()).find(fits).map(|h| (*k, h))
            };
            let found: Vec<_> = band.iter().map(of).collect();
            taken.extend(found.iter().flatten());
            found
        })
        .collect()
}

/// The scale of shades with its numbers.
fn key(frame: &mut Frame, (low, high): (f64, f64)) {
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

/// One map with what stands below it; hands back where it ends.
fn map(
    frame: &mut Frame,
    (card, height): (&CardResult, &HeightResult),
    (left, room): (f64, f64),
    range: (f64, f64),
) -> f64 {
    let tall = (room * card.across_m / card.along_m).clamp(TALL.0, TALL.1);
    let tall = if tall.is_finite() { tall } else { TALL.0 };
    // a narrow area is drawn narrow
    let wide = (tall * card.along_m / card.across_m).min(room);
    let wide = if wide.is_finite() { wide.max(TALL.0) } else { room };
    let top = frame.top;
    let cells = blocks(&height.rows);
    let is_edged = card.points == "edge_to_edge";
    let xs = edges(cells.first().map_or(0, Vec::len), is_edged, left, wide);
    let ys = edges(cells.len(), is_edged, top, tall);
    let size = number_size(&cells, &xs, &ys);
    for (row, y) in cells.iter().zip(ys.windows(2)) {
        for (point, x) in row.iter().zip(xs.windows(2)) {
            cell(frame, *point, ((x[0], y[0]), (x[1], y[1])), range, size);
        }
    }
    let (right, bottom) = (left + wide, top + tall);
    frame.sheet.path(vec![(left, top), (right, top), (right, bottom), (left, bottom), (left, top)], RULE, 0.8);
    let mean = format!("mean {}\u{202f}µmol/m²/s", number::fixed(height.mean_umol_m2_s, 1));
    let even = format!("min/mean {}, CV {}", number::fixed(height.min_to_mean, 2), number::fixed(height.variation, 2));
    let between = if height.between_m.is_some() { ", worked out" } else { "" };
    let mut lines = vec![
        format!("{} at {}{between}", area_of(card.along_m, card.across_m), height_of(height)),
        format!(
            "{}, {}",
            points_of(&card.points),
            number::counted(height.rows.iter().flatten().count() as u64, "reading")
        ),
        mean,
        even,
    ];
    frame.say(format!("{}: {}.", clean(&card.name), lines.join(", ")));
    for (kind, word) in [(PointKind::Filled, "filled"), (PointKind::Doubtful, "smudged")] {
        let found = count(height, kind);
        if found > 0 {
            lines.push(format!("{} {word}", number::counted(found as u64, "reading")));
        }
    }
    let mut y = bottom + 12.0;
    for (k, line) in lines.iter().enumerate() {
        let line = fit(line, SMALL, room);
        if k == 2 {
            frame.sheet.bold((left, y), Hold::Left, SMALL, ink::BLACK, &fit(&line, SMALL * 1.1, room));
        } else {
            frame.sheet.text((left, y), Hold::Left, SMALL, GREY, &line);
        }
        y += LINE;
    }
    y
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
