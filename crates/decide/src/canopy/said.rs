//! What is said beside the numbers: what was assumed, and what a reader should know.
//!
//! Belongs here: sentences about cards, and what calls for them. Does not belong here: the numbers.

use records::{Card, CardUnit};

use super::{DOUBTFUL, FACTOR, GAIN, LAW_UNTRIED, POINT, SOURCE};
use crate::canopy_report::{CardResult, HeightResult, LikeGroup, PointKind};

/// What a card must say about its points.
pub(super) const POINTS: &str = "points: cell-centred, which is |· · ·| with each reading in the middle of its own cell, and all of them weigh the same; \
     or points: edge-to-edge, which is ·-·-· with the outer readings on the edge of the area, where an edge weighs half and \
     a corner a quarter";

/// What a card in lux must say.
// Thimijan and Heins, HortScience 18(6), 818-822 (1983); read second-hand, in pages that quote the factors
pub(super) const LUX: &str = "µmol/m²/s; or a line lux per µmol/m²/s: with the factor of this spectrum, and then a guess (Thimijan and Heins 1983, \
     quoted second-hand: sun 54, metal halide 71, cool-white fluorescent 74, high-pressure sodium 82; LEDs have none)";

/// Most places of readings that a remark names.
const PLACES: usize = 12;
/// Fewest readings that pass without a word.
const FEW: usize = 9;
/// How far the light's middle may lie off the area's, as a share of the side.
const OFF_MIDDLE: f64 = 0.05;
/// Shortest warm-up that passes without a word, min: common practice, no source.
const WARM: f64 = 15.0;
/// Longest time since a calibration that passes without a word, days: common practice, no source.
const CALIBRATED: i64 = 731;

/// Names of the cards of which something is so.
fn names(cards: &[CardResult], is_so: impl Fn(usize) -> bool) -> Option<String> {
    let names: Vec<&str> = (0..cards.len()).filter(|k| is_so(*k)).map(|k| cards[k].name.as_str()).collect();
    match names.len() {
        0 => None,
        count if count == cards.len() && count > 1 => Some("all cards".into()),
        _ => Some(names.join(", ")),
    }
}

/// What is taken for granted.
pub(super) fn assumptions(written: &[&Card], cards: &[CardResult]) -> Vec<String> {
    let mut told = vec![];
    let mut unstated = |what: &str, percent: f64, stated: &dyn Fn(&Card) -> Option<f64>| {
        if let Some(names) = names(cards, |k| stated(written[k]).is_none()) {
            told.push(format!(
                "{what} of {percent} % (1 standard deviation) for {names}: a judgement without a source"
            ));
        }
    };
    unstated("A gain error", GAIN, &|card| card.gain_error_percent);
    unstated("An error for the kind of light", SOURCE, &|card| card.source_error_percent);
    unstated("An error of a single reading", POINT, &|card| card.point_error_percent);
    if let Some(names) = names(cards, |k| matches!(written[k].unit, CardUnit::Lux { error_percent: None, .. })) {
        told.push(format!(
            "An error of the factor from lux of {FACTOR} % (1 standard deviation) for {names}, as no factor error is stated: a \
             judgement; published factors run from 54 to 82 by kind of light. It cancels only between cards of one factor and \
             one kind of light"
        ));
    }
    if let Some(names) = names(cards, |k| matches!(written[k].unit, CardUnit::Ppfd { is_stated: false })) {
        told.push(format!("Readings in µmol/m²/s for {names}"));
    }
    let any = |kind: PointKind| cards.iter().flat_map(points).any(|(_, _, _, _, found)| found == kind);
    if any(PointKind::Doubtful) {
        told.push(format!(
            "A smudged reading is right to {:.0} % (1 standard deviation): a judgement without a source",
            100.0 * DOUBTFUL
        ));
    }
    let is_between = |card: &CardResult| card.heights.iter().any(|height| height.between_m.is_some());
    if cards.iter().any(is_between) {
        told.push(
            "Between heights the logarithm of PPFD is linear in the logarithm of height, point by point; it holds exactly for \
             the inverse square and for light that does not change"
                .into(),
        );
    }
    if let Some(names) = names(cards, |k| is_between(&cards[k]) && cards[k].held_out.is_empty()) {
        told.push(format!(
            "That law is right to {:.0} % (1 standard deviation) for {names}, where no third height tries it: a judgement \
             without a source",
            100.0 * LAW_UNTRIED
        ));
    }
    told
}

/// Every point of a card: height, row, column, error, kind.
fn points(card: &CardResult) -> impl Iterator<Item = (&HeightResult, usize, usize, f64, PointKind)> {
    card.heights.iter().flat_map(|height| {
        height.rows.iter().enumerate().flat_map(move |(r, row)| {
            row.iter().enumerate().map(move |(c, point)| (height, r, c, point.error, point.kind))
        })
    })
}

