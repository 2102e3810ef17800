//! Readings that are missing, filled from those that are there.
//!
//! Belongs here: two ways of guessing a cell, and how wrong each is on the same card. Does not belong here: whether cells
//! may be filled at all, which is for whoever reads the card to decide.
//!
//! How wrong a guess is can be seen on the card itself: every cell that is there is left out in turn and guessed in the
//! same way, and the root mean square of the relative errors is the standard deviation of a filled cell. Cells that cannot
//! be tried lie beside holes, where guessing is hardest: the standard deviation is widened by √(cells there / cells tried),
//! a judgement without a source.
//!
//! Guesses from neighbours err to one side on one card (on a peak all are too low), so whoever adds their errors up adds
//! them as they are, not their squares.

/// How a missing cell is guessed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Filling {
    /// The mean of its mirror images in the middle row, the middle column and both: right for a fixture that is alike on
    /// both sides and hangs over the middle.
    Symmetry,
    /// From the cells around it. Between two cells of its row or column: their mean, or the mean of both means. At a corner,
    /// or where that fails: a·b/d of two neighbours a, b and the cell d between them, which is exact where light is a
    /// product of what rows and columns have.
    Neighbours,
}

/// A cell that was missing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filled {
    /// Its row, 0 first.
    pub row: usize,
    /// Its column, 0 first.
    pub column: usize,
    /// What it was guessed to be, µmol/m²/s.
    pub reading: f64,
    /// Standard deviation of the guess as a share of it, by leaving out the cells that are there.
    pub error: f64,
}

/// Why a missing cell cannot be filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotFilled {
    /// Its row, 0 first.
    pub row: usize,
    /// Its column, 0 first.
    pub column: usize,
}

/// Fewest cells that must be guessed to say how wrong a guess is.
const FEWEST: usize = 4;
/// Standard deviation of a guess where too few cells can be guessed, as a share: a judgement without a source.
const UNTRIED: f64 = 0.2;

type Rows = [Vec<Option<f64>>];

/// Guesses every missing cell from those that are there; `rows` are of equal length. Missing cells are never guessed from
/// guesses.
///
/// ```
/// use canopy::{Filling, fill};
/// let row = |left: f64, middle: f64, right: Option<f64>| vec![Some(left), Some(middle), right];
/// let rows = [row(400.0, 500.0, None), row(600.0, 750.0, Some(600.0)), row(410.0, 500.0, Some(420.0))];
/// let filled = fill(&rows, Filling::Symmetry).unwrap();
/// assert_eq!((filled[0].row, filled[0].column, filled[0].reading), (0, 2, 410.0));
/// ```
///
/// # Errors
/// The first cell whose mirror images or neighbours are missing as well.
pub fn fill(rows: &Rows, filling: Filling) -> Result<Vec<Filled>, NotFilled> {
    let error = error_of(rows, filling);
    let mut filled = vec![];
    for (row, column) in places(rows).filter(|place| at(rows, *place).is_none()) {
        let reading = guess(rows, (row, column), filling).ok_or(NotFilled { row, column })?;
        filled.push(Filled { row, column, reading, error });
    }
    Ok(filled)
}

/// How wrong guesses are: the root mean square of their relative errors over the cells that are there, wider where few of
/// these can be tried.
fn error_of(rows: &Rows, filling: Filling) -> f64 {
    let tried: Vec<f64> = places(rows)
        .filter_map(|place| {
            let there = at(rows, place).filter(|reading| *reading > 0.0)?;
            // a guess never looks at the cell itself
            Some(guess(rows, place, filling)? / there - 1.0)
        })
        .collect();
    if tried.len() < FEWEST {
        return UNTRIED;
    }
    let there = places(rows).filter(|place| at(rows, *place).is_some_and(|reading| reading > 0.0)).count();
    let (tries, square) = (tried.len() as f64, tried.iter().map(|error| error * error).sum::<f64>());
    (square / tries * (there as f64 / tries)).sqrt()
}

fn places(rows: &Rows) -> impl Iterator<Item = (usize, usize)> + '_ {
    rows.iter().enumerate().flat_map(|(row, cells)| (0..cells.len()).map(move |column| (row, column)))
}

fn at(rows: &Rows, (row, column): (usize, usize)) -> Option<f64> {
    rows.get(row)?.get(column).copied().flatten()
}

fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// A cell guessed from others; never from itself.
fn guess(rows: &Rows, (row, column): (usize, usize), filling: Filling) -> Option<f64> {
    let (last_row, last_column) = (rows.len().checked_sub(1)?, rows.get(row)?.len().checked_sub(1)?);
    if filling == Filling::Symmetry {
        let mut images =
            vec![(last_row - row, column), (row, last_column - column), (last_row - row, last_column - column)];
        images.retain(|image| *image != (row, column));
        images.sort_unstable();
        images.dedup();
        return mean(&images.into_iter().filter_map(|image| at(rows, image)).collect::<Vec<_>>());
    }
    let beside =
        |down: isize, right: isize| at(rows, (row.checked_add_signed(down)?, column.checked_add_signed(right)?));
    let between = [(1, 0), (0, 1)]
        .into_iter()
        .filter_map(|(down, right)| Some((beside(down, right)? + beside(-down, -right)?) / 2.0));
    let corners = [(1, 1), (1, -1), (-1, 1), (-1, -1)].into_iter().filter_map(|(down, right)| {
        let across = beside(down, right).filter(|reading| *reading > 0.0)?;
        Some(beside(down, 0)? * beside(0, right)? / across)
    });
    mean(&between.collect::<Vec<_>>()).or_else(|| mean(&corners.collect::<Vec<_>>()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The readings of an arc lamp, left and right not quite alike.
    const ARC: [[f64; 5]; 5] = [
        [402.0, 560.0, 628.0, 548.0, 396.0],
        [566.0, 792.0, 905.0, 781.0, 552.0],
        [634.0, 914.0, 1010.0, 902.0, 622.0],
        [571.0, 799.0, 911.0, 788.0, 559.0],
        [408.0, 571.0, 636.0, 557.0, 401.0],
    ];

    fn without(place: (usize, usize)) -> Vec<Vec<Option<f64>>> {
        let cell = |r: usize, c: usize| ((r, c) != place).then_some(ARC[r][c]);
        (0..5).map(|r| (0..5).map(|c| cell(r, c)).collect()).collect()
    }

    #[test]
    fn a_deleted_cell_comes_back_within_its_error() {
        for filling in [Filling::Symmetry, Filling::Neighbours] {
            let (mut worst, mut square, mut stated): (f64, f64, f64) = (0.0, 0.0, 0.0);
            // the centre of an odd grid is its own mirror image
            let places: Vec<_> = (0..25).filter(|k| filling == Filling::Neighbours || *k != 12).collect();
            for &k in &places {
                let place = (k / 5, k % 5);
                let found = fill(&without(place), filling).unwrap()[0];
                assert_eq!((found.row, found.column), place);
                let off = found.reading / ARC[place.0][place.1] - 1.0;
                worst = worst.max(off.abs());
                square += off * off;
                stated += found.error * found.error;
            }
            // stated without the deleted cell, seen on it: the same on average
            let (seen, stated) = ((square / places.len() as f64).sqrt(), (stated / places.len() as f64).sqrt());
            assert!((stated / seen - 1.0).abs() < 0.1, "{filling:?}: {stated} stated, {seen} seen");
            assert!(worst < if filling == Filling::Symmetry { 0.04 } else { 0.3 }, "{filling:?}: {worst}");
        }
    }

    #[test]
    fn products_and_planes_are_filled_exactly() {
        let product: Vec<Vec<Option<f64>>> =
            [1.0, 2.0, 3.0].map(|r| [5.0, 7.0, 9.0, 11.0].map(|c| Some(r * c)).to_vec()).to_vec();
        for place in [(0, 0), (2, 3), (1, 1), (0, 2)] {
            let mut holed = product.clone();
            holed[place.0][place.1] = None;
            let found = fill(&holed, Filling::Neighbours).unwrap()[0];
            assert!((found.reading / product[place.0][place.1].unwrap() - 1.0).abs() < 1e-14, "{place:?} {found:?}");
            assert!(found.error < 1e-14);
        }
    }

    #[test]
    fn what_has_no_other_side_is_not_filled() {
        assert_eq!(fill(&without((2, 2)), Filling::Symmetry), Err(NotFilled { row: 2, column: 2 }));
        assert_eq!(fill(&[vec![None, Some(1.0)]], Filling::Neighbours), Err(NotFilled { row: 0, column: 0 }));
        let few = fill(&[vec![None, Some(1.0)]], Filling::Symmetry).unwrap();
        assert_eq!((few[0].reading, few[0].error), (1.0, UNTRIED));
        assert_eq!(fill(&[vec![None, None]], Filling::Symmetry), Err(NotFilled { row: 0, column: 0 }));
        assert_eq!(fill(&[], Filling::Symmetry), Ok(vec![]));
    }
}
