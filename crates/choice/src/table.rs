//! Costs of options, row by row.

use crate::fault::{Fault, demand_count, demand_length, demand_number};

/// Costs of options: a row for each trial (or named future), a column for each option. Lower is better.
///
/// All costs are in one unit and on one basis. A row is one state of the world that all options meet: costs of different
/// rows must not be paired, and costs of one row must come from the same luck, or regret and information are overstated.
///
/// ```
/// let costs = choice::Table::new(&[vec![3.0, 2.0], vec![1.0, 4.0]]).unwrap();
/// assert_eq!((costs.trials(), costs.options(), costs.best()), (2, 2, 0));
/// assert_eq!(costs.means(), [2.0, 3.0]);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    options: usize,
    values: Vec<f64>,
}

impl Table {
    /// A table from its rows, one for each trial.
    ///
    /// # Errors
    /// No row, a row of no or another number of options, a cost that is no number or above 1e100 in size.
    pub fn new(rows: &[Vec<f64>]) -> Result<Self, Fault> {
        demand_count("trials", rows.len(), 1)?;
        let options = rows[0].len();
        demand_count("options", options, 1)?;
        let mut values = Vec::with_capacity(options * rows.len());
        for (place, row) in rows.iter().enumerate() {
            demand_length("row", place, row.len(), options)?;
            row.iter().try_for_each(|cost| demand_number("a cost", *cost))?;
            values.extend_from_slice(row);
        }
        Ok(Self { options, values })
    }

    /// A table from its columns, one for each option.
    ///
    /// ```
    /// let costs = choice::Table::from_options(&[&[3.0, 1.0], &[2.0, 4.0]]).unwrap();
    /// assert_eq!(costs.row(0), [3.0, 2.0]);
    /// ```
    ///
    /// # Errors
    /// As for [`Table::new`].
    pub fn from_options(columns: &[&[f64]]) -> Result<Self, Fault> {
        demand_count("options", columns.len(), 1)?;
        let trials = columns[0].len();
        demand_count("trials", trials, 1)?;
        for (place, column) in columns.iter().enumerate() {
            demand_length("option", place, column.len(), trials)?;
            column.iter().try_for_each(|cost| demand_number("a cost", *cost))?;
        }
        let values = (0..trials).flat_map(|trial| columns.iter().map(move |column| column[trial])).collect();
        Ok(Self { options: columns.len(), values })
    }

    /// How many options there are.
    pub fn options(&self) -> usize {
        self.options
    }

    /// How many trials there are.
    pub fn trials(&self) -> usize {
        self.values.len() / self.options
    }

    /// The costs of one trial. Panics where there is no such trial.
    pub fn row(&self, trial: usize) -> &[f64] {
        &self.values[trial * self.options..(trial + 1) * self.options]
    }

    /// The costs trial by trial.
    pub fn rows(&self) -> impl Iterator<Item = &[f64]> {
        self.values.chunks_exact(self.options)
    }

    /// The costs of one option. Panics where there is no such option.
    pub fn option(&self, option: usize) -> Vec<f64> {
        self.rows().map(|row| row[option]).collect()
    }

    /// The mean cost of each option.
    pub fn means(&self) -> Vec<f64> {
        (0..self.options).map(|option| crate::mean(&self.option(option)).value).collect()
    }

    /// The option of the lowest mean cost, the first of equals.
    pub fn best(&self) -> usize {
        first_lowest(&self.means())
    }
}

/// Place of the lowest number, the first of equals.
pub fn first_lowest(values: &[f64]) -> usize {
    let mut best = 0;
    for (place, value) in values.iter().enumerate() {
        if *value < values[best] {
            best = place;
        }
    }
    best
}

/// The lowest number.
pub fn lowest(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_table_is_refused() {
        let few = |what| Fault::TooFew { what, found: 0, needed: 1 };
        assert_eq!(Table::new(&[]), Err(few("trials")));
        assert_eq!(Table::new(&[vec![]]), Err(few("options")));
        assert_eq!(Table::from_options(&[]), Err(few("options")));
        assert_eq!(Table::from_options(&[&[], &[]]), Err(few("trials")));
        let odd = |what| Fault::Ragged { what, place: 1, found: 1, expected: 2 };
        assert_eq!(Table::new(&[vec![1.0, 2.0], vec![1.0]]), Err(odd("row")));
        assert_eq!(Table::from_options(&[&[1.0, 2.0], &[1.0]]), Err(odd("option")));
        for bad in [f64::NAN, f64::INFINITY, 1e308] {
            assert!(Table::new(&[vec![1.0, bad]]).is_err() && Table::from_options(&[&[bad]]).is_err(), "{bad}");
        }
        assert_eq!(odd("row").to_string(), "row 2 holds 1 numbers instead of 2");
    }

    #[test]
    fn the_first_of_equals_is_best() {
        assert_eq!(Table::new(&[vec![2.0, 1.0, 1.0]]).unwrap().best(), 1);
    }
}
