//! Trials: each is lived once into a physical ledger and then priced under every contract.
//!
//! Floor 4, and the only place with threads. The wall in the middle is the most important one of the house: [`live`] knows
//! hours, photons and lamps and no price; [`price`] knows prices and changes nothing that was lived. So any number of
//! contracts, prices and rates are dot products on the same luck.

mod bench;
mod cause;
mod electricity;
mod events;
mod glow;
mod ledger;
mod light;
mod live;
mod luck;
mod numbers;
mod outcome;
mod parts;
mod path;
mod price;
mod revisit;
mod room;
mod run;
mod screen;
mod shelf;
mod socket;
mod upkeep;
mod warranty;
mod watched;
mod ways;
mod wear;

pub use bench::{Burns, OnTest, places_in_test};
pub use cause::{CAUSES, Cause};
pub use electricity::{Charges, lit};
pub use ledger::{Ledger, Visit};
pub use live::{Living, live};
pub use luck::Luck;
pub use numbers::new_flux;
pub use outcome::{Cell, Digest, LifeCell, Outcome, Sample, TWIN_EVERY, Tally, YearSums};
pub use path::levels_by_year;
pub use price::{Priced, Pricing, price};
pub use revisit::{Scope, Seen, revisit};
pub use run::{BATCH, Ended, MAX_RESULT_NUMBERS, MAX_TRIALS, Progress, Settings, TooLarge, WAVE, run};
pub use screen::{Futures, GROUPS, OnClock, Screened, live_pattern, screen, screen_all};
pub use watched::{Watched, median_burn_hours, watch};
pub use ways::{Looked, Place, keep};
