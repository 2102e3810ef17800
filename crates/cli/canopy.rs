//! `canopy`: what light reaches which area, from reading cards.

use std::path::PathBuf;

use clap::Args;
use decide::canopy::{CanopyOrder, Filling, canopy as judge};
use records::{Card, MOST_A_SIDE, blank_card};

use crate::answer::{Folder, Given};
use crate::args::{Answer, Which};
use crate::demo;
use crate::failure::Failure;
use crate::{files, parse, scene};

/// Most cards at once.
const MOST_CARDS: usize = 40;
/// Hours of light a day where nothing tells them.
const HOURS: f64 = 12.0;

/// Options of `canopy`.
#[derive(Debug, Args)]
pub struct Canopy {
    /// Reading cards, as typed; the built-in demonstration's when absent. `--blank 5x5` prints one to fill in.
    #[arg(value_name = "CARD")]
    pub cards: Vec<PathBuf>,
    /// PPFD under which an area is counted, µmol/m²/s. The scenario's target when absent.
    #[arg(long, value_name = "PPFD", value_parser = parse::ppfd)]
    pub target: Option<f64>,
    /// Hours of light a day, for daily light and moles a year. The scenario's photoperiod when absent, 12 without one.
    #[arg(long, value_name = "HOURS", value_parser = parse::lit_hours)]
    pub hours: Option<f64>,
    /// Scenario whose photoperiod and target count.
    #[arg(long, value_name = "FILE")]
    pub scenario: Option<PathBuf>,
    /// Bring every card to this height, m, between heights that it was read at.
    #[arg(long, value_name = "METRES", value_parser = parse::height)]
    pub height: Option<f64>,
    /// Fill readings that are missing, with a wider error, instead of refusing the card.
    #[arg(long, value_enum, value_name = "WAY")]
    pub fill: Option<FillWay>,
    /// Fill smudged readings as well.
    #[arg(long, requires = "fill")]
    pub fill_doubtful: bool,
    /// Print a blank card with so many rows of so many readings, such as 5x5, and do nothing else.
    #[arg(long, value_name = "ROWSxREADINGS", value_parser = parse::layout,
          conflicts_with_all = ["cards", "target", "hours", "scenario", "height", "fill", "out", "json"])]
    pub blank: Option<(usize, usize)>,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

/// How missing readings are filled.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
pub enum FillWay {
    /// The mean of the mirror images, for a fixture that hangs over the middle.
    Symmetry,
    /// From the readings around it.
    Neighbours,
}

/// Does it.
pub fn canopy(canopy: &Canopy) -> Result<(), Failure> {
    if let Some((rows, columns)) = canopy.blank {
        let allowed = || Failure::WrongUse(format!("--blank: 1x1 to {MOST_A_SIDE}x{MOST_A_SIDE} is allowed"));
        return crate::print(blank_card(rows, columns).ok_or_else(allowed)?.as_bytes());
    }
    let cards = read(&canopy.cards)?;
    let order = order(canopy)?;
    let folder = Folder::of(&canopy.answer, canopy.cards.first().map(PathBuf::as_path), "canopy")?;
    let report = judge(&cards, &order, env!("CARGO_PKG_VERSION")).map_err(|faulty| {
        Failure::FlawsOf(faulty.into_iter().map(|(k, flaws)| (cards[k].0.clone(), flaws)).collect())
    })?;
    let mut given = Given::alone(&report, None);
    given.further = render::canopy::grid_files(&report);
    given.told.push_str("; a grid-….json for each card goes into a scenario");
    folder.hand_over(given).map(|_| ())
}

/// Reads the cards, or tells the flaws of all of them at once.
fn read(paths: &[PathBuf]) -> Result<Vec<(String, Card)>, Failure> {
    if paths.len() > MOST_CARDS {
        return Err(Failure::WrongUse(format!("{} cards: at most {MOST_CARDS} are read at once", paths.len())));
    }
    let mut pages: Vec<(String, String)> = demo::CARDS.map(|(name, text)| (name.into(), text.into())).to_vec();
    if !paths.is_empty() {
        pages.clear();
        for path in paths {
            let page = files::read_page(path)?;
            pages.push((page.name, page.text));
        }
    }
    let (mut cards, mut faulty) = (vec![], vec![]);
    for (name, text) in pages {
        match Card::parse(&text) {
            Ok(card) => cards.push((name, card)),
            Err(flaws) => faulty.push((name, flaws)),
        }
    }
    if faulty.is_empty() { Ok(cards) } else { Err(Failure::FlawsOf(faulty)) }
}

fn order(canopy: &Canopy) -> Result<CanopyOrder, Failure> {
    let mut order = CanopyOrder {
        hours_a_day: canopy.hours.unwrap_or(HOURS),
        hours_from: if canopy.hours.is_some() { "as asked" } else { "assumed" }.into(),
        target: canopy.target,
        height_m: canopy.height,
        filling: canopy.fill.map(|way| match way {
            FillWay::Symmetry => Filling::Symmetry,
            FillWay::Neighbours => Filling::Neighbours,
        }),
        fill_doubtful: canopy.fill_doubtful,
    };
    // somebody's own cards have nothing to do with the demonstration's room
    if canopy.scenario.is_some() || canopy.cards.is_empty() {
        let which = Which {
            scenario: canopy.scenario.clone(),
            sets: vec![],
            patches: vec![],
            allow_outside: false,
            what_ifs: vec![],
        };
        let plan = scene::load(&which)?.plan;
        if let (None, Some(clock)) = (canopy.hours, plan.clocks.first()) {
            order.hours_a_day = 24.0 * clock.timeline.lit_hours / clock.timeline.elapsed_hours;
            order.hours_from = format!("mean of the photoperiod of {}", plan.title);
        }
        order.target = order.target.or_else(|| plan.target_ppfd.map(|target| plan.inputs.at(target).quantile(0.5)));
    }
    Ok(order)
}
