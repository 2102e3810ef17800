//! `bill`: what a year of electricity comes to with the lights, without them, and line by line.

use std::ffi::OsStr;
use std::io::Write;
use std::path::{Path, PathBuf};

use calendar::Minute;
use decide::bill::{BillOrder, bills};
use plan::Plan;
use scenario::WhatIf;
use serde_json::{Value, json};

use crate::args::{Bill, Which};
use crate::demo::Demo;
use crate::failure::Failure;
use crate::files::{self, Outputs};
use crate::{import, scene, terminal};

/// Does it.
pub fn bill(bill: &Bill) -> Result<(), Failure> {
    let scene = load(&bill.which, &bill.tariffs, Some(bill.months))?;
    let plan = &scene.plan;
    let order = BillOrder {
        option: option_of(plan, bill.option.as_deref())?,
        months: bill.months.min(plan.months()),
        rooms: rooms(bill.rooms.as_deref())?,
    };
    let folder = bill.out.clone().unwrap_or_else(|| usual_folder(&bill.which, "bill"));
    let mut outputs = Outputs::new(&folder);
    outputs.rehearse()?;
    let report = bills(plan, &order, env!("CARGO_PKG_VERSION")).map_err(Failure::WrongUse)?;
    let mut written: Vec<(String, String)> = vec![
        ("bill.json".into(), render::json::pretty(&report)),
        ("lines.csv".into(), render::bill::lines_csv(&report)),
        ("peaks.csv".into(), render::bill::peaks_csv(&report)),
    ];
    written.extend(render::charts::price_pictures(&report).map_err(|error| Failure::Bug(error.to_string()))?);
    for (name, text) in written {
        outputs.add(name, text)?;
    }
    let count = outputs.write()?.len();

    let mut out = std::io::stdout().lock();
    if bill.json {
        writeln!(out, "{}", render::json::pretty(&report).trim_end())?;
    } else {
        write!(out, "{}", render::bill::terminal(&report, terminal::width(), terminal::color()))?;
        let folder = scenario::harmless(&folder.to_string_lossy());
        writeln!(out, "\n{count} files are in {folder}/: bill.json, tables (.csv) and pictures of the prices (.svg)")?;
    }
    out.flush()?;
    Ok(())
}

/// The folder for the files of a command when none is named.
pub fn usual_folder(which: &Which, command: &str) -> PathBuf {
    let name = which.scenario.as_ref().and_then(|path| path.file_stem()).unwrap_or_else(|| OsStr::new("demo"));
    Path::new("out").join(format!("{}-{command}", name.to_string_lossy()))
}

/// A scenario with further tariffs as contracts of their own. With a number of months it is read for bills of so many: only
/// the years that they touch count, and the room has been lit for long, so that the light of the evening before the first
/// day is on the first bill.
pub fn load(which: &Which, tariffs: &[PathBuf], months: Option<usize>) -> Result<scene::Scene, Failure> {
    let mut more = vec![];
    if months.is_some() {
        more.push(WhatIf::Set { pointer: "/photoperiod/already_running".into(), value: Value::Bool(true) });
    }
    for path in tariffs {
        let page = files::read_page(path)?;
        let tariff: Value = if scenario::import::looks_like_a_rate(&page.text) {
            import::imported(&page, &currency_of(which)?)?.tariff
        } else {
            serde_json::from_str(&page.text)
                .map_err(|error| Failure::WrongUse(format!("--tariff {}: {error}", page.name)))?
        };
        let stem = path.file_stem().unwrap_or(path.as_os_str()).to_string_lossy().into_owned();
        let contract = json!({ "name": format!("{stem} (--tariff)"), "tariff": tariff });
        more.push(WhatIf::Set { pointer: "/contracts/-".into(), value: contract });
    }
    scene::load_with(which, more, months.map(|months| months.div_ceil(12) as u32))
}

/// Currency in which a scenario says its prices are, as far as can be told before it is read in earnest.
fn currency_of(which: &Which) -> Result<String, Failure> {
    let text = match &which.scenario {
        Some(path) => files::read_page(path)?.text,
        None => Demo::top().text,
    };
    let currency = serde_json::from_str::<Value>(&text).ok().and_then(|top| Some(top["currency"].as_str()?.to_owned()));
    Ok(currency.unwrap_or_else(|| "USD".into()))
}

/// Index of the option with a name, or the first.
pub fn option_of(plan: &Plan, name: Option<&str>) -> Result<usize, Failure> {
    let Some(name) = name else { return Ok(0) };
    let found = plan.options.iter().position(|option| option.name == name);
    // the first word of a name will do when it is the only such one
    let begins = |option: &&plan::OptionPlan| option.name.split_whitespace().next() == Some(name);
    let short = || {
        let fitting: Vec<usize> =
            plan.options.iter().enumerate().filter(|(_, option)| begins(option)).map(|(k, _)| k).collect();
        <[usize; 1]>::try_from(fitting).ok().map(|[one]| one)
    };
    found.or_else(short).ok_or_else(|| {
        let names: Vec<String> = plan.options.iter().map(|option| scenario::harmless(&option.name)).collect();
        Failure::WrongUse(format!("--option \"{}\": one of {}", scenario::harmless(name), names.join(", ")))
    })
}

/// Starts of rooms as HH:MM, separated by commas.
fn rooms(text: Option<&str>) -> Result<Vec<Minute>, Failure> {
    let Some(text) = text else { return Ok(vec![]) };
    let rooms: Vec<&str> = text.split(',').collect();
    if rooms.len() > 24 {
        return Err(Failure::WrongUse(format!("--rooms: {} rooms; at most 24", rooms.len())));
    }
    rooms
        .into_iter()
        .map(|room| {
            Minute::parse(room.trim()).ok_or_else(|| {
                Failure::WrongUse(format!("--rooms: \"{}\"; times of day as HH:MM", scenario::harmless(room)))
            })
        })
        .collect()
}
