//! What `learn fading` finds out: plain data with units in the names, stored as `fading.json`. No arithmetic here.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Version of the shape of `fading.json`.
pub const FADING_FORMAT: &str = "lampledger-fading/1";

/// How light fades by readings of single lamps, with what they leave open. Shares are of the curve's light at 0 h, 1 = all.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FadingReport {
    /// [`FADING_FORMAT`].
    pub format: String,
    /// Version of the program.
    pub program: String,
    /// Title of the scenario.
    pub title: String,
    /// Name of the option whose lamps were read.
    pub option: String,
    /// Place of its maintenance in the scenario, a JSON Pointer.
    pub place: String,
    /// File of the readings, as named.
    pub record: String,
    /// Readings in it.
    pub readings: u64,
    /// Readings that the record itself asks to leave out.
    pub left_out: u64,
    /// Whether readings of a lamp at nearly the same hours were put together before the fit, because there are very many.
    pub is_merged: bool,
    /// The lamps in the order of the record.
    pub lamps: Vec<LampTold>,
    /// Readings as shares, lamp by lamp; where very many were put together, their means.
    pub points: Vec<Point>,
    /// Means of lamps that were read at nearly the same hours, without readings that stick out.
    pub means: Vec<Mean>,
    /// What was fitted, fewest parameters first.
    pub fits: Vec<FitTold>,
    /// Index of the fit that counts; absent where the method for tests of LEDs counts.
    pub chosen: Option<usize>,
    /// Why that one, in words.
    pub why: String,
    /// The method for tests of LEDs, where it was asked for.
    pub led: Option<LedTold>,
    /// Last burn hours at which a lamp was read, h.
    pub read_to_h: f64,
    /// Burn hours that a lamp may reach in the scenario, h.
    pub needed_to_h: f64,
    /// Farthest hours for which what counts may be quoted, h; absent where nothing says so.
    pub cap_h: Option<f64>,
    /// What is left over burn hours, from 0 h on.
    pub curve: Vec<CurvePoint>,
    /// What is left at hours that matter.
    pub at_hours: Vec<CurvePoint>,
    /// Hours to shares that matter.
    pub to_shares: Vec<HoursTo>,
    /// How lamps differ; absent below three lamps that tell.
    pub between: Option<Between>,
    /// Spread between lamps that is written for a scenario, share of the mean: of the pace of fading, or of α where the method for
    /// tests of LEDs counts. Absent where none is written.
    pub lamp_to_lamp: Option<f64>,
    /// Readings that stick out.
    pub outliers: Vec<OutlierTold>,
    /// Whether these were left out of the fit.
    pub are_outliers_left_out: bool,
    /// Share left at the last reading without the readings that stick out, and with them; absent where none does.
    pub without_and_with: Option<(f64, f64)>,
    /// Draws that were written.
    pub draws: u64,
    /// Seed of these draws.
    pub seed: u64,
    /// What the fit takes for granted, sentence by sentence.
    pub assumptions: Vec<String>,
    /// Cautions that the scenario calls for.
    pub cautions: Vec<String>,
    /// Things a reader should know.
    pub remarks: Vec<String>,
}

/// A lamp that was read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LampTold {
    /// Its name.
    pub name: String,
    /// Readings that were fitted.
    pub fitted: u64,
    /// First and last of its hours, h.
    pub hours: (f64, f64),
    /// Share left at its last fitted reading, by that reading, of its light at 0 h by the curve at its own pace; absent for a lamp that was not fitted.
    pub last_share: Option<f64>,
}

/// What became of a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Fate {
    /// Fitted.
    Fitted,
    /// Fitted, though it sticks out.
    SticksOut,
    /// Not fitted because it sticks out, as asked.
    SticksOutLeftOut,
    /// Not fitted because the record says so.
    LeftOut,
}

/// A reading as a share.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Point {
    /// Index of its lamp.
    pub lamp: usize,
    /// Burn hours, h.
    pub burn_h: f64,
    /// Reading, in the unit of the record.
    pub reading: f64,
    /// As a share of the lamp's own light at 0 h by the curve at its own pace; absent for a lamp that was not fitted.
    pub share: Option<f64>,
    /// Share by the curve of a lamp of mean pace.
    pub by_curve: f64,
    /// Readings that it stands for.
    pub readings: f64,
    /// What became of it.
    pub fate: Fate,
}

