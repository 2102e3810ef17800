//! Arguments as typed.

use std::path::PathBuf;

use clap::{ArgMatches, Args, CommandFactory, FromArgMatches, Parser, Subcommand};

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

/// Options of `new`.
#[derive(Debug, Args)]
pub struct New {
    /// File to write; it must not exist yet. "-" prints it.
    pub file: PathBuf,
}

/// Which scenario, and what if.
#[derive(Debug, Args)]
pub struct Which {
    /// Scenario file; the built-in demonstration when absent.
    pub scenario: Option<PathBuf>,
    /// What if: set the place at a JSON Pointer (RFC 6901) to a JSON value, such as /options/0/lamp/price=52. Repeatable;
    /// applied in the order given, together with --patch.
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

/// A what-if as typed.
#[derive(Debug, Clone)]
pub enum GivenWhatIf {
    /// The text of a --set.
    Set(String),
    /// The file of a --patch.
    Patch(PathBuf),
}

/// Options of `check`.
#[derive(Debug, Args)]
pub struct Check {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// Print JSON for another program.
    #[arg(long)]
    pub json: bool,
}

/// Options of `run`.
#[derive(Debug, Args)]
pub struct Run {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// Trials: possible futures to live through, at most.
    #[arg(long, default_value_t = 10_000, value_parser = clap::value_parser!(u64).range(2..=engine::MAX_TRIALS))]
    pub trials: u64,
    /// Stop earlier, once the standard error of every mean cost per mole is within this share of it, such as 0.1% or
    /// 0.001. Asked every 4096 trials.
    #[arg(long, value_name = "SHARE", value_parser = share)]
    pub precision: Option<f64>,
    /// Seed of all luck; 0 is a seed like any other.
    #[arg(long, default_value_t = 1, allow_negative_numbers = true)]
    pub seed: u64,
    /// Threads; they change the time, not the answer. All processors when absent.
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
    /// Folder for the files; made if missing. When absent: out/ and the scenario file's name.
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
    /// Write the first N trials to trials.csv; 0 for none.
    #[arg(long, default_value_t = 2_000, value_name = "N", value_parser = clap::value_parser!(u64).range(0..=200_000))]
    pub draws: u64,
    /// Print the whole result as JSON instead of the table.
    #[arg(long)]
    pub json: bool,
}

/// Options of `bill`.
#[derive(Debug, Args)]
pub struct Bill {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// Bill the lights of this option: its name, or the first word of it. The first option when absent.
    #[arg(long, value_name = "NAME")]
    pub option: Option<String>,
    /// Bill under this tariff file too: one of ours, or an open URDB rate as JSON. Repeatable.
    #[arg(long = "tariff", value_name = "FILE")]
    pub tariffs: Vec<PathBuf>,
    /// Months to bill, from the scenario's start.
    #[arg(long, default_value_t = 12, value_name = "N", value_parser = months)]
    pub months: usize,
    /// Rooms that share the lights evenly and start at these times, such as 06:00,18:00.
    #[arg(long, value_name = "HH:MM,…")]
    pub rooms: Option<String>,
    /// Folder for the files; made if missing. When absent: out/, the scenario file's name and -bill.
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
    /// Print the whole report as JSON instead of tables.
    #[arg(long)]
    pub json: bool,
}

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
    #[arg(long, default_value_t = 0.0, value_name = "HOURS", value_parser = dark_hours)]
    pub dark: f64,
    /// The lights must burn between these times every day, such as 08:00-12:00 when people work. Repeatable.
    #[arg(long, value_name = "HH:MM-HH:MM", value_parser = span)]
    pub lit_during: Vec<(calendar::Minute, calendar::Minute)>,
    /// The lights must not burn between these times. Repeatable.
    #[arg(long, value_name = "HH:MM-HH:MM", value_parser = span)]
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
    /// Seed of all luck; 0 is a seed like any other.
    #[arg(long, default_value_t = 1, allow_negative_numbers = true)]
    pub seed: u64,
    /// Threads; they change the time, not the answer. All processors when absent.
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
    /// Folder for the files; made if missing. When absent: out/, the scenario file's name and -hours.
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
    /// Print the whole report as JSON instead of tables.
    #[arg(long)]
    pub json: bool,
}

