//! What `run` writes, what it says, and that the same run gives the same bytes.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use serde_json::json;

use super::{folder_with, lampledger, names, result, starter, tidefall};

/// The tables, the page and the result that every run writes.
const TABLES: [&str; 9] = [
    "causes.csv",
    "inputs.csv",
    "prices.csv",
    "races.csv",
    "result.html",
    "result.json",
    "summary.csv",
    "trials.csv",
    "years.csv",
];

/// The files that a run of the demonstration promises.
fn promised() -> BTreeSet<String> {
    let mut files: BTreeSet<String> = TABLES.map(str::to_owned).into();
    for option in ["1-a-cheap-arc", "2-b-long-life-arc", "3-c-bar-led", "4-d-panel-led"] {
        for chart in ["density", "cumulative", "causes", "light", "lamps"] {
            files.insert(format!("option-{option}-{chart}.svg"));
        }
    }
    for contract in ["1-flat-contract", "2-time-of-use-lit-by-night", "3-time-of-use-lit-by-day"] {
        for chart in ["densities", "cumulatives"] {
            files.insert(format!("all-contract-{contract}-{chart}.svg"));
        }
    }
    files.extend(["canopy", "causes", "light", "ranking"].map(|chart| format!("all-{chart}.svg")));
    files
}

/// Every file of a folder with its bytes.
fn bytes(folder: &Path) -> Vec<(String, Vec<u8>)> {
    names(folder).into_iter().map(|name| (name.clone(), fs::read(folder.join(name)).unwrap())).collect()
}

#[test]
fn a_run_writes_every_promised_file_and_nothing_else() {
    let folder = tidefall();
    let before = names(folder.path());
    let said = lampledger(folder.path(), &["run", "bay-2.json", "--out", "out", "--trials", "40"]).well();
    assert_eq!(names(&folder.path().join("out")), promised());
    let last = said.out.lines().last().unwrap();
    assert_eq!(last, "39 files are in out/; to look at: result.html");
    let mut after = names(folder.path());
    assert!(after.remove("out"));
    assert_eq!(after, before);
    for (name, bytes) in bytes(&folder.path().join("out")) {
        assert!(!bytes.is_empty(), "{name} is empty");
    }
}

#[test]
fn results_land_in_a_folder_of_the_scenarios_name_unless_told_otherwise() {
    let folder = starter();
    let said = lampledger(folder.path(), &["run", "room.json", "--trials", "20"]).well();
    assert!(said.out.contains("\n24 files are in out/room/; "), "{}", said.out);
    assert_eq!(names(&folder.path().join("out/room")).len(), 24);
    let said = lampledger(folder.path(), &["run", "--trials", "20"]).well();
    assert!(said.out.contains("\n39 files are in out/demo/; "), "{}", said.out);
    assert_eq!(names(&folder.path().join("out")).into_iter().collect::<Vec<_>>(), ["demo", "room"]);
}

#[test]
fn what_an_older_run_left_in_the_folder_is_pointed_out() {
    let folder = starter();
    let words = ["run", "room.json", "--out", "out", "--trials", "20"];
    lampledger(folder.path(), &words).well();
    let said = lampledger(folder.path(), &[&words[..], &["--draws", "0", "--set", "/options/1/name=bar"]].concat());
    // five charts of the option's old name, and the trials that are not those of this run
    let note = "note: files in out/ that are not part of this result: 6, such as \
                option-2-fixture-without-lamp-causes.svg\n";
    assert_eq!((said.code, said.err.as_str()), (0, note));
}

#[test]
fn the_built_in_demonstration_runs_without_any_file() {
    let folder = super::folder_with(&[]);
    let said = lampledger(folder.path(), &["run", "--trials", "40", "--out", "out"]).well();
    let other = tidefall();
    let from_file = lampledger(other.path(), &["run", "bay-2.json", "--out", "out", "--trials", "40"]).well();
    assert_eq!(said.out, from_file.out);
    assert_eq!(bytes(&folder.path().join("out")), bytes(&other.path().join("out")));
}

#[test]
fn the_out_folder_is_made_and_old_results_in_it_are_replaced() {
    let folder = starter();
    let words = ["run", "room.json", "--trials", "20", "--out", "deep/er"];
    let said = lampledger(folder.path(), &words).well();
    assert!(said.out.ends_with("\n24 files are in deep/er/; to look at: result.html\n"));
    let first = result(&folder.path().join("deep/er"));
    fs::write(folder.path().join("deep/er/mine.txt"), "mine").unwrap();
    let said = lampledger(folder.path(), &[&words[..], &["--seed", "2"]].concat());
    assert_eq!(said.code, 0);
    assert_eq!(said.err, "note: files in deep/er/ that are not part of this result: 1, such as mine.txt\n");
    let second = result(&folder.path().join("deep/er"));
    assert_eq!((&first["method"]["seed"], &second["method"]["seed"]), (&json!(1), &json!(2)));
    assert_ne!(first["method"]["trial_digest"], second["method"]["trial_digest"]);
    assert_eq!(fs::read_to_string(folder.path().join("deep/er/mine.txt")).unwrap(), "mine");
    assert_eq!(names(&folder.path().join("deep/er")).len(), 25);
}

