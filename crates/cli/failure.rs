//! Ways in which a command may end badly, and the exit code of each.

use std::process::ExitCode;

use records::Flaws;
use scenario::fault::Fault;
use scenario::{Sources, harmless};

use crate::files::FileError;

/// A command that did not do what was asked.
pub enum Failure {
    /// The scenario has faults.
    Faults {
        /// The faults.
        faults: Vec<Fault>,
        /// Where they stand.
        sources: Box<Sources>,
    },
    /// A rate to be imported has faults; these are they in words.
    BadRate(String),
    /// A record has flaws.
    Flaws {
        /// Name of the file.
        name: String,
        /// What is wrong with it.
        flaws: Flaws,
    },
    /// Several records have flaws: name and flaws of each.
    FlawsOf(Vec<(String, Flaws)>),
    /// The scenario has faults, and they have been told already.
    Told,
    /// The command was used wrongly.
    WrongUse(String),
    /// A file could not be read or written.
    File(FileError),
    /// Standard output could not be written.
    Output(std::io::Error),
    /// The program contradicts itself.
    Bug(String),
}

impl From<FileError> for Failure {
    fn from(error: FileError) -> Self {
        Self::File(error)
    }
}

impl From<std::io::Error> for Failure {
    fn from(error: std::io::Error) -> Self {
        Self::Output(error)
    }
}

impl Failure {
    /// The exit code.
    pub fn code(&self) -> ExitCode {
        ExitCode::from(match self {
            Self::Faults { .. } | Self::BadRate(_) | Self::Flaws { .. } | Self::FlawsOf(_) | Self::Told => 1,
            Self::WrongUse(_) => 2,
            // whoever reads our output has had enough of it: that is no failure
            Self::Output(error) if error.kind() == std::io::ErrorKind::BrokenPipe => 0,
            Self::File(_) | Self::Output(_) => 3,
            Self::Bug(_) => 4,
        })
    }

    /// What to tell people, if anything.
    pub fn message(&self, color: bool) -> Option<String> {
        match self {
            Self::Faults { faults, sources } => Some(sources.show(faults, color) + "\n"),
            Self::BadRate(text) => Some(text.clone()),
            Self::Flaws { name, flaws } => Some(told(name, flaws)),
            Self::FlawsOf(all) => Some(all.iter().map(|(name, flaws)| told(name, flaws)).collect()),
            Self::Told => None,
            Self::WrongUse(text) => Some(format!("error: {text}\n")),
            Self::File(error) => Some(format!("error: {error}\n")),
            Self::Output(error) if error.kind() == std::io::ErrorKind::BrokenPipe => None,
            Self::Output(error) => Some(format!("error: standard output: {error}\n")),
            Self::Bug(text) => Some(format!("bug in lampledger: {text}\n")),
        }
    }
}

/// The flaws of a record, a line each.
fn told(name: &str, flaws: &Flaws) -> String {
    let name = harmless(name);
    let mut text: String =
        flaws.told().iter().map(|flaw| format!("error: {name}: {}\n", harmless(&flaw.to_string()))).collect();
    if flaws.more() > 0 {
        text.push_str(&format!("and {} more in {name}\n", flaws.more()));
    }
    text
}
