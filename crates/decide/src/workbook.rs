//! The workbook: a base path that is re-priced by formulas, beside what the simulation says.
//!
//! Belongs here: what is asked and putting the answer together. Does not belong here: what is paid for, month by month
//! (`path`), bills (`bill`), what prices and a rate make of it (`figures`), cells and sheets (the crate `render`).

mod bill;
mod figures;
mod path;

use std::sync::atomic::{AtomicBool, Ordering};

use engine::{Ended, Progress, Settings};
use finance::Booking;
use plan::{Input, InputId, Plan};

use crate::cash::{LINES, dates, line_name, moments};
use crate::race::race;
use crate::rank::{losses, word};
use crate::rank_report::Word;
use crate::result::{Estimate, InputLine};
use crate::spread::spread;
use crate::summarize::{given, inputs};
use crate::workbook_report::{
    Answered, Figures, LiveInput, OtherInput, Quantity, Simulated, WORKBOOK_FORMAT, WorkbookOption, WorkbookReport,
};
use path::{Found, Held};

pub use figures::repriced;

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WorkbookOrder {
    /// Index of the contract under which everything is priced.
    pub contract: usize,
    /// Index of the option with which the others are compared.
    pub reference: usize,
}

/// What the answer cannot know by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkbookOrigin {
    /// Version of the program.
    pub program: String,
    /// SHA-256 of the gathered scenario.
    pub input_digest: String,
    /// What-ifs as given.
    pub what_ifs: Vec<String>,
}

/// Simulates, then finds the base path and what it is made of.
///
/// # Errors
/// A message when so many trials would not fit into memory, or fewer than two were lived.
pub fn workbook(
    plan: &Plan,
    order: &WorkbookOrder,
    settings: &Settings,
    origin: WorkbookOrigin,
    stop: &AtomicBool,
    tell: &mut dyn FnMut(Progress),
) -> Result<WorkbookReport, String> {
    let (answer, mut simulated, trials) = simulate(plan, order.contract, settings, stop, tell)?;
    let found = path::find(plan, order.contract, settings, stop, tell)?;
    let lines: Vec<usize> = (0..LINES).filter(|&line| found.is_used(line)).collect();
    let live: Vec<LiveInput> = found.prices.iter().map(|&(id, _)| live_input(plan, id, &found.held)).collect();
    let bills = bill::bills(plan, order.contract, &found.prices.iter().map(|&(id, _)| id).collect::<Vec<_>>());
    let options = bills
        .into_iter()
        .enumerate()
        .map(|(o, bill)| WorkbookOption {
            name: plan.options[o].name.clone(),
            light_basis: plan.options[o].light.basis.clone(),
            moles: std::iter::once(0.0).chain(found.moles[o].iter().copied()).collect(),
            quantities: quantities(&found, o, &lines),
            priced: found.priced[o].iter().flatten().sum(),
            off: 0.0,
            bill,
            simulated: simulated.remove(0),
        })
        .collect();
    let stopped = stop.load(Ordering::Relaxed) && trials < settings.trials;
    let contract = &plan.contracts[order.contract];
    let mut report = WorkbookReport {
        format: WORKBOOK_FORMAT.into(),
        program: origin.program,
        title: plan.title.clone(),
        input_digest: origin.input_digest,
        what_ifs: origin.what_ifs,
        currency: plan.currency.clone(),
        basis: plan.money.basis().into(),
        prices_of: plan.prices_of.clone(),
        start: plan.first_day.to_string(),
        horizon_years: plan.years,
        booked: plan.money.booking.in_words().into(),
        booked_before_end_months: match plan.money.booking {
            Booking::End => 0.0,
            Booking::Middle => 0.5,
        },
        contract: contract.name.clone(),
        lights: contract.lights.clone(),
        reference: order.reference,
        seed: settings.seed,
        trials,
        path_trials: found.trials,
        ended: if stopped { Ended::Interrupted } else { Ended::Trials },
        answer,
        rate: LiveInput { input: line(plan.inputs.at(plan.money.discount_rate)), held: None },
        others: others(plan, order.contract, &live, &found),
        prices: live,
        dates: dates(plan),
        moments_yr: moments(plan),
        lines: lines.iter().map(|&line| line_name(line).into()).collect(),
        options,
        figures: Figures::default(),
        not_live: not_live(plan, &found),
        cautions: plan.cautions.clone(),
        remarks: plan.remarks.clone(),
    };
    let written: Vec<f64> = report.prices.iter().map(|price| price.input.p50).collect();
    report.figures = repriced(&report, &written, report.rate.input.p50)?;
    for (option, figures) in report.options.iter_mut().zip(&report.figures.options) {
        option.off = figures.sum - option.priced;
    }
    Ok(report)
}

