//! How light fades, from readings of single lamps over burn hours.
//!
//! Belongs here: readings, and what a curve through them comes to, with its uncertainty. Does not belong here: the search
//! (`fit`), the forms of the curve (`curve`), one level for each lamp (`within`), lamps that differ (`paces`), readings that
//! stick out (`outliers`), the method for tests of LEDs (`led`).
//!
//! ln(reading of lamp i at hours b) = level of lamp i + ln M(pace of lamp i · b) + noise. Levels are free, so that lamps may be
//! read in units and at heights of their own and a lamp that dies early bends nothing. Paces spread about their mean. What a handful
//! of lamps leaves open has two parts, which are drawn apart and added: the noise of the readings (in the coordinates of the
//! curve, asymptotically normal) and the choice of just these lamps (the mean of their paces). Both are drawn as Student's t.

mod curve;
mod draws;
mod led;
mod outliers;
mod paces;
mod within;

pub use curve::{Curve, Form};
pub use draws::draws;
pub use led::{Between, LedFit, Stamp, averages, between_temperatures, cap_multiple, led_fit, window};
pub use outliers::{Outlier, outliers};
pub use paces::{Paces, paces};
pub use within::{CurveFit, fit_curve};

use crate::fit::NoFit;

/// One reading of a lamp, or the mean of several at nearly the same hours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Burn hours, h.
    pub hours: f64,
    /// Natural logarithm of the light, in any unit that is one lamp's throughout.
    pub log_light: f64,
    /// Readings that it stands for.
    pub weight: f64,
}

/// A curve through the readings of lamps, with what is not known of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Fading {
    /// The curve of a lamp of mean pace.
    pub curve: Curve,
    /// The fit with one pace for all lamps.
    pub fit: CurveFit,
    /// How lamps differ; absent below three lamps that tell.
    pub paces: Option<Paces>,
    /// Variance of ln(reading) about a lamp's own curve.
    pub noise: f64,
    /// Degrees of freedom of that.
    pub freedom: f64,
    /// Standard deviation, by the choice of lamps, of the logarithm of their mean pace.
    pub pace_error: f64,
}

impl Fading {
    /// Standard deviation between lamps of their pace, share of the mean; absent where nobody can tell.
    ///
    /// To first order: spread of −ln M between lamps over its elasticity to hours at the last reading.
    pub fn pace_spread(&self) -> Option<f64> {
        self.paces.as_ref().map(|paces| paces.spread / (paces.mean.abs() * paces.elasticity))
    }
}

/// Fits a form of curve to lamps with two readings or more each.
///
/// # Errors
/// Too few readings, and readings that do not tell the form's parameters.
pub fn fade(form: Form, lamps: &[Vec<Reading>]) -> Result<Fading, NoFit> {
    let fit = fit_curve(form, lamps)?;
    let last = lamps.iter().flatten().map(|reading| reading.hours).fold(0.0, f64::max);
    let paces = paces(lamps, &fit.curve, last).filter(|paces| paces.mean > 0.0 || form == Form::Exponential);
    let Some(known) = &paces else {
        return Ok(Fading { curve: fit.curve, noise: fit.variance, freedom: fit.freedom, fit, paces, pace_error: 0.0 });
    };
    // lamps count alike, whatever their number of readings: to first order, −ln M is that of the fit times the mean
    let pace = if form == Form::Exponential { known.mean } else { known.mean.powf(1.0 / known.elasticity) };
    // what the mean of paces owes to the noise of readings is in the covariance of the curve already
    let by_choice = (known.error.powi(2) - known.error_of_noise.powi(2)).max(0.0).sqrt();
    Ok(Fading {
        curve: fit.curve.paced(pace),
        noise: known.noise,
        freedom: known.freedom,
        pace_error: by_choice / (known.mean.abs() * known.elasticity),
        fit,
        paces,
    })
}

#[cfg(test)]
mod tests;
