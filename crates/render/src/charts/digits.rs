//! The digits of numbers that stand side by side.
//!
//! Belongs here: rounding several numbers of one row alike. Does not belong here: how one number is rounded.

use crate::number;
use decide::result::{Estimate, Spread};

/// The 10 % point, the median and the 90 % point in ct, all to the noise of the least certain of them.
pub(super) fn three_points(spread: &Spread) -> [String; 3] {
    let points = [spread.p10, spread.p50, spread.p90];
    let noise = points.iter().map(|p| p.se.abs() * 100.0).fold(0.0, f64::max);
    let largest = points.iter().map(|p| (p.value * 100.0).abs()).filter(|v| v.is_finite()).fold(0.0, f64::max);
    // an exact number that stands in every column is not stretched by zeros
    let constant = noise == 0.0 && points.iter().all(|p| p.value == points[0].value);
    points.map(|point| if constant { number::ct(point) } else { beside(point, largest, noise) })
}

/// A number to the last digit of the largest one beside it, unless nothing would be left of it.
fn beside(point: Estimate, largest: f64, noise: f64) -> String {
    let value = point.value * 100.0;
    let text = number::part(value, largest, noise);
    if !noise.is_finite() || value.abs() <= noise || text.contains('<') { number::to_noise(value, noise) } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(of: [(f64, f64); 3]) -> [String; 3] {
        let [p10, p50, p90] = of.map(|(value, se)| Estimate { value: value / 100.0, se: se / 100.0 });
        three_points(&Spread { mean: p50, sd: 0.01, p5: p10, p10, p50, p80: p90, p90, p95: p90 })
    }

    #[test]
    fn three_points_of_a_row_have_the_same_decimals() {
        assert_eq!(points([(6.4031, 0.0004), (6.4362, 0.0009), (6.4981, 0.0021)]), ["6.40", "6.44", "6.50"]);
        assert_eq!(points([(4.679, 0.0), (4.690899, 0.00006), (4.7124, 0.0008)]), ["4.679", "4.691", "4.712"]);
        assert_eq!(points([(9.98, 0.0), (10.0, 0.0), (10.256, 0.0)]), ["9.98", "10.00", "10.26"]);
        assert_eq!(points([(99.99991, 0.0001), (100.0, 0.0001), (100.1, 0.0001)]), ["100.000", "100.000", "100.100"]);
    }

    #[test]
    fn numbers_without_a_common_place_stand_alone() {
        assert_eq!(points([(4.25, 0.0); 3]), ["4.25", "4.25", "4.25"]);
        assert_eq!(points([(0.02, 0.3), (2.0, 0.3), (5.0, 0.1)]), ["0 ± 0.3", "2", "5"]);
        assert_eq!(points([(2.0, 0.1), (f64::NAN, f64::NAN), (3.0, 0.2)])[1], "not a number");
        assert_eq!(points([(2.0, 0.0), (3.0, 0.0), (1e40, 0.0)])[0], "2");
    }
}
