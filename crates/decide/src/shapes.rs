//! JSON Schemas (draft 2020-12) of whatever is stored or printed as JSON, one for each format.
//!
//! Belongs here: which format has which shape, and what is added to the schema that a type has by itself. Does not belong
//! here: the shapes, which are the types of the reports; the schemas of scenarios (`scenario`).
//!
//! A schema holds for every answer that bears its format, by whatever version of the program: members that came in later
//! are not required, and members that it does not know are allowed.

use schemars::transform::{Transform, transform_subschemas};
use schemars::{JsonSchema, SchemaGenerator};
use serde_json::{Value, json};

use crate::background::Background;
use crate::{
    assign_report, bill, breakeven_report, canopy_report, cash_report, check_report, drivers_report, fading_report,
    hours, import_report, learn_life_report, life_priors, life_test_report, map_report, mix_report, rank_report,
    relamp_report, result, score_report, stage_report, why_report, workbook_report,
};

/// What the member that every answer about a scenario has is for.
const BACKGROUND: &str = "What the answer rests on: the scenario's conventions and every input with its grade.";

/// A format, and what it is of.
pub struct Shape {
    /// Its name: the stem of the stored file, or the command that prints it.
    pub name: &'static str,
    /// What its member `format` says.
    pub format: &'static str,
    /// What it is of, without a full stop.
    pub what: &'static str,
    /// Whether what it rests on is stored beside it.
    pub has_background: bool,
    root: fn(SchemaGenerator) -> schemars::Schema,
}

impl Shape {
    /// The format of a name.
    pub fn named(name: &str) -> Option<&'static Self> {
        SHAPES.iter().find(|shape| shape.name == name)
    }

    /// Its JSON Schema. The member `format` is a constant, the version of the shape; members that are not described are
    /// allowed.
    pub fn schema(&self) -> Value {
        let mut generator = SchemaGenerator::default();
        let background = self.has_background.then(|| generator.subschema_for::<Background>());
        let mut schema = (self.root)(generator);
        Prose.transform(&mut schema);
        let mut schema = schema.to_value();
        schema["title"] = json!(self.format);
        schema["properties"]["format"] = json!({
            "description": "Format and version of this shape.",
            "const": self.format,
        });
        if let Some(background) = background {
            let mut background = background.to_value();
            background["description"] = json!(BACKGROUND);
            schema["properties"]["background"] = background;
        }
        schema
    }
}

/// Frees descriptions of the marks of links within the program's own documentation, and leaves every object open.
struct Prose;

impl Transform for Prose {
    fn transform(&mut self, schema: &mut schemars::Schema) {
        if let Some(told) = schema.get("description").and_then(Value::as_str) {
            let told = told.replace("[`", "`").replace("`]", "`");
            schema.insert("description".to_owned(), json!(told));
        }
        // not those that say what the members of a map are
        if schema.get("additionalProperties") == Some(&json!(false)) {
            schema.remove("additionalProperties");
        }
        transform_subschemas(self, schema);
    }
}

fn root<T: JsonSchema>(generator: SchemaGenerator) -> schemars::Schema {
    generator.into_root_schema_for::<T>()
}

/// A shape of an answer about a scenario.
const fn answer<T: JsonSchema>(name: &'static str, format: &'static str, what: &'static str) -> Shape {
    Shape { name, format, what, has_background: true, root: root::<T> }
}

/// A shape of something else, or of what tells itself what it rests on.
const fn alone<T: JsonSchema>(name: &'static str, format: &'static str, what: &'static str) -> Shape {
    Shape { name, format, what, has_background: false, root: root::<T> }
}

