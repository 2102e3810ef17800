//! The one place where files are opened.
//!
//! Belongs here: reading pages safely, and writing results all or nothing. Does not belong here: what the files mean.

mod read;

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::fmt;
use std::fs::{self, File};
use std::io::{self, BufReader, ErrorKind, Read, Write};
use std::path::{Component, Path, PathBuf};

use scenario::{LARGEST_PAGE, Page, Shelf, harmless};
use tempfile::NamedTempFile;

/// Writes a file that must not exist yet.
///
/// # Errors
///
/// When something stands there already, or it cannot be written.
pub fn write_new(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    let fail = |error: io::Error| {
        let cause = match error.kind() {
            ErrorKind::AlreadyExists => "it exists already; choose another name".to_string(),
            _ => reason(&error),
        };
        FileError::new(path, "be written", cause)
    };
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut file = part_in(folder).map_err(fail)?;
    file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(fail)?;
    file.persist_noclobber(path).map(drop).map_err(|refused| fail(refused.error))
}

/// Refuses to go on where a file stands already with another text than the one that is to be written.
///
/// # Errors
///
/// When it does, or cannot be read.
pub fn spare(path: &Path, text: &str) -> Result<(), FileError> {
    match fs::read(path) {
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(()),
        Ok(there) if there == text.as_bytes() => Ok(()),
        Ok(_) => {
            let cause = "another log stands there, which may have been filled in; name another folder with --out";
            Err(FileError::new(path, "be written", cause))
        }
        Err(error) => Err(FileError::new(path, "be read", reason(&error))),
    }
}

/// Something that could not be done with a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileError {
    /// The file or folder, as the user named it.
    pub path: String,
    /// What was attempted, to follow "could not", such as "be read".
    pub attempt: &'static str,
    /// Why it failed, in plain words.
    pub cause: String,
}

impl FileError {
    fn new(path: &Path, attempt: &'static str, cause: impl Into<String>) -> Self {
        Self { path: path.to_string_lossy().into_owned(), attempt, cause: cause.into() }
    }
}

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "{} could not {}: {}", harmless(&self.path), self.attempt, harmless(&self.cause))
    }
}

impl std::error::Error for FileError {}

/// The pages of a scenario on disk. Links lead from file to file, relative to the file they stand in, and by default
/// never out of the folder of the scenario, by whatever detour.
#[derive(Debug)]
pub struct Disk {
    /// The real folder that links may not leave.
    root: PathBuf,
    allow_outside: bool,
    known: RefCell<BTreeMap<String, Known>>,
}

/// A file that has been read.
#[derive(Debug)]
struct Known {
    /// Its path as it came about from what the user typed and the links that led here.
    typed: PathBuf,
    /// Its one real path.
    real: PathBuf,
}

impl Disk {
    /// Reads the scenario at a path; the pages it links to are then found from there.
    ///
    /// # Errors
    ///
    /// When the file cannot be read as UTF-8 text of at most 16 MiB, or is no ordinary file.
    pub fn open(path: &Path) -> Result<(Self, Page), FileError> {
        let fail = |cause: String| FileError::new(path, "be read", cause);
        let real = path.canonicalize().map_err(|error| fail(reason(&error)))?;
        let text = text_of(&real).map_err(fail)?;
        let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let root = folder.canonicalize().map_err(|error| fail(reason(&error)))?;
        let name = path.to_string_lossy().into_owned();
        let known = BTreeMap::from([(name.clone(), Known { typed: path.to_path_buf(), real })]);
        Ok((Self { root, allow_outside: false, known: RefCell::new(known) }, Page { name, text }))
    }

    /// The same, but links may also lead out of the folder of the scenario when `allow_outside` is set.
    pub fn allowing_outside(self, allow_outside: bool) -> Self {
        Self { allow_outside, ..self }
    }

