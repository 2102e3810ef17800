//! A rate sheet as meant. Its prices stand in a list of their own, so that one sheet serves every trial.

use crate::moments::Moments;
use crate::year::Year;

/// Place of a price in the list that goes with a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PriceId(pub usize);

/// A rate sheet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sheet {
    /// Seasons and holidays.
    pub year: Year,
    /// Energy rules; the first that fits counts.
    pub energy: Vec<EnergyRule>,
    /// How rules with blocks share them.
    pub sharing: Sharing,
    /// Adders on every kWh.
    pub riders: Vec<RiderRule>,
    /// Minutes over which demand is averaged.
    pub interval_minutes: u16,
    /// Demand rules; they add up.
    pub demand: Vec<DemandRule>,
    /// What a low power factor costs.
    pub power_factor: Option<PowerFactorRule>,
    /// Charges that do not depend on use.
    pub fixed: Vec<FixedRule>,
    /// The least that a bill comes to.
    pub minimum: Option<MinimumRule>,
    /// Percentages, in order.
    pub percent: Vec<PercentRule>,
    /// Whether each line is rounded to 0.01, half away from zero.
    pub rounded: bool,
}

/// One block: a price up to a bound, which is infinite in the last.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    /// Upper bound, counted from zero.
    pub up_to: f64,
    /// Price.
    pub price: PriceId,
}

/// What the bounds of energy blocks count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BlockUnit {
    /// kWh in the period.
    #[default]
    Kwh,
    /// kWh a day.
    KwhPerDay,
    /// kWh for each kW of the period's highest demand.
    KwhPerKw,
    /// The same for each day.
    KwhPerKwDay,
}

impl BlockUnit {
    /// What a bound is multiplied with in a period of so many days and so much highest demand, kW.
    pub(crate) fn scale(self, days: f64, kw: f64) -> f64 {
        match self {
            Self::Kwh => 1.0,
            Self::KwhPerDay => days,
            Self::KwhPerKw => kw,
            Self::KwhPerKwDay => kw * days,
        }
    }

    /// Whether the bound depends on demand.
    pub fn needs_demand(self) -> bool {
        matches!(self, Self::KwhPerKw | Self::KwhPerKwDay)
    }
}

/// How rules with blocks share them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Sharing {
    /// Each rule fills blocks of its own.
    #[default]
    Separate,
    /// The blocks of the period's total are spread over the rules in proportion to their kWh.
    InProportion,
    /// One meter runs through the blocks as time goes by.
    InTimeOrder,
}

/// An energy price and its moments.
#[derive(Debug, Clone, PartialEq)]
pub struct EnergyRule {
    /// Name on the bill.
    pub name: String,
    /// When it holds.
    pub when: Vec<Moments>,
    /// Its blocks; a flat price is one of them.
    pub blocks: Vec<Block>,
    /// What their bounds count.
    pub unit: BlockUnit,
}

impl AsRef<[Moments]> for EnergyRule {
    fn as_ref(&self) -> &[Moments] {
        &self.when
    }
}

/// An adder on every kWh.
#[derive(Debug, Clone, PartialEq)]
pub struct RiderRule {
    /// Name on the bill.
    pub name: String,
    /// Its price, or its price in each month, January first.
    pub prices: Vec<PriceId>,
}

impl RiderRule {
    /// Its price in a month, 1 to 12.
    pub fn price_in(&self, month: u8) -> PriceId {
        if self.prices.len() == 12 { self.prices[usize::from(month) - 1] } else { self.prices[0] }
    }
}

/// A demand charge.
#[derive(Debug, Clone, PartialEq)]
pub struct DemandRule {
    /// Name on the bill.
    pub name: String,
    /// When its peak is sought.
    pub when: Vec<Moments>,
    /// Its price.
    pub price: DemandPrice,
    /// Looking back.
    pub ratchet: Option<Ratchet>,
    /// Least demand billed, kW.
    pub minimum_kw: f64,
}

