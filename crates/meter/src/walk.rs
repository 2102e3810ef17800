//! The walk along a period: from edge to edge of whatever changes, adding up energy and averaging demand.

use tariff::{EnergyRule, Reading, Sharing, Sheet};

use crate::load::{BaseStep, LightStep};
use crate::registers::{Lit, Mix, Registers};
use crate::schedule::{Schedule, Step};

/// A piece of time in which nothing changes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Beginning, s.
    pub from: i64,
    /// End, s.
    pub to: i64,
    /// Billing period.
    pub period: usize,
    /// Energy rule.
    pub rule: usize,
    /// Index of the month among the period's.
    pub month: usize,
    /// Power, kW.
    pub mix: Mix,
    /// Schedule hours of the lights at its beginning, h.
    pub u: f64,
}

impl Piece {
    /// Its length, h.
    pub fn hours(&self) -> f64 {
        (self.to - self.from) as f64 / 3600.0
    }
}

/// Adds averages up to whole demand intervals.
struct Averaging {
    interval: i64,
    lines: usize,
    keep: bool,
    /// The interval at hand: its beginning, seconds so far, and what they sum up to.
    begun: i64,
    seconds: f64,
    sum: Mix,
    sum_kvar: f64,
}

impl Averaging {
    #[inline]
    fn offer(&self, registers: &mut Registers, mut lines: u64, mix: Mix, kvar: f64, run: (i64, i64)) {
        registers.offer(self.lines, mix, kvar, run, self.keep);
        while lines != 0 {
            registers.offer(lines.trailing_zeros() as usize, mix, kvar, run, self.keep);
            lines &= lines - 1;
        }
    }

    fn collect(&mut self, mix: Mix, kvar: f64, seconds: i64) {
        self.sum.add(mix, seconds as f64);
        self.sum_kvar += kvar * seconds as f64;
        self.seconds += seconds as f64;
    }

    /// Ends the interval at hand.
    fn settle(&mut self, registers: &mut Registers, lines: u64, at: i64) {
        if self.seconds > 0.0 {
            let mut mix = Mix::default();
            mix.add(self.sum, 1.0 / self.seconds);
            self.offer(registers, lines, mix, self.sum_kvar / self.seconds, (self.begun, at));
        }
        (self.seconds, self.sum, self.sum_kvar) = (0.0, Mix::default(), 0.0);
    }

    #[inline]
    fn piece(&mut self, registers: &mut Registers, step: &Step, from: i64, to: i64, mix: Mix, kvar: f64) {
        let mut now = from;
        let into = (from + step.shift).rem_euclid(self.interval);
        if into != 0 || self.seconds > 0.0 {
            if self.seconds == 0.0 {
                self.begun = from;
            }
            let end = from + self.interval - into;
            let until = end.min(to);
            self.collect(mix, kvar, until - from);
            if until < end {
                return;
            }
            self.settle(registers, step.lines, end);
            now = until;
        }
        let whole = (to - now) / self.interval * self.interval;
        if whole > 0 {
            self.offer(registers, step.lines, mix, kvar, (now, now + whole));
            now += whole;
        }
        if now < to {
            self.begun = now;
            self.collect(mix, kvar, to - now);
        }
    }
}

