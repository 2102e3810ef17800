//! What `canopy` finds on reading cards: plain data with units in the names, stored as `canopy.json`. No arithmetic here.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Version of the shape of `canopy.json`.
pub const CANOPY_FORMAT: &str = "lampledger-canopy/1";

/// What light reaches which area, card by card, and which cards may be compared.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CanopyReport {
    /// [`CANOPY_FORMAT`].
    pub format: String,
    /// Version of the program.
    pub program: String,
    /// Hours of light a day by which daily light and moles a year are counted.
    pub hours_a_day: f64,
    /// Where these hours come from.
    pub hours_from: String,
    /// PPFD under which an area is counted, µmol/m²/s.
    pub target_umol_m2_s: Option<f64>,
    /// Height to which all cards were brought, m; none where each card keeps its own.
    pub height_m: Option<f64>,
    /// "symmetry" or "neighbours", where missing readings might be filled.
    pub filling: Option<String>,
    /// The cards in the order in which they were given.
    pub cards: Vec<CardResult>,
    /// Cards and heights that are alike in area, height and points; every one stands in exactly one group.
    pub groups: Vec<LikeGroup>,
    /// In what the groups differ, for which no ratio across them is shown; empty for a single group.
    pub differ_in: Vec<String>,
    /// What is taken for granted.
    pub assumptions: Vec<String>,
    /// What a reader should know.
    pub remarks: Vec<String>,
    /// Cautions for whoever measures.
    pub cautions: Vec<String>,
}

/// One card.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CardResult {
    /// The fixture.
    pub name: String,
    /// The file.
    pub file: String,
    /// Kind of light, where the card says it.
    pub source: Option<String>,
    /// Name of the meter, where the card says it.
    pub sensor: Option<String>,
    /// Day of its last calibration, as written.
    pub calibrated: Option<String>,
    /// Day of the readings, as written.
    pub measured: Option<String>,
    /// Burn hours of the lamp, h.
    pub lamp_hours_h: Option<f64>,
    /// Days since the last cleaning, d.
    pub since_cleaning_d: Option<f64>,
    /// Minutes of warm-up, min.
    pub warm_up_min: Option<f64>,
    /// Power at the wall, W.
    pub wall_power_w: Option<f64>,
    /// Factor by which readings in lux were divided, lux for each µmol/m²/s.
    pub lux_per_ppfd: Option<f64>,
    /// Anything else that the card says.
    pub note: Option<String>,
    /// "cell_centred" or "edge_to_edge".
    pub points: String,
    /// Side of the mapped area along a row, m.
    pub along_m: f64,
    /// The other side, m.
    pub across_m: f64,
    /// Mapped area, m².
    pub area_m2: f64,
    /// "measured", or "guess" for readings in lux.
    pub grade: String,
    /// Its readings by height, as on the card; one where all cards are brought to one height.
    pub heights: Vec<HeightResult>,
    /// Heights that were left out and foretold from their neighbours.
    pub held_out: Vec<HeldOutHeight>,
}

