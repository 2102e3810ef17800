//! What dims light besides fading, how lamps and other parts die, and what is promised about them, as written.
//!
//! Belongs here: shapes and their documentation. Does not belong here: how light fades (`fading`), any judgement of the
//! values.

use schemars::JsonSchema;
use serde::Deserialize;

use crate::figure::{Figure, Linked};

/// Dirt and optics. What cleaning brings back and what it does not are different things.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Dirt {
    /// Share of light lost in a year without cleaning, unit "1" or "%"; cleaning brings it back. 0 when absent.
    #[serde(default)]
    pub lost_in_a_year: Option<Figure>,
    /// Power B in exp(−A·t^B), t in years since the last cleaning, unit "1"; 1 when absent.
    #[serde(default)]
    pub power: Option<Figure>,
    /// Share of light that the optics lose for good in a year, unit "1" or "%"; 0 when absent.
    #[serde(default)]
    pub optics_lost_in_a_year: Option<Figure>,
}

/// Light lost at each start, counted in minutes of full light.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StartLoss {
    /// Minutes of full light lost while the lamp warms up, unit "min"; 0 when absent.
    #[serde(default)]
    pub warm_up: Option<Figure>,
    /// Minutes of full light lost on top when the lamp is still hot, unit "min"; 0 when absent.
    #[serde(default)]
    pub re_strike: Option<Figure>,
    /// A lamp that was off for less than this is still hot, unit "min"; needed with `re_strike`.
    #[serde(default)]
    pub hot_for: Option<Figure>,
}

/// Used lamps in the sockets at the start: all of one age, or each of an unknown age within a span.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct UsedLamps {
    /// Burn hours of every lamp, unit "h" or "kh".
    #[serde(default)]
    pub hours: Option<Figure>,
    /// Least burn hours of a lamp, where ages are not known; unit "h" or "kh".
    #[serde(default)]
    pub from: Option<Figure>,
    /// Most burn hours of a lamp, where ages are not known; every age in between is as likely.
    #[serde(default)]
    pub to: Option<Figure>,
}

/// How lamp and fixture are built. It decides about cautions and eligibility, never about light.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Build {
    /// Whether the fixture encloses the lamp (a cover or filter glass); unknown when absent.
    #[serde(default)]
    pub enclosed: Option<bool>,
    /// Whether the lamp itself is protected and marked for open fixtures; unknown when absent.
    #[serde(default)]
    pub protected_lamp: Option<bool>,
    /// Whether the outer jacket is quartz, as on many double-ended lamps; unknown when absent.
    #[serde(default)]
    pub quartz_jacket: Option<bool>,
    /// Whether lamp, control gear and fixture are matched by their makers; unknown when absent.
    #[serde(default)]
    pub matched: Option<bool>,
}

/// A replaceable lamp.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Lamp {
    /// Where an editor finds the schema of this file; the program ignores it.
    #[serde(rename = "$schema", default)]
    pub schema: Option<String>,
    /// Anything a reader should know about the lamp.
    #[serde(default)]
    pub note: Option<String>,
    /// Price of one lamp, unit such as "USD/lamp".
    pub price: Figure,
    /// Cost of disposing of one old lamp, unit such as "USD/lamp".
    pub disposal: Figure,
    /// When it fails.
    pub life: Linked<LampLife>,
    /// What its maker promises; nothing when absent.
    #[serde(default)]
    pub warranty: Option<Warranty>,
}

/// When a lamp fails: the first of an early failure, a random one and wear-out.
///
/// Exactly one of `b50`, `b10`, `alive_at` and `test_stopped_at` says how long lamps live, all causes together; exactly one
/// of `shape` and `lognormal_sd` says how wear-out spreads. A `survival` table stands in place of both.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LampLife {
    /// Rated life as a MEDIAN: burn hours by which half have failed, unit "h" or "kh".
    #[serde(default)]
    pub b50: Option<Figure>,
    /// Burn hours by which one in ten has failed, unit "h" or "kh".
    #[serde(default)]
    pub b10: Option<Figure>,
    /// A stated share still alive at stated burn hours.
    #[serde(default)]
    pub alive_at: Option<AliveAt>,
    /// A claim such as "24 000+ h": burn hours at which the test was stopped, with a share still alive. It is no median.
    #[serde(default)]
    pub test_stopped_at: Option<AliveAt>,
    /// Weibull shape of wear-out, unit "1"; larger means closer to the median.
    #[serde(default)]
    pub shape: Option<Figure>,
    /// Standard deviation of ln(life) of lognormal wear-out, unit "1".
    #[serde(default)]
    pub lognormal_sd: Option<Figure>,
    /// Survival as a table of burn hours and shares alive, from 1 at 0 h; deaths spread evenly between two points, and
    /// beyond the last the risk of the last stretch goes on.
    #[serde(default)]
    pub survival: Option<Vec<SurvivalPoint>>,
    /// Burn hours per start at which life was rated, unit "h".
    pub rated_hours_per_start: Figure,
    /// Burn hours of life that each start costs, unit "h"; 0 when absent.
    #[serde(default)]
    pub start_cost: Option<Figure>,
    /// A table of life against hours per start, from which the cost of a start is fitted; in place of `start_cost`.
    #[serde(default)]
    pub life_by_start: Option<Vec<LifeByStart>>,
    /// Early failures; none when absent.
    #[serde(default)]
    pub early: Option<EarlyFailure>,
    /// Constant risk of failing for no reason of age, per hour of rated life (as `early.within`), unit "1/h", "1/kh" or
    /// "%/kh"; 0 when absent.
    #[serde(default)]
    pub random: Option<Figure>,
    /// Factors on the stated life, all causes together, for how the lamp is used here; none when absent. Early and random
    /// failures stay as stated, so wear-out bears the difference.
    #[serde(default)]
    pub derates: Vec<Derate>,
    /// Lamps bought together share some of their luck; none when absent.
    #[serde(default)]
    pub batch: Option<Batch>,
}

