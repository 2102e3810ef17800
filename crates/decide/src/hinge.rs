//! On which uncertain figure a choice is most likely to hinge: a first guess at what to ask about, made without simulating.
//!
//! Belongs here: picking an input and a pair. Does not belong here: finding out whether it hinges there, which
//! [`crate::drivers`] and [`crate::breakeven`] do.

use plan::{InputId, Plan};

use crate::result::RunResult;

/// An uncertain figure of one option, and the two options between which it may decide.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hinge {
    /// Index of the option whose figure it is.
    pub option: usize,
    /// Index of the option that it competes with.
    pub against: usize,
    /// JSON Pointer of the figure.
    pub pointer: String,
}

/// The figure of a lamp's life that is least certain, as ln(90 % point / 10 % point); without one the least certain figure of
/// any option on which lives depend. It competes with the cheapest other option under the first contract. Nothing where no
/// figure of an option is uncertain, or nothing competes.
pub fn hinge(plan: &Plan, run: &RunResult) -> Option<Hinge> {
    let width = |id: &InputId| {
        let input = plan.inputs.at(*id);
        let (low, high) = (input.quantile(0.1), input.quantile(0.9));
        if low > 0.0 && high > low { (high / low).ln() } else { 0.0 }
    };
    let uncertain = |id: &InputId| {
        let input = plan.inputs.at(*id);
        !input.is_handle && plan.option_of(*id).is_some() && !plan.only_prices(*id) && width(id) > 0.0
    };
    let of_life = |id: &InputId| plan.inputs.at(*id).pointer.contains("/lamp/life/");
    let widest = |wanted: &dyn Fn(&InputId) -> bool| {
        let fitting = plan.input_ids().filter(|id| uncertain(id) && wanted(id));
        fitting.max_by(|a, b| width(a).total_cmp(&width(b)))
    };
    let id = widest(&of_life).or_else(|| widest(&|_| true))?;
    let option = plan.option_of(id)?;
    let order = &run.contracts.first()?.ranking.order;
    let against = order.iter().copied().find(|other| *other != option)?;
    Some(Hinge { option, against, pointer: plan.inputs.at(id).pointer.clone() })
}
