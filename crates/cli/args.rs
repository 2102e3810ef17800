//! Arguments as typed: the list of commands, and what several of them share. What belongs to one command stands with it.

use std::path::PathBuf;

use clap::{ArgMatches, Args, CommandFactory, FromArgMatches, Parser, Subcommand, ValueEnum};
use engine::Settings;

use crate::assign::Assign;
use crate::bill::Bill;
use crate::breakeven::Breakeven;
use crate::canopy::Canopy;
use crate::cash::Cash;
use crate::check::Check;
use crate::drivers::Drivers;
use crate::hours::Hours;
use crate::import::Import;
use crate::learn::Learn;
use crate::life_test::LifeTest;
use crate::map::WinnerMap;
use crate::mix::MixWish;
use crate::rank::Rank;
use crate::relamp::Relamp;
use crate::report::Report;
use crate::run::{Run, processors};
use crate::schema::Schema;
use crate::score::Score;
use crate::stage::Stage;
use crate::starter::New;
use crate::why::Why;
use crate::workbook::Workbook;

/// What a delivered mole of photons costs over the years, lamp by lamp, as a distribution.
#[derive(Debug, Parser)]
#[command(name = "lampledger", version, arg_required_else_help = true)]
#[command(after_help = "Exit codes: 0 done, 1 the scenario has faults, 2 wrong use, 3 could not read or write, \
                        4 a bug in lampledger, 130 interrupted (what was done is written).")]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Write a starter scenario in which every number has its unit, its grade and a note.
    New(New),
    /// Name every fault of a scenario, or list its inputs by grade and the cautions that apply.
    Check(Check),
    /// Simulate a scenario and write tables, charts and result.json.
    Run(Run),
    /// Bill a year of electricity with the lights and without them, month by month and line by line.
    Bill(Bill),
    /// Find when to light: price every start of the lights under every tariff on the same lived futures.
    Hours(Hours),
    /// Find when to relamp: cost over intervals for every policy on the same luck, dates, lamps to buy, spares to hold.
    Relamp(Relamp),
    /// Date every cost for the accountant: cash flows, net present value, SIR, rates of return, payback, budget, tax, loan.
    Cash(Cash),
    /// Write a spreadsheet for the accountant: bills, dated cash and measures as formulas that follow prices and the rate.
    Workbook(Workbook),
    /// Find where two options tie: the lamp price, life, tariff, hours … at which they cost the same, or that there is none.
    Breakeven(Breakeven),
    /// Draw who wins where, over two inputs: regions, lead in money, and where the scenario stands.
    Map(WinnerMap),
    /// Rank the options: how sure the order is, what is lost if the wrong one is picked, and rooms at equal light.
    Rank(Rank),
    /// Find which inputs move the lead, which can change the winner, and what knowing them is worth.
    Drivers(Drivers),
    /// Say why: the arithmetic of an option's cost, and the lead of one option over another split into its causes.
    Why(Why),
    /// Buy one option now and decide about another at a later relamp: what waiting and watching some lamps are worth.
    Stage(Stage),
    /// Plan a life test before choosing for many rooms: what each design costs and is worth, and when to stop it.
    Test(LifeTest),
    /// Light a room with several options at once: what each mix costs, and what a hedge costs.
    Mix(MixWish),
    /// Read cards of light readings: light into each area, how even and how sure it is, and which cards may be compared.
    Canopy(Canopy),
    /// Draw by lot which socket gets which lamp in a trial: a balanced plan, a log sheet, and how even it is.
    Assign(Assign),
    /// Hold past forecasts against what happened: did the spans hold, who missed, and sheets to fill in over the years.
    Score(Score),
    /// Learn from one's own records, readings of light and burn logs: beliefs that go straight back into a scenario.
    Learn(Learn),
    /// Draw stored answers again, one or several on a page, without simulating anything.
    Report(Report),
    /// Turn an open URDB rate (JSON) into a tariff file, and report what became of each of its members.
    Import(Import),
    /// Print the JSON Schema that editors use for completion.
    Schema(Schema),
    /// Print a completion script for a shell.
    Completions {
        /// The shell.
        shell: clap_complete::Shell,
    },
    /// Print the manual page (roff).
    Man,
}

/// Which scenario, and what if.
#[derive(Debug, Args)]
pub struct Which {
    /// Scenario file; the built-in demonstration when absent.
    pub scenario: Option<PathBuf>,
    /// What if: set the place at a JSON Pointer (RFC 6901) to a JSON value, such as /options/0/lamp/price=52, or to what a file
    /// holds, as in /options/1/lamp/life=@life.json. Repeatable; applied in the order given, together with --patch.
    #[arg(long = "set", value_name = "POINTER=VALUE")]
    pub sets: Vec<String>,
    /// What if: apply a JSON Merge Patch file (RFC 7396). Repeatable.
    #[arg(long = "patch", value_name = "FILE")]
    pub patches: Vec<PathBuf>,
    /// Let the scenario refer to files outside its own folder.
    #[arg(long)]
    pub allow_outside: bool,
    /// The what-ifs in the order given; filled from the positions of the arguments.
    #[arg(skip)]
    pub what_ifs: Vec<GivenWhatIf>,
}