/// A share alive at some burn hours.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AliveAt {
    /// Burn hours, unit "h" or "kh".
    pub hours: Figure,
    /// Share of lamps still alive then, unit "1" or "%". Where a test was stopped it may be left out: then 50 % to 85 %, evenly.
    #[serde(default)]
    pub alive: Option<Figure>,
}

/// One point of a survival table.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SurvivalPoint {
    /// Burn hours, h.
    pub hours: f64,
    /// Share of lamps still alive, 0 to 1.
    pub alive: f64,
}

/// One point of a table of life against hours per start.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LifeByStart {
    /// Burn hours per start, h.
    pub hours_per_start: f64,
    /// Life, in any unit that is the same in the whole table.
    pub life: f64,
}

/// A factor on life for how the lamp is used here.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Derate {
    /// What it is for.
    pub cause: DerateCause,
    /// Factor on life, unit "1" or "%"; 0.75 for a quarter less.
    pub factor: Figure,
}

/// Why a lamp lives shorter or longer than it was rated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum DerateCause {
    /// Burning position.
    Position,
    /// Control gear that does not match the lamp, or drives it otherwise than rated.
    ControlGear,
    /// Supply voltage.
    Supply,
    /// Temperature.
    Temperature,
    /// Anything else.
    Other,
}

/// Lamps bought together share a factor on their lives: lognormal with median 1.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Batch {
    /// Standard deviation of the factor's logarithm, unit "1".
    pub spread: Figure,
    /// Sockets whose lamps come from one batch; all sockets of the room when absent.
    #[serde(default)]
    pub sockets: Option<u32>,
}

/// Early failures: a share of new lamps fails at some moment, evenly spread, within a first window.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EarlyFailure {
    /// Share of new lamps, unit "1" or "%".
    pub share: Figure,
    /// Window in hours of rated life (burn hours at the rated hours per start), unit "h".
    pub within: Figure,
}

/// What a maker promises about failed lamps: the lamp's price in full at first, then falling evenly to nothing. No labour.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Warranty {
    /// Time since the lamp was put in for which it is replaced in full, unit "month" or "yr"; 0 when absent.
    #[serde(default)]
    pub full_for: Option<Figure>,
    /// Time since the lamp was put in at which nothing is left of the promise, unit "month" or "yr".
    pub until: Figure,
    /// Whether a lamp that replaces a claimed one has the whole promise again; false when absent: it has what is left.
    #[serde(default)]
    pub renewing: Option<bool>,
    /// Most burn hours a year that the promise allows, h; no limit when absent.
    #[serde(default)]
    pub most_hours_per_year: Option<f64>,
    /// Least burn hours per start that the promise allows, h; no limit when absent.
    #[serde(default)]
    pub least_hours_per_start: Option<f64>,
    /// Whether the promise asks for lamp, gear and fixture that are matched (`build.matched`); false when absent.
    #[serde(default)]
    pub needs_match: Option<bool>,
    /// Share of claims that are honoured, unit "1" or "%"; 1 when absent.
    #[serde(default)]
    pub honoured: Option<Figure>,
    /// Days from the failure to the credit, unit "d"; 0 when absent. A credit that would come after the horizon is lost.
    #[serde(default)]
    pub credited_after: Option<Figure>,
    /// Cost of making one claim (paper, postage, time), unit such as "USD/claim"; 0 when absent. Every claim within the terms
    /// is made, even where it brings less than it costs; `relamp` says from which cost on claiming does not pay.
    #[serde(default)]
    pub effort: Option<Figure>,
}

/// Control gear: it fails at a constant rate and is repaired.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Gear {
    /// Failures per gear and calendar year of this photoperiod, a constant rate, unit "1/yr" or "%/yr". Each lamp of a
    /// fixture has a gear of its own.
    pub failures_per_year: Figure,
    /// Price of the part, unit such as "USD/repair".
    pub price: Figure,
    /// Labour of one repair, unit such as "USD/repair".
    pub labour: Figure,
}

/// A part with a clock of its own: one of it in each socket.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Component {
    /// What it is called.
    pub name: String,
    /// Time by which half of them have failed, by the component's clock, unit "h" or "kh".
    pub b50: Figure,
    /// Weibull shape, unit "1"; 1 (a constant risk) when absent.
    #[serde(default)]
    pub shape: Option<Figure>,
    /// Whether it ages while the lamp burns or all the time; "burn_hours" when absent.
    #[serde(default)]
    pub clock: Option<ComponentClock>,
    /// Price of the part, unit such as "USD/repair".
    pub price: Figure,
    /// Labour of one repair, unit such as "USD/repair".
    pub labour: Figure,
    /// Whether its failure puts the socket in the dark until it is mended; true when absent.
    #[serde(default)]
    pub darkens: Option<bool>,
    /// Damage from running old lamps; none when absent. Only for a component that ages with burn hours.
    #[serde(default)]
    pub old_lamps: Option<OldLamps>,
}

/// When a component ages.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ComponentClock {
    /// While the lamp burns.
    BurnHours,
    /// All the time.
    Calendar,
}

/// A component ages faster while it runs an old lamp.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OldLamps {
    /// Burn hours from which a lamp counts as old, unit "h" or "kh".
    pub older_than: Figure,
    /// How many times as fast the component then ages, unit "1".
    pub times: Figure,
}
