//! What `assign` draws: plain data with units in the names, stored as `assign.json`. No arithmetic here.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Version of the shape of `assign.json`.
pub const ASSIGN_FORMAT: &str = "lampledger-assign/1";

/// A trial of lamps in sockets that light a crop: which socket gets which lamp, drawn by lot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct AssignReport {
    /// [`ASSIGN_FORMAT`].
    pub format: String,
    /// Version of the program.
    pub program: String,
    /// Title of the scenario; empty without one.
    pub title: String,
    /// Seed of the lot.
    pub seed: u64,
    /// Day on which the lamps go in, as given; absent when it is left open.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<String>,
    /// Whether lamps go by codes whose key is kept apart.
    pub is_blind: bool,
    /// Rows of sockets.
    pub rows: usize,
    /// Places of a full row; the last row may have fewer.
    pub places: usize,
    /// Kinds of lamps, in the order given; in the order of their codes where they go by these.
    pub lamps: Vec<AssignLamp>,
    /// Every socket, row by row.
    pub sockets: Vec<AssignSocket>,
    /// How even the draw came out.
    pub by_lot: Evenness,
    /// How even the same lamps would be if the sockets were filled in their order, one kind after the other.
    pub in_order: Evenness,
    /// What the trial costs; absent without a scenario, which has the prices.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cost: Option<AssignCost>,
    /// How the lot was drawn, sentence by sentence.
    pub drawn: Vec<String>,
    /// How to go about the trial, sentence by sentence.
    pub steps: Vec<String>,
    /// What it cannot tell, sentence by sentence.
    pub limits: Vec<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Things a reader should know.
    pub remarks: Vec<String>,
}

/// A kind of lamp.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct AssignLamp {
    /// The letter that stands for it on the plan: its code where the trial is blind.
    pub sign: String,
    /// Its name; absent where the trial is blind.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Sockets that get it.
    pub count: usize,
}

/// A socket.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct AssignSocket {
    /// Its number, 1 first, row by row.
    pub socket: usize,
    /// Its row, 1 first.
    pub row: usize,
    /// Its place in the row, 1 first.
    pub place: usize,
    /// Whether it is the first or the last of its row.
    pub is_end: bool,
    /// Index of its lamp among [`AssignReport::lamps`]; absent where it takes no part and keeps what burns there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lamp: Option<usize>,
}

/// How even an arrangement is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Evenness {
    /// Kind by kind, in the order of [`AssignReport::lamps`].
    pub lamps: Vec<EvenLamp>,
    /// How far the count of a kind in a row is from its even share at most, lamps.
    pub worst_row: f64,
    /// How far the count of a kind at row ends is from its even share at most, lamps.
    pub worst_ends: f64,
    /// Largest difference between the mean rows of two kinds, rows.
    pub row_gap: f64,
    /// Largest difference between the mean places of two kinds, places.
    pub place_gap: f64,
}

/// Where one kind of lamp hangs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct EvenLamp {
    /// Lamps in each row.
    pub by_row: Vec<usize>,
    /// Lamps that an even share of each row would be.
    pub row_shares: Vec<f64>,
    /// Lamps at row ends.
    pub ends: usize,
    /// Lamps that an even share of the row ends would be.
    pub ends_share: f64,
    /// Lamps elsewhere.
    pub middle: usize,
    /// Mean number of the row, 1 first.
    pub mean_row: f64,
    /// Mean place in the row, 1 first.
    pub mean_place: f64,
}

/// What the lamps of a trial cost more than those that would have been bought.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct AssignCost {
    /// Currency code.
    pub currency: String,
    /// The lamp that all sockets of the trial would have got: the first one.
    pub instead_of: String,
    /// Price of all lamps of the trial, currency; medians where prices are uncertain.
    pub lamps: f64,
    /// What they cost more than as many of the first, currency; below zero where less.
    pub extra: f64,
    /// Price of one lamp of each kind, in the order of [`AssignReport::lamps`], currency; empty where it would give codes
    /// away.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub prices: Vec<f64>,
}

/// What a code stands for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyLine {
    /// The code.
    pub code: String,
    /// Name of the lamp.
    pub lamp: String,
    /// Sockets that get it.
    pub count: usize,
}