/// What a reader should know.
pub(super) fn remarks(written: &[&Card], cards: &[CardResult], groups: &[LikeGroup]) -> Vec<String> {
    let mut told = vec![];
    for (card, written) in cards.iter().zip(written) {
        of_card(&mut told, card, written);
    }
    if cards.len() > 1 {
        if let Some(names) = names(cards, |k| cards[k].sensor.is_none()) {
            told.push(format!("No meter is named for {names}: nothing of its error is taken to cancel in a ratio"));
        }
        if let Some(names) = names(cards, |k| cards[k].source.is_none()) {
            told.push(format!("No kind of light is named for {names}: its part of the error is not taken to cancel"));
        }
    }
    let mut seen = vec![];
    for ratio in groups.iter().flat_map(|group| &group.ratios).filter(|ratio| !ratio.unlike.is_empty()) {
        let pair = (ratio.a.0, ratio.b.0);
        if !seen.contains(&pair) {
            seen.push(pair);
            let (a, b) = (&cards[pair.0].name, &cards[pair.1].name);
            told.push(format!(
                "{a} and {b} were not alike when they were read ({}): their ratio is that of the two as they \
                               were, not of their kinds",
                ratio.unlike.join("; ")
            ));
        }
    }
    told
}

fn of_card(told: &mut Vec<String>, card: &CardResult, written: &Card) {
    let name = &card.name;
    let (rows, columns) = written.layout();
    if rows * columns < FEW {
        told.push(format!(
            "{name}: {} readings are few; a mean of fewer than {FEW} may miss what lies between them",
            rows * columns
        ));
    } else if rows == 1 || columns == 1 {
        told.push(format!("{name}: one line of readings says nothing of what lies beside it"));
    }
    if let Some(factor) = card.lux_per_ppfd {
        told.push(format!(
            "{name}: readings in lux were divided by {factor}; such a factor belongs to one spectrum, so everything here is a guess"
        ));
    }
    for (kind, said) in [(PointKind::Filled, "filled"), (PointKind::Doubtful, "smudged, used with a wider error")] {
        for height in &card.heights {
            let places: Vec<String> = points(card)
                .filter(|(at, _, _, _, found)| std::ptr::eq(*at, height) && *found == kind)
                .map(|(_, r, c, error, _)| format!("row {} reading {} (± {:.0} %)", r + 1, c + 1, 100.0 * error))
                .collect();
            if !places.is_empty() {
                let shown = places[..places.len().min(PLACES)].join(", ");
                let more = match places.len().saturating_sub(PLACES) {
                    0 => String::new(),
                    more => format!(" and {more} more"),
                };
                told.push(format!("{name} at {:.2} m: {said}: {shown}{more}", height.height_m));
            }
        }
    }
    if let Some(height) = card.heights.first()
        && let Some(off) = off_middle(height).filter(|off| *off > OFF_MIDDLE)
    {
        told.push(format!(
            "{name} at {:.2} m: the middle of the light lies {:.0} % of the side off the middle of the area; perhaps the fixture \
             did not hang over it",
            height.height_m,
            100.0 * off
        ));
    }
    if let (Some(calibrated), Some(measured)) = (&written.calibrated, &written.measured) {
        let (fewest, most) = calibrated.value.days_until(measured.value);
        if most < 0 {
            told.push(format!("{name}: the meter was calibrated after it was used"));
        } else if fewest > CALIBRATED {
            told.push(format!("{name}: the meter's calibration was more than two years old"));
        }
    }
    if written.warm_up_min.is_some_and(|minutes| minutes < WARM) {
        told.push(format!(
            "{name}: lamps were read after less than {WARM:.0} minutes; arc lamps are not at full light by then"
        ));
    }
    for held in &card.held_out {
        told.push(format!(
            "{name}: left out and foretold from the heights around it, the mean at {:.2} m comes out {} off, its worst point {}",
            held.height_m,
            signed(held.mean_off),
            signed(held.worst_off)
        ));
    }
}

/// A change in per cent, with its sign.
pub(super) fn signed(share: f64) -> String {
    format!("{:+.1}\u{202f}%", 100.0 * share).replace('-', "\u{2212}")
}

/// How far the middle of the light lies off the middle of the area, as a share of the side on which it is farthest off.
fn off_middle(height: &HeightResult) -> Option<f64> {
    let (rows, columns) = (height.rows.len(), height.rows.first()?.len());
    let (mut sum, mut down, mut along) = (0.0, 0.0, 0.0);
    let place = |k: usize, count: usize| if count < 2 { 0.0 } else { k as f64 / (count - 1) as f64 - 0.5 };
    for (r, row) in height.rows.iter().enumerate() {
        for (c, point) in row.iter().enumerate() {
            let light = point.umol_m2_s * point.share;
            sum += light;
            down += light * place(r, rows);
            along += light * place(c, columns);
        }
    }
    Some((down / sum).abs().max((along / sum).abs()))
}
