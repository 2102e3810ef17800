//! `learn life` and `learn priors`: what they say, write and refuse, on the demonstration.

use serde_json::Value;

use super::{folder_with, lampledger, names};

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

fn report(folder: &std::path::Path) -> Value {
    serde_json::from_str(&std::fs::read_to_string(folder.join("out/learn-life.json")).unwrap()).unwrap()
}

#[test]
fn the_demonstration_learns_and_its_life_goes_back() {
    let folder = folder_with(&[]);
    let said = lampledger(folder.path(), &["learn", "life", "--claim", "24000", "--out", "out"]).well();
    let text = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "what burn logs say of B long-life arc",
        "12 lamps: 2 died at a known hour, 9 burning at the last look, 1 broken by accident",
        "before the log 11 600 17 000 25 000",
        "after the log 12 800 16 200 21 100",
        "WRONG: dead lamps only 8630 11 700 16 300",
        "Kaplan and Meier's product",
        "Cautions",
        "life.json goes back with --set /options/1/lamp/life=@out/life.json",
    ] {
        assert!(text.replace('\u{202f}', " ").contains(part), "{part} is not in\n{}", said.out);
    }
    assert_eq!(
        names(&folder.path().join("out")).into_iter().collect::<Vec<_>>(),
        ["learn-life.html", "learn-life.json", "life-survival.csv", "life.csv", "life.json", "life.svg"]
    );
    let run =
        lampledger(folder.path(), &["check", "--json", "--set", "/options/1/lamp/life=@out/life.json"]).well().json();
    let b50 =
        run["inputs"].as_array().unwrap().iter().find(|input| input["pointer"] == "/options/1/lamp/life/b50").unwrap();
    let after = &report(folder.path())["belief"]["after_b50_h"];
    for point in ["p10", "p50", "p90"] {
        // 1 000 draws to 7 digits, quantiles by two rules
        assert!((number(&b50[point]) / number(&after[point]) - 1.0).abs() < 2e-3, "{point}: {b50} {after}");
    }
    assert_eq!(b50["grade"], "measured");
    lampledger(
        folder.path(),
        &["rank", "--trials", "200", "--set", "/options/1/lamp/life=@out/life.json", "--out", "r"],
    )
    .well();
}

#[test]
fn a_log_and_a_lamp_are_named() {
    let log = "socket;lamp;reason;burn_h\n1;other;failed;6100,5\n2;mine;burning;9900\n3;;failed;7000\n";
    let folder = folder_with(&[("a.csv", log)]);
    let words = ["learn", "life", "--log", "a.csv", "--option", "A", "--lamp", "Mine", "--out", "out", "--json"];
    let found = lampledger(folder.path(), &words).well().json();
    assert_eq!((&found["counts"]["lamps"], &found["counts"]["other_rows"]), (&2.into(), &1.into()));
    // nothing is uncertain about A: the log stands alone, and no life is written
    assert!(found["belief"].is_null() && !names(&folder.path().join("out")).contains("life.json"));
    assert!(
        found["remarks"].as_array().unwrap().iter().any(|remark| remark.as_str().unwrap().contains("`learn priors`"))
    );
}

#[test]
fn what_makes_no_sense_is_refused_in_plain_words() {
    let folder = folder_with(&[
        ("bad.csv", "socket,reason,alive_h,burn_h\n1,failed,6200,6100\n2,died,,500\n"),
        ("other.csv", "socket,lamp,reason,burn_h\n1,Z,failed,6100\n"),
        ("blank.csv", "socket,reason,burn_h\n1,,\n"),
    ]);
    let refused = |words: &[&str], code: i32, message: &str| {
        lampledger(folder.path(), &[&["learn", "life"], words].concat()).refused(code, message);
    };
    refused(
        &["--log", "bad.csv", "--option", "B"],
        1,
        "error: bad.csv: line 2, column \"alive_h\": 6200 h, and 6100 h when it was last seen; allowed: no more than `burn_h`\n\
         error: bad.csv: line 3, column \"reason\": \"died\"; allowed: failed (F), burning (B), removed (R, taken out alive) or broken (X, by accident)\n",
    );
    refused(
        &["--log", "other.csv", "--option", "B"],
        2,
        "error: no row of the log is of this lamp; it has Z (1): --lamp names the one that is meant\n",
    );
    refused(
        &["--log", "blank.csv", "--option", "B"],
        1,
        "error: blank.csv: no row that is filled in; allowed: a reason and burn hours, or days, for at least one lamp\n",
    );
    refused(
        &["--log", "other.csv", "--log", "other.csv", "--option", "B"],
        2,
        "error: --log: other.csv and other.csv hold the same rows, so that every lamp would count twice; name one of them\n",
    );
    refused(&["--log", "none.csv"], 3, "error: none.csv could not be read: there is no such file or folder\n");
    refused(
        &["--option", "C"],
        2,
        "error: C bar LED has no lamp of its own, so no life of one; its parts stand under `gear` and `components`\n",
    );
    let sharp = "/options/1/lamp/life/b50={\"normal\":{\"mean\":500,\"sd\":1}}";
    refused(
        &["--set", sharp, "--set", "/options/1/lamp/life/shape=50"],
        2,
        "error: what the log shows cannot happen under what the scenario believes of this life: widen its claim or its spread\n",
    );
    assert_eq!(names(folder.path()).iter().filter(|name| name.as_str() == "out").count(), 0);
}

#[test]
fn beliefs_to_begin_with_can_stand_in_a_scenario() {
    let folder = folder_with(&[]);
    let page = lampledger(folder.path(), &["learn", "priors"]).well().out;
    assert!(page.contains("high-pressure sodium") && page.contains("judgement"), "{page}");
    let all = lampledger(folder.path(), &["learn", "priors", "--json"]).well().json();
    assert_eq!(all["format"], "lampledger-priors/1");
    for prior in all["priors"].as_array().unwrap().iter().filter(|prior| prior["stands_in"] == "lamp.life") {
        let set = format!("/options/1/lamp/life={}", prior["written"]);
        lampledger(folder.path(), &["check", "--set", &set]).well();
    }
}
