//! Beliefs about three numbers and more: weighted points on a hill that is fitted in rounds.
//!
//! Belongs here: where points lie, what they weigh, when they suffice. Does not belong here: what the likelihood is of.

use statrs::distribution::{ContinuousCDF, Normal};

use super::{FAR, NoPosterior, Posterior, Way, ln_normal};

/// Points in a round of fitting, and in the end.
const POINTS: (usize, usize) = (4_096, 16_384);
/// Rounds of fitting at most.
const ROUNDS: usize = 40;
/// Share of points that are to carry weight while the likelihood is let in.
const CARRYING: f64 = 0.15;
/// Least number of points of equal weight that the sum must be worth.
const LEAST: f64 = 200.0;
/// By how much the fitted hill is widened, so that its slopes are covered.
const WIDER: f64 = 1.3;
/// Strips of the way along which draws are taken.
const STRIPS: usize = 40;
/// Steps of the place within each share from which a draw is taken: √3 − 1, which is no power of the recurrence's own.
const SPREAD: f64 = 0.732_050_807_568_877_3;
/// One point in so many is taken from the prior itself.
const FROM_PRIOR: usize = 8;

/// A normal hill: its middle, and the lower triangle of its covariance's root.
struct Hill {
    middle: Vec<f64>,
    root: Vec<Vec<f64>>,
}

pub(super) fn points(
    numbers: usize,
    ln_likelihood: &dyn Fn(&[f64]) -> f64,
    draws: usize,
) -> Result<Posterior, NoPosterior> {
    let mut hill = Hill { middle: vec![0.0; numbers], root: unit(numbers) };
    let mut power = 0.0;
    for _ in 0..ROUNDS {
        let cast = Cast::new(&hill, POINTS.0, ln_likelihood)?;
        let last = power;
        power = cast.power(last);
        let weights = cast.weights(power);
        hill = Hill::fitted(&cast.places, &weights);
        if power == 1.0 && last == 1.0 {
            break;
        }
    }
    let cast = Cast::new(&hill, POINTS.1, ln_likelihood)?;
    let weights = cast.weights(1.0);
    let effective = effective(&weights);
    if power < 1.0 || !(effective >= LEAST) {
        return Err(NoPosterior::TooFewPoints);
    }
    let order = winding(&cast.places, &weights);
    // every so-many-th share of all weight along the winding way
    let (mut drawn, mut sum, mut next) = (Vec::with_capacity(draws), 0.0, order.iter());
    let mut at = order[0];
    for k in 0..draws {
        // not from the middle of each share: that would fall into step with the recurrence
        let wanted = (k as f64 + ((k as f64 + 1.0) * SPREAD).fract()) / draws as f64;
        while sum < wanted {
            let Some(&point) = next.next() else { break };
            (at, sum) = (point, sum + weights[point]);
        }
        drawn.push(cast.places[at].clone());
    }
    Ok(Posterior { draws: drawn, ln_evidence: cast.ln_mean(), effective, way: Way::Points(POINTS.1) })
}

/// The order of a way through all points that winds up and down along the second number while the first one rises strip by
/// strip, each strip of like weight: evenly taken from it, draws are even in both.
fn winding(places: &[Vec<f64>], weights: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..weights.len()).collect();
    order.sort_by(|&a, &b| places[a][0].total_cmp(&places[b][0]));
    let mut sum = 0.0;
    let mut strips: Vec<Vec<usize>> = vec![vec![]; STRIPS];
    for point in order {
        // a share of all weight, cut to the number of its strip
        strips[((sum * STRIPS as f64) as usize).min(STRIPS - 1)].push(point);
        sum += weights[point];
    }
    for (k, strip) in strips.iter_mut().enumerate() {
        strip.sort_by(|&a, &b| places[a][1].total_cmp(&places[b][1]));
        if k % 2 == 1 {
            strip.reverse();
        }
    }
    strips.concat()
}

/// Points that were cast over a hill.
struct Cast {
    places: Vec<Vec<f64>>,
    /// ln of the prior over how densely points lie.
    ln_prior: Vec<f64>,
    ln_likelihood: Vec<f64>,
}

impl Cast {
    fn new(hill: &Hill, count: usize, ln_likelihood: &dyn Fn(&[f64]) -> f64) -> Result<Self, NoPosterior> {
        let numbers = hill.middle.len();
        let steps = golden(numbers);
        let normal = Normal::standard();
        let mut cast = Self { places: vec![], ln_prior: vec![], ln_likelihood: vec![] };
        for k in 0..count {
            let z: Vec<f64> = steps
                .iter()
                .map(|step| normal.inverse_cdf((0.5 + (k as f64 + 1.0) * step).fract().clamp(1e-10, 1.0 - 1e-10)))
                .collect();
            let place = if k % FROM_PRIOR == 0 { z } else { hill.place(&z) };
            let within: Vec<f64> = place.iter().map(|z| z.clamp(-FAR, FAR)).collect();
            let prior: f64 = within.iter().map(|&z| ln_normal(z)).sum();
            let share = 1.0 / FROM_PRIOR as f64;
            let dense = share * prior.exp() + (1.0 - share) * hill.ln_density(&within).exp();
            cast.ln_likelihood.push(ln_likelihood(&within));
            cast.ln_prior.push(prior - dense.ln());
            cast.places.push(within);
        }
        let is_possible = cast.ln_likelihood.iter().any(|ln| ln.is_finite());
        if is_possible { Ok(cast) } else { Err(NoPosterior::Impossible) }
    }

