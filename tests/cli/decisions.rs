//! `breakeven`, `map` and `drivers`: what they say, write and refuse.

use super::{folder_with, lampledger, names};

fn listed(folder: &std::path::Path) -> Vec<String> {
    names(&folder.join("out")).into_iter().collect()
}

#[test]
fn a_tie_is_told_for_every_contract() {
    let folder = folder_with(&[]);
    let words = [
        "breakeven",
        "--option",
        "B",
        "--against",
        "A",
        "--of",
        "B.life=6000..40000",
        "--trials",
        "400",
        "--out",
        "out",
    ];
    let said = lampledger(folder.path(), &words).well();
    for part in ["where two options tie", "time of use, lit by day", "Cautions"] {
        assert!(said.out.contains(part), "{part} is not in\n{}", said.out);
    }
    assert_eq!(
        listed(folder.path()),
        ["breakeven-1.svg", "breakeven-lead-1.svg", "breakeven.csv", "breakeven.html", "breakeven.json"]
    );
}

#[test]
fn the_same_tie_on_any_number_of_threads() {
    let folder = folder_with(&[]);
    let ask = |threads: &str| {
        let words = [
            "breakeven",
            "--option",
            "D",
            "--against",
            "C",
            "--of",
            "cop",
            "--trials",
            "64",
            "--threads",
            threads,
            "--json",
        ];
        lampledger(folder.path(), &words).well().out
    };
    assert_eq!(ask("1"), ask("3"));
}

#[test]
fn what_cannot_be_asked_is_refused() {
    let folder = folder_with(&[]);
    let refused = |words: &[&str], message: &str| {
        let said = lampledger(folder.path(), words);
        said.refused(2, message);
    };
    let ask = |of: &'static str| ["breakeven", "--option", "B", "--against", "A", "--of", of, "--trials", "16"];
    refused(&ask("B.lamp.prise"), "error: no input is called \"B.lamp.prise\": did you mean B.lamp.price?\n");
    refused(
        &ask("C.wall_power"),
        "error: C bar LED: wall_power does not matter between B long-life arc and A cheap arc: it belongs to C bar LED\n",
    );
    refused(&ask("cop=9..3"), "error: cooling.cop: 9 to 3 is no range; say from where to where, the smaller first\n");
    refused(
        &["breakeven", "--option", "B", "--against", "E", "--of", "cop"],
        "error: --option \"E\": one of A cheap arc, B long-life arc, C bar LED, D panel LED; the first word will do\n",
    );
    refused(
        &["map", "--x", "cop", "--y", "cooling.cop", "--trials", "16"],
        "error: both sides of the map are cooling.cop: name two inputs\n",
    );
    let said = lampledger(folder.path(), &ask("cop=1e999..2"));
    assert_eq!(said.code, 2);
    assert!(said.err.contains("an input and a range such as B.life=5000..40000"), "{}", said.err);
    assert!(names(folder.path()).is_empty(), "nothing is left behind");
}

#[test]
fn a_map_is_drawn_and_told() {
    let folder = folder_with(&[]);
    let words = ["map", "--x", "electricity", "--y", "B.lamp.price", "--steps", "12", "--trials", "64", "--out", "out"];
    let said = lampledger(folder.path(), &words).well();
    for part in ["who wins where", "Where the scenario stands", "exact between them", "+  where the scenario stands"] {
        assert!(said.out.contains(part), "{part} is not in\n{}", said.out);
    }
    assert_eq!(listed(folder.path()), ["map.csv", "map.html", "map.json", "map.svg"]);
}

#[test]
fn drivers_are_named() {
    let folder = folder_with(&[]);
    let words = ["drivers", "--option", "C", "--option", "D", "--trials", "100", "--json", "--out", "out"];
    let report = lampledger(folder.path(), &words).well().json();
    assert_eq!(report["options"].as_array().unwrap().len(), 2);
    let uncertain: Vec<&str> = report["inputs"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|input| input["is_uncertain"] == true)
        .map(|input| input["name"].as_str().unwrap())
        .collect();
    assert_eq!(uncertain, ["D panel LED: gear.failures_per_year"]);
}
