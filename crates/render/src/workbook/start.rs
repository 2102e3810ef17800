//! The first sheet: what was asked, what was found, how to read the rest.
//!
//! Belongs here: words and where to look. Does not belong here: numbers that are not told elsewhere.

use decide::result::Ended;
use decide::workbook_report::WorkbookReport;
use rust_xlsxwriter::Workbook;

use super::compare::{FAILING, holds, verdict};
use super::leaf::{Cached, Done, Kind, Leaf, MONEY, fixed, look, stale_look, stretch};
use super::places::{
    BILLS, CHANGED, CHECKS, COMPARE, COMPARED, FINANCE, INPUTS, MONTHS, OTHERS, QUANTITIES, SAVINGS, START, YEARS, on,
};
use super::{answer, confidence, question};
use crate::number;
use crate::words::clean;

/// What stands on each sheet.
pub(super) const SHEETS: [(&str, &str); 11] = [
    (START, "question, answer, how to read this"),
    (INPUTS, "prices and the discount rate: overwrite them"),
    (OTHERS, "everything else that was put in; needs a new simulation"),
    (BILLS, "the first bills line by line, with the lights and without"),
    (QUANTITIES, "how much is paid for, by month and price"),
    (MONTHS, "dated cash, cause by cause"),
    (YEARS, "the same by year"),
    (SAVINGS, "each option against the reference, by month"),
    (FINANCE, "net present value, rates, ratios, payback, cost per mole"),
    (COMPARE, "base path beside the simulation"),
    (CHECKS, "sums that must come to 0"),
];

/// Writes `Start`.
pub(super) fn start(book: &mut Workbook, report: &WorkbookReport, checks: usize) -> Done {
    let about = "A ledger of light: what a delivered mole of photons costs over the years, for the accountant.";
    let mut leaf = Leaf::new(book, START, &report.title, about)?;
    leaf.widths(&[26.0, 118.0])?;
    let mut desk = Desk { leaf, row: 3 };
    if report.ended == Ended::Interrupted {
        let told = format!(
            "stopped after {}: no more than that is behind the numbers",
            number::counted(report.trials, "trial")
        );
        desk.line("INTERRUPTED", &told)?;
    }
    desk.line("Question", &question(report))?;
    desk.line("Answer", &answer(report))?;
    desk.line("Confidence", &confidence(report))?;
    let changed = on(INPUTS, &fixed(CHANGED));
    let state = format!(
        "=IF({changed}=0,\"as simulated\",\"STALE: live inputs were changed, \"&{changed}&\" in all; the answer above is of before\")"
    );
    desk.formula("State of that answer", &state, Cached::Text("as simulated".into()))?;
    let mark = format!("={changed}>0");
    desk.leaf.stale((desk.row - 3, 1), (desk.row - 2, 1), &mark)?;
    live(&mut desk, report)?;
    let failing = on(CHECKS, &fixed(FAILING));
    desk.formula("Checks", &verdict(&failing, checks as u32), holds(checks))?;
    desk.row += 1;
    facts(&mut desk, report)?;
    desk.row += 1;
    legend(&mut desk)?;
    desk.row += 1;
    desk.heading("Sheets")?;
    for (name, about) in SHEETS {
        desk.line(name, about)?;
    }
    for (title, sentences) in
        [("What is not live", &report.not_live), ("Cautions", &report.cautions), ("Remarks", &report.remarks)]
    {
        if !sentences.is_empty() {
            desk.row += 1;
            desk.heading(title)?;
            for sentence in sentences {
                desk.line("", sentence)?;
            }
        }
    }
    Ok(())
}

/// The base path in a sentence that follows the inputs.
fn live(desk: &mut Desk, report: &WorkbookReport) -> Done {
    let last = COMPARED + report.options.len() as u32 - 1;
    let column = |column: u16| on(COMPARE, &stretch((COMPARED, column), (last, column)));
    let formula = format!(
        "=IFERROR(\"Cheapest: \"&INDEX({},MATCH(1,{},0))&\", \"&TEXT(MIN({}),\"0.000\")&\" ct/mol\",\"No option gives light\")",
        column(0),
        column(2),
        column(1)
    );
    let cheapest = report.figures.cheapest;
    let cost = report.figures.options.get(cheapest).and_then(|figures| figures.levelized);
    let cached = match (report.options.get(cheapest), cost) {
        (Some(option), Some(cost)) => format!("Cheapest: {}, {:.3} ct/mol", clean(&option.name), cost * 100.0),
        _ => "No option gives light".into(),
    };
    desk.formula("Base path, live", &formula, Cached::Text(cached))
}

