//! What a lived ledger's electricity costs under a contract: the bill with the lights less the bill without them.
//!
//! A meter shows sockets lit and dark; the sheet makes bills of what it shows; three of them are told apart: the base
//! load alone, the lights on top, and the cooling on top of both. Each has a past of its own (peaks that a ratchet looks
//! back on). Energy falls with every dark socket-hour. A peak falls only when no whole demand interval at that peak was
//! without a dark socket; then the period is read off again with the dark sockets taken off.

use meter::{Candidate, Dark, LightStep, Lit, Mix, Piece, Registers};
use plan::{ContractPlan, InputId, OptionPlan, Plan};
use tariff::{Amounts, Each, Levels, Part, Past, PowerFactorRule, Reading, Sharing, Sheet, bill};

use crate::ledger::Ledger;
use crate::path::{Quoted, levels};

/// Electricity of one month of the horizon, in the scenario's currency.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Charges {
    /// Energy and riders of the lights.
    pub energy: f64,
    /// Demand charges of the lights, with what the power factor adds.
    pub demand: f64,
    /// Fixed charges, minimum bill and percentages of the lights.
    pub other: f64,
    /// Whatever the cooling adds to the bill.
    pub cooling: f64,
}

impl Charges {
    fn add(&mut self, other: &Self) {
        self.energy += other.energy;
        self.demand += other.demand;
        self.other += other.other;
        self.cooling += other.cooling;
    }
}

/// The prices of one trial under one contract, and what the base load costs with them.
#[derive(Debug, Clone, Default)]
pub(crate) struct Tied {
    pub prices: Vec<f64>,
    /// By billing period.
    pub levels: Vec<Levels>,
    /// Bills of the base load, by billing period; empty when the lights have a meter of their own.
    pub without: Vec<Amounts>,
    /// Rises whenever any of the above changes.
    edition: u64,
}

impl Tied {
    /// Turns to a trial's prices; the base load is billed anew only when they differ from those at hand.
    pub fn turn_to(&mut self, plan: &Plan, contract: &ContractPlan, quoted: &Quoted) {
        let value = |id: InputId| quoted.values[id.index()];
        let levels = levels(plan, contract, quoted);
        let same = levels == self.levels
            && contract.prices.len() == self.prices.len()
            && contract.prices.iter().zip(&self.prices).all(|(&id, &held)| value(id) == held);
        if same {
            return;
        }
        self.edition += 1;
        self.levels = levels;
        self.prices.clear();
        self.prices.extend(contract.prices.iter().map(|&id| value(id)));
        let mut past = Past::new(&contract.sheet, &contract.before, first_month(contract));
        self.without = contract
            .without
            .iter()
            .enumerate()
            .map(|(p, reading)| {
                let period = &contract.schedule.periods[p];
                bill(&contract.sheet, period, reading, &self.prices, &self.levels[p], &mut past, |_| {})
            })
            .collect();
    }
}

pub(crate) fn first_month(contract: &ContractPlan) -> u8 {
    contract.schedule.periods[0].month()
}

/// Bills with every socket lit: the same from trial to trial as long as powers and prices are.
#[derive(Debug, Clone, Default)]
struct Account {
    lit: Option<Lit>,
    edition: u64,
    /// By billing period.
    charges: Vec<Charges>,
    pasts: [Past; 2],
}

/// Working memory for billing; kept from trial to trial so that nothing is allocated.
#[derive(Debug, Clone, Default)]
pub(crate) struct Electricity {
    /// By option and contract.
    accounts: Vec<Account>,
    dark: Dark,
    dimmed: Vec<LightStep>,
    registers: Registers,
    reading: Reading,
    /// Lights and cooling that dark sockets take off, in socket-kWh for 1 kW, by period and energy rule, and by month.
    saved: Vec<Mix>,
    saved_by_month: Vec<Mix>,
    /// Periods in which a socket was dark, and those in which that lowers a peak.
    touched: Vec<bool>,
    lowered: Vec<bool>,
    /// By billing period.
    periods: Vec<Charges>,
    /// By month of the horizon.
    pub charges: Vec<Charges>,
    /// Energy of the lights, kWh.
    pub kwh: f64,
}

/// What stays the same while the periods of a bill are gone through.
struct Order<'a> {
    contract: &'a ContractPlan,
    tied: &'a Tied,
    lit: Lit,
    sockets: f64,
    /// Seconds by which cooling follows the lights.
    lag: i64,
    /// Power over that of new lamps, by month; empty where it does not drift.
    drift: Vec<f64>,
}

