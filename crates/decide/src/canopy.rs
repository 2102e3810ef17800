//! What reading cards say: light into an area, how sure it is, which cards may be compared.
//!
//! Belongs here: what a card must say before its readings mean anything, and what is assumed where it does not. Does not
//! belong here: the text of cards (`records`), sums over readings (the crate `canopy`), words and layout (`render`).

mod compare;
mod said;
mod whole;

pub use ::canopy::Filling;
use ::canopy::{Evenness, Grid, Level, MeterError, Points, held_out};
use records::{Card, CardPoints, CardUnit, Cell, Flaws, Sides};
use units::{Area, Hours, Power};

use crate::canopy_report::{
    CANOPY_FORMAT, CanopyReport, CardResult, ErrorParts, HeightResult, HeldOutHeight, Point, PointKind,
};
use whole::{Whole, Wrong, at, whole};

/// What is asked of the cards.
#[derive(Debug, Clone, PartialEq)]
pub struct CanopyOrder {
    /// Hours of light a day.
    pub hours_a_day: f64,
    /// Where they come from.
    pub hours_from: String,
    /// PPFD under which an area is counted, µmol/m²/s.
    pub target: Option<f64>,
    /// Height to which all cards are brought, m.
    pub height_m: Option<f64>,
    /// How missing readings are filled; they are refused when absent.
    pub filling: Option<Filling>,
    /// Whether smudged readings are filled as well.
    pub fill_doubtful: bool,
}

/// Standard deviations where a card states none, %: a judgement without a source.
const GAIN: f64 = 5.0;
const SOURCE: f64 = 3.0;
const POINT: f64 = 2.0;
/// The same for the factor of a card in lux: published factors run from 54 to 82 by kind of light, and those of one kind
/// differ between lamps and meters.
const FACTOR: f64 = 10.0;
/// Standard deviation of a smudged reading, as a share of it: a judgement without a source.
const DOUBTFUL: f64 = 0.10;
/// Standard deviation of the law between heights where no height could be left out to try it: a judgement without a source.
const LAW_UNTRIED: f64 = 0.03;
/// Days of a year, for moles.
const DAYS: f64 = 365.0;

/// Says what light the cards tell of; each card comes with the name of its file.
///
/// # Errors
/// What cannot be judged on which card, by its place.
pub fn canopy(
    cards: &[(String, Card)],
    order: &CanopyOrder,
    program: &str,
) -> Result<CanopyReport, Vec<(usize, Flaws)>> {
    let (mut results, mut faulty) = (vec![], vec![]);
    for (k, (file, card)) in cards.iter().enumerate() {
        match judge(file, card, order) {
            Ok(result) => results.push(result),
            Err(flaws) => faulty.push((k, flaws)),
        }
    }
    if !faulty.is_empty() {
        return Err(faulty);
    }
    let groups = compare::groups(&results);
    let written: Vec<&Card> = cards.iter().map(|(_, card)| card).collect();
    Ok(CanopyReport {
        format: CANOPY_FORMAT.into(),
        program: program.into(),
        hours_a_day: order.hours_a_day,
        hours_from: order.hours_from.clone(),
        target_umol_m2_s: order.target,
        height_m: order.height_m,
        filling: order.filling.map(|filling| way(filling).to_owned()),
        differ_in: compare::differ_in(&groups),
        assumptions: said::assumptions(&written, &results),
        remarks: said::remarks(&written, &results, &groups),
        cautions: plan::at_the_bench(),
        cards: results,
        groups,
    })
}

/// The word for a way of filling.
fn way(filling: Filling) -> &'static str {
    match filling {
        Filling::Symmetry => "symmetry",
        Filling::Neighbours => "neighbours",
    }
}

/// Where points stand, in the words of a report.
pub(crate) fn word(points: Points) -> &'static str {
    match points {
        Points::CellCentred => "cell_centred",
        Points::EdgeToEdge => "edge_to_edge",
    }
}

fn meant(points: CardPoints) -> Points {
    match points {
        CardPoints::CellCentred => Points::CellCentred,
        CardPoints::EdgeToEdge => Points::EdgeToEdge,
    }
}