impl Schedule {
    /// Reads one period off into `registers`. `keep` keeps every run of intervals that a candidate for a peak stands for;
    /// `hear` is told of each piece in order.
    pub fn read(
        &self,
        period: usize,
        base: &[BaseStep],
        lights: &[LightStep],
        keep: bool,
        registers: &mut Registers,
        mut hear: impl FnMut(&Piece),
    ) {
        registers.open(self.rules, self.periods[period].months.len(), self.lines);
        let (begin, end) = (self.bounds[period], self.bounds[period + 1]);
        let last_step = self.first_steps.get(period + 1).copied().unwrap_or(self.steps.len());
        let steps = &self.steps[self.first_steps[period]..last_step];
        let mut s = 0;
        let mut b = base.partition_point(|step| step.t <= begin).saturating_sub(1);
        let mut l = lights.partition_point(|step| step.t <= begin).saturating_sub(1);
        let mut averaging = Averaging {
            interval: self.interval,
            lines: self.lines,
            keep,
            begun: begin,
            seconds: 0.0,
            sum: Mix::default(),
            sum_kvar: 0.0,
        };
        const NEVER: i64 = i64::MAX;
        let after = |next: Option<i64>| next.unwrap_or(NEVER);
        let (mut next_step, mut next_base, mut next_light) = (
            after(steps.get(1).map(|step| step.t)),
            after(base.get(b + 1).map(|step| step.t)),
            after(lights.get(l + 1).map(|step| step.t)),
        );
        let mut now = begin;
        while now < end {
            let to = next_step.min(next_base).min(next_light).min(end);
            let (step, load, light) = (&steps[s], &base[b], &lights[l]);
            let mix = Mix { base: load.kw, lights: light.lights, cool: light.cool };
            let hours = (to - now) as f64 / 3600.0;
            registers.kwh[step.rule as usize].add(mix, hours);
            registers.kwh_by_month[step.month as usize].add(mix, hours);
            averaging.piece(registers, step, now, to, mix, load.kvar);
            hear(&Piece {
                from: now,
                to,
                period,
                rule: step.rule as usize,
                month: step.month as usize,
                mix,
                u: if light.lights > 0.0 { light.u + (now - light.t) as f64 / 3600.0 } else { light.u },
            });
            now = to;
            if now == next_step {
                s += 1;
                if s < steps.len() && (steps[s].shift - step.shift) % self.interval != 0 {
                    // the clock jumped by part of an interval: what was begun ends here
                    averaging.settle(registers, step.lines, now);
                }
                next_step = after(steps.get(s + 1).map(|step| step.t));
            }
            if now == next_base {
                b += 1;
                next_base = after(base.get(b + 1).map(|step| step.t));
            }
            if now == next_light {
                l += 1;
                next_light = after(lights.get(l + 1).map(|step| step.t));
            }
        }
        averaging.settle(registers, steps.last().map_or(0, |step| step.lines), end);
    }
}

impl Schedule {
    /// The meter's reading of one period for lights of a power; blocks that fill in time order are in it where the sheet has
    /// them. The registers are left behind.
    #[allow(clippy::too_many_arguments, reason = "what is read, and where to")]
    pub fn reading(
        &self,
        sheet: &Sheet,
        period: usize,
        base: &[BaseStep],
        lights: &[LightStep],
        lit: Lit,
        registers: &mut Registers,
        reading: &mut Reading,
    ) {
        if sheet.sharing == Sharing::InTimeOrder {
            let mut blocks = std::mem::take(&mut reading.kwh_in_blocks);
            let run = running_blocks(sheet, self.periods[period].days, lit, &mut blocks);
            self.read(period, base, lights, false, registers, run);
            registers.reading(lit, reading);
            reading.kwh_in_blocks = blocks;
        } else {
            self.read(period, base, lights, false, registers, |_| {});
            registers.reading(lit, reading);
        }
    }
}

/// kWh of each energy rule and block where one meter runs through the blocks as time goes by: `blocks` is opened with
/// zeros, then this is told of each piece of the period in order. Bounds must not depend on demand.
fn running_blocks<'a>(sheet: &'a Sheet, days: f64, lit: Lit, blocks: &'a mut Vec<f64>) -> impl FnMut(&Piece) + use<'a> {
    let mut first = vec![0];
    for rule in &sheet.energy {
        first.push(first.last().copied().unwrap_or(0) + rule.blocks.len());
    }
    blocks.clear();
    blocks.resize(first[sheet.energy.len()], 0.0);
    let mut so_far = 0.0;
    move |piece: &Piece| {
        let rule: &EnergyRule = &sheet.energy[piece.rule];
        let kwh = piece.mix.with(lit) * piece.hours();
        if rule.blocks.len() == 1 {
            blocks[first[piece.rule]] += kwh;
            return;
        }
        let per_day = if rule.unit == tariff::BlockUnit::KwhPerDay { days } else { 1.0 };
        let (mut from, until) = (so_far, so_far + kwh);
        for (k, block) in rule.blocks.iter().enumerate() {
            let to = until.min(block.up_to * per_day);
            if to > from {
                blocks[first[piece.rule] + k] += to - from;
                from = to;
            }
        }
        so_far = until;
    }
}
