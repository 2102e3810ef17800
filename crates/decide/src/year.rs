//! What lights add to the bills of the first twelve months: every socket lit, medians, prices as written.

use meter::{LightStep, Lit, Registers};
use plan::Plan;
use tariff::{Levels, Past, Reading, bill};

/// Months that are billed.
const MONTHS: usize = 12;

/// Bills of the first twelve months under one contract, for lights of any hours.
pub(crate) struct FirstYear<'a> {
    plan: &'a Plan,
    contract: usize,
    prices: Vec<f64>,
    /// Bills without the lights.
    without: f64,
    registers: Registers,
    reading: Reading,
}

/// What a year comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct YearCost {
    /// What lights and cooling add, currency.
    pub added: f64,
    /// Highest demand of the site, kW.
    pub peak_kw: f64,
}

impl<'a> FirstYear<'a> {
    pub fn new(plan: &'a Plan, contract: usize) -> Self {
        let medians = plan.inputs.medians();
        let prices = plan.contracts[contract].prices.iter().map(|id| medians[id.index()]).collect();
        let mut year =
            Self { plan, contract, prices, without: 0.0, registers: Registers::default(), reading: Reading::default() };
        let of = &plan.contracts[contract];
        let mut past = Past::new(&of.sheet, &of.before, of.schedule.periods[0].month());
        year.without = of
            .without
            .iter()
            .enumerate()
            .take(year.periods())
            .map(|(p, reading)| {
                let period = &of.schedule.periods[p];
                bill(&of.sheet, period, reading, &year.prices, &Levels::AS_WRITTEN, &mut past, |_| {}).total()
            })
            .sum();
        year
    }

    fn periods(&self) -> usize {
        self.plan.contracts[self.contract].schedule.month_of.iter().take_while(|&&month| month < MONTHS).count()
    }

    /// End of the months that are billed, s.
    pub fn end(&self) -> i64 {
        self.plan.contracts[self.contract].schedule.bounds[self.periods()]
    }

    /// What lights of a power add.
    pub fn cost(&mut self, lights: &[LightStep], lit: Lit) -> YearCost {
        let of = &self.plan.contracts[self.contract];
        let mut past = Past::new(&of.sheet, &of.before, of.schedule.periods[0].month());
        let (mut with, mut peak_kw) = (0.0, 0.0f64);
        for p in 0..self.periods() {
            let Self { registers, reading, .. } = self;
            of.schedule.reading(&of.sheet, p, &of.lit.base, lights, lit, registers, reading);
            peak_kw = peak_kw.max(reading.highest.kw);
            let period = &of.schedule.periods[p];
            with += bill(&of.sheet, period, reading, &self.prices, &Levels::AS_WRITTEN, &mut past, |_| {}).total();
        }
        YearCost { added: with - self.without, peak_kw }
    }
}
