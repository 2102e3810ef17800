//! Stored answers drawn again: what comes out, what is said of older ones, and what is refused.

use std::fs;
use std::path::Path;

use super::{folder_with, lampledger, names};

/// A run of a plain load as version 0.1.0 stored it, byte for byte.
const OLD: &str = include_str!("old/result-0.1.0.json");

#[test]
fn a_run_is_drawn_again_byte_for_byte_and_nothing_is_simulated() {
    let folder = folder_with(&[]);
    let said = lampledger(folder.path(), &["run", "--trials", "40", "--draws", "0", "--out", "first"]).well();
    let again = lampledger(folder.path(), &["report", "first/result.json", "--out", "second"]).well();
    let (first, second) = (folder.path().join("first"), folder.path().join("second"));
    assert_eq!(names(&first), names(&second));
    for name in names(&first) {
        assert_eq!(fs::read(first.join(&name)).unwrap(), fs::read(second.join(&name)).unwrap(), "{name}");
    }
    // all but the line that names the folder
    let page = |text: &str| text.rsplit_once("\n\n").unwrap().0.to_owned();
    assert_eq!(page(&said.out), page(&again.out));
}

#[test]
fn every_kind_of_answer_is_drawn_again_byte_for_byte() {
    let folder = folder_with(&[]);
    let commands: [(&str, &[&str]); 6] = [
        ("rank", &["rank", "--trials", "40"]),
        ("bill", &["bill"]),
        ("cash", &["cash", "--trials", "20"]),
        ("canopy", &["canopy"]),
        ("workbook", &["workbook", "--trials", "64"]),
        ("fading", &["learn", "fading", "--draws", "100"]),
    ];
    for (stem, words) in commands {
        let first = format!("{stem}-1");
        let second = format!("{stem}-2");
        lampledger(folder.path(), &[words, &["--out", &first]].concat()).well();
        lampledger(folder.path(), &["report", &format!("{first}/{stem}.json"), "--out", &second]).well();
        let there = names(&folder.path().join(&second));
        assert!(there.len() > 2 && there.contains(&format!("{stem}.html")), "{there:?}");
        for name in there {
            let [one, two] = [&first, &second].map(|at| fs::read(folder.path().join(at).join(&name)).unwrap());
            assert!(one == two, "{stem}: {name} differs");
        }
    }
}

#[test]
fn an_older_answer_says_what_has_changed() {
    let folder = folder_with(&[("old.json", OLD)]);
    let said = lampledger(folder.path(), &["report", "old.json"]);
    assert_eq!(said.code, 0);
    assert!(said.err.starts_with("note: old.json, written by 0.1.0: since 0.2.0 answers"), "{}", said.err);
    let page = fs::read_to_string(folder.path().join("old-drawn-again/result.html")).unwrap();
    assert!(page.contains("drawn from an answer of version 0.1.0"), "{page}");
    // the numbers are those that were stored
    let stored: serde_json::Value = serde_json::from_str(OLD).unwrap();
    let mean = stored["options"][0]["costs"][0]["levelized"]["mean"]["value"].as_f64().unwrap();
    let again = fs::read_to_string(folder.path().join("old-drawn-again/result.json")).unwrap();
    let again: serde_json::Value = serde_json::from_str(&again).unwrap();
    assert_eq!(again["options"][0]["costs"][0]["levelized"]["mean"]["value"].as_f64(), Some(mean));
    assert_eq!(again["program"], "0.1.0");
    let newer = OLD.replacen("\"program\": \"0.1.0\"", "\"program\": \"99.0.0\"", 1);
    fs::write(folder.path().join("newer.json"), newer).unwrap();
    let said = lampledger(folder.path(), &["report", "newer.json"]);
    assert!(said.err.contains("it is newer than this program"), "{}", said.err);
}

#[test]
fn a_folder_becomes_one_page_and_strange_inputs_are_named() {
    let folder = folder_with(&[]);
    lampledger(folder.path(), &["run", "--trials", "40", "--for", "tester", "--out", "all"]).well();
    fs::write(folder.path().join("all/maintenance.json"), "{}").unwrap();
    lampledger(folder.path(), &["report", "all", "--out", "page", "--for", "owner"]).well();
    let page = fs::read_to_string(folder.path().join("page/result.html")).unwrap();
    for heading in ["At a glance", "Which option is cheapest, and how sure is that?", "for the owner"] {
        assert!(page.contains(heading), "{heading}");
    }
    lampledger(folder.path(), &["rank", "--set", "/options/1/lamp/price=99", "--trials", "40", "--out", "other"])
        .well();
    let said = lampledger(folder.path(), &["report", "all/result.json", "other/rank.json", "--out", "mixed"]);
    assert!(said.err.contains("note: other/rank.json does not rest on the inputs of all/result.json"), "{}", said.err);
    let stored = |at: &str| fs::read_to_string(folder.path().join(at)).unwrap();
    assert_eq!(stored("mixed/rank.json"), stored("other/rank.json"), "each keeps what it rests on itself");
}

#[test]
fn what_is_no_stored_answer_is_refused_and_nothing_is_written() {
    let folder = folder_with(&[
        ("text.json", "not json"),
        ("bare.json", "{}"),
        ("later.json", "{\"format\": \"lampledger-result/9\"}"),
        ("cut.json", &OLD[..OLD.len() / 2]),
        ("null.json", &OLD.replacen("\"canopy_m2\": ", "\"canopy_m2\": null, \"x\": ", 1)),
        ("deep.json", &"[".repeat(100_000)),
    ]);
    fs::create_dir(folder.path().join("empty")).unwrap();
    let before = names(folder.path());
    for (file, told) in [
        ("text.json", "text.json: the result cannot be read"),
        ("bare.json", "bare.json: this is not a stored result"),
        ("later.json", "lampledger-result/9"),
        ("cut.json", "cut.json: the result cannot be read"),
        ("null.json", "null.json: the result cannot be read"),
        ("deep.json", "deep.json: the result cannot be read"),
        ("empty", "no stored answer was found"),
    ] {
        refused(folder.path(), &["report", file], 2, told);
    }
    refused(folder.path(), &["report", "absent.json"], 3, "absent.json");
    assert_eq!(names(folder.path()), before);
    lampledger(folder.path(), &["run", "--trials", "40", "--out", "a"]).well();
    refused(folder.path(), &["report", "a/result.json", "--out", "a"], 3, "it was read for this answer");
    refused(folder.path(), &["report", "a/result.json", "a/result.json"], 2, "answer the same question");
}

#[track_caller]
fn refused(folder: &Path, words: &[&str], code: i32, told: &str) {
    let said = lampledger(folder, words);
    assert_eq!((said.code, said.out.as_str()), (code, ""), "{words:?}: {}", said.err);
    assert!(said.err.contains(told), "{words:?}: {}", said.err);
}
