//! How light fades: the fraction M(b) of initial photon flux left after b burn hours, and its exact integral.

use std::fmt;

/// The fraction of initial photon flux left after b burn hours.
#[derive(Debug, Clone, PartialEq)]
pub enum Maintenance {
    /// M(b) = start · exp(−rate·b); the model of TM-21 projections and a fair one for sodium lamps.
    Exponential {
        /// Fraction at 0 h.
        start: f64,
        /// Decay rate α, 1/h.
        rate: f64,
    },
    /// Straight lines between points; beyond the last the last slope goes on, never below 0.
    Table(Table),
}

/// Points of a maintenance curve with the integral up to each.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    hours: Vec<f64>,
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

impl Maintenance {
    /// No fading.
    pub const CONSTANT: Self = Self::Exponential { start: 1.0, rate: 0.0 };

    /// From points (burn hours, fraction). The first stands at 0 h; hours rise strictly; fractions lie in [0, 2].
    ///
    /// # Errors
    /// The first point at fault.
    pub fn table(points: &[(f64, f64)]) -> Result<Self, BadTable> {
        let bad = |point, found: String| Err(BadTable { point, found });
        if points.is_empty() {
            return bad(0, "there are no points".into());
        }
        let mut table = Table { hours: vec![], fractions: vec![], integrals: vec![] };
        let mut before = (f64::NAN, f64::NAN);
        for (k, &(hours, fraction)) in points.iter().enumerate() {
            if !(hours.is_finite() && (0.0..=2.0).contains(&fraction)) {
                return bad(k, format!("{hours} h, fraction {fraction}"));
            }
            let integral = if k == 0 {
                if hours != 0.0 {
                    return bad(0, format!("the first point stands at {hours} h, not at 0 h"));
                }
                0.0
            } else {
                if !(hours > before.0) {
                    return bad(k, format!("{hours} h does not come after {} h", before.0));
                }
                table.integrals[k - 1] + 0.5 * (fraction + before.1) * (hours - before.0)
            };
            table.hours.push(hours);
            table.fractions.push(fraction);
            table.integrals.push(integral);
            before = (hours, fraction);
        }
        Ok(Self::Table(table))
    }

    /// M(b), b in burn hours.
    ///
    /// ```
    /// let fading = lamp::Maintenance::Exponential { start: 1.0, rate: 2e-5 };
    /// assert!((fading.fraction(10_000.0) - (-0.2f64).exp()).abs() < 1e-15);
    /// ```
    pub fn fraction(&self, b: f64) -> f64 {
        match self {
            Self::Exponential { start, rate } => start * (-rate * b).exp(),
            Self::Table(table) => {
                let k = table.piece(b);
                (table.fractions[k] + table.slope(k) * (b - table.hours[k])).max(0.0)
            }
        }
    }

    /// ∫ M db from burn hour a to c (a ≤ c), in hours at full flux. Moles are 0.0036 · φ · this integral.
    ///
    /// ```
    /// let table = lamp::Maintenance::table(&[(0.0, 1.0), (10_000.0, 0.8)]).unwrap();
    /// assert!((table.integral(0.0, 10_000.0) - 9_000.0).abs() < 1e-9);
    /// ```
    pub fn integral(&self, a: f64, c: f64) -> f64 {
        match self {
            Self::Exponential { start, rate } => {
                let x = rate * (c - a);
                // (1 − e^(−x))/x without the loss of digits near x = 0
                let mean = if x == 0.0 { 1.0 } else { -(-x).exp_m1() / x };
                start * (-rate * a).exp() * (c - a) * mean
            }
            Self::Table(table) => table.integral_to(c) - table.integral_to(a),
        }
    }

    /// Burn hours beyond which the curve is a continuation that nobody stated; infinite for a formula.
    pub fn stated_to(&self) -> f64 {
        match self {
            Self::Exponential { .. } => f64::INFINITY,
            Self::Table(table) => *table.hours.last().unwrap_or(&0.0),
        }
    }
}

impl Table {
    /// Index of the point from which the line at b starts.
    fn piece(&self, b: f64) -> usize {
        self.hours.partition_point(|&hours| hours <= b).saturating_sub(1)
    }

    /// Slope of the line that starts at point k; after the last point the slope of the line before it.
    fn slope(&self, k: usize) -> f64 {
        let from = k.min(self.hours.len().saturating_sub(2));
        match (self.hours.get(from + 1), self.fractions.get(from + 1)) {
            (Some(hours), Some(fraction)) => (fraction - self.fractions[from]) / (hours - self.hours[from]),
            _ => 0.0,
        }
    }

    fn integral_to(&self, b: f64) -> f64 {
        let k = self.piece(b);
        let (slope, first) = (self.slope(k), self.fractions[k]);
        let mut d = b - self.hours[k];
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
        let table = Maintenance::table(&[(0.0, 1.0), (5_000.0, 0.9), (10_000.0, 0.5)]).unwrap();
        assert!((table.fraction(12_500.0) - 0.3).abs() < 1e-12);
        assert_eq!(table.fraction(20_000.0), 0.0);
        // a triangle of height 0.5 and base 6 250 h is left beyond 10 000 h
        assert!((table.integral(10_000.0, 1e6) - 0.5 * 0.5 * 6_250.0).abs() < 1e-9);
    }

    #[test]
    fn a_single_point_is_a_constant() {
        let table = Maintenance::table(&[(0.0, 0.9)]).unwrap();
        assert_eq!(table.fraction(1e5), 0.9);
        assert!((table.integral(10.0, 20.0) - 9.0).abs() < 1e-12);
    }

    #[test]
    fn faulty_points_are_named() {
        assert_eq!(Maintenance::table(&[]).unwrap_err().point, 0);
        assert_eq!(Maintenance::table(&[(1.0, 1.0)]).unwrap_err().point, 0);
        assert_eq!(Maintenance::table(&[(0.0, 1.0), (0.0, 0.9)]).unwrap_err().point, 1);
        assert_eq!(Maintenance::table(&[(0.0, 1.0), (9.0, f64::NAN)]).unwrap_err().point, 1);
    }
}
