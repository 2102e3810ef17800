//! How the cost of what lasts is spread over years.

use crate::fault::{Fault, demand};

/// Most years of a depreciation.
const LONGEST: usize = 200;

/// How far the shares of a table may be from 1 in total.
const WHOLE: f64 = 1e-9;

/// The share of a basis that counts as cost in each year, the first year first. Shares add up to 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Depreciation {
    shares: Vec<f64>,
}

impl Depreciation {
    /// Equal shares over a number of years.
    ///
    /// # Errors
    /// No year, or more than 200.
    ///
    /// ```
    /// use finance::Depreciation;
    /// assert_eq!(Depreciation::straight_line(4)?.shares(), [0.25; 4]);
    /// # Ok::<(), finance::Fault>(())
    /// ```
    pub fn straight_line(years: usize) -> Result<Self, Fault> {
        demand((1..=LONGEST).contains(&years), "the number of years", years as f64, "from 1 to 200")?;
        Ok(Self { shares: vec![1.0 / years as f64; years] })
    }

    /// Equal shares over a number of years from the middle of the first year to that of the one after the last
    /// (half-year convention): half a share in both.
    ///
    /// # Errors
    /// As for [`Depreciation::straight_line`].
    ///
    /// ```
    /// use finance::Depreciation;
    /// assert_eq!(Depreciation::straight_line_half_year(2)?.shares(), [0.25, 0.5, 0.25]);
    /// # Ok::<(), finance::Fault>(())
    /// ```
    pub fn straight_line_half_year(years: usize) -> Result<Self, Fault> {
        let Self { mut shares } = Self::straight_line(years)?;
        let half = shares[0] / 2.0;
        shares[0] = half;
        shares.push(half);
        Ok(Self { shares })
    }

    /// Yearly shares as a tax table states them. None is built in: which one applies is for the accountant to say.
    ///
    /// # Errors
    /// A share that is not from 0 to 1, shares that do not add up to 1 within 1e-9, more than 201 of them.
    ///
    /// ```
    /// use finance::Depreciation;
    /// assert!(Depreciation::table(&[0.5, 0.3, 0.2]).is_ok());
    /// let fault = Depreciation::table(&[0.5, 0.3, 0.1]).unwrap_err();
    /// assert_eq!(fault.what, "the sum of all yearly shares");
    /// ```
    pub fn table(shares: &[f64]) -> Result<Self, Fault> {
        demand(shares.len() <= LONGEST + 1, "the number of shares", shares.len() as f64, "201 at most")?;
        for &share in shares {
            demand((0.0..=1.0).contains(&share), "a yearly share", share, "from 0 to 1")?;
        }
        let sum: f64 = shares.iter().sum();
        demand((sum - 1.0).abs() <= WHOLE, "the sum of all yearly shares", sum, "1, within 1e-9")?;
        Ok(Self { shares: shares.to_vec() })
    }

    /// The share of each year.
    pub fn shares(&self) -> &[f64] {
        &self.shares
    }

    /// The amount of each year, of a basis.
    pub fn amounts(&self, basis: f64) -> Vec<f64> {
        self.shares.iter().map(|share| share * basis).collect()
    }
}

/// Amounts of periods added up by year; a last year that is not full is kept.
///
/// ```
/// assert_eq!(finance::by_year(&[1.0, 2.0, 3.0, 4.0, 5.0], 2), [3.0, 7.0, 5.0]);
/// ```
///
/// # Panics
/// If there are no periods in a year.
pub fn by_year(amounts: &[f64], periods_per_year: usize) -> Vec<f64> {
    amounts.chunks(periods_per_year).map(|year| year.iter().sum()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_add_up_to_the_whole_basis() {
        for years in [1, 3, 39, 200] {
            for spread in [Depreciation::straight_line(years), Depreciation::straight_line_half_year(years)] {
                assert!((spread.unwrap().amounts(700.0).iter().sum::<f64>() - 700.0).abs() < 1e-9);
            }
        }
        assert_eq!(Depreciation::straight_line_half_year(3).unwrap().shares().len(), 4);
    }

    #[test]
    fn tables_that_do_not_spread_the_whole_are_refused() {
        for shares in [&[][..], &[0.5, 0.4], &[0.6, 0.6], &[1.2, -0.2], &[f64::NAN, 1.0], &[1.0 + 2e-9]] {
            assert!(Depreciation::table(shares).is_err(), "{shares:?}");
        }
        assert!(Depreciation::table(&[0.005; 200]).is_ok() && Depreciation::table(&[0.0; 202]).is_err());
        assert!(Depreciation::straight_line(0).is_err() && Depreciation::straight_line(201).is_err());
    }
}
