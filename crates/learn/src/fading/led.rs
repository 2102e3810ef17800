//! The method by which tests of LEDs are projected (IES TM-21, as far as public summaries give it).
//!
//! Belongs here: which readings count, the line through their means, how far it may be used. Does not belong here: other light
//! sources; what the method says nothing about (drivers, optics, luminaires).
//!
//! Sources: model, normalising, averaging and the caps for 20 and for 10 to 19 units, and interpolation between temperatures:
//! E. Richman (PNNL), slides for the US Department of Energy's solid-state lighting programme, and Addendum B to TM-21-11, 5.2.3
//! (the window up to 10 000 h) and 4.3 (48 h about each time). The window beyond 10 000 h: trade summaries. No projection below 10
//! units, and the cap where light does not fall: from memory. The ends of the window take the same 48 h: judgement, no source.

use super::Reading;

/// Readings within so many hours of a time count for it, h.
const ABOUT: f64 = 48.0;
/// Shortest test that is projected, h.
const SHORTEST: f64 = 6_000.0;
/// Up to here the last 5 000 h count, beyond the last half, h.
const LONG: f64 = 10_000.0;

/// The mean of all units at one time of a test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stamp {
    /// Mean burn hours of its readings, h.
    pub hours: f64,
    /// Mean share of the light at the first reading.
    pub share: f64,
    /// Units of which it is the mean.
    pub units: usize,
}

/// The line ln(mean share) = ln(start) − rate · hours through a window of means.
#[derive(Debug, Clone, PartialEq)]
pub struct LedFit {
    /// B: share of initial light from which the line falls.
    pub start: f64,
    /// α, 1/h; 0 or less where light does not fall.
    pub rate: f64,
    /// First and last means that count, h.
    pub window: (f64, f64),
    /// Means that count.
    pub stamps: usize,
    /// Mean burn hours of the first readings, whose light is taken as 1, h.
    pub first: f64,
    /// Length of the test, h.
    pub tested: f64,
    /// Units that were read at all times.
    pub units: usize,
    /// Indices of the units that were not, and do not count.
    pub missed: Vec<usize>,
    /// Standard deviation between units of α, share of its mean, what the noise of readings makes of it taken off; absent below
    /// three units and where light does not fall.
    pub rate_spread: Option<f64>,
    /// Variances of ln(start) and of the rate and their covariance, by how single units' lines differ; absent below three units.
    pub covariance: Option<[f64; 3]>,
}

impl LedFit {
    /// Hours to a share of initial light: ln(start/share)/rate; infinite where light does not fall.
    pub fn hours_to(&self, share: f64) -> f64 {
        if self.rate > 0.0 { (self.start / share).ln().max(0.0) / self.rate } else { f64::INFINITY }
    }

    /// Farthest hours for which the method speaks: a multiple of the test; absent below 10 units or 6 000 h, and where nobody
    /// read the light at 0 h.
    pub fn cap(&self) -> Option<f64> {
        cap_multiple(self.units)
            .filter(|_| self.tested + ABOUT >= SHORTEST && self.is_from_new())
            .map(|multiple| multiple * self.tested)
    }

    /// Whether the first readings are those of new units, so that shares are of the light at 0 h.
    pub fn is_from_new(&self) -> bool {
        self.first <= ABOUT
    }

    /// ln(start) and rate for each row of two uniform numbers (0 < u < 1), by Student's t with one degree less than there are
    /// units; the fit itself where units do not tell.
    pub fn draws(&self, rows: &[Vec<f64>]) -> Vec<(f64, f64)> {
        use statrs::distribution::{ContinuousCDF, StudentsT};
        let middle = (self.start, self.rate);
        let (Some([a, b, ab]), Ok(t)) = (self.covariance, StudentsT::new(0.0, 1.0, (self.units as f64 - 1.0).max(1.0)))
        else {
            return vec![middle; rows.len()];
        };
        let along = b.max(0.0).sqrt();
        let across = if along > 0.0 { ab / along } else { 0.0 };
        let rest = (a - across * across).max(0.0).sqrt();
        let draw = |row: &Vec<f64>| match row[..] {
            [first, second, ..] => {
                let (first, second) = (t.inverse_cdf(first), t.inverse_cdf(second));
                (self.start * (across * first + rest * second).exp(), self.rate + along * first)
            }
            _ => middle,
        };
        rows.iter().map(draw).collect()
    }
}