#[test]
fn trials_csv_holds_the_first_draws_or_is_not_there() {
    let folder = starter();
    let out = folder.path().join("out");
    let rows = |draws: &str| {
        drop(fs::remove_dir_all(&out));
        lampledger(folder.path(), &["run", "room.json", "--out", "out", "--trials", "30", "--draws", draws]).well();
        fs::read_to_string(out.join("trials.csv")).map(|text| crate::support::cells(&text)).unwrap_or_default()
    };
    assert!(rows("0").is_empty());
    assert!(!out.join("trials.csv").exists());
    assert_eq!(names(&out).len(), 23);
    // two options under one contract
    let five = rows("5");
    assert_eq!(five.len(), 1 + 5 * 2);
    assert_eq!((five[1][0].as_str(), five[10][0].as_str()), ("0", "4"));
    let all = rows("2000");
    assert_eq!(all.len(), 1 + 30 * 2);
    assert_eq!(all[..11], five);
}

#[test]
fn the_same_seed_gives_the_same_bytes_of_every_file_on_any_number_of_threads() {
    let folder = tidefall();
    let run = |out: &str, words: &[&str]| {
        // 200 trials are four batches, so that two threads have something to share
        let all = [&["run", "bay-2.json", "--trials", "200", "--out", out], words].concat();
        let said = lampledger(folder.path(), &all).well();
        (said.out.replace(&format!(" {out}/"), " out/"), bytes(&folder.path().join(out)))
    };
    let one = run("one", &["--seed", "7", "--threads", "1"]);
    assert_eq!(one, run("again", &["--seed", "7", "--threads", "1"]));
    assert_eq!(one, run("two", &["--seed", "7", "--threads", "2"]));
    assert_eq!(one, run("all", &["--seed", "7"]));
    let other = run("other", &["--seed", "8", "--threads", "1"]);
    assert_ne!(one.0, other.0);
    let differ = |name: &str| {
        let of = |files: &[(String, Vec<u8>)]| files.iter().find(|(known, _)| known == name).unwrap().1.clone();
        of(&one.1) != of(&other.1)
    };
    assert!(differ("trials.csv") && differ("summary.csv") && !differ("inputs.csv"));
}

#[test]
fn the_built_in_seed_and_the_seed_0_are_seeds_like_any_other() {
    let folder = starter();
    let digest = |words: &[&str]| {
        let all = [&["run", "room.json", "--out", "out", "--trials", "20", "--json"], words].concat();
        lampledger(folder.path(), &all).well().json()["method"]["trial_digest"].clone()
    };
    assert_eq!(digest(&[]), digest(&["--seed", "1"]));
    assert_ne!(digest(&["--seed", "0"]), digest(&["--seed", "1"]));
    assert_ne!(digest(&["--seed", "0"]), digest(&["--seed", "18446744073709551615"]));
}

#[test]
fn the_whole_result_is_printed_as_it_is_stored() {
    let folder = starter();
    let said = lampledger(folder.path(), &["run", "room.json", "--out", "out", "--trials", "20", "--json"]).well();
    assert_eq!(said.out, fs::read_to_string(folder.path().join("out/result.json")).unwrap());
    let result = said.json();
    assert_eq!(result["format"], "lampledger-result/1");
    assert_eq!(result["method"]["trials"], 20);
    assert_eq!(result["method"]["ended"], "trials");
    assert_eq!(result["method"]["what_ifs"], json!([]));
    assert_eq!(result["title"], "My room");
}

#[test]
fn a_run_ends_early_when_the_means_are_precise_enough() {
    let folder = starter();
    let run = |words: &[&str]| {
        let all = [&["run", "room.json", "--out", "out", "--trials", "4200"], words].concat();
        let said = lampledger(folder.path(), &all).well();
        let method = result(&folder.path().join("out"))["method"].clone();
        (method["trials"].as_u64().unwrap(), method["ended"].clone(), said.out)
    };
    let (trials, ended, out) = run(&["--precision", "10%"]);
    assert_eq!((trials, ended), (4096, json!("precision")));
    assert!(out.contains("\nRun     4096 trials (target precision reached), seed 1;"), "{out}");
    // every standard error is within the share that was asked for
    for option in result(&folder.path().join("out"))["options"].as_array().unwrap() {
        let mean = &option["costs"][0]["levelized"]["mean"];
        assert!(mean["se"].as_f64().unwrap() <= 0.1 * mean["value"].as_f64().unwrap());
    }
    assert_eq!(run(&["--precision", "0.1"]).0, 4096);
    let (trials, ended, out) = run(&["--precision", "0.000001%"]);
    assert_eq!((trials, ended), (4200, json!("trials")));
    assert!(out.contains("\nThe precision of 0.000001 % was not reached; --trials is the limit\n"), "{out}");
}

#[test]
fn no_answer_replaces_what_it_was_made_from() {
    let table = "what,unit,p10,p50,p90,happened\nlamps,1,3,5,8,6\n";
    let folder = folder_with(&[("score.csv", table)]);
    lampledger(folder.path(), &["score", "score.csv", "--out", "."]).refused(
        3,
        "error: ./score.csv could not be written: it was read for this answer and would be lost; name another folder with \
         --out\n",
    );
    assert_eq!(std::fs::read_to_string(folder.path().join("score.csv")).unwrap(), table);
    assert_eq!(names(folder.path()).len(), 1);
}
