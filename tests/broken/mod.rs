//! What ought to break it: impossible numbers, hostile names, cut-off files, folders that take nothing.
//!
//! Belongs here: whatever must end in plain words or in finite numbers, and never in a panic or half a file. Does not
//! belong here: what good input gives.
//!
//! Most of it goes through the same crates as the program but inside this process, which is far quicker than starting
//! the program a thousand times: [`fate`] says what becomes of a scenario.

mod anything;
mod burn_logs;
mod cards;
mod contracts;
mod files;
mod folders;
mod forecasts;
mod lamps;
mod lists;
mod markdown;
mod names;
mod numbers;
mod tariffs;
mod xml;

use std::sync::atomic::AtomicBool;

use decide::result::RunResult;
use decide::{Provenance, summarize};
use engine::Settings;
use plan::Plan;
use scenario::{Page, gather};
use serde_json::Value;

use crate::support::{Bare, cells};

/// What becomes of a scenario.
pub enum Fate {
    /// It is refused in these words.
    Refused(String),
    /// It runs, and every page, table and chart of it is sound.
    Ran(Box<RunResult>),
}

/// What becomes of the text of a scenario without links: checked, run for two trials, summed up and rendered in every
/// way. An error says what is wrong with what comes out; a panic is caught by nobody.
pub fn fate(text: &str) -> Result<Fate, String> {
    let page = Page { name: "room.json".into(), text: text.into() };
    let gathered = match gather(page, &Bare, &[]) {
        Ok(gathered) => gathered,
        Err(faulty) => return refused(&faulty.sources.show(&faulty.faults, false)),
    };
    let plan = match Plan::new(&gathered.form) {
        Ok(plan) => plan,
        Err(faults) => return refused(&gathered.sources.show(&gathered.sources.in_order(faults), false)),
    };
    let settings = Settings { seed: 7, trials: 2, threads: 1, precision: None };
    let (outcome, ended) = match engine::run(&plan, &settings, &AtomicBool::new(false), |_| {}) {
        Ok(done) => done,
        Err(large) => return Err(format!("two trials are too large: {large:?}")),
    };
    let input_digest = engine::Digest::of(scenario::canonical(&gathered.value).as_bytes()).hex();
    let provenance = Provenance { program: "0".into(), input_digest, seed: 7, what_ifs: vec![] };
    let result = summarize(&plan, &outcome, ended, provenance);
    sound(&result)?;
    Ok(Fate::Ran(Box::new(result)))
}

fn refused(shown: &str) -> Result<Fate, String> {
    if !shown.contains("error: ") || !shown.contains("allowed: ") {
        return Err(format!("a refusal that does not say what is allowed: {shown}"));
    }
    if shown.contains("something that cannot be read") {
        return Err(format!("the shape lets through what cannot be read: {shown}"));
    }
    plain(shown)?;
    Ok(Fate::Refused(shown.to_owned()))
}

/// Whether a text is harmless to a terminal.
pub fn plain(text: &str) -> Result<(), String> {
    let bad = |c: char| (c.is_control() && c != '\n') || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    match text.chars().find(|c| bad(*c)) {
        Some(c) => Err(format!("{c:?} in {text}")),
        None => Ok(()),
    }
}

