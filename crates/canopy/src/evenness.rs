//! How evenly light is spread over a grid.
//!
//! Belongs here: the measures in use, each by its name: there is no single one that the trade agrees on. Does not belong
//! here: means and fluxes (`grid`).

use crate::Grid;

/// Measures of evenness; each reading stands for its share of the area.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Evenness {
    /// Smallest reading, µmol/m²/s.
    pub least: f64,
    /// Largest reading, µmol/m²/s.
    pub most: f64,
    /// Smallest reading over the mean; not a number for a dark grid.
    pub min_to_mean: f64,
    /// Smallest reading over the largest one; not a number for a dark grid.
    pub min_to_max: f64,
    /// Largest reading over the mean; not a number for a dark grid.
    pub max_to_mean: f64,
    /// Coefficient of variation: √(Σ w·(x − mean)²) / mean, the standard deviation of the whole (not of a sample) weighted
    /// by area; not a number for a dark grid.
    pub variation: f64,
    /// The dimmest tenth of the area has this PPFD or less, µmol/m²/s: the smallest reading at or below which at least a
    /// tenth of the area lies.
    pub p10: f64,
}

impl Grid {
    /// How evenly the light is spread.
    ///
    /// ```
    /// use canopy::{Grid, Points};
    /// use units::Area;
    /// let grid = Grid::new(vec![vec![1.0, 3.0]], Points::CellCentred, Area::from_square_metres(1.0)).unwrap();
    /// let evenness = grid.evenness();
    /// assert_eq!((evenness.min_to_mean, evenness.min_to_max, evenness.max_to_mean), (0.5, 1.0 / 3.0, 1.5));
    /// assert_eq!((evenness.variation, evenness.p10), (0.5, 1.0));
    /// ```
    pub fn evenness(&self) -> Evenness {
        let mean = self.mean().umol_per_m2_s();
        let mut all = self.weighted();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        let least = all.first().map_or(f64::NAN, |(reading, _)| *reading);
        let most = all.last().map_or(f64::NAN, |(reading, _)| *reading);
        let variance: f64 = all.iter().map(|(reading, share)| share * (reading - mean).powi(2)).sum();
        let mut below = 0.0;
        let tenth = all.iter().find(|(_, share)| {
            below += share;
            // sums of shares such as 1/30 end a hair off
            below >= 0.1 - 1e-12
        });
        Evenness {
            least,
            most,
            min_to_mean: least / mean,
            min_to_max: least / most,
            max_to_mean: most / mean,
            variation: variance.sqrt() / mean,
            p10: tenth.map_or(f64::NAN, |(reading, _)| *reading),
        }
    }

    /// Share of the area whose readings lie below a target, µmol/m²/s; 1 = all.
    pub fn share_below(&self, target: f64) -> f64 {
        let below: f64 = self.weighted().iter().filter(|(reading, _)| *reading < target).map(|(_, share)| share).sum();
        // a sum of nothing is −0
        below.clamp(0.0, 1.0) + 0.0
    }
}

#[cfg(test)]
mod tests {
    use units::Area;

    use crate::{Grid, Points};

    fn grid(rows: &[&[f64]], points: Points) -> Grid {
        let rows = rows.iter().map(|row| row.to_vec()).collect();
        Grid::new(rows, points, Area::from_square_metres(2.0)).unwrap()
    }

    #[test]
    fn an_even_field_is_even_and_a_dark_one_has_no_ratio() {
        for points in [Points::CellCentred, Points::EdgeToEdge] {
            let even = grid(&[&[7.0; 4] as &[f64]; 3], points).evenness();
            assert!((even.min_to_mean - 1.0).abs() < 1e-14 && (even.max_to_mean - 1.0).abs() < 1e-14);
            assert_eq!((even.min_to_max, even.p10), (1.0, 7.0));
            assert!(even.variation.abs() < 1e-15);
            let dark = grid(&[&[0.0; 4] as &[f64]; 3], points).evenness();
            assert!(dark.min_to_mean.is_nan() && dark.variation.is_nan() && dark.p10 == 0.0);
        }
    }

    #[test]
    fn corners_and_edges_count_by_their_area() {
        // 3 × 3 edge to edge: corners 1/16 each, middles of edges 1/8 each, the centre 1/4
        let rows: [&[f64]; 3] = [&[0.0, 2.0, 0.0], &[2.0, 4.0, 2.0], &[0.0, 2.0, 0.0]];
        let found = grid(&rows, Points::EdgeToEdge);
        assert_eq!(found.mean().umol_per_m2_s(), 2.0);
        // variance: 1/4 · 4 + 1/2 · 0 + 1/4 · 4 = 2
        assert!((found.evenness().variation - 2f64.sqrt() / 2.0).abs() < 1e-15);
        assert_eq!((found.share_below(2.0), found.share_below(2.1), found.share_below(9.0)), (0.25, 0.75, 1.0));
        let cells = grid(&rows, Points::CellCentred);
        assert!((cells.share_below(2.0) - 4.0 / 9.0).abs() < 1e-15);
        assert!(cells.share_below(0.0).is_sign_positive());
    }

    #[test]
    fn the_dimmest_tenth_is_found_by_area() {
        // ten equal cells: the first is the dimmest tenth, to the dot
        let ten = grid(&[&[1.0, 2.0, 3.0, 4.0, 5.0], &[6.0, 7.0, 8.0, 9.0, 10.0]], Points::CellCentred);
        assert_eq!(ten.evenness().p10, 1.0);
        let rows: Vec<f64> = (1..=25).map(f64::from).collect();
        let rows: Vec<&[f64]> = rows.chunks(5).collect();
        assert_eq!(grid(&rows, Points::CellCentred).evenness().p10, 3.0);
    }
}
