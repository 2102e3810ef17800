//! Readings of the options' light as maps, one colour scale for all, as the scenario states them.
//!
//! Belongs here: which map stands where, what stands below it. Does not belong here: cells and shades (`ppfd_map`).

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, RIGHT, option_names};
use super::ink::{self, RULE};
use super::lettering::wrap_bold;
use super::ppfd_map::{self, Map};
use super::scale::extent;
use super::sheet::Hold;
use crate::canopy::points_of;
use crate::number;
use decide::canopy_report::{Point, PointKind};
use decide::result::{LightReadings, RunResult};

/// Maps side by side.
const ABREAST: usize = 4;
const GAP: f64 = 18.0;
const NAME_LINE: f64 = 15.0;
/// A sample of an option's surface before its name.
const SWATCH: f64 = 12.0;

const HELP: &str = "Under one new fixture of each option, as the scenario states it: each cell is the part of the area for which a \
                    reading stands. One scale of shades for all maps: the lighter, the brighter. Maps may be compared where area \
                    and height are the same.";

/// The maps of all options that state a grid; none where none does.
pub(super) fn option_maps(run: &RunResult) -> Option<Result<String, ChartError>> {
    let names = option_names(run);
    let stated = run.options.iter().enumerate().filter_map(|(k, option)| Some((k, option.readings.as_ref()?)));
    let stated: Vec<(usize, &LightReadings)> = stated.collect();
    let range = extent(stated.iter().flat_map(|(_, read)| read.umol_m2_s.iter().flatten().copied()))?;
    let mut frame = Frame::new(run, "Light under one fixture, option by option", HELP);
    ppfd_map::key(&mut frame, range);
    let room = (RIGHT - LEFT - (ABREAST as f64 - 1.0) * GAP) / ABREAST as f64;
    for line in stated.chunks(ABREAST) {
        let heads: Vec<Vec<String>> =
            line.iter().map(|(k, _)| wrap_bold(&names[*k], BODY, room - SWATCH - 6.0, 2)).collect();
        let rows = heads.iter().map(Vec::len).max().unwrap_or(0);
        let at = |column: usize| LEFT + column as f64 * (room + GAP);
        for (column, (head, (k, _))) in heads.iter().zip(line).enumerate() {
            let (x, y) = (at(column), frame.top + 7.0);
            let (from, to) = ((x, y - SWATCH / 2.0), (x + SWATCH, y + SWATCH / 2.0));
            let (surface, hatch) = ink::region(*k);
            frame.sheet.rect(from, to, surface);
            frame.sheet.hatch(from, to, hatch, ink::region_lines(surface));
            frame.sheet.path(vec![from, (to.0, from.1), to, (from.0, to.1), from], RULE, 0.8);
            for (i, words) in head.iter().enumerate() {
                let at = (to.0 + 6.0, y + NAME_LINE * i as f64);
                frame.sheet.bold(at, Hold::Left, BODY, ink::BLACK, words);
            }
        }
        frame.top += NAME_LINE * rows as f64 + 6.0;
        let mut lowest = frame.top;
        for (column, (k, read)) in line.iter().enumerate() {
            lowest = lowest.max(one(&mut frame, &names[*k], read, (at(column), room), range));
        }
        frame.top = lowest + 14.0;
    }
    let without: Vec<&str> =
        names.iter().zip(&run.options).filter(|(_, o)| o.readings.is_none()).map(|(name, _)| name.as_str()).collect();
    if !without.is_empty() {
        frame.note(&format!("Without a grid of readings: {}.", without.join(", ")));
    }
    frame.note("Only the area is stated, not its sides: readings are drawn equally far apart both ways.");
    Some(frame.finish(run))
}

/// One option's map with what stands below it; hands back where it ends.
fn one(frame: &mut Frame, name: &str, read: &LightReadings, (left, room): (f64, f64), range: (f64, f64)) -> f64 {
    let is_edged = read.points == "edge_to_edge";
    let (rows, columns) = (read.umol_m2_s.len(), read.umol_m2_s.first().map_or(0, Vec::len));
    let side = |count: usize| if is_edged { count.saturating_sub(1) } else { count }.max(1) as f64;
    let point = |umol_m2_s: &f64| Point { umol_m2_s: *umol_m2_s, share: 0.0, error: 0.0, kind: PointKind::Read };
    let points: Vec<Vec<Point>> = read.umol_m2_s.iter().map(|row| row.iter().map(point).collect()).collect();
    let map = Map { rows: &points, is_edged, across_over_along: side(rows) / side(columns) };
    let bottom = ppfd_map::map(frame, &map, (left, room), range);
    let lines = [
        ppfd_map::mean(read.mean_umol_m2_s),
        format!("min/mean {}", number::fixed(read.min_to_mean, 2)),
        format!("{:.2}\u{202f}m² at {:.2}\u{202f}m", read.area_m2, read.height_m),
        format!("{columns} × {rows} readings, {}", points_of(&read.points)),
    ];
    frame.say(format!("{name}: {}.", lines.join(", ")));
    ppfd_map::words(frame, bottom, (left, room), &lines, 0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    #[test]
    fn options_without_a_grid_are_named_and_none_at_all_draw_nothing() {
        let mut run = sample::realistic();
        let svg = option_maps(&run).unwrap().unwrap();
        for needed in ["Without a grid of readings: ", "mean 640.0\u{202f}µmol/m²/s", "min/mean 0.50", "3 × 2 readings"]
        {
            assert!(svg.contains(needed), "{needed}");
        }
        for option in &mut run.options {
            option.readings = None;
        }
        assert!(option_maps(&run).is_none());
    }
}