fn judge(file: &str, card: &Card, order: &CanopyOrder) -> Result<CardResult, Flaws> {
    let mut flaws = Flaws::default();
    let factor = match card.unit {
        CardUnit::Ppfd { .. } => 1.0,
        CardUnit::Lux { per_ppfd: Some(factor), .. } => factor,
        CardUnit::Lux { per_ppfd: None, .. } => {
            flaws.add(0, "unit", "lux, which weighs light as the eye does and not as a leaf", said::LUX);
            1.0
        }
    };
    let Some(points) = card.points else {
        flaws.add(0, "points", format!("nothing{}", both_means(card, factor)), said::POINTS);
        return Err(flaws);
    };
    let wholes: Vec<Whole> = card.heights.iter().map(|block| whole(card, block, factor, order, &mut flaws)).collect();
    let sides = card.sides_if(points).unwrap_or(Sides { along: f64::NAN, across: f64::NAN });
    let area = Area::from_square_metres(sides.along * sides.across);
    let points = meant(points);
    for (block, whole) in card.heights.iter().zip(&wholes) {
        match Grid::new(whole.rows.clone(), points, area) {
            Err(bad) => bad.into_iter().for_each(|bad| flaws.add(block.line, "height", bad.found, bad.allowed)),
            Ok(grid) if !(grid.mean().umol_per_m2_s() >= 0.001) => {
                flaws.add(block.line, "height", "no light at all", "a mean of at least 0.001 µmol/m²/s");
            }
            Ok(_) => {}
        }
    }
    if !(area.square_metres() >= 1e-4 && area.square_metres() <= 1e6) {
        let found = format!("an area of {} m²", area.square_metres());
        flaws.add(0, "spacing", found, "0.0001 to 1 000 000 m²; edge to edge needs two readings a side");
    }
    flaws.or(())?;
    let levels: Vec<Level> =
        wholes.iter().map(|whole| Level { height: whole.height, rows: whole.rows.clone() }).collect();
    let weights: Vec<f64> = Grid::new(levels[0].rows.clone(), points, area)
        .map(|grid| grid.weighted().into_iter().map(|(_, share)| share).collect())
        .unwrap_or_default();
    let held: Vec<HeldOutHeight> = held_out(&levels, &weights)
        .into_iter()
        .map(|held| HeldOutHeight { height_m: held.height, mean_off: held.mean_off, worst_off: held.worst_off })
        .collect();
    let shown = match order.height_m {
        None => wholes.into_iter().map(|whole| (whole, None)).collect(),
        Some(height) => vec![at(height, wholes, &levels).map_err(|bad| {
            let mut flaws = Flaws::default();
            flaws.add(0, "height", bad.found, bad.allowed);
            flaws
        })?],
    };
    let stated = |percent: Option<f64>, assumed: f64| percent.unwrap_or(assumed) / 100.0;
    let law = held.iter().map(|held| held.mean_off.abs()).fold(f64::NAN, f64::max);
    let meter = |is_between: bool| MeterError {
        gain: stated(card.gain_error_percent, GAIN),
        source: stated(card.source_error_percent, SOURCE),
        factor: match card.unit {
            CardUnit::Lux { error_percent, .. } => stated(error_percent, FACTOR),
            CardUnit::Ppfd { .. } => 0.0,
        },
        points: 0.0,
        law: if !is_between {
            0.0
        } else if law.is_nan() {
            LAW_UNTRIED
        } else {
            law
        },
    };
    let heights = shown
        .into_iter()
        .filter_map(|(whole, between)| {
            let grid = Grid::new(whole.rows.clone(), points, area).ok()?;
            let other = match points {
                Points::CellCentred => CardPoints::EdgeToEdge,
                Points::EdgeToEdge => CardPoints::CellCentred,
            };
            let other = card.sides_if(other).map_or(f64::NAN, |sides| sides.along * sides.across);
            let known = Known { between_m: between, area_other_way_m2: other, card, order };
            Some(height_result(&grid, points, &whole, known, meter(between.is_some())))
        })
        .collect();
    Ok(CardResult {
        name: card.fixture.clone(),
        file: file.to_owned(),
        source: card.source.clone(),
        sensor: card.sensor.clone(),
        calibrated: card.calibrated.as_ref().map(|day| day.text.clone()),
        measured: card.measured.as_ref().map(|day| day.text.clone()),
        lamp_hours_h: card.lamp_hours_h,
        since_cleaning_d: card.since_cleaning_d,
        warm_up_min: card.warm_up_min,
        wall_power_w: card.wall_power_w,
        lux_per_ppfd: if let CardUnit::Lux { per_ppfd, .. } = card.unit { per_ppfd } else { None },
        note: card.note.clone(),
        points: word(points).into(),
        along_m: sides.along,
        across_m: sides.across,
        area_m2: area.square_metres(),
        grade: if matches!(card.unit, CardUnit::Lux { .. }) { "guess" } else { "measured" }.into(),
        heights,
        held_out: held,
    })
}

