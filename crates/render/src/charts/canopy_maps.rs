//! Readings as maps, one colour scale for all: cards side by side, heights below each other.
//!
//! Belongs here: which map stands where, what stands below it. Does not belong here: means and evenness, which
//! arrive with the numbers.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL};
use super::ink::{self, GREY};
use super::lettering::{fit, wrap_bold};
use super::ppfd_map::{self, Map, key};
use super::scale::extent;
use super::sheet::Hold;
use crate::canopy::{area_of, count, height_of, points_of};
use crate::number;
use crate::words::{clean, distinct};
use decide::canopy_report::{CanopyReport, CardResult, HeightResult, PointKind};

/// Maps side by side, and most maps on a page.
const ABREAST: usize = 4;
const MOST: usize = 40;
const GAP: f64 = 18.0;

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
    for band in (0..report.cards.len()).collect::<Vec<_>>().chunks(ABREAST) {
        // where there are few cards, heights stand side by side as well
        let across = ABREAST / band.len();
        let place = |block: usize, place: usize| LEFT + (block * band.len() + place) as f64 * (room + GAP);
        let rows = rows_of(report, band);
        let mut heads = 0;
        for block in 0..across.min(rows.len()) {
            for (column, k) in band.iter().enumerate() {
                let lines = wrap_bold(&names[*k], BODY, room, 2);
                for (i, line) in lines.iter().enumerate() {
                    let at = (place(block, column), frame.top + 7.0 + 15.0 * i as f64);
                    frame.sheet.bold(at, Hold::Left, BODY, ink::BLACK, line);
                }
                heads = heads.max(lines.len());
            }
        }
        frame.top += 15.0 * heads as f64 + 6.0;
        for line in rows.chunks(across) {
            let shown = line.iter().flatten().flatten().count();
            if shown > left_over {
                hidden += shown;
                continue;
            }
            left_over -= shown;
            let mut lowest = frame.top + 16.0;
            for (block, heights) in line.iter().enumerate() {
                for (column, height) in heights.iter().enumerate() {
                    let x = place(block, column);
                    let Some((k, h)) = *height else {
                        frame.sheet.text((x, frame.top + 8.0), Hold::Left, SMALL, GREY, "not read at this height");
                        continue;
                    };
                    let card = &report.cards[k];
                    lowest = lowest.max(map(&mut frame, (card, &card.heights[h]), (x, room), range));
                }
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

/// One map with what stands below it; hands back where it ends.
fn map(
    frame: &mut Frame,
    (card, height): (&CardResult, &HeightResult),
    (left, room): (f64, f64),
    range: (f64, f64),
) -> f64 {
    let across_over_along = card.across_m / card.along_m;
    let is_edged = card.points == "edge_to_edge";
    let bottom = ppfd_map::map(frame, &Map { rows: &height.rows, is_edged, across_over_along }, (left, room), range);
    let even = format!("min/mean {}, CV {}", number::fixed(height.min_to_mean, 2), number::fixed(height.variation, 2));
    let between = if height.between_m.is_some() { ", worked out" } else { "" };
    let mut lines = vec![
        format!("{} at {}{between}", area_of(card.along_m, card.across_m), height_of(height)),
        format!(
            "{}, {}",
            points_of(&card.points),
            number::counted(height.rows.iter().flatten().count() as u64, "reading")
        ),
        ppfd_map::mean(height.mean_umol_m2_s),
        even,
    ];
    frame.say(format!("{}: {}.", clean(&card.name), lines.join(", ")));
    for (kind, word) in [(PointKind::Filled, "filled"), (PointKind::Doubtful, "smudged")] {
        let found = count(height, kind);
        if found > 0 {
            lines.push(format!("{} {word}", number::counted(found as u64, "reading")));
        }
    }
    ppfd_map::words(frame, bottom, (left, room), &lines, 2)
}
