//! Lamps to buy and spares to hold, month by month, and what the warranty brings: an option as written, over all trials.

use std::sync::atomic::AtomicBool;

use engine::{Looked, Place, Progress, Settings, keep};
use plan::{OptionPlan, Plan};

use crate::relamp_report::{LampMonth, RelampOption, WarrantyWorth};
use crate::result::Estimate;
use crate::spread::{Sorted, mean};

/// Shares of trials that need at most so many.
const SHARES: [f64; 3] = [0.5, 0.8, 0.95];

/// Lamps of one trial, month by month.
struct Counts {
    planned: Vec<u32>,
    spot: Vec<u32>,
    broken: Vec<u32>,
    claims: f64,
    /// Present value of one unit of money per claim.
    present_claims: f64,
}

fn count(looked: Looked) -> Counts {
    let ledger = looked.ledger;
    let claims = ledger.claims.iter().enumerate();
    Counts {
        planned: ledger.planned_lamps.clone(),
        spot: ledger.spot_lamps.clone(),
        broken: ledger.broken_lamps.clone(),
        claims: ledger.claims.iter().map(|&n| f64::from(n)).sum(),
        present_claims: claims.map(|(m, &n)| f64::from(n) * looked.level[m] * looked.discount[m]).sum(),
    }
}

/// Fills in the months of an option, and the worth of its warranty from what it saves against none.
#[expect(clippy::too_many_arguments, reason = "the order of a search, and what it found")]
pub(crate) fn lamp_months(
    plan: &Plan,
    place: Place,
    option: &OptionPlan,
    settings: &Settings,
    stop: &AtomicBool,
    saved_by_warranty: Option<Estimate>,
    found: &mut RelampOption,
    tell: impl FnMut(Progress),
) {
    let ways = std::slice::from_ref(option);
    let trials: Vec<Counts> = keep(plan, place, ways, settings, stop, tell, count).into_iter().flatten().collect();
    let medians = plan.inputs.medians();
    let lead_days = option.spares.map_or(30.0, |spares| medians[spares.lead_time.index()]);
    // a month holds 30.4 days on average
    let lead = ((lead_days / 30.4).ceil() as usize).max(1);
    found.lead_months = lead as u32;
    let timeline = &plan.clocks[plan.contracts[place.contract].clock].timeline;
    let of = |counts: &[u32], month: usize| counts.get(month).copied().unwrap_or(0);
    let over_trials =
        |read: &dyn Fn(&Counts) -> u32| -> Vec<f64> { trials.iter().map(|t| f64::from(read(t))).collect() };
    found.months = (0..plan.months())
        .map(|m| {
            let buy = over_trials(&|t| of(&t.planned, m) + of(&t.spot, m) + of(&t.broken, m));
            let hold = over_trials(&|t| (m..(m + lead).min(plan.months())).map(|m| of(&t.spot, m)).sum());
            let average = |values: &[f64]| mean(values).0.value;
            // a whole number of lamps is needed: the smallest that covers a share of trials
            let points = |values: &[f64]| {
                let sorted = Sorted::new(values.to_vec());
                SHARES.map(|share| sorted.at_least(share))
            };
            LampMonth {
                month: format!("{}-{:02}", timeline.months[m].year, timeline.months[m].month),
                planned: average(&over_trials(&|t| of(&t.planned, m))),
                spot: average(&over_trials(&|t| of(&t.spot, m))),
                hold_by_table: renewal::spares(average(&hold), 0.95).unwrap_or(0),
                buy: points(&buy),
                hold: points(&hold),
            }
        })
        .collect();
    if let (Some(worth), Some(warranty)) = (saved_by_warranty, option.lamp.as_ref().and_then(|lamp| lamp.warranty)) {
        let clock = &plan.clocks[plan.contracts[place.contract].clock];
        let starts = f64::from(clock.starts_between(0.0, f64::INFINITY)).max(1.0);
        let outside = warranty.outside(timeline.lit_hours / f64::from(plan.years), timeline.lit_hours / starts);
        let claims = mean(&trials.iter().map(|t| t.claims).collect::<Vec<_>>()).0.value;
        let present_claims = mean(&trials.iter().map(|t| t.present_claims).collect::<Vec<_>>()).0.value;
        let claim_cost = medians[warranty.effort.index()];
        found.warranty = Some(WarrantyWorth {
            outside,
            worth,
            per_socket: worth.value / option.sockets() as f64,
            claims,
            claim_stops_paying: (present_claims > 0.0).then(|| claim_cost + worth.value / present_claims),
            claim_cost,
        });
    }
}