/// Options of `relamp`.
#[derive(Debug, Args)]
pub struct Relamp {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// Only this option: its name, or the first word of it. Repeatable; all options with lamps when absent.
    #[arg(long = "option", value_name = "NAME")]
    pub options: Vec<String>,
    /// Price everything under this contract: its name. The first one when absent.
    #[arg(long, value_name = "NAME")]
    pub contract: Option<String>,
    /// Call intervals equally good whose cost is within this share of the lowest, such as 1% or 0.01.
    #[arg(long, default_value = "1%", value_name = "SHARE", value_parser = share)]
    pub within: f64,
    /// Weekday on which the crew comes: the best group relamps are moved to it as well.
    #[arg(long, value_name = "DAY", value_parser = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"])]
    pub crew_day: Option<String>,
    /// Check the simulation against the renewal equation, without random numbers, where that applies.
    #[arg(long)]
    pub exact: bool,
    /// Trials: possible futures that every policy and interval lives through.
    #[arg(long, default_value_t = 1_000, value_parser = clap::value_parser!(u64).range(16..=200_000))]
    pub trials: u64,
    /// Seed of all luck; 0 is a seed like any other.
    #[arg(long, default_value_t = 1, allow_negative_numbers = true)]
    pub seed: u64,
    /// Threads; they change the time, not the answer. All processors when absent.
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
    /// Folder for the files; made if missing. When absent: out/, the scenario file's name and -relamp.
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
    /// Print the whole report as JSON instead of tables.
    #[arg(long)]
    pub json: bool,
}

/// Options of `import`.
#[derive(Debug, Args)]
pub struct Import {
    /// The rate, as JSON.
    pub rate: PathBuf,
    /// Tariff file to write; it must not exist yet. "-" prints it, and the report goes to standard error.
    pub tariff: PathBuf,
    /// ISO 4217 code of the rate's currency.
    #[arg(long, default_value = "USD", value_parser = currency)]
    pub currency: String,
}

/// Options of `schema`.
#[derive(Debug, Args)]
pub struct Schema {
    /// Which kind of file.
    #[arg(value_enum, default_value_t = SchemaOf::Scenario)]
    pub of: SchemaOf,
}

/// Kinds of files with a schema.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
pub enum SchemaOf {
    /// A whole scenario.
    Scenario,
    /// A tariff file.
    Tariff,
    /// A price history.
    Prices,
    /// A grid of readings.
    Grid,
    /// A lamp file.
    Lamp,
}

/// A number of months.
fn months(text: &str) -> Result<usize, String> {
    text.parse().ok().filter(|months| (1..=720).contains(months)).ok_or_else(|| "1 to 720 months are allowed".into())
}

/// Hours of a day.
fn dark_hours(text: &str) -> Result<f64, String> {
    text.parse()
        .ok()
        .filter(|hours| (0.0..24.0).contains(hours))
        .ok_or_else(|| "0 to less than 24 h are allowed".into())
}

/// Two times of day.
fn span(text: &str) -> Result<(calendar::Minute, calendar::Minute), String> {
    let times = text.split_once('-').map(|(from, to)| (calendar::Minute::parse(from), calendar::Minute::parse(to)));
    match times {
        Some((Some(from), Some(to))) if from != to => Ok((from, to)),
        _ => Err("two different times as HH:MM-HH:MM are allowed".into()),
    }
}

/// A code of three capitals.
fn currency(text: &str) -> Result<String, String> {
    let fits = text.len() == 3 && text.bytes().all(|b| b.is_ascii_uppercase());
    if fits { Ok(text.into()) } else { Err("an ISO 4217 code of three capitals is allowed, such as USD".into()) }
}

/// A share as 0.001 or 0.1%.
fn share(text: &str) -> Result<f64, String> {
    let (number, factor) = text.strip_suffix('%').map_or((text, 1.0), |number| (number, 0.01));
    let share =
        number.trim().parse::<f64>().map_err(|_| "a share such as 0.1% or 0.001 is allowed".to_owned())? * factor;
    if share > 0.0 && share < 1.0 { Ok(share) } else { Err("more than 0 and less than 1 (100%) is allowed".into()) }
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
                _ => {}
            }
        }
        Ok(arguments)
    }
}

impl Which {
    fn order(&mut self, matches: &ArgMatches) {
        let sets = self.sets.drain(..).map(GivenWhatIf::Set);
        let patches = self.patches.drain(..).map(GivenWhatIf::Patch);
        let places = |id| matches.indices_of(id).into_iter().flatten();
        let mut all: Vec<_> = places("sets").zip(sets).chain(places("patches").zip(patches)).collect();
        all.sort_by_key(|(place, _)| *place);
        self.what_ifs = all.into_iter().map(|(_, what_if)| what_if).collect();
    }
}
