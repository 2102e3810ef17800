//! How lamps are kept, as written: when they are replaced, by whom, from which stock, and when fixtures are cleaned.
//!
//! Belongs here: shapes and their documentation. Does not belong here: any judgement of the values.

use schemars::JsonSchema;
use serde::Deserialize;

use super::Nothing;
use crate::figure::Figure;

/// How failed and old lamps are replaced.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Upkeep {
    /// When lamps are replaced; needed when the option has a lamp.
    #[serde(default)]
    pub relamp: Option<Relamp>,
    /// Days between a failure (or the walk-through that finds it) and its mending, unit "d"; 0 when absent.
    #[serde(default)]
    pub found_after: Option<Figure>,
    /// Days between two walk-throughs, unit "d": a failure is found on the next one. Found at once when absent.
    #[serde(default)]
    pub walk_through: Option<Figure>,
    /// Failed lamps wait until so many sockets are dark; then all are mended in one visit. 1 when absent.
    #[serde(default)]
    pub wait_for_dark: Option<u32>,
    /// Labour of replacing one failed lamp on its own, unit such as "USD/lamp".
    #[serde(default)]
    pub spot_labour: Option<Figure>,
    /// Labour of one planned replacement (in a group or by age), unit such as "USD/lamp".
    #[serde(default)]
    pub planned_labour: Option<Figure>,
    /// A crew that is paid by visit and by the minute; its cost comes on top of `spot_labour` and `planned_labour`.
    #[serde(default)]
    pub crew: Option<Crew>,
    /// Share of lamps that break while they are put in, unit "1" or "%"; 0 when absent.
    #[serde(default)]
    pub breakage: Option<Figure>,
    /// Spare lamps on the shelf; always enough when absent.
    #[serde(default)]
    pub spares: Option<Spares>,
    /// When fixtures are cleaned; never when absent.
    #[serde(default)]
    pub cleaning: Option<Cleaning>,
    /// What is done about lamps towards the horizon; nothing when absent.
    #[serde(default)]
    pub end: Option<End>,
}

/// When lamps are replaced. Exactly one of `on_failure`, `group` and `by_age` is given.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Relamp {
    /// Each lamp when it has failed: write {}.
    #[serde(default)]
    pub on_failure: Option<Nothing>,
    /// All lamps together.
    #[serde(default)]
    pub group: Option<GroupRelamp>,
    /// Each lamp at a stated age or when it has failed, whichever comes first.
    #[serde(default)]
    pub by_age: Option<AgeRelamp>,
}

/// All lamps are replaced together. Exactly one of `every`, `every_crops` and `at_light` is given.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GroupRelamp {
    /// Burn hours of the room's schedule between two group relamps, unit "h" or "kh".
    #[serde(default)]
    pub every: Option<Figure>,
    /// Crop cycles between two group relamps, done when the crop is out.
    #[serde(default)]
    pub every_crops: Option<u32>,
    /// Share of initial photon flux to which lamps may fade, unit "1" or "%"; then all are replaced.
    #[serde(default)]
    pub at_light: Option<Figure>,
    /// Whether a lamp that fails in between is replaced on its own; true when absent.
    #[serde(default)]
    pub spot_between: Option<bool>,
    /// Whether the crew waits for the next turnaround of the crop; false when absent.
    #[serde(default)]
    pub at_turnaround: Option<bool>,
    /// Weekday on which the crew comes; the relamp waits for the next one. Any day when absent.
    #[serde(default)]
    pub on_weekday: Option<CrewDay>,
    /// Lamps younger than this stay in when the group is relamped, burn hours, unit "h" or "kh"; 0 (none stays) when absent.
    #[serde(default)]
    pub keep_younger_than: Option<Figure>,
    /// Parts of the room that are relamped one after another, evenly over the interval; 1 when absent.
    #[serde(default)]
    pub zones: Option<u32>,
}

/// A day of the week.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum CrewDay {
    /// Monday.
    Mon,
    /// Tuesday.
    Tue,
    /// Wednesday.
    Wed,
    /// Thursday.
    Thu,
    /// Friday.
    Fri,
    /// Saturday.
    Sat,
    /// Sunday.
    Sun,
}

/// Each lamp is replaced at a stated age, or when it has faded to a share of its light. Exactly one is given.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AgeRelamp {
    /// Burn hours of the lamp at which it is replaced, unit "h" or "kh".
    #[serde(default)]
    pub at: Option<Figure>,
    /// Share of initial photon flux at which it is replaced, unit "1" or "%".
    #[serde(default)]
    pub at_light: Option<Figure>,
}

/// A crew that is paid by visit and by the minute. Work of one day is one visit.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Crew {
    /// Paid for coming at all, unit such as "USD/visit"; 0 when absent.
    #[serde(default)]
    pub call_out: Option<Figure>,
    /// Hire of the lift for a visit, unit such as "USD/visit"; 0 when absent.
    #[serde(default)]
    pub lift: Option<Figure>,
    /// Pay of the whole crew, unit such as "USD/h".
    pub wage: Figure,
    /// Minutes for one failed lamp or one repair, unit "min".
    pub spot_minutes: Figure,
    /// Minutes for one lamp of a planned replacement, unit "min".
    pub planned_minutes: Figure,
    /// Least time that a visit is paid for, unit "min"; 0 when absent.
    #[serde(default)]
    pub least_time: Option<Figure>,
}

/// Spare lamps: so many on the shelf, each one taken is ordered anew at once; a failed lamp waits in the dark when there is
/// none. Group relamps are ordered apart. Exactly one of `stock` and `service` is given.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Spares {
    /// Lamps on the shelf at the start.
    #[serde(default)]
    pub stock: Option<u32>,
    /// In place of `stock`: the share of lead times in which the shelf should not run empty, unit "1" or "%". The stock is then
    /// what a Poisson table says for the failures of a lead time, all lamps run to failure.
    #[serde(default)]
    pub service: Option<Figure>,
    /// Days from order to delivery, unit "d".
    pub lead_time: Figure,
}

/// When fixtures are cleaned. Exactly one of `every` and `with_group` is given.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cleaning {
    /// Days between two cleanings of all fixtures, unit "d".
    #[serde(default)]
    pub every: Option<Figure>,
    /// Together with each group relamp: write {}.
    #[serde(default)]
    pub with_group: Option<Nothing>,
    /// Cost of cleaning one fixture, unit such as "USD/fixture".
    pub cost: Figure,
}

/// What is done about lamps towards the horizon.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct End {
    /// A group relamp with less than this left to burn is skipped, burn hours of the schedule, unit "h" or "kh"; 0 when absent.
    #[serde(default)]
    pub skip_within: Option<Figure>,
    /// Share of its price that an unused lamp would bring at the horizon; a burning one brings as much of that as is left of
    /// its median life, unit "1" or "%"; 0 when absent.
    #[serde(default)]
    pub resale: Option<Figure>,
}
