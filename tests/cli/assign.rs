//! `assign`: what it says, writes and refuses.

use std::fs;

use serde_json::Value;

use super::{folder_with, lampledger, names};
use crate::support::cells;

/// Columns of a burn log that a log sheet has.
const LOG: [&str; 12] =
    ["socket", "row", "place", "lamp", "lot", "in", "out", "reason", "from_h", "alive_h", "burn_h", "note"];

#[test]
fn the_demonstration_is_drawn() {
    let folder = folder_with(&[]);
    let said = lampledger(folder.path(), &["assign", "--out", "out", "--seed", "7"]).well();
    let text = said.out.split_whitespace().collect::<Vec<_>>().join(" ").replace('\u{202f}', " ");
    for part in [
        "Tidefall Growers, Bay 2: a trial by lot",
        "24 sockets in 4 rows of 6",
        "A = A cheap arc, 12 sockets",
        "12 × (124 − 46) = 936 USD more than A cheap arc",
        "take them from the lots that would be bought later",
        "How the sockets hang is a guess",
        "Mercury (for A cheap arc, B long-life arc)",
    ] {
        assert!(text.contains(part), "{part} is not in\n{}", said.out);
    }
    let written = names(&folder.path().join("out"));
    assert_eq!(
        written.into_iter().collect::<Vec<_>>(),
        ["assign.html", "assign.json", "assign.svg", "balance.csv", "log-sheet.csv", "log-sheet.svg"]
    );
    let read = |name: &str| fs::read_to_string(folder.path().join("out").join(name)).unwrap();
    let log = cells(&read("log-sheet.csv"));
    assert_eq!(log[0], LOG);
    assert_eq!(log.len(), 25);
    assert!(log[1..].iter().all(|row| row[5] == "2031-03-01" && row[6..].iter().all(String::is_empty)));
    assert_eq!(log[1..].iter().filter(|row| row[3] == "A cheap arc").count(), 12);
    let report: Value = serde_json::from_str(&read("assign.json")).unwrap();
    assert_eq!((&report["format"], &report["by_lot"]["worst_row"]), (&"lampledger-assign/1".into(), &0.0.into()));
    // the table and the report tell of the same plan
    for (row, socket) in log[1..].iter().zip(report["sockets"].as_array().unwrap()) {
        let lamp = &report["lamps"][socket["lamp"].as_u64().unwrap() as usize];
        assert_eq!((row[0].clone(), &row[3][..]), (socket["socket"].to_string(), lamp["name"].as_str().unwrap()));
    }
}

#[test]
fn names_are_free_without_a_scenario() {
    let folder = folder_with(&[]);
    let words = [
        "assign",
        "--lamp",
        "old",
        "--lamp",
        "new",
        "--rows",
        "3",
        "--places",
        "5",
        "--of-each",
        "6,6",
        "--out",
        "out",
    ];
    let said = lampledger(folder.path(), &[&words[..], &["--from", "2031-04"]].concat()).well();
    for part in ["A trial by lot", "O = old, 6 sockets", "· = keeps what burns there, 3 sockets", "only a scenario"] {
        let text = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(part), "{part} is not in\n{}", said.out);
    }
    let log = cells(&fs::read_to_string(folder.path().join("out/log-sheet.csv")).unwrap());
    assert_eq!((log.len(), log[1][5].as_str()), (13, "2031-04"));
}

#[test]
fn a_blind_trial_keeps_its_key_apart() {
    let folder = folder_with(&[]);
    let said = lampledger(folder.path(), &["assign", "--blind", "--out", "out"]).well();
    assert!(said.out.contains("sealed-key.csv is for someone who does not look for dead lamps"));
    let read = |name: &str| fs::read_to_string(folder.path().join("out").join(name)).unwrap();
    for file in ["log-sheet.csv", "balance.csv", "log-sheet.svg", "assign.svg"] {
        assert!(!read(file).contains("long-life"), "{file}");
    }
    let key = cells(&read("sealed-key.csv"));
    assert_eq!((key[0].join(","), key.len()), ("code,lamp,sockets".to_owned(), 3));
    assert_eq!([&key[1][0], &key[2][0]], ["P", "T"]);
    let mut lamps = vec![key[1][1].clone(), key[2][1].clone()];
    lamps.sort();
    assert_eq!(lamps, ["A cheap arc", "B long-life arc"]);
}

#[test]
fn a_log_that_may_be_filled_in_is_not_overwritten() {
    let folder = folder_with(&[]);
    let again = || lampledger(folder.path(), &["assign", "--out", "out"]);
    again().well();
    again().well();
    let path = folder.path().join("out/log-sheet.csv");
    let written = fs::read_to_string(&path).unwrap();
    let filled = format!("{written}# filled in\n");
    fs::write(&path, &filled).unwrap();
    let said = again();
    assert_eq!((said.code, said.out.as_str()), (3, ""), "{}", said.err);
    assert!(said.err.contains("log-sheet.csv could not be written: another log stands there"), "{}", said.err);
    assert_eq!(fs::read_to_string(&path).unwrap(), filled);
}

#[test]
fn what_makes_no_sense_is_refused_in_plain_words() {
    let folder = folder_with(&[]);
    let refused = |words: &[&str], message: &str| {
        lampledger(folder.path(), &[&["assign"], words].concat()).refused(2, &format!("error: {message}\n"));
    };
    refused(
        &["--lamp", "a", "--lamp", "b"],
        "--rows and --places say how many sockets there are; without a scenario nothing else does",
    );
    let room = ["--rows", "2", "--places", "4"];
    refused(&[&["--lamp", "a"], &room[..]].concat(), "--lamp: 1 kinds of lamp; a trial takes 2 to 12");
    refused(&[&["--lamp", "a", "--lamp", "a"], &room[..]].concat(), "--lamp \"a\": named twice");
    refused(
        &[&["--lamp", "a", "--lamp", "b", "--of-each", "5,5"], &room[..]].concat(),
        "--of-each: 10 lamps; there are 8 sockets",
    );
    refused(
        &[&["--lamp", "a", "--lamp", "b", "--from", "1.3.31"], &room[..]].concat(),
        "--from: \"1.3.31\", which is no day; allowed: YYYY-MM-DD or YYYY-MM",
    );
    refused(
        &["--lamp", "a", "--lamp", "b", "--rows", "100", "--places", "100"],
        "10000 sockets in rows of 100: lots are drawn for at most 1000 sockets in at most 100 rows of at most 100 places",
    );
    let set = ["--set", "/title=\"other\""];
    refused(
        &[&set[..], &["--lamp", "A", "--lamp", "C"]].concat(),
        "--lamp \"C bar LED\": this option has no lamp of its own that could be put into a socket",
    );
}
