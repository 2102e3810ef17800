//! `hours`: when to light.

use std::io::Write;
use std::sync::atomic::Ordering;

use decide::hours::{HoursOrder, hours as search};
use engine::{Progress, Settings};

use crate::args::Hours;
use crate::bill::{load, option_of, usual_folder};
use crate::failure::Failure;
use crate::files::Outputs;
use crate::run::{INTERRUPTED, processors, progress_bar, stop_on_interrupt};
use crate::terminal;

/// Does it; the number returned is the exit code.
pub fn hours(hours: &Hours) -> Result<u8, Failure> {
    let scene = load(&hours.which, &hours.tariffs, None)?;
    let plan = &scene.plan;
    let minutes = |text: &str| text.parse().unwrap_or(60);
    let order = HoursOrder {
        option: option_of(plan, hours.option.as_deref())?,
        step: minutes(&hours.step),
        blocks: hours.blocks.clone(),
        least_dark: (hours.dark * 60.0).round() as u16,
        lit_during: hours.lit_during.clone(),
        dark_during: hours.dark_during.clone(),
        rooms: hours.rooms.map(|rooms| (usize::from(rooms), minutes(&hours.room_step))),
        settings: Settings {
            seed: hours.seed,
            trials: hours.trials,
            threads: hours.threads.map_or_else(processors, usize::from),
            precision: None,
        },
    };
    let folder = hours.out.clone().unwrap_or_else(|| usual_folder(&hours.which, "hours"));
    let mut outputs = Outputs::new(&folder);
    outputs.rehearse()?;
    let stop = stop_on_interrupt();
    let bar = progress_bar(hours.trials);
    let report = search(plan, &order, env!("CARGO_PKG_VERSION"), &stop, |progress: Progress| {
        bar.set_length(progress.most);
        bar.set_position(progress.done);
    })
    .map_err(Failure::WrongUse)?;
    bar.finish_and_clear();
    let mut files: Vec<(String, String)> = vec![
        ("hours.json".into(), render::json::pretty(&report)),
        ("starts.csv".into(), render::hours::starts_csv(&report)),
    ];
    files.extend(render::charts::hours_charts(&report).map_err(|error| Failure::Bug(error.to_string()))?);
    for (name, text) in files {
        outputs.add(name, text)?;
    }
    let count = outputs.write()?.len();
    let mut out = std::io::stdout().lock();
    if hours.json {
        writeln!(out, "{}", render::json::pretty(&report).trim_end())?;
    } else {
        write!(out, "{}", render::hours::terminal(&report, terminal::width(), terminal::color()))?;
        let folder = scenario::harmless(&folder.to_string_lossy());
        writeln!(out, "\n{count} files are in {folder}/: hours.json, starts.csv and charts (.svg)")?;
    }
    out.flush()?;
    Ok(if stop.load(Ordering::Relaxed) { INTERRUPTED } else { 0 })
}
