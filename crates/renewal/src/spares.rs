//! How many spare lamps to keep.

use statrs::distribution::{DiscreteCDF, Poisson};

use crate::lamp::{Fault, demand, demand_amount};

/// The smallest stock s with P(D ≤ s) ≥ `service`, for a Poisson demand D with mean `mean`, both plain numbers.
///
/// The number of failures in a large installation before the next delivery is nearly Poisson. For lamps that wear out it
/// scatters less in truth, and the stock is on the safe side. The distribution function is that of the library statrs.
///
/// ```
/// // 12 failures expected until the next delivery: 18 spares are enough in 95 % of cases
/// assert_eq!(renewal::spares(12.0, 0.95), Ok(18));
/// ```
///
/// # Errors
/// A mean that is negative or above 1e9, a service outside \[0, 1).
pub fn spares(mean: f64, service: f64) -> Result<u64, Fault> {
    demand_amount("the mean demand", mean)?;
    demand(mean <= 1e9, "the mean demand", mean, "at most 1e9")?;
    demand((0.0..1.0).contains(&service), "the service", service, "0 or more, below 1")?;
    // statrs knows no Poisson distribution of mean 0
    let Ok(demand) = Poisson::new(mean) else { return Ok(0) };
    let is_enough = |stock: &u64| demand.cdf(*stock) >= service;
    let mut high = 1;
    while !is_enough(&high) && high < 1 << 40 {
        high *= 2;
    }
    let mut low = 0;
    while low < high {
        let middle = low + (high - low) / 2;
        if is_enough(&middle) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    Ok(low)
}

#[cfg(test)]
mod tests {
    use super::spares;

    #[test]
    fn edges() {
        assert_eq!(spares(0.0, 0.99), Ok(0));
        // P(D = 0) = e^(−1) = 0.3679
        assert_eq!(spares(1.0, 0.3678), Ok(0));
        assert_eq!(spares(1.0, 0.3679), Ok(1));
        assert!(spares(f64::NAN, 0.9).is_err() && spares(1.0, 1.0).is_err() && spares(-1.0, 0.9).is_err());
        assert!(spares(1e6, 0.99).is_ok_and(|stock| (1_002_300..1_002_360).contains(&stock)));
    }
}
