//! What-ifs: changes to a scenario without touching its file, in the order given, told in the result.

use std::fs;

use serde_json::{Value, json};

use super::{folder_with, lampledger, result, starter};

const STARTER: &str = include_str!("../../crates/cli/starter.json");

#[test]
fn what_ifs_of_both_kinds_apply_in_the_order_given_any_number_of_times() {
    let folder = folder_with(&[
        ("room.json", STARTER),
        ("b.json", r#"{"title": "B", "horizon_years": 2}"#),
        ("d.json", r#"{"title": "D", "cooling": null}"#),
    ]);
    let run = |words: &[&str]| -> Value {
        let all = [&["run", "room.json", "--out", "out", "--trials", "5", "--json"], words].concat();
        lampledger(folder.path(), &all).well().json()
    };
    let ended = run(&["--set", "/title=A", "--patch", "b.json", "--set", "/title=C", "--patch", "d.json"]);
    assert_eq!(ended["title"], "D");
    assert_eq!(ended["method"]["horizon_years"], 2);
    assert_eq!(ended["method"]["what_ifs"], json!(["set /title=A", "patch b.json", "set /title=C", "patch d.json"]));
    assert_eq!(run(&["--patch", "d.json", "--set=/title=A", "--patch=b.json"])["title"], "B");
    assert_eq!(run(&["--patch", "d.json", "--patch", "b.json", "--set", "/title=A"])["title"], "A");
    assert_eq!(run(&["--set", "/title=A", "--set", "/title=B", "--set", "/title=A"])["title"], "A");
    // before the file and after it are the same place
    let words = ["run", "--set", "/title=A", "room.json", "--trials", "5", "--patch", "b.json", "--json"];
    assert_eq!(lampledger(folder.path(), &words).well().json()["title"], "B");
    assert_eq!(fs::read_to_string(folder.path().join("room.json")).unwrap(), STARTER, "the file stays as it was");
}

#[test]
fn a_what_if_changes_the_numbers_and_the_result_says_which() {
    let folder = starter();
    let run = |out: &str, words: &[&str]| {
        let all = [&["run", "room.json", "--trials", "20", "--out", out], words].concat();
        lampledger(folder.path(), &all).well().out
    };
    let before = run("old", &[]);
    let old = result(&folder.path().join("old"));
    assert!(!before.contains("What if "), "{before}");
    let after = run("new", &["--set", "/options/0/lamp/price=140", "--set", "/options/1/name=bar"]);
    let new = result(&folder.path().join("new"));
    assert!(after.contains("\nWhat if set /options/0/lamp/price=140; set /options/1/name=bar\n"), "{after}");
    assert_ne!(new["method"]["input_digest"], old["method"]["input_digest"]);
    let mean = |result: &Value, option: usize| {
        result["options"][option]["costs"][0]["levelized"]["mean"]["value"].as_f64().unwrap()
    };
    assert!(mean(&new, 0) > mean(&old, 0), "a dearer lamp makes dearer light");
    assert_eq!(mean(&new, 1), mean(&old, 1), "another name costs nothing");
    assert_eq!(new["options"][1]["name"], "bar");
    let price = |result: &Value| {
        let lines = result["inputs"].as_array().unwrap();
        lines.iter().find(|line| line["place"] == "options[\"replaceable lamp\"].lamp.price").unwrap().clone()
    };
    assert_eq!((&price(&old)["p50"], &price(&old)["grade"]), (&json!(70.0), &json!("invoice")));
    assert_eq!((&price(&new)["p50"], &price(&new)["grade"]), (&json!(140.0), &json!("guess")));
    assert_eq!(price(&new)["note"], "what-if");
}

#[test]
fn what_ifs_of_the_built_in_demonstration_need_no_file() {
    let folder = folder_with(&[("short.json", r#"{"horizon_years": 1}"#)]);
    let words = ["check", "--set", "/options/0/lamp/price=52", "--patch", "short.json", "--json"];
    let told = lampledger(folder.path(), &words).well().json();
    let lines = told["inputs"].as_array().unwrap();
    let price = lines.iter().find(|line| line["place"] == "options[\"A cheap arc\"].lamp.price").unwrap();
    assert_eq!(price["p50"], 52.0);
}

#[test]
fn a_bad_what_if_is_told_and_nothing_runs() {
    let folder = folder_with(&[("room.json", STARTER), ("bad.json", "{\"title\": }"), ("list.json", "[]")]);
    let refused = |words: &[&str], code: i32, told: &str| {
        let said = lampledger(folder.path(), &[&["run", "room.json", "--out", "out", "--trials", "5"], words].concat());
        assert_eq!((said.code, said.out.as_str()), (code, ""), "{words:?}");
        assert!(said.err.contains(told), "{words:?}: {}", said.err);
        assert!(!folder.path().join("out").exists());
    };
    refused(&["--set", "/options/0/lamp/cost=52"], 1, "options[\"replaceable lamp\"].lamp.cost: found an unknown name");
    refused(&["--set", "/options/7/fixtures=5"], 1, "found no `7` in `/options`, a list of 2");
    refused(&["--set", "title=x"], 2, "`title` is not a place: a place starts with `/`");
    refused(&["--set", "/horizon_years=two"], 1, "set by the what-if `/horizon_years=two`");
    refused(&["--patch", "bad.json"], 1, " --> bad.json:1:11\n");
    refused(&["--patch", "list.json"], 1, "an object: a JSON Merge Patch (RFC 7396)");
    refused(&["--patch", "gone.json"], 3, "error: gone.json could not be read: there is no such file or folder\n");
}

#[test]
fn a_file_can_be_put_at_a_place() {
    let folder = starter();
    let part = folder.path().join("life.json");
    fs::write(&part, r#"{"b50": 9000, "shape": 3, "rated_hours_per_start": 12}"#).unwrap();
    let words = ["run", "room.json", "--trials", "5", "--json", "--set", "/options/0/lamp/life=@life.json"];
    let said = lampledger(folder.path(), &words).well().json();
    assert_eq!(said["method"]["what_ifs"], json!(["set /options/0/lamp/life=@life.json"]));
    let life = said["inputs"].as_array().unwrap().iter().find(|input| input["pointer"] == "/options/0/lamp/life/b50");
    assert_eq!(life.unwrap()["p50"], 9000.0);
    fs::write(&part, "no JSON").unwrap();
    lampledger(folder.path(), &words)
        .refused(2, "error: --set /options/0/lamp/life=@life.json: the file holds no JSON, or nothing but a text\n");
    fs::remove_file(&part).unwrap();
    lampledger(folder.path(), &words)
        .refused(3, "error: life.json could not be read: there is no such file or folder\n");
}
