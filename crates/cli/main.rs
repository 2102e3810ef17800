//! The door of lampledger: arguments, files, exit codes. What a command means is said on the floors below.

mod answer;
mod args;
mod assign;
mod bill;
mod breakeven;
mod canopy;
mod cash;
mod check;
mod demo;
mod dossier;
mod drivers;
mod failure;
mod files;
mod hours;
mod import;
mod learn;
mod life_test;
mod map;
mod mix;
mod parse;
mod rank;
mod relamp;
mod report;
mod run;
mod scene;
mod schema;
mod score;
mod stage;
mod starter;
mod terminal;
mod why;
mod workbook;

use std::io::Write;
use std::process::ExitCode;

use args::{Arguments, Command};
use clap::CommandFactory;
use failure::Failure;

fn main() -> ExitCode {
    let arguments = match Arguments::read(std::env::args_os()) {
        Ok(arguments) => arguments,
        Err(error) => {
            // help and version are no errors, and end with 0; wrong use ends with 2
            let code = u8::try_from(error.exit_code()).unwrap_or(2);
            drop(error.print());
            return ExitCode::from(code);
        }
    };
    // a panic is a bug of ours: say so and keep the exit codes' promise
    match std::panic::catch_unwind(|| act(&arguments.command)) {
        Ok(Ok(code)) => ExitCode::from(code),
        Ok(Err(failure)) => {
            if let Some(message) = failure.message(terminal::error_color()) {
                terminal::tell(&message);
            }
            failure.code()
        }
        Err(_) => {
            terminal::tell("bug in lampledger: it stopped in a place where it should not; nothing was half-written\n");
            ExitCode::from(4)
        }
    }
}

fn act(command: &Command) -> Result<u8, Failure> {
    match command {
        Command::New(new) => starter::new(&new.file).map(|()| 0),
        Command::Check(check) => check::check(check).map(|()| 0),
        Command::Run(run) => run::run(run),
        Command::Bill(bill) => bill::bill(bill).map(|()| 0),
        Command::Hours(hours) => hours::hours(hours),
        Command::Relamp(relamp) => relamp::relamp(relamp),
        Command::Cash(cash) => cash::cash(cash),
        Command::Workbook(asked) => workbook::workbook(asked),
        Command::Breakeven(breakeven) => breakeven::breakeven(breakeven),
        Command::Map(map) => map::map(map),
        Command::Rank(rank) => rank::rank(rank),
        Command::Drivers(drivers) => drivers::drivers(drivers),
        Command::Why(why) => why::why(why),
        Command::Stage(stage) => stage::stage(stage),
        Command::Test(test) => life_test::test(test),
        Command::Mix(mix) => mix::mix(mix),
        Command::Canopy(canopy) => canopy::canopy(canopy).map(|()| 0),
        Command::Assign(assign) => assign::assign(assign).map(|()| 0),
        Command::Score(judged) => score::score(judged).map(|()| 0),
        Command::Learn(learn) => learn::learn(learn),
        Command::Report(report) => report::report(report).map(|()| 0),
        Command::Import(import) => import::import(import).map(|()| 0),
        Command::Schema(schema) => schema::schema(schema).map(|()| 0),
        Command::Completions { shell } => {
            let mut script = vec![];
            clap_complete::generate(*shell, &mut Arguments::command(), "lampledger", &mut script);
            print(&script).map(|()| 0)
        }
        Command::Man => {
            let mut page = vec![];
            clap_mangen::Man::new(Arguments::command()).render(&mut page)?;
            print(&page).map(|()| 0)
        }
    }
}

/// Prints to standard output.
fn print(bytes: &[u8]) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    out.write_all(bytes)?;
    out.flush()?;
    Ok(())
}
