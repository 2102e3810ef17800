//! Blocks of readings made whole: holes filled, heights brought between, and the errors of each reading.
//!
//! Belongs here: what each reading is and how wrong it may be. Does not belong here: what they come to together (`canopy`
//! above), how a hole is guessed (the crate `canopy`).

use std::collections::BTreeMap;

use ::canopy::{Filled, Filling, Level, at_height, fill};
use records::{Card, Cell, Flaws};

use super::{CanopyOrder, DOUBTFUL, POINT};
use crate::canopy_report::PointKind;

/// A height with every reading there.
pub(super) struct Whole {
    /// Height, m.
    pub(super) height: f64,
    /// Readings, µmol/m²/s.
    pub(super) rows: Vec<Vec<f64>>,
    /// What each may be wrong by on its own, as a share of it.
    pub(super) errors: Vec<Vec<Wrong>>,
    /// How each came about.
    pub(super) kinds: Vec<Vec<PointKind>>,
}

/// Standard deviations of a reading, as shares of it.
#[derive(Clone, Copy)]
pub(super) struct Wrong {
    /// What it has to itself.
    pub(super) own: f64,
    /// What it has in common with all others of its card that were guessed from readings around them: at a peak every
    /// such guess is too low, in a hollow too high.
    pub(super) common: f64,
}

impl Wrong {
    fn own(own: f64) -> Self {
        Self { own, common: 0.0 }
    }

    /// Both together.
    pub(super) fn all(self) -> f64 {
        self.own.hypot(self.common)
    }
}

/// A block of a card with missing readings filled, in µmol/m²/s.
pub(super) fn whole(
    card: &Card,
    block: &records::HeightBlock,
    factor: f64,
    order: &CanopyOrder,
    flaws: &mut Flaws,
) -> Whole {
    let point = card.point_error_percent.unwrap_or(POINT) / 100.0;
    let is_hole = |cell: Cell| match cell {
        Cell::Missing => true,
        Cell::Doubtful(_) => order.fill_doubtful && order.filling.is_some(),
        Cell::Read(_) => false,
    };
    let holed: Vec<Vec<Option<f64>>> = block
        .rows
        .iter()
        .map(|row| row.iter().map(|cell| cell.number().filter(|_| !is_hole(*cell)).map(|n| n / factor)).collect())
        .collect();
    let filled: Vec<Filled> = match order.filling {
        Some(filling) => fill(&holed, filling).unwrap_or_else(|hole| {
            let allowed = match filling {
                Filling::Symmetry => {
                    "a reading there, because its mirror images are missing as well (or it is the middle)"
                }
                Filling::Neighbours => "a reading there, because too few readings around it are left",
            };
            flaws.add(block.line, "height", missing(hole.row, hole.column), allowed);
            vec![]
        }),
        None => {
            for (row, cells) in holed.iter().enumerate() {
                for column in (0..cells.len()).filter(|column| cells[*column].is_none()) {
                    let allowed = "every reading; or --fill symmetry, or --fill neighbours, which guess it, widen its error \
                                   and say so";
                    flaws.add(block.line, "height", missing(row, column), allowed);
                }
            }
            vec![]
        }
    };
    let filled: BTreeMap<(usize, usize), Filled> = filled.into_iter().map(|f| ((f.row, f.column), f)).collect();
    let mut whole = Whole { height: block.height_m, rows: vec![], errors: vec![], kinds: vec![] };
    for (r, row) in block.rows.iter().enumerate() {
        let (mut readings, mut errors, mut kinds) = (vec![], vec![], vec![]);
        for (c, cell) in row.iter().enumerate() {
            let (reading, error, kind) = match (holed[r][c], filled.get(&(r, c))) {
                (Some(reading), _) if matches!(cell, Cell::Doubtful(_)) => {
                    (reading, Wrong::own(point.hypot(DOUBTFUL)), PointKind::Doubtful)
                }
                (Some(reading), _) => (reading, Wrong::own(point), PointKind::Read),
                (None, Some(filled)) => {
                    let wrong = match order.filling {
                        Some(Filling::Neighbours) => Wrong { own: point, common: filled.error },
                        _ => Wrong::own(point.hypot(filled.error)),
                    };
                    (filled.reading, wrong, PointKind::Filled)
                }
                // it has been told
                (None, None) => (0.001, Wrong::own(0.0), PointKind::Filled),
            };
            readings.push(reading);
            errors.push(error);
            kinds.push(kind);
        }
        whole.rows.push(readings);
        whole.errors.push(errors);
        whole.kinds.push(kinds);
    }
    whole
}

fn missing(row: usize, column: usize) -> String {
    format!("reading {} of row {} is missing", column + 1, row + 1)
}

/// A height that cannot be had.
pub(super) struct Refused {
    pub(super) found: String,
    pub(super) allowed: String,
}

/// The readings at a height, measured or between two that were.
pub(super) fn at(
    height: f64,
    mut wholes: Vec<Whole>,
    levels: &[Level],
) -> Result<(Whole, Option<(f64, f64)>), Refused> {
    let found = at_height(levels, height).map_err(|bad| {
        let (low, high) = bad.allowed;
        let up = |height: f64| (height * 1e3 - 1e-6).ceil() / 1e3;
        let allowed = match levels {
            [only] => format!("{} m, the only height on this card, because one height foretells no other", only.height),
            // rounded inwards, so that what is allowed is
            _ => format!("{:.3} to {:.3} m on this card, 5 % of the span beyond its ends at most", up(low), -up(-high)),
        };
        Refused { found: format!("--height {height} m"), allowed }
    })?;
    let Some((a, b, part)) = found.from else {
        return Ok((wholes.swap_remove(found.measured.unwrap_or(0)), None));
    };
    let error = |r: usize, c: usize| {
        let (near, far) = (wholes[a].errors[r][c], wholes[b].errors[r][c]);
        Wrong {
            own: ((1.0 - part) * near.own).hypot(part * far.own),
            // guesses at both heights err to the same side
            common: ((1.0 - part) * near.common).abs() + (part * far.common).abs(),
        }
    };
    let kind = |r: usize, c: usize| {
        let was = |kind| [a, b].iter().any(|k| wholes[*k].kinds[r][c] == kind);
        let worse = [PointKind::Filled, PointKind::Doubtful].into_iter().find(|kind| was(*kind));
        worse.unwrap_or(PointKind::Between)
    };
    let shape = |row: &Vec<f64>| 0..row.len();
    let rows = || found.rows.iter().enumerate();
    let errors = rows().map(|(r, row)| shape(row).map(|c| error(r, c)).collect()).collect();
    let kinds = rows().map(|(r, row)| shape(row).map(|c| kind(r, c)).collect()).collect();
    let between = (levels[a].height, levels[b].height);
    Ok((Whole { height, errors, kinds, rows: found.rows }, Some(between)))
}
