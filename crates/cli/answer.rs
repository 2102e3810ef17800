//! Handing an answer over: files in a folder, and a page for the terminal, Markdown, or JSON for another program.

use std::ffi::OsStr;
use std::io::Write;
use std::path::{Path, PathBuf};

use decide::background::Background;

use crate::args::{Answer, Form, Which};
use crate::failure::Failure;
use crate::files::{self, Outputs};
use crate::terminal;

/// The folder into which an answer goes.
pub struct Folder {
    path: PathBuf,
    outputs: Outputs,
    form: Form,
    reader: render::web::Reader,
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

    /// The folder of a run: named for the scenario alone, so that two rooms do not mix.
    ///
    /// # Errors
    /// When it does not take files.
    pub fn of_run(answer: &Answer, scenario: Option<&Path>) -> Result<Self, Failure> {
        let name = scenario.and_then(Path::file_stem).unwrap_or_else(|| OsStr::new("demo"));
        Self::at(answer, Path::new("out").join(name))
    }

    /// The same for an answer about a file that is no scenario; the demonstration's when there is none.
    ///
    /// # Errors
    /// When it does not take files.
    pub fn of(answer: &Answer, file: Option<&Path>, command: &str) -> Result<Self, Failure> {
        let name = file.and_then(Path::file_stem).unwrap_or_else(|| OsStr::new("demo"));
        Self::at(answer, Path::new("out").join(format!("{}-{command}", name.to_string_lossy())))
    }

    /// The folder that was named, or another one.
    ///
    /// # Errors
    /// When it does not take files.
    pub fn at(answer: &Answer, usual: PathBuf) -> Result<Self, Failure> {
        let path = answer.out.clone().unwrap_or(usual);
        let outputs = Outputs::new(&path);
        outputs.rehearse()?;
        Ok(Self { path, outputs, form: answer.form(), reader: answer.reader() })
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

    /// Writes the answer with its page, tables and pictures and all further files, then prints it as was asked for and says
    /// what lies in the folder; `told` is added to that.
    ///
    /// # Errors
    /// What could not be written.
    pub fn hand_over(self, given: Given) -> Result<Written, Failure> {
        let Self { path, mut outputs, form, reader } = self;
        let Given { answer, beside, background, further, told, notes, prints_all } = given;
        let bug = |error: render::charts::ChartError| Failure::Bug(error.to_string());
        let stem = answer.stem();
        let all: Vec<(&dyn render::answer::Answer, Option<&Background>)> =
            std::iter::once((answer, background)).chain(beside).collect();
        for (answer, background) in &all {
            let stored = render::stored::stored_json(*answer, *background);
            outputs.add(format!("{}.json", answer.stem()), stored)?;
            for (name, text) in answer.tables().into_iter().chain(answer.pictures().map_err(bug)?) {
                outputs.add(name, text)?;
            }
            if let Some((name, bytes)) = answer.workbook().map_err(Failure::Bug)? {
                outputs.add(name, bytes)?;
            }
        }
        for (name, text) in further {
            outputs.add(name, text)?;
        }
        let printed = if prints_all { &all[..] } else { &all[..1] };
        let answers: Vec<&dyn render::answer::Answer> = all.iter().map(|(answer, _)| *answer).collect();
        outputs
            .add(format!("{stem}.html"), render::web::document(&answers, background, reader, &notes).map_err(bug)?)?;
        let files = outputs.write()?;
        let mut out = std::io::stdout().lock();
        match form {
            Form::Json if printed.len() > 1 => {
                let each = printed.iter().map(|(answer, rests)| render::stored::stored_json(*answer, *rests));
                let each: Vec<String> = each.map(|text| text.trim_end().to_owned()).collect();
                writeln!(out, "[{}]", each.join(",\n"))?;
            }
            Form::Json => writeln!(out, "{}", render::stored::stored_json(answer, background).trim_end())?,
            Form::Markdown => {
                let each: Vec<String> = printed.iter().map(|(answer, _)| render::answer::markdown(*answer)).collect();
                write!(out, "{}", each.join("\n---\n\n"))?;
            }
            Form::Terminal => {
                for (answer, _) in printed {
                    writeln!(out, "{}", render::answer::printed(*answer, terminal::width(), terminal::color()))?;
                }
                let folder = scenario::harmless(&path.to_string_lossy());
                writeln!(out, "{} files are in {folder}/; to look at: {stem}.html{told}", files.len())?;
            }
        }
        out.flush()?;
        Ok(Written { folder: path, files })
    }
}

/// An answer to be handed over.
pub struct Given<'a> {
    /// The answer.
    pub answer: &'a dyn render::answer::Answer,
    /// Further answers on the same page, each with what it rests on and files of its own.
    pub beside: Vec<(&'a dyn render::answer::Answer, Option<&'a Background>)>,
    /// What it rests on; nothing where there is no scenario.
    pub background: Option<&'a Background>,
    /// Files beside those that every answer has: names and texts.
    pub further: Vec<(String, String)>,
    /// What is said of them behind the list of files.
    pub told: String,
    /// What must be known before anything else on the page.
    pub notes: Vec<String>,
    /// Whether all answers are printed, and not the first alone.
    pub prints_all: bool,
}

impl<'a> Given<'a> {
    /// An answer with nothing beside it.
    pub fn alone(answer: &'a dyn render::answer::Answer, background: Option<&'a Background>) -> Self {
        Self {
            answer,
            beside: vec![],
            background,
            further: vec![],
            told: String::new(),
            notes: vec![],
            prints_all: false,
        }
    }
}

/// What was written, and where.
pub struct Written {
    /// The folder.
    pub folder: PathBuf,
    /// Paths of all files.
    pub files: Vec<PathBuf>,
}
