//! How far a number may lie off before the likelihood has fallen too far, all else at its best for it.

use statrs::distribution::{ChiSquared, ContinuousCDF};

use super::fit::{Likelihood, Top};

/// Farthest that an end is sought, on the scale of logarithms.
const FARTHEST: f64 = 25.0;

/// A line through the plane of (a, b) on which a number is fixed: `from` + t · `along`, sought from `start` on.
pub(super) struct Line {
    pub from: [f64; 2],
    pub along: [f64; 2],
    pub start: f64,
}

/// Ends of the interval of a confidence about `best`, by 2·(ln L at the top − ln L at its best for the number) = χ² with one
/// degree of freedom. `line` gives the line of a number; `se` is its standard error, which only says where to look first.
pub(super) fn interval(
    likelihood: &Likelihood,
    top: &Top,
    best: f64,
    se: f64,
    confidence: f64,
    line: &dyn Fn(f64) -> Line,
) -> (Option<f64>, Option<f64>) {
    let Ok(squares) = ChiSquared::new(1.0) else { return (None, None) };
    let limit = squares.inverse_cdf(confidence);
    let first = if se.is_finite() && se > 0.0 { (limit.sqrt() * se).min(1.0) } else { 0.1 };
    let side = |sign: f64| {
        let mut start = None;
        let mut over = |off: f64| {
            let mut line = line(best + sign * off);
            // the best place for the last number is close to that for this one
            line.start = start.unwrap_or(line.start);
            let (value, at) = highest(likelihood, &line);
            start = Some(at);
            2.0 * (top.slopes.value - value) - limit
        };
        let (mut near, mut near_over) = (0.0, -limit);
        let (mut far, mut far_over) = (first, over(first));
        while !(far_over > 0.0) {
            if far > FARTHEST || far_over.is_nan() {
                return None;
            }
            (near, near_over) = (far, far_over);
            far *= 1.5;
            far_over = over(far);
        }
        // false position, halving the weight of an end that stays (Illinois)
        for _ in 0..100 {
            if far - near < 1e-12 * far {
                break;
            }
            let middle = if far_over.is_finite() {
                (near * far_over - far * near_over) / (far_over - near_over)
            } else {
                0.5 * (near + far)
            };
            let here = over(middle);
            if here.abs() < 1e-10 {
                return Some(best + sign * middle);
            }
            if here > 0.0 {
                (far, far_over, near_over) = (middle, here, 0.5 * near_over);
            } else {
                (near, near_over, far_over) = (middle, here, 0.5 * far_over);
            }
        }
        Some(best + sign * 0.5 * (near + far))
    };
    (side(-1.0), side(1.0))
}

/// The highest value on a line, and where: Newton's method with steps that are shortened until they climb.
fn highest(likelihood: &Likelihood, line: &Line) -> (f64, f64) {
    let at = |t: f64| [line.from[0] + t * line.along[0], line.from[1] + t * line.along[1]];
    let mut t = line.start;
    let mut here = likelihood.at(at(t));
    for _ in 0..100 {
        let [p, q] = line.along;
        let slope = here.first[0] * p + here.first[1] * q;
        let bend = here.second[0] * p * p + 2.0 * here.second[1] * p * q + here.second[2] * q * q;
        let mut step = if bend < 0.0 { -slope / bend } else { slope.signum() * (0.1 + 0.5 * t.abs()) };
        if !step.is_finite() {
            break;
        }
        let mut next = None;
        while step.abs() > 1e-15 * (1.0 + t.abs()) {
            if at(t + step)[0] > 0.0 {
                let there = likelihood.at(at(t + step));
                if there.value > here.value {
                    next = Some(there);
                    break;
                }
            }
            step *= 0.5;
        }
        let Some(there) = next else { break };
        (t, here) = (t + step, there);
        if step.abs() < 1e-12 * (1.0 + t.abs()) {
            break;
        }
    }
    (here.value, t)
}
