//! What other programs read: every answer fits the published schema of its format, and one that is broken does not.
//!
//! The judge is a validator of JSON Schema that somebody else wrote.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use jsonschema::Validator;
use serde_json::{Value, json};

use super::{edit, folder_with, lampledger, starter};

/// An invented rate in the open form: one price around the clock, a fixed charge, and one member that is a question.
fn rate() -> String {
    let hours = json!(vec![vec![0; 24]; 12]);
    json!({
        "name": "an invented rate",
        "energyratestructure": [[{ "rate": 0.1, "adj": 0.02, "unit": "kWh" }]],
        "energyweekdayschedule": hours,
        "energyweekendschedule": hours,
        "fixedmonthlycharge": 12.5,
        "sourcereference": "nowhere",
    })
    .to_string()
}

/// Every format with the words of a command that prints it, on the demonstration, and with few trials.
const COMMANDS: [(&str, &[&str]); 23] = [
    ("result", &["run", "--trials", "20"]),
    ("bill", &["bill"]),
    ("hours", &["hours", "--trials", "8"]),
    ("relamp", &["relamp", "--option", "A", "--trials", "64", "--exact"]),
    ("cash", &["cash", "--trials", "20"]),
    ("workbook", &["workbook", "--trials", "64"]),
    ("cash-flows", &["cash", "--flows", "row.csv"]),
    ("breakeven", &["breakeven", "--option", "B", "--against", "A", "--of", "B.lamp.price", "--trials", "40"]),
    ("map", &["map", "--x", "electricity", "--y", "B.lamp.price", "--steps", "6", "--trials", "20"]),
    ("rank", &["rank", "--trials", "40"]),
    ("drivers", &["drivers", "--option", "C", "--option", "D", "--trials", "100"]),
    ("why", &["why", "--option", "D", "--against", "C", "--trials", "20"]),
    ("stage", &["stage", "--now", "A", "--later", "B", "--after", "2", "--keep-fixtures", "--trials", "100"]),
    ("test", &["test", "--of", "B", "--against", "A", "--trials", "400", "--lamps", "4", "--hours", "8000"]),
    ("mix", &["mix", "--option", "A", "--option", "D", "--trials", "100"]),
    ("canopy", &["canopy"]),
    ("assign", &["assign", "--seed", "7"]),
    ("score", &["score"]),
    ("fading", &["learn", "fading", "--draws", "100"]),
    ("learn-life", &["learn", "life", "--draws", "400"]),
    ("priors", &["learn", "priors"]),
    ("check", &["check"]),
    ("import", &["import", "rate.json", "-"]),
];

fn schema(name: &str) -> Value {
    lampledger(folder_with(&[]).path(), &["schema", name]).well().json()
}