impl Order<'_> {
    /// What is lit in a period: power that drifts is that of the mean lamp in the period's month.
    fn lit(&self, period: usize) -> Lit {
        let drift = self.drift.get(self.contract.schedule.month_of[period]).copied().unwrap_or(1.0);
        Lit { kw: self.lit.kw * drift, ..self.lit }
    }
}

impl Electricity {
    /// Bills one option's ledger of one trial under one contract; the indices say in whose place.
    pub fn bill(
        &mut self,
        plan: &Plan,
        contract: usize,
        (index, option): (usize, &OptionPlan),
        values: &[f64],
        ledger: &Ledger,
        tied: &Tied,
    ) {
        let at = index * plan.contracts.len() + contract;
        let contract = &plan.contracts[contract];
        let order = Order {
            contract,
            tied,
            lit: lit(plan, option, values),
            sockets: option.sockets() as f64,
            lag: plan.cooling.as_ref().map_or(0, |cooling| cooling.lag_seconds),
            drift: option.power_drift.map_or_else(Vec::new, |id| {
                ledger.mean_age.iter().map(|age| (1.0 + values[id.index()] * age).max(0.0)).collect()
            }),
        };
        self.accounts.resize(plan.options.len() * plan.contracts.len(), Account::default());
        let mut account = std::mem::take(&mut self.accounts[at]);
        if order.drift.is_empty() && (account.lit != Some(order.lit) || account.edition != tied.edition) {
            for marks in [&mut self.touched, &mut self.lowered] {
                marks.clear();
                marks.resize(contract.schedule.periods.len(), false);
            }
            self.go_through(&order, &mut account.pasts);
            account.charges.clone_from(&self.periods);
            (account.lit, account.edition) = (Some(order.lit), tied.edition);
        }
        self.take_off(&order, ledger);
        let lowered = self.lowered.contains(&true);
        if !order.drift.is_empty()
            || remembers_amounts(&contract.sheet) && self.touched.contains(&true)
            || lowered && remembers_peaks(&contract.sheet)
        {
            self.go_through(&order, &mut account.pasts);
            // these pasts hold this trial's peaks: the next trial starts afresh
            account.lit = None;
        } else {
            self.periods.clone_from(&account.charges);
            let by_energy = bills_by_energy_alone(&contract.sheet);
            for period in 0..self.touched.len() {
                if self.touched[period] && by_energy && !self.lowered[period] {
                    let taken = self.energy_taken_off(&order, period);
                    self.periods[period].add(&taken);
                } else if self.touched[period] {
                    account.pasts.iter_mut().for_each(|past| past.rewind(period));
                    self.periods[period] = self.period(&order, period, &mut account.pasts);
                }
            }
        }
        self.accounts[at] = account;
        self.charges.clear();
        self.charges.resize(plan.months(), Charges::default());
        for (charges, &month) in self.periods.iter().zip(&contract.schedule.month_of) {
            self.charges[month].add(charges);
        }
        self.count_kwh(&order);
    }

    /// Bills every period in order.
    fn go_through(&mut self, order: &Order, pasts: &mut [Past; 2]) {
        let contract = order.contract;
        for past in pasts.iter_mut() {
            past.restart(&contract.sheet, &contract.before, first_month(contract));
        }
        self.periods.clear();
        for period in 0..contract.schedule.periods.len() {
            let charges = self.period(order, period, pasts);
            self.periods.push(charges);
        }
    }

    /// Bills one period: with everything, without cooling, and less the base load's own bill.
    fn period(&mut self, order: &Order, period: usize, pasts: &mut [Past; 2]) -> Charges {
        let Order { contract, tied, .. } = *order;
        let lit = order.lit(period);
        let [past_all, past_lights] = pasts;
        let mut amounts = |lit: Lit, past: &mut Past| {
            self.read(order, period, lit);
            let of = &contract.schedule.periods[period];
            bill(&contract.sheet, of, &self.reading, &tied.prices, &tied.levels[period], past, |_| {})
        };
        let lights = amounts(Lit { cooling: 0.0, ..lit }, past_lights);
        let all = if lit.cooling > 0.0 { amounts(lit, past_all) } else { lights };
        let without = tied.without.get(period).copied().unwrap_or_default();
        let part = |part: Part| lights.parts[part as usize] - without.parts[part as usize];
        Charges {
            energy: part(Part::Energy) + part(Part::Riders),
            demand: part(Part::Demand) + part(Part::PowerFactor),
            other: part(Part::Fixed) + part(Part::Minimum) + part(Part::Percent),
            cooling: all.total() - lights.total(),
        }
    }

