//! The program as people meet it: commands in, text, files and exit codes out. By behaviour, and with the exact
//! message where the message is the point.
//!
//! Belongs here: whatever starts the program and looks at what it says and leaves behind. Does not belong here:
//! whether its numbers are right (`laws`, `outside`) and what breaks it (`broken`).

mod agree;
mod assign;
mod canopy;
mod cash;
mod cautions;
mod checked;
mod commands;
mod decisions;
mod faults;
mod files;
#[cfg(target_os = "linux")]
mod interrupt;
mod learn_fading;
mod learn_life;
mod life_test;
mod links;
mod mix;
mod numbers;
mod rank;
mod readme;
mod relamp;
mod report;
mod schema;
mod score;
mod shapes;
mod stage;
mod terminal;
mod what_if;
mod why;
mod workbook;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

use crate::support;

/// What the program said.
pub struct Said {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Said {
    /// What a process said that has ended by itself.
    pub fn of(output: Output) -> Self {
        Self {
            code: output.status.code().unwrap_or_else(|| panic!("killed: {output:?}")),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// The same, if it ended well and had nothing to complain about.
    pub fn well(self) -> Self {
        assert_eq!((self.code, self.err.as_str()), (0, ""), "{}", self.out);
        self
    }

    /// Standard output as JSON.
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error}: {}", self.out))
    }

    /// Fails unless it ended with this code, said nothing on standard output and exactly this on standard error.
    pub fn refused(&self, code: i32, message: &str) {
        assert_eq!((self.code, self.out.as_str(), self.err.as_str()), (code, "", message));
    }
}

/// The program, to be started in a folder.
pub fn program(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lampledger"));
    command.current_dir(folder).stdin(Stdio::null()).env_remove("CLICOLOR_FORCE");
    command
}

/// Starts the program in a folder and waits for its end.
pub fn lampledger(folder: &Path, words: &[&str]) -> Said {
    Said::of(program(folder).args(words).output().unwrap())
}

/// A folder of its own with files of these names and texts.
pub fn folder_with(files: &[(&str, &str)]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    folder
}

/// A folder with the starter scenario as `room.json`.
pub fn starter() -> TempDir {
    folder_with(&[("room.json", include_str!("../../crates/cli/starter.json"))])
}

/// A copy of the demonstration's folder.
pub fn tidefall() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    copy(&support::tidefall(), folder.path());
    folder
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &target);
        } else {
            fs::copy(&path, &target).unwrap();
        }
    }
}

/// Replaces a text that stands exactly once in a file.
pub fn edit(file: &Path, old: &str, new: &str) {
    let text = fs::read_to_string(file).unwrap();
    assert_eq!(text.matches(old).count(), 1, "{old} in {}", file.display());
    fs::write(file, text.replace(old, new)).unwrap();
}

/// Names in a folder, hidden ones too.
pub fn names(folder: &Path) -> BTreeSet<String> {
    fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
}

/// The stored result of a run.
pub fn result(folder: &Path) -> Value {
    serde_json::from_str(&fs::read_to_string(folder.join("result.json")).unwrap()).unwrap()
}
