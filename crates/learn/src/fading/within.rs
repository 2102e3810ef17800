//! One curve through the readings of all lamps, each with a level of its own.
//!
//! Belongs here: the sum of squares with levels taken out in closed form, starts, what a fit is worth against others. Does not
//! belong here: lamps that age at different paces.

use crate::fit::{Fit, NoFit, Residuals, fit};

use super::{Curve, Form, Reading};

/// A coordinate with a larger standard deviation is not known: a factor of 20 either way on rates and times.
const LOOSE: f64 = 3.0;

/// A curve through readings.
#[derive(Debug, Clone, PartialEq)]
pub struct CurveFit {
    /// The curve.
    pub curve: Curve,
    /// The fit in the curve's coordinates.
    pub fit: Fit,
    /// Variance of ln(reading) about it.
    pub variance: f64,
    /// Degrees of freedom of that: readings less lamps less parameters.
    pub freedom: f64,
    /// Akaike's criterion with its correction for few readings (Hurvich and Tsai 1989), levels counted as parameters; lower is
    /// better, and infinite where there are too few readings.
    pub aicc: f64,
    /// ln(light at 0 h) of each lamp.
    pub levels: Vec<f64>,
}

/// Readings and a form.
struct Profiled<'a> {
    form: Form,
    lamps: &'a [Vec<Reading>],
}

/// A weighted mean over a lamp.
fn mean(lamp: &[Reading], of: impl Fn(&Reading) -> f64) -> f64 {
    let (sum, weight) = lamp.iter().fold((0.0, 0.0), |(s, w), r| (s + r.weight * of(r), w + r.weight));
    sum / weight
}

impl Residuals for Profiled<'_> {
    fn count(&self) -> usize {
        self.lamps.iter().map(Vec::len).sum()
    }

    fn residuals(&self, parameters: &[f64], residuals: &mut [f64]) {
        let curve = Curve::at(self.form, parameters);
        let mut into = residuals.iter_mut();
        for lamp in self.lamps {
            let over = |r: &Reading| r.log_light - curve.log_share(r.hours);
            let level = mean(lamp, over);
            for (reading, residual) in lamp.iter().zip(into.by_ref()) {
                *residual = reading.weight.sqrt() * (over(reading) - level);
            }
        }
    }

    fn slopes(&self, parameters: &[f64], slopes: &mut [f64]) {
        let curve = Curve::at(self.form, parameters);
        let count = self.count();
        let mut row = 0;
        for lamp in self.lamps {
            let of: Vec<[f64; 3]> = lamp.iter().map(|reading| curve.log_slopes(reading.hours)).collect();
            let weight: f64 = lamp.iter().map(|reading| reading.weight).sum();
            for (k, column) in slopes.chunks_mut(count).enumerate() {
                let middle = lamp.iter().zip(&of).map(|(r, s)| r.weight * s[k]).sum::<f64>() / weight;
                for ((reading, slope), into) in lamp.iter().zip(&of).zip(&mut column[row..]) {
                    *into = -reading.weight.sqrt() * (slope[k] - middle);
                }
            }
            row += lamp.len();
        }
    }
}

/// Coordinates from which the search begins.
fn starts(form: Form, lamps: &[Vec<Reading>]) -> Vec<Vec<f64>> {
    let last = lamps.iter().flatten().map(|reading| reading.hours).fold(0.0, f64::max) / 1000.0;
    // what is lost from the first to the last reading of a lamp, on average; at least something, so that logarithms exist
    let lost = lamps.iter().filter_map(|lamp| Some(lamp.first()?.log_light - lamp.last()?.log_light)).sum::<f64>();
    let lost = (lost / lamps.len() as f64).max(1e-3);
    match form {
        Form::Exponential => vec![vec![lost / last]],
        Form::Stretched => [0.4, 0.7, 1.0, 1.6]
            .iter()
            .map(|power| vec![(last * lost.powf(-1.0 / power)).ln(), f64::ln(*power)])
            .collect(),
        Form::Biexponential => [(0.3, 20.0), (0.6, 8.0), (0.6, 3.0), (0.15, 60.0)]
            .iter()
            .map(|&(part, times)| {
                let share: f64 = (part * lost).clamp(1e-4, 0.9);
                vec![(share / (1.0 - share)).ln(), f64::ln(times / last), ((1.0 - part) * lost / last).ln()]
            })
            .collect(),
    }
}

/// Fits a form to lamps with two readings or more each.
///
/// # Errors
/// Too few readings, and readings that do not tell the form's parameters.
pub fn fit_curve(form: Form, lamps: &[Vec<Reading>]) -> Result<CurveFit, NoFit> {
    let problem = Profiled { form, lamps };
    let count = problem.count();
    let known = form.parameters() + lamps.len();
    if count <= known {
        return Err(NoFit::TooFew);
    }
    let mut found = fit(&problem, &starts(form, lamps))?;
    let freedom = (count - known) as f64;
    let variance = found.squares / freedom;
    let is_loose = found.deviations(variance).iter().any(|deviation| !(*deviation < LOOSE));
    if form != Form::Exponential && is_loose {
        return Err(NoFit::Flat);
    }
    let mut curve = Curve::at(form, &found.parameters);
    if let Curve::Biexponential { fast_share, fast_rate, slow_rate } = curve
        && slow_rate > fast_rate
    {
        // the two parts may come out in either order; signs of their covariance follow
        curve = Curve::Biexponential { fast_share: 1.0 - fast_share, fast_rate: slow_rate, slow_rate: fast_rate };
        found.parameters = curve.coordinates();
        let (from, order, sign) = (found.spread.clone(), [0, 2, 1], [-1.0, 1.0, 1.0]);
        for (k, entry) in found.spread.iter_mut().enumerate() {
            *entry = from[3 * order[k / 3] + order[k % 3]] * sign[k / 3] * sign[k % 3];
        }
    }
    let levels = lamps.iter().map(|lamp| mean(lamp, |r| r.log_light - curve.log_share(r.hours))).collect();
    // levels, parameters and the variance
    let (n, k) = (count as f64, (known + 1) as f64);
    let correction = if n - k - 1.0 > 0.0 { 2.0 * k * (k + 1.0) / (n - k - 1.0) } else { f64::INFINITY };
    let aicc = n * (found.squares / n).max(f64::MIN_POSITIVE).ln() + 2.0 * k + correction;
    Ok(CurveFit { curve, fit: found, variance, freedom, aicc, levels })
}
