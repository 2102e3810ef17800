//! A curve of straight lines between points, and its exact integral.

use std::fmt;

/// Points of a maintenance curve with the integral up to each.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    ages: Vec<f64>,
    fractions: Vec<f64>,
    integrals: Vec<f64>,
}

/// Why points make no maintenance curve.
#[derive(Debug, Clone, PartialEq)]
pub struct BadTable {
    /// Index of the point at fault.
    pub point: usize,
    /// What is wrong with it.
    pub found: String,
}

impl fmt::Display for BadTable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "point {}: {}", self.point + 1, self.found)
    }
}

impl std::error::Error for BadTable {}

impl Table {
    /// From points (age, fraction). The first stands at 0; ages rise strictly; fractions lie in [0, 2].
    ///
    /// # Errors
    /// The first point at fault.
    pub fn new(points: &[(f64, f64)]) -> Result<Self, BadTable> {
        let bad = |point, found: String| Err(BadTable { point, found });
        if points.is_empty() {
            return bad(0, "there are no points".into());
        }
        let mut table = Self { ages: vec![], fractions: vec![], integrals: vec![] };
        let mut before = (f64::NAN, f64::NAN);
        for (k, &(age, fraction)) in points.iter().enumerate() {
            if !(age.is_finite() && (0.0..=2.0).contains(&fraction)) {
                return bad(k, format!("{age}, fraction {fraction}"));
            }
            let integral = if k == 0 {
                if age != 0.0 {
                    return bad(0, format!("the first point stands at {age}, not at 0"));
                }
                0.0
            } else {
                if !(age > before.0) {
                    return bad(k, format!("{age} does not come after {}", before.0));
                }
                table.integrals[k - 1] + 0.5 * (fraction + before.1) * (age - before.0)
            };
            table.ages.push(age);
            table.fractions.push(fraction);
            table.integrals.push(integral);
            before = (age, fraction);
        }
        Ok(table)
    }

    /// The same curve with all ages times a factor above 0: points in shares of a life of `factor` hours become hours.
    pub fn stretched(&self, factor: f64) -> Self {
        let times = |list: &[f64]| list.iter().map(|x| x * factor).collect();
        Self { ages: times(&self.ages), fractions: self.fractions.clone(), integrals: times(&self.integrals) }
    }

    /// Ages of the points.
    pub fn ages(&self) -> &[f64] {
        &self.ages
    }

    /// The fraction at an age.
    pub(crate) fn fraction(&self, age: f64) -> f64 {
        let k = self.piece(age);
        (self.fractions[k] + self.slope(k) * (age - self.ages[k])).max(0.0)
    }

    /// The first age at which the curve is at or below a fraction; infinite if it never is.
    pub(crate) fn age_at(&self, fraction: f64) -> f64 {
        if self.fractions[0] <= fraction {
            return 0.0;
        }
        let last = self.ages.len() - 1;
        let k = (0..last).find(|&k| self.fractions[k + 1] <= fraction).unwrap_or(last);
        let slope = self.slope(k);
        if slope < 0.0 { self.ages[k] + (fraction - self.fractions[k]) / slope } else { f64::INFINITY }
    }

    /// Index of the point from which the line at an age starts.
    fn piece(&self, age: f64) -> usize {
        self.ages.partition_point(|&before| before <= age).saturating_sub(1)
    }

    /// Slope of the line that starts at point k; after the last point the slope of the line before it.
    fn slope(&self, k: usize) -> f64 {
        let from = k.min(self.ages.len().saturating_sub(2));
        match (self.ages.get(from + 1), self.fractions.get(from + 1)) {
            (Some(age), Some(fraction)) => (fraction - self.fractions[from]) / (age - self.ages[from]),
            _ => 0.0,
        }
    }

    /// Integral from 0 to an age.
    pub(crate) fn integral_to(&self, age: f64) -> f64 {
        let k = self.piece(age);
        let (slope, first) = (self.slope(k), self.fractions[k]);
        let mut d = age - self.ages[k];
        if slope < 0.0 {
            // the line reaches 0 here and stays there
            d = d.min(-first / slope);
        }
        self.integrals[k] + d * (first + 0.5 * slope * d)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_goes_on_along_its_last_slope_down_to_zero() {
        let table = Table::new(&[(0.0, 1.0), (5_000.0, 0.9), (10_000.0, 0.5)]).unwrap();
        assert!((table.fraction(12_500.0) - 0.3).abs() < 1e-12);
        assert_eq!(table.fraction(20_000.0), 0.0);
        // a triangle of height 0.5 and base 6 250 h is left beyond 10 000 h
        let rest = table.integral_to(1e6) - table.integral_to(10_000.0);
        assert!((rest - 0.5 * 0.5 * 6_250.0).abs() < 1e-9);
        assert!((table.age_at(0.3) - 12_500.0).abs() < 1e-9 && (table.age_at(0.95) - 2_500.0).abs() < 1e-9);
    }

    #[test]
    fn a_single_point_is_a_constant() {
        let table = Table::new(&[(0.0, 0.9)]).unwrap();
        assert_eq!(table.fraction(1e5), 0.9);
        assert!((table.integral_to(20.0) - table.integral_to(10.0) - 9.0).abs() < 1e-12);
        assert_eq!(table.age_at(0.5), f64::INFINITY);
    }

    #[test]
    fn faulty_points_are_named() {
        assert_eq!(Table::new(&[]).unwrap_err().point, 0);
        assert_eq!(Table::new(&[(1.0, 1.0)]).unwrap_err().point, 0);
        assert_eq!(Table::new(&[(0.0, 1.0), (0.0, 0.9)]).unwrap_err().point, 1);
        assert_eq!(Table::new(&[(0.0, 1.0), (9.0, f64::NAN)]).unwrap_err().point, 1);
    }
}