/// How many times a test's length it may be projected: 6 from 20 units on, 5.5 from 10; none below.
pub fn cap_multiple(units: usize) -> Option<f64> {
    match units {
        20.. => Some(6.0),
        10..=19 => Some(5.5),
        _ => None,
    }
}

/// Hours from which readings count in a test of this length: the last 5 000 h and nothing before 1 000 h, of a test longer than
/// 10 000 h the last half.
pub fn window(tested: f64) -> f64 {
    if tested > LONG + ABOUT { 0.5 * tested } else { (tested - 5_000.0).max(1_000.0) }
}

/// A unit that was read at every time: its index, and hours and shares.
struct Whole {
    unit: usize,
    points: Vec<(f64, f64)>,
}

/// Units as shares of their first readings, with those left out that were not read at every time; and the times.
fn whole(units: &[Vec<Reading>]) -> (Vec<Whole>, usize) {
    let mut hours: Vec<f64> = units.iter().flatten().map(|reading| reading.hours).collect();
    hours.sort_by(f64::total_cmp);
    let mut times: Vec<f64> = vec![];
    for hour in hours {
        if times.last().is_none_or(|time| hour - time > 2.0 * ABOUT) {
            times.push(hour);
        }
    }
    let at = |hour: f64| times.partition_point(|time| *time <= hour).saturating_sub(1);
    let shares = |unit: &Vec<Reading>| -> Option<Vec<(f64, f64)>> {
        let first = unit.first()?.log_light;
        let mut found: Vec<Option<(f64, f64)>> = vec![None; times.len()];
        for reading in unit {
            found[at(reading.hours)] = Some((reading.hours, (reading.log_light - first).exp()));
        }
        found.into_iter().collect()
    };
    let all = units.iter().enumerate();
    (all.filter_map(|(unit, readings)| Some(Whole { unit, points: shares(readings)? })).collect(), times.len())
}

/// Means of all units at each time of the test, each unit as a share of its first reading. Units that miss a time are left
/// out: a mean over other units than before would not be theirs.
pub fn averages(units: &[Vec<Reading>]) -> Vec<Stamp> {
    let (units, times) = whole(units);
    let count = units.len();
    let mean =
        |k: usize, of: fn(&(f64, f64)) -> f64| units.iter().map(|unit| of(&unit.points[k])).sum::<f64>() / count as f64;
    (0..if count > 0 { times } else { 0 })
        .map(|k| Stamp { hours: mean(k, |r| r.0), share: mean(k, |r| r.1), units: count })
        .collect()
}

/// ln(share) = intercept − rate · hours by least squares.
fn line(points: &[(f64, f64)]) -> (f64, f64) {
    let n = points.len() as f64;
    let (x, y) = points.iter().fold((0.0, 0.0), |(x, y), p| (x + p.0 / n, y + p.1.ln() / n));
    let width: f64 = points.iter().map(|p| (p.0 - x).powi(2)).sum();
    let rate = -points.iter().map(|p| (p.0 - x) * (p.1.ln() - y)).sum::<f64>() / width;
    (y + rate * x, rate)
}

