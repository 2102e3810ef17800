//! `new`: a starter scenario in which every number has its unit, its grade and a note.

use std::path::{Path, PathBuf};

use clap::Args;

use crate::failure::Failure;
use crate::files;

/// The starter scenario.
const STARTER: &str = include_str!("starter.json");

/// Options of `new`.
#[derive(Debug, Args)]
pub struct New {
    /// File to write; it must not exist yet. "-" prints it.
    pub file: PathBuf,
}

/// Writes the starter to a file that does not exist yet; "-" prints it.
pub fn new(file: &Path) -> Result<(), Failure> {
    if file == Path::new("-") {
        return crate::print(STARTER.as_bytes());
    }
    files::write_new(file, STARTER.as_bytes())?;
    let name = scenario::harmless(&file.to_string_lossy());
    crate::print(format!("{name} is written. Edit it, then: lampledger check {name}\n").as_bytes())
}
