//! What electricity costs, as written: contracts, tariffs and the hours in which their prices hold.
//!
//! Belongs here: shapes and their documentation. Does not belong here: any judgement of the values.

use schemars::JsonSchema;
use serde::Deserialize;

use crate::figure::{Figure, Linked};

/// One electricity contract under which every option is priced.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Contract {
    /// What the contract is called on every page and chart.
    pub name: String,
    /// Its prices, written here or in a file of their own.
    pub tariff: Linked<Tariff>,
    /// Under this contract the first light window of each phase starts at this time, HH:MM; the others move along.
    #[serde(default)]
    pub lights_on: Option<String>,
    /// Yearly change of all its prices beyond general inflation, unit "1/yr" or "%/yr"; 0 when absent.
    #[serde(default)]
    pub price_change: Option<Figure>,
}

/// Electricity prices.
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
    /// Energy prices. For each moment the FIRST rule that fits counts: put special hours first, and last a rule that
    /// fits always.
    pub energy: Vec<EnergyPrice>,
    /// Demand charges. They ADD UP: each rule bills the month's highest power inside its own window.
    #[serde(default)]
    pub demand: Vec<DemandPrice>,
}

/// One energy price and the hours in which it holds.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EnergyPrice {
    /// When it holds; always when absent.
    #[serde(default)]
    pub when: Option<When>,
    /// Price of energy, unit such as "USD/kWh".
    pub price: Figure,
}

/// One monthly demand charge and the hours in which the peak is sought.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DemandPrice {
    /// What the line is called on the bill.
    #[serde(default)]
    pub name: Option<String>,
    /// When the peak is sought; always when absent.
    #[serde(default)]
    pub when: Option<When>,
    /// Price of the month's peak, unit such as "USD/kW/month".
    pub price: Figure,
}

/// A set of hours of the year; every part that is given must fit.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct When {
    /// Months 1 to 12; all when absent.
    #[serde(default)]
    pub months: Option<Vec<u8>>,
    /// Days of the week; all when absent.
    #[serde(default)]
    pub days: Option<Vec<Day>>,
    /// First moment of the day, HH:MM; "00:00" when absent.
    #[serde(default)]
    pub from: Option<String>,
    /// End of the window, HH:MM, itself outside; "24:00" when absent. Earlier than `from`: over midnight, each day's hours judged by that day.
    #[serde(default)]
    pub until: Option<String>,
}

/// A day of the week, or a usual group of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Day {
    Mon,
    Tue,
    Wed,
    Thu,
    Fri,
    Sat,
    Sun,
    /// Monday to Friday.
    Weekday,
    /// Saturday and Sunday.
    Weekend,
}
