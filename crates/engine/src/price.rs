//! Pricing a lived ledger: nothing here changes what was lived.

use finance::{discount_factors, escalation_factors};
use plan::{InputId, OptionPlan, Plan};
use serde::{Deserialize, Serialize};

use crate::electricity::{Electricity, Tied};
use crate::ledger::Ledger;
use crate::path::Quoted;

/// Causes of cost, in the order in which they are stacked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[repr(usize)]
pub enum Cause {
    /// Fixtures, their installation and the first fill of lamps.
    Capital,
    /// Replacement lamps.
    Lamps,
    /// Parts of control gear.
    Gear,
    /// Labour of replacing and repairing.
    Labour,
    /// Disposal of old lamps.
    Disposal,
    /// Electric energy of the lights, riders included.
    Energy,
    /// Demand charges of the lights, with what the power factor adds.
    Demand,
    /// Fixed charges, minimum bill and percentages that the lights bring.
    Charges,
    /// Whatever the cooling plant for the lights' heat adds to the bill.
    Cooling,
}

impl Cause {
    /// All causes, in the order in which they are stacked.
    pub const ALL: [Self; 9] = [
        Self::Capital,
        Self::Lamps,
        Self::Gear,
        Self::Labour,
        Self::Disposal,
        Self::Energy,
        Self::Demand,
        Self::Charges,
        Self::Cooling,
    ];

    /// The cause as people say it.
    pub fn label(self) -> &'static str {
        match self {
            Self::Capital => "capital",
            Self::Lamps => "lamps",
            Self::Gear => "gear",
            Self::Labour => "labour",
            Self::Disposal => "disposal",
            Self::Energy => "energy",
            Self::Demand => "demand",
            Self::Charges => "other charges",
            Self::Cooling => "cooling",
        }
    }
}

/// Number of causes.
pub const CAUSES: usize = Cause::ALL.len();

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
    /// Energy of the lights, kWh.
    pub kwh: f64,
    /// Undiscounted cost by year; the first is the outlay at the start.
    pub by_year: Vec<f64>,
}

impl Priced {
    /// Levelized cost, PV(cost) / PV(mol), currency per mol.
    pub fn levelized(&self) -> f64 {
        self.present.iter().sum::<f64>() / self.present_moles
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
}

impl Pricing {
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

/// What an option costs in a trial beside electricity.
pub(crate) struct Upkeep {
    /// Fixtures, their installation and the first fill of lamps, for the whole room.
    pub outlay: f64,
    lamp: f64,
    disposal: f64,
    gear: f64,
    gear_labour: f64,
    spot_labour: f64,
    planned_labour: f64,
}

impl Upkeep {
    /// Of an option in a trial.
    pub fn new(option: &OptionPlan, values: &[f64]) -> Self {
        let value = |id: InputId| values[id.index()];
        let (lamp, disposal) = option.lamp.as_ref().map_or((0.0, 0.0), |l| (value(l.price), value(l.disposal)));
        let (gear, gear_labour) = option.gear.as_ref().map_or((0.0, 0.0), |g| (value(g.price), value(g.labour)));
        let fixture = value(option.fixture_price) + value(option.installation);
        Self {
            outlay: fixture * f64::from(option.fixtures) + lamp * option.sockets() as f64,
            lamp,
            disposal,
            gear,
            gear_labour,
            spot_labour: option.spot_labour.map_or(0.0, value),
            planned_labour: option.planned_labour.map_or(0.0, value),
        }
    }

    /// Lamps, gear, labour and disposal of a month, at prices of the start.
    pub fn of_month(&self, ledger: &Ledger, month: usize) -> [f64; 4] {
        let (spot, planned) = (f64::from(ledger.spot_lamps[month]), f64::from(ledger.planned_lamps[month]));
        let repairs = f64::from(ledger.gear_repairs[month]);
        [
            (spot + planned) * self.lamp,
            repairs * self.gear,
            spot * self.spot_labour + planned * self.planned_labour + repairs * self.gear_labour,
            (spot + planned) * self.disposal,
        ]
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
    let Pricing { discount, level, tied, electricity } = pricing;
    electricity.bill(plan, contract, option, values, ledger, &tied[contract]);
    let option = &plan.options[option];

    let upkeep = Upkeep::new(option, values);
    let outlay = upkeep.outlay;
    *priced = Priced { by_year: std::mem::take(&mut priced.by_year), ..Priced::default() };
    priced.by_year.clear();
    priced.by_year.resize(plan.years as usize + 1, 0.0);
    priced.by_year[0] = outlay;
    priced.total[Cause::Capital as usize] = outlay;
    priced.present[Cause::Capital as usize] = outlay;
    priced.kwh = electricity.kwh;

    for (month, charges) in electricity.charges.iter().enumerate() {
        let [lamps, gear, labour, disposal] = upkeep.of_month(ledger, month).map(|cost| cost * level.1[month]);
        let costs =
            [0.0, lamps, gear, labour, disposal, charges.energy, charges.demand, charges.other, charges.cooling];
        let discount = discount.1[month];
        for (cause, cost) in costs.into_iter().enumerate() {
            priced.total[cause] += cost;
            priced.present[cause] += cost * discount;
        }
        priced.by_year[1 + month / 12] += costs.iter().sum::<f64>();
        priced.moles += ledger.moles[month];
        priced.present_moles += ledger.moles[month] * discount;
    }
}
