//! Electricity tariffs: which price holds when, and how a bill is made of a meter's reading.
//!
//! Floor 1. A [`Sheet`] holds rules and the places of prices, never a price: those are handed in with each bill, so that
//! one sheet serves every trial. Energy rules exclude one another (the first that fits counts); demand rules, riders and
//! fixed charges add up. How a load becomes a [`Reading`] is the meter's business, on the floor above.

mod bill;
mod cents;
mod moments;
mod reading;
mod sheet;
mod year;

pub use bill::{Amounts, Levels, Line, Past, bill};
pub use moments::{ANY_DAY, Day, HOLIDAY, Moments, any, edges, first_fit, uncovered, unreached};
pub use reading::{DayPart, Peak, Period, Reading};
pub use sheet::{
    Block, BlockUnit, DemandPrice, DemandRule, Each, EnergyRule, FixedRule, MinimumRule, PARTS, Part, Parts,
    PercentRule, PowerFactorRule, PriceId, Ratchet, RiderRule, Sharing, Sheet,
};
pub use year::{BadSeasons, Holidays, MonthDay, Observed, Seasons, Year, Yearly};
