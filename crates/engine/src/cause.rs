//! What money is spent on.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Causes of cost, in the order in which they are stacked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[repr(usize)]
pub enum Cause {
    /// Fixtures, their installation and the first fill of lamps.
    Capital,
    /// Electrical service and cooling plant that are built for the lights.
    Plant,
    /// Replacement lamps.
    Lamps,
    /// Parts of control gear and components.
    Gear,
    /// Labour of replacing and repairing.
    Labour,
    /// Disposal of old lamps.
    Disposal,
    /// Cleaning of fixtures.
    Cleaning,
    /// Electric energy of the lights, riders included.
    Energy,
    /// Demand charges of the lights, with what the power factor adds.
    Demand,
    /// Fixed charges, minimum bill and percentages that the lights bring.
    Charges,
    /// Whatever the cooling plant for the lights' heat adds to the bill.
    Cooling,
    /// What comes back, below zero: rebates, credits under a warranty, less what claiming costs, and what lamps and fixtures
    /// are worth at the horizon.
    Credits,
}

impl Cause {
    /// All causes, in the order in which they are stacked.
    pub const ALL: [Self; 12] = [
        Self::Capital,
        Self::Plant,
        Self::Lamps,
        Self::Gear,
        Self::Labour,
        Self::Disposal,
        Self::Cleaning,
        Self::Energy,
        Self::Demand,
        Self::Charges,
        Self::Cooling,
        Self::Credits,
    ];

    /// The cause as people say it.
    pub fn label(self) -> &'static str {
        match self {
            Self::Capital => "capital",
            Self::Plant => "plant",
            Self::Lamps => "lamps",
            Self::Gear => "gear",
            Self::Labour => "labour",
            Self::Disposal => "disposal",
            Self::Cleaning => "cleaning",
            Self::Energy => "energy",
            Self::Demand => "demand",
            Self::Charges => "other charges",
            Self::Cooling => "cooling",
            Self::Credits => "credits",
        }
    }
}

/// Number of causes.
pub const CAUSES: usize = Cause::ALL.len();