/// The luck that is lived, and how fast.
#[derive(Debug, Args)]
pub struct Luck {
    /// Seed of all luck; 0 is a seed like any other.
    #[arg(long, default_value_t = 1, allow_negative_numbers = true)]
    pub seed: u64,
    /// Threads; they change the time, not the answer. All processors when absent.
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
}

impl Luck {
    /// Settings for a number of trials.
    pub fn settings(&self, trials: u64) -> Settings {
        let threads = self.threads.map_or_else(processors, usize::from);
        Settings { seed: self.seed, trials, threads, precision: None }
    }
}

/// Where an answer goes.
#[derive(Debug, Args)]
pub struct Answer {
    /// Folder for the files; made if missing. When absent: one in out/, named for the scenario file and the command; of what is
    /// drawn again, one beside the first file.
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
    /// Print the whole answer as JSON, as it is stored, instead of tables.
    #[arg(long, conflicts_with = "markdown")]
    pub json: bool,
    /// Print the answer as Markdown.
    #[arg(long)]
    pub markdown: bool,
    /// For whom the page (.html) is made: what comes first on it.
    #[arg(long = "for", value_enum, value_name = "READER", default_value_t = For::Everyone)]
    pub reader: For,
}

/// How an answer is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Tables for a terminal.
    Terminal,
    /// Markdown.
    Markdown,
    /// JSON as it is stored.
    Json,
}

/// For whom a page is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum For {
    /// Everybody.
    Everyone,
    /// Who tests lamps and publishes a ranking: the method comes first.
    Tester,
    /// Who budgets a room: light, lamps and cash over the years.
    Facility,
    /// Who chooses: what is lost if wrong, and what would have to be true.
    Owner,
    /// Who books it: tables come first.
    Accountant,
}

impl Answer {
    /// How it is to be printed.
    pub fn form(&self) -> Form {
        match (self.json, self.markdown) {
            (true, _) => Form::Json,
            (_, true) => Form::Markdown,
            _ => Form::Terminal,
        }
    }

    /// For whom its page is to be made.
    pub fn reader(&self) -> render::web::Reader {
        use render::web::Reader;
        match self.reader {
            For::Everyone => Reader::Everyone,
            For::Tester => Reader::Tester,
            For::Facility => Reader::Facility,
            For::Owner => Reader::Owner,
            For::Accountant => Reader::Accountant,
        }
    }
}

/// A what-if as typed.
#[derive(Debug, Clone)]
pub enum GivenWhatIf {
    /// The text of a --set.
    Set(String),
    /// The file of a --patch.
    Patch(PathBuf),
}

impl Arguments {
    /// Reads the command line, keeping the order of what-ifs of both kinds.
    ///
    /// # Errors
    /// Wrong use, or a wish for help or the version.
    pub fn read(words: impl IntoIterator<Item = std::ffi::OsString>) -> Result<Self, clap::Error> {
        let matches = Self::command().try_get_matches_from(words)?;
        let mut arguments = Self::from_arg_matches(&matches)?;
        if let Some((_, matches)) = matches.subcommand() {
            match &mut arguments.command {
                Command::Check(check) => check.which.order(matches),
                Command::Run(run) => run.which.order(matches),
                Command::Bill(bill) => bill.which.order(matches),
                Command::Hours(hours) => hours.which.order(matches),
                Command::Relamp(relamp) => relamp.which.order(matches),
                Command::Why(why) => why.which.order(matches),
                Command::Drivers(drivers) => drivers.which.order(matches),
                Command::Map(map) => map.which.order(matches),
                Command::Rank(rank) => rank.which.order(matches),
                Command::Breakeven(breakeven) => breakeven.which.order(matches),
                Command::Cash(cash) => cash.which.order(matches),
                Command::Workbook(asked) => asked.which.order(matches),
                Command::Stage(stage) => stage.which.order(matches),
                Command::Test(test) => test.which.order(matches),
                Command::Mix(mix) => mix.which.order(matches),
                Command::Assign(assign) => assign.which.order(matches),
                Command::Learn(learn) => learn.order(matches),
                _ => {}
            }
        }
        Ok(arguments)
    }
}

impl Which {
    /// Puts what-ifs of both kinds in the order in which they were typed.
    pub fn order(&mut self, matches: &ArgMatches) {
        let sets = self.sets.drain(..).map(GivenWhatIf::Set);
        let patches = self.patches.drain(..).map(GivenWhatIf::Patch);
        let places = |id| matches.indices_of(id).into_iter().flatten();
        let mut all: Vec<_> = places("sets").zip(sets).chain(places("patches").zip(patches)).collect();
        all.sort_by_key(|(place, _)| *place);
        self.what_ifs = all.into_iter().map(|(_, what_if)| what_if).collect();
    }
}
