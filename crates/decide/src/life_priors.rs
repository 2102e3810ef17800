//! Beliefs about lives to begin with, by technology, described and not branded.
//!
//! Belongs here: the table, with what each entry rests on. Does not belong here: any lamp of a scenario.
//!
//! All of it is judgement: catalogues state medians (or hours at which a test stopped) and no spread, and what follows for a
//! lamp that nobody has watched is wide. Spans are 10 % and 90 % points.

use schemars::JsonSchema;
use serde::Serialize;

/// Version of the shape of what `learn priors --json` prints.
pub const PRIORS_FORMAT: &str = "lampledger-priors/1";

/// Beliefs to begin with.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PriorsReport {
    /// [`PRIORS_FORMAT`].
    pub format: String,
    /// Version of the program.
    pub program: String,
    /// The beliefs, by technology.
    pub priors: Vec<LifePrior>,
}

impl PriorsReport {
    /// All of them. `program` is the version.
    pub fn new(program: &str) -> Self {
        Self { format: PRIORS_FORMAT.to_owned(), program: program.to_owned(), priors: life_priors() }
    }
}

/// A belief to begin with.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LifePrior {
    /// Technology, described.
    pub technology: String,
    /// Where it stands in a scenario: "lamp.life" or a component.
    pub stands_in: String,
    /// Median life, burn hours: 10 % point, median, 90 % point of the belief.
    pub b50_h: [f64; 3],
    /// Weibull shape: 10 % point, median, 90 % point.
    pub shape: [f64; 3],
    /// Burn hours of life that a start costs, from and to; absent where starts cost none that is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub start_cost_h: Option<[f64; 2]>,
    /// Burn hours per start at which such lives are rated; absent where there is no such rule.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rated_hours_per_start: Option<f64>,
    /// How sure it is.
    pub grade: String,
    /// What it rests on.
    pub source: String,
    /// The same as a part of a scenario.
    pub written: serde_json::Value,
}

/// One row: technology, whether it is a lamp, median life, shape, cost of a start, hours per start, what it rests on.
type Row = (&'static str, bool, [f64; 3], [f64; 3], Option<[f64; 2]>, Option<f64>, &'static str);

const HID: &str = "rated at about 10 to 11 h per start";
const ROWS: [Row; 5] = [
    (
        "high-pressure sodium",
        true,
        [16_000.0, 24_000.0, 34_000.0],
        [2.5, 3.5, 5.0],
        Some([1.0, 5.0]),
        Some(10.0),
        "judgement: catalogues say 24 000 h, sometimes meaning a test that was stopped with about 67 % alive; horticultural \
         use is harder on them",
    ),
    (
        "metal halide, quartz arc tube",
        true,
        [8_000.0, 13_000.0, 20_000.0],
        [2.5, 3.5, 5.0],
        Some([3.0, 8.0]),
        Some(10.0),
        "judgement: catalogues say 7 500 h to 20 000 h by wattage; starts hurt them more than sodium lamps",
    ),
    (
        "metal halide, ceramic arc tube",
        true,
        [10_000.0, 16_000.0, 24_000.0],
        [2.5, 3.5, 5.0],
        Some([3.0, 8.0]),
        Some(10.0),
        "judgement, from memory of catalogues; no survival data at hand",
    ),
    (
        "fluorescent tube, heated before it starts",
        true,
        [18_000.0, 28_000.0, 42_000.0],
        [4.0, 6.0, 8.0],
        Some([0.4, 1.5]),
        Some(3.0),
        "judgement: most die between 80 % and 120 % of rated life; 11 % to 30 % more life at 12 h than at 3 h per start makes a \
         start cost 0.4 h to 1.5 h",
    ),
    (
        "LED driver",
        false,
        [50_000.0, 75_000.0, 110_000.0],
        [1.0, 2.0, 3.0],
        None,
        None,
        "judgement: the part of a LED fixture that fails first; claims of 50 000 h to 100 000 h at a stated case temperature, from \
         memory; half for each 10 °C more",
    ),
];

/// The table.
pub fn life_priors() -> Vec<LifePrior> {
    ROWS.iter().map(of).collect()
}

fn of(&(technology, is_lamp, b50, shape, start_cost, rated, source): &Row) -> LifePrior {
    let elicited = |points: [f64; 3], unit: &str| {
        serde_json::json!({ "elicited": { "p10": points[0], "p50": points[1], "p90": points[2] }, "unit": unit,
                            "grade": "guess", "note": source })
    };
    let mut written = serde_json::json!({ "b50": elicited(b50, "h"), "shape": elicited(shape, "1") });
    if let Some(rated) = rated {
        written["rated_hours_per_start"] = serde_json::json!({ "is": rated, "unit": "h", "grade": "guess", "note": if rated > 5.0 { HID } else { "rated at 3 h per start" } });
    }
    if let Some([low, high]) = start_cost {
        written["start_cost"] = serde_json::json!({ "uniform": { "low": low, "high": high }, "unit": "h", "grade": "guess",
                                                    "note": "judgement" });
    }
    LifePrior {
        technology: technology.into(),
        stands_in: if is_lamp { "lamp.life" } else { "a component" }.into(),
        b50_h: b50,
        shape,
        start_cost_h: start_cost,
        rated_hours_per_start: rated,
        grade: "guess".into(),
        source: source.into(),
        written,
    }
}
