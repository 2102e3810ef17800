//! The finished numbers of bills: everything that a table, a picture or a file may show of them, and nothing else.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::picture::Picture;

/// Version of the shape of a bill report; it rises whenever a member changes its meaning or goes away.
pub const BILL_FORMAT: &str = "lampledger-bill/1";

/// Bills of one option's lights.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BillReport {
    /// [`BILL_FORMAT`].
    pub format: String,
    /// Version of the program.
    pub program: String,
    /// Title of the scenario.
    pub title: String,
    /// Currency code.
    pub currency: String,
    /// Month of the price level, YYYY-MM: prices are taken as written.
    pub prices_of: String,
    /// IANA time zone.
    pub time_zone: String,
    /// The option whose lights are billed.
    pub option: String,
    /// Full power of its lights, kW.
    pub lights_kw: f64,
    /// Power of the cooling plant for each kW of the lights, at a month's factor of 1.
    pub cooling_per_kw: f64,
    /// Power of the cooling plant at a month's factor of 1 and full light, kW.
    pub cooling_kw: f64,
    /// Loads beside the lights, by name; without any the whole bill is the lights'.
    pub base_loads: Vec<String>,
    /// Starts of staggered rooms, HH:MM; empty when all start together.
    pub rooms: Vec<String>,
    /// One for each contract.
    pub sheets: Vec<SheetBills>,
    /// Things that a reader should know, one sentence each.
    pub remarks: Vec<String>,
    /// Cautions that apply.
    pub cautions: Vec<String>,
}

/// Bills under one contract.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SheetBills {
    /// Name of the contract.
    pub contract: String,
    /// Name of its rate sheet.
    pub tariff: Option<String>,
    /// Clock times of the light windows in the first phase.
    pub lights: String,
    /// Questions that are open; while there are any, no bill is complete.
    pub open_questions: Vec<String>,
    /// Peaks before the first bill that a ratchet looks back on, by demand charge; empty: none were assumed.
    pub peaks_before: BTreeMap<String, Vec<f64>>,
    /// Whether a demand charge looks back on peaks of earlier bills.
    pub looks_back: bool,
    /// Minutes of a demand interval.
    pub demand_interval_minutes: u16,
    /// Whether lines are rounded to 0.01.
    pub rounded: bool,
    /// The bills in order.
    pub bills: Vec<Bill>,
    /// All of them together.
    pub total: ThreeWays,
    /// Together, by part of the bill.
    pub parts: Vec<PartTotal>,
    /// Together, by line: part by part, and within one in the order in which the bills bring them.
    pub line_totals: Vec<LineTotal>,
    /// Hours and energy of the lights under each energy price.
    pub windows: Vec<Window>,
    /// Energy of the lights alone over all bills, kWh.
    pub kwh_lights: f64,
    /// What a kWh of the lights costs, cooling included: the difference over the lights' own kWh. A result, never an input.
    pub effective_price_per_kwh: f64,
    /// Prices by month and hour, and the lights over them.
    pub picture: Picture,
}

/// An amount with the lights, without them, and what they add.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct ThreeWays {
    /// With lights and cooling, in the currency.
    pub with: f64,
    /// Without them.
    pub without: f64,
    /// With less without.
    pub difference: f64,
}

/// A part of the bill over all bills.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PartTotal {
    /// The part: energy, riders, demand, power factor, fixed, minimum, percentages.
    pub part: String,
    /// What it comes to.
    pub amount: ThreeWays,
}

/// Lines of one part and name over all bills.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LineTotal {
    /// Part of the bill.
    pub part: String,
    /// Name on the sheet, with the block where there are several.
    pub name: String,
    /// Unit of the quantity.
    pub unit: String,
    /// Sum of the quantities with lights and cooling.
    pub quantity_with: f64,
    /// Sum of the quantities without them.
    pub quantity_without: f64,
    /// What it comes to.
    pub amount: ThreeWays,
    /// Bills with the lights onto which an earlier peak or a minimum lifted some kW.
    pub lifted_bills: usize,
    /// The most kW that were lifted onto one bill.
    pub most_lifted_kw: f64,
}

/// One bill.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Bill {
    /// First day, YYYY-MM-DD.
    pub first: String,
    /// Last day, YYYY-MM-DD.
    pub last: String,
    /// Days.
    pub days: f64,
    /// Energy with lights and cooling, kWh.
    pub kwh_with: f64,
    /// Energy without them, kWh.
    pub kwh_without: f64,
    /// Energy of the lights alone, kWh.
    pub kwh_lights: f64,
    /// Lines in the order of the sheet.
    pub lines: Vec<BillLine>,
    /// Demand by demand charge, and at last of any time.
    pub peaks: Vec<PeakLine>,
    /// What it comes to.
    pub total: ThreeWays,
}

/// One line of a bill.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BillLine {
    /// Part of the bill.
    pub part: String,
    /// Name on the sheet, with the block where there are several.
    pub name: String,
    /// Unit of the quantity.
    pub unit: String,
    /// Quantity with lights and cooling.
    pub quantity_with: f64,
    /// Quantity without them.
    pub quantity_without: f64,
    /// Price of one unit, in the currency; of the bill with the lights where the two differ.
    pub price: f64,
    /// What it comes to.
    pub amount: ThreeWays,
    /// kW on the bill with the lights that only an earlier peak or a minimum brought there.
    pub lifted_kw: f64,
}

/// A demand and when it was set.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PeakLine {
    /// Name of the demand charge, or "any time".
    pub name: String,
    /// Measured with lights and cooling, kW.
    pub kw_with: f64,
    /// Beginning of the interval, local time, YYYY-MM-DD HH:MM; of the first such interval.
    pub at_with: Option<String>,
    /// Power factor in it.
    pub power_factor_with: f64,
    /// Measured without them, kW.
    pub kw_without: f64,
    /// Beginning of that interval.
    pub at_without: Option<String>,
}

/// The lights under one energy price.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Window {
    /// Name of the price.
    pub name: String,
    /// Hours in which the lights touched it, h.
    pub lit_h: f64,
    /// Energy of the lights under it, kWh.
    pub kwh: f64,
}