/// Lives everything as uncertain as it is: the answer, what is said of each option, and the trials lived.
fn simulate(
    plan: &Plan,
    contract: usize,
    settings: &Settings,
    stop: &AtomicBool,
    tell: &mut dyn FnMut(Progress),
) -> Result<(Answered, Vec<Simulated>, u64), String> {
    let (outcome, _) = engine::run(plan, settings, stop, tell).map_err(|large| {
        format!("--trials {}: {} trials of this scenario fit into memory", settings.trials, large.trials)
    })?;
    if outcome.trials < 2 {
        return Err("fewer than two trials were lived: nothing can be said".into());
    }
    let trials = 0..outcome.trials as usize;
    let costs: Vec<Vec<f64>> = (0..plan.options.len())
        .map(|option| trials.clone().map(|trial| outcome.cell(trial, option, contract).levelized).collect())
        .collect();
    let lost = losses(&costs, 1.0)?;
    let simulated: Vec<Simulated> = costs
        .iter()
        .zip(&lost)
        .map(|(costs, lost)| Simulated { levelized: spread(costs.clone()), cheapest: lost.cheapest, loss: lost.mean })
        .collect();
    let mut order: Vec<usize> = (0..costs.len()).collect();
    order.sort_by(|&a, &b| simulated[a].levelized.mean.value.total_cmp(&simulated[b].levelized.mean.value));
    let answer = match order[..] {
        [cheapest, next, ..] => {
            let race = race(cheapest, &costs[cheapest], next, &costs[next]);
            let word = word(race.lead, race.chance_a_cheaper.value, 0.0);
            Answered { cheapest, next: Some(next), lead: race.lead, word }
        }
        _ => Answered { cheapest: 0, next: None, lead: Estimate::default(), word: Word::WithinNoise },
    };
    Ok((answer, simulated, outcome.trials))
}

/// What an option pays for, cause by cause; what no price explains comes last in its cause.
fn quantities(found: &Found, option: usize, lines: &[usize]) -> Vec<Quantity> {
    let mut all = vec![];
    for (position, &line) in lines.iter().enumerate() {
        let of_line = |months: &[[f64; LINES]]| -> Option<Vec<f64>> {
            let row: Vec<f64> = months.iter().map(|month| month[line]).collect();
            row.iter().any(|amount| *amount != 0.0).then_some(row)
        };
        let bought = found.prices.iter().enumerate().filter_map(|(price, (_, by_option))| {
            let months = of_line(&by_option[option])?;
            Some(Quantity { line: position, price: Some(price), months })
        });
        all.extend(bought);
        all.extend(of_line(&found.rest[option]).map(|months| Quantity { line: position, price: None, months }));
    }
    all
}

fn line(input: &Input) -> InputLine {
    let (grade, stated) = given(input);
    InputLine {
        pointer: input.pointer.clone(),
        place: input.place.clone(),
        unit: input.unit.clone(),
        p10: input.quantile(0.1),
        p50: input.quantile(0.5),
        p90: input.quantile(0.9),
        grade,
        stated,
        note: input.note.clone(),
    }
}

fn live_input(plan: &Plan, id: InputId, held: &Held) -> LiveInput {
    let input = line(plan.inputs.at(id));
    let held = match held {
        Held::Between(low, high) if plan.contract_of(id).is_some() => {
            Some((path::moved(input.p50, *low), path::moved(input.p50, *high)))
        }
        _ => None,
    };
    LiveInput { input, held }
}

/// All inputs that are listed and not live, with the reason.
fn others(plan: &Plan, contract: usize, live: &[LiveInput], found: &Found) -> Vec<OtherInput> {
    let rate = &plan.inputs.at(plan.money.discount_rate).pointer;
    let is_live = |pointer: &String| pointer == rate || live.iter().any(|live| live.input.pointer == *pointer);
    let ours = format!("/contracts/{contract}/");
    let why = |input: &InputLine| {
        if input.pointer.starts_with("/contracts/") && !input.pointer.starts_with(&ours) {
            "belongs to another contract: nothing in this workbook"
        } else if ["/money/tax", "/money/loan"].iter().any(|place| input.pointer.starts_with(place)) {
            "tax and loan are not in this workbook: see `cash`"
        } else if found.idle.iter().any(|id| plan.inputs.at(*id).pointer == input.pointer) {
            "a price at which nothing is bought"
        } else {
            "needs a new simulation"
        }
    };
    inputs(plan)
        .into_iter()
        .filter(|input| !is_live(&input.pointer))
        .map(|input| OtherInput { why: why(&input).into(), input })
        .collect()
}

fn not_live(plan: &Plan, found: &Found) -> Vec<String> {
    let mut said = vec![
        "Everything that the simulation says (mean, percentiles, chances, losses) is a value; it is marked STALE as soon as a \
         live input is changed"
            .to_owned(),
        "Lives, light, power, hours, percentages and whatever else is on the sheet of other inputs change what is lived or \
         how much is bought: change them in the scenario and write the workbook anew"
            .to_owned(),
    ];
    match found.held {
        Held::Always => {}
        Held::Between(low, high) => said.push(format!(
            "The contract has a minimum bill: prices of the contract are live between {:.0} and {:.0} % of what they were, \
             within which the minimum was found to decide nothing new; a check tells when they leave that range",
            low * 100.0,
            high * 100.0
        )),
        Held::Nowhere => said.push(
            "Bills of this contract are no straight line of its prices near the present ones, so electricity is a value and \
             no price of the contract is live"
                .to_owned(),
        ),
    }
    if found.rounded {
        said.push(
            "Each line of a bill is rounded to 0.01: what rounding adds stands among the quantities by value and stays as \
             it is, so a month may be off by 0.01 for each line once a price is changed"
                .to_owned(),
        );
    }
    if plan.money.tax.is_some() || plan.money.loan.is_some() {
        said.push("Tax and loan are left out: `cash` shows them".to_owned());
    }
    said
}
