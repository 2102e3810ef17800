//! What every answer of the program has in common: a page, tables, pictures, and the form in which it is stored.
//!
//! Belongs here: the trait, and what follows from it alone. Does not belong here: what a single answer says (the modules
//! below say where it is told).

mod economy;
mod light;
mod lives;
mod room;

use decide::background::Background;

use crate::charts::ChartError;
use crate::page::Page;

/// A finished answer, and everything that can be shown of it.
pub trait Answer {
    /// Stem of its files: that of its page, and with `.json` that of the stored answer.
    fn stem(&self) -> &'static str;

    /// What was asked, a sentence with a question mark.
    fn question(&self) -> String;

    /// What comes of it, one sentence or a few.
    fn said(&self) -> Vec<String>;

    /// How sure that is, in a word or two; nothing where no such word fits.
    fn sure(&self) -> Option<Sure> {
        None
    }

    /// Everything it says, laid out for so many columns (48 at least).
    fn page(&self, width: usize) -> Page;

    /// Its tables as pairs of file name and CSV.
    fn tables(&self) -> Vec<(String, String)>;

    /// Its pictures as pairs of file name and SVG.
    ///
    /// # Errors
    /// If a drawing fails.
    fn pictures(&self) -> Result<Vec<(String, String)>, ChartError>;

    /// A workbook, as file name and bytes; most answers have none.
    ///
    /// # Errors
    /// A message when it cannot be written, which is a fault of this program.
    fn workbook(&self) -> Result<Option<(String, Vec<u8>)>, String> {
        Ok(None)
    }

    /// It as it is stored, with what it rests on: indented JSON with its members in the order of the type.
    fn stored(&self, background: Option<&Background>) -> String;
}

/// How sure an answer is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sure {
    /// One option is cheaper in nine futures of ten or more, and that beyond the noise.
    Clear,
    /// One option is cheaper on average, but loses in more than one future of ten.
    Leaning,
    /// The options cannot be told apart.
    TooClose,
    /// It is one under one contract and another under another.
    Depends,
}

impl Sure {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::Leaning => "leaning",
            Self::TooClose => "too close to call",
            Self::Depends => "depends on the contract",
        }
    }

    /// What the word means, a sentence.
    pub fn meaning(self) -> &'static str {
        match self {
            Self::Clear => "The cheaper one is cheaper in 90\u{202f}% of the futures or more.",
            Self::Leaning => "The cheaper one on average is dearer in more than one future of ten.",
            Self::TooClose => "The difference is no larger than noise, or than what was said to matter.",
            Self::Depends => "Another contract, another answer: look at your own.",
        }
    }
}

/// An answer as text for a terminal, at most `width` columns wide (48 at least), with bold type if `color`. It ends in a
/// line break.
pub fn printed(answer: &dyn Answer, width: usize, color: bool) -> String {
    answer.page(width).printed(color)
}

/// Columns for which a page is laid out that is no terminal's.
pub(crate) const WIDE: usize = 160;

/// An answer as Markdown. It ends in a line break.
pub fn markdown(answer: &dyn Answer) -> String {
    answer.page(WIDE).markdown()
}

/// A report with what it rests on behind its own members.
#[derive(serde::Serialize)]
struct Rested<'a, T> {
    #[serde(flatten)]
    report: &'a T,
    #[serde(skip_serializing_if = "Option::is_none")]
    background: Option<&'a Background>,
}

/// Plain data as it is stored.
fn stored(report: &impl serde::Serialize, background: Option<&Background>) -> String {
    crate::json::pretty(&Rested { report, background })
}

/// Names of files with their texts.
fn files<const N: usize>(tables: [(&str, String); N]) -> Vec<(String, String)> {
    tables.map(|(name, text)| (name.to_owned(), text)).to_vec()
}
