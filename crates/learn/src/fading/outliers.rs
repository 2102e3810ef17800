//! Readings that stick out from their own lamp's line.
//!
//! Belongs here: finding them. Does not belong here: doing anything about them.

use statrs::distribution::{ContinuousCDF, StudentsT};

use super::{Curve, Reading};

/// Chance of calling out any reading at all where none sticks out.
const CHANCE: f64 = 0.01;
/// Fewest readings of a lamp among which one can stick out.
const FEWEST: usize = 4;
/// Most that are called out.
const MOST: usize = 50;

/// A reading that sticks out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outlier {
    /// Index of the lamp.
    pub lamp: usize,
    /// Index of its reading.
    pub reading: usize,
    /// How far it lies from its lamp's line through the other readings, as a share of the light there.
    pub off: f64,
}

/// The readings of a lamp that still count: residual about its line and leverage.
fn residuals(lamp: &[Reading], out: &[bool], curve: &Curve) -> Vec<(usize, f64, f64)> {
    let kept = || lamp.iter().enumerate().filter(|(k, _)| !out[*k]).map(|(k, r)| (k, r, -curve.log_share(r.hours)));
    let weight: f64 = kept().map(|(_, r, _)| r.weight).sum();
    let (u, y) =
        kept().fold((0.0, 0.0), |(u, y), (_, r, at)| (u + r.weight * at / weight, y + r.weight * r.log_light / weight));
    let width: f64 = kept().map(|(_, r, at)| r.weight * (at - u).powi(2)).sum();
    if kept().count() < FEWEST || !(width > 0.0) {
        return vec![];
    }
    let slope = kept().map(|(_, r, at)| r.weight * (at - u) * (r.log_light - y)).sum::<f64>() / width;
    let of = |(k, r, at): (usize, &Reading, f64)| {
        let residual = r.weight.sqrt() * (r.log_light - y - slope * (at - u));
        (k, residual, r.weight * (1.0 / weight + (at - u).powi(2) / width))
    };
    kept().map(of).collect()
}

/// Readings that lie farther from their own lamp's line than chance would put any: the largest residual, studentised with itself
/// left out (Cook and Weisberg 1982) and judged by Bonferroni's bound on Student's t; then again without it, until none is left.
///
/// A lamp's line has a slope of its own along −ln M of the curve, so that a lamp that merely ages fast does not stick out.
pub fn outliers(lamps: &[Vec<Reading>], curve: &Curve) -> Vec<Outlier> {
    let mut out: Vec<Vec<bool>> = lamps.iter().map(|lamp| vec![false; lamp.len()]).collect();
    let mut told = vec![];
    while told.len() < MOST {
        let of: Vec<_> = lamps.iter().zip(&out).map(|(lamp, out)| residuals(lamp, out, curve)).collect();
        let count: usize = of.iter().map(Vec::len).sum();
        let lines = of.iter().filter(|residuals| !residuals.is_empty()).count();
        let squares: f64 = of.iter().flatten().map(|(_, residual, _)| residual * residual).sum();
        let freedom = count as f64 - 2.0 * lines as f64 - 1.0;
        if !(freedom >= 1.0) {
            break;
        }
        let student = |residual: f64, leverage: f64| {
            let left = (1.0 - leverage).max(1e-9);
            let others = (squares - residual * residual / left).max(0.0) / freedom;
            residual.abs() / (others * left).sqrt().max(f64::MIN_POSITIVE)
        };
        let all = of.iter().enumerate().flat_map(|(lamp, list)| list.iter().map(move |found| (lamp, *found)));
        let worst = all.max_by(|a, b| student(a.1.1, a.1.2).total_cmp(&student(b.1.1, b.1.2)));
        let (Some((lamp, (reading, residual, leverage))), Ok(t)) = (worst, StudentsT::new(0.0, 1.0, freedom)) else {
            break;
        };
        // less than a thousandth of the light is nobody's error
        let off = (residual / lamps[lamp][reading].weight.sqrt() / (1.0 - leverage).max(1e-9)).exp_m1();
        if !(2.0 * t.sf(student(residual, leverage)) * (count as f64) < CHANCE) || off.abs() < 1e-3 {
            break;
        }
        out[lamp][reading] = true;
        told.push(Outlier { lamp, reading, off });
    }
    told
}
