//! Hostile names: they pass through everything and do nothing.

use std::fs;

use serde_json::{Value, json};

use super::{fate, is_formula, markdown, must_refuse, must_run, plain, xml};
use crate::cli::{folder_with, lampledger, names};
use crate::support::{self, cells};

/// Names that somebody might try, each with what it is after.
fn hostile() -> Vec<String> {
    let fixed = [
        "<script>alert(1)</script>",
        "</text></svg><script>x</script>",
        "\"><img src=x onerror=alert(1)>",
        "]]>&lt;&amp;&#0;",
        "=HYPERLINK(\"http://x.example\",\"y\")",
        " =1+1",
        "+1+1",
        "-1+1",
        "@SUM(A1)",
        "\t=1+1",
        "＝1+1",
        "a\",\"b\r\nc,d",
        "one\ntwo",
        "\u{202e}gnp.exe",
        "\u{2066}turned\u{2069}",
        "zero\u{200b}width",
        "\u{1b}[31mred\u{1b}[0m",
        "\u{1b}]0;title\u{7}",
        "\u{9b}2J",
        "nul\u{0}byte",
        "\u{fffe}",
        "../../../etc/passwd",
        "..\\..\\boot.ini",
        "CON",
        "💡🔌👩‍🌾",
        "Лампа 灯 مصباح",
        "Z\u{301}\u{302}\u{303}\u{304}\u{305}\u{306}\u{307}",
        "{name}",
        "%s%n%d",
        "${HOME}`id`$(id)",
        "| a | b |",
        "](http://x.example)",
        "[a](http://x.example)",
        "![a](http://x.example/a.png)",
        "<http://x.example>",
        "http://x.example www.x.example a@x.example",
        "# a title",
        "```\n~~~",
        "- [ ] a box",
        "1. one",
        "| --- |",
        "***",
        "$x^2$",
        "a[^1]\n\n[^1]: b",
        "\\",
    ];
    let mut all: Vec<String> = fixed.map(str::to_owned).into();
    all.extend(["x".repeat(500), "💡".repeat(500), "w ".repeat(250), "<".repeat(500)]);
    all
}

/// Names for a folder that say something to a terminal or a shell.
pub fn hostile_folder() -> [String; 4] {
    ["\u{1b}[31mred", "two\nlines", "-dash", "$(id) \u{202e}x"].map(str::to_owned)
}

/// The starter with a text wherever a name or a note stands.
fn named(text: &str) -> Value {
    let mut starter = support::starter();
    starter["title"] = text.into();
    starter["note"] = text.into();
    starter["contracts"][0]["name"] = text.into();
    starter["contracts"][0]["tariff"]["name"] = text.into();
    starter["contracts"][0]["tariff"]["demand"][0]["name"] = text.into();
    starter["photoperiod"]["phases"][0]["name"] = text.into();
    starter["options"][0]["name"] = text.into();
    starter["options"][0]["lamp"]["price"]["note"] = text.into();
    starter["cooling"]["cop"]["dated"] = text.into();
    starter
}

#[test]
fn hostile_names_come_to_nothing_in_pages_tables_and_charts() {
    for name in hostile() {
        let mut starter = named(&name);
        starter["options"][0]["lamp"]["life"]["b50"]["luck"] = name.clone().into();
        // pages, tables and charts are looked at on the way
        let result = must_run(&starter.to_string());
        assert_eq!(result.options[0].name, name, "the stored result keeps the name as it is");
    }
}

#[test]
fn names_change_no_number() {
    let plain = must_run(&named("plain").to_string());
    for name in hostile() {
        let result = must_run(&named(&name).to_string());
        for (one, other) in result.options.iter().zip(&plain.options) {
            assert_eq!(one.costs, other.costs, "{name:?}");
        }
    }
}