    /// The name by which people know a file: the same name whichever link led to it.
    fn name_of(&self, typed: &Path, real: &Path) -> String {
        let known = self.known.borrow();
        if let Some((name, _)) = known.iter().find(|(_, file)| file.real == real) {
            return name.clone();
        }
        let name = tidy(typed).to_string_lossy().into_owned();
        // Through a linked folder, two files can look like one when `..` is taken out of their paths.
        if known.contains_key(&name) { typed.to_string_lossy().into_owned() } else { name }
    }
}

impl Shelf for Disk {
    fn page(&self, from: &str, link: &str) -> Result<Page, String> {
        if link.is_empty() {
            return Err("the link is empty".to_string());
        }
        if Path::new(link).has_root() && !self.allow_outside {
            return Err("links must be relative to the file they stand in".to_string());
        }
        let typed = match self.known.borrow().get(from).and_then(|file| file.typed.parent()) {
            Some(folder) => folder.join(link),
            None => return Err(format!("the page `{from}` has no folder")),
        };
        let real = typed.canonicalize().map_err(|error| reason(&error))?;
        if !self.allow_outside && !real.starts_with(&self.root) {
            return Err("it lies outside the folder of the scenario; --allow-outside permits that".to_string());
        }
        let text = text_of(&real)?;
        let name = self.name_of(&typed, &real);
        self.known.borrow_mut().entry(name.clone()).or_insert(Known { typed, real });
        Ok(Page { name, text })
    }
}

/// Ordinary files in a folder whose names end in `.json`, by name.
///
/// # Errors
///
/// When the folder cannot be read.
pub fn json_files(folder: &Path) -> Result<Vec<PathBuf>, FileError> {
    let fail = |error: io::Error| FileError::new(folder, "be read", reason(&error));
    let all = fs::read_dir(folder).map_err(fail)?.filter_map(|entry| entry.ok().map(|entry| entry.path()));
    let is_wanted = |path: &PathBuf| path.extension().is_some_and(|end| end == "json") && path.is_file();
    let mut paths: Vec<PathBuf> = all.filter(is_wanted).collect();
    paths.sort();
    Ok(paths)
}

/// Reads a text that belongs to no scenario, such as a patch; its name is the path as typed.
///
/// # Errors
///
/// When the file cannot be read as UTF-8 text of at most 16 MiB, or is no ordinary file.
pub fn read_page(path: &Path) -> Result<Page, FileError> {
    let text = text_of(path).map_err(|cause| FileError::new(path, "be read", cause))?;
    Ok(Page { name: path.to_string_lossy().into_owned(), text })
}

/// Opens a record to be read line by line, however long it is; its name is the path as typed.
///
/// # Errors
///
/// When the file cannot be read, or is no ordinary file.
pub fn open_record(path: &Path) -> Result<BufReader<File>, FileError> {
    let fail = |cause: String| FileError::new(path, "be read", cause);
    let judge = |about: fs::Metadata| match (about.is_dir(), about.is_file()) {
        (true, _) => Err("it is a folder".to_string()),
        (_, false) => Err("it is not an ordinary file".to_string()),
        _ => Ok(()),
    };
    // its kind is judged before it is opened, because opening alone can wait for ever
    fs::metadata(path).map_err(|error| reason(&error)).and_then(judge).map_err(fail)?;
    read::note(path);
    File::open(path).map(BufReader::new).map_err(|error| fail(reason(&error)))
}