/// The mean of lamps at nearly the same hours.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Mean {
    /// Mean of their burn hours, h.
    pub burn_h: f64,
    /// Mean of their shares of light at 0 h.
    pub share: f64,
    /// Lamps, two at least.
    pub lamps: u64,
}

/// A parameter with its interval: 10 % of the draws lie below the first bound, 90 % below the second.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Parameter {
    /// Its name, as in a scenario.
    pub name: String,
    /// Its unit.
    pub unit: String,
    /// As fitted.
    pub value: f64,
    /// Bounds.
    pub interval: (f64, f64),
}

/// A form that was fitted, or not.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FitTold {
    /// Name, as in a scenario.
    pub form: String,
    /// Why there is none; the rest is empty then.
    pub none: Option<String>,
    /// Parameters.
    pub parameters: Vec<Parameter>,
    /// Standard deviation of a reading about the curve with one pace for all lamps, share of the light.
    pub residual: f64,
    /// Degrees of freedom of that.
    pub freedom: f64,
    /// Akaike's corrected criterion above the lowest of all forms; 0 for the lowest, absent where there are too few
    /// readings for it.
    pub aicc_above: Option<f64>,
}

/// What is left at some hours.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CurvePoint {
    /// Burn hours, h.
    pub burn_h: f64,
    /// By the curve as fitted.
    pub share: f64,
    /// 10 % of the draws lie below the first, 90 % below the second.
    pub interval: (f64, f64),
    /// By what the scenario says today, its inputs at their medians.
    pub stated: f64,
    /// Whether the hours lie beyond those for which what counts may be quoted.
    pub beyond_cap: bool,
}

/// Hours to a share.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HoursTo {
    /// The share.
    pub share: f64,
    /// By the curve as fitted, h; absent where it never comes to that.
    pub hours: Option<f64>,
    /// 10 % of the draws lie below the first, 90 % below the second, h; absent where the draws never come to that.
    pub interval: (Option<f64>, Option<f64>),
    /// By what the scenario says today, h; absent where it never comes to that.
    pub stated: Option<f64>,
    /// Whether the hours or a bound lie beyond those for which what counts may be quoted; never lies beyond them too.
    pub beyond_cap: bool,
}

/// How lamps differ.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Between {
    /// Lamps that tell.
    pub lamps: u64,
    /// Standard deviation of the pace of fading, share of the mean.
    pub pace: f64,
    /// Standard deviation of light at 0 h, share of the mean; it means something where all were read alike.
    pub level: f64,
    /// Standard deviation of a reading about its lamp's own curve, share of the light.
    pub noise: f64,
}

/// A reading that sticks out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct OutlierTold {
    /// Name of the lamp.
    pub lamp: String,
    /// Burn hours, h.
    pub burn_h: f64,
    /// Reading, in the unit of the record.
    pub reading: f64,
    /// How far it lies from the lamp's own line through the others, share of the light there.
    pub off: f64,
    /// Line of the record; 0 for a mean of several readings.
    pub line: u64,
}

/// What the method for tests of LEDs says.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LedTold {
    /// Why it says nothing; the rest is 0 then.
    pub none: Option<String>,
    /// Units read at every time.
    pub units: u64,
    /// Length of the test, h.
    pub tested_h: f64,
    /// First and last time that count, h.
    pub window_h: (f64, f64),
    /// Times that count.
    pub times: u64,
    /// B of the line.
    pub start: f64,
    /// α of the line, 1/h.
    pub rate_per_h: f64,
    /// Farthest hours that may be quoted, h; absent below 10 units or 6000 h.
    pub cap_h: Option<f64>,
    /// Hours to shares of initial light.
    pub to_shares: Vec<LedHoursTo>,
}

/// Hours to a share by the line of a test of LEDs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LedHoursTo {
    /// The share.
    pub share: f64,
    /// By the line alone, h; absent where it does not fall to that.
    pub hours: Option<f64>,
    /// Whether that lies beyond the farthest hours that may be quoted, or there are none.
    pub beyond_cap: bool,
}
