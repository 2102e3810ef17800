//! The first bills of every option, line by line: which quantity goes with which price.
//!
//! Belongs here: writing bills at several prices and telling from them what a line is. Does not belong here: what a bill is
//! made of (the crate `tariff`), the names of its lines (`crate::bill`).
//!
//! A line is quantity times a price if it says so at prices as written and at prices moved apart; whatever fails that is an
//! amount by value.

use std::collections::BTreeMap;

use engine::lit;
use meter::{Lit, Registers};
use plan::{ContractPlan, InputId, Plan};
use tariff::{DemandPrice, Each, Levels, Line, Part, Parts, Past, PowerFactorRule, PriceId, Reading, bill};

use crate::bill::name_of;
use crate::workbook_report::{LineKind, WorkbookBill, WorkbookLine};

/// Bills that are written, at most.
const BILLS: usize = 12;
/// A line is quantity times price when it is so within this share of it.
const SAME: f64 = 1e-6;

/// Place of a line on its bill; of a line with several prices, each has its own.
type Place = (Part, usize, usize, Option<usize>);
/// Lines by bill, side (0 with the lights, 1 without) and place.
type Lines = BTreeMap<(usize, usize, (Part, usize, usize)), Line>;
/// With the lights and without, by bill: quantity and amount.
type Sides = [Vec<(f64, f64)>; 2];

/// The bills of every option.
pub(super) fn bills(plan: &Plan, contract: usize, live: &[InputId]) -> Vec<WorkbookBill> {
    let values = plan.inputs.medians();
    let options = plan.options.iter();
    options.map(|option| Desk::new(plan, &plan.contracts[contract], live, lit(plan, option, &values)).bill()).collect()
}

/// One option's bills under a contract.
struct Desk<'a> {
    contract: &'a ContractPlan,
    lit: Lit,
    /// By price of the sheet: its index among the live prices.
    live: Vec<Option<usize>>,
    /// The sheet's prices: as written, live ones at 1, live ones moved apart.
    prices: [Vec<f64>; 3],
    periods: usize,
}

impl<'a> Desk<'a> {
    fn new(plan: &Plan, contract: &'a ContractPlan, live: &[InputId], lit: Lit) -> Self {
        let medians = plan.inputs.medians();
        let live: Vec<Option<usize>> =
            contract.prices.iter().map(|id| live.iter().position(|live| live == id)).collect();
        let written: Vec<f64> = contract.prices.iter().map(|id| medians[id.index()]).collect();
        let with = |price: &dyn Fn(usize, f64) -> f64| -> Vec<f64> {
            let of = |(k, written): (usize, &f64)| if live[k].is_some() { price(k, *written) } else { *written };
            written.iter().enumerate().map(of).collect()
        };
        // no two prices are moved by the same amount
        let apart = with(&|k, written| written * (1.0 + 0.01 * (k + 1) as f64) + 0.001 * (k + 1) as f64);
        let ones = with(&|_, _| 1.0);
        let schedule = &contract.schedule;
        let periods = schedule.month_of.iter().take_while(|&&month| month < BILLS).count();
        Self { contract, lit, live, prices: [written, ones, apart], periods }
    }

    fn bill(&self) -> WorkbookBill {
        let sheet = &self.contract.sheet;
        let [written, ones, apart] = [0, 1, 2].map(|set| self.lines(&self.prices[set]));
        let mut rows: BTreeMap<Place, Sides> = BTreeMap::new();
        let none = || [0, 1].map(|_| vec![(0.0, 0.0); self.periods]);
        for (&(period, side, (part, rule, block)), line) in &written {
            let key = (period, side, (part, rule, block));
            if part == Part::Minimum && self.times_of_minimum(period).is_some() {
                continue;
            }
            let same = |set: &Lines| set.get(&key).copied();
            let (price, quantity) = match (part, same(&ones), same(&apart)) {
                (Part::Minimum | Part::Percent, ..) => (None, line.quantity),
                (_, Some(ones), Some(apart)) => self.priced(line, &ones, &apart),
                _ => (None, line.quantity),
            };
            if line.quantity != 0.0 || line.amount != 0.0 {
                rows.entry((part, rule, block, price)).or_insert_with(none)[side][period] = (quantity, line.amount);
            }
        }
        self.add_minimum(&written, &mut rows);
        let places: Vec<Place> = rows.keys().copied().collect();
        let lines: Vec<WorkbookLine> =
            rows.into_iter().map(|(place, [with, without])| self.line(place, &places, with, without)).collect();
        let of_bill = |period: usize| -> [f64; 3] {
            let sum =
                |side: fn(&WorkbookLine) -> &[(f64, f64)]| lines.iter().map(|line| side(line)[period].1).sum::<f64>();
            let (with, without) = (sum(|line| &line.with), sum(|line| &line.without));
            [with, without, with - without]
        };
        let totals: Vec<[f64; 3]> = (0..self.periods).map(of_bill).collect();
        WorkbookBill {
            lights_kw: self.lit.kw,
            periods: self.contract.schedule.periods[..self.periods]
                .iter()
                .map(|period| (period.first.to_string(), period.last.to_string()))
                .collect(),
            rounded: sheet.rounded,
            total: [0, 1, 2].map(|side| totals.iter().map(|bill| bill[side]).sum()),
            totals,
            lines,
        }
    }

