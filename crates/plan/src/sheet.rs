//! Reading a rate sheet: from the form to rules, with every price in the table of inputs.

use scenario::MONTHS;
use scenario::form::{self, BillPart, EnergyPrice, Tariff};
use tariff::{
    Block, BlockUnit, Each, EnergyRule, FixedRule, MinimumRule, Part, Parts, PercentRule, PriceId, RiderRule, Seasons,
    Sharing, Sheet,
};
use units::{Dimension, Per};

use crate::hours::{self, day_name};
use crate::inputs::InputId;
use crate::reader::{Field, Reader, Spot, shown};

/// Most rules of one kind in a sheet; demand rules are bits of a word.
const MOST_RULES: usize = 60;
/// Minutes over which demand may be averaged.
const INTERVALS: [u16; 6] = [5, 10, 15, 20, 30, 60];
/// Highest price of anything, and the least of what may be a credit.
const MOST_PRICE: f64 = 1e7;

mod demand;

/// A sheet and where its prices stand in the table of inputs.
pub(crate) struct Read {
    pub sheet: Sheet,
    pub prices: Vec<InputId>,
}

struct Sheets<'a> {
    reader: &'a mut Reader,
    prices: Vec<InputId>,
    seasons: Seasons,
    interval: u32,
}

/// Reads a sheet; faults go to the reader.
pub(crate) fn read(tariff: &Tariff, at: &Spot, reader: &mut Reader) -> Read {
    let year = hours::year(tariff, at, reader);
    let interval = tariff.demand_interval.unwrap_or(15);
    if !INTERVALS.iter().any(|known| u32::from(*known) == interval) {
        reader.fault(&at.member("demand_interval"), format!("{interval} min"), "5, 10, 15, 20, 30 or 60 min");
    }
    for (key, count) in [
        ("energy", tariff.energy.len()),
        ("riders", tariff.riders.len()),
        ("demand", tariff.demand.len()),
        ("fixed", tariff.fixed.len()),
        ("percent", tariff.percent.len()),
    ] {
        if count > MOST_RULES {
            reader.fault(&at.member(key), format!("{count} items"), format!("at most {MOST_RULES}"));
        }
    }
    let mut sheets = Sheets { reader, prices: vec![], seasons: year.seasons.clone(), interval };
    let sheet = Sheet {
        energy: sheets.energy(tariff, at),
        sharing: sheets.sharing(tariff, at),
        riders: sheets.riders(tariff, at),
        interval_minutes: interval.min(60) as u16,
        demand: sheets.demand(tariff, at),
        power_factor: sheets.power_factor(tariff.power_factor.as_ref(), &at.member("power_factor")),
        fixed: sheets.fixed(tariff, at),
        minimum: sheets.minimum(tariff.minimum_bill.as_ref(), &at.member("minimum_bill")),
        percent: sheets.percent(tariff, at),
        rounded: tariff.rounding == Some(form::Rounding::Line),
        year,
    };
    let prices = sheets.prices;
    cover(&sheet, at, reader);
    Read { sheet, prices }
}

/// Faults where no energy price holds; remarks where a rule never does.
fn cover(sheet: &Sheet, at: &Spot, reader: &mut Reader) {
    let at = at.member("energy");
    if sheet.energy.is_empty() {
        reader.fault(&at, "an empty list", "at least one energy price");
        return;
    }
    let days = sheet.year.days();
    if let Some((day, from, until)) = tariff::uncovered(&sheet.energy, &days) {
        let clock = |minute: u16| format!("{:02}:{:02}", minute / 60, minute % 60);
        let found = format!(
            "no price in {} on {} from {} to {}",
            MONTHS[usize::from(day.month) - 1],
            day_name(day.kinds),
            clock(from),
            clock(until)
        );
        reader.hinted(&at, found, "a price for every hour of the year", "a last rule without `when` holds always");
    }
    for rule in tariff::unreached(&sheet.energy, &days) {
        let place = &at.item(rule).place;
        reader.remarks.push(format!(
            "{place} never applies: earlier prices take all its hours. The first price that fits counts; put special hours first"
        ));
    }
}

