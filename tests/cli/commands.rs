//! `new`, `completions`, `man`, wrong use, and output that nobody reads to its end.

use std::fs;
use std::io::Read;
use std::process::Stdio;

use serde_json::Value;

use super::{edit, folder_with, lampledger, names, program, starter};

/// Members whose numbers are counts, days, shares of a phase or points of a curve, and need no unit and grade.
const PLAIN: [&str; 6] = ["horizon_years", "days", "turnaround_days", "fixtures", "lamps_per_fixture", "table"];

/// Every number in a value that no unit, grade and note go with.
fn untold(value: &Value, at: &str, told: bool, found: &mut Vec<String>) {
    match value {
        Value::Number(_) if !told => found.push(at.to_owned()),
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(k, item)| untold(item, &format!("{at}/{k}"), told, found));
        }
        Value::Object(members) => {
            let told = told || ["unit", "grade", "note"].iter().all(|key| members.get(*key).is_some_and(is_said));
            for (key, member) in members {
                let share = at.contains("/phases/") && (key == "power" || key == "flux");
                if !share && !PLAIN.contains(&key.as_str()) {
                    untold(member, &format!("{at}/{key}"), told, found);
                }
            }
        }
        _ => {}
    }
}

fn is_said(value: &Value) -> bool {
    value.as_str().is_some_and(|text| !text.trim().is_empty())
}

#[test]
fn new_writes_a_starter_that_check_and_run_accept() {
    let folder = folder_with(&[]);
    let said = lampledger(folder.path(), &["new", "room.json"]).well();
    assert_eq!(said.out, "room.json is written. Edit it, then: lampledger check room.json\n");
    let checked = lampledger(folder.path(), &["check", "room.json"]).well();
    assert!(checked.out.starts_with("My room: no faults\n"), "{}", checked.out);
    lampledger(folder.path(), &["run", "room.json", "--out", "out", "--trials", "20"]).well();
    assert_eq!(names(folder.path()).into_iter().collect::<Vec<_>>(), ["out", "room.json"]);
}

#[test]
fn every_number_of_the_starter_carries_unit_grade_and_note() {
    let said = lampledger(folder_with(&[]).path(), &["new", "-"]).well();
    let starter = said.json();
    let mut bare = vec![];
    untold(&starter, "", false, &mut bare);
    assert!(bare.is_empty(), "{bare:?}");
    // the search must be able to find something
    let mut broken = starter;
    broken["options"][0]["lamp"]["price"] = 5.into();
    broken["cooling"]["cop"]["note"] = " ".into();
    untold(&broken, "", false, &mut bare);
    assert_eq!(bare, ["/cooling/cop/is", "/options/0/lamp/price"]);
}

#[test]
fn new_prints_what_it_would_write() {
    let folder = folder_with(&[]);
    let printed = lampledger(folder.path(), &["new", "-"]).well().out;
    assert!(names(folder.path()).is_empty());
    lampledger(folder.path(), &["new", "room.json"]).well();
    assert_eq!(fs::read_to_string(folder.path().join("room.json")).unwrap(), printed);
}

#[test]
fn new_overwrites_nothing() {
    let folder = folder_with(&[("room.json", "mine"), ("sub/file", "")]);
    let said = lampledger(folder.path(), &["new", "room.json"]);
    said.refused(3, "error: room.json could not be written: it exists already; choose another name\n");
    assert_eq!(fs::read_to_string(folder.path().join("room.json")).unwrap(), "mine");
    let said = lampledger(folder.path(), &["new", "sub"]);
    said.refused(3, "error: sub could not be written: it exists already; choose another name\n");
    let said = lampledger(folder.path(), &["new", "gone/room.json"]);
    said.refused(3, "error: gone/room.json could not be written: there is no such file or folder\n");
    assert_eq!(names(folder.path()).into_iter().collect::<Vec<_>>(), ["room.json", "sub"]);
}

#[cfg(unix)]
#[test]
fn a_starter_may_be_read_by_whoever_may_read_a_usual_file() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder_with(&[("usual", "")]);
    lampledger(folder.path(), &["new", "room.json"]).well();
    let mode = |name: &str| fs::metadata(folder.path().join(name)).unwrap().permissions().mode();
    assert_eq!(mode("room.json"), mode("usual"));
}

#[test]
fn each_exit_code_means_one_thing() {
    let folder = starter();
    let code = |words: &[&str]| lampledger(folder.path(), words).code;
    assert_eq!(code(&["check", "room.json"]), 0);
    assert_eq!(code(&["--version"]), 0);
    assert_eq!(code(&["run", "--help"]), 0);
    assert_eq!(code(&["check", "gone.json"]), 3);
    assert_eq!(code(&["run", "gone.json"]), 3);
    assert_eq!(code(&["check", "room.json", "--patch", "gone.json"]), 3);
    edit(&folder.path().join("room.json"), "\"horizon_years\": 5", "\"horizon_years\": 0");
    assert_eq!(code(&["check", "room.json"]), 1);
    assert_eq!(code(&["check", "room.json", "--json"]), 1);
    assert_eq!(code(&["run", "room.json", "--out", "out"]), 1);
    assert_eq!(names(folder.path()).len(), 1, "a refused run leaves nothing");
}