    /// The line of a minimum stands on every bill, for it may come to something at other prices.
    fn add_minimum(&self, written: &Lines, rows: &mut BTreeMap<Place, Sides>) {
        let times: Option<Vec<f64>> = (0..self.periods).map(|period| self.times_of_minimum(period)).collect();
        let (Some(minimum), Some(times)) = (&self.contract.sheet.minimum, times) else { return };
        let cells = [0, 1].map(|side| {
            let cell = |(period, times): (usize, &f64)| {
                // without a bill there is nothing that a minimum could lift
                let is_billed = side == 0 || self.contract.without.get(period).is_some();
                let line = written.get(&(period, side, (Part::Minimum, 0, 0)));
                (if is_billed { *times } else { 0.0 }, line.map_or(0.0, |line| line.amount))
            };
            times.iter().enumerate().map(cell).collect()
        });
        rows.insert((Part::Minimum, 0, 0, self.live[minimum.price.0]), cells);
    }

    fn line(&self, place: Place, places: &[Place], with: Vec<(f64, f64)>, without: Vec<(f64, f64)>) -> WorkbookLine {
        let (part, rule, block, price) = place;
        let sheet = &self.contract.sheet;
        let (name, unit) = name_of(self.contract, part, rule, block);
        let above = |parts: Parts| -> Vec<usize> {
            let counts = |(_, other): &(usize, &Place)| **other < place && parts.holds(other.0);
            places.iter().enumerate().filter(counts).map(|(k, _)| k).collect()
        };
        let kind = match (part, price) {
            (Part::Minimum, Some(price)) => {
                LineKind::Minimum(price, sheet.minimum.as_ref().map_or_else(Vec::new, |minimum| above(minimum.counts)))
            }
            (Part::Percent, _) => {
                let percent = &sheet.percent[rule];
                LineKind::Share(self.prices[0][percent.share.0], above(percent.on))
            }
            (_, Some(price)) => LineKind::Price(price),
            (_, None) => LineKind::ByValue,
        };
        let sum = |cells: &[(f64, f64)]| cells.iter().fold((0.0, 0.0), |sum, cell| (sum.0 + cell.0, sum.1 + cell.1));
        let (of_with, of_without) = (sum(&with), sum(&without));
        WorkbookLine {
            part: part.label().into(),
            name,
            unit: unit.into(),
            kind,
            difference: with.iter().zip(&without).map(|(with, without)| with.1 - without.1).collect(),
            sums: [of_with.0, of_without.0, of_with.1, of_without.1, of_with.1 - of_without.1],
            with,
            without,
        }
    }

    /// How often the price of the minimum counts in a period; none where a year's is topped up, or none is live.
    fn times_of_minimum(&self, period: usize) -> Option<f64> {
        let minimum = self.contract.sheet.minimum.as_ref()?;
        self.live[minimum.price.0]?;
        let period = &self.contract.schedule.periods[period];
        match minimum.each {
            Each::Day => Some(period.days),
            Each::Month => Some(period.of_full),
            Each::Year => None,
        }
    }

    /// The live price of a line, and the quantity that goes with it; without such a price the quantity as billed.
    fn priced(&self, written: &Line, ones: &Line, apart: &Line) -> (Option<usize>, f64) {
        let unrounded = |line: &Line| line.quantity * line.price;
        let quantity = unrounded(ones);
        let fits = |id: &PriceId| {
            let holds = |line: &Line, set: usize| {
                let off = quantity * self.prices[set][id.0] - unrounded(line);
                off.abs() <= SAME * unrounded(line).abs() + 1e-9
            };
            self.live[id.0].is_some() && holds(written, 0) && holds(apart, 2)
        };
        match self.prices_of(written).into_iter().find(fits) {
            Some(id) => (self.live[id.0], quantity),
            None => (None, written.quantity),
        }
    }

    /// Prices that a line may be of.
    fn prices_of(&self, line: &Line) -> Vec<PriceId> {
        let sheet = &self.contract.sheet;
        let of_demand = |rule: usize| match &sheet.demand[rule].price {
            DemandPrice::Blocks(blocks) => blocks.iter().map(|block| block.price).collect::<Vec<PriceId>>(),
            DemandPrice::ByMonth(prices) | DemandPrice::BySeason(prices) => prices.clone(),
        };
        match line.part {
            Part::Energy => vec![sheet.energy[line.rule].blocks[line.block].price],
            Part::Riders => sheet.riders[line.rule].prices.clone(),
            Part::Demand => of_demand(line.rule),
            Part::PowerFactor => match &sheet.power_factor {
                Some(PowerFactorRule::KvarOverAllowance { price, .. }) => vec![*price],
                _ => (0..sheet.demand.len()).flat_map(of_demand).collect(),
            },
            Part::Fixed => vec![sheet.fixed[line.rule].price],
            Part::Minimum | Part::Percent => vec![],
        }
    }

    /// All lines at some prices.
    fn lines(&self, prices: &[f64]) -> Lines {
        let (contract, sheet, schedule) = (self.contract, &self.contract.sheet, &self.contract.schedule);
        let first_month = schedule.periods[0].month();
        let mut pasts = [0, 1].map(|_| Past::new(sheet, &contract.before, first_month));
        let (mut registers, mut reading) = (Registers::default(), Reading::default());
        let mut lines = BTreeMap::new();
        for period in 0..self.periods {
            let lights = &contract.lit;
            schedule.reading(sheet, period, &lights.base, &lights.steps, self.lit, &mut registers, &mut reading);
            for (side, shown) in [Some(&reading), contract.without.get(period)].into_iter().enumerate() {
                let Some(shown) = shown else { continue };
                let of_period = &schedule.periods[period];
                bill(sheet, of_period, shown, prices, &Levels::AS_WRITTEN, &mut pasts[side], |line| {
                    lines.insert((period, side, (line.part, line.rule, line.block)), line);
                });
            }
        }
        lines
    }
}