/// Every format.
pub const SHAPES: [Shape; 23] = [
    alone::<result::RunResult>("result", result::RESULT_FORMAT, "what `run` stores"),
    answer::<bill::BillReport>("bill", bill::BILL_FORMAT, "what `bill` stores"),
    answer::<hours::HoursReport>("hours", hours::HOURS_FORMAT, "what `hours` stores"),
    answer::<relamp_report::RelampReport>("relamp", relamp_report::RELAMP_FORMAT, "what `relamp` stores"),
    answer::<cash_report::CashReport>("cash", cash_report::CASH_FORMAT, "what `cash` stores"),
    answer::<workbook_report::WorkbookReport>("workbook", workbook_report::WORKBOOK_FORMAT, "what `workbook` stores"),
    alone::<cash_report::PastedReport>("cash-flows", cash_report::PASTED_FORMAT, "what `cash --flows` stores"),
    answer::<breakeven_report::BreakevenReport>(
        "breakeven",
        breakeven_report::BREAKEVEN_FORMAT,
        "what `breakeven` stores",
    ),
    answer::<map_report::MapReport>("map", map_report::MAP_FORMAT, "what `map` stores"),
    answer::<rank_report::RankReport>("rank", rank_report::RANK_FORMAT, "what `rank` stores"),
    answer::<drivers_report::DriversReport>("drivers", drivers_report::DRIVERS_FORMAT, "what `drivers` stores"),
    answer::<why_report::WhyReport>("why", why_report::WHY_FORMAT, "what `why` stores"),
    answer::<stage_report::StageReport>("stage", stage_report::STAGE_FORMAT, "what `stage` stores"),
    answer::<life_test_report::TestReport>("test", life_test_report::TEST_FORMAT, "what `test` stores"),
    answer::<mix_report::MixReport>("mix", mix_report::MIX_FORMAT, "what `mix` stores"),
    alone::<canopy_report::CanopyReport>("canopy", canopy_report::CANOPY_FORMAT, "what `canopy` stores"),
    alone::<assign_report::AssignReport>("assign", assign_report::ASSIGN_FORMAT, "what `assign` stores"),
    alone::<score_report::ScoreReport>("score", score_report::SCORE_FORMAT, "what `score` stores"),
    answer::<fading_report::FadingReport>("fading", fading_report::FADING_FORMAT, "what `learn fading` stores"),
    answer::<learn_life_report::LearnLifeReport>(
        "learn-life",
        learn_life_report::LEARN_LIFE_FORMAT,
        "what `learn life` stores",
    ),
    alone::<life_priors::PriorsReport>("priors", life_priors::PRIORS_FORMAT, "what `learn priors --json` prints"),
    alone::<check_report::CheckReport>("check", check_report::CHECK_FORMAT, "what `check --json` prints"),
    alone::<import_report::ImportReport>("import", import_report::IMPORT_FORMAT, "what `import --json` prints"),
];

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// Every part of a schema that is an object.
    fn parts<'a>(value: &'a Value, found: &mut Vec<&'a serde_json::Map<String, Value>>) {
        match value {
            Value::Object(members) => {
                found.push(members);
                members.values().for_each(|member| parts(member, found));
            }
            Value::Array(items) => items.iter().for_each(|item| parts(item, found)),
            _ => {}
        }
    }

    #[test]
    fn each_format_has_one_name_and_each_name_one_format() {
        let names: BTreeSet<&str> = SHAPES.iter().map(|shape| shape.name).collect();
        let formats: BTreeSet<&str> = SHAPES.iter().map(|shape| shape.format).collect();
        assert_eq!((names.len(), formats.len()), (SHAPES.len(), SHAPES.len()));
        for shape in &SHAPES {
            let (name, version) = shape.format.strip_prefix("lampledger-").unwrap().split_once('/').unwrap();
            assert_eq!(name, shape.name);
            assert!(version.parse::<u32>().is_ok_and(|version| version > 0), "{}", shape.format);
        }
        assert!(Shape::named("result").is_some() && Shape::named("nonsense").is_none());
    }

    #[test]
    fn every_member_is_described_and_further_ones_are_allowed() {
        for shape in &SHAPES {
            let schema = shape.schema();
            assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
            assert_eq!(schema["properties"]["format"]["const"], shape.format);
            assert!(schema["required"].as_array().unwrap().contains(&json!("format")), "{}", shape.name);
            let mut found = vec![];
            parts(&schema, &mut found);
            for part in &found {
                assert_ne!(part.get("additionalProperties"), Some(&json!(false)), "{}: {part:?}", shape.name);
                let told = part.get("description").and_then(Value::as_str);
                assert!(!told.is_some_and(|told| told.contains("[`")), "{}: {told:?}", shape.name);
                let Some(Value::Object(members)) = part.get("properties") else { continue };
                for (name, member) in members {
                    // the only member of a choice is described by the choice
                    let is_told = member["description"].is_string() || (members.len() == 1 && told.is_some());
                    assert!(is_told, "{}: {name} is not described", shape.name);
                }
            }
            assert!(found.len() > 5, "{}", shape.name);
        }
    }

    #[test]
    fn answers_about_a_scenario_say_what_they_rest_on() {
        let with: Vec<&str> = SHAPES.iter().filter(|shape| shape.has_background).map(|shape| shape.name).collect();
        assert_eq!(with.len(), 15);
        for name in with {
            let schema = Shape::named(name).unwrap().schema();
            assert_eq!(schema["properties"]["background"]["$ref"], "#/$defs/Background", "{name}");
            assert!(schema["$defs"]["Background"]["properties"]["inputs"].is_object(), "{name}");
            assert!(!schema["required"].as_array().unwrap().contains(&json!("background")), "{name}");
        }
    }
}
