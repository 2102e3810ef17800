//! Ignorance, luck and simulation noise: the law of total variance on trials that are lived twice.
//!
//! With inputs θ and luck, Var(C) = Var(E[C | θ]) + E[Var(C | θ)]. Two lives C and C′ with the same inputs and other luck
//! have the covariance Var(E[C | θ]): that is ignorance. The rest of the variance is luck.

use engine::Outcome;
use plan::Plan;

use crate::result::{Estimate, Split};
use crate::spread::mean;

/// Whether no input of a plan is uncertain: then nothing is ignorance.
pub(crate) fn knows_all(plan: &Plan) -> bool {
    plan.inputs.iter().all(|input| input.distribution.is_certain())
}

/// Splits the spread of the levelized cost of an option under a contract; `costs` are its trials.
pub(crate) fn split(outcome: &Outcome, option: usize, contract: usize, costs: &[f64], knows_all: bool) -> Split {
    let n = costs.len() as f64;
    let (average, sd) = mean(costs);
    let pairs = outcome.twice(option, contract);
    let m = pairs.len() as f64;
    let whole = Split { whole: sd, simulation: sd / n.sqrt(), twins: pairs.len() as u64, ..Split::default() };
    if sd == 0.0 || knows_all || pairs.len() < 2 {
        return Split { luck: Estimate { value: sd, se: sd / (2.0 * n).sqrt() }, ..whole };
    }
    // both lives have one mean; the best guess of it is that of all trials
    let centre = average.value;
    let products: Vec<f64> = pairs.iter().map(|(a, b)| (a - centre) * (b - centre)).collect();
    let (product, spread) = mean(&products);
    let variance = sd * sd;
    let ignorance = product.value.clamp(0.0, variance);
    let luck = variance - ignorance;
    // the error of a standard deviation is that of its variance over twice itself; near 0 it is bounded by its root
    let se = spread / m.sqrt();
    let of = |part: f64| {
        let sd = part.sqrt();
        Estimate { value: sd, se: if part > se { 0.5 * se / sd } else { se.sqrt() } }
    };
    Split { ignorance: of(ignorance), luck: of(luck), ..whole }
}
