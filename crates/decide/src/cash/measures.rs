//! Ratios, rates and payback of a mean flow, with the noise that groups of trials show.
//!
//! Belongs here: measures of the difference of two options, and why there is none. Does not belong here: the flows.

use finance::{Flows, InternalRates, Payback, adjusted_rate, savings_to_investment};

use super::flows::MeanFlow;
use super::{Desk, Note, pairs};
use crate::cash_report::{Measured, Rates, Repaid};
use crate::spread::mean;

/// Groups of trials whose spread is the noise.
const GROUPS: usize = 8;

/// A flow of savings, and what it is made of.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Case {
    pub flow: Flows,
    /// What is invested in addition, present value.
    pub investment: f64,
    /// What is saved in running costs, present value.
    pub savings: f64,
    pub rate: f64,
    pub years: f64,
}

/// What is found of a case.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    pub sir: Measured,
    pub airr: Measured,
    pub irr: Rates,
    pub mirr: Measured,
    pub simple: Repaid,
    pub discounted: Repaid,
}

/// The same case in each group of trials; none where there are too few.
pub(super) fn groups(desk: &Desk, option: usize) -> Vec<Case> {
    let (ours, theirs) = (&desk.notes[option], &desk.notes[desk.order.reference]);
    let count = GROUPS.min(ours.len());
    let medians = desk.plan.inputs.medians();
    let rate = desk.basis.rate(desk.plan, &medians);
    let case = |group: usize| {
        let wanted = |trial: usize| trial % count == group;
        let flow = MeanFlow::new(theirs, wanted).less(&MeanFlow::new(ours, wanted));
        let flow = Flows::dated(&pairs(desk.moments, &flow.total())).ok()?;
        let sum = |notes: &[&Note], read: fn(&Note) -> f64| {
            let chosen = notes.iter().enumerate().filter(|(trial, _)| wanted(*trial)).map(|(_, note)| read(note));
            mean(&chosen.collect::<Vec<f64>>()).0.value
        };
        let investment = |note: &Note| note.outlay - note.left;
        let running = |note: &Note| note.present - note.outlay + note.left;
        Some(Case {
            flow,
            investment: sum(ours, investment) - sum(theirs, investment),
            savings: sum(theirs, running) - sum(ours, running),
            rate,
            years: f64::from(desk.plan.years),
        })
    };
    (0..count).filter_map(case).collect()
}

/// Standard error of a number by its spread over groups; none where a group has no such number.
fn noise(groups: &[Case], of: impl Fn(&Case) -> Option<f64>) -> Option<f64> {
    let values: Vec<f64> = groups.iter().map_while(of).collect();
    (values.len() == groups.len() && values.len() > 1).then(|| mean(&values).0.se).filter(|se| se.is_finite())
}

fn ratio(case: &Case) -> Option<f64> {
    savings_to_investment(case.savings, case.investment).ok()
}

fn adjusted(case: &Case) -> Option<f64> {
    adjusted_rate(ratio(case)?, case.rate, case.years).ok()
}

fn modified(case: &Case) -> Option<f64> {
    case.flow.modified_rate(case.rate, case.rate).ok()
}

pub(super) fn measures(case: &Case, groups: &[Case], dates: &[String]) -> Found {
    let measured = |of: fn(&Case) -> Option<f64>, why: &str| match of(case) {
        Some(value) => Measured { value: Some(value), se: noise(groups, of), note: String::new() },
        None => Measured { note: why.into(), ..Measured::default() },
    };
    let nothing_set = "no more is invested than in the reference, so there is nothing to set savings against";
    let why = if case.investment > 0.0 { "nothing is saved in running costs" } else { nothing_set };
    Found {
        sir: measured(ratio, nothing_set),
        airr: measured(adjusted, why),
        irr: rates(&case.flow, groups),
        mirr: measured(modified, one_sided(&case.flow)),
        simple: repaid(&case.flow, 0.0, groups, dates),
        discounted: repaid(&case.flow, case.rate, groups, dates),
    }
}

/// Whether a flow begins with money that comes in.
fn begins_with_income(flow: &Flows) -> bool {
    flow.amounts().find(|amount| *amount != 0.0).is_some_and(|amount| amount > 0.0)
}

/// Why a flow of one sign has no rate.
fn one_sided(flow: &Flows) -> &'static str {
    match (flow.amounts().any(|amount| amount > 0.0), flow.amounts().any(|amount| amount < 0.0)) {
        (true, false) => "money only comes in: there is no change of sign, so no rate",
        (false, true) => "money is only paid: there is no change of sign, so no rate",
        (false, false) => "nothing is paid and nothing comes in",
        (true, true) => "no such rate is within reach",
    }
}

/// All internal rates of return, with what is to be known of them.
pub(crate) fn rates(flow: &Flows, groups: &[Case]) -> Rates {
    let begins_with_income = begins_with_income(flow);
    let loan = if begins_with_income {
        "it begins with money that comes in, so the rate is the price of that money: good when it is below the discount rate"
    } else {
        ""
    };
    let found = match flow.internal_rates() {
        Ok(found) => found,
        Err(fault) => {
            let sign_changes = flow.sign_changes();
            return Rates { sign_changes, begins_with_income, note: fault.to_string(), ..Rates::default() };
        }
    };
    let note = match &found {
        InternalRates::NoSignChange => one_sided(flow),
        InternalRates::None { .. } => "the sign changes, and yet no rate balances the flow",
        InternalRates::One { .. } => loan,
        InternalRates::Several { .. } => {
            "several rates balance the flow and none is better than the others: decide by net present value"
        }
    };
    let only = found.only();
    Rates {
        rates: found.rates().iter().map(|rate| rate.rate).collect(),
        se: only.and_then(|_| noise(groups, |case| case.flow.internal_rates().ok()?.only())),
        sign_changes: found.sign_changes(),
        begins_with_income,
        note: note.into(),
    }
}

/// When a flow has paid for itself for good.
pub(crate) fn repaid(flow: &Flows, rate: f64, groups: &[Case], dates: &[String]) -> Repaid {
    if begins_with_income(flow) {
        let note = "nothing is spent first that could come back".into();
        return Repaid { note, ..Repaid::default() };
    }
    let lasting = |flow: &Flows| flow.payback(rate).ok().and_then(|payback: Payback| payback.lasting);
    let Some(crossing) = lasting(flow).filter(|_| flow.amounts().any(|amount| amount != 0.0)) else {
        return Repaid { note: "never within the horizon".into(), ..Repaid::default() };
    };
    let first = flow.payback(rate).ok().and_then(|payback| payback.first);
    let place = flow.rows().iter().position(|row| row.0 == crossing.booked);
    let note = match first.filter(|first| first.booked < crossing.booked) {
        Some(first) => {
            format!("for the first time after {:.1} years already, but it falls below nothing again", first.booked)
        }
        None => String::new(),
    };
    Repaid {
        years: Some(crossing.booked),
        se: noise(groups, |case| lasting(&case.flow).map(|crossing| crossing.interpolated)),
        date: place.and_then(|place| dates.get(place)).cloned().unwrap_or_default(),
        note,
    }
}