#[test]
fn wrong_use_ends_with_2_and_says_what_is_allowed() {
    let folder = starter();
    let wrong = |words: &[&str], told: &str| {
        let said = lampledger(folder.path(), words);
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{words:?}");
        assert!(said.err.starts_with(told), "{words:?}: {}", said.err);
    };
    let of_trials = |trials: &str| {
        format!("error: invalid value '{trials}' for '--trials <TRIALS>': {trials} is not in 2..=10000000\n")
    };
    wrong(&["run", "room.json", "--out", "out", "--trials", "0"], &of_trials("0"));
    wrong(&["run", "room.json", "--out", "out", "--trials", "1"], &of_trials("1"));
    wrong(&["run", "room.json", "--out", "out", "--trials", "10000001"], &of_trials("10000001"));
    wrong(
        &["run", "room.json", "--out", "out", "--threads", "0"],
        "error: invalid value '0' for '--threads <THREADS>'",
    );
    wrong(&["run", "room.json", "--out", "out", "--seed", "-1"], "error: invalid value '-1' for '--seed <SEED>'");
    for share in ["0", "1", "-0.1", "100%", "nan", "inf"] {
        let told = format!(
            "error: invalid value '{share}' for '--precision <SHARE>': more than 0 and less than 1 (100%) is allowed\n"
        );
        wrong(&["run", "room.json", "--out", "out", &format!("--precision={share}")], &told);
    }
    wrong(
        &["run", "room.json", "--out", "out", "--precision", "some"],
        "error: invalid value 'some' for '--precision <SHARE>': a share such as 0.1% or 0.001 is allowed\n",
    );
    wrong(
        &["check", "room.json", "--set", "/title"],
        "error: `/title` has no `=`: write a place and a value, such as `/options/0/lamp/price=52`\n",
    );
    wrong(&["sell"], "error: unrecognized subcommand 'sell'\n");
    wrong(&["schema", "attic"], "error: invalid value 'attic' for '[KIND]'\n");
    wrong(&[], "What a delivered mole of photons costs");
    // four options of three contracts and two clocks keep 80 numbers a trial
    wrong(
        &["run", "--trials", "10000000"],
        "error: --trials 10000000: the results would take 6.4 GB; at most 6250000 trials fit for this scenario\n",
    );
    assert_eq!(names(folder.path()).len(), 1);
}

#[test]
fn completions_and_manual_name_every_command_and_option() {
    let folder = folder_with(&[]);
    let bash = lampledger(folder.path(), &["completions", "bash"]).well().out;
    assert!(bash.starts_with("_lampledger() {\n") && bash.contains("complete -F _lampledger"), "{bash}");
    for word in ["new", "check", "run", "schema", "completions", "man"] {
        assert!(bash.contains(&format!("lampledger,{word})")), "{word}");
    }
    for option in ["--set", "--patch", "--allow-outside", "--precision", "--trials", "--threads", "--draws", "--json"] {
        assert!(bash.contains(option), "{option}");
    }
    for shell in ["zsh", "fish", "powershell", "elvish"] {
        assert!(lampledger(folder.path(), &["completions", shell]).well().out.contains("precision"), "{shell}");
    }
    let manual = lampledger(folder.path(), &["man"]).well().out;
    assert!(manual.contains(".TH lampledger 1") && manual.contains("Exit codes: 0 done"), "{manual}");
    for command in ["new", "check", "run", "schema", "completions", "man"] {
        assert!(manual.contains(&format!("lampledger\\-{command}(1)")), "{command}");
    }
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    let folder = starter();
    let commands: [&[&str]; 8] = [
        &["new", "-"],
        &["check", "room.json"],
        &["check", "room.json", "--json"],
        &["run", "room.json", "--out", "out", "--trials", "20"],
        &["run", "room.json", "--out", "out", "--trials", "20", "--json"],
        &["schema"],
        &["completions", "bash"],
        &["man"],
    ];
    for words in commands {
        let mut child =
            program(folder.path()).args(words).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        drop(child.stdout.take());
        let mut err = String::new();
        child.stderr.take().unwrap().read_to_string(&mut err).unwrap();
        assert_eq!((child.wait().unwrap().code(), err.as_str()), (Some(0), ""), "{words:?}");
    }
    assert!(folder.path().join("out/result.json").exists(), "the files of a run are written all the same");
}

#[cfg(target_os = "linux")]
#[test]
fn output_that_cannot_be_written_ends_with_3() {
    let folder = starter();
    for words in [&["schema"][..], &["check", "room.json"], &["run", "room.json", "--out", "out", "--trials", "20"]] {
        let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = program(folder.path()).args(words).stdout(full).output().unwrap();
        let err = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(3), "{words:?}");
        assert!(err.starts_with("error: standard output: "), "{err}");
    }
}
