//! From a meter's reading to a bill: lines in a fixed order, each from what stands before it.
//!
//! energy → riders → demand → power factor → fixed → minimum → percentages. Demand is the billed kW of each rule times its
//! price, where billed = the greatest of the measured peak, the ratchet and the minimum. The past (earlier peaks, what
//! a year has come to) is handed in and moved on.

use crate::cents::to_cents;
use crate::moments::ANY_DAY;
use crate::reading::{DayPart, Peak, Period, Reading};
use crate::sheet::{
    Block, DemandPrice, DemandRule, Each, EnergyRule, PARTS, Part, PowerFactorRule, PriceId, Sharing, Sheet,
};

/// Levels of prices in a period, as multiples of those on the sheet. Bounds and percentages have none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Levels {
    /// Of energy prices.
    pub energy: f64,
    /// Of riders.
    pub riders: f64,
    /// Of demand charges and reactive power.
    pub demand: f64,
    /// Of fixed charges and the minimum.
    pub fixed: f64,
}

impl Levels {
    /// The prices on the sheet.
    pub const AS_WRITTEN: Self = Self::all(1.0);

    /// The same level for all.
    pub const fn all(level: f64) -> Self {
        Self { energy: level, riders: level, demand: level, fixed: level }
    }
}

/// What a bill remembers of earlier ones.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Past {
    /// Measured peaks of each demand rule, kW, with their months, the latest last.
    peaks: Vec<Vec<(u8, f64)>>,
    /// Peaks of each rule from before the first bill.
    before: Vec<usize>,
    /// Bills written.
    bills: usize,
    /// What has counted towards the minimum of the running calendar year, and the share of that year billed.
    year: (f64, f64),
}

impl Past {
    /// Earlier peaks for each demand rule, kW, the latest last; the first billed period's month follows on.
    pub fn new(sheet: &Sheet, before: &[Vec<f64>], first_month: u8) -> Self {
        let mut past = Self::default();
        past.restart(sheet, before, first_month);
        past
    }

    /// Forgets, and takes these peaks for the past.
    pub fn restart(&mut self, sheet: &Sheet, before: &[Vec<f64>], first_month: u8) {
        self.year = (0.0, 0.0);
        self.bills = 0;
        self.peaks.resize(sheet.demand.len(), vec![]);
        self.before.clear();
        for (k, peaks) in self.peaks.iter_mut().enumerate() {
            peaks.clear();
            let known = before.get(k).map_or(&[][..], Vec::as_slice);
            // months count back from the first billed one
            let month = |back: usize| ((usize::from(first_month) + 11 + 12 * known.len() - back) % 12 + 1) as u8;
            peaks.extend(known.iter().enumerate().map(|(i, &kw)| (month(known.len() - i), kw)));
            self.before.push(known.len());
        }
    }

    /// Goes back to the moment before a bill (0 is the first); only the peaks that a ratchet looks back on are known again,
    /// not what has counted towards a year's minimum. Peaks of later bills are kept until they are measured anew.
    pub fn rewind(&mut self, bill: usize) {
        self.bills = bill;
    }

    /// Earlier peaks of a rule.
    fn earlier(&self, rule: usize) -> &[(u8, f64)] {
        &self.peaks[rule][..self.before[rule] + self.bills]
    }

    fn measure(&mut self, rule: usize, month: u8, kw: f64) {
        let at = self.before[rule] + self.bills;
        match self.peaks[rule].get_mut(at) {
            Some(peak) => *peak = (month, kw),
            None => self.peaks[rule].push((month, kw)),
        }
    }

    /// Demand that earlier peaks of a rule bill in a month, kW before its share; 0 for none.
    fn highest(&self, rule: usize, periods: usize, months: u16) -> f64 {
        let peaks = self.earlier(rule);
        peaks[peaks.len().saturating_sub(periods)..]
            .iter()
            .filter(|(month, _)| months >> (month - 1) & 1 == 1)
            .fold(0.0, |most, &(_, kw)| if kw > most { kw } else { most })
    }
}

