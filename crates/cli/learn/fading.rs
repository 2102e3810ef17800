//! `learn fading`: how light fades, from readings of lamps over burn hours.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use decide::fading::{FadingOrder, fading as weigh};
use learn::fading::Form;
use plan::Plan;
use records::{Readings, readings};
use scenario::form::Technology;

use crate::answer::{Folder, Given};
use crate::args::{Answer, Which};
use crate::bill::option_of;
use crate::demo::Demo;
use crate::failure::Failure;
use crate::{files, scene};

/// Options of `learn fading`.
#[derive(Debug, Args)]
pub struct Fading {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// Readings, a CSV file with the columns lamp, burn_h, reading and perhaps leave_out and note. Those of the built-in
    /// demonstration when absent, beside that scenario only.
    #[arg(long, value_name = "FILE")]
    pub readings: Option<PathBuf>,
    /// The option whose lamps were read: its name, or the first word of it. The first option when absent.
    #[arg(long, value_name = "NAME")]
    pub option: Option<String>,
    /// The form that counts; the one that the readings advise when absent.
    #[arg(long, value_enum, value_name = "FORM")]
    pub form: Option<AskedForm>,
    /// Leave out the readings that stick out; otherwise they are named and fitted.
    #[arg(long)]
    pub leave_out_flagged: bool,
    /// Draws to write.
    #[arg(long, default_value_t = 1_000, value_name = "N", value_parser = clap::value_parser!(u32).range(100..=20_000))]
    pub draws: u32,
    /// Seed of the draws; 0 is a seed like any other.
    #[arg(long, default_value_t = 1, allow_negative_numbers = true)]
    pub seed: u64,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

/// A form of fading, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum AskedForm {
    /// One rate for ever.
    Exponential,
    /// Fast at first, slower and slower (or the other way round).
    Stretched,
    /// A part that is soon gone, and a rest that lasts.
    Biexponential,
}

impl From<AskedForm> for Form {
    fn from(form: AskedForm) -> Self {
        match form {
            AskedForm::Exponential => Self::Exponential,
            AskedForm::Stretched => Self::Stretched,
            AskedForm::Biexponential => Self::Biexponential,
        }
    }
}

/// Does it.
pub fn fading(fading: &Fading) -> Result<(), Failure> {
    let (record, readings) = read(fading)?;
    let scene = scene::load(&fading.which)?;
    let plan: &Plan = &scene.plan;
    let option = option_of(plan, fading.option.as_deref())?;
    let order = FadingOrder {
        option,
        record,
        form: fading.form.map(Form::from),
        led: plan.options[option].technology == Technology::Led,
        leave_out_outliers: fading.leave_out_flagged,
        draws: fading.draws as usize,
        seed: fading.seed,
    };
    let folder = Folder::open(&fading.answer, &fading.which, "fading")?;
    let (report, maintenance) = weigh(plan, &order, &readings, env!("CARGO_PKG_VERSION"))
        .map_err(|message| Failure::WrongUse(format!("{}: {message}", scenario::harmless(&order.record))))?;
    let background = scene.background();
    let mut given = Given::alone(&report, Some(&background));
    given.further.push(("maintenance.json".into(), render::json::pretty(&maintenance)));
    given.told.push_str("; maintenance.json goes back with --set");
    folder.hand_over(given).map(|_| ())
}

/// The readings and what their record is called.
fn read(fading: &Fading) -> Result<(String, Readings), Failure> {
    let flaws = |name: &str| {
        let name = name.to_owned();
        move |flaws| Failure::Flaws { name, flaws }
    };
    match (&fading.readings, &fading.which.scenario) {
        (Some(path), _) => {
            let name = path.to_string_lossy().into_owned();
            let read = readings(files::open_record(path)?).map_err(flaws(&name))?;
            Ok((name, read))
        }
        (None, None) => {
            let (name, text) = Demo::fading();
            let read = readings(text.as_bytes()).map_err(flaws(name))?;
            Ok((name.to_owned(), read))
        }
        (None, Some(_)) => Err(Failure::WrongUse(
            "--readings FILE is needed beside a scenario of your own; the built-in readings are the demonstration's"
                .into(),
        )),
    }
}
