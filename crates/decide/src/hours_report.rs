//! The finished numbers of a search for the hours to light: what a table, a chart or a file may show, and nothing else.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::result::{Ended, Estimate};

/// Version of the shape of the report; it rises whenever a member changes its meaning or goes away.
pub const HOURS_FORMAT: &str = "lampledger-hours/1";

/// What every start costs under every rate sheet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HoursReport {
    /// [`HOURS_FORMAT`].
    pub format: String,
    /// Version of the program.
    pub program: String,
    /// Title of the scenario.
    pub title: String,
    /// Currency code.
    pub currency: String,
    /// "real" or "nominal".
    pub basis: String,
    /// Month of the price level, YYYY-MM.
    pub prices_of: String,
    /// Years of the horizon.
    pub horizon_years: u32,
    /// Trials lived for each pattern.
    pub trials: u64,
    /// Whether every trial that was asked for was lived.
    pub ended: Ended,
    /// Seed.
    pub seed: u64,
    /// Minutes between two starts.
    pub step_minutes: u16,
    /// What was asked of the hours, one sentence each.
    pub conditions: Vec<String>,
    /// Names of the options.
    pub options: Vec<String>,
    /// Index of the option that `questions` and `rooms` are about.
    pub asked: usize,
    /// Full power of that option's lights, kW.
    pub asked_kw: f64,
    /// Names of the rate sheets; contracts that differ in their hours alone are one.
    pub sheets: Vec<String>,
    /// Patterns of light.
    pub patterns: Vec<Pattern>,
    /// By sheet and option.
    pub findings: Vec<Finding>,
    /// By sheet.
    pub questions: Vec<Questions>,
    /// By sheet; empty when rooms were not asked for.
    pub rooms: Vec<RoomsFinding>,
}

/// A pattern of light: so many blocks a day of such lengths, at any time of day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Pattern {
    /// In words, such as "1 block of 12 h".
    pub name: String,
    /// Lamp starts over the horizon.
    pub starts: u64,
    /// Starts that meet the conditions, HH:MM.
    pub on: Vec<String>,
    /// Levelized cost at the mean of the futures by start, sheet and option, currency per mol.
    pub levelized: Vec<Vec<Vec<f64>>>,
    /// Electricity by start, sheet and option, currency a year, mean over the horizon, not discounted.
    pub electricity: Vec<Vec<Vec<f64>>>,
}

/// Where one option is cheapest under one sheet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Finding {
    /// Index of the sheet.
    pub sheet: usize,
    /// Index of the option.
    pub option: usize,
    /// Hours as written in the scenario.
    pub written: Choice,
    /// The cheapest hours.
    pub cheapest: Choice,
    /// The dearest hours.
    pub dearest: Choice,
    /// What the cheapest hours save against those written, currency a year, not discounted; with its standard error over
    /// groups of futures.
    pub saving: Estimate,
    /// Starts of the cheapest hours' pattern that cost at most 1 % more than the cheapest.
    pub within_one_percent: Vec<String>,
}

/// A pattern and a start.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Choice {
    /// Index of the pattern.
    pub pattern: usize,
    /// Start, HH:MM.
    pub on: String,
    /// Levelized cost, currency per mol, with its standard error over groups of futures.
    pub levelized: Estimate,
    /// Electricity, currency a year, not discounted.
    pub electricity: f64,
}

/// What small changes of the written hours cost in the first twelve months: every socket lit, prices as written.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Questions {
    /// Index of the sheet.
    pub sheet: usize,
    /// The hours that are changed, such as "21:00–09:00".
    pub hours: String,
    /// What the lights and their cooling add to the bills, currency a year.
    pub year: f64,
    /// Lights on an hour longer every day, currency a year; nothing where there is no such hour.
    pub one_more_hour: Option<f64>,
    /// One kW more of lights, currency a year.
    pub one_more_kw: f64,
    /// Lights on 15 minutes longer every day, currency a year.
    pub overrun_daily: Option<f64>,
    /// Lights on 15 minutes longer on one working day alone, currency over twelve months, and that day.
    pub overrun_once: Option<(f64, String)>,
    /// For each hour of the day (midnight first): what lighting it adds to the year's bills, demand included: the change
    /// when the hour is left out, or taken in, and whether it is lit as written.
    pub hour_prices: Vec<HourPrice>,
}

/// What one hour of the day costs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HourPrice {
    /// Whether the hour is lit as written, wholly or partly.
    pub lit: bool,
    /// What it adds to the bills, currency a year.
    pub adds: f64,
    /// The same for each kWh of the lights in it, currency per kWh.
    pub per_kwh: f64,
}

/// Rooms that share the lights evenly and may start apart.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RoomsFinding {
    /// Index of the sheet.
    pub sheet: usize,
    /// Rooms.
    pub rooms: usize,
    /// Minutes between the starts that were tried.
    pub step_minutes: u16,
    /// Whether every combination was tried, or the search only went downhill from several beginnings.
    pub exhaustive: bool,
    /// All rooms at the written start.
    pub together: RoomsChoice,
    /// The cheapest starts.
    pub cheapest: RoomsChoice,
    /// Of the starts that lower the site's peak most, the cheapest.
    pub lowest_peak: RoomsChoice,
}

/// Starts of rooms and what they come to in the first twelve months.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RoomsChoice {
    /// Starts, HH:MM.
    pub on: Vec<String>,
    /// What the lights and their cooling add to the bills, currency a year.
    pub year: f64,
    /// Highest demand of the site in these months, kW.
    pub peak_kw: f64,
}
