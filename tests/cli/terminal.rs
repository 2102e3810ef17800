//! Pages in a terminal: as wide as it is, in bold type only where that is wanted, and read by whoever reads only a line.

use std::io::{BufRead, BufReader, Read};
use std::process::Stdio;

use super::{Said, folder_with, program};

/// Commands with pages of many kinds, on the demonstration.
const PAGES: [&[&str]; 8] = [
    &["run", "--trials", "40", "--out", "out"],
    &["rank", "--trials", "40", "--out", "out"],
    &["bill", "--out", "out"],
    &["cash", "--trials", "40", "--out", "out"],
    &["canopy", "--out", "out"],
    &["score", "--out", "out"],
    &["learn", "priors"],
    &["check"],
];

/// What a command prints where so many columns are said to be there, without the line that names the files.
fn printed(words: &[&str], columns: &str) -> Vec<String> {
    let folder = folder_with(&[]);
    let output = program(folder.path()).args(words).env("COLUMNS", columns).output().unwrap();
    let said = Said::of(output).well().out;
    said.lines().filter(|line| !line.contains(" files are in ")).map(str::to_owned).collect()
}

#[test]
fn pages_are_as_wide_as_they_may_be_and_no_wider() {
    for words in PAGES {
        let of = |columns: usize| {
            let lines = printed(words, &columns.to_string());
            for line in &lines {
                assert!(line.chars().count() <= columns, "{words:?} at {columns}: {line}");
            }
            lines
        };
        let (narrow, usual, wide) = (of(60), of(80), of(200));
        assert!(narrow.len() > usual.len() && usual.len() > wide.len(), "{words:?} does not grow");
        // what is not said in numbers, or is none, is as if nothing were said
        assert_eq!(printed(words, "wide"), usual, "{words:?}");
        // and what is out of all proportion is taken for the nearest that is not
        assert_eq!(printed(words, "100000"), wide, "{words:?}");
    }
}

#[test]
fn a_pipe_has_no_bold_type() {
    for words in PAGES {
        assert!(!printed(words, "80").concat().contains('\u{1b}'), "{words:?}");
    }
}

/// What a command prints on a terminal of 48 columns, with further variables of the environment.
#[cfg(target_os = "linux")]
fn on_a_terminal(words: &str, variables: &[(&str, &str)]) -> Option<String> {
    let folder = folder_with(&[]);
    let inner = format!("stty rows 40 cols 48 && {} {words}", env!("CARGO_BIN_EXE_lampledger"));
    let mut command = std::process::Command::new("script");
    command.args(["-q", "-e", "-c", &inner, "typescript"]).current_dir(folder.path()).stdin(Stdio::null());
    command.env_remove("NO_COLOR").env("TERM", "xterm").envs(variables.iter().copied());
    match command.output() {
        Ok(output) => {
            assert!(output.status.success(), "{output:?}");
            Some(String::from_utf8_lossy(&output.stdout).into_owned())
        }
        Err(error) => {
            crate::support::say_skipped(&format!(
                "no terminal can be played here, because `script` does not start: {error}"
            ));
            None
        }
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_terminal_is_filled_and_has_bold_type_unless_that_is_not_wanted() {
    let ask = |variables| on_a_terminal("check", variables);
    let Some(bold) = ask(&[]) else { return };
    assert!(bold.contains("\u{1b}[1m"), "{bold:?}");
    let plain = bold.replace("\u{1b}[1m", "").replace("\u{1b}[0m", "");
    let widest = plain.lines().map(|line| line.trim_end().chars().count()).max().unwrap();
    assert!((40..=48).contains(&widest), "{widest} columns: {plain}");
    for variables in [&[("NO_COLOR", "1")], &[("TERM", "dumb")]] {
        assert_eq!(ask(variables).unwrap(), plain, "colour says nothing of its own; {variables:?}");
    }
    assert_eq!(ask(&[("NO_COLOR", "")]).unwrap(), bold, "an empty one does not count");
}

#[test]
fn whoever_reads_a_line_and_goes_away_leaves_no_error() {
    for words in [
        &["rank", "--trials", "40", "--out", "out", "--markdown"][..],
        &["bill", "--out", "out", "--json"],
        &["run", "--trials", "40", "--out", "out", "--json"],
        &["schema", "result"],
        &["schema", "list"],
        &["learn", "priors", "--json"],
    ] {
        let folder = folder_with(&[]);
        let mut child =
            program(folder.path()).args(words).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        let mut line = String::new();
        BufReader::with_capacity(16, child.stdout.take().unwrap()).read_line(&mut line).unwrap();
        assert!(!line.is_empty(), "{words:?}");
        let mut err = String::new();
        child.stderr.take().unwrap().read_to_string(&mut err).unwrap();
        assert_eq!((child.wait().unwrap().code(), err.as_str()), (Some(0), ""), "{words:?}");
    }
}
