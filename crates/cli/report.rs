//! `report`: stored answers drawn again, nothing simulated.

use std::path::{Path, PathBuf};

use clap::Args;
use render::stored::{Stored, changes_since, read};

use crate::answer::{Folder, Given};
use crate::args::Answer;
use crate::failure::Failure;
use crate::files;
use crate::terminal;

/// Most files that are read at once.
const MOST: usize = 64;

/// Options of `report`.
#[derive(Debug, Args)]
pub struct Report {
    /// Stored answers: result.json of a run, rank.json, map.json …, or a folder of them. The first gives the page its question.
    #[arg(required = true, value_name = "FILE|FOLDER")]
    pub stored: Vec<PathBuf>,
    /// Where the page, the tables and the pictures go; when absent: a folder named for the first file, beside it.
    #[command(flatten)]
    pub answer: Answer,
}

/// Does it.
pub fn report(report: &Report) -> Result<(), Failure> {
    let paths = named(&report.stored)?;
    let mut all: Vec<(PathBuf, Stored)> = vec![];
    for path in paths {
        let page = files::read_page(&path)?;
        let stored = read(&page.text)
            .map_err(|error| Failure::WrongUse(format!("{}: {error}", scenario::harmless(&page.name))))?;
        if let Some((other, _)) = all.iter().find(|(_, other)| other.answer.stem() == stored.answer.stem()) {
            let [other, name] =
                [other.as_path(), path.as_path()].map(|path| scenario::harmless(&path.to_string_lossy()));
            return Err(Failure::WrongUse(format!(
                "{other} and {name} answer the same question; a page holds one answer to each: draw the other on a page of its own"
            )));
        }
        all.push((path, stored));
    }
    let Some((first, stored)) = all.first() else {
        let named: Vec<_> = report.stored.iter().map(|path| scenario::harmless(&path.to_string_lossy())).collect();
        let message =
            format!("no stored answer was found in {}: files ending in .json that lampledger wrote", named.join(", "));
        return Err(Failure::WrongUse(message));
    };
    let notes = what_changed(&all);
    notes.iter().for_each(|note| terminal::tell(&format!("note: {note}\n")));
    let folder = Folder::at(&report.answer, beside(first))?;
    let mut given = Given::alone(stored.answer.as_ref(), stored.background.as_ref());
    let others = all.iter().skip(1).map(|(_, stored)| stored);
    given.notes = notes;
    given.prints_all = true;
    given.beside = others.map(|stored| (stored.answer.as_ref(), stored.background.as_ref())).collect();
    folder.hand_over(given).map(|_| ())
}

/// The files that are meant: those named, and of a folder all whose names end in .json, runs first, then by name.
fn named(paths: &[PathBuf]) -> Result<Vec<PathBuf>, Failure> {
    let mut all = vec![];
    for path in paths {
        if !path.is_dir() {
            all.push(path.clone());
            continue;
        }
        let mut inside = files::json_files(path)?;
        // parts of scenarios may lie there as well
        inside.retain(|path| files::read_page(path).is_ok_and(|page| read(&page.text).is_ok()));
        inside.sort_by_key(|path| (path.file_name().is_none_or(|name| name != "result.json"), path.clone()));
        all.extend(inside);
    }
    if all.len() > MOST {
        return Err(Failure::WrongUse(format!("{} files: at most {MOST} are read at once", all.len())));
    }
    Ok(all)
}

/// The folder in which answers go that are drawn again: never the one that they are read from.
fn beside(file: &Path) -> PathBuf {
    let stem = file.file_stem().map_or_else(|| "stored".into(), |stem| stem.to_string_lossy().into_owned());
    file.with_file_name(format!("{stem}-drawn-again"))
}

/// What has changed since an answer was stored, and which answers do not rest on the same inputs.
fn what_changed(all: &[(PathBuf, Stored)]) -> Vec<String> {
    let mut notes = vec![];
    for (path, stored) in all {
        let name = scenario::harmless(&path.to_string_lossy());
        for change in changes_since(&stored.program) {
            notes.push(format!("{name}, written by {}: {change}", scenario::harmless(&stored.program)));
        }
    }
    let digest = |stored: &Stored| stored.background.as_ref().map(|background| background.input_digest.clone());
    let mut known = all.iter().filter_map(|(path, stored)| Some((path, digest(stored)?)));
    if let Some((first, wanted)) = known.next() {
        for (path, _) in known.filter(|(_, digest)| *digest != wanted) {
            let [first, other] = [first.as_path(), path].map(|path| scenario::harmless(&path.to_string_lossy()));
            notes.push(format!("{other} does not rest on the inputs of {first}; they are not to be compared"));
        }
    }
    notes
}
