//! `check` of a scenario without faults: what it rests on, and what its owner should mind.

use serde_json::Value;

use super::{Said, lampledger, starter, tidefall};
use crate::support;

/// The text with its line breaks taken out.
fn flowing(said: &Said) -> String {
    said.out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// How many figures of the starter are of a grade.
fn graded(grade: &str) -> usize {
    fn count(value: &Value, grade: &str) -> usize {
        let inside: usize = match value {
            Value::Array(items) => items.iter().map(|item| count(item, grade)).sum(),
            Value::Object(members) => members.values().map(|member| count(member, grade)).sum(),
            _ => 0,
        };
        inside + usize::from(value.get("grade").is_some_and(|known| known == grade))
    }
    count(&support::starter(), grade)
}

/// What the starter leaves for the program to assume: the LED option's burn hours, spill and start of fading.
const ASSUMED: usize = 3;

#[test]
fn the_demonstration_is_what_the_built_in_one_is() {
    let folder = tidefall();
    let built_in = lampledger(folder.path(), &["check"]).well().out;
    assert_eq!(lampledger(folder.path(), &["check", "bay-2.json"]).well().out, built_in);
    assert!(built_in.starts_with("Tidefall Growers, Bay 2: no faults\n"), "{built_in}");
}

#[test]
fn guesses_and_assumed_values_are_listed_one_by_one() {
    let folder = starter();
    let said = lampledger(folder.path(), &["check", "room.json"]).well();
    let text = flowing(&said);
    let grades = ["measured", "invoice", "datasheet", "guess"].map(graded);
    let [measured, invoice, datasheet, guess] = grades;
    let all = grades.iter().sum::<usize>() + ASSUMED;
    assert!(grades.iter().all(|count| *count > 0));
    let counted = format!(
        "{all} inputs: {measured} measured, {invoice} from invoices, {datasheet} from datasheets, {guess} guessed, \
         {ASSUMED} assumed by the program"
    );
    assert!(text.contains(&counted), "{text}");
    let (_, after) = said.out.split_once("\nGuesses\n").unwrap();
    let (guesses, after) = after.split_once("\nAssumed, because the scenario does not say\n").unwrap();
    let (assumed, _) = after.split_once("\nCautions\n").unwrap();
    assert_eq!(guesses.lines().filter(|line| line.starts_with("- ")).count(), guess);
    assert_eq!(assumed.lines().filter(|line| line.starts_with("- ")).count(), ASSUMED);
    for sentence in [
        "- options[\"replaceable lamp\"].lamp.life.b50 = 14 000 h (80 % of draws: 10 000–20 000); half of the lamps are \
         dead by then; between 10 000 and 20 000, likely 14 000 -",
        "- money.discount_rate = 0.06 1/yr; what the money would earn elsewhere, beyond inflation -",
        "- options[\"fixture without lamp\"].light.spill = 1; no light from neighbouring fixtures is credited -",
        "- options[\"fixture without lamp\"].maintenance.exponential.start = 1; fading starts from the initial photon \
         flux Cautions",
    ] {
        let spaced = text.replace('\u{202f}', " ");
        assert!(spaced.contains(sentence), "{sentence}\n{spaced}");
    }
}

#[test]
fn a_number_without_a_grade_counts_as_a_guess() {
    let folder = starter();
    let before = lampledger(folder.path(), &["check", "room.json"]).well();
    assert!(!before.out.contains("- cooling.cop"));
    let words = ["check", "room.json", "--set", "/cooling={\"cop\": 3}"];
    let said = lampledger(folder.path(), &words).well();
    assert!(flowing(&said).contains("- cooling.cop = 3; no grade was given -"), "{}", said.out);
    // the figure without a grade takes the place of one from a datasheet and of a guess that now is assumed
    let counted = format!("{} guessed, {} assumed by the program", graded("guess"), ASSUMED + 1);
    assert!(flowing(&said).contains(&counted), "{}", said.out);
}

#[test]
fn cautions_follow_the_kinds_of_lamps() {
    let folder = starter();
    let heads = |words: &[&str]| -> Vec<String> {
        let said = lampledger(folder.path(), &[&["check", "room.json"], words].concat()).well();
        let (_, cautions) = said.out.split_once("\nCautions\n").unwrap();
        let sentences = cautions.lines().take_while(|line| !line.is_empty()).filter_map(|line| line.strip_prefix("- "));
        sentences.map(|line| line.split([':', ' ']).next().unwrap().to_owned()).collect()
    };
    let sodium = ["Cracked", "Eyes", "Mercury", "Work", "Electrical"];
    assert_eq!(heads(&[]), sodium);
    let halide = ["Cracked", "Jacket", "Eyes", "Rupture", "Mercury", "Work", "Electrical"];
    assert_eq!(heads(&["--set", "/options/0/technology=metal_halide"]), halide);
    assert_eq!(heads(&["--set", "/options/0/technology=ceramic_metal_halide"]), halide);
    let fluorescent = ["Eyes", "Mercury", "Work", "Electrical"];
    assert_eq!(heads(&["--set", "/options/0/technology=fluorescent"]), fluorescent);
    assert_eq!(heads(&["--set", "/options/0/technology=led"]), ["Eyes", "Work", "Electrical"]);
    let to_failure =
        ["--set", "/options/0/technology=metal_halide", "--set", "/options/0/upkeep/relamp={\"on_failure\": {}}"];
    let aged = ["Cracked", "Jacket", "Eyes", "Rupture", "Past", "Run", "Mercury", "Work", "Electrical"];
    assert_eq!(heads(&to_failure), aged);
    let said = lampledger(folder.path(), &["check", "room.json", "--set", "/options/0/technology=metal_halide"]).well();
    for sentence in [
        "Cracked glass (for replaceable lamp): switch off and replace an arc lamp whose outer glass is cracked or missing",
        "a metal-halide arc tube can burst and throw fragments of about 1000 °C",
        "keep old discharge lamps whole, in closed containers",
        "Work at height and on circuits: switch off, lock and tag, prove dead",
        "lights that are on for 3 hours or more are a continuous load",
    ] {
        assert!(flowing(&said).contains(sentence), "{sentence}");
    }
}

#[test]
fn a_run_says_the_cautions_too() {
    let folder = starter();
    let checked = lampledger(folder.path(), &["check", "room.json"]).well().out;
    let (_, cautions) = checked.split_once("\nCautions\n").unwrap();
    let ran = lampledger(folder.path(), &["run", "room.json", "--out", "out", "--trials", "10"]).well().out;
    assert!(ran.contains(cautions), "{ran}");
}

#[test]
fn what_a_scenario_rests_on_comes_as_json_for_other_programs() {
    let folder = starter();
    let told = lampledger(folder.path(), &["check", "room.json", "--json"]).well().json();
    assert_eq!(told["format"], "lampledger-check/1");
    assert_eq!(told["faults"], Value::Array(vec![]));
    let inputs = told["inputs"].as_array().unwrap();
    assert_eq!(inputs.len(), ["measured", "invoice", "datasheet", "guess"].map(graded).iter().sum::<usize>() + ASSUMED);
    let b50 = inputs.iter().find(|input| input["place"] == "options[\"replaceable lamp\"].lamp.life.b50").unwrap();
    assert_eq!((&b50["unit"], &b50["grade"], &b50["stated"]), (&"h".into(), &"guess".into(), &true.into()));
    for (point, expected) in [("p10", 10_000.0), ("p50", 14_000.0), ("p90", 20_000.0)] {
        // the distribution is found by a search that stops when it is this close
        let found = b50[point].as_f64().unwrap();
        assert!((found / expected - 1.0).abs() < 1e-6, "{point}: {found}");
    }
    assert_eq!(told["cautions"].as_array().unwrap().len(), 5);
    // the digest is of the meaning: blanks do not count, numbers do
    let digest = told["input_digest"].as_str().unwrap();
    assert!(digest.len() == 64 && digest.bytes().all(|byte| byte.is_ascii_hexdigit()), "{digest}");
    let digest_with =
        |set: &str| lampledger(folder.path(), &["check", "room.json", "--json", "--set", set]).well().json();
    assert_eq!(digest_with("/horizon_years=5.0")["input_digest"], digest);
    assert_ne!(digest_with("/horizon_years=6")["input_digest"], digest);
}
