//! `mix`: what it says, writes and refuses, on the demonstration.

use super::{folder_with, lampledger, names};

#[test]
fn the_demonstration_is_mixed() {
    let folder = folder_with(&[]);
    let said = lampledger(folder.path(), &["mix", "--trials", "300", "--out", "out"]).well();
    let text = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in
        ["several options in one room", "286 mixes of 10 parts", "always one option alone", "bend with the load"]
    {
        assert!(text.contains(part), "{part} is not in\n{}", said.out);
    }
    assert_eq!(
        names(&folder.path().join("out")).into_iter().collect::<Vec<_>>(),
        ["mix.csv", "mix.html", "mix.json", "mix.svg"]
    );
}

#[test]
fn the_same_mixes_come_out_on_any_number_of_threads() {
    let folder = folder_with(&[]);
    let out = |threads: &str| {
        let words = [
            "mix",
            "--option",
            "B",
            "--option",
            "A",
            "--trials",
            "300",
            "--json",
            "--threads",
            threads,
            "--out",
            "out",
        ];
        lampledger(folder.path(), &words).well().out
    };
    assert_eq!(out("1"), out("3"));
}

#[test]
fn too_few_and_too_many_are_refused() {
    let folder = folder_with(&[]);
    lampledger(folder.path(), &["mix", "--option", "A"])
        .refused(2, "error: 1 option to mix; 2 to 4 are allowed: name them with --option\n");
    lampledger(folder.path(), &["mix", "--parts", "40"])
        .refused(2, "error: 12341 mixes of 4 options; at most 2000 are tried: take fewer --parts\n");
}
