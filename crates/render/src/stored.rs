//! Answers as they are stored: written with what they rest on, and read back to be drawn again.
//!
//! Belongs here: which format is which answer, and what has changed since it was written. Does not belong here: the shapes,
//! which are the types of the answers; files.

use decide::background::Background;
use decide::result::RunResult;
use serde::de::DeserializeOwned;
use serde_json::Value;

use crate::answer::Answer;
use crate::json::ReadError;

/// Member of a stored answer that holds what it rests on.
const BACKGROUND: &str = "background";

/// An answer that was read back.
pub struct Stored {
    /// The answer.
    pub answer: Box<dyn Answer>,
    /// What it rests on; absent where the program that wrote it did not store that.
    pub background: Option<Background>,
    /// Version of the program that wrote it.
    pub program: String,
}

/// An answer as indented JSON, with what it rests on, and a line break at the end. Members stand in the order of their type.
pub fn stored_json(answer: &dyn Answer, background: Option<&Background>) -> String {
    // a run tells itself what it rests on
    answer.stored(background.filter(|_| answer.stem() != "result"))
}

/// Reads an answer that [`stored_json`] wrote, of whatever kind.
///
/// # Errors
/// That it is none, that it is of a shape which this program does not know, or what is wrong with it.
pub fn read(text: &str) -> Result<Stored, ReadError> {
    let value: Value = serde_json::from_str(text).map_err(|error| ReadError::Broken(error.to_string()))?;
    let Some(format) = value.get("format").and_then(Value::as_str) else { return Err(ReadError::Unmarked) };
    let Some((_, reader)) = READERS.iter().find(|(known, _)| *known == format) else {
        return Err(ReadError::OtherFormat { found: format.to_owned() });
    };
    let program = value.get("program").and_then(Value::as_str).unwrap_or("an unknown version").to_owned();
    let background = value.get(BACKGROUND).map(|background| serde_json::from_value(background.clone()));
    let background = background.transpose().map_err(|error| ReadError::Broken(format!("{BACKGROUND}: {error}")))?;
    let (answer, told) = reader(text)?;
    Ok(Stored { answer, background: background.or(told), program })
}

type Read = Result<(Box<dyn Answer>, Option<Background>), ReadError>;

/// Reads a report from the text, not from a value, because only then an error knows its line.
fn report<T: Answer + DeserializeOwned + 'static>(text: &str) -> Read {
    let report: T = serde_json::from_str(text).map_err(|error| ReadError::Broken(error.to_string()))?;
    Ok((Box::new(report), None))
}

/// The same for a report that can tell whether it agrees with itself.
fn judged<T: Answer + DeserializeOwned + 'static>(text: &str, faults: fn(&T) -> Vec<String>) -> Read {
    let report: T = serde_json::from_str(text).map_err(|error| ReadError::Broken(error.to_string()))?;
    let faults = faults(&report);
    if faults.is_empty() { Ok((Box::new(report), None)) } else { Err(ReadError::Contradicts(faults)) }
}

fn run(text: &str) -> Read {
    let result: RunResult = serde_json::from_str(text).map_err(|error| ReadError::Broken(error.to_string()))?;
    let faults = result.contradictions();
    if !faults.is_empty() {
        return Err(ReadError::Contradicts(faults));
    }
    let background = Background::of_run(&result);
    Ok((Box::new(result), Some(background)))
}

/// A format, and how an answer of it is read.
type Reader = (&'static str, fn(&str) -> Read);

/// Every format that can be read.
const READERS: [Reader; 20] = [
    (decide::result::RESULT_FORMAT, run),
    (decide::bill::BILL_FORMAT, report::<decide::bill::BillReport>),
    (decide::hours::HOURS_FORMAT, report::<decide::hours::HoursReport>),
    (decide::relamp_report::RELAMP_FORMAT, report::<decide::relamp_report::RelampReport>),
    (decide::cash_report::CASH_FORMAT, report::<decide::cash_report::CashReport>),
    (decide::cash_report::PASTED_FORMAT, report::<decide::cash_report::PastedReport>),
    (decide::workbook_report::WORKBOOK_FORMAT, |text| {
        judged(text, decide::workbook_report::WorkbookReport::contradictions)
    }),
    (decide::breakeven_report::BREAKEVEN_FORMAT, report::<decide::breakeven_report::BreakevenReport>),
    (decide::map_report::MAP_FORMAT, report::<decide::map_report::MapReport>),
    (decide::rank_report::RANK_FORMAT, |text| judged(text, decide::rank_report::RankReport::contradictions)),
    (decide::drivers_report::DRIVERS_FORMAT, report::<decide::drivers_report::DriversReport>),
    (decide::why_report::WHY_FORMAT, report::<decide::why_report::WhyReport>),
    (decide::stage_report::STAGE_FORMAT, report::<decide::stage_report::StageReport>),
    (decide::life_test_report::TEST_FORMAT, report::<decide::life_test_report::TestReport>),
    (decide::mix_report::MIX_FORMAT, report::<decide::mix_report::MixReport>),
    (decide::canopy_report::CANOPY_FORMAT, report::<decide::canopy_report::CanopyReport>),
    (decide::assign_report::ASSIGN_FORMAT, |text| judged(text, decide::assign_report::AssignReport::contradictions)),
    (decide::score_report::SCORE_FORMAT, report::<decide::score_report::ScoreReport>),
    (decide::fading_report::FADING_FORMAT, report::<decide::fading_report::FadingReport>),
    (decide::learn_life_report::LEARN_LIFE_FORMAT, report::<decide::learn_life_report::LearnLifeReport>),
];

/// What changed, version by version, for whoever draws an older answer again.
const CHANGES: [(&str, &str); 1] = [(
    "0.2.0",
    "since 0.2.0 answers store every input with its grade, and runs the readings of their light: what an older answer does not \
     hold is missing on its page; no number is computed otherwise",
)];

/// What has changed since a version of the program wrote an answer, one sentence each; nothing for this version.
pub fn changes_since(program: &str) -> Vec<String> {
    let parsed = |text: &str| -> Option<[u32; 3]> {
        let parts: Option<Vec<u32>> = text.trim().split('.').map(|part| part.parse().ok()).collect();
        parts?.try_into().ok()
    };
    let (Some(this), Some(that)) = (parsed(env!("CARGO_PKG_VERSION")), parsed(program)) else {
        return vec!["its version is not known, nor is what has changed since".to_owned()];
    };
    if that > this {
        return vec!["it is newer than this program: what only the newer one knows is left out".to_owned()];
    }
    let later = CHANGES.iter().filter(|(version, _)| parsed(version).is_some_and(|version| version > that));
    later.map(|(_, change)| (*change).to_owned()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_can_be_read_has_a_published_shape() {
        for (format, _) in &READERS {
            assert!(decide::shapes::SHAPES.iter().any(|shape| shape.format == *format), "{format}");
        }
    }

    #[test]
    fn older_and_newer_programs_are_told() {
        assert!(changes_since(env!("CARGO_PKG_VERSION")).is_empty());
        assert_eq!(changes_since("0.1.0").len(), CHANGES.len());
        assert!(changes_since("99.0.0")[0].contains("newer"));
        assert!(changes_since("x")[0].contains("not known"));
    }
}
