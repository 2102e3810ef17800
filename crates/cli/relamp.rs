//! `relamp`: when to relamp, and with how many lamps.

use std::io::Write;
use std::sync::atomic::Ordering;

use decide::relamp::{RelampOrder, relamp as search};
use engine::{Progress, Settings};
use plan::Plan;

use crate::args::Relamp;
use crate::bill::{option_of, usual_folder};
use crate::failure::Failure;
use crate::files::Outputs;
use crate::run::{INTERRUPTED, processors, progress_bar, stop_on_interrupt};
use crate::{scene, terminal};

/// Does it; the number returned is the exit code.
pub fn relamp(relamp: &Relamp) -> Result<u8, Failure> {
    let scene = scene::load(&relamp.which)?;
    let plan = &scene.plan;
    let options: Result<Vec<usize>, Failure> = relamp.options.iter().map(|name| option_of(plan, Some(name))).collect();
    const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
    let day = |name: &str| DAYS.iter().position(|day| *day == name).and_then(|k| u8::try_from(k).ok());
    let order = RelampOrder {
        options: options?,
        contract: contract_of(plan, relamp.contract.as_deref())?,
        flat_within: relamp.within,
        crew_day: relamp.crew_day.as_deref().and_then(day),
        exact: relamp.exact,
        settings: Settings {
            seed: relamp.seed,
            trials: relamp.trials,
            threads: relamp.threads.map_or_else(processors, usize::from),
            precision: None,
        },
    };
    let folder = relamp.out.clone().unwrap_or_else(|| usual_folder(&relamp.which, "relamp"));
    let mut outputs = Outputs::new(&folder);
    outputs.rehearse()?;
    let stop = stop_on_interrupt();
    let bar = progress_bar(relamp.trials);
    let report = search(plan, &order, env!("CARGO_PKG_VERSION"), &stop, |progress: Progress| {
        bar.set_length(progress.most);
        bar.set_position(progress.done);
    });
    bar.finish_and_clear();
    let mut files: Vec<(String, String)> = vec![
        ("relamp.json".into(), render::json::pretty(&report)),
        ("relamp-curve.csv".into(), render::relamp::relamp_curve_csv(&report)),
        ("relamp-months.csv".into(), render::relamp::relamp_months_csv(&report)),
    ];
    files.extend(render::charts::relamp_charts(&report).map_err(|error| Failure::Bug(error.to_string()))?);
    for (name, text) in files {
        outputs.add(name, text)?;
    }
    let count = outputs.write()?.len();
    let mut out = std::io::stdout().lock();
    if relamp.json {
        writeln!(out, "{}", render::json::pretty(&report).trim_end())?;
    } else {
        write!(out, "{}", render::relamp::terminal(&report, terminal::width(), terminal::color()))?;
        let folder = scenario::harmless(&folder.to_string_lossy());
        writeln!(out, "\n{count} files are in {folder}/: relamp.json, tables (.csv) and charts (.svg)")?;
    }
    out.flush()?;
    Ok(if stop.load(Ordering::Relaxed) { INTERRUPTED } else { 0 })
}

/// Index of the contract with a name, or the first.
fn contract_of(plan: &Plan, name: Option<&str>) -> Result<usize, Failure> {
    let Some(name) = name else { return Ok(0) };
    plan.contracts.iter().position(|contract| contract.name == name).ok_or_else(|| {
        let names: Vec<String> = plan.contracts.iter().map(|contract| scenario::harmless(&contract.name)).collect();
        Failure::WrongUse(format!("--contract \"{}\": one of {}", scenario::harmless(name), names.join(", ")))
    })
}