/// The text of an ordinary file. Its kind and size are judged before it is opened, because opening alone can wait
/// for ever, and again while it is read, because it may have changed.
fn text_of(path: &Path) -> Result<String, String> {
    let too_large = || format!("it is larger than {} MiB", LARGEST_PAGE / (1024 * 1024));
    let judge = |about: fs::Metadata| {
        if about.is_dir() {
            Err("it is a folder".to_string())
        } else if !about.is_file() {
            Err("it is not an ordinary file".to_string())
        } else if about.len() > LARGEST_PAGE as u64 {
            Err(too_large())
        } else {
            Ok(())
        }
    };
    judge(fs::metadata(path).map_err(|error| reason(&error))?)?;
    read::note(path);
    let file = File::open(path).map_err(|error| reason(&error))?;
    judge(file.metadata().map_err(|error| reason(&error))?)?;
    let mut bytes = Vec::new();
    file.take(LARGEST_PAGE as u64 + 1).read_to_end(&mut bytes).map_err(|error| reason(&error))?;
    if bytes.len() > LARGEST_PAGE {
        return Err(too_large());
    }
    String::from_utf8(bytes).map_err(|error| {
        let place = error.utf8_error().valid_up_to();
        format!("it is not UTF-8 text: the byte at offset {place} begins no character")
    })
}

/// A path without `.` and, where a folder comes before it, without `..`.
fn tidy(path: &Path) -> PathBuf {
    let mut tidy = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir if matches!(tidy.components().next_back(), Some(Component::Normal(_))) => {
                tidy.pop();
            }
            part => tidy.push(part),
        }
    }
    tidy
}

/// Names of files in a folder that are not among those just written, hidden ones left aside, in order.
pub fn others(folder: &Path, written: &[PathBuf]) -> Vec<String> {
    let known = |path: &Path| written.iter().any(|written| written.file_name() == path.file_name());
    let mut names: Vec<String> = fs::read_dir(folder)
        .into_iter()
        .flatten()
        .flatten()
        .filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_file()) && !known(&entry.path()))
        .map(|entry| harmless(&entry.file_name().to_string_lossy()))
        .filter(|name| !name.starts_with('.'))
        .collect();
    names.sort();
    names
}

/// A set of files that appear in a folder together, or not at all as far as that can be had.
#[derive(Debug)]
pub struct Outputs {
    folder: PathBuf,
    files: Vec<(String, Vec<u8>)>,
}

impl Outputs {
    /// No files yet, for a folder that is made when it is missing.
    pub fn new(folder: impl Into<PathBuf>) -> Self {
        Self { folder: folder.into(), files: Vec::new() }
    }

