//! Many starts and many rate sheets on the same lived futures.
//!
//! A pattern of light (so many starts a day of such lengths) is lived once. What its lamps went through is kept on the
//! schedule clock, which knows no time of day: how much light was dark in each quarter of an hour, how many moles there
//! were in each month, what the upkeep cost. Any time of day to start and any rate sheet are then priced on that, at the
//! mean of all futures. That is exact wherever a bill is linear in energy. A mean load is billed where it bends: blocks
//! whose bounds lie between the futures, and peaks, which no dark socket is taken to lower.

use std::sync::atomic::{AtomicBool, Ordering};

use calendar::{Photoperiod, Timeline};
use meter::{LightStep, Lit, Mix, Piece, Registers};
use plan::{ClockPlan, ContractPlan, OptionPlan, Plan};
use rayon::prelude::*;
use tariff::{Past, Reading, Sharing, bill};

use crate::electricity::{Tied, first_month, lit};
use crate::ledger::Ledger;
use crate::live::{Living, live};
use crate::luck::Luck;
use crate::price::Pricing;
use crate::run::{Progress, Settings};
use crate::upkeep::Upkeep;

/// Groups of trials that are added up apart: their spread tells the noise. Trial k is in group k modulo this.
pub const GROUPS: usize = 8;
/// Quarters in an hour of the schedule.
const QUARTERS: f64 = 4.0;
/// Trials between two looks at the stop flag.
const WAVE: u64 = 4096;

/// What one option went through in a group of trials, or in all.
#[derive(Debug, Clone, Default)]
struct Lived {
    trials: f64,
    /// Dark socket-hours in each quarter of an hour of the schedule, later running sums of them.
    dark: Vec<f64>,
    /// Whole quarters in which a socket was dark, as changes from one to the next.
    changes: Vec<f64>,
    /// Moles by month, discounted and not.
    present_moles: Vec<f64>,
    moles: Vec<f64>,
    /// Mean burn hours of the burning lamps by month; all 0 where power does not drift.
    ages: Vec<f64>,
    /// Costs beside electricity, discounted and not.
    present_upkeep: f64,
    upkeep: f64,
}

impl Lived {
    fn new(quarters: usize, months: usize) -> Self {
        Self {
            dark: vec![0.0; quarters],
            changes: vec![0.0; quarters + 1],
            present_moles: vec![0.0; months],
            moles: vec![0.0; months],
            ages: vec![0.0; months],
            ..Self::default()
        }
    }

    fn outage(&mut self, from: f64, to: f64) {
        let last = self.dark.len() - 1;
        let quarter = |u: f64| ((u * QUARTERS) as usize).min(last);
        let (first, end) = (quarter(from), quarter(to));
        if first == end {
            self.dark[first] += to - from;
            return;
        }
        self.dark[first] += (first + 1) as f64 / QUARTERS - from;
        self.dark[end] += to - end as f64 / QUARTERS;
        self.changes[first + 1] += 1.0;
        self.changes[end] -= 1.0;
    }

    fn add(&mut self, other: &Self) {
        let add = |sums: &mut [f64], more: &[f64]| sums.iter_mut().zip(more).for_each(|(sum, more)| *sum += more);
        add(&mut self.dark, &other.dark);
        add(&mut self.changes, &other.changes);
        add(&mut self.present_moles, &other.present_moles);
        add(&mut self.moles, &other.moles);
        add(&mut self.ages, &other.ages);
        self.trials += other.trials;
        self.present_upkeep += other.present_upkeep;
        self.upkeep += other.upkeep;
    }

    /// Means over trials; `dark` becomes a running sum of the share of sockets that is dark, in hours.
    fn settle(&mut self, sockets: f64) {
        let n = self.trials;
        let (mut level, mut sum) = (0.0, 0.0);
        for (dark, change) in self.dark.iter_mut().zip(&self.changes) {
            level += change;
            sum += (*dark + level / QUARTERS) / (n * sockets);
            *dark = sum;
        }
        self.changes = vec![];
        let all = self.present_moles.iter_mut().chain(&mut self.moles).chain(&mut self.ages);
        all.for_each(|sum| *sum /= n);
        self.present_upkeep /= n;
        self.upkeep /= n;
    }

