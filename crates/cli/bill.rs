//! `bill`: what a year of electricity comes to with the lights, without them, and line by line.

use std::path::PathBuf;

use calendar::Minute;
use clap::Args;
use decide::bill::{BillOrder, bills};
use plan::Plan;
use scenario::WhatIf;
use serde_json::{Value, json};

use crate::answer::{Folder, Given};
use crate::args::{Answer, Which};
use crate::demo::Demo;
use crate::failure::Failure;
use crate::files;
use crate::{import, parse, scene};

/// Options of `bill`.
#[derive(Debug, Args)]
pub struct Bill {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// Bill the lights of this option: its name, or the first word of it. The first option when absent.
    #[arg(long, value_name = "NAME")]
    pub option: Option<String>,
    /// Bill under this tariff file too: one of ours, or an open URDB rate as JSON. Repeatable.
    #[arg(long = "tariff", value_name = "FILE")]
    pub tariffs: Vec<PathBuf>,
    /// Months to bill, from the scenario's start.
    #[arg(long, default_value_t = 12, value_name = "N", value_parser = parse::months)]
    pub months: usize,
    /// Rooms that share the lights evenly and start at these times, such as 06:00,18:00.
    #[arg(long, value_name = "HH:MM,…")]
    pub rooms: Option<String>,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

/// Does it.
pub fn bill(bill: &Bill) -> Result<(), Failure> {
    let scene = load(&bill.which, &bill.tariffs, Some(bill.months))?;
    let plan = &scene.plan;
    let order = BillOrder {
        option: option_of(plan, bill.option.as_deref())?,
        months: bill.months.min(plan.months()),
        rooms: rooms(bill.rooms.as_deref())?,
    };
    let folder = Folder::open(&bill.answer, &bill.which, "bill")?;
    let report = bills(plan, &order, env!("CARGO_PKG_VERSION")).map_err(Failure::WrongUse)?;
    folder.hand_over(Given::alone(&report, Some(&scene.background()))).map(|_| ())
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
    name.map_or(Ok(0), |name| option_named(plan, "--option", name))
}

/// Index of the option with a name that was given to an argument.
pub fn option_named(plan: &Plan, argument: &str, name: &str) -> Result<usize, Failure> {
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
        Failure::WrongUse(format!(
            "{argument} \"{}\": one of {}; the first word will do",
            scenario::harmless(name),
            names.join(", ")
        ))
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
