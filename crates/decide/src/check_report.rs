//! What `check --json` prints: plain data. No judgement here.

use plan::Plan;
use scenario::PlainFault;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::result::InputLine;

/// Version of the shape of what `check --json` prints.
pub const CHECK_FORMAT: &str = "lampledger-check/1";

/// Every fault of a scenario; of one without any, what it rests on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CheckReport {
    /// [`CHECK_FORMAT`].
    pub format: String,
    /// Every fault at once; empty when the scenario has none.
    pub faults: Vec<PlainFault>,
    /// SHA-256 of the gathered scenario, what-ifs included, hexadecimal; absent while there are faults.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub input_digest: Option<String>,
    /// Every input, stated or assumed; absent while there are faults.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inputs: Option<Vec<InputLine>>,
    /// Cautions that the scenario calls for, one sentence each; absent while there are faults.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cautions: Option<Vec<String>>,
    /// Things a reader should know about this scenario's inputs, one sentence each; absent while there are faults.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<Vec<String>>,
}

impl CheckReport {
    /// Of a scenario that has faults.
    pub fn of_faults(faults: Vec<PlainFault>) -> Self {
        let format = CHECK_FORMAT.to_owned();
        Self { format, faults, input_digest: None, inputs: None, cautions: None, remarks: None }
    }

    /// Of a plan; `input_digest` is that of the gathered scenario.
    pub fn of_plan(plan: &Plan, input_digest: &str) -> Self {
        Self {
            input_digest: Some(input_digest.to_owned()),
            inputs: Some(crate::inputs(plan)),
            cautions: Some(plan.cautions.clone()),
            remarks: Some(plan.remarks.clone()),
            ..Self::of_faults(vec![])
        }
    }
}