    /// Hours of dark light, as a share of all sockets, before a moment of the schedule.
    #[inline]
    fn dark_before(&self, u: f64) -> f64 {
        let at = u * QUARTERS;
        let quarter = (at as usize).min(self.dark.len() - 1);
        let before = if quarter == 0 { 0.0 } else { self.dark[quarter - 1] };
        before + (self.dark[quarter] - before) * (at - quarter as f64).min(1.0)
    }
}

/// The lived futures of a pattern of light.
#[derive(Debug, Clone)]
pub struct Futures {
    /// Trials lived.
    pub trials: u64,
    /// Lit hours by month of the clock that they were lived on.
    lit: Vec<f64>,
    /// By option: all trials, then each group.
    options: Vec<Vec<Lived>>,
}

fn lit_by_month(timeline: &Timeline) -> Vec<f64> {
    let mut hours = vec![0.0; timeline.months.len()];
    timeline.stretches.iter().for_each(|stretch| hours[stretch.month] += stretch.hours);
    hours
}

/// Lives a pattern through, all options. `stop` ends it after the trials at hand.
pub fn live_pattern(
    plan: &Plan,
    clock: &ClockPlan,
    settings: &Settings,
    stop: &AtomicBool,
    mut tell: impl FnMut(Progress),
) -> Futures {
    let quarters = (clock.timeline.lit_hours * QUARTERS).ceil() as usize + 1;
    let most = plan.options.iter().map(OptionPlan::sockets).max().unwrap_or(0);
    let mut groups: Vec<Group> = (0..GROUPS).map(|index| Group::new(plan, index, quarters, most)).collect();
    let pool = rayon::ThreadPoolBuilder::new().num_threads(settings.threads.max(1)).build().ok();
    let mut done = 0;
    while done < settings.trials && (done < GROUPS as u64 || !stop.load(Ordering::Relaxed)) {
        let end = (done + WAVE).min(settings.trials);
        let mut work = || {
            groups.par_iter_mut().for_each(|group| {
                let first = done + (group.index as u64 + GROUPS as u64 - done % GROUPS as u64) % GROUPS as u64;
                for trial in (first..end).step_by(GROUPS) {
                    group.live(plan, clock, settings.seed, trial);
                }
            });
        };
        match &pool {
            Some(pool) => pool.install(work),
            None => work(),
        }
        done = end;
        tell(Progress { done, most: settings.trials });
    }
    let options = (0..plan.options.len())
        .map(|o| {
            let mut all = Lived::new(quarters, plan.months());
            groups.iter().for_each(|group| all.add(&group.lived[o]));
            let mut parts = vec![all];
            parts.extend(groups.iter().map(|group| group.lived[o].clone()));
            parts.retain(|lived| lived.trials > 0.0);
            parts.iter_mut().for_each(|lived| lived.settle(plan.options[o].sockets() as f64));
            parts
        })
        .collect();
    Futures { trials: done, lit: lit_by_month(&clock.timeline), options }
}

/// Every eighth trial, lived one after another.
struct Group {
    index: usize,
    luck: Luck,
    living: Vec<Living>,
    ledger: Ledger,
    pricing: Pricing,
    lived: Vec<Lived>,
}

impl Group {
    fn new(plan: &Plan, index: usize, quarters: usize, sockets: usize) -> Self {
        let options = plan.options.len();
        Self {
            index,
            luck: Luck::new(sockets),
            living: vec![Living::default(); options],
            ledger: Ledger::default(),
            pricing: Pricing::default(),
            lived: vec![Lived::new(quarters, plan.months()); options],
        }
    }

    fn live(&mut self, plan: &Plan, clock: &ClockPlan, seed: u64, trial: u64) {
        let values = plan.inputs.draw(seed, trial);
        self.luck.turn_to(seed, trial);
        self.pricing.turn_to_time(plan, &values);
        let (discount, level) = self.pricing.factors();
        for (o, option) in plan.options.iter().enumerate() {
            live(option, clock, &values, &mut self.luck, &mut self.living[o], &mut self.ledger);
            let (lived, ledger) = (&mut self.lived[o], &self.ledger);
            lived.trials += 1.0;
            for outage in &ledger.outages {
                let u = |seconds: f64| clock.timeline.lit_before(seconds / 3600.0);
                lived.outage(u(outage.from), u(outage.to));
            }
            lived.ages.iter_mut().zip(&ledger.mean_age).for_each(|(sum, age)| *sum += age);
            let upkeep = Upkeep::new(plan, option, &values);
            lived.upkeep += upkeep.outlay();
            lived.present_upkeep += upkeep.outlay();
            for month in 0..plan.months() {
                let kept = upkeep.of_month(ledger, month, month + 1 == plan.months());
                let cost = kept.iter().map(|(_, cost)| cost).sum::<f64>() * level[month];
                lived.upkeep += cost;
                lived.present_upkeep += cost * discount[month];
                lived.moles[month] += ledger.moles[month];
                lived.present_moles[month] += ledger.moles[month] * discount[month];
            }
        }
    }
}

