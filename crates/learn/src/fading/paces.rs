//! Lamps that age at different paces: a mixed model by restricted maximum likelihood.
//!
//! Belongs here: spread and mean of slopes. Does not belong here: the curve that gives the time its measure.
//!
//! With u = −ln M(b) of the common curve, ln(reading) = level of the lamp − slope of the lamp · u + noise. Levels are fixed; slopes are
//! normal about a mean, with a variance of their own. Each lamp comes down to its own line in closed form (slope, Σ(u − ū)²,
//! residual squares), and of all lamps only the ratio of both variances is left to be searched: a function of one number. For
//! equally read lamps the answer is that of the analysis of variance: variance of the slopes less noise over Σ(u − ū)².

use super::{Curve, Reading};

/// Fewest lamps whose differences mean anything.
const FEWEST: usize = 3;

/// How lamps differ in their pace, in units of the common curve's −ln M.
#[derive(Debug, Clone, PartialEq)]
pub struct Paces {
    /// Mean slope: 1 where the common curve is that of the mean lamp.
    pub mean: f64,
    /// Its standard error.
    pub error: f64,
    /// What that would be if all lamps were alike.
    pub error_of_noise: f64,
    /// Standard deviation between lamps.
    pub spread: f64,
    /// Variance of ln(reading) about a lamp's own curve.
    pub noise: f64,
    /// Degrees of freedom of the lamps' own lines together.
    pub freedom: f64,
    /// Lamps that tell.
    pub lamps: usize,
    /// d ln u / d ln b at the last reading: how strongly −ln M goes with hours.
    pub elasticity: f64,
    /// Standard deviation between lamps of ln(light at 0 h), the noise of the readings taken off; it means something only where
    /// all were read in one unit and one place.
    pub level_spread: f64,
}

/// A lamp's own line.
struct Line {
    slope: f64,
    /// Σ w (u − ū)².
    width: f64,
    squares: f64,
    freedom: f64,
    level: f64,
    /// Variance of the level, in units of the noise.
    level_loose: f64,
}

fn line(lamp: &[Reading], curve: &Curve) -> Option<Line> {
    let weight: f64 = lamp.iter().map(|reading| reading.weight).sum();
    let points = || lamp.iter().map(|r| (r.weight, -curve.log_share(r.hours), r.log_light));
    let (u, y) = points().fold((0.0, 0.0), |(u, y), (w, at, light)| (u + w * at / weight, y + w * light / weight));
    let width: f64 = points().map(|(w, at, _)| w * (at - u).powi(2)).sum();
    if !(width > 1e-12 * weight * u * u) || lamp.len() < 2 {
        return None;
    }
    let slope = -points().map(|(w, at, light)| w * (at - u) * (light - y)).sum::<f64>() / width;
    let squares = points().map(|(w, at, light)| w * (light - y + slope * (at - u)).powi(2)).sum();
    Some(Line {
        slope,
        width,
        squares,
        freedom: lamp.len() as f64 - 2.0,
        level: y + slope * u,
        level_loose: 1.0 / weight + u * u / width,
    })
}

/// Mean, its error and the restricted likelihood at a ratio of the variance between slopes to that of the noise.
struct Profile {
    mean: f64,
    noise: f64,
    /// Σ 1/(ratio + 1/width).
    information: f64,
    /// −2 ln of the restricted likelihood, but for a constant.
    deviance: f64,
}

fn profile(lines: &[Line], ratio: f64) -> Profile {
    let loose = |line: &Line| ratio + 1.0 / line.width;
    let information: f64 = lines.iter().map(|line| 1.0 / loose(line)).sum();
    let mean = lines.iter().map(|line| line.slope / loose(line)).sum::<f64>() / information;
    let squares: f64 = lines.iter().map(|line| line.squares + (line.slope - mean).powi(2) / loose(line)).sum();
    let freedom = lines.iter().map(|line| line.freedom + 1.0).sum::<f64>() - 1.0;
    let noise = squares / freedom;
    let logs: f64 = lines.iter().map(|line| loose(line).ln()).sum();
    Profile { mean, noise, information, deviance: freedom * noise.ln() + logs + information.ln() }
}