/// What the readings at one height say.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HeightResult {
    /// Height of the fixture above the readings, m.
    pub height_m: f64,
    /// "measured", or "guess" for readings in lux, worked out between heights or filled.
    #[serde(default)]
    pub grade: String,
    /// The two heights between which it was worked out, m; none for a height that was measured.
    pub between_m: Option<(f64, f64)>,
    /// Readings, row by row.
    pub rows: Vec<Vec<Point>>,
    /// Mean PPFD over the area, µmol/m²/s.
    pub mean_umol_m2_s: f64,
    /// What the mean would be if the points were read the other way, µmol/m²/s; none for one line of readings.
    pub mean_other_way_umol_m2_s: Option<f64>,
    /// Flux into the area, µmol/s.
    pub flux_umol_s: f64,
    /// Area that would be mapped if the points were read the other way, m²: the same where the card states the area, another
    /// where it follows from the spacing; none for one line of readings.
    #[serde(default)]
    pub area_other_way_m2: Option<f64>,
    /// What the flux into that area would be, µmol/s; none for one line of readings.
    #[serde(default)]
    pub flux_other_way_umol_s: Option<f64>,
    /// Flux into the area over wall power, µmol/J; none without wall power.
    pub efficacy_umol_j: Option<f64>,
    /// Daily light, mol/m²/d.
    pub dli_mol_m2_d: f64,
    /// Photons into the area in 365 days, mol.
    pub moles_a_year_mol: f64,
    /// Smallest reading, µmol/m²/s.
    pub least_umol_m2_s: f64,
    /// Largest reading, µmol/m²/s.
    pub most_umol_m2_s: f64,
    /// Smallest reading over the mean.
    pub min_to_mean: f64,
    /// Smallest reading over the largest.
    pub min_to_max: f64,
    /// Largest reading over the mean.
    pub max_to_mean: f64,
    /// Standard deviation of the whole, weighted by area, over the mean.
    pub variation: f64,
    /// A tenth of the area has this or less, µmol/m²/s.
    pub p10_umol_m2_s: f64,
    /// Share of the area under the target, 1 = all; none without a target.
    pub share_below_target: Option<f64>,
    /// Parts of the standard deviation of the mean.
    pub error: ErrorParts,
}

/// A reading and what is known of it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Point {
    /// PPFD, µmol/m²/s.
    pub umol_m2_s: f64,
    /// Its share of the area, 1 = all.
    pub share: f64,
    /// Its own standard deviation, as a share of it.
    pub error: f64,
    /// How it came about.
    pub kind: PointKind,
}

/// How a reading came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PointKind {
    /// Read.
    Read,
    /// Smudged on the card, and used with a wider error.
    Doubtful,
    /// Missing on the card, or too smudged, and filled.
    Filled,
    /// Worked out between two heights.
    Between,
}

/// Standard deviations as shares of what they belong to.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ErrorParts {
    /// Of the meter's calibration.
    pub gain: f64,
    /// Of the kind of light.
    pub source: f64,
    /// Of the factor by which readings in lux were divided; 0 for a meter of photons.
    #[serde(default)]
    pub factor: f64,
    /// Of single readings, as far as it is left in the mean.
    pub points: f64,
    /// Of the law between two heights.
    pub law: f64,
    /// All of it.
    pub total: f64,
}

/// A height that was left out and foretold.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HeldOutHeight {
    /// That height, m.
    pub height_m: f64,
    /// Mean foretold over mean measured, less 1.
    pub mean_off: f64,
    /// The same at the worst point.
    pub worst_off: f64,
}

/// Cards and heights that may be compared.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LikeGroup {
    /// Side of the area along a row, m, as on the first card.
    pub along_m: f64,
    /// The other side, m.
    pub across_m: f64,
    /// Height, m.
    pub height_m: f64,
    /// "cell_centred" or "edge_to_edge".
    pub points: String,
    /// Card and height by their places in the report.
    pub entries: Vec<(usize, usize)>,
    /// Every pair of them that are of different cards.
    pub ratios: Vec<FluxRatio>,
}

/// The flux of one card over that of another.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FluxRatio {
    /// Card and height above the line.
    pub a: (usize, usize),
    /// Card and height below it.
    pub b: (usize, usize),
    /// Flux of a over flux of b.
    pub ratio: f64,
    /// What calibration leaves of its standard deviation, as a share; 0 where it cancels.
    pub gain: f64,
    /// What the kind of light leaves, as a share; 0 where it cancels.
    pub source: f64,
    /// What factors from lux leave, as a share; 0 where they cancel or there are none.
    #[serde(default)]
    pub factor: f64,
    /// What single readings and laws between heights leave, as a share.
    pub points: f64,
    /// All of it, as a share.
    pub total: f64,
    /// Whether the calibration is shared.
    pub same_meter: bool,
    /// Whether the spectral part is shared.
    pub same_source: bool,
    /// Whether both were divided by one factor from lux, for one kind of light.
    #[serde(default)]
    pub same_factor: bool,
    /// Whether the ratio lies within 1.96 standard deviations of 1.
    pub too_close: bool,
    /// In what the two were not alike when they were read: age of the lamps, dirt; in words.
    pub unlike: Vec<String>,
}