/// What the mean would be either way, for a card that does not say where its points stand.
fn both_means(card: &Card, factor: f64) -> String {
    let Some(block) = card.heights.first() else { return String::new() };
    let number = |cell: &Cell| cell.number().map(|number| number / factor);
    let rows: Option<Vec<Vec<f64>>> = block.rows.iter().map(|row| row.iter().map(number).collect()).collect();
    let Some(grid) = rows.and_then(|rows| Grid::new(rows, Points::CellCentred, Area::from_square_metres(1.0)).ok())
    else {
        return String::new();
    };
    let (rows, columns) = card.layout();
    let mean = |points| grid.mean_if(points).umol_per_m2_s();
    let cells = mean(Points::CellCentred);
    if rows < 2 || columns < 2 {
        return format!("; the mean is {cells:.1} µmol/m²/s if cell-centred");
    }
    let edges = mean(Points::EdgeToEdge);
    let flux = |points, mean: f64| card.sides_if(points).map(|sides| mean * sides.along * sides.across);
    let fluxes = match (flux(CardPoints::CellCentred, cells), flux(CardPoints::EdgeToEdge, edges)) {
        (Some(a), Some(b)) => format!("; the flux is {a:.0} or {b:.0} µmol/s ({})", said::signed(b / a - 1.0)),
        _ => String::new(),
    };
    let more = said::signed(edges / cells - 1.0);
    format!("; the mean is {cells:.1} µmol/m²/s if cell-centred, {edges:.1} if edge-to-edge ({more}){fluxes}")
}

/// What is known of the readings at a height beside themselves.
struct Known<'a> {
    between_m: Option<(f64, f64)>,
    area_other_way_m2: f64,
    card: &'a Card,
    order: &'a CanopyOrder,
}

fn height_result(grid: &Grid, points: Points, whole: &Whole, known: Known, meter: MeterError) -> HeightResult {
    let Known { between_m, area_other_way_m2, card, order } = known;
    let other = match points {
        Points::CellCentred => Points::EdgeToEdge,
        Points::EdgeToEdge => Points::CellCentred,
    };
    let is_line = whole.rows.len() < 2 || whole.rows[0].len() < 2;
    let weighted = grid.weighted();
    let with = |pick: fn(&Wrong) -> f64| {
        let errors = whole.errors.iter().flatten().map(pick);
        weighted.iter().zip(errors).map(|((reading, share), error)| (*reading, *share, error)).collect::<Vec<_>>()
    };
    let left = MeterError::points_of(with(|wrong| wrong.own)).hypot(MeterError::common_of(with(|wrong| wrong.common)));
    let error = MeterError { points: left, ..meter };
    let mut shares = weighted.iter().map(|(_, share)| *share);
    let rows = whole
        .rows
        .iter()
        .enumerate()
        .map(|(r, row)| {
            let point = |(c, reading): (usize, &f64)| Point {
                umol_m2_s: *reading,
                share: shares.next().unwrap_or(0.0),
                error: whole.errors[r][c].all(),
                kind: whole.kinds[r][c],
            };
            row.iter().enumerate().map(point).collect()
        })
        .collect();
    let (mean, flux) = (grid.mean(), grid.flux());
    let day = Hours::from_hours(order.hours_a_day);
    // light of a day on each square metre
    let on_a_metre = (mean * Area::from_square_metres(1.0)).for_time(day);
    let Evenness { least, most, min_to_mean, min_to_max, max_to_mean, variation, p10 } = grid.evenness();
    // a line of readings has no area from edge to edge
    let mean_other_way = (!is_line).then(|| grid.mean_if(other));
    let area_other_way = Area::from_square_metres(area_other_way_m2);
    let is_guess = between_m.is_some()
        || matches!(card.unit, CardUnit::Lux { .. })
        || whole.kinds.iter().flatten().any(|kind| *kind == PointKind::Filled);
    HeightResult {
        height_m: whole.height,
        grade: if is_guess { "guess" } else { "measured" }.into(),
        between_m,
        rows,
        mean_umol_m2_s: mean.umol_per_m2_s(),
        mean_other_way_umol_m2_s: mean_other_way.map(|mean| mean.umol_per_m2_s()),
        flux_umol_s: flux.umol_per_s(),
        area_other_way_m2: mean_other_way.map(|_| area_other_way_m2),
        flux_other_way_umol_s: mean_other_way.map(|mean| (mean * area_other_way).umol_per_s()),
        efficacy_umol_j: card.wall_power_w.map(|watts| (flux / Power::from_watts(watts)).umol_per_j()),
        dli_mol_m2_d: on_a_metre.mol(),
        moles_a_year_mol: flux.for_time(day * DAYS).mol(),
        least_umol_m2_s: least,
        most_umol_m2_s: most,
        min_to_mean,
        min_to_max,
        max_to_mean,
        variation,
        p10_umol_m2_s: p10,
        share_below_target: order.target.map(|target| grid.share_below(target)),
        error: ErrorParts {
            gain: error.gain,
            source: error.source,
            factor: error.factor,
            points: error.points,
            law: error.law,
            total: error.total(),
        },
    }
}

#[cfg(test)]
mod tests;
