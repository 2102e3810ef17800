//! A rate sheet as written: seasons, holidays, prices and the rules by which a bill is made of them.
//!
//! Belongs here: shapes and their documentation. Does not belong here: any judgement of the values.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use super::hours::{Day, Times};
use crate::figure::Figure;

/// Electricity prices and the rules by which a bill is made of them.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tariff {
    /// Where an editor finds the schema of this file; the program ignores it.
    #[serde(rename = "$schema", default)]
    pub schema: Option<String>,
    /// What the rate sheet is called.
    #[serde(default)]
    pub name: Option<String>,
    /// Anything a reader should know about it.
    #[serde(default)]
    pub note: Option<String>,
    /// Where the sheet comes from: publisher, code, address, in words.
    #[serde(default)]
    pub origin: Option<String>,
    /// Dates between which the prices are in force.
    #[serde(default)]
    pub valid: Option<Valid>,
    /// Seasons by name, each from its first to its last day as "MM-DD..MM-DD"; a season may run over the new year.
    /// Together they must cover the year once.
    #[serde(default)]
    pub seasons: Option<BTreeMap<String, String>>,
    /// Days that are billed unlike others of their kind.
    #[serde(default)]
    pub holidays: Option<Holidays>,
    /// Energy prices. For each moment the FIRST rule that fits counts: put special hours first, and last a rule that
    /// fits always.
    pub energy: Vec<EnergyPrice>,
    /// How energy rules with blocks share them (kWh under prices without blocks fill none): one of "in_proportion" (the blocks of the period's total, spread over
    /// the rules by their kWh), "in_time_order" (a meter that runs through the blocks) or "separate" (each rule fills
    /// blocks of its own). Needed as soon as two rules have blocks.
    #[serde(default)]
    pub blocks_shared: Option<BlocksShared>,
    /// Adders on every kWh, such as fuel adjustments; they ADD UP.
    #[serde(default)]
    pub riders: Vec<Rider>,
    /// Minutes over which demand is averaged, counted from the full hour: 5, 10, 15, 20, 30 or 60; 15 when absent.
    #[serde(default)]
    pub demand_interval: Option<u32>,
    /// Demand charges. They ADD UP: each rule bills the period's highest demand inside its own hours.
    #[serde(default)]
    pub demand: Vec<DemandPrice>,
    /// What a low power factor costs; nothing when absent.
    #[serde(default)]
    pub power_factor: Option<PowerFactor>,
    /// Charges that do not depend on use.
    #[serde(default)]
    pub fixed: Vec<FixedCharge>,
    /// The least that a bill comes to.
    #[serde(default)]
    pub minimum_bill: Option<MinimumBill>,
    /// Percentages on parts of the bill, applied in this order; each may build on those before it.
    #[serde(default)]
    pub percent: Vec<PercentAdder>,
    /// Whether each line is rounded to the hundredth of the currency (half away from zero) or not at all, the default.
    #[serde(default)]
    pub rounding: Option<Rounding>,
    /// Questions that a person must still answer before a bill may be called complete; answer one by changing the sheet
    /// and striking it here.
    #[serde(default)]
    pub open_questions: Vec<String>,
}

/// Dates between which prices are in force.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Valid {
    /// First day, YYYY-MM-DD.
    #[serde(default)]
    pub from: Option<String>,
    /// Last day, YYYY-MM-DD.
    #[serde(default)]
    pub until: Option<String>,
    /// What to do outside these dates: "refuse", the default, or "use_anyway", with a remark.
    #[serde(default)]
    pub outside: Option<Outside>,
}

/// What to do outside the dates of a tariff.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Outside {
    /// It is a fault.
    Refuse,
    /// The prices are used all the same.
    UseAnyway,
}

/// Days that are billed unlike others of their kind.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Holidays {
    /// Single days, YYYY-MM-DD.
    #[serde(default)]
    pub dates: Vec<String>,
    /// The same day every year, MM-DD. 02-29 must be written as a single day.
    #[serde(default)]
    pub yearly: Vec<String>,
    /// Days such as the fourth Thursday of November.
    #[serde(default)]
    pub weekdays: Vec<NthWeekday>,
    /// Whether a yearly holiday that falls on a weekend moves: to the Monday after a Sunday, or to the nearest weekday;
    /// it stays when absent.
    #[serde(default)]
    pub observed: Option<Observed>,
    /// Days as which holidays are billed: as a Sunday of the weekend, the default, or only by rules that name "holiday".
    #[serde(default)]
    pub billed_as: Option<BilledAs>,
}