/// How lamps with two readings or more differ in their pace along a curve; `last` is the last reading's burn hours. None below
/// three lamps or without a reading to spare.
pub fn paces(lamps: &[Vec<Reading>], curve: &Curve, last: f64) -> Option<Paces> {
    let lines: Vec<Line> = lamps.iter().filter_map(|lamp| line(lamp, curve)).collect();
    let freedom: f64 = lines.iter().map(|line| line.freedom).sum();
    if lines.len() < FEWEST || !(freedom >= 1.0) {
        return None;
    }
    let ratio = likeliest(&lines);
    let Profile { mean, noise, information, .. } = profile(&lines, ratio);
    if !(noise > 0.0 && mean.is_finite()) {
        return None;
    }
    let count = lines.len() as f64;
    let middle = lines.iter().map(|line| line.level).sum::<f64>() / count;
    let levels = lines.iter().map(|line| (line.level - middle).powi(2)).sum::<f64>() / (count - 1.0);
    let level_noise = noise * lines.iter().map(|line| line.level_loose).sum::<f64>() / count;
    Some(Paces {
        mean,
        error: (noise / information).sqrt(),
        error_of_noise: (noise / lines.iter().map(|line| line.width).sum::<f64>()).sqrt(),
        spread: (noise * ratio).sqrt(),
        noise,
        freedom,
        lamps: lines.len(),
        elasticity: curve.elasticity(last),
        level_spread: (levels - level_noise).max(0.0).sqrt(),
    })
}

impl Paces {
    /// ln(light at 0 h) of a lamp by its own line along the curve by which these paces were found; none where its readings give
    /// none.
    ///
    /// Its slope is the likeliest with all lamps known: its own where its readings tell it well beside the spread between lamps,
    /// the mean of all where they tell little or lamps do not differ (best linear unbiased prediction; from memory).
    pub fn level(&self, lamp: &[Reading], curve: &Curve) -> Option<f64> {
        let own = line(lamp, curve)?;
        let weight: f64 = lamp.iter().map(|reading| reading.weight).sum();
        let u = lamp.iter().map(|r| -r.weight * curve.log_share(r.hours)).sum::<f64>() / weight;
        let (between, loose) = (self.spread * self.spread, self.noise / own.width);
        let slope = (own.slope * between + self.mean * loose) / (between + loose);
        Some(own.level + (slope - own.slope) * u)
    }
}

/// The ratio of variances with the least deviance: a grid over twelve powers of ten, then the golden section; 0 where nothing
/// above is better.
fn likeliest(lines: &[Line]) -> f64 {
    const STEPS: i32 = 72;
    let scale = lines.len() as f64 / lines.iter().map(|line| line.width).sum::<f64>();
    let ratio = |x: f64| scale * 10f64.powf(x);
    let deviance = |x: f64| profile(lines, ratio(x)).deviance;
    let grid = (0..=STEPS).map(|k| -6.0 + 12.0 * f64::from(k) / f64::from(STEPS));
    let best = grid.min_by(|a, b| deviance(*a).total_cmp(&deviance(*b))).unwrap_or(0.0);
    let (mut low, mut high) = (best - 12.0 / f64::from(STEPS), best + 12.0 / f64::from(STEPS));
    let golden = 0.5 * (5f64.sqrt() - 1.0);
    for _ in 0..60 {
        let (a, b) = (high - golden * (high - low), low + golden * (high - low));
        if deviance(a) < deviance(b) { high = b } else { low = a }
    }
    let found = 0.5 * (low + high);
    if deviance(found) < profile(lines, 0.0).deviance { ratio(found) } else { 0.0 }
}
