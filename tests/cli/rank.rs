//! `rank`: what it says, writes and refuses, on the demonstration.

use serde_json::Value;

use super::{folder_with, lampledger, names};
use crate::support::cells;

#[test]
fn the_demonstration_is_ranked_with_tables_and_pictures() {
    let folder = folder_with(&[]);
    let words = [
        "rank",
        "--trials",
        "256",
        "--material",
        "0.05",
        "--rooms",
        "3",
        "--future",
        "dear power: electricity=2",
        "--out",
        "out",
    ];
    let said = lampledger(folder.path(), &words).well();
    let parts = [
        "the options ranked",
        "by more than 0.05 ct/mol",
        "Pair by pair",
        "Whoever chooses",
        "Rooms at equal light",
        "safest pick",
        "in any of the 6 futures",
        "Cautions",
    ];
    let joined = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in parts {
        assert!(joined.contains(part), "{part} is not in\n{}", said.out);
    }
    assert_eq!(
        names(&folder.path().join("out")).into_iter().collect::<Vec<_>>(),
        [
            "rank-ladder.svg",
            "rank-pairs.csv",
            "rank-regret.csv",
            "rank-regret.svg",
            "rank-service.csv",
            "rank.csv",
            "rank.html",
            "rank.json"
        ]
    );
    let rows = |file: &str| cells(&std::fs::read_to_string(folder.path().join("out").join(file)).unwrap());
    // options × contracts, pairs × contracts, options × contracts × futures
    for (file, count) in [("rank.csv", 12), ("rank-pairs.csv", 18), ("rank-regret.csv", 24), ("rank-service.csv", 12)] {
        assert_eq!(rows(file).len(), 1 + count, "{file}");
    }
    let text = std::fs::read_to_string(folder.path().join("out/rank.json")).unwrap();
    let report: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(report["format"], "lampledger-rank/1");
    assert_eq!((&report["rooms"], &report["trials"]), (&Value::from(3), &Value::from(256)));
}

#[test]
fn the_same_ranking_on_any_number_of_threads_and_under_one_contract() {
    let folder = folder_with(&[]);
    let ranking = |threads: &str| {
        let words =
            ["rank", "--contract", "flat contract", "--trials", "64", "--json", "--threads", threads, "--out", "out"];
        lampledger(folder.path(), &words).well()
    };
    let one = ranking("1");
    assert_eq!(one.json()["contracts"].as_array().unwrap().len(), 1);
    assert_eq!(one.out, ranking("3").out);
}

#[test]
fn wrong_use_is_named() {
    let folder = folder_with(&[]);
    for (words, told) in [
        (["--future", "no colon"], "a name and what moves"),
        (["--future", "x: electricity=lots"], "a name and what moves"),
        (["--future", "x: nothing.there=1"], "the future \"x\": no input is called \"nothing.there\""),
        (["--future", ": electricity=1"], "a future without a name"),
        (["--material", "-1%"], "a share from 0% to less than 100%"),
        (["--material", "100%"], "a share from 0% to less than 100%"),
        (["--material", "nan"], "a share from 0% to less than 100%"),
        (["--contract", "none"], "--contract \"none\": one of"),
        (["--rooms", "0"], "0 is not in"),
        (["--trials", "2"], "2 is not in"),
    ] {
        let joined = format!("{}={}", words[0], words[1]);
        let said = lampledger(folder.path(), &["rank", &joined, "--out", "out"]);
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{words:?}: {}", said.err);
        assert!(said.err.contains(told), "{words:?}: {}", said.err);
    }
    assert!(names(folder.path()).is_empty(), "{:?}", names(folder.path()));
}
