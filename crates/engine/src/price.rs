//! Pricing a lived ledger: nothing here changes what was lived.

use finance::{discount_factors, escalation_factors};
use plan::{InputId, OptionPlan, Plan};

use crate::cause::{CAUSES, Cause};
use crate::electricity::{Electricity, Tied};
use crate::ledger::Ledger;
use crate::path::Quoted;
use crate::upkeep::Upkeep;

/// What one option cost in one trial under one contract, in the scenario's currency.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Priced {
    /// Undiscounted sums by cause.
    pub total: [f64; CAUSES],
    /// Present values by cause.
    pub present: [f64; CAUSES],
    /// Moles delivered, mol.
    pub moles: f64,
    /// Present value of the moles, mol.
    pub present_moles: f64,
    /// Useful moles and their present value, mol; equal to all moles without a ceiling.
    pub useful: (f64, f64),
    /// Energy of the lights, kWh.
    pub kwh: f64,
    /// Undiscounted cost by year; the first is the outlay at the start.
    pub by_year: Vec<f64>,
    /// Undiscounted cost of each month by cause, the outlay at the start first; only where pricing keeps months.
    pub by_month: Vec<[f64; CAUSES]>,
}

impl Priced {
    /// Levelized cost, PV(cost) / PV(mol), currency per mol.
    pub fn levelized(&self) -> f64 {
        self.present.iter().sum::<f64>() / self.present_moles
    }

    /// Levelized cost of a useful mole, PV(cost) / PV(useful mol), currency per mol.
    pub fn levelized_useful(&self) -> f64 {
        self.present.iter().sum::<f64>() / self.useful.1
    }

    /// Plain cost, cost / mol, undiscounted, currency per mol.
    pub fn plain(&self) -> f64 {
        self.total.iter().sum::<f64>() / self.moles
    }
}

/// The price side of one trial that all options share: factors by month, and prices by contract.
#[derive(Debug, Clone, Default)]
pub struct Pricing {
    /// Discount factors, and the rate they are for.
    discount: (f64, Vec<f64>),
    /// General price level, and the inflation it is for.
    level: (f64, Vec<f64>),
    /// By contract.
    tied: Vec<Tied>,
    electricity: Electricity,
    keeps_months: bool,
}

impl Pricing {
    /// Keeps what every month cost, too.
    pub(crate) fn keep_months(&mut self) {
        self.keeps_months = true;
    }

    /// Discount factors and general price levels by month, of the trial turned to.
    pub(crate) fn factors(&self) -> (&[f64], &[f64]) {
        (&self.discount.1, &self.level.1)
    }

    /// Prices of a contract in the trial turned to.
    pub(crate) fn tied(&self, contract: usize) -> &Tied {
        &self.tied[contract]
    }

    /// Turns to a trial: its number, under a seed, and its values.
    pub fn turn_to(&mut self, plan: &Plan, values: &[f64], seed: u64, trial: u64) {
        self.turn(plan, values, Some((seed, trial)));
    }

    /// Turns to the middle course: medians of all inputs, and a market without luck.
    pub fn turn_to_medians(&mut self, plan: &Plan, medians: &[f64]) {
        self.turn(plan, medians, None);
    }

    fn turn(&mut self, plan: &Plan, values: &[f64], luck: Option<(u64, u64)>) {
        self.turn_to_time(plan, values);
        self.tied.resize(plan.contracts.len(), Tied::default());
        let quoted = Quoted { values, general: &self.level.1, luck };
        for (tied, contract) in self.tied.iter_mut().zip(&plan.contracts) {
            tied.turn_to(plan, contract, &quoted);
        }
    }

    /// Turns discount factors and general price levels to a trial, and leaves electricity aside.
    pub(crate) fn turn_to_time(&mut self, plan: &Plan, values: &[f64]) {
        let value = |id: InputId| values[id.index()];
        let (months, booking) = (plan.months(), plan.money.booking);
        refresh(&mut self.discount, value(plan.money.discount_rate), months, |rate, factors| {
            discount_factors(rate, booking, 12.0, factors);
        });
        refresh(&mut self.level, plan.money.inflation.map_or(0.0, value), months, |rate, factors| {
            escalation_factors(rate, booking, 12.0, factors);
        });
    }
}

/// Works factors out anew unless they are at hand for this rate.
fn refresh(held: &mut (f64, Vec<f64>), rate: f64, months: usize, fill: impl FnOnce(f64, &mut [f64])) {
    if held.0 != rate || held.1.len() != months {
        held.0 = rate;
        held.1.clear();
        held.1.resize(months, 0.0);
        fill(rate, &mut held.1);
    }
}

/// Prices one option's ledger of one trial under one contract, both by their indices.
///
/// By month: electricity as billed, see [`crate::Charges`]; lamps, labour, disposal and repairs in the month of the event.
pub fn price(
    plan: &Plan,
    contract: usize,
    option: usize,
    values: &[f64],
    ledger: &Ledger,
    pricing: &mut Pricing,
    priced: &mut Priced,
) {
    price_kept(plan, contract, (option, &plan.options[option]), values, ledger, pricing, priced);
}

/// The same for an option that may be kept otherwise than in the plan; the index says in whose place it stands.
pub(crate) fn price_kept(
    plan: &Plan,
    contract: usize,
    (index, option): (usize, &OptionPlan),
    values: &[f64],
    ledger: &Ledger,
    pricing: &mut Pricing,
    priced: &mut Priced,
) {
    let Pricing { discount, level, tied, electricity, keeps_months } = pricing;
    electricity.bill(plan, contract, (index, option), values, ledger, &tied[contract]);

    let upkeep = Upkeep::new(plan, option, values);
    let (by_year, by_month) = (std::mem::take(&mut priced.by_year), std::mem::take(&mut priced.by_month));
    *priced = Priced { by_year, by_month, ..Priced::default() };
    priced.by_year.clear();
    priced.by_year.resize(plan.years as usize + 1, 0.0);
    priced.by_year[0] = upkeep.outlay();
    priced.by_month.clear();
    for (cause, amount) in upkeep.outlays {
        priced.total[cause as usize] = amount;
        priced.present[cause as usize] = amount;
    }
    if *keeps_months {
        priced.by_month.push(priced.total);
    }
    priced.kwh = electricity.kwh;

    let last = electricity.charges.len() - 1;
    for (month, charges) in electricity.charges.iter().enumerate() {
        let kept = upkeep.of_month(ledger, month, month == last);
        let mut costs = [0.0; CAUSES];
        for (cause, cost) in kept {
            costs[cause as usize] = cost * level.1[month];
        }
        costs[Cause::Energy as usize] = charges.energy;
        costs[Cause::Demand as usize] = charges.demand;
        costs[Cause::Charges as usize] = charges.other;
        costs[Cause::Cooling as usize] = charges.cooling;
        let discount = discount.1[month];
        for (cause, cost) in costs.into_iter().enumerate() {
            priced.total[cause] += cost;
            priced.present[cause] += cost * discount;
        }
        if *keeps_months {
            priced.by_month.push(costs);
        }
        priced.by_year[1 + month / 12] += costs.iter().sum::<f64>();
        priced.moles += ledger.moles[month];
        priced.present_moles += ledger.moles[month] * discount;
        let useful = ledger.useful_moles.get(month).unwrap_or(&ledger.moles[month]);
        priced.useful.0 += useful;
        priced.useful.1 += useful * discount;
    }
}