fn facts(desk: &mut Desk, report: &WorkbookReport) -> Done {
    desk.heading("What it is made of")?;
    let currency = clean(&report.currency);
    desk.line("Contract", &format!("{}, lights {}", clean(&report.contract), clean(&report.lights)))?;
    desk.line("Reference", report.options.get(report.reference).map_or("", |option| &option.name))?;
    desk.line(
        "Money",
        &format!(
            "{} {currency}, prices of {}{}; amounts are booked {}; before tax and loan",
            clean(&report.basis),
            clean(&report.prices_of),
            super::raised(report),
            clean(&report.booked)
        ),
    )?;
    desk.line(
        "Horizon",
        &format!("{} from {}", number::counted(report.horizon_years.into(), "year"), clean(&report.start)),
    )?;
    desk.line(
        "Base path",
        &format!(
            "every input at its median, mean over the luck of {}; cost is quantities times prices",
            number::counted(report.path_trials, "trial")
        ),
    )?;
    desk.line(
        "Simulation",
        &format!(
            "{}, seed {}, every input as uncertain as it is",
            number::counted(report.trials, "trial"),
            report.seed
        ),
    )?;
    desk.line("Program", &format!("lampledger {}", clean(&report.program)))?;
    desk.line("Inputs, SHA-256", &report.input_digest)?;
    for what_if in &report.what_ifs {
        desk.line("What if", what_if)?;
    }
    Ok(())
}

fn legend(desk: &mut Desk) -> Done {
    desk.heading("How cells look")?;
    for (kind, told) in [
        (Kind::Input, "framed and bold: an input that is live; overwrite it"),
        (Kind::Live, "upright on white: a formula"),
        (Kind::Value, "slanted on grey: a value of the program or the simulation; no formula"),
    ] {
        desk.leaf.number((desk.row, 0), 1234.5, kind, MONEY)?;
        desk.leaf.text((desk.row, 1), told, Kind::Text)?;
        desk.row += 1;
    }
    // a legend does not wait for an input to change
    let format = look(Kind::Value, MONEY).set_font_strikethrough();
    let stale = stale_look().merge(&format);
    desk.leaf.sheet.write_number_with_format(desk.row, 0, 1234.5, &stale)?;
    desk.leaf.text(
        (desk.row, 1),
        "struck through and hatched: STALE, simulated with other inputs than those that stand there now",
        Kind::Text,
    )?;
    desk.row += 1;
    Ok(())
}

struct Desk<'a> {
    leaf: Leaf<'a>,
    row: u32,
}

/// Letters that fit into a line of the second column.
const ACROSS: usize = 135;

impl Desk<'_> {
    fn heading(&mut self, text: &str) -> Done {
        self.leaf.text((self.row, 0), text, Kind::Heading)?;
        self.row += 1;
        Ok(())
    }

    fn line(&mut self, name: &str, text: &str) -> Done {
        if !name.is_empty() {
            self.leaf.text((self.row, 0), name, Kind::Quiet)?;
        }
        self.leaf.text((self.row, 1), text, Kind::Prose)?;
        let lines = crate::words::columns(&clean(text)).div_ceil(ACROSS).clamp(1, 10);
        if lines > 1 {
            self.leaf.sheet.set_row_height(self.row, 13.5 * lines as f64)?;
        }
        self.row += 1;
        Ok(())
    }

    fn formula(&mut self, name: &str, formula: &str, cached: Cached) -> Done {
        self.leaf.text((self.row, 0), name, Kind::Quiet)?;
        self.leaf.formula((self.row, 1), formula, &cached, Kind::Heading, "")?;
        self.row += 1;
        Ok(())
    }
}
