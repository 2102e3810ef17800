//! A grid of readings: its checks, its weights, its mean and its flux.
//!
//! Belongs here: what a mean is over. Does not belong here: how evenly it is spread (`evenness`).

use std::fmt;

use units::{Area, PhotonFlux, Ppfd};

/// Where the readings of a grid stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Points {
    /// At the centres of equal cells that tile the area: every reading weighs the same.
    CellCentred,
    /// From edge to edge of the area: trapezoid weights, corner 1/4, edge 1/2, inside 1.
    EdgeToEdge,
}

/// A clipboard of PPFD readings over a rectangle.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    rows: Vec<Vec<f64>>,
    points: Points,
    area: Area,
}

/// Why readings make no grid.
#[derive(Debug, Clone, PartialEq)]
pub struct BadGrid {
    /// Row at fault, first is 0.
    pub row: usize,
    /// Column at fault, first is 0; absent when the row as a whole is at fault.
    pub column: Option<usize>,
    /// What was found.
    pub found: String,
    /// What is allowed.
    pub allowed: &'static str,
}

impl fmt::Display for BadGrid {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "row {}: {}; allowed: {}", self.row + 1, self.found, self.allowed)
    }
}

impl std::error::Error for BadGrid {}

/// Brightest reading anyone should meet: several times full sun (about 2 000 µmol/m²/s).
const MAX_PPFD: f64 = 10_000.0;

impl Grid {
    /// A grid of readings in µmol/m²/s over a mapped area.
    ///
    /// # Errors
    /// Every row or reading at fault.
    pub fn new(rows: Vec<Vec<f64>>, points: Points, area: Area) -> Result<Self, Vec<BadGrid>> {
        let mut faults = vec![];
        let columns = rows.first().map_or(0, Vec::len);
        let least = if points == Points::EdgeToEdge { 2 } else { 1 };
        if rows.len() < least || columns < least {
            faults.push(BadGrid {
                row: 0,
                column: None,
                found: format!("{} rows of {columns} readings", rows.len()),
                allowed: "at least one reading, and two a side when they stand edge to edge",
            });
        }
        for (r, row) in rows.iter().enumerate() {
            if row.len() != columns {
                faults.push(BadGrid {
                    row: r,
                    column: None,
                    found: format!("{} readings where the first row has {columns}", row.len()),
                    allowed: "rows of equal length",
                });
            }
            for (c, &reading) in row.iter().enumerate() {
                if !(0.0..=MAX_PPFD).contains(&reading) {
                    faults.push(BadGrid {
                        row: r,
                        column: Some(c),
                        found: format!("{reading} µmol/m²/s"),
                        allowed: "0 to 10 000 µmol/m²/s",
                    });
                }
            }
        }
        if faults.is_empty() { Ok(Self { rows, points, area }) } else { Err(faults) }
    }

    /// Its readings, µmol/m²/s, row by row.
    pub fn rows(&self) -> &[Vec<f64>] {
        &self.rows
    }

    /// Where its points stand.
    pub fn points(&self) -> Points {
        self.points
    }

    /// The mapped area.
    pub fn area(&self) -> Area {
        self.area
    }

    /// Readings with their shares of the mapped area, which add up to 1, under a reading of where the points stand.
    fn weighted_if(&self, points: Points) -> Vec<(f64, f64)> {
        let weight =
            |k: usize, n: usize| if points == Points::EdgeToEdge && (k == 0 || k + 1 == n) { 0.5 } else { 1.0 };
        let mut all = vec![];
        for (r, row) in self.rows.iter().enumerate() {
            for (c, &reading) in row.iter().enumerate() {
                all.push((reading, weight(r, self.rows.len()) * weight(c, row.len())));
            }
        }
        let sum: f64 = all.iter().map(|(_, weight)| weight).sum();
        all.iter_mut().for_each(|(_, weight)| *weight /= sum);
        all
    }

    /// Readings with their shares of the mapped area, which add up to 1.
    pub fn weighted(&self) -> Vec<(f64, f64)> {
        self.weighted_if(self.points)
    }

    /// The mean under another reading of where the points stand, to show how much that choice matters.
    pub fn mean_if(&self, points: Points) -> Ppfd {
        let sum = self.weighted_if(points).iter().map(|(reading, share)| reading * share).sum();
        Ppfd::from_umol_per_m2_s(sum)
    }

    /// Mean PPFD over the mapped area.
    ///
    /// ```
    /// use canopy::{Grid, Points};
    /// use units::Area;
    /// // a plane that rises evenly: both kinds of points must find its middle
    /// let rows = vec![vec![100.0, 200.0, 300.0], vec![200.0, 300.0, 400.0], vec![300.0, 400.0, 500.0]];
    /// let grid = Grid::new(rows, Points::EdgeToEdge, Area::from_square_metres(1.0)).unwrap();
    /// assert_eq!(grid.mean().umol_per_m2_s(), 300.0);
    /// assert_eq!(grid.mean_if(Points::CellCentred).umol_per_m2_s(), 300.0);
    /// ```
    pub fn mean(&self) -> Ppfd {
        self.mean_if(self.points)
    }

    /// Flux that lands on the mapped area: Φ = mean PPFD × area.
    pub fn flux(&self) -> PhotonFlux {
        self.mean() * self.area
    }

    /// Smallest reading over the mean.
    pub fn min_to_mean(&self) -> f64 {
        let least = self.rows.iter().flatten().copied().fold(f64::INFINITY, f64::min);
        least / self.mean().umol_per_m2_s()
    }

    /// Number of readings.
    pub fn readings(&self) -> usize {
        self.rows.iter().map(Vec::len).sum()
    }
}