    /// Energy of the lights, dark sockets taken off.
    fn count_kwh(&mut self, order: &Order) {
        let rules = order.contract.schedule.rules;
        self.kwh = 0.0;
        for (period, registers) in order.contract.lit.registers.iter().enumerate() {
            let mut hours: f64 = registers.kwh.iter().map(|mix| mix.lights).sum();
            if self.touched[period] {
                let saved = &self.saved[period * rules..][..rules];
                hours -= saved.iter().map(|mix| mix.lights).sum::<f64>() / order.sockets;
            }
            self.kwh += order.lit(period).kw * hours;
        }
    }

    /// Adds up what dark sockets take off the registers.
    fn take_off(&mut self, order: &Order, ledger: &Ledger) {
        let Order { contract, lag, .. } = *order;
        let schedule = &contract.schedule;
        let periods = schedule.periods.len();
        for marks in [&mut self.touched, &mut self.lowered] {
            marks.clear();
            marks.resize(periods, false);
        }
        if ledger.outages.is_empty() {
            return;
        }
        self.dark.set(&ledger.outages);
        self.saved.clear();
        self.saved.resize(periods * schedule.rules, Mix::default());
        self.saved_by_month.clear();
        self.saved_by_month.resize(schedule.months_before[periods], Mix::default());
        let pieces = &contract.lit.pieces;
        for outage in &ledger.outages {
            let mut over = |from: f64, to: f64, share: fn(&Piece) -> Mix| {
                let first = pieces.partition_point(|piece| piece.to as f64 <= from);
                for piece in pieces[first..].iter().take_while(|piece| (piece.from as f64) < to) {
                    let hours = ((piece.to as f64).min(to) - (piece.from as f64).max(from)) / 3600.0;
                    let mix = share(piece);
                    let saved = Mix { base: 0.0, lights: mix.lights * hours, cool: mix.cool * hours };
                    for register in [
                        &mut self.saved[piece.period * schedule.rules + piece.rule],
                        &mut self.saved_by_month[schedule.months_before[piece.period] + piece.month],
                    ] {
                        register.lights += saved.lights;
                        register.cool += saved.cool;
                    }
                    self.touched[piece.period] = true;
                }
            };
            if lag == 0 {
                over(outage.from, outage.to, |piece| piece.mix);
            } else {
                over(outage.from, outage.to, |piece| Mix { cool: 0.0, ..piece.mix });
                let lag = lag as f64;
                over(outage.from + lag, outage.to + lag, |piece| Mix { lights: 0.0, ..piece.mix });
            }
        }
        for period in 0..periods {
            self.lowered[period] = self.touched[period] && self.lowers_a_peak(order, period);
        }
    }

    /// What dark sockets take off a period whose bill depends on energy alone: prices times what is saved, below zero.
    fn energy_taken_off(&self, order: &Order, period: usize) -> Charges {
        let Order { contract, tied, lit, sockets, .. } = *order;
        let (sheet, schedule, levels) = (&contract.sheet, &contract.schedule, &tied.levels[period]);
        let (mut lights, mut cooling) = (0.0, 0.0);
        let mut take = |saved: &Mix, price: f64| {
            lights -= saved.lights * price;
            cooling -= saved.cool * price;
        };
        let saved = &self.saved[period * schedule.rules..];
        for (rule, saved) in sheet.energy.iter().zip(saved) {
            take(saved, tied.prices[rule.blocks[0].price.0] * levels.energy);
        }
        let of = &schedule.periods[period];
        for (&month, saved) in of.months.iter().zip(&self.saved_by_month[schedule.months_before[period]..]) {
            let riders: f64 = sheet.riders.iter().map(|rider| tied.prices[rider.price_in(month).0]).sum();
            take(saved, riders * levels.riders);
        }
        let kw = lit.kw / sockets;
        Charges { energy: kw * lights, cooling: kw * lit.cooling * cooling, ..Charges::default() }
    }

