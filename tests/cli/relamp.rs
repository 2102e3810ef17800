//! `relamp`: what it says, writes and refuses, on the demonstration and on the old bay.

use std::path::Path;

use serde_json::Value;

use super::{folder_with, lampledger, names};

fn old_bay() -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/tidefall/old-bay.json").to_string_lossy().into_owned()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

#[test]
fn the_demonstration_is_searched_and_cross_checked() {
    let folder = folder_with(&[]);
    let words = ["relamp", "--option", "A", "--exact", "--trials", "256", "--crew-day", "tue", "--out", "out"];
    let said = lampledger(folder.path(), &words).well();
    for part in ["when to relamp", "As written", "Cross-check without random numbers", "the next Tuesday", "Cautions"] {
        assert!(said.out.contains(part), "{part} is not in\n{}", said.out);
    }
    assert_eq!(
        names(&folder.path().join("out")).into_iter().collect::<Vec<_>>(),
        [
            "relamp-1-a-cheap-arc-calendar.svg",
            "relamp-1-a-cheap-arc-curves.svg",
            "relamp-curve.csv",
            "relamp-months.csv",
            "relamp.html",
            "relamp.json"
        ]
    );
    let text = std::fs::read_to_string(folder.path().join("out/relamp.json")).unwrap();
    let report: Value = serde_json::from_str(&text).unwrap();
    let option = &report["options"][0];
    let lines = option["exact"]["lines"].as_array().unwrap();
    assert_eq!(lines.len(), 4);
    assert!(lines.iter().all(|line| line["agrees"] == true), "{lines:?}");
    // all on the same luck: nothing is dearer than what the search says is best
    let lowest = number(&option["policies"][option["best_policy"].as_u64().unwrap() as usize]["lowest"]["value"]);
    for policy in option["policies"].as_array().unwrap() {
        assert!(policy["levelized"].as_array().unwrap().iter().all(|cost| number(&cost["value"]) >= lowest));
    }
    // three visits as the crew has the habit, on the days that its burn hours make
    let dates: Vec<&str> = option["visits"].as_array().unwrap().iter().map(|v| v["date"].as_str().unwrap()).collect();
    assert_eq!(dates, ["2032-10-05", "2034-05-11", "2035-12-15"]);
}

#[test]
fn the_same_search_says_the_same_on_any_number_of_threads() {
    let folder = folder_with(&[]);
    let search = |threads: &str| {
        let words = ["relamp", "--option", "B", "--trials", "64", "--json", "--threads", threads, "--out", "out"];
        lampledger(folder.path(), &words).well().out
    };
    assert_eq!(search("1"), search("3"));
}

#[test]
fn a_bay_with_everything_is_searched() {
    let folder = folder_with(&[]);
    let words = ["relamp", &old_bay(), "--trials", "32", "--json", "--exact", "--out", "out"];
    let report = lampledger(folder.path(), &words).well().json();
    let names: Vec<&str> =
        report["options"].as_array().unwrap().iter().map(|option| option["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["E halide in use", "F sodium, long claim"]);
    assert_eq!(report["left_out"][0], "G bar LED, short test has no replaceable lamp");
    let halide = &report["options"][0];
    let why = halide["exact"]["does_not_apply"].as_array().unwrap();
    assert!(why.contains(&"spares may run out".into()) && why.contains(&"dirt follows the calendar".into()), "{why:?}");
    let warranty = &report["options"][1]["warranty"];
    assert!(warranty["outside"].as_array().unwrap().is_empty() && number(&warranty["claims"]) > 0.0, "{warranty}");
}

#[test]
fn strange_names_are_refused_with_those_that_are_there() {
    let folder = folder_with(&[]);
    lampledger(folder.path(), &["relamp", "--contract", "nobody"]).refused(
        2,
        "error: --contract \"nobody\": one of \"flat contract\", \"time of use, lit by night\", \"time of use, lit by day\"\n",
    );
    lampledger(folder.path(), &["relamp", "--option", "Z"]).refused(
        2,
        "error: --option \"Z\": one of A cheap arc, B long-life arc, C bar LED, D panel LED; the first word will do\n",
    );
    assert!(names(folder.path()).is_empty());
}