/// One line of a bill.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Part of the bill.
    pub part: Part,
    /// Index of its rule within the part.
    pub rule: usize,
    /// Index of the block; 0 where there are none.
    pub block: usize,
    /// How much: kWh, kW, kvar, days, months, or the amount that a percentage is taken of.
    pub quantity: f64,
    /// Price of one of these, or the share.
    pub price: f64,
    /// What it comes to, in the currency.
    pub amount: f64,
    /// For demand: kW that only an earlier peak or a minimum brought onto the bill.
    pub lifted_kw: f64,
}

/// What a bill comes to.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Amounts {
    /// By part.
    pub parts: [f64; PARTS],
}

impl Amounts {
    /// All of it.
    pub fn total(&self) -> f64 {
        self.parts.iter().sum()
    }
}

/// Writes one bill. `line` hears of every line in order; `prices` is the sheet's list.
pub fn bill(
    sheet: &Sheet,
    period: &Period,
    reading: &Reading,
    prices: &[f64],
    levels: &Levels,
    past: &mut Past,
    line: impl FnMut(Line),
) -> Amounts {
    let mut writer = Writer { sheet, period, reading, prices, levels, amounts: Amounts::default(), line };
    writer.energy(past);
    writer.riders();
    writer.demand(past);
    writer.fixed();
    writer.minimum(past);
    writer.percent();
    writer.amounts
}

struct Writer<'a, F> {
    sheet: &'a Sheet,
    period: &'a Period,
    reading: &'a Reading,
    prices: &'a [f64],
    levels: &'a Levels,
    amounts: Amounts,
    line: F,
}

