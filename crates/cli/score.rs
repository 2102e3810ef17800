//! `score`: past forecasts against what happened, and sheets of forecasts to be filled in.

use std::path::{Path, PathBuf};

use clap::Args;
use decide::score::{score as judge, sheet};
use records::forecasts;

use crate::answer::{Folder, Given};
use crate::args::Answer;
use crate::demo::FORECASTS;
use crate::failure::Failure;
use crate::{files, print};

/// Options of `score`.
#[derive(Debug, Args)]
pub struct Score {
    /// Table of forecasts (CSV) with what, unit, p10, p50, p90 and happened; an invented one when absent.
    #[arg(conflicts_with = "from")]
    pub forecasts: Option<PathBuf>,
    /// Write such a table from the result.json of a run instead, with nothing happened yet.
    #[arg(long, value_name = "RESULT", conflicts_with_all = ["out", "json"])]
    pub from: Option<PathBuf>,
    /// File for that table, which must not exist yet; printed when absent.
    #[arg(long, value_name = "FILE", requires = "from")]
    pub sheet: Option<PathBuf>,
    /// Day on which the forecasts of that table are made, YYYY-MM-DD; left blank when absent.
    #[arg(long, value_name = "DAY", requires = "from")]
    pub made: Option<String>,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

/// Does it.
pub fn score(score: &Score) -> Result<(), Failure> {
    if let Some(result) = &score.from {
        return write_sheet(result, score);
    }
    let (name, read) = match &score.forecasts {
        Some(path) => (path.to_string_lossy().into_owned(), forecasts(files::open_record(path)?)),
        None => (FORECASTS.0.to_owned(), forecasts(FORECASTS.1.as_bytes())),
    };
    let found = read.map_err(|flaws| Failure::Flaws { name: name.clone(), flaws })?;
    let folder = Folder::of(&score.answer, score.forecasts.as_deref(), "score")?;
    let source = Path::new(&name).file_name().map_or_else(|| name.clone(), |name| name.to_string_lossy().into_owned());
    let report = judge(&found, &source, env!("CARGO_PKG_VERSION"));
    folder.hand_over(Given::alone(&report, None)).map(|_| ())
}

/// Forecasts of a stored run as a table to be filled in.
fn write_sheet(result: &Path, score: &Score) -> Result<(), Failure> {
    let page = files::read_page(result)?;
    let result = render::json::read_result(&page.text)
        .map_err(|error| Failure::WrongUse(format!("--from {}: {error}", scenario::harmless(&page.name))))?;
    let made = score.made.as_deref().map_or("", str::trim);
    if score.made.is_some() {
        records::Day::parse(made).map_err(|found| {
            Failure::WrongUse(format!("--made: {}; allowed: YYYY-MM-DD or YYYY-MM", scenario::harmless(&found)))
        })?;
    }
    let rows = sheet(&result);
    let table = render::score::sheet_csv(&rows, made);
    let Some(path) = &score.sheet else { return print(table.as_bytes()) };
    files::write_new(path, table.as_bytes())?;
    let name = scenario::harmless(&path.to_string_lossy());
    let undated = if made.is_empty() { " Its column made is blank: --made writes the day." } else { "" };
    print(
        format!(
            "{name} holds {} forecasts.{undated} Fill in happened and came as the years go by, then: lampledger score {name}\n",
            rows.len()
        )
        .as_bytes(),
    )
}