/// What an option comes to with a start under a contract, at the mean of the futures.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Screened {
    /// Electricity over the horizon that the lights and their cooling add, currency, not discounted.
    pub electricity: f64,
    /// Mean present value of cost over mean present value of moles, currency per mol.
    pub levelized: f64,
}

/// Prices a pattern on another clock, the same but for the time of day: each option under each of some contracts, contract
/// by contract, and each of these for all trials and then for every group.
pub fn screen(
    plan: &Plan,
    contracts: &[usize],
    pricing: &Pricing,
    timeline: &Timeline,
    futures: &Futures,
    groups: bool,
) -> OnClock {
    let (lag, factors) = plan.cooling.as_ref().map_or((0, [1.0; 12]), |c| (c.lag_seconds, c.cop_by_month));
    let steps = meter::light_steps(&[(1.0, timeline)], lag, &factors, &plan.days);
    let hours = lit_by_month(timeline);
    let medians = plan.inputs.medians();
    contracts
        .iter()
        .map(|&c| {
            let account = Screening {
                plan,
                contract: &plan.contracts[c],
                tied: pricing.tied(c),
                discount: pricing.factors().0,
                steps: &steps,
                medians: &medians,
            };
            account.options(futures, &hours, groups)
        })
        .collect()
}

/// What [`screen`] gives for a clock: by contract, option and group.
pub type OnClock = Vec<Vec<Vec<Screened>>>;

/// Prices a pattern at many times of day, see [`screen`]; nothing where a photoperiod cannot be laid out.
pub fn screen_all(
    plan: &Plan,
    contracts: &[usize],
    pricing: &Pricing,
    photoperiods: &[Photoperiod],
    futures: &Futures,
    threads: usize,
) -> Vec<Option<OnClock>> {
    let one = |photoperiod: &Photoperiod| {
        let timeline = Timeline::lay_out(photoperiod, &plan.time_zone, plan.first_day, plan.years).ok()?;
        Some(screen(plan, contracts, pricing, &timeline, futures, false))
    };
    let work = || photoperiods.par_iter().map(one).collect();
    match rayon::ThreadPoolBuilder::new().num_threads(threads.max(1)).build() {
        Ok(pool) => pool.install(work),
        Err(_) => work(),
    }
}

struct Screening<'a> {
    plan: &'a Plan,
    contract: &'a ContractPlan,
    tied: &'a Tied,
    discount: &'a [f64],
    steps: &'a [LightStep],
    medians: &'a [f64],
}