/// A weekday by its number in its month.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NthWeekday {
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the week, "mon" to "sun".
    pub day: Day,
    /// 1 to 4 from the month's beginning, −1 for the last.
    pub nth: i8,
}

/// Whether a holiday on a weekend moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Observed {
    /// From a Sunday to the Monday after.
    MondayAfterSunday,
    /// From a Saturday to the Friday before, from a Sunday to the Monday after.
    NearestWeekday,
}

/// How holidays are billed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum BilledAs {
    /// As a Sunday, and by rules that name "holiday".
    Weekend,
    /// Only by rules that name "holiday" or no days at all.
    HolidayOnly,
}

/// One energy price and the hours in which it holds.
///
/// Exactly one of `price` and `blocks` is given.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EnergyPrice {
    /// What the line is called on the bill.
    #[serde(default)]
    pub name: Option<String>,
    /// When it holds, or a list of such times of which one must fit; always when absent.
    #[serde(default)]
    pub when: Option<Times>,
    /// Price of energy, unit such as "USD/kWh".
    #[serde(default)]
    pub price: Option<Figure>,
    /// Prices by amount: each block up to its bound, the last one without.
    #[serde(default)]
    pub blocks: Option<Vec<Block>>,
    /// What the bounds of the blocks count: "kWh" in the billing period (the default), "kWh/day", "kWh/kW" of the
    /// period's demand (hours of use), or "kWh/kW/day". Bounds in kWh are those of a whole period, in a cut one too.
    #[serde(default)]
    pub block_unit: Option<BlockUnit>,
}

/// One block: a price up to a bound.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Block {
    /// Upper bound, counted from zero; absent in the last block and only there. kWh, or what `block_unit` says, for
    /// energy; kW for demand.
    #[serde(default)]
    pub up_to: Option<f64>,
    /// Price inside the block.
    pub price: Figure,
}

/// What the bounds of energy blocks count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum BlockUnit {
    /// kWh in the billing period.
    #[serde(rename = "kWh")]
    Kwh,
    /// kWh for each day of the billing period.
    #[serde(rename = "kWh/day")]
    KwhPerDay,
    /// kWh for each kW of the period's highest demand.
    #[serde(rename = "kWh/kW")]
    KwhPerKw,
    /// kWh for each kW of the period's highest demand and each day.
    #[serde(rename = "kWh/kW/day")]
    KwhPerKwDay,
}

/// How energy rules with blocks share them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum BlocksShared {
    /// The blocks of the period's total are spread over the rules in proportion to their kWh.
    InProportion,
    /// One meter runs through the blocks as time goes by.
    InTimeOrder,
    /// Each rule fills blocks of its own.
    Separate,
}

/// An adder on every kWh.
///
/// Exactly one of `price` and `by_month` is given.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rider {
    /// What the line is called on the bill.
    #[serde(default)]
    pub name: Option<String>,
    /// Price on every kWh, unit such as "USD/kWh"; a credit is negative.
    #[serde(default)]
    pub price: Option<Figure>,
    /// Twelve prices, January first.
    #[serde(default)]
    pub by_month: Option<Vec<Figure>>,
}

/// One demand charge and the hours in which the peak is sought.
///
/// Exactly one of `price`, `by_season`, `by_month` and `blocks` is given.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DemandPrice {
    /// What the line is called on the bill.
    #[serde(default)]
    pub name: Option<String>,
    /// When the peak is sought, or a list of such times of which one must fit; always when absent. Its edges must fall on
    /// ends of demand intervals.
    #[serde(default)]
    pub when: Option<Times>,
    /// Price of the period's peak, unit such as "USD/kW/month".
    #[serde(default)]
    pub price: Option<Figure>,
    /// Price by season; a period that two seasons share is priced by their days.
    #[serde(default)]
    pub by_season: Option<BTreeMap<String, Figure>>,
    /// Twelve prices, January first; a period that two months share is priced by their days.
    #[serde(default)]
    pub by_month: Option<Vec<Figure>>,
    /// Prices by amount: each block up to its bound in kW, the last one without.
    #[serde(default)]
    pub blocks: Option<Vec<Block>>,
    /// Looking back: at least a share of earlier peaks is billed.
    #[serde(default)]
    pub ratchet: Option<Ratchet>,
    /// Least demand that is billed, kW; none when absent.
    #[serde(default)]
    pub minimum_kw: Option<f64>,
}

