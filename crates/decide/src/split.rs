//! Ignorance, luck and simulation noise: the law of total variance on trials that are lived twice.
//!
//! With inputs θ and luck, Var(C) = Var(E[C | θ]) + E[Var(C | θ)]. Two lives C and C′ with the same inputs and other luck
//! differ by luck alone: E[(C − C′)²]/2 = E[Var(C | θ)]. The rest of the variance is ignorance.

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
    let (_, sd) = mean(costs);
    let pairs = outcome.twice(option, contract);
    let m = pairs.len() as f64;
    let whole = Split { whole: sd, simulation: sd / n.sqrt(), twins: pairs.len() as u64, ..Split::default() };
    if sd == 0.0 || knows_all || pairs.len() < 2 {
        return Split { luck: Estimate { value: sd, se: sd / (2.0 * n).sqrt() }, ..whole };
    }
    // two lives with the same inputs differ by luck alone: half the mean square of their difference is its variance
    let squares: Vec<f64> = pairs.iter().map(|(a, b)| 0.5 * (a - b) * (a - b)).collect();
    let (square, spread) = mean(&squares);
    let variance = sd * sd;
    let luck = square.value.min(variance);
    let luck_error = spread / m.sqrt();
    // the error of a standard deviation is that of its variance over twice itself; near 0 it is bounded by its root
    let of = |part: f64, se: f64| {
        let sd = part.sqrt();
        Estimate { value: sd, se: if part > se { 0.5 * se / sd } else { se.sqrt() } }
    };
    let whole_error = variance * (2.0 / n).sqrt();
    Split { ignorance: of(variance - luck, luck_error.hypot(whole_error)), luck: of(luck, luck_error), ..whole }
}