/// Price of a demand charge.
#[derive(Debug, Clone, PartialEq)]
pub enum DemandPrice {
    /// Blocks in kW; a flat price is one of them.
    Blocks(Vec<Block>),
    /// A price for each month, January first.
    ByMonth(Vec<PriceId>),
    /// A price for each season.
    BySeason(Vec<PriceId>),
}

/// At least a share of the highest earlier peak is billed.
#[derive(Debug, Clone, PartialEq)]
pub struct Ratchet {
    /// The share.
    pub share: PriceId,
    /// Billing periods looked back, exactly.
    pub periods: usize,
    /// Months whose peaks count: bit m−1.
    pub of_months: u16,
    /// Months in which it lifts the bill: bit m−1.
    pub in_months: u16,
}

/// What a low power factor costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PowerFactorRule {
    /// Billed kW × below/pf.
    ScaleDemand {
        /// Power factor below which it applies.
        below: f64,
    },
    /// Billed kW / pf.
    KvaBilling,
    /// A price for each kvar beyond so many for each kW.
    KvarOverAllowance {
        /// kvar for each kW that are free.
        allowance: f64,
        /// Price of a kvar.
        price: PriceId,
    },
    /// A share of the demand charges for each 0.01 below.
    PercentPerPoint {
        /// Power factor below which it applies.
        below: f64,
        /// The share.
        percent: PriceId,
    },
}

/// A stretch of time that an amount is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Each {
    /// A day.
    Day,
    /// A billing period; a cut one in proportion to its days.
    Month,
    /// A calendar year, in proportion to days.
    Year,
}

/// A charge that does not depend on use.
#[derive(Debug, Clone, PartialEq)]
pub struct FixedRule {
    /// Name on the bill.
    pub name: String,
    /// Amount.
    pub price: PriceId,
    /// What it is for.
    pub each: Each,
}

/// The least that a bill comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct MinimumRule {
    /// Name on the bill.
    pub name: String,
    /// Amount.
    pub price: PriceId,
    /// What it is for; a year's is topped up on its last bill.
    pub each: Each,
    /// Parts that count.
    pub counts: Parts,
}

/// A percentage on parts of the bill.
#[derive(Debug, Clone, PartialEq)]
pub struct PercentRule {
    /// Name on the bill.
    pub name: String,
    /// The share.
    pub share: PriceId,
    /// Parts it is taken of.
    pub on: Parts,
}

/// A part of the bill.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[repr(usize)]
pub enum Part {
    /// Energy lines.
    Energy,
    /// Rider lines.
    Riders,
    /// Demand lines.
    Demand,
    /// What the power factor adds.
    PowerFactor,
    /// Fixed charges.
    Fixed,
    /// What the minimum bill adds.
    Minimum,
    /// Percentages.
    Percent,
}

impl Part {
    /// All parts, in the order of the bill.
    pub const ALL: [Self; 7] =
        [Self::Energy, Self::Riders, Self::Demand, Self::PowerFactor, Self::Fixed, Self::Minimum, Self::Percent];

    /// The part as people say it.
    pub fn label(self) -> &'static str {
        match self {
            Self::Energy => "energy",
            Self::Riders => "riders",
            Self::Demand => "demand",
            Self::PowerFactor => "power factor",
            Self::Fixed => "fixed",
            Self::Minimum => "minimum",
            Self::Percent => "percentages",
        }
    }
}

/// Number of parts.
pub const PARTS: usize = Part::ALL.len();

/// A set of parts of the bill.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Parts(u8);

impl Parts {
    /// Everything.
    pub const ALL: Self = Self(u8::MAX);

    /// A set of some.
    pub fn of(parts: &[Part]) -> Self {
        Self(parts.iter().fold(0, |set, part| set | 1 << *part as u8))
    }

    /// Whether a part is among them.
    pub fn holds(self, part: Part) -> bool {
        self.0 >> part as u8 & 1 == 1
    }

    /// What those parts come to.
    pub(crate) fn sum(self, amounts: &[f64; PARTS]) -> f64 {
        Part::ALL.iter().filter(|part| self.holds(**part)).map(|part| amounts[*part as usize]).sum()
    }
}
