//! The workbook: a report's numbers as sheets whose formulas follow prices and the discount rate.
//!
//! Belongs here: the order of sheets, and what several of them say. Does not belong here: arithmetic; what a formula came to
//! when the workbook was written is read from the report, and stands beside the formula for programs that do not calculate.
//!
//! The same report gives the same bytes: the date of creation is a fixed one.

mod bills;
mod cash;
mod compare;
mod finance;
mod inputs;
mod leaf;
mod page;
mod places;
mod start;

use decide::rank_report::Word;
use decide::workbook_report::WorkbookReport;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, XlsxError};

use crate::number;
use crate::words::clean;
use places::Places;

pub(crate) use page::page;

/// The workbook as the bytes of an `.xlsx` file.
///
/// # Errors
/// A message when it cannot be written, which is a fault of this program.
pub fn xlsx(report: &WorkbookReport) -> Result<Vec<u8>, String> {
    write(report).map_err(|error| error.to_string())
}

fn write(report: &WorkbookReport) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let made = ExcelDateTime::from_ymd(2000, 1, 1)?;
    let about = DocProperties::new().set_title(clean(&report.title)).set_creation_datetime(&made);
    book.set_properties(&about);
    let places = Places::new(report);
    // checks and the first sheet need to know what stands on the others, and come to their place at the end
    inputs::live(&mut book, report, &places)?;
    inputs::others(&mut book, report)?;
    let totals = bills::bills(&mut book, report, &places)?;
    cash::quantities(&mut book, report, &places)?;
    cash::months(&mut book, report, &places)?;
    cash::years(&mut book, report, &places)?;
    finance::savings(&mut book, report, &places)?;
    finance::finance(&mut book, report, &places)?;
    compare::compare(&mut book, report)?;
    let checks = compare::checks(&mut book, report, &places, &totals)?;
    start::start(&mut book, report, checks)?;
    book.worksheets_mut().rotate_right(1);
    book.worksheet_from_index(0)?.set_active(true);
    book.save_to_buffer()
}

/// What is said of prices in money of the day.
fn raised(report: &WorkbookReport) -> &'static str {
    if report.basis == "nominal" { " raised by inflation as the scenario says" } else { "" }
}

/// What was asked.
pub(crate) fn question(report: &WorkbookReport) -> String {
    format!(
        "Which of {} delivers a mole of photons most cheaply under {}?",
        number::counted(report.options.len() as u64, "option"),
        clean(&report.contract)
    )
}

/// What the simulation answers.
pub(crate) fn answer(report: &WorkbookReport) -> String {
    let name = |option: usize| report.options.get(option).map_or_else(String::new, |option| clean(&option.name));
    let told = &report.answer;
    let Some(cheapest) = report.options.get(told.cheapest) else { return "nothing".into() };
    let mean = number::ct(cheapest.simulated.levelized.mean);
    match told.next {
        Some(next) if matches!(told.word, Word::WithinNoise | Word::Immaterial) => {
            format!("{} at {mean} ct/mol on average, no further from {} than noise", name(told.cheapest), name(next))
        }
        Some(next) => format!(
            "{} at {mean} ct/mol on average, {} ct/mol below {}",
            name(told.cheapest),
            number::to_noise(-told.lead.value * 100.0, told.lead.se * 100.0),
            name(next)
        ),
        None => format!("{} at {mean} ct/mol on average; there is no other option", name(told.cheapest)),
    }
}

/// How sure that is.
fn confidence(report: &WorkbookReport) -> String {
    let told = &report.answer;
    if told.next.is_none() {
        return "nothing is ranked".into();
    }
    let chance = report.options.get(told.cheapest).map(|option| option.simulated.cheapest).unwrap_or_default();
    let of_futures = format!("the cheapest in {} of the futures", number::percent(chance.value, chance.se));
    match told.word {
        Word::Clear => format!("clear: {of_futures}, and ahead of the next in nine of ten"),
        Word::Leaning => format!("leaning: {of_futures}"),
        Word::WithinNoise | Word::Immaterial => format!("too close to call: {of_futures}"),
    }
}
