//! What must be the same in all ways of relamping, so that they can be raced.

use plan::{OptionPlan, Plan, Rhythm};

use crate::relamp_words::dated;

/// An option in a form in which all policies can be raced: cleaned at one rhythm, whether there are groups or not, and
/// without counting useful photons, which the search does not tell.
pub(crate) fn comparable(plan: &Plan, contract: usize, option: &OptionPlan, said: &mut Vec<String>) -> OptionPlan {
    let mut option = option.clone();
    let timeline = &plan.clocks[plan.contracts[contract].clock].timeline;
    let relamps = dated(plan, contract, &option);
    if let Some(cleaning) = option.cleaning.as_mut().filter(|cleaning| cleaning.rhythm == Rhythm::WithGroup) {
        let first = relamps.first().map_or(timeline.lit_hours, |visit| visit.burn_h);
        let days = timeline.elapsed_hours / 24.0 * first / timeline.lit_hours;
        cleaning.rhythm = Rhythm::Fixed(days);
        said.push(format!(
            "{}: cleaned with the group as written; so that no policy is cleaned more than another, all are cleaned every \
             {days:.0} days here",
            option.name
        ));
    }
    if option.light.ceiling.take().is_some() {
        said.push(format!(
            "{}: photons above the ceiling of PPFD count here; `run` tells the useful ones apart",
            option.name
        ));
    }
    option
}

/// The same option with nothing promised about its lamps; none if nothing is.
pub(crate) fn without_warranty(option: &OptionPlan) -> Option<OptionPlan> {
    let mut option = option.clone();
    option.lamp.as_mut()?.warranty.take()?;
    Some(option)
}
