//! `learn life`: from burn logs to a belief about a lamp's life.

use std::io::BufRead;
use std::path::PathBuf;

use clap::Args;
use decide::learn_life::{LifeLogs, LifeOrder, lamp_of, learn_life, life_json, usual_hours};

use crate::answer::{Folder, Given};
use crate::args::{Answer, Which};
use crate::bill::option_of;
use crate::demo::Demo;
use crate::failure::Failure;
use crate::{files, parse, scene};

/// Option of the demonstration that its log is of.
const DEMO_OPTION: &str = "B";

/// Options of `learn life`.
#[derive(Debug, Args)]
pub struct Life {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// A burn log (CSV), one row for each lamp: socket, reason (failed, burning, removed, broken), burn_h or the days `in` and
    /// `out`, alive_h, from_h, lamp, lot. Repeatable: logs are pooled. Without a scenario, the demonstration's own when absent.
    #[arg(long = "log", value_name = "FILE")]
    pub logs: Vec<PathBuf>,
    /// The option whose lamp it is: its name, or the first word of it. The first option when absent; for the
    /// demonstration's own log, B.
    #[arg(long, value_name = "NAME")]
    pub option: Option<String>,
    /// Name of the lamp in the log's column `lamp`, where it is not that of the option. Blank cells count as this lamp.
    #[arg(long, value_name = "NAME")]
    pub lamp: Option<String>,
    /// Burn hours per start of the logged lamps; those of the scenario's photoperiod when absent.
    #[arg(long, value_name = "HOURS", value_parser = parse::burn_hours)]
    pub hours_per_start: Option<f64>,
    /// Burn hours a day of the logged lamps, for rows with days and no burn hours; the photoperiod's when absent.
    #[arg(long, value_name = "HOURS", value_parser = parse::hours_a_day)]
    pub hours_a_day: Option<f64>,
    /// Burn hours that stand on the box, for the picture alone.
    #[arg(long, value_name = "HOURS", value_parser = parse::burn_hours)]
    pub claim: Option<f64>,
    /// Draws of the new belief that are written.
    #[arg(long, default_value_t = 1_000, value_name = "N", value_parser = clap::value_parser!(u32).range(100..=20_000))]
    pub draws: u32,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

/// Does it; the number returned is the exit code.
pub fn life(life: &Life) -> Result<u8, Failure> {
    let is_demo = life.which.scenario.is_none() && life.logs.is_empty();
    if life.logs.is_empty() && !is_demo {
        return Err(Failure::WrongUse("--log: name the burn log (CSV) to learn from".into()));
    }
    let scene = scene::load(&life.which)?;
    let plan = &scene.plan;
    let usual = is_demo.then_some(DEMO_OPTION);
    let option = option_of(plan, life.option.as_deref().or(usual))?;
    lamp_of(plan, option).map_err(Failure::WrongUse)?;
    let (_, hours_per_day) = usual_hours(plan);
    let order = LifeOrder {
        option,
        hours_per_start: life.hours_per_start,
        hours_per_day: life.hours_a_day.unwrap_or(hours_per_day),
        claim_h: life.claim,
        draws: life.draws as usize,
    };
    let name = plan.options[option].name.as_str();
    let first = name.split_whitespace().next().unwrap_or(name);
    let wanted = life.lamp.as_deref().map_or_else(|| vec![name, first], |lamp| vec![lamp]);
    let mut logs = LifeLogs::new(&wanted);
    if is_demo {
        let (name, text) = Demo::burn_log();
        read(name, text.as_bytes(), &order, &mut logs)?;
    }
    for path in &life.logs {
        read(&path.to_string_lossy(), files::open_record(path)?, &order, &mut logs)?;
    }
    if let Some((first, second)) = logs.same() {
        let [first, second] = [first, second].map(scenario::harmless);
        return Err(Failure::WrongUse(format!(
            "--log: {first} and {second} hold the same rows, so that every lamp would count twice; name one of them"
        )));
    }
    if logs.lamps() == 0 && logs.others().next().is_none() {
        let names: Vec<String> = life.logs.iter().map(|path| path.to_string_lossy().into_owned()).collect();
        let mut flaws = records::Flaws::default();
        flaws.add(0, "", "no row that is filled in", "a reason and burn hours, or days, for at least one lamp");
        return Err(Failure::Flaws { name: names.join(", "), flaws });
    }
    let folder = Folder::open(&life.answer, &life.which, "learn-life")?;
    let report = learn_life(plan, &order, &logs, env!("CARGO_PKG_VERSION")).map_err(Failure::WrongUse)?;
    let background = scene.background();
    let mut given = Given::alone(&report, Some(&background));
    let written = scene.value.pointer(&report.place).and_then(|written| life_json(&report, written));
    if let Some(part) = written {
        given.further.push(("life.json".into(), render::json::pretty(&part)));
        given.told.push_str(&format!(
            "; life.json goes back with --set {}=@{}",
            report.place,
            scenario::harmless(&folder.path("life.json"))
        ));
    }
    folder.hand_over(given)?;
    Ok(0)
}

/// Reads a log.
fn read(name: &str, text: impl BufRead, order: &LifeOrder, logs: &mut LifeLogs) -> Result<(), Failure> {
    logs.begin(name);
    let read = records::burn_log(text, order.hours_per_day, &mut |life| logs.take(&life))
        .map_err(|flaws| Failure::Flaws { name: name.to_owned(), flaws })?;
    logs.end(read);
    Ok(())
}
