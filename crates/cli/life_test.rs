//! `test`: what a planned life test costs and is worth, and when to stop it.

use std::sync::atomic::Ordering;

use clap::Args;
use decide::World;
use decide::life_test::{TestOrder, life_test};
use engine::Progress;

use crate::answer::{Folder, Given};
use crate::args::{Answer, Luck, Which};
use crate::bill::option_of;
use crate::failure::Failure;
use crate::relamp::contract_of;
use crate::run::{INTERRUPTED, progress_bar, stop_on_interrupt};
use crate::{parse, scene};

/// Most numbers of lamps, or of hours, in one question.
const MOST: usize = 12;

/// Options of `test`.
#[derive(Debug, Args)]
pub struct LifeTest {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// The option whose lamps are tested: its name, or the first word of it.
    #[arg(long, value_name = "NAME")]
    pub of: String,
    /// The option against which it is chosen: its name, or the first word of it.
    #[arg(long, value_name = "NAME")]
    pub against: String,
    /// A further option among which is chosen. Repeatable.
    #[arg(long, value_name = "NAME")]
    pub among: Vec<String>,
    /// Numbers of lamps on test.
    #[arg(long, value_name = "N,N,…", value_delimiter = ',', default_value = "4,6,10,12",
          value_parser = clap::value_parser!(u32).range(1..=200))]
    pub lamps: Vec<u32>,
    /// Burn hours until the end.
    #[arg(long, value_name = "H,H,…", value_delimiter = ',', default_value = "4000,8000,12000,16000",
          value_parser = parse::test_hours)]
    pub hours: Vec<f64>,
    /// Burn hours between two looks.
    #[arg(long, value_name = "H", default_value = "500", value_parser = parse::test_hours)]
    pub look_every: f64,
    /// Rooms that are chosen after the test: they multiply what it is worth, not what it costs.
    #[arg(long, default_value_t = 1, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    pub rooms: u32,
    /// Under this contract: its name. The first one when absent.
    #[arg(long, value_name = "NAME")]
    pub contract: Option<String>,
    /// The lamps hang in production sockets instead of on a bench: only a dearer lamp costs, hours are the room's.
    #[arg(long, conflicts_with_all = ["bench_hours_per_start", "kwh"])]
    pub in_sockets: bool,
    /// Burn hours on the bench after each start, followed by 1 h off.
    #[arg(long, value_name = "H", default_value = "11", value_parser = parse::start_hours)]
    pub bench_hours_per_start: f64,
    /// Price of a kWh on the bench, in the currency; around the clock on the contract when absent.
    #[arg(long, value_name = "PRICE", value_parser = parse::money)]
    pub kwh: Option<f64>,
    /// Cost of setting the test up, in the currency; 150 when absent (a guess), nothing in sockets.
    #[arg(long, value_name = "MONEY", value_parser = parse::money)]
    pub set_up: Option<f64>,
    /// Cost of one look, in the currency.
    #[arg(long, value_name = "MONEY", default_value = "0", value_parser = parse::money)]
    pub look_cost: f64,
    /// Trials: possible futures, each of which is a truth that a test may meet.
    #[arg(long, default_value_t = 4_000, value_parser = clap::value_parser!(u64).range(100..=20_000))]
    pub trials: u64,
    /// The luck that is lived.
    #[command(flatten)]
    pub luck: Luck,
    /// Where the answer goes.
    #[command(flatten)]
    pub answer: Answer,
}

/// Does it; the number returned is the exit code.
pub fn test(test: &LifeTest) -> Result<u8, Failure> {
    let scene = scene::load(&test.which)?;
    let plan = &scene.plan;
    let named = |argument: &str, name: &str| {
        option_of(plan, Some(name)).map_err(|failure| match failure {
            Failure::WrongUse(message) => Failure::WrongUse(message.replacen("--option", argument, 1)),
            other => other,
        })
    };
    let among: Result<Vec<usize>, Failure> = test.among.iter().map(|name| named("--among", name)).collect();
    let (mut lamps, mut hours) = (test.lamps.clone(), test.hours.clone());
    lamps.sort_unstable();
    lamps.dedup();
    hours.sort_by(f64::total_cmp);
    hours.dedup();
    for (argument, count) in [("--lamps", lamps.len()), ("--hours", hours.len())] {
        if count > MOST {
            return Err(Failure::WrongUse(format!("{argument}: {count} values; at most {MOST} are allowed")));
        }
    }
    let order = TestOrder {
        of: named("--of", &test.of)?,
        against: named("--against", &test.against)?,
        among: among?,
        contract: contract_of(plan, test.contract.as_deref())?,
        rooms: test.rooms,
        lamps,
        hours,
        look_every: test.look_every,
        bench_hours_per_start: test.bench_hours_per_start,
        in_sockets: test.in_sockets,
        kwh: test.kwh,
        set_up: test.set_up,
        look_cost: test.look_cost,
    };
    let folder = Folder::open(&test.answer, &test.which, "test")?;
    let stop = stop_on_interrupt();
    let bar = progress_bar(test.trials);
    let world = World { form: &scene.form, plan, settings: test.luck.settings(test.trials), stop: &stop };
    let report = life_test(&world, &order, env!("CARGO_PKG_VERSION"), &mut |progress: Progress| {
        bar.set_length(progress.most);
        bar.set_position(progress.done);
    })
    .map_err(Failure::WrongUse)?;
    bar.finish_and_clear();
    folder.hand_over(Given::alone(&report, Some(&scene.background())))?;
    Ok(if stop.load(Ordering::Relaxed) { INTERRUPTED } else { 0 })
}
