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

/// Kinds of pictures that stand first, by the beginning or the end of their file's name.
const EVERYONE: [&str; 5] = ["all-ranking", "all-causes", "densities", "all-canopy", "all-light"];
const TESTER: [&str; 6] = ["all-causes", "all-canopy", "breakeven-1", "rank-ladder", "all-ranking", "densities"];
const FACILITY: [&str; 6] = ["cash", "all-light", "calendar", "all-causes", "all-ranking", "all-canopy"];
const OWNER: [&str; 5] = ["breakeven-1", "rank-regret", "map", "all-ranking", "all-causes"];
const ACCOUNTANT: [&str; 4] = ["cash", "all-causes", "prices", "day"];

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

    /// Place of a picture among those that stand first; nothing for one that does not.
    pub(super) fn place(self, file: &str) -> Option<usize> {
        let stem = file.trim_end_matches(".svg");
        let order: &[&str] = match self {
            Self::Everyone => &EVERYONE,
            Self::Tester => &TESTER,
            Self::Facility => &FACILITY,
            Self::Owner => &OWNER,
            Self::Accountant => &ACCOUNTANT,
        };
        order.iter().position(|kind| stem.ends_with(kind) || stem.starts_with(kind))
    }
}
