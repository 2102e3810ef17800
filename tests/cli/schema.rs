//! `schema`: what editors are given describes the files that the program accepts.
//!
//! The judge below knows only the few keywords of JSON Schema that are used here, and fails on any other, so it cannot
//! pass over one in silence.

use std::fs;

use serde_json::{Value, json};

use super::{folder_with, lampledger};
use crate::support;

/// Why a value does not fit a part of a schema; nothing when it fits.
fn misfit(root: &Value, part: &Value, value: &Value, at: &str) -> Option<String> {
    if part == &Value::Bool(false) {
        return Some(format!("{at}: not allowed"));
    }
    for (keyword, said) in part.as_object().unwrap() {
        let fits_one =
            || said.as_array().unwrap().iter().filter(|part| misfit(root, part, value, at).is_none()).count();
        let fault = match keyword.as_str() {
            "$defs" | "$schema" | "title" | "description" | "default" | "format" => None,
            "$ref" => {
                let target = root.pointer(said.as_str().unwrap().strip_prefix('#').unwrap()).unwrap();
                misfit(root, target, value, at)
            }
            "type" => {
                let types = said.as_array().cloned().unwrap_or_else(|| vec![said.clone()]);
                (!types.iter().any(|kind| is_a(value, kind.as_str().unwrap()))).then(|| format!("{at}: no {said}"))
            }
            "const" => (value != said).then(|| format!("{at}: not {said}")),
            "enum" => (!said.as_array().unwrap().contains(value)).then(|| format!("{at}: none of {said}")),
            "anyOf" => (fits_one() == 0).then(|| format!("{at}: fits nothing")),
            "oneOf" => (fits_one() != 1).then(|| format!("{at}: fits {} things", fits_one())),
            "minimum" => value.as_f64().filter(|n| *n < said.as_f64().unwrap()).map(|n| format!("{at}: {n}")),
            "maximum" => value.as_f64().filter(|n| *n > said.as_f64().unwrap()).map(|n| format!("{at}: {n}")),
            "required" => value.as_object().and_then(|members| {
                let mut names = said.as_array().unwrap().iter().map(|name| name.as_str().unwrap());
                names.find(|name| !members.contains_key(*name)).map(|name| format!("{at}: no {name}"))
            }),
            "items" => value.as_array().and_then(|items| {
                items.iter().enumerate().find_map(|(k, item)| misfit(root, said, item, &format!("{at}/{k}")))
            }),
            "properties" => value.as_object().and_then(|members| {
                let known = members.iter().filter_map(|(name, member)| Some((name, said.get(name)?, member)));
                known.into_iter().find_map(|(name, part, member)| misfit(root, part, member, &format!("{at}/{name}")))
            }),
            "additionalProperties" => value.as_object().and_then(|members| {
                let known = part["properties"].as_object();
                members
                    .iter()
                    .filter(|(name, _)| !known.is_some_and(|known| known.contains_key(*name)))
                    .find_map(|(name, member)| misfit(root, said, member, &format!("{at}/{name}")))
            }),
            other => panic!("the keyword {other} is not known here"),
        };
        if fault.is_some() {
            return fault;
        }
    }
    None
}

fn is_a(value: &Value, kind: &str) -> bool {
    match kind {
        "null" => value.is_null(),
        "boolean" => value.is_boolean(),
        "string" => value.is_string(),
        "array" => value.is_array(),
        "object" => value.is_object(),
        "number" => value.is_number(),
        "integer" => value.as_f64().is_some_and(|number| number.fract() == 0.0),
        other => panic!("the type {other} is not known here"),
    }
}

fn printed(of: &str) -> Value {
    let schema = lampledger(folder_with(&[]).path(), &["schema", of]).well().json();
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    assert!(schema["title"].is_string() && schema["description"].is_string());
    schema
}

/// A page of the demonstration as it is written, links and all.
fn page(name: &str) -> Value {
    serde_json::from_str(&fs::read_to_string(support::tidefall().join(name)).unwrap()).unwrap()
}

#[test]
fn the_schema_of_a_scenario_accepts_the_demonstration_and_the_starter() {
    let schema = printed("scenario");
    assert_eq!(lampledger(folder_with(&[]).path(), &["schema"]).well().json(), schema, "it is the one by default");
    for good in [page("bay-2.json"), support::demo(), support::starter()] {
        assert_eq!(misfit(&schema, &schema, &good, ""), None);
    }
}

#[test]
fn the_schemas_of_linked_files_accept_those_of_the_demonstration() {
    for (of, folder) in [("tariff", "tariffs"), ("grid", "grids"), ("lamp", "lamps")] {
        let schema = printed(of);
        for name in super::names(&support::tidefall().join(folder)) {
            assert_eq!(misfit(&schema, &schema, &page(&format!("{folder}/{name}")), ""), None, "{name}");
        }
    }
}

#[test]
fn the_schema_refuses_what_the_program_refuses_for_its_shape() {
    let schema = printed("scenario");
    let changes = [
        ("/horizon_years", json!("5")),
        ("/horizon_years", json!(5.5)),
        ("/horizon_years", json!(-1)),
        ("/horizon_years", json!(4_294_967_296_u64)),
        ("/title", json!(null)),
        ("/money/basis", json!("unreal")),
        ("/options", json!({})),
        ("/options/0/lamp/price", json!("46")),
        ("/options/0/lamp/price/grade", json!("rumour")),
        ("/options/0/lamp/price/isnt", json!(46)),
        ("/contracts/0/tariff", json!({ "file": 3 })),
        ("/photoperiod/phases/0/lights/0/on", json!(21)),
    ];
    for (at, bad) in changes {
        let mut scenario = support::demo();
        let (object, name) = at.rsplit_once('/').unwrap();
        scenario.pointer_mut(object).unwrap()[name] = bad.clone();
        assert!(misfit(&schema, &schema, &scenario, "").is_some(), "{at} = {bad} fits the schema");
        let folder = folder_with(&[("room.json", &scenario.to_string())]);
        assert_eq!(lampledger(folder.path(), &["check", "room.json"]).code, 1, "{at} = {bad} passes the check");
    }
}
