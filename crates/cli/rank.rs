//! `rank`: the options in order, how sure that order is, and what is lost if the wrong one is picked.

use std::sync::atomic::Ordering;

use clap::Args;
use decide::World;
use decide::rank::{NamedFuture, RankOrder, rank as order_options};
use decide::rank_report::Material;
use engine::Progress;

use crate::answer::{Folder, Given};
use crate::args::{Answer, Luck, Which};
use crate::failure::Failure;
use crate::relamp::contract_of;
use crate::run::{INTERRUPTED, progress_bar, stop_on_interrupt};
use crate::scene;

/// Options of `rank`.
#[derive(Debug, Args)]
pub struct Rank {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// Only under this contract: its name. Repeatable; all contracts when absent.
    #[arg(long = "contract", value_name = "NAME")]
    pub contracts: Vec<String>,
    /// Call a pair too close when the mean lead is no more than this: a share of the cheaper mean cost, such as 1%, or an
    /// amount in ct/mol, such as 0.05. Noise alone when absent.
    #[arg(long, default_value = "0%", value_name = "SHARE|CT", value_parser = material)]
    pub material: Material,
    /// A future by name, and the inputs that it moves, named as for `breakeven`: "dear power: electricity=1.5; D.gear.labour=400".
    /// Repeatable; each is lived on the same luck.
    #[arg(long = "future", value_name = "NAME: INPUT=VALUE; …", value_parser = future)]
    pub futures: Vec<NamedFuture>,
    /// Rooms for which the choice is made: money is that of so many.
    #[arg(long, default_value_t = 1, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    pub rooms: u32,
    /// Trials: possible futures that are lived.
    #[arg(long, default_value_t = 10_000, value_parser = clap::value_parser!(u64).range(16..=200_000))]
    pub trials: u64,
    /// The luck that is lived.
    #[command(flatten)]
    pub luck: Luck,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

/// From which difference on a lead matters: a share as 1%, or an amount in ct/mol.
fn material(text: &str) -> Result<Material, String> {
    let (number, is_share) = text.strip_suffix('%').map_or((text, false), |number| (number, true));
    let number = number.trim().parse::<f64>().ok().filter(|number| number.is_finite() && *number >= 0.0);
    match number {
        Some(percent) if is_share && percent < 100.0 => Ok(Material::Share(0.01 * percent)),
        Some(ct) if !is_share => Ok(Material::Amount(0.01 * ct)),
        _ => Err("a share from 0% to less than 100%, or an amount of 0 or more in ct/mol, is allowed".into()),
    }
}

/// A future as NAME: INPUT=VALUE; INPUT=VALUE.
fn future(text: &str) -> Result<NamedFuture, String> {
    let wrong =
        || "a name and what moves, such as \"dear power: electricity=1.5; D.gear.labour=400\", is allowed".to_owned();
    let (name, moved) = text.split_once(':').ok_or_else(wrong)?;
    let one = |text: &str| {
        let (input, value) = text.rsplit_once('=').ok_or_else(wrong)?;
        let value = value.trim().parse::<f64>().ok().filter(|value| value.is_finite()).ok_or_else(wrong)?;
        Ok((input.trim().to_owned(), value))
    };
    let moved: Result<Vec<_>, String> = moved.split(';').filter(|text| !text.trim().is_empty()).map(one).collect();
    Ok(NamedFuture { name: name.trim().into(), moved: moved? })
}

/// Does it; the number returned is the exit code.
pub fn rank(rank: &Rank) -> Result<u8, Failure> {
    let scene = scene::load(&rank.which)?;
    let plan = &scene.plan;
    let mut contracts = vec![];
    for name in &rank.contracts {
        let contract = contract_of(plan, Some(name))?;
        if !contracts.contains(&contract) {
            contracts.push(contract);
        }
    }
    if contracts.is_empty() {
        contracts.extend(0..plan.contracts.len());
    }
    contracts.sort_unstable();
    let order = RankOrder { contracts, material: rank.material, futures: rank.futures.clone(), rooms: rank.rooms };
    let folder = Folder::open(&rank.answer, &rank.which, "rank")?;
    let stop = stop_on_interrupt();
    let bar = progress_bar(rank.trials);
    let world = World { form: &scene.form, plan, settings: rank.luck.settings(rank.trials), stop: &stop };
    let report = order_options(&world, &order, env!("CARGO_PKG_VERSION"), &mut |progress: Progress| {
        bar.set_length(progress.most);
        bar.set_position(progress.done);
    })
    .map_err(Failure::WrongUse)?;
    bar.finish_and_clear();
    folder.hand_over(Given::alone(&report, Some(&scene.background())))?;
    Ok(if stop.load(Ordering::Relaxed) { INTERRUPTED } else { 0 })
}
