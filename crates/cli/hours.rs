//! `hours`: when to light.

use std::path::PathBuf;
use std::sync::atomic::Ordering;

use clap::Args;
use decide::hours::{HoursOrder, hours as search};
use engine::Progress;

use crate::answer::{Folder, Given};
use crate::args::{Answer, Luck, Which};
use crate::bill::{load, option_of};
use crate::failure::Failure;
use crate::parse;
use crate::run::{INTERRUPTED, progress_bar, stop_on_interrupt};

/// Options of `hours`.
#[derive(Debug, Args)]
pub struct Hours {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// Search under this tariff file too: one of ours, or an open URDB rate as JSON. Repeatable.
    #[arg(long = "tariff", value_name = "FILE")]
    pub tariffs: Vec<PathBuf>,
    /// The option that single questions are about: its name, or the first word of it. The first option when absent.
    #[arg(long, value_name = "NAME")]
    pub option: Option<String>,
    /// Minutes between two starts.
    #[arg(long, default_value = "15", value_name = "MINUTES", value_parser = ["5", "10", "15", "20", "30", "60"])]
    pub step: String,
    /// Try the same light in so many equal blocks a day as well, such as 1,2: lamps then start more often and are lived
    /// again.
    #[arg(long, value_name = "N,…", value_delimiter = ',', value_parser = clap::value_parser!(u16).range(1..=6))]
    pub blocks: Vec<u16>,
    /// Hours that must be dark without a break every day.
    #[arg(long, default_value_t = 0.0, value_name = "HOURS", value_parser = parse::dark_hours)]
    pub dark: f64,
    /// The lights must burn between these times every day, such as 08:00-12:00 when people work. Repeatable.
    #[arg(long, value_name = "HH:MM-HH:MM", value_parser = parse::span)]
    pub lit_during: Vec<(calendar::Minute, calendar::Minute)>,
    /// The lights must not burn between these times. Repeatable.
    #[arg(long, value_name = "HH:MM-HH:MM", value_parser = parse::span)]
    pub dark_during: Vec<(calendar::Minute, calendar::Minute)>,
    /// Find starts for so many rooms that share the lights evenly, which lower the bill or the site's peak.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(2..=12))]
    pub rooms: Option<u8>,
    /// Minutes between the starts of rooms.
    #[arg(long, default_value = "60", value_name = "MINUTES", value_parser = ["15", "20", "30", "60"])]
    pub room_step: String,
    /// Trials: possible futures to live through.
    #[arg(long, default_value_t = 10_000, value_parser = clap::value_parser!(u64).range(8..=1_000_000))]
    pub trials: u64,
    /// The luck that is lived.
    #[command(flatten)]
    pub luck: Luck,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

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
        settings: hours.luck.settings(hours.trials),
    };
    let folder = Folder::open(&hours.answer, &hours.which, "hours")?;
    let stop = stop_on_interrupt();
    let bar = progress_bar(hours.trials);
    let report = search(plan, &order, env!("CARGO_PKG_VERSION"), &stop, |progress: Progress| {
        bar.set_length(progress.most);
        bar.set_position(progress.done);
    })
    .map_err(Failure::WrongUse)?;
    bar.finish_and_clear();
    folder.hand_over(Given::alone(&report, Some(&scene.background())))?;
    Ok(if stop.load(Ordering::Relaxed) { INTERRUPTED } else { 0 })
}