/// The line through the window of a test's means. None with fewer than three means in the window.
pub fn led_fit(units: &[Vec<Reading>]) -> Option<LedFit> {
    let stamps = averages(units);
    let tested = stamps.last()?.hours;
    let from = window(tested) - ABOUT;
    let counted = |hours: f64| hours >= from;
    let means: Vec<(f64, f64)> =
        stamps.iter().filter(|stamp| counted(stamp.hours)).map(|stamp| (stamp.hours, stamp.share)).collect();
    if means.len() < 3 || !(means[means.len() - 1].0 > means[0].0) {
        return None;
    }
    let (start, rate) = line(&means);
    let given = units.len();
    let (units, _) = whole(units);
    let missed = (0..given).filter(|k| units.iter().all(|unit| unit.unit != *k)).collect();
    // the same times as the means
    let within = |unit: &Whole| -> Vec<(f64, f64)> {
        stamps.iter().zip(&unit.points).filter(|(stamp, _)| counted(stamp.hours)).map(|(_, point)| *point).collect()
    };
    let windows: Vec<Vec<(f64, f64)>> = units.iter().map(within).collect();
    let lines: Vec<(f64, f64)> = windows.iter().map(|points| line(points)).collect();
    Some(LedFit {
        start: start.exp(),
        rate,
        window: (means[0].0, means[means.len() - 1].0),
        stamps: means.len(),
        first: stamps[0].hours,
        tested,
        units: units.len(),
        missed,
        rate_spread: rate_spread(&windows, &lines),
        covariance: covariance(&lines),
    })
}

/// Standard deviation between units of the rates of their lines, share of the mean: variance of the rates less what the residuals
/// about the lines make of it, 0 where that is all.
fn rate_spread(windows: &[Vec<(f64, f64)>], lines: &[(f64, f64)]) -> Option<f64> {
    let count = lines.len() as f64;
    let mean = lines.iter().map(|line| line.1).sum::<f64>() / count;
    if lines.len() < 3 || !(mean > 0.0) {
        return None;
    }
    let variance = lines.iter().map(|line| (line.1 - mean).powi(2)).sum::<f64>() / (count - 1.0);
    let (mut squares, mut freedom, mut loose) = (0.0, 0.0, 0.0);
    for (points, (level, rate)) in windows.iter().zip(lines) {
        let middle = points.iter().map(|p| p.0).sum::<f64>() / points.len() as f64;
        squares += points.iter().map(|p| (p.1.ln() - level + rate * p.0).powi(2)).sum::<f64>();
        freedom += points.len() as f64 - 2.0;
        loose += 1.0 / points.iter().map(|p| (p.0 - middle).powi(2)).sum::<f64>() / count;
    }
    Some((variance - squares / freedom * loose).max(0.0).sqrt() / mean)
}

/// Variances and covariance of the means of pairs.
fn covariance(pairs: &[(f64, f64)]) -> Option<[f64; 3]> {
    let n = pairs.len() as f64;
    let (a, b) = pairs.iter().fold((0.0, 0.0), |(a, b), pair| (a + pair.0 / n, b + pair.1 / n));
    let sum = |of: &dyn Fn(&(f64, f64)) -> f64| pairs.iter().map(of).sum::<f64>() / (n * (n - 1.0));
    (pairs.len() > 2).then(|| {
        [sum(&|pair| (pair.0 - a).powi(2)), sum(&|pair| (pair.1 - b).powi(2)), sum(&|pair| (pair.0 - a) * (pair.1 - b))]
    })
}

/// What holds between two temperatures of a test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Between {
    /// Activation energy over Boltzmann's constant, K.
    pub activation_k: f64,
    /// Factor before the exponential, 1/h.
    pub factor: f64,
    /// B there.
    pub start: f64,
    /// α there, 1/h.
    pub rate: f64,
}

/// Between two temperatures (°C), each with its (B, α): Arrhenius's law for α and √(B₁·B₂). None outside the two, because nobody
/// looked there, nor where light does not fall at both.
pub fn between_temperatures(cool: (f64, f64, f64), hot: (f64, f64, f64), wanted: f64) -> Option<Between> {
    const ZERO: f64 = 273.15;
    let inside = cool.0 < hot.0 && wanted >= cool.0 && wanted <= hot.0 && cool.0 > -ZERO;
    if !(inside && cool.2 > 0.0 && hot.2 > 0.0 && cool.1 > 0.0 && hot.1 > 0.0) {
        return None;
    }
    let activation_k = (cool.2 / hot.2).ln() / (1.0 / (hot.0 + ZERO) - 1.0 / (cool.0 + ZERO));
    let factor = cool.2 * (activation_k / (cool.0 + ZERO)).exp();
    let rate = factor * (-activation_k / (wanted + ZERO)).exp();
    Some(Between { activation_k, factor, start: (cool.1 * hot.1).sqrt(), rate })
}
