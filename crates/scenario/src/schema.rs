//! The JSON Schemas of the scenario file and of the files it may link to, and looking things up in them.
//!
//! Belongs here: the schemas as published, and finding the part that describes a member. Does not belong here:
//! checking a value against them.

use std::sync::LazyLock;

use schemars::JsonSchema;
use schemars::transform::{Transform, transform_subschemas};
use serde_json::{Value, json};

use crate::{form, pointer};

/// The schema that every scenario is checked against, made once.
pub(crate) static SCENARIO: LazyLock<Value> = LazyLock::new(schema);

/// The JSON Schema (draft 2020-12) of a whole scenario.
pub fn schema() -> Value {
    of::<form::Scenario>()
}

/// The JSON Schema (draft 2020-12) of a tariff in a file of its own.
pub fn tariff_schema() -> Value {
    of::<form::Tariff>()
}

/// The JSON Schema (draft 2020-12) of a price history in a file of its own.
pub fn prices_schema() -> Value {
    of::<form::PriceHistory>()
}

/// The JSON Schema (draft 2020-12) of a grid of readings in a file of its own.
pub fn grid_schema() -> Value {
    of::<form::Grid>()
}

/// The JSON Schema (draft 2020-12) of a lamp in a file of its own.
pub fn lamp_schema() -> Value {
    of::<form::Lamp>()
}

fn of<T: JsonSchema>() -> Value {
    let mut schema = schemars::SchemaGenerator::default().into_root_schema_for::<T>();
    Bounds.transform(&mut schema);
    schema.to_value()
}

/// States the largest whole number that is read. Without it a number could fit the schema and still not be read.
struct Bounds;

impl Transform for Bounds {
    fn transform(&mut self, schema: &mut schemars::Schema) {
        if schema.get("format") == Some(&json!("uint32")) {
            schema.insert("maximum".to_string(), json!(u32::MAX));
        }
        transform_subschemas(self, schema);
    }
}

/// The part of `root` that `reference` (such as `#/$defs/Figure`) names.
fn resolve<'a>(root: &'a Value, part: &'a Value) -> &'a Value {
    let target = part.get("$ref").and_then(Value::as_str).and_then(|reference| reference.strip_prefix('#'));
    target.and_then(|target| root.pointer(target)).unwrap_or(part)
}

/// Every plain shape that a part of the schema allows: references followed, unions taken apart.
fn shapes<'a>(root: &'a Value, part: &'a Value, found: &mut Vec<&'a Value>) {
    let part = resolve(root, part);
    match part.get("anyOf").and_then(Value::as_array) {
        Some(parts) => parts.iter().for_each(|part| shapes(root, part, found)),
        None => found.push(part),
    }
}

/// Every plain shape that the schema allows at a pointer, and what it says the member there is for.
fn described(at: &str) -> (Vec<&'static Value>, Option<&'static str>) {
    let root: &'static Value = &SCENARIO;
    let mut here = vec![root];
    let mut description = None;
    for segment in pointer::segments(at) {
        let mut next = Vec::new();
        description = None;
        for shape in here {
            let member = shape.get("properties").and_then(|members| members.get(&segment));
            if let Some(member) = member {
                description = description.or_else(|| member.get("description").and_then(Value::as_str));
            }
            if let Some(part) = member.or_else(|| shape.get("items")) {
                shapes(root, part, &mut next);
            }
        }
        here = next;
    }
    (here, description)
}

/// What the schema says the member at a pointer is for, with its unit; nothing for elements of a list and for places
/// that the schema does not know.
pub(crate) fn purpose(at: &str) -> Option<String> {
    let (_, description) = described(at);
    description.map(|text| text.replace('\n', " "))
}

/// The part of the schema that describes the object at a pointer, if there may be one that is no link.
pub(crate) fn object(at: &str) -> Option<&'static Value> {
    let (shapes, _) = described(at);
    shapes.into_iter().find(|part| part.get("type") == Some(&json!("object")) && member_names(part) != ["file"])
}

/// The names that an object must hold, by the part of the schema that describes it.
pub(crate) fn needed_names(part: &Value) -> Vec<&str> {
    let names = part.get("required").and_then(Value::as_array);
    names.into_iter().flatten().filter_map(Value::as_str).collect()
}

/// The names of which an object must hold exactly one, by the part of the schema that describes it.
pub(crate) fn names_to_choose_from(part: &Value) -> Vec<&str> {
    // The schema itself leaves this open, so that the plan can say it in better words. But its documentation tells.
    let told = part.get("description").and_then(Value::as_str).and_then(|text| text.split_once("Exactly one of "));
    let sentence = told.and_then(|(_, rest)| rest.split_once(" given")).map_or("", |(names, _)| names);
    sentence.split('`').skip(1).step_by(2).collect()
}

/// The names that an object may hold, by the part of the schema that describes it.
pub(crate) fn member_names(part: &Value) -> Vec<&str> {
    let members = part.get("properties").and_then(Value::as_object);
    members.into_iter().flat_map(|members| members.keys()).map(String::as_str).collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn schemas_are_valid_and_described() {
        for (schema, title) in [
            (schema(), "Scenario"),
            (tariff_schema(), "Tariff"),
            (prices_schema(), "PriceHistory"),
            (grid_schema(), "Grid"),
            (lamp_schema(), "Lamp"),
        ] {
            assert!(jsonschema::draft202012::meta::is_valid(&schema), "{title}");
            assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
            assert_eq!(schema["title"], title);
            assert!(schema["description"].is_string(), "{title}");
        }
    }

    #[test]
    fn whole_numbers_are_bounded_as_they_are_read() {
        let schema = schema();
        assert_eq!(schema["properties"]["horizon_years"]["maximum"], json!(u32::MAX));
        assert_eq!(schema["$defs"]["Phase"]["properties"]["days"]["maximum"], json!(u32::MAX));
    }

    #[test]
    fn choices_are_told_as_the_documentation_tells_them() {
        let choice = |at: &str| names_to_choose_from(object(at).unwrap());
        assert_eq!(choice("/options/0/light"), ["grid", "mean", "ppf"]);
        let fading = ["exponential", "through", "stretched", "biexponential", "projection", "table", "constant"];
        assert_eq!(choice("/options/0/maintenance"), fading);
        assert_eq!(choice("/options/0/upkeep/relamp/group"), ["every", "every_crops", "at_light"]);
        assert_eq!(choice("/options/0/upkeep/relamp"), ["on_failure", "group", "by_age"]);
        assert_eq!(choice("/options/0/lamp/price"), crate::figure::DISTRIBUTIONS);
        assert!(choice("/canopy").is_empty());
        assert_eq!(needed_names(object("/options/0/lamp").unwrap()), ["price", "disposal", "life"]);
        assert!(object("/title").is_none());
    }

    #[test]
    fn purposes_are_found_through_links_lists_and_figures() {
        let text = purpose("/options/3/lamp/life/b50").unwrap();
        assert!(text.starts_with("Rated life as a MEDIAN"), "{text}");
        assert_eq!(purpose("/options/0/lamp/price/normal/sd").unwrap(), "Standard deviation.");
        assert_eq!(purpose("/options/0"), None);
        assert_eq!(purpose("/nonsense/x"), None);
        assert_eq!(purpose(""), None);
    }
}