    /// Weights with a power of the likelihood; they add up to 1.
    fn weights(&self, power: f64) -> Vec<f64> {
        let ln: Vec<f64> = self
            .ln_prior
            .iter()
            .zip(&self.ln_likelihood)
            .map(|(prior, seen)| if seen.is_finite() { prior + power * seen } else { f64::NEG_INFINITY })
            .collect();
        let top = ln.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let weights: Vec<f64> = ln.iter().map(|ln| (ln - top).exp()).collect();
        let whole: f64 = weights.iter().sum();
        weights.iter().map(|weight| weight / whole).collect()
    }

    /// The largest power of the likelihood, up to 1, with which enough points carry weight; no less than the last one, on whose
    /// hill these points lie. (Far below it they lie too close together for what the prior says, so that it would not do to
    /// search from 0.)
    fn power(&self, last: f64) -> f64 {
        let suffices = |power: f64| effective(&self.weights(power)) >= CARRYING * self.places.len() as f64;
        if suffices(1.0) {
            return 1.0;
        }
        let (mut low, mut high) = (last.ln().max(-30.0), 0.0);
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if suffices(f64::exp(middle)) { low = middle } else { high = middle }
        }
        low.exp()
    }

    /// ln of the mean of prior · likelihood over how densely points lie.
    fn ln_mean(&self) -> f64 {
        let ln: Vec<f64> = self.ln_prior.iter().zip(&self.ln_likelihood).map(|(a, b)| a + b).collect();
        let top = ln.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        top + (ln.iter().map(|ln| (ln - top).exp()).sum::<f64>() / ln.len() as f64).ln()
    }
}

/// Points of equal weight that weights are worth: 1/Σw² (Kish; from memory).
fn effective(weights: &[f64]) -> f64 {
    1.0 / weights.iter().map(|weight| weight * weight).sum::<f64>()
}

impl Hill {
    /// The hill with the weighted mean and the widened covariance of points.
    fn fitted(places: &[Vec<f64>], weights: &[f64]) -> Self {
        let numbers = places[0].len();
        let mean = |of: &dyn Fn(&[f64]) -> f64| -> f64 { places.iter().zip(weights).map(|(z, w)| w * of(z)).sum() };
        let middle: Vec<f64> = (0..numbers).map(|j| mean(&|z| z[j])).collect();
        let mut root = vec![vec![0.0; numbers]; numbers];
        for i in 0..numbers {
            for j in 0..=i {
                let covariance = WIDER * WIDER * mean(&|z| (z[i] - middle[i]) * (z[j] - middle[j]));
                let known: f64 = (0..j).map(|k| root[i][k] * root[j][k]).sum();
                root[i][j] = if i == j {
                    // points that all lie in one place would leave a hill without width
                    (covariance - known).max(1e-10).sqrt()
                } else {
                    (covariance - known) / root[j][j]
                };
            }
        }
        Self { middle, root }
    }

    fn place(&self, z: &[f64]) -> Vec<f64> {
        let row = |(middle, root): (&f64, &Vec<f64>)| middle + root.iter().zip(z).map(|(r, z)| r * z).sum::<f64>();
        self.middle.iter().zip(&self.root).map(row).collect()
    }

    fn ln_density(&self, place: &[f64]) -> f64 {
        let mut z: Vec<f64> = vec![];
        let mut ln = 0.0;
        for (i, root) in self.root.iter().enumerate() {
            let known: f64 = root.iter().zip(&z).map(|(r, z)| r * z).sum();
            let next = (place[i] - self.middle[i] - known) / root[i];
            ln += ln_normal(next) - root[i].ln();
            z.push(next);
        }
        ln
    }
}

fn unit(numbers: usize) -> Vec<Vec<f64>> {
    (0..numbers).map(|i| (0..numbers).map(|j| f64::from(u8::from(i == j))).collect()).collect()
}

/// Steps of an additive recurrence that fills the cube evenly: powers of 1/g, where g^(d+1) = g + 1.
fn golden(numbers: usize) -> Vec<f64> {
    let mut g = 2.0f64;
    for _ in 0..100 {
        g = (1.0 + g).powf(1.0 / (numbers as f64 + 1.0));
    }
    (1..=numbers as i32).map(|k| g.powi(-k)).collect()
}