#[test]
fn hostile_names_are_shown_harmlessly_when_they_stand_in_a_fault() {
    for name in hostile() {
        let mut starter = named(&name);
        starter["options"][0]["fixtures"] = 0.into();
        starter["options"][1]["wall_power"]["unit"] = name.clone().into();
        starter["time_zone"] = name.clone().into();
        starter["currency"] = name.clone().into();
        // that the text is plain is looked at on the way
        must_refuse(&starter.to_string(), "error: ");
        let mut starter = support::starter();
        starter[&name] = 1.into();
        must_refuse(&starter.to_string(), "error: ");
    }
}

#[test]
fn names_that_say_nothing_or_too_much_are_refused() {
    must_refuse(&named("").to_string(), "found an empty text");
    must_refuse(&named(" \n\t").to_string(), "found an empty text");
    must_refuse(&named(&"x".repeat(501)).to_string(), "found 501 characters");
}

#[test]
fn names_that_look_alike_are_kept_apart() {
    let mut starter = support::starter();
    starter["options"][0]["name"] = "lamp".into();
    starter["options"][1]["name"] = "la\u{200b}mp".into();
    let result = must_run(&starter.to_string());
    let files: Vec<String> = render::charts::all_charts(&result).unwrap().into_iter().map(|(file, _)| file).collect();
    let mut different = files.clone();
    different.sort();
    different.dedup();
    assert_eq!(different.len(), files.len(), "{files:?}");
}

#[test]
fn the_program_writes_plain_file_names_and_harmless_files_whatever_the_names() {
    let all = hostile();
    let mut scenario = named(&all[0]);
    let with_names = |item: &Value, names: &[String]| -> Value {
        let named = |name: &String| support::patched(item.clone(), json!({ "name": name }));
        names.iter().map(named).collect()
    };
    // one run for all: every name is that of an option, and some are those of contracts
    scenario["options"] = with_names(&scenario["options"][1], &all);
    scenario["contracts"] = with_names(&scenario["contracts"][0], &all[4..9]);
    let folder = folder_with(&[("room.json", &scenario.to_string())]);
    let words = [
        "run",
        "room.json",
        "--out",
        "out",
        "--trials",
        "4",
        "--set",
        "/note=\u{1b}[31m\u{202e}",
        "--set",
        "/title==1+1",
    ];
    let said = lampledger(folder.path(), &words).well();
    plain(&said.out).unwrap();
    let marked = lampledger(folder.path(), &[&words[..], &["--markdown"]].concat()).well();
    markdown::harmless(&marked.out).unwrap();
    assert_eq!(names(folder.path()).len(), 2, "nothing lands beside the folder");
    let out = folder.path().join("out");
    let files = names(&out);
    assert_eq!(files.len(), 9 + 5 * all.len() + 2 * 5 + 3);
    for file in files {
        let is_plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || "-.".contains(c);
        assert!(file.chars().all(is_plain) && file.len() < 80, "{file}");
        let text = fs::read_to_string(out.join(&file)).unwrap();
        if file.ends_with(".svg") {
            xml::well_formed(&text).unwrap_or_else(|error| panic!("{file}: {error}"));
        } else if file.ends_with(".csv") {
            let bad: Vec<String> = cells(&text).concat().into_iter().filter(|cell| is_formula(cell)).collect();
            assert!(bad.is_empty(), "{file}: {bad:?}");
        }
    }
    plain(&lampledger(folder.path(), &["check", "room.json"]).well().out).unwrap();
}

#[test]
fn the_judges_of_harm_know_harm() {
    assert!(plain("a\u{1b}[0m").is_err() && plain("a\u{202e}b").is_err() && plain("µ – ±\n").is_ok());
    for cell in ["=1", " =1", "+1", "@x", "-x", "\tx"] {
        assert!(is_formula(cell), "{cell:?}");
    }
    for cell in ["-1.5", "1", "x", "", "'=1", "-1e-9"] {
        assert!(!is_formula(cell), "{cell:?}");
    }
    assert!(fate(&json!({}).to_string()).is_ok());
}
