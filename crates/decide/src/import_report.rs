//! What `import --json` prints: plain data. No judgement here.

use scenario::import::{Imported, ReportLine};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// Version of the shape of what `import --json` prints.
pub const IMPORT_FORMAT: &str = "lampledger-import/1";

/// What became of a rate.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ImportReport {
    /// [`IMPORT_FORMAT`].
    pub format: String,
    /// Version of the program.
    pub program: String,
    /// File of the rate, as it was named.
    pub rate: String,
    /// File to which the tariff was written, as it was named; absent where it was not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub written: Option<String>,
    /// Questions that a person must settle before a bill is complete.
    pub open_questions: u32,
    /// What became of each member of the rate; each is named once.
    pub members: Vec<ReportLine>,
    /// The tariff, as it stands in a file of its own.
    pub tariff: Value,
}

impl ImportReport {
    /// Of a rate that was read. `program` is the version, `rate` names its file, `written` that of the tariff.
    pub fn of(imported: &Imported, program: &str, rate: &str, written: Option<&str>) -> Self {
        let questions = imported.tariff.get("open_questions").and_then(Value::as_array).map_or(0, Vec::len);
        Self {
            format: IMPORT_FORMAT.to_owned(),
            program: program.to_owned(),
            rate: rate.to_owned(),
            written: written.map(str::to_owned),
            open_questions: u32::try_from(questions).unwrap_or(u32::MAX),
            members: imported.report.clone(),
            tariff: imported.tariff.clone(),
        }
    }
}