impl Sheets<'_> {
    fn price(&mut self, figure: &scenario::figure::Figure, at: &Spot, field: Field) -> PriceId {
        self.prices.push(self.reader.figure(figure, at, field));
        PriceId(self.prices.len() - 1)
    }

    fn energy(&mut self, tariff: &Tariff, at: &Spot) -> Vec<EnergyRule> {
        let at = at.member("energy");
        let field = Field::new(Dimension::Money(Per::Kwh), 0.0, MOST_PRICE);
        tariff
            .energy
            .iter()
            .take(MOST_RULES)
            .enumerate()
            .map(|(k, rule)| {
                let at = at.item(k);
                let blocks = self.energy_blocks(rule, &at, field);
                EnergyRule {
                    name: rule.name.clone().unwrap_or_else(|| format!("energy {}", k + 1)),
                    when: hours::times(rule.when.as_ref(), &at, Some(&self.seasons), self.reader),
                    blocks,
                    unit: match rule.block_unit {
                        None | Some(form::BlockUnit::Kwh) => BlockUnit::Kwh,
                        Some(form::BlockUnit::KwhPerDay) => BlockUnit::KwhPerDay,
                        Some(form::BlockUnit::KwhPerKw) => BlockUnit::KwhPerKw,
                        Some(form::BlockUnit::KwhPerKwDay) => BlockUnit::KwhPerKwDay,
                    },
                }
            })
            .collect()
    }

    fn energy_blocks(&mut self, rule: &EnergyPrice, at: &Spot, field: Field) -> Vec<Block> {
        self.reader.exactly_one(at, &[("price", rule.price.is_some()), ("blocks", rule.blocks.is_some())]);
        match (&rule.price, &rule.blocks) {
            (_, Some(blocks)) => {
                let unit = match rule.block_unit {
                    None | Some(form::BlockUnit::Kwh) => "kWh",
                    Some(form::BlockUnit::KwhPerDay) => "kWh/day",
                    Some(form::BlockUnit::KwhPerKw) => "kWh/kW",
                    Some(form::BlockUnit::KwhPerKwDay) => "kWh/kW/day",
                };
                self.blocks(blocks, at, field, unit)
            }
            (Some(price), None) => {
                vec![Block { up_to: f64::INFINITY, price: self.price(price, &at.member("price"), field) }]
            }
            (None, None) => vec![Block { up_to: f64::INFINITY, price: PriceId(0) }],
        }
    }

    fn blocks(&mut self, blocks: &[form::Block], at: &Spot, field: Field, unit: &str) -> Vec<Block> {
        let at = at.member("blocks");
        if blocks.is_empty() || blocks.len() > MOST_RULES {
            self.reader.fault(&at, format!("{} blocks", blocks.len()), format!("1 to {MOST_RULES} blocks"));
        }
        let mut before = 0.0;
        blocks
            .iter()
            .enumerate()
            .map(|(k, block)| {
                let (spot, last) = (at.item(k), k + 1 == blocks.len());
                let bound_at = spot.member("up_to");
                let up_to = match (block.up_to, last) {
                    (None, true) => f64::INFINITY,
                    (None, false) => {
                        self.reader.fault(&bound_at, "no bound", "a bound; only the last block has none");
                        f64::INFINITY
                    }
                    (Some(bound), true) => {
                        let found = format!("a bound of {} {unit} in the last block", shown(bound));
                        self.reader.fault(&bound_at, found, "no bound there, so that every kWh or kW has a price");
                        f64::INFINITY
                    }
                    (Some(bound), false) => {
                        if !(bound > before && bound <= 1e12) {
                            let allowed = format!("more than {before} {unit} (blocks rise) and at most 1e12 {unit}");
                            self.reader.fault(&bound_at, format!("{} {unit}", shown(bound)), allowed);
                        }
                        before = bound;
                        bound
                    }
                };
                Block { up_to, price: self.price(&block.price, &spot.member("price"), field) }
            })
            .collect()
    }

    fn sharing(&mut self, tariff: &Tariff, at: &Spot) -> Sharing {
        let tiered = |rule: &&EnergyPrice| rule.blocks.as_ref().is_some_and(|blocks| blocks.len() > 1);
        let rules: Vec<&EnergyPrice> = tariff.energy.iter().filter(tiered).collect();
        let spot = at.member("blocks_shared");
        let sharing = match tariff.blocks_shared {
            Some(form::BlocksShared::InProportion) => Sharing::InProportion,
            Some(form::BlocksShared::InTimeOrder) => Sharing::InTimeOrder,
            Some(form::BlocksShared::Separate) => Sharing::Separate,
            None => {
                if rules.len() > 1 {
                    let allowed =
                        "\"in_proportion\", \"in_time_order\" or \"separate\": the three give different bills";
                    self.reader.fault(&spot, format!("nothing, but {} prices have blocks", rules.len()), allowed);
                }
                Sharing::Separate
            }
        };
        let by_demand = |rule: &&EnergyPrice| {
            matches!(rule.block_unit, Some(form::BlockUnit::KwhPerKw | form::BlockUnit::KwhPerKwDay))
        };
        if sharing == Sharing::InTimeOrder && rules.iter().any(by_demand) {
            let allowed = "another sharing: hours of use are known only when the period is over";
            self.reader.fault(&spot, "\"in_time_order\" with bounds per kW", allowed);
        }
        sharing
    }

    fn riders(&mut self, tariff: &Tariff, at: &Spot) -> Vec<RiderRule> {
        let field = Field::new(Dimension::Money(Per::Kwh), -MOST_PRICE, MOST_PRICE);
        let at = at.member("riders");
        let mut rules = vec![];
        for (k, rider) in tariff.riders.iter().take(MOST_RULES).enumerate() {
            let at = at.item(k);
            self.reader.exactly_one(&at, &[("price", rider.price.is_some()), ("by_month", rider.by_month.is_some())]);
            let prices = match (&rider.price, &rider.by_month) {
                (_, Some(prices)) => self.twelve(prices, &at.member("by_month"), field),
                (Some(price), None) => vec![self.price(price, &at.member("price"), field)],
                (None, None) => continue,
            };
            rules.push(RiderRule { name: rider.name.clone().unwrap_or_else(|| format!("rider {}", k + 1)), prices });
        }
        rules
    }

    fn twelve(&mut self, figures: &[scenario::figure::Figure], at: &Spot, field: Field) -> Vec<PriceId> {
        if figures.len() != 12 {
            self.reader.fault(at, format!("{} prices", figures.len()), "twelve prices, January first");
            return vec![PriceId(0); 12];
        }
        figures.iter().enumerate().map(|(k, figure)| self.price(figure, &at.item(k), field)).collect()
    }

    fn fixed(&mut self, tariff: &Tariff, at: &Spot) -> Vec<FixedRule> {
        let field = Field::new(Dimension::Money(Per::Time), -1e9, 1e9);
        let at = at.member("fixed");
        tariff
            .fixed
            .iter()
            .take(MOST_RULES)
            .enumerate()
            .map(|(k, fixed)| FixedRule {
                name: fixed.name.clone().unwrap_or_else(|| format!("fixed charge {}", k + 1)),
                price: self.price(&fixed.price, &at.item(k).member("price"), field),
                each: each(fixed.each),
            })
            .collect()
    }

    fn minimum(&mut self, minimum: Option<&form::MinimumBill>, at: &Spot) -> Option<MinimumRule> {
        let minimum = minimum?;
        let field = Field::new(Dimension::Money(Per::Time), 0.0, 1e9);
        let usual = [BillPart::Energy, BillPart::Riders, BillPart::Demand, BillPart::PowerFactor, BillPart::Fixed];
        let counts = minimum.counts.as_deref().unwrap_or(&usual);
        Some(MinimumRule {
            name: minimum.name.clone().unwrap_or_else(|| "minimum bill".into()),
            price: self.price(&minimum.price, &at.member("price"), field),
            each: each(minimum.each),
            counts: self.parts(counts, &at.member("counts")),
        })
    }

    fn percent(&mut self, tariff: &Tariff, at: &Spot) -> Vec<PercentRule> {
        let at = at.member("percent");
        tariff
            .percent
            .iter()
            .take(MOST_RULES)
            .enumerate()
            .map(|(k, percent)| {
                let at = at.item(k);
                PercentRule {
                    name: percent.name.clone().unwrap_or_else(|| format!("percentage {}", k + 1)),
                    share: self.price(&percent.share, &at.member("share"), Field::new(Dimension::Share, -1.0, 1.0)),
                    on: self.parts(&percent.on, &at.member("on")),
                }
            })
            .collect()
    }

    fn parts(&mut self, parts: &[BillPart], at: &Spot) -> Parts {
        if parts.is_empty() {
            self.reader.fault(at, "an empty list", "parts of the bill, or \"subtotal\" for everything so far");
        }
        if parts.contains(&BillPart::Subtotal) {
            return Parts::ALL;
        }
        let part = |part: &BillPart| match part {
            BillPart::Energy => Part::Energy,
            BillPart::Riders => Part::Riders,
            BillPart::Demand => Part::Demand,
            BillPart::PowerFactor => Part::PowerFactor,
            BillPart::Fixed => Part::Fixed,
            BillPart::Minimum | BillPart::Subtotal => Part::Minimum,
        };
        Parts::of(&parts.iter().map(part).collect::<Vec<_>>())
    }
}

fn each(each: form::Each) -> Each {
    match each {
        form::Each::Day => Each::Day,
        form::Each::Month => Each::Month,
        form::Each::Year => Each::Year,
    }
}