    /// Adds a file by its plain name.
    ///
    /// # Errors
    ///
    /// When the name is not a plain one, or was added before.
    pub fn add(&mut self, name: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Result<(), FileError> {
        let name = name.into();
        let fail = |cause| Err(FileError::new(&self.folder.join(&name), "be written", cause));
        if name.is_empty() || name == "." || name == ".." {
            return fail("this is not the name of a file");
        }
        if name.contains(['/', '\\']) || name.contains(char::is_control) {
            return fail("the name of a file holds no `/`, no `\\` and no control characters");
        }
        if self.files.iter().any(|(known, _)| *known == name) {
            return fail("the name is given twice");
        }
        self.files.push((name, bytes.into()));
        Ok(())
    }

    /// Writes every file aside, in the same folder, and puts them into place only when all of them are safely on disk.
    /// Files of the same names are replaced. Returns the paths in the order in which they were added.
    ///
    /// # Errors
    ///
    /// The first thing that went wrong. Nothing is left behind then, unless putting a file into place failed after
    /// others had been; the cause says so.
    pub fn write(self) -> Result<Vec<PathBuf>, FileError> {
        let paths = self.files.iter().map(|(name, _)| self.folder.join(name));
        if let Some(path) = paths.into_iter().find(|path| read::was(path)) {
            let cause = "it was read for this answer and would be lost; name another folder with --out";
            return Err(FileError::new(&path, "be written", cause));
        }
        let made = self.make_folder()?;
        let written = self.stage().and_then(|staged| self.place(staged));
        if written.is_err() {
            for folder in made {
                // A folder that is not empty stays, and that is right.
                let _ = fs::remove_dir(folder);
            }
        }
        written
    }

    /// Tries whether the folder takes files, and leaves nothing behind: better to know before a long run than after it.
    ///
    /// # Errors
    ///
    /// What would go wrong.
    pub fn rehearse(&self) -> Result<(), FileError> {
        let made = self.make_folder()?;
        let tried = tempfile::tempfile_in(&self.folder)
            .map(drop)
            .map_err(|error| FileError::new(&self.folder, "take files", reason(&error)));
        made.into_iter().for_each(|folder| drop(fs::remove_dir(folder)));
        tried
    }

    /// Makes the folder where it is missing, and returns what was made, innermost first.
    fn make_folder(&self) -> Result<Vec<&Path>, FileError> {
        let missing = |folder: &&Path| !folder.as_os_str().is_empty() && !folder.exists();
        let made: Vec<&Path> = self.folder.ancestors().take_while(missing).collect();
        match fs::create_dir_all(&self.folder) {
            Ok(()) => Ok(made),
            Err(error) => {
                let attempt = "be made into a folder";
                let cause = match error.kind() {
                    ErrorKind::AlreadyExists | ErrorKind::NotADirectory => "a file stands in its way".to_string(),
                    _ => reason(&error),
                };
                made.iter().for_each(|folder| drop(fs::remove_dir(folder)));
                Err(FileError::new(&self.folder, attempt, cause))
            }
        }
    }

    /// Writes every file under a name of its own, which disappears again unless it is put into place.
    fn stage(&self) -> Result<Vec<NamedTempFile>, FileError> {
        let stage = |bytes: &[u8]| {
            let mut file = part_in(&self.folder)?;
            file.write_all(bytes)?;
            file.as_file().sync_all()?;
            Ok(file)
        };
        let mut staged = Vec::with_capacity(self.files.len());
        for (name, bytes) in &self.files {
            let path = self.folder.join(name);
            let file = stage(bytes).map_err(|error: io::Error| FileError::new(&path, "be written", reason(&error)))?;
            if path.is_dir() {
                return Err(FileError::new(&path, "be written", "a folder stands in its way"));
            }
            staged.push(file);
        }
        Ok(staged)
    }

    fn place(&self, staged: Vec<NamedTempFile>) -> Result<Vec<PathBuf>, FileError> {
        let mut placed = Vec::with_capacity(staged.len());
        for ((name, _), file) in self.files.iter().zip(staged) {
            let path = self.folder.join(name);
            if let Err(failed) = file.persist(&path) {
                let mut cause = reason(&failed.error);
                if !placed.is_empty() {
                    cause.push_str(&format!("; {} other files had been put into place before", placed.len()));
                }
                return Err(FileError::new(&path, "be put into place", cause));
            }
            placed.push(path);
        }
        // Makes the new names last through a power cut where the system lets folders be synced; elsewhere nothing is lost.
        if let Ok(folder) = File::open(&self.folder) {
            let _ = folder.sync_all();
        }
        Ok(placed)
    }
}

/// A new file under a name of its own, which disappears again unless it is put into place. Whoever may read a file that
/// was made in the usual way may read it.
fn part_in(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".part-");
    #[cfg(unix)]
    {
        // As for any other new file: everything that the user's mask does not take away.
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

/// Why something failed, in plain words.
fn reason(error: &io::Error) -> String {
    let known = match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder",
        ErrorKind::PermissionDenied => "there is no permission",
        ErrorKind::StorageFull => "the disk is full",
        ErrorKind::QuotaExceeded => "the quota is used up",
        ErrorKind::FileTooLarge => "the file would be too large",
        ErrorKind::ReadOnlyFilesystem => "the disk can only be read",
        ErrorKind::NotADirectory => "a part of the path is a file, not a folder",
        ErrorKind::IsADirectory => "it is a folder",
        ErrorKind::InvalidFilename => "the name is too long or not allowed",
        ErrorKind::InvalidInput => "the path is not allowed",
        _ => return error.to_string(),
    };
    known.to_string()
}

#[cfg(test)]
mod tests;
