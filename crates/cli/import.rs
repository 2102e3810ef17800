//! `import`: a tariff from the open URDB rate JSON, with a report of what became of each member.

use std::path::{Path, PathBuf};

use clap::Args;
use decide::import_report::ImportReport;
use scenario::Page;
use scenario::import::{Fate, Imported};

use crate::failure::Failure;
use crate::{files, parse, terminal};

/// Options of `import`.
#[derive(Debug, Args)]
pub struct Import {
    /// The rate, as JSON.
    pub rate: PathBuf,
    /// Tariff file to write; it must not exist yet. "-" prints it, and the report goes to standard error.
    pub tariff: PathBuf,
    /// ISO 4217 code of the rate's currency.
    #[arg(long, default_value = "USD", value_parser = parse::currency)]
    pub currency: String,
    /// Print the report as JSON for another program; with "-" the tariff stands in it and nothing is written.
    #[arg(long)]
    pub json: bool,
}

/// Does it.
pub fn import(import: &Import) -> Result<(), Failure> {
    let page = files::read_page(&import.rate)?;
    let imported = imported(&page, &import.currency)?;
    let text = render::json::pretty(&imported.tariff);
    let name = (import.tariff != Path::new("-")).then(|| scenario::harmless(&import.tariff.to_string_lossy()));
    if name.is_some() {
        files::write_new(&import.tariff, text.as_bytes())?;
    }
    if import.json {
        let rate = scenario::harmless(&page.name);
        let report = ImportReport::of(&imported, env!("CARGO_PKG_VERSION"), &rate, name.as_deref());
        return crate::print(render::json::pretty(&report).as_bytes());
    }
    let report = report(&imported, &page.name);
    match name {
        Some(name) => crate::print(format!("{report}\n{name} is written.\n").as_bytes()),
        None => {
            terminal::tell(&report);
            crate::print(text.as_bytes())
        }
    }
}

/// Reads a rate; its faults in words.
pub fn imported(page: &Page, currency: &str) -> Result<Imported, Failure> {
    scenario::import::import(&page.text, currency).map_err(|faults| {
        let name = scenario::harmless(&page.name);
        let lines = faults.iter().map(|fault| {
            let hint = fault.hint.as_ref().map_or_else(String::new, |hint| format!(" ({hint})"));
            format!("error: {name}{}: {}; allowed: {}{hint}\n", fault.at, fault.found, fault.allowed)
        });
        Failure::BadRate(lines.collect())
    })
}

fn report(imported: &Imported, name: &str) -> String {
    let mut text = format!("What became of {}\n", scenario::harmless(name));
    for (fate, heading) in [
        (Fate::NeedsDecision, "Needs your decision: no bill is complete until these are settled"),
        (Fate::Mapped, "Mapped"),
        (Fate::NoEffect, "Without effect on a load"),
    ] {
        let lines: Vec<_> = imported.report.iter().filter(|line| line.fate == fate).collect();
        if lines.is_empty() {
            continue;
        }
        text.push_str(&format!("\n{heading}\n"));
        for line in lines {
            text.push_str(&format!("- {}: {}\n", scenario::harmless(&line.member), scenario::harmless(&line.note)));
        }
    }
    text
}
