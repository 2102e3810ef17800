//! How sure a mean of readings is, and how sure the ratio of two.
//!
//! Belongs here: what is shared between readings and what is not. Does not belong here: how large each part is, which the
//! card says or whoever reads it assumes.
//!
//! A reading is truth · (1 + g) · (1 + s) · (1 + e): one g for all that a meter reads after one calibration, one s for all
//! that it reads of one kind of light, one e for each reading; readings in lux have · (1 + f) besides, with one f for a factor
//! and a kind of light. To first order, which is good to the square of the errors:
//!
//! - a mean Σ w·x has the relative variance g² + s² + f² + Σ(w·x·e)²/(Σ w·x)²;
//! - a ratio of two means has (g₁ − g₂)² instead of g₁² + g₂² where the meter is the same, so that equal gains cancel; the
//!   same with s where the kind of light is the same as well, and with f where factor and kind of light are the same,
//!   whatever the meter; what belongs to single readings never cancels.

/// Parts of the error of a mean, one standard deviation each, as shares of the mean.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MeterError {
    /// Of the meter's calibration: one for all its readings.
    pub gain: f64,
    /// Of the kind of light: one for all of its readings by that meter.
    pub source: f64,
    /// Of the factor by which readings in lux were divided; 0 for a meter of photons.
    pub factor: f64,
    /// What single readings leave in the mean.
    pub points: f64,
    /// What a law between heights adds; of this mean alone.
    pub law: f64,
}

impl MeterError {
    /// What errors of single readings leave in their weighted mean, as a share of it: √Σ(w·x·e)² / Σ w·x, each reading as
    /// (x, w, e), with e its own standard deviation as a share of it. Zero for a dark mean.
    ///
    /// ```
    /// use canopy::MeterError;
    /// // 25 equal readings of 2 % each: a fifth of it is left
    /// let left = MeterError::points_of((0..25).map(|_| (600.0, 0.04, 0.02)));
    /// assert!((left - 0.004).abs() < 1e-15);
    /// ```
    pub fn points_of(readings: impl IntoIterator<Item = (f64, f64, f64)>) -> f64 {
        let (mut sum, mut square) = (0.0, 0.0);
        for (reading, weight, error) in readings {
            sum += reading * weight;
            square += (reading * weight * error).powi(2);
        }
        if sum > 0.0 { square.sqrt() / sum } else { 0.0 }
    }

    /// What errors that go the same way in all readings leave in their weighted mean, as a share of it: Σ w·x·e / Σ w·x,
    /// each reading as (x, w, e). Zero for a dark mean. Cells that are guessed from the cells around them are such
    /// readings: on a peak all of them come out too low.
    ///
    /// ```
    /// use canopy::MeterError;
    /// // 2 of 25 equal readings, wrong by 10 % both
    /// let left = MeterError::common_of((0..25).map(|k| (600.0, 0.04, if k < 2 { 0.1 } else { 0.0 })));
    /// assert!((left - 0.008).abs() < 1e-15);
    /// ```
    pub fn common_of(readings: impl IntoIterator<Item = (f64, f64, f64)>) -> f64 {
        let (mut sum, mut off) = (0.0, 0.0);
        for (reading, weight, error) in readings {
            sum += reading * weight;
            off += reading * weight * error;
        }
        if sum > 0.0 { off / sum } else { 0.0 }
    }

    /// All of it: √(g² + s² + f² + points² + law²).
    pub fn total(&self) -> f64 {
        [self.gain, self.source, self.factor, self.points, self.law].iter().map(|part| part * part).sum::<f64>().sqrt()
    }
}

/// What two means share.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shared {
    /// Whether one meter, calibrated once, read both.
    pub meter: bool,
    /// Whether both are of one kind of light; it counts only with one meter.
    pub source: bool,
    /// Whether both were divided by one factor from lux, for one kind of light.
    pub factor: bool,
}

/// Parts of the error of a ratio of two means, one standard deviation each, as shares of the ratio.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RatioError {
    /// What the calibration leaves: 0 for one meter of one stated error.
    pub gain: f64,
    /// What the kinds of light leave.
    pub source: f64,
    /// What factors from lux leave.
    pub factor: f64,
    /// What single readings, and laws between heights, leave.
    pub points: f64,
}

impl RatioError {
    /// All of it.
    pub fn total(&self) -> f64 {
        [self.gain, self.source, self.factor, self.points].iter().map(|part| part * part).sum::<f64>().sqrt()
    }
}

/// How sure the ratio of two means is.
///
/// ```
/// use canopy::{MeterError, Shared, ratio_error};
/// let error = MeterError { gain: 0.05, source: 0.03, points: 0.004, ..MeterError::default() };
/// let arc_to_arc = ratio_error(error, error, Shared { meter: true, source: true, factor: false });
/// assert!((arc_to_arc.total() - 0.004 * 2f64.sqrt()).abs() < 1e-15);
/// let arc_to_led = ratio_error(error, error, Shared { meter: true, source: false, factor: false });
/// assert!((arc_to_led.total() - (2.0 * (0.03f64.powi(2) + 0.004f64.powi(2))).sqrt()).abs() < 1e-15);
/// ```
pub fn ratio_error(a: MeterError, b: MeterError, shared: Shared) -> RatioError {
    let part = |a: f64, b: f64, is_shared: bool| if is_shared { (a - b).abs() } else { a.hypot(b) };
    RatioError {
        gain: part(a.gain, b.gain, shared.meter),
        source: part(a.source, b.source, shared.meter && shared.source),
        factor: part(a.factor, b.factor, shared.factor),
        points: a.points.hypot(b.points).hypot(a.law.hypot(b.law)),
    }
}
