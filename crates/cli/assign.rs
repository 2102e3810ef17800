//! `assign`: which socket gets which lamp in a trial, drawn by lot.

use clap::Args;
use decide::assign::{
    AssignOrder, Assigned, WantedLamp, assign as draw, general_cautions, guessed_places, lamps_of, options_with_lamps,
};

use crate::answer::{Folder, Given};
use crate::args::{Answer, Which};
use crate::bill::option_named;
use crate::failure::Failure;
use crate::scene;

/// Options of `assign`.
#[derive(Debug, Args)]
pub struct Assign {
    /// Which scenario, and what if. Without one, and with --lamp, names are free and nothing is known of prices.
    #[command(flatten)]
    pub which: Which,
    /// A kind of lamp: an option of the scenario by its name or the first word of it, else any name. Repeatable; the first one
    /// is what would hang there anyway. All options with lamps when absent.
    #[arg(long = "lamp", value_name = "NAME")]
    pub lamps: Vec<String>,
    /// Rows of sockets; a guess from the sockets of the scenario's option when absent.
    #[arg(long, requires = "places", value_name = "N", value_parser = clap::value_parser!(u16).range(1..=100))]
    pub rows: Option<u16>,
    /// Places in each row.
    #[arg(long, requires = "rows", value_name = "N", value_parser = clap::value_parser!(u16).range(1..=100))]
    pub places: Option<u16>,
    /// Lamps of each kind, in their order, such as 12,12; sockets that are left keep what burns there. As even as can be when
    /// absent.
    #[arg(long, value_name = "N,N…", value_delimiter = ',')]
    pub of_each: Option<Vec<u16>>,
    /// Seed of the lot: choose it by dice before you see a plan.
    #[arg(long, default_value_t = 1, allow_negative_numbers = true)]
    pub seed: u64,
    /// Day on which the lamps go in, YYYY-MM-DD; the scenario's first day when absent.
    #[arg(long, value_name = "DAY")]
    pub from: Option<String>,
    /// Lamps go by codes; their key is a file apart.
    #[arg(long)]
    pub blind: bool,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

/// Does it.
pub fn assign(assign: &Assign) -> Result<(), Failure> {
    let mut order = order(assign)?;
    let stated = assign.rows.zip(assign.places).map(|(rows, places)| (usize::from(rows), usize::from(places)));
    if let Some((rows, places)) = stated {
        (order.sockets, order.places) = (rows * places, places);
    } else if order.sockets == 0 {
        return Err(Failure::WrongUse(
            "--rows and --places say how many sockets there are; without a scenario nothing else does".into(),
        ));
    } else {
        order.places = guessed_places(order.sockets);
        order.remarks.push(
            "How the sockets hang is a guess from their number; --rows and --places say how they really do".into(),
        );
    }
    if let Some(day) = &assign.from {
        records::Day::parse(day).map_err(|found| {
            Failure::WrongUse(format!("--from: {}; allowed: YYYY-MM-DD or YYYY-MM", scenario::harmless(&found)))
        })?;
        order.from = Some(day.trim().to_owned());
    }
    let folder = Folder::open(&assign.answer, &assign.which, "assign")?;
    let Assigned { report, key } = draw(&order, env!("CARGO_PKG_VERSION")).map_err(Failure::WrongUse)?;
    let log = render::assign::log_sheet_csv(&report);
    folder.spare("log-sheet.csv", &log)?;
    let mut given = Given::alone(&report, None);
    given.told.push_str("; log-sheet.csv and log-sheet.svg are there to write on");
    if assign.blind {
        given.further.push(("sealed-key.csv".into(), render::assign::key_csv(&key)));
        given.told.push_str("; sealed-key.csv is for someone who does not look for dead lamps");
    }
    folder.hand_over(given).map(|_| ())
}

/// What is asked for, as far as the scenario or the names say.
fn order(assign: &Assign) -> Result<AssignOrder, Failure> {
    let mut order = AssignOrder {
        title: String::new(),
        lamps: vec![],
        of_each: assign.of_each.as_ref().map(|counts| counts.iter().map(|count| usize::from(*count)).collect()),
        sockets: 0,
        places: 0,
        seed: assign.seed,
        from: None,
        is_blind: assign.blind,
        currency: None,
        cautions: general_cautions(),
        remarks: vec![],
    };
    let is_free = assign.which.scenario.is_none() && assign.which.what_ifs.is_empty() && !assign.lamps.is_empty();
    if is_free {
        order.lamps = assign.lamps.iter().map(|name| WantedLamp { name: name.clone(), price: None }).collect();
        return Ok(order);
    }
    let scene = scene::load(&assign.which)?;
    let plan = &scene.plan;
    let with_lamps = options_with_lamps(plan);
    let options = if assign.lamps.is_empty() {
        with_lamps.clone()
    } else {
        assign.lamps.iter().map(|name| option_named(plan, "--lamp", name)).collect::<Result<_, _>>()?
    };
    if let Some(other) = options.iter().find(|option| !with_lamps.contains(option)) {
        return Err(Failure::WrongUse(format!(
            "--lamp \"{}\": this option has no lamp of its own that could be put into a socket",
            scenario::harmless(&plan.options[*other].name)
        )));
    }
    if options.len() < 2 {
        return Err(Failure::WrongUse(format!(
            "{} of the scenario's options {} a lamp of its own; a trial needs two, or name lamps with --lamp and no scenario",
            options.len(),
            if options.len() == 1 { "has" } else { "have" }
        )));
    }
    (order.lamps, order.remarks) = lamps_of(plan, &options);
    order.title.clone_from(&plan.title);
    order.sockets = plan.options[options[0]].sockets();
    order.from = Some(plan.first_day.to_string());
    order.currency = Some(plan.currency.clone());
    order.cautions.clone_from(&plan.cautions);
    Ok(order)
}
