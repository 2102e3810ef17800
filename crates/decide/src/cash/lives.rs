//! What fixtures are worth at the horizon, by each way of treating unequal lives.
//!
//! Belongs here: one trial's worth. Does not belong here: which way is chosen.

use engine::Seen;
use finance::uniform_factor;
use plan::{InputId, Plan};

use crate::cash_report::Lives;

/// Worth of one option's fixtures at the horizon in one trial, in money as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Worth {
    /// As the scenario says, and as it is in what was priced.
    pub as_written: f64,
    /// By the way that was chosen.
    pub chosen: f64,
}

/// The worth in a trial that was looked at.
pub(super) fn worth(plan: &Plan, lives: Lives, seen: &Seen) -> Worth {
    let option = &plan.options[seen.option];
    let value = |id: InputId| seen.values[id.index()];
    let price = value(option.fixture_price) * f64::from(option.fixtures);
    let last = plan.money.booking.moment(plan.months().saturating_sub(1), 12.0);
    let level = (last * plan.money.inflation.map_or(0.0, value).ln_1p()).exp();
    let as_written = option.worth_at_end.map_or(0.0, |share| value(share) * price) * level;
    let years = f64::from(plan.years);
    let Some(lasts) = option.lasts.map(|lasts| value(lasts) / 12.0) else {
        return Worth { as_written, chosen: as_written };
    };
    let chosen = match lives {
        Lives::Horizon => as_written,
        Lives::Residual if lasts > years => price * (1.0 - years / lasts) * level,
        Lives::Residual => as_written,
        // the part of the outlay that equal yearly amounts over the service leave to the time after the horizon, carried
        // to the horizon; below 0 where the service is shorter than that
        Lives::Annual => {
            let rate = value(plan.money.discount_rate);
            let outlay: f64 = seen.priced.by_month.first().map_or(0.0, |start| start.iter().sum());
            let borne = outlay * uniform_factor(rate, years) / uniform_factor(rate, lasts);
            (outlay - borne) * (last * rate.ln_1p()).exp()
        }
    };
    Worth { as_written, chosen }
}

/// The way in words.
pub(super) fn remark(plan: &Plan, lives: Lives) -> Vec<String> {
    let medians = plan.inputs.medians();
    let months = plan.months() as f64;
    let named = |fits: &dyn Fn(Option<f64>) -> bool| -> Vec<&str> {
        let of = |option: &&plan::OptionPlan| fits(option.lasts.map(|id| medians[id.index()]));
        plan.options.iter().filter(of).map(|option| option.name.as_str()).collect()
    };
    let mut said = vec![];
    let unstated = named(&|lasts| lasts.is_none());
    if lives != Lives::Horizon && !unstated.is_empty() {
        said.push(format!(
            "{}: `fixture.lasts` is not stated, so the service ends with the horizon",
            unstated.join(", ")
        ));
    }
    let shorter = named(&|lasts| lasts.is_some_and(|lasts| lasts < months));
    if lives != Lives::Annual && !shorter.is_empty() {
        said.push(format!(
            "{}: `fixture.lasts` ends before the horizon, and no second fixture is bought here; `--lives annual` counts \
             a chain of fixtures",
            shorter.join(", ")
        ));
    }
    let longer = named(&|lasts| lasts.is_some_and(|lasts| lasts > months));
    if lives == Lives::Horizon && !longer.is_empty() {
        said.push(format!(
            "{}: `fixture.lasts` goes beyond the horizon, and what is left then counts for no more than \
             `fixture.worth_at_end`; `--lives residual` counts the rest, `--lives annual` spreads the outlay",
            longer.join(", ")
        ));
    }
    said
}
