//! `test`: what it says, writes and refuses, on the demonstration.

use serde_json::Value;

use super::{folder_with, lampledger, names};

const ASKED: [&str; 5] = ["test", "--of", "B", "--against", "A"];
const NIGHT: [&str; 2] = ["--contract", "time of use, lit by night"];

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

#[test]
fn tests_of_the_demonstration_are_weighed() {
    let folder = folder_with(&[]);
    let words =
        [&ASKED[..], &NIGHT, &["--kwh", "0.0458", "--rooms", "25", "--trials", "1500", "--out", "out"]].concat();
    let said = lampledger(folder.path(), &words).well();
    let text = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "is a life test worth it?",
        "Today's choice is A cheap arc",
        "Designs: lamps × burn hours",
        "Best for 25 rooms:",
        "When to stop:",
        "stop: choose A cheap arc",
        "The same lamps in production sockets",
        "Test bench, ultraviolet",
        "Test bench, fire",
    ] {
        assert!(text.contains(part), "{part} is not in\n{}", said.out);
    }
    assert_eq!(
        names(&folder.path().join("out")).into_iter().collect::<Vec<_>>(),
        ["test-stop.csv", "test-stop.svg", "test-surface.svg", "test.csv", "test.html", "test.json"]
    );
    let text = std::fs::read_to_string(folder.path().join("out/test.json")).unwrap();
    let report: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(report["format"], "lampledger-test/1");
    assert_eq!(report["designs"].as_array().unwrap().len(), 16);
    // six lamps for 8000 h at 1.047 kW and 4.58 ct a kWh, 124 each, 150 for the bench
    let design = &report["designs"][5];
    assert_eq!((&design["lamps"], &design["hours"]), (&6.into(), &8000.0.into()));
    assert!((number(&design["cost"]) - (744.0 + 48_000.0 * 1.047 * 0.0458 + 150.0)).abs() < 1e-6, "{design}");
    let best = &report["designs"][report["best"].as_u64().unwrap() as usize];
    for design in report["designs"].as_array().unwrap() {
        assert!(number(&design["net"]["value"]) <= number(&best["net"]["value"]), "{design}");
        assert!(number(&design["worth"]["value"]) <= number(&report["known"]["value"]), "{design}");
    }
}

#[test]
fn a_test_that_tells_nothing_is_called_so() {
    let folder = folder_with(&[]);
    let words = [&ASKED[..], &["--lamps", "4", "--hours", "4000", "--trials", "1000"]].concat();
    let said = lampledger(folder.path(), &words).well().out.split_whitespace().collect::<Vec<_>>().join(" ");
    let idle = "Worth nothing, because nothing you could see would change your choice: A cheap arc.";
    assert!(said.contains(idle) && !said.contains("When to stop"), "{said}");
}

#[test]
fn the_same_tests_come_out_on_any_number_of_threads() {
    let folder = folder_with(&[]);
    let out = |threads: &str| {
        let words = [&ASKED[..], &NIGHT, &["--trials", "300", "--json", "--threads", threads, "--out", "out"]].concat();
        lampledger(folder.path(), &words).well().out
    };
    assert_eq!(out("1"), out("3"));
}

#[test]
fn what_makes_no_sense_is_refused_in_plain_words() {
    let folder = folder_with(&[]);
    let refused = |words: &[&str], message: &str| {
        lampledger(folder.path(), &[&["test"], words].concat()).refused(2, &format!("error: {message}\n"));
    };
    refused(&["--of", "A", "--against", "A"], "A cheap arc cannot be tested against itself: name two options");
    refused(&["--of", "C", "--against", "A"], "C bar LED has no lamp with a life of its own that could be tested");
    refused(
        &["--of", "A", "--against", "B"],
        "nothing is uncertain about the life of A cheap arc, so there is nothing to test",
    );
    refused(&["--of", "B", "--against", "C", "--in-sockets"], "--in-sockets: C bar LED has no sockets for lamps");
    refused(
        &["--of", "B", "--against", "A", "--look-every", "10"],
        "--look-every 10: a test of 8000 h would have 800 looks; at most 500 are allowed",
    );
    refused(
        &["--of", "B", "--against", "A", "--in-sockets", "--lamps", "25"],
        "--lamps 25: there are 24 sockets in which lamps can hang",
    );
    refused(
        &["--of", "Z", "--against", "A"],
        "--of \"Z\": one of A cheap arc, B long-life arc, C bar LED, D panel LED; the first word will do",
    );
    for (words, said) in [
        (["--lamps", "201"], "201 is not in 1..=200"),
        (["--hours", "NaN"], "10 to 200000 burn hours are allowed"),
        (["--hours", "1e308"], "10 to 200000 burn hours are allowed"),
        (["--kwh", "-1"], "an amount from 0 to 1e9 in the scenario's currency is allowed"),
    ] {
        let [argument, value] = words;
        let found = lampledger(folder.path(), &[&ASKED[..], &[&format!("{argument}={value}")]].concat());
        assert!(found.code == 2 && found.err.contains(said), "{}", found.err);
    }
}
