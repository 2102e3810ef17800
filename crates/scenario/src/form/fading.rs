//! How light fades, as written.
//!
//! Belongs here: shapes and their documentation. Does not belong here: any judgement of the values.

use schemars::JsonSchema;
use serde::Deserialize;

use super::Nothing;
use crate::figure::Figure;

/// How light fades with burn hours. Exactly one of `exponential`, `through`, `stretched`, `biexponential`,
/// `projection`, `table` and `constant` is given.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Maintenance {
    /// M(b) = start · exp(−rate · b).
    #[serde(default)]
    pub exponential: Option<Exponential>,
    /// Through what a datasheet states, such as "mean lumens at 40 % of rated life" or "Q90 at 36 000 h": one point makes an
    /// exponential, two make a stretched exponential, both from 1 at 0 h.
    #[serde(default)]
    pub through: Option<Vec<StatedFraction>>,
    /// Stretched exponential M(b) = exp(−(b / time_constant)^power).
    #[serde(default)]
    pub stretched: Option<Stretched>,
    /// Sum of two exponentials: a part of the light that is soon gone, and a rest that lasts.
    #[serde(default)]
    pub biexponential: Option<Biexponential>,
    /// Projection of a test of LEDs: B · exp(−rate · b) up to a multiple of the test's length, uncertain beyond.
    #[serde(default)]
    pub projection: Option<Projection>,
    /// Straight lines between points; beyond the last point the last slope goes on, never below 0.
    #[serde(default)]
    pub table: Option<Vec<MaintenancePoint>>,
    /// No fading at all: write {}.
    #[serde(default)]
    pub constant: Option<Nothing>,
    /// Standard deviation between single lamps of the pace at which they fade, as a share of the mean; 0 when absent.
    #[serde(default)]
    pub lamp_to_lamp: Option<Figure>,
}

/// M(b) = start · exp(−rate · b).
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Exponential {
    /// Decay rate, unit "1/h" or "1/kh" (per 1000 h).
    pub rate: Figure,
    /// Fraction at 0 h; 1 when absent. The light of a lamp is as measured at `light.lamp_hours`, whatever stands here, so
    /// alone it changes nothing.
    #[serde(default)]
    pub start: Option<Figure>,
}

/// A stated fraction of initial photon flux at a stated age. Exactly one of `hours` and `of_rated_life` is given.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StatedFraction {
    /// Fraction left, unit "1" or "%".
    pub fraction: Figure,
    /// Burn hours at which it is left, unit "h" or "kh".
    #[serde(default)]
    pub hours: Option<Figure>,
    /// The same as a share of the lamp's rated life, unit "1" or "%".
    #[serde(default)]
    pub of_rated_life: Option<Figure>,
}

/// M(b) = exp(−(b / time_constant)^power).
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stretched {
    /// Burn hours at which 1/e (36.8 %) is left, unit "h" or "kh".
    pub time_constant: Figure,
    /// Power c, unit "1"; below 1 the lamp fades fast at first and slowly later.
    pub power: Figure,
}

/// M(b) = fast_share · exp(−fast_rate · b) + (1 − fast_share) · exp(−slow_rate · b).
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Biexponential {
    /// Share of the light at 0 h that fades fast, unit "1" or "%".
    pub fast_share: Figure,
    /// Its decay rate, unit "1/h" or "1/kh".
    pub fast_rate: Figure,
    /// Decay rate of the rest, unit "1/h" or "1/kh".
    pub slow_rate: Figure,
}

/// Projection of a test of LEDs.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Projection {
    /// Decay rate α of the fit, unit "1/h" or "1/kh".
    pub rate: Figure,
    /// Fraction B of the fit at 0 h, as a share of the new unit's flux; 1 when absent. Light measured on a new unit falls to
    /// it at once; light measured at `lamp_hours` has it already.
    #[serde(default)]
    pub start: Option<Figure>,
    /// Length of the test, burn hours, unit "h" or "kh".
    pub test_hours: Figure,
    /// Units that were tested: 20 or more may be projected to 6 times the test's length, 10 to 19 to 5.5 times.
    #[serde(default)]
    pub units_tested: Option<u32>,
    /// The multiple itself, where `units_tested` does not decide it, unit "1".
    #[serde(default)]
    pub cap_multiple: Option<Figure>,
    /// Factor on the decay rate beyond the cap, unit "1"; lognormal with median 1 and 90 % below 2 when absent.
    #[serde(default)]
    pub beyond: Option<Figure>,
}

/// One point of a maintenance table. Exactly one of `hours` and `of_rated_life` is given, the same in all points.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MaintenancePoint {
    /// Burn hours, h.
    #[serde(default)]
    pub hours: Option<f64>,
    /// The same as a share of the lamp's rated life (0.4 for 40 %).
    #[serde(default)]
    pub of_rated_life: Option<f64>,
    /// Fraction of initial photon flux left.
    pub fraction: f64,
}
