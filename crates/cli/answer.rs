//! Handing an answer over: files in a folder, and a page for the terminal or JSON for another program.

use std::ffi::OsStr;
use std::io::Write;
use std::path::{Path, PathBuf};

use crate::args::{Answer, Which};
use crate::failure::Failure;
use crate::files::{self, Outputs};

/// The folder into which an answer goes.
pub struct Folder {
    path: PathBuf,
    outputs: Outputs,
    json: bool,
}

impl Folder {
    /// The folder that was named, or the usual one of a scenario and a command. Whether it takes files is tried at once:
    /// better to know before long work than after it.
    ///
    /// # Errors
    /// When it does not take files.
    pub fn open(answer: &Answer, which: &Which, command: &str) -> Result<Self, Failure> {
        Self::of(answer, which.scenario.as_deref(), command)
    }

    /// The same for an answer about a file that is no scenario; the demonstration's when there is none.
    ///
    /// # Errors
    /// When it does not take files.
    pub fn of(answer: &Answer, file: Option<&Path>, command: &str) -> Result<Self, Failure> {
        let name = file.and_then(Path::file_stem).unwrap_or_else(|| OsStr::new("demo"));
        let usual = || Path::new("out").join(format!("{}-{command}", name.to_string_lossy()));
        let path = answer.out.clone().unwrap_or_else(usual);
        let outputs = Outputs::new(&path);
        outputs.rehearse()?;
        Ok(Self { path, outputs, json: answer.json })
    }

    /// Where a file of the answer will lie, as the user would name it.
    pub fn path(&self, file: &str) -> String {
        self.path.join(file).to_string_lossy().into_owned()
    }

    /// Refuses to go on where a file that people fill in stands in the folder already with another text.
    ///
    /// # Errors
    /// When it does, or cannot be read.
    pub fn spare(&self, file: &str, text: &str) -> Result<(), Failure> {
        Ok(files::spare(&self.path.join(file), text)?)
    }

    /// Writes all files, then prints the page and what lies in the folder; or the first file, the report as JSON, where
    /// that is wished for.
    ///
    /// # Errors
    /// What could not be written.
    pub fn hand_over<T: Into<Vec<u8>>>(self, files: Vec<(String, T)>, page: &str, what: &str) -> Result<(), Failure> {
        let Self { path, mut outputs, json } = self;
        let files: Vec<(String, Vec<u8>)> = files.into_iter().map(|(name, bytes)| (name, bytes.into())).collect();
        let report = files.first().map(|(_, text)| String::from_utf8_lossy(text).into_owned()).unwrap_or_default();
        for (name, bytes) in files {
            outputs.add(name, bytes)?;
        }
        let count = outputs.write()?.len();
        let mut out = std::io::stdout().lock();
        if json {
            writeln!(out, "{}", report.trim_end())?;
        } else {
            let folder = scenario::harmless(&path.to_string_lossy());
            write!(out, "{page}\n{count} files are in {folder}/: {what}\n")?;
        }
        out.flush()?;
        Ok(())
    }
}
