//! What an answer rests on, whatever was asked: the scenario's conventions and every input with its grade.
//!
//! Belongs here: plain data that is stored beside an answer, and taking it from a plan. Does not belong here: the answer.

use plan::Plan;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::result::{InputLine, RunResult};

/// What an answer rests on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Background {
    /// Version of the program.
    pub program: String,
    /// Title of the scenario.
    pub title: String,
    /// SHA-256 of the gathered scenario, what-ifs included, hexadecimal.
    pub input_digest: String,
    /// What-ifs that were applied, as given.
    pub what_ifs: Vec<String>,
    /// Currency code.
    pub currency: String,
    /// "real" or "nominal".
    pub basis: String,
    /// Discount rate per year: the median, or of a run the mean over trials.
    pub discount_rate: f64,
    /// General inflation per year, treated alike; present when money is nominal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inflation: Option<f64>,
    /// When in its month money counts, in words.
    pub booked: String,
    /// Month of the price level, YYYY-MM.
    pub prices_of: String,
    /// First day, YYYY-MM-DD.
    pub start: String,
    /// Years of the horizon.
    pub horizon_years: u32,
    /// IANA time zone.
    pub time_zone: String,
    /// Canopy area, m².
    pub canopy_m2: f64,
    /// PPFD that the room should hold, µmol/m²/s, if stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub target_ppfd: Option<f64>,
    /// Where and how the light of each option was measured.
    pub light: Vec<LightLine>,
    /// Every input, stated or assumed.
    pub inputs: Vec<InputLine>,
}

/// Where and how an option's light was measured.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LightLine {
    /// Name of the option.
    pub option: String,
    /// Area and height, such as "into 2.25 m² at 0.90 m".
    pub basis: String,
    /// How many readings there were, what each stands for, and what the mean would be if they stood for the other; empty
    /// where light was not read point by point.
    #[serde(default)]
    pub readings: String,
}

impl Background {
    /// Of a plan. `program` is the version, `input_digest` that of the gathered scenario, `what_ifs` are those applied.
    pub fn of(plan: &Plan, program: &str, input_digest: &str, what_ifs: &[String]) -> Self {
        let median = |id: plan::InputId| plan.inputs.at(id).quantile(0.5);
        let inputs = crate::inputs(plan);
        let light = plan.options.iter().map(|option| (option.name.as_str(), option.light.basis.as_str()));
        let light = light_lines(light, &inputs);
        Self {
            program: program.into(),
            title: plan.title.clone(),
            input_digest: input_digest.into(),
            what_ifs: what_ifs.to_vec(),
            currency: plan.currency.clone(),
            basis: plan.money.basis().into(),
            discount_rate: median(plan.money.discount_rate),
            inflation: plan.money.inflation.map(median),
            booked: plan.money.booking.in_words().into(),
            prices_of: plan.prices_of.clone(),
            start: plan.first_day.to_string(),
            horizon_years: plan.years,
            time_zone: plan.time_zone.clone(),
            canopy_m2: median(plan.canopy_area),
            target_ppfd: plan.target_ppfd.map(median),
            light,
            inputs,
        }
    }

    /// Of a stored run, which tells it all itself.
    pub fn of_run(run: &RunResult) -> Self {
        let method = &run.method;
        let light = run.options.iter().map(|option| (option.name.as_str(), option.light_basis.as_str()));
        Self {
            program: run.program.clone(),
            title: run.title.clone(),
            input_digest: method.input_digest.clone(),
            what_ifs: method.what_ifs.clone(),
            currency: method.currency.clone(),
            basis: method.basis.clone(),
            discount_rate: method.discount_rate,
            inflation: method.inflation,
            booked: method.booked.clone(),
            prices_of: method.prices_of.clone(),
            start: method.start.clone(),
            horizon_years: method.horizon_years,
            time_zone: method.time_zone.clone(),
            canopy_m2: method.canopy_m2,
            target_ppfd: method.target_ppfd,
            light: light_lines(light, &run.inputs),
            inputs: run.inputs.clone(),
        }
    }
}

/// How light was measured, option by option: names and bases, and the notes of the inputs that hold readings.
fn light_lines<'a>(options: impl Iterator<Item = (&'a str, &'a str)>, inputs: &[InputLine]) -> Vec<LightLine> {
    let readings = |k: usize| {
        let pointer = format!("/options/{k}/light/grid/readings");
        inputs.iter().find(|input| input.pointer == pointer).map(|input| input.note.clone()).unwrap_or_default()
    };
    let line = |(k, (option, basis)): (usize, (&str, &str))| LightLine {
        option: option.to_owned(),
        basis: basis.to_owned(),
        readings: readings(k),
    };
    options.enumerate().map(line).collect()
}
