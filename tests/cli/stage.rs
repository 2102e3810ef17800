//! `stage`: what it says, writes and refuses, on the demonstration.

use serde_json::Value;

use super::{folder_with, lampledger, names};

const ASKED: [&str; 8] = ["stage", "--now", "A", "--later", "B", "--after", "2", "--keep-fixtures"];

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

#[test]
fn the_demonstration_is_staged() {
    let folder = folder_with(&[]);
    let words = [&ASKED[..], &["--trials", "600", "--watch", "2", "--out", "out"]].concat();
    let said = lampledger(folder.path(), &words).well();
    for part in [
        "buy now, decide later",
        "Ways of doing it",
        "What 2 watched lamps say at the change",
        "must come from the lots that would be bought later",
        "not cost what `run` says",
        "Cautions",
    ] {
        let text = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(part), "{part} is not in\n{}", said.out);
    }
    assert_eq!(
        names(&folder.path().join("out")).into_iter().collect::<Vec<_>>(),
        ["stage.csv", "stage.html", "stage.json", "stage.svg"]
    );
    let text = std::fs::read_to_string(folder.path().join("out/stage.json")).unwrap();
    let report: Value = serde_json::from_str(&text).unwrap();
    assert_eq!((&report["format"], &report["change"]), (&"lampledger-stage/1".into(), &"2033-03-01".into()));
    let best = &report["policies"][report["best"].as_u64().unwrap() as usize];
    for policy in report["policies"].as_array().unwrap().iter().filter(|policy| policy["kind"] != "known") {
        assert!(number(&policy["cost"]["value"]) >= number(&best["cost"]["value"]), "{policy}");
    }
}

#[test]
fn the_same_stages_come_out_on_any_number_of_threads() {
    let folder = folder_with(&[]);
    let out = |threads: &str| {
        let words = [&ASKED[..], &["--trials", "300", "--json", "--threads", threads, "--out", "out"]].concat();
        lampledger(folder.path(), &words).well().out
    };
    assert_eq!(out("1"), out("3"));
}

#[test]
fn what_makes_no_sense_is_refused_in_plain_words() {
    let folder = folder_with(&[]);
    let refused = |words: &[&str], message: &str| {
        lampledger(folder.path(), &[&["stage"], words].concat()).refused(2, &format!("error: {message}\n"));
    };
    refused(&["--now", "A", "--later", "A", "--after", "2"], "A cheap arc cannot follow itself: name two options");
    refused(
        &["--now", "A", "--later", "B", "--after", "5"],
        "--after 5: the change must lie within the horizon of 5 years, 1 to 4",
    );
    refused(
        &["--now", "A", "--later", "B", "--after", "2", "--watch", "25"],
        "--watch 25: there are 24 sockets in which lamps can be watched",
    );
    refused(
        &["--now", "B", "--later", "A", "--after", "2", "--keep-fixtures"],
        "--keep-fixtures: A cheap arc lights 24 × 1 sockets, B long-life arc 23 × 1; its lamps do not fit what hangs then",
    );
    refused(
        &["--now", "A", "--later", "C", "--after", "2"],
        "C bar LED has no lamps that are renewed at the change: its fixtures would have to grow old over both stages, \
         which `stage` does not follow; compare it with `run`",
    );
    refused(
        &["--now", "Z", "--later", "B", "--after", "2"],
        "--now \"Z\": one of A cheap arc, B long-life arc, C bar LED, D panel LED; the first word will do",
    );
    let market = r#"/contracts/0/price_path={"market":{"yearly_steps":{"drift":0,"volatility":0.1}}}"#;
    refused(
        &["--now", "A", "--later", "B", "--after", "2", "--set", market],
        "contract flat contract: its price_path follows a market, which would begin anew at the change; `stage` follows a \
         price_change and levels year by year",
    );
}