/// A table's name, and what writes it.
type Table = (&'static str, fn(&RunResult) -> String);

/// Whether everything that a result is turned into is sound.
fn sound(result: &RunResult) -> Result<(), String> {
    let text = render::json::result_json(result);
    let value: Value = serde_json::from_str(&text).map_err(|error| error.to_string())?;
    let mut holes = vec![];
    find_holes(&value, "", &mut holes);
    if !holes.is_empty() {
        let of = holes.len();
        holes.truncate(5);
        return Err(format!("{of} numbers of the result are not finite: {holes:?}"));
    }
    if render::json::read_result(&text).as_ref() != Ok(result) {
        return Err("the stored result is not the result".into());
    }
    let terminal = render::answer::printed(result, 80, false);
    plain(&terminal)?;
    if terminal.contains(render::number::NOT_A_NUMBER) {
        return Err(format!("the terminal shows {}", render::number::NOT_A_NUMBER));
    }
    markdown::harmless(&render::answer::markdown(result))?;
    let tables: [Table; 5] = [
        ("summary", render::table::summary_csv),
        ("causes", render::table::causes_csv),
        ("years", render::table::years_csv),
        ("races", render::table::races_csv),
        ("inputs", render::table::inputs_csv),
    ];
    for (name, write) in tables {
        for cell in cells(&write(result)).concat() {
            if ["nan", "inf", "-inf", "+inf"].contains(&cell.to_lowercase().as_str()) {
                return Err(format!("{name}: the cell {cell}"));
            }
            if is_formula(&cell) {
                return Err(format!("{name}: a spreadsheet would run {cell}"));
            }
        }
    }
    for (name, svg) in render::charts::all_charts(result).map_err(|error| error.to_string())? {
        xml::well_formed(&svg).map_err(|error| format!("{name}: {error}"))?;
    }
    Ok(())
}

/// Whether a spreadsheet would take a cell for a formula.
pub fn is_formula(cell: &str) -> bool {
    let leads = |starts: &[char]| cell.trim_start().starts_with(starts) || cell.starts_with(['\t', '\r', '\n']);
    leads(&['=', '@', '+']) || (leads(&['-']) && cell.parse::<f64>().is_err())
}

/// Every null where a number belongs; a number that is not finite is stored as null.
fn find_holes(value: &Value, at: &str, found: &mut Vec<String>) {
    match value {
        Value::Null => found.push(at.to_owned()),
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(k, item)| find_holes(item, &format!("{at}/{k}"), found));
        }
        Value::Object(members) => members
            .iter()
            // a scenario may state no target, and real money needs no inflation
            .filter(|(key, member)| {
                !(member.is_null() && ["target_ppfd", "target_met", "inflation"].contains(&key.as_str()))
            })
            .for_each(|(key, member)| find_holes(member, &format!("{at}/{key}"), found)),
        _ => {}
    }
}

/// The pointers of all values in a value for which `wanted` holds.
pub fn places(value: &Value, wanted: fn(&Value) -> bool) -> Vec<String> {
    fn walk(value: &Value, at: String, wanted: fn(&Value) -> bool, found: &mut Vec<String>) {
        match value {
            Value::Array(items) => {
                items.iter().enumerate().for_each(|(k, item)| walk(item, format!("{at}/{k}"), wanted, found));
            }
            Value::Object(members) => {
                members.iter().for_each(|(key, member)| walk(member, format!("{at}/{key}"), wanted, found));
            }
            _ => {}
        }
        if wanted(value) {
            found.push(at);
        }
    }
    let mut found = vec![];
    walk(value, String::new(), wanted, &mut found);
    found
}

/// The text of a value with raw text, JSON or not, at a place.
pub fn with_raw(value: &Value, at: &str, raw: &str) -> String {
    const MARK: &str = "the place of the raw text";
    let mut value = value.clone();
    *value.pointer_mut(at).unwrap_or_else(|| panic!("no {at}")) = MARK.into();
    value.to_string().replacen(&format!("\"{MARK}\""), raw, 1)
}

/// Fails unless the scenario is refused in words that contain `told`.
pub fn must_refuse(text: &str, told: &str) {
    match fate(text).unwrap() {
        Fate::Refused(shown) => assert!(shown.contains(told), "{told} is not in: {shown}"),
        Fate::Ran(_) => panic!("it ran, but it should say {told}"),
    }
}

/// Fails unless the scenario runs.
pub fn must_run(text: &str) -> RunResult {
    match fate(text).unwrap() {
        Fate::Ran(result) => *result,
        Fate::Refused(shown) => panic!("{shown}"),
    }
}