    /// The meter's reading of a period, dark sockets taken off.
    fn read(&mut self, order: &Order, period: usize, lit: Lit) {
        let Order { contract, sockets, lag, .. } = *order;
        let (schedule, sheet) = (&contract.schedule, &contract.sheet);
        let nominal = &contract.lit.registers[period];
        let touched = self.touched[period];
        let running = sheet.sharing == Sharing::InTimeOrder;
        let lowered = self.lowered[period];
        if touched && (lowered || running) {
            let (from, to) = (schedule.bounds[period], schedule.bounds[period + 1]);
            self.dark.take_off(&contract.lit.steps, from, to, sockets, lag, &mut self.dimmed);
        }
        if running || lowered {
            let steps = if touched { &self.dimmed } else { &contract.lit.steps };
            let base = &contract.lit.base;
            schedule.reading(sheet, period, base, steps, lit, &mut self.registers, &mut self.reading);
        } else {
            nominal.reading(lit, &mut self.reading);
            if touched {
                let kw = |mix: &Mix| lit.kw * (mix.lights + lit.cooling * mix.cool) / sockets;
                let saved = &self.saved[period * schedule.rules..][..schedule.rules];
                self.reading.kwh.iter_mut().zip(saved).for_each(|(kwh, saved)| *kwh -= kw(saved));
                let saved = &self.saved_by_month[schedule.months_before[period]..];
                self.reading.kwh_by_month.iter_mut().zip(saved).for_each(|(kwh, saved)| *kwh -= kw(saved));
            }
        }
    }

    /// Whether dark sockets lower a peak that is billed, with or without cooling: no whole interval at the peak was free of
    /// them.
    fn lowers_a_peak(&self, order: &Order, period: usize) -> bool {
        let Order { contract, lag, .. } = *order;
        let lit = order.lit(period);
        let registers = &contract.lit.registers[period];
        let lines = contract.schedule.lines + usize::from(needs_highest(&contract.sheet));
        let lowers = |highest: Option<&Candidate>, lag: i64| {
            highest.is_some_and(|highest| {
                highest.mix.lights + highest.mix.cool > 0.0
                    && !self.dark.spares(&highest.runs, contract.schedule.interval, lag)
            })
        };
        (0..lines).any(|line| {
            let all = registers.highest(line, lit);
            let lights = registers.highest(line, Lit { cooling: 0.0, ..lit });
            // mostly it is one and the same peak
            let same = lag == 0 && all.map(|peak| peak.at) == lights.map(|peak| peak.at);
            lowers(all, if lit.cooling > 0.0 { lag } else { 0 }) || !same && lowers(lights, 0)
        })
    }
}

/// Whether what dark sockets take off a bill is their energy at its price and nothing else, as long as no peak is lowered.
fn bills_by_energy_alone(sheet: &Sheet) -> bool {
    sheet.energy.iter().all(|rule| rule.blocks.len() == 1)
        && sheet.percent.is_empty()
        && sheet.minimum.is_none()
        && !sheet.rounded
}

/// Whether what a bill comes to depends on what earlier ones came to.
fn remembers_amounts(sheet: &Sheet) -> bool {
    sheet.minimum.as_ref().is_some_and(|minimum| minimum.each == Each::Year)
}

/// Whether what a bill comes to depends on earlier peaks.
fn remembers_peaks(sheet: &Sheet) -> bool {
    sheet.demand.iter().any(|rule| rule.ratchet.is_some())
}

/// Whether a sheet bills by the highest demand of any time, outside its demand rules.
fn needs_highest(sheet: &Sheet) -> bool {
    matches!(
        sheet.power_factor,
        Some(PowerFactorRule::KvarOverAllowance { .. } | PowerFactorRule::PercentPerPoint { .. })
    ) || sheet.energy.iter().any(|rule| rule.unit.needs_demand())
}

/// The lights of an option in a trial, and what cools them.
pub fn lit(plan: &Plan, option: &OptionPlan, values: &[f64]) -> Lit {
    let value = |id: InputId| values[id.index()];
    Lit {
        kw: value(option.wall_power) / 1000.0 * f64::from(option.fixtures),
        cooling: plan.cooling.as_ref().map_or(0.0, |cooling| value(cooling.heat_share) / value(cooling.cop)),
        kvar: option.kvar_per_kw,
        cooling_kvar: plan.cooling.as_ref().map_or(0.0, |cooling| cooling.kvar_per_kw),
    }
}