impl Screening<'_> {
    fn options(&self, futures: &Futures, hours: &[f64], groups: bool) -> Vec<Vec<Screened>> {
        let lived: Vec<&Lived> =
            futures.options.iter().flat_map(|parts| if groups { &parts[..] } else { &parts[..1] }).collect();
        let each = if groups { futures.options.first().map_or(1, Vec::len) } else { 1 };
        let (schedule, sheet) = (&self.contract.schedule, &self.contract.sheet);
        let drift = |option: &OptionPlan| option.power_drift.map_or(0.0, |id| self.medians[id.index()]);
        let lits: Vec<_> =
            self.plan.options.iter().map(|option| (lit(self.plan, option, self.medians), drift(option))).collect();
        let mut pasts: Vec<Past> =
            lived.iter().map(|_| Past::new(sheet, &self.contract.before, first_month(self.contract))).collect();
        let mut sums = vec![(0.0, 0.0); lived.len()];
        let (mut registers, mut reading) = (Registers::default(), Reading::default());
        let mut saved = vec![Mix::default(); lived.len() * schedule.rules];
        let mut reached = vec![(f64::NAN, 0.0); lived.len()];
        for period in 0..schedule.periods.len() {
            saved.fill(Mix::default());
            schedule.read(period, &self.contract.lit.base, self.steps, false, &mut registers, |piece| {
                if piece.mix.lights > 0.0 || piece.mix.cool > 0.0 {
                    take_off(piece, &lived, &mut reached, &mut saved, schedule.rules);
                }
            });
            let month = schedule.month_of[period];
            let without = self.tied.without.get(period).map_or(0.0, tariff::Amounts::total);
            for (k, past) in pasts.iter_mut().enumerate() {
                let (lit, drift) = lits[k / each];
                // as in a run, power that drifts is that of the mean lamp of the month
                let lit = Lit { kw: lit.kw * (1.0 + drift * lived[k].ages[month]).max(0.0), ..lit };
                if sheet.sharing == Sharing::InTimeOrder {
                    let base = &self.contract.lit.base;
                    schedule.reading(sheet, period, base, self.steps, lit, &mut registers, &mut reading);
                } else {
                    registers.reading(lit, &mut reading);
                }
                let mut all = 0.0;
                for (rule, saved) in saved[k * schedule.rules..][..schedule.rules].iter().enumerate() {
                    let kwh = saved.with(lit);
                    reading.kwh[rule] -= kwh;
                    all += kwh;
                    lower_last_block(sheet, rule, kwh, &mut reading.kwh_in_blocks);
                }
                // darkness is even enough over a period to be spread over its months by their energy
                let total: f64 = reading.kwh_by_month.iter().sum();
                if total > 0.0 {
                    reading.kwh_by_month.iter_mut().for_each(|kwh| *kwh *= 1.0 - all / total);
                }
                let of = &schedule.periods[period];
                let levels = &self.tied.levels[period];
                let with = bill(sheet, of, &reading, &self.tied.prices, levels, past, |_| {}).total();
                sums[k].0 += with - without;
                sums[k].1 += (with - without) * self.discount[month];
            }
        }
        let screened = |k: usize| {
            let moles: f64 = lived[k]
                .present_moles
                .iter()
                .zip(hours.iter().zip(&futures.lit))
                .map(|(moles, (here, there))| if *there > 0.0 { moles * here / there } else { 0.0 })
                .sum();
            Screened { electricity: sums[k].0, levelized: (sums[k].1 + lived[k].present_upkeep) / moles }
        };
        (0..self.plan.options.len()).map(|o| (o * each..(o + 1) * each).map(screened).collect()).collect()
    }
}

/// Adds what is dark on average in a piece to each option's savings under its rule. `reached` holds the moment at which
/// the piece before ended, and the darkness until then: most pieces go on from there.
#[inline]
fn take_off(piece: &Piece, lived: &[&Lived], reached: &mut [(f64, f64)], saved: &mut [Mix], rules: usize) {
    let hours = piece.hours();
    for (k, lived) in lived.iter().enumerate() {
        let dark = if piece.mix.lights > 0.0 {
            let (u, before) = reached[k];
            let before = if u == piece.u { before } else { lived.dark_before(piece.u) };
            let after = lived.dark_before(piece.u + hours);
            reached[k] = (piece.u + hours, after);
            after - before
        } else {
            // cooling that trails after the lights: as dark as they were at their end
            let quarter = 1.0 / QUARTERS;
            (lived.dark_before(piece.u) - lived.dark_before((piece.u - quarter).max(0.0))) * QUARTERS * hours
        };
        let register = &mut saved[k * rules + piece.rule];
        register.lights += piece.mix.lights * dark;
        register.cool += piece.mix.cool * dark;
    }
}

/// Takes energy off the highest filled block of a rule, where blocks fill in time order.
fn lower_last_block(sheet: &tariff::Sheet, rule: usize, kwh: f64, in_blocks: &mut [f64]) {
    if in_blocks.is_empty() {
        return;
    }
    let first: usize = sheet.energy[..rule].iter().map(|rule| rule.blocks.len()).sum();
    let blocks = &mut in_blocks[first..first + sheet.energy[rule].blocks.len()];
    if let Some(last) = blocks.iter_mut().rev().find(|block| **block > 0.0) {
        *last -= kwh;
    }
}