fn validator(name: &str) -> Validator {
    jsonschema::draft202012::new(&schema(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// What a command prints with `--json`.
fn printed(folder: &Path, words: &[&str]) -> Value {
    lampledger(folder, &[words, &["--json"]].concat()).well().json()
}

/// Why a value does not fit, each reason with its place.
fn reasons(validator: &Validator, value: &Value) -> Vec<String> {
    validator.iter_errors(value).map(|error| format!("{}: {error}", error.instance_path())).collect()
}

/// Pointers to every number in a value.
fn numbers(value: &Value, at: &str, found: &mut Vec<String>) {
    match value {
        Value::Number(_) => found.push(at.to_owned()),
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(k, item)| numbers(item, &format!("{at}/{k}"), found))
        }
        Value::Object(members) => members.iter().for_each(|(name, member)| {
            numbers(member, &format!("{at}/{}", name.replace('~', "~0").replace('/', "~1")), found);
        }),
        _ => {}
    }
}

/// Whether anything may stand at a pointer: parts of a scenario, whose shape is that of the scenario, and terms of sums, which
/// are numbers or signs.
fn is_free(name: &str, at: &str) -> bool {
    (name == "import" && at.starts_with("/tariff/"))
        || (name == "priors" && at.contains("/written/"))
        || (name == "why" && (at.contains("/formula/") || at.contains("/working/")))
}

fn folder() -> tempfile::TempDir {
    folder_with(&[("rate.json", &rate()), ("row.csv", "0,-100\n1,60\n2,70\n")])
}

#[test]
fn every_format_has_a_command_here() {
    let listed = lampledger(folder_with(&[]).path(), &["schema", "list"]).well().out;
    let formats: BTreeSet<&str> = listed.split_whitespace().filter(|word| word.starts_with("lampledger-")).collect();
    let here: BTreeSet<String> = COMMANDS.iter().map(|(name, _)| format!("lampledger-{name}/1")).collect();
    assert_eq!(formats, here.iter().map(String::as_str).collect());
}

#[test]
fn every_answer_fits_the_schema_of_its_format_and_a_broken_one_does_not() {
    let folder = folder();
    for (name, words) in COMMANDS {
        let (validator, answer) = (validator(name), printed(folder.path(), words));
        assert_eq!(answer["format"], format!("lampledger-{name}/1"));
        assert_eq!(reasons(&validator, &answer), Vec::<String>::new(), "{name}");
        let refused = |broken: &Value, how: &str| assert!(!validator.is_valid(broken), "{name}: {how} fits");

        let mut later = answer.clone();
        later["a member of a later version"] = json!(1);
        assert_eq!(reasons(&validator, &later), Vec::<String>::new(), "{name}: further members are allowed");
        let mut other = answer.clone();
        other["format"] = json!(format!("lampledger-{name}/2"));
        refused(&other, "another version");
        for member in schema(name)["required"].as_array().unwrap() {
            let mut broken = answer.clone();
            broken.as_object_mut().unwrap().remove(member.as_str().unwrap());
            refused(&broken, &format!("without {member} it"));
        }
        let mut places = vec![];
        numbers(&answer, "", &mut places);
        // some hundred of them, spread over the whole answer
        let stride = places.len() / 150 + 1;
        let tried: Vec<&String> = places.iter().filter(|at| !is_free(name, at)).step_by(stride).collect();
        assert!(!tried.is_empty() || ["check", "priors"].contains(&name), "{name} has no number");
        for at in tried {
            let mut broken = answer.clone();
            *broken.pointer_mut(at).unwrap() = json!("much");
            refused(&broken, &format!("a text at {at}"));
        }
    }
}

#[test]
fn an_answer_stored_beside_others_is_the_one_that_is_printed() {
    let folder = folder();
    for (name, words) in COMMANDS.iter().filter(|(name, _)| ["rank", "canopy", "cash-flows"].contains(name)) {
        let words = [*words, &["--out", "out", "--json"]].concat();
        let printed = lampledger(folder.path(), &words).well().out;
        assert_eq!(fs::read_to_string(folder.path().join(format!("out/{name}.json"))).unwrap(), printed, "{name}");
    }
}

#[test]
fn answers_about_a_scenario_say_what_they_rest_on() {
    let folder = folder();
    let (validator, mut answer) = (validator("bill"), printed(folder.path(), &["bill"]));
    assert_eq!(answer["background"]["title"], "Tidefall Growers, Bay 2");
    assert!(answer["background"]["inputs"].as_array().unwrap().len() > 20);
    answer["background"]["horizon_years"] = json!("five");
    assert!(!validator.is_valid(&answer));
    // what an older version of the program stored has none
    answer.as_object_mut().unwrap().remove("background");
    assert_eq!(reasons(&validator, &answer), Vec::<String>::new());
}

#[test]
fn a_number_stands_where_readme_says() {
    let told = printed(folder().path(), &["run", "--trials", "20"]);
    let mean = &told["options"][1]["costs"][0]["levelized"]["mean"];
    assert!(mean["value"].as_f64().unwrap() > 0.0 && mean["se"].is_f64());
    let names = [&told["options"][1]["name"], &told["contracts"][0]["name"], &told["method"]["currency"]];
    assert_eq!(names, ["B long-life arc", "flat contract", "USD"]);
}

#[test]
fn faults_fit_the_schema_of_a_check() {
    let folder = starter();
    edit(&folder.path().join("room.json"), "\"horizon_years\": 5", "\"horizon_years\": 0");
    let said = lampledger(folder.path(), &["check", "room.json", "--json"]);
    assert_eq!((said.code, said.err.as_str()), (1, ""));
    let told = said.json();
    assert_eq!(reasons(&validator("check"), &told), Vec::<String>::new());
    assert_eq!(told["faults"][0]["pointer"], "/horizon_years");
    assert!(told.get("inputs").is_none());
}

#[test]
fn an_import_reports_each_member_as_json() {
    let folder = folder();
    let told = printed(folder.path(), &["import", "rate.json", "tariff.json"]);
    let member = |name: &str| {
        let all = told["members"].as_array().unwrap();
        all.iter().find(|line| line["member"].as_str().unwrap().starts_with(name)).unwrap_or_else(|| panic!("{told}"))
    };
    assert_eq!(member("fixedmonthlycharge")["fate"], "mapped");
    assert_eq!(member("sourcereference")["fate"], "no_effect");
    assert_eq!((&told["rate"], &told["written"]), (&json!("rate.json"), &json!("tariff.json")));
    let written: Value = serde_json::from_str(&fs::read_to_string(folder.path().join("tariff.json")).unwrap()).unwrap();
    assert_eq!(told["tariff"], written);
    // with "-" nothing is written, and all of it is one value
    let whole = printed(folder.path(), &["import", "rate.json", "-"]);
    assert!(whole.get("written").is_none());
    assert_eq!((&whole["tariff"], &whole["members"]), (&told["tariff"], &told["members"]));
}

#[test]
fn schemas_are_named_in_a_list_and_others_refused() {
    let folder = folder_with(&[]);
    let list = lampledger(folder.path(), &["schema", "list"]).well().out;
    for line in list.lines() {
        let name = line.split_whitespace().next().unwrap();
        let schema = schema(name);
        assert!(jsonschema::draft202012::meta::is_valid(&schema), "{name}");
    }
    let said = lampledger(folder.path(), &["schema", "nonsense"]);
    assert_eq!((said.code, said.out.as_str()), (2, ""));
    assert!(said.err.contains("nonsense") && said.err.contains("learn-life"), "{}", said.err);
}