/// Looking back: at least a share of the highest peak measured in earlier periods is billed.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Ratchet {
    /// That share, unit "1" or "%".
    pub share: Figure,
    /// How many billing periods before the billed one count, exactly: 1 to 60.
    pub previous_months: u32,
    /// Only peaks of these months (1 to 12) count, a bill's month being that of its last day; all when absent.
    #[serde(default)]
    pub peaks_of_months: Option<Vec<u8>>,
    /// It lifts the bill only in these months (1 to 12); in all when absent.
    #[serde(default)]
    pub lifts_in_months: Option<Vec<u8>>,
}

/// What a low power factor costs.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PowerFactor {
    /// "scale_demand": billed kW × below/pf. "kva_billing": demand is billed in kVA, as if the prices were per kVA.
    /// "kvar_over_allowance": `price` for each kvar beyond `allowance` × kW. "percent_per_point": `percent` of the demand
    /// charges for each 0.01 below.
    pub rule: PowerFactorRule,
    /// Power factor below which it applies (0.05 to 1); for "scale_demand" and "percent_per_point".
    #[serde(default)]
    pub below: Option<f64>,
    /// kvar for each kW that are free; for "kvar_over_allowance".
    #[serde(default)]
    pub allowance: Option<f64>,
    /// Price of a kvar, unit such as "USD/kvar/month"; for "kvar_over_allowance".
    #[serde(default)]
    pub price: Option<Figure>,
    /// Percentage for each 0.01, unit "1" or "%"; for "percent_per_point".
    #[serde(default)]
    pub percent: Option<Figure>,
}

/// The ways in which a power factor is billed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PowerFactorRule {
    /// Billed kW × below/pf.
    ScaleDemand,
    /// Demand in kVA.
    KvaBilling,
    /// A price for kvar beyond an allowance.
    KvarOverAllowance,
    /// A percentage of the demand charges for each 0.01 below.
    PercentPerPoint,
}

/// A charge that does not depend on use.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FixedCharge {
    /// What the line is called on the bill.
    #[serde(default)]
    pub name: Option<String>,
    /// The amount, unit such as "USD".
    pub price: Figure,
    /// What it is for: a "day", a "month" (a billing period; a cut one in proportion to its days) or a "year" (in
    /// proportion to days).
    pub each: Each,
}

/// A stretch of time that an amount is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Each {
    /// A day.
    Day,
    /// A billing period.
    Month,
    /// A calendar year.
    Year,
}

/// The least that a bill comes to.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MinimumBill {
    /// What the line is called on the bill.
    #[serde(default)]
    pub name: Option<String>,
    /// The amount, unit such as "USD".
    pub price: Figure,
    /// What it is for: a "day", a "month", or a "year" (topped up on the year's last bill).
    pub each: Each,
    /// The parts that count towards it; energy, riders, demand, power_factor and fixed when absent.
    #[serde(default)]
    pub counts: Option<Vec<BillPart>>,
}

/// A percentage on parts of the bill.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PercentAdder {
    /// What the line is called on the bill.
    #[serde(default)]
    pub name: Option<String>,
    /// The percentage, unit "1" or "%"; a discount is negative.
    pub share: Figure,
    /// The parts it is taken of; "subtotal" is everything so far, earlier percentages too.
    pub on: Vec<BillPart>,
}

/// A part of the bill.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum BillPart {
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
    /// Everything so far.
    Subtotal,
}

/// Whether lines are rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Rounding {
    /// Not at all.
    None,
    /// Each line to the hundredth of the currency, half away from zero.
    Line,
}
