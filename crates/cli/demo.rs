//! The demonstration that is built into the program, so that it runs without any file.

use scenario::{Page, Shelf};

macro_rules! page {
    ($name:literal) => {
        ($name, include_str!(concat!("../../scenarios/tidefall/", $name)))
    };
}

const TOP: (&str, &str) = page!("bay-2.json");
const LINKED: [(&str, &str); 8] = [
    page!("grids/a-cheap-arc.json"),
    page!("grids/b-long-life-arc.json"),
    page!("grids/c-bar-led.json"),
    page!("grids/d-panel-led.json"),
    page!("lamps/cheap-arc.json"),
    page!("lamps/long-life-arc.json"),
    page!("tariffs/flat-contract.json"),
    page!("tariffs/time-of-use.json"),
];

/// The reading cards of the demonstration: name and text.
pub const CARDS: [(&str, &str); 4] = [
    page!("cards/a-cheap-arc.txt"),
    page!("cards/b-long-life-arc.txt"),
    page!("cards/c-bar-led.txt"),
    page!("cards/d-panel-led.txt"),
];
/// Forecasts of an earlier bay and what came of them: the name of the table, and its text.
pub const FORECASTS: (&str, &str) = page!("records/forecasts.csv");
const FADING: (&str, &str) = page!("records/a-fading.csv");
/// A burn log of its option B, kept in an invented bay next door.
const BURN_LOG: (&str, &str) = page!("records/b-next-bay.csv");

/// The pages of the demonstration.
pub struct Demo;

impl Demo {
    /// The scenario itself.
    pub fn top() -> Page {
        Page { name: TOP.0.into(), text: TOP.1.into() }
    }

    /// Readings of its first option's lamps: what the record is called, and its text.
    pub fn fading() -> (&'static str, &'static str) {
        FADING
    }

    /// Name and text of its burn log.
    pub fn burn_log() -> (&'static str, &'static str) {
        BURN_LOG
    }
}

impl Shelf for Demo {
    fn page(&self, _from: &str, link: &str) -> Result<Page, String> {
        // only the top page of the demonstration links to others, so links are whole names
        LINKED
            .iter()
            .find(|(name, _)| *name == link)
            .map(|(name, text)| Page { name: (*name).into(), text: (*text).into() })
            .ok_or_else(|| format!("the built-in demonstration has no page \"{link}\""))
    }
}