impl<F: FnMut(Line)> Writer<'_, F> {
    fn price(&self, id: PriceId) -> f64 {
        self.prices[id.0]
    }

    fn write(&mut self, part: Part, rule: usize, block: usize, quantity: f64, price: f64) {
        self.write_lifted(part, rule, block, quantity, price, 0.0);
    }

    fn write_lifted(&mut self, part: Part, rule: usize, block: usize, quantity: f64, price: f64, lifted_kw: f64) {
        let mut amount = quantity * price;
        if self.sheet.rounded {
            amount = to_cents(amount);
        }
        self.amounts.parts[part as usize] += amount;
        (self.line)(Line { part, rule, block, quantity, price, amount, lifted_kw });
    }

    fn energy(&mut self, past: &Past) {
        let sheet = self.sheet;
        if sheet.sharing == Sharing::InTimeOrder && !self.reading.kwh_in_blocks.is_empty() {
            let mut at = 0;
            for (rule, energy) in sheet.energy.iter().enumerate() {
                for (block, of) in energy.blocks.iter().enumerate() {
                    let price = self.price(of.price) * self.levels.energy;
                    self.write(Part::Energy, rule, block, self.reading.kwh_in_blocks[at], price);
                    at += 1;
                }
            }
            return;
        }
        let together: f64 = match sheet.sharing {
            Sharing::InProportion => {
                sheet.energy.iter().zip(&self.reading.kwh).filter(|(rule, _)| shares(rule)).map(|(_, kwh)| kwh).sum()
            }
            _ => 0.0,
        };
        for (index, rule) in sheet.energy.iter().enumerate() {
            let kwh = self.reading.kwh[index];
            if rule.blocks.len() == 1 {
                let price = self.price(rule.blocks[0].price) * self.levels.energy;
                self.write(Part::Energy, index, 0, kwh, price);
                continue;
            }
            let kw = if rule.unit.needs_demand() { self.demand_of_use(past) } else { 0.0 };
            let scale = rule.unit.scale(self.period.days, kw);
            // in proportion, this rule has its share of every block of the common total
            let (filled, share) = match sheet.sharing {
                Sharing::InProportion if together > 0.0 => (together, kwh / together),
                _ => (kwh, 1.0),
            };
            let mut from = 0.0;
            for (k, block) in rule.blocks.iter().enumerate() {
                let inside = (filled.min(bound(block, scale)) - from).max(0.0);
                from = bound(block, scale);
                let price = self.price(block.price) * self.levels.energy;
                self.write(Part::Energy, index, k, inside * share, price);
            }
        }
    }

    /// Demand that hours of use are counted by, kW: what the rules without hours of their own bill, or else the highest
    /// measured.
    fn demand_of_use(&self, past: &Past) -> f64 {
        let all_day = |rule: &DemandRule| {
            rule.when.iter().all(|w| w.kinds == ANY_DAY && (w.from, w.until) == (0, 24 * 60))
                && self.period.parts.iter().any(|part| in_force(rule, part))
        };
        let rules = self.sheet.demand.iter().enumerate().filter(|(_, rule)| all_day(rule));
        let billed = rules.map(|(index, rule)| self.billed(rule, index, self.reading.peaks[index], past).0);
        billed.reduce(f64::max).unwrap_or(self.reading.highest.kw)
    }

    fn riders(&mut self) {
        for (index, rider) in self.sheet.riders.iter().enumerate() {
            if rider.prices.len() == 1 {
                let kwh = self.reading.kwh_by_month.iter().sum();
                self.write(Part::Riders, index, 0, kwh, self.price(rider.prices[0]) * self.levels.riders);
                continue;
            }
            for (&month, &kwh) in self.period.months.iter().zip(&self.reading.kwh_by_month) {
                let price = self.price(rider.price_in(month)) * self.levels.riders;
                self.write(Part::Riders, index, usize::from(month) - 1, kwh, price);
            }
        }
    }

    fn demand(&mut self, past: &mut Past) {
        let sheet = self.sheet;
        let mut added = 0.0;
        for (index, rule) in sheet.demand.iter().enumerate() {
            let peak = self.reading.peaks[index];
            let days: f64 = self.period.parts.iter().filter(|p| in_force(rule, p)).map(|p| p.days).sum();
            let (billed, lifted) = if days > 0.0 { self.billed(rule, index, peak, past) } else { (0.0, 0.0) };
            past.measure(index, self.period.month(), peak.kw);
            if days == 0.0 {
                continue;
            }
            self.demand_lines(rule, index, billed, lifted, days);
            // what the rule comes to for more kW, less what it comes to as billed: neither rounded
            let adjusted = match sheet.power_factor {
                Some(PowerFactorRule::ScaleDemand { below }) => billed * (below / peak.power_factor()).max(1.0),
                Some(PowerFactorRule::KvaBilling) => billed / peak.power_factor(),
                _ => continue,
            };
            added += self.priced(rule, adjusted, days) - self.priced(rule, billed, days);
        }
        past.bills += 1;
        match sheet.power_factor {
            None => {}
            Some(PowerFactorRule::ScaleDemand { .. } | PowerFactorRule::KvaBilling) => {
                self.write(Part::PowerFactor, 0, 0, 1.0, added);
            }
            Some(PowerFactorRule::KvarOverAllowance { allowance, price }) => {
                let highest = self.reading.highest;
                let over = (highest.kvar - allowance * highest.kw).max(0.0);
                let price = self.price(price) * self.levels.demand * self.period.of_full;
                self.write(Part::PowerFactor, 0, 0, over, price);
            }
            Some(PowerFactorRule::PercentPerPoint { below, percent }) => {
                let points = ((below - self.reading.highest.power_factor()) * 100.0).max(0.0);
                let demand = self.amounts.parts[Part::Demand as usize];
                self.write(Part::PowerFactor, 0, 0, points, self.price(percent) * demand);
            }
        }
    }

    /// Billed demand of a rule, kW, and how much of it was not measured.
    fn billed(&self, rule: &DemandRule, index: usize, peak: Peak, past: &Past) -> (f64, f64) {
        let ratchet = rule.ratchet.as_ref().filter(|r| r.in_months >> (self.period.month() - 1) & 1 == 1);
        let back = ratchet.map_or(0.0, |r| self.price(r.share) * past.highest(index, r.periods, r.of_months));
        let billed = peak.kw.max(back).max(rule.minimum_kw);
        (billed, billed - peak.kw)
    }

    fn demand_lines(&mut self, rule: &DemandRule, index: usize, billed: f64, lifted: f64, days: f64) {
        let level = self.levels.demand * self.period.of_full * days / self.period.days;
        match &rule.price {
            DemandPrice::Blocks(blocks) => {
                let mut from = 0.0;
                for (k, block) in blocks.iter().enumerate() {
                    let inside = (billed.min(block.up_to) - from).max(0.0);
                    from = block.up_to;
                    if k == 0 || inside > 0.0 {
                        let price = self.price(block.price) * level;
                        self.write_lifted(Part::Demand, index, k, inside, price, if k == 0 { lifted } else { 0.0 });
                    }
                }
            }
            _ => {
                let price = self.price_by_days(rule) * self.levels.demand * self.period.of_full;
                self.write_lifted(Part::Demand, index, 0, billed, price, lifted);
            }
        }
    }

    /// Price of a rule by month or season, weighted with the days on which it is in force.
    fn price_by_days(&self, rule: &DemandRule) -> f64 {
        let weighted = self.period.parts.iter().filter(|part| in_force(rule, part)).map(|part| {
            let id = match &rule.price {
                DemandPrice::ByMonth(prices) => prices[usize::from(part.month) - 1],
                DemandPrice::BySeason(prices) => prices[usize::from(part.season)],
                DemandPrice::Blocks(blocks) => blocks[0].price,
            };
            self.price(id) * part.days
        });
        weighted.sum::<f64>() / self.period.days
    }

    /// What a rule would come to for another billed demand.
    fn priced(&self, rule: &DemandRule, billed: f64, days: f64) -> f64 {
        let level = self.levels.demand * self.period.of_full;
        match &rule.price {
            DemandPrice::Blocks(blocks) => {
                let mut from = 0.0;
                let amounts = blocks.iter().map(|block| {
                    let inside = (billed.min(block.up_to) - from).max(0.0);
                    from = block.up_to;
                    inside * self.price(block.price)
                });
                amounts.sum::<f64>() * level * days / self.period.days
            }
            _ => billed * self.price_by_days(rule) * level,
        }
    }

    fn fixed(&mut self) {
        for (index, fixed) in self.sheet.fixed.iter().enumerate() {
            let price = self.price(fixed.price) * self.levels.fixed;
            self.write(Part::Fixed, index, 0, self.times(fixed.each), price);
        }
    }

    /// How often a period contains a day, a month or a year.
    fn times(&self, each: Each) -> f64 {
        match each {
            Each::Day => self.period.days,
            Each::Month => self.period.of_full,
            Each::Year => self.period.of_year,
        }
    }

    fn minimum(&mut self, past: &mut Past) {
        let Some(minimum) = &self.sheet.minimum else { return };
        let counted = minimum.counts.sum(&self.amounts.parts);
        let price = self.price(minimum.price) * self.levels.fixed;
        let missing = match minimum.each {
            Each::Year => {
                past.year.0 += counted;
                past.year.1 += self.period.of_year;
                if !self.period.closes_year {
                    return;
                }
                let (sum, share) = std::mem::take(&mut past.year);
                price * share - sum
            }
            each => price * self.times(each) - counted,
        };
        if missing > 0.0 {
            self.write(Part::Minimum, 0, 0, 1.0, missing);
        }
    }

    fn percent(&mut self) {
        for (index, percent) in self.sheet.percent.iter().enumerate() {
            let on = percent.on.sum(&self.amounts.parts);
            self.write(Part::Percent, index, 0, on, self.price(percent.share));
        }
    }
}

fn shares(rule: &EnergyRule) -> bool {
    rule.blocks.len() > 1
}

/// A block's bound in a period; the last has none, whatever the scale.
fn bound(block: &Block, scale: f64) -> f64 {
    if block.up_to == f64::INFINITY { f64::INFINITY } else { block.up_to * scale }
}

/// Whether a demand rule's season and month hold on some days.
fn in_force(rule: &DemandRule, part: &DayPart) -> bool {
    rule.when.iter().any(|when| when.in_season(part.month, part.season))
}
