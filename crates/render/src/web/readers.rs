//! For whom a page is made: what comes first, and which pictures.
//!
//! Belongs here: orders. Does not belong here: what pictures show.

/// For whom a page is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Reader {
    /// Everybody.
    #[default]
    Everyone,
    /// Who tests lamps and publishes a ranking: the method comes first.
    Tester,
    /// Who budgets a room: light over the years, lamps, cash.
    Facility,
    /// Who chooses between a dear lamp and cheap ones: what is lost if wrong, and what would have to be true.
    Owner,
    /// Who books it: tables come first.
    Accountant,
}

/// Kinds of pictures by the end of their file's name, the first ones first.
const EVERYONE: [&str; 10] = [
    "ranking",
    "all-causes",
    "breakeven",
    "map",
    "rank-regret",
    "densities",
    "all-canopy",
    "cash",
    "all-light",
    "cumulatives",
];
const TESTER: [&str; 9] =
    ["all-canopy", "all-causes", "ranking", "breakeven", "rank-ladder", "densities", "cumulatives", "all-light", "map"];
const FACILITY: [&str; 9] =
    ["cash", "all-light", "lamps", "calendar", "all-causes", "ranking", "densities", "all-canopy", "cumulatives"];
const OWNER: [&str; 7] = ["breakeven", "rank-regret", "map", "ranking", "all-causes", "cash", "densities"];
const ACCOUNTANT: [&str; 7] = ["cash", "all-causes", "prices", "day", "densities", "cumulatives", "ranking"];

impl Reader {
    /// What the page calls itself.
    pub(super) fn edition(self) -> &'static str {
        match self {
            Self::Everyone => "lampledger",
            Self::Tester => "lampledger · for the tester",
            Self::Facility => "lampledger · for the facility",
            Self::Owner => "lampledger · for the owner",
            Self::Accountant => "lampledger · for the accountant",
        }
    }

    /// Place of a picture among those of an answer: the smaller, the earlier.
    pub(super) fn place(self, file: &str) -> usize {
        let stem = file.trim_end_matches(".svg");
        let order: &[&str] = match self {
            Self::Everyone => &EVERYONE,
            Self::Tester => &TESTER,
            Self::Facility => &FACILITY,
            Self::Owner => &OWNER,
            Self::Accountant => &ACCOUNTANT,
        };
        let fits = |kind: &&str| stem.ends_with(*kind) || stem.starts_with(*kind);
        order.iter().position(fits).unwrap_or(order.len())
    }
}
