//! The sheets of inputs: those that are live, and those that need a new simulation.

use decide::workbook_report::{LiveInput, WorkbookReport};
use rust_xlsxwriter::{DataValidation, DataValidationRule, Workbook};

use super::leaf::{COUNT, Cached, Done, Kind, Leaf, NUMBER, PERCENT, fixed, free, stretch};
use super::places::{CHANGED, INPUTS, OTHERS, Places, RATE};
use crate::words::{clean, shorten};

/// Columns beside an input: as written, changed or not, the range, outside of it or not.
const WRITTEN: u16 = 7;
const SAME: u16 = 8;
const LOW: u16 = 9;
const HIGH: u16 = 10;
/// Column that is 1 where an input lies outside of what re-pricing holds for.
pub(super) const OUTSIDE: u16 = 11;
const NOTE: u16 = 12;

/// Writes `Inputs`.
pub(super) fn live(book: &mut Workbook, report: &WorkbookReport, places: &Places) -> Done {
    let about = "Overwrite the framed cells of column B; everything that a formula works out follows. All other inputs are on \
                 the sheet \"Other inputs\".";
    let mut leaf = Leaf::new(book, INPUTS, "Live inputs: prices and the discount rate", about)?;
    leaf.widths(&[48.0, 12.0, 16.0, 10.0, 10.0, 11.0, 10.0, 11.0, 9.0, 11.0, 10.0, 9.0, 46.0])?;
    leaf.text((CHANGED.0, 0), "Inputs that differ from how they were written", Kind::Text)?;
    let same = stretch((RATE.0, SAME), (places.last_input, SAME));
    leaf.formula(CHANGED, &format!("=COUNTIF({same},\"changed\")"), &Cached::Number(0.0), Kind::Sum, COUNT)?;
    leaf.text((CHANGED.0 + 1, 0), "State of what was simulated", Kind::Text)?;
    let state = format!("=IF({}=0,\"as simulated\",\"STALE: inputs were changed\")", fixed(CHANGED));
    leaf.formula((CHANGED.0 + 1, 1), &state, &Cached::Text("as simulated".into()), Kind::Live, "")?;
    leaf.heads(
        (RATE.0 - 1, 0),
        &[
            "Input",
            "#Value now",
            "Unit",
            "#10 % lie below",
            "#90 % lie below",
            "Grade",
            "Stated",
            "#As written",
            "#Same?",
            "#Held from",
            "#Held to",
            "#Outside?",
            "Note",
        ],
    )?;
    leaf.sheet.set_row_height(RATE.0 - 1, 28)?;
    row(&mut leaf, RATE.0, &report.rate, PERCENT)?;
    for (k, price) in report.prices.iter().enumerate() {
        row(&mut leaf, places.price(k).0, price, NUMBER)?;
    }
    let below = places.last_input + 2;
    leaf.text(
        (below, 0),
        "Held from, to: within these values the program found the cost of the base path to be a straight line of the prices; \
         1 in the next column says that an input lies outside, or is no number.",
        Kind::Quiet,
    )?;
    leaf.sheet.set_freeze_panes(RATE.0, 2)?;
    leaf.sheet.set_repeat_rows(RATE.0 - 1, RATE.0 - 1).map(drop)
}

fn row(leaf: &mut Leaf, row: u32, live: &LiveInput, number: &str) -> Done {
    let input = &live.input;
    let is_rate = row == RATE.0;
    leaf.text((row, 0), &input.place, Kind::Text)?;
    leaf.number((row, RATE.1), input.p50, Kind::Input, number)?;
    let unit = if is_rate { "a year".to_owned() } else { clean(&input.unit) };
    leaf.text((row, 2), &unit, Kind::Text)?;
    leaf.number((row, 3), input.p10, Kind::Text, number)?;
    leaf.number((row, 4), input.p90, Kind::Text, number)?;
    leaf.text((row, 5), &input.grade, Kind::Text)?;
    leaf.text((row, 6), if input.stated { "stated" } else { "assumed" }, Kind::Text)?;
    leaf.number((row, WRITTEN), input.p50, Kind::Value, number)?;
    let (now, written) = (free((row, RATE.1)), free((row, WRITTEN)));
    let same = format!("=IF({now}={written},\"same\",\"changed\")");
    leaf.formula((row, SAME), &same, &Cached::Text("same".into()), Kind::Live, NUMBER)?;
    let outside = match (live.held, is_rate) {
        (Some((low, high)), _) => {
            leaf.number((row, LOW), low, Kind::Value, number)?;
            leaf.number((row, HIGH), high, Kind::Value, number)?;
            format!("AND({now}>={},{now}<={})", free((row, LOW)), free((row, HIGH)))
        }
        (None, true) => {
            leaf.word((row, LOW), "above -1")?;
            leaf.word((row, HIGH), "any")?;
            format!("{now}>-1")
        }
        (None, false) => {
            leaf.word((row, LOW), "any")?;
            leaf.word((row, HIGH), "any")?;
            "TRUE".into()
        }
    };
    let outside = format!("=IF(ISNUMBER({now}),IF({outside},0,1),1)");
    leaf.live((row, OUTSIDE), &outside, 0.0, COUNT)?;
    leaf.text((row, NOTE), &input.note, Kind::Text)?;
    let changed = format!("{}=\"changed\"", fixed((row, SAME)));
    leaf.stale((row, WRITTEN), (row, WRITTEN), &changed)?;
    let limits =
        if is_rate { DataValidationRule::Between(-0.99, 10.0) } else { DataValidationRule::Between(-1e9, 1e9) };
    let asked = format!("Overwrite to re-price. As written: {} {unit}", input.p50);
    let asked = shorten(&asked, 250.0, |text| text.chars().count() as f64);
    let validation = DataValidation::new()
        .allow_decimal_number(limits)
        .set_input_title("Live input")?
        .set_input_message(asked)?
        .set_error_title("No such number")?
        .set_error_message(if is_rate {
            "A rate a year from -99 % to 1000 %."
        } else {
            "A number from -1e9 to 1e9."
        })?;
    leaf.sheet.add_data_validation(row, RATE.1, row, RATE.1, &validation).map(drop)
}

/// Writes `Other inputs`.
pub(super) fn others(book: &mut Workbook, report: &WorkbookReport) -> Done {
    let about = "Values by which the simulation was run. Changing them here changes nothing: change the scenario and write the \
                 workbook anew.";
    let mut leaf = Leaf::new(book, OTHERS, "Inputs that need a new simulation", about)?;
    leaf.widths(&[58.0, 13.0, 14.0, 12.0, 12.0, 11.0, 10.0, 40.0, 70.0])?;
    let names = [
        "Input",
        "#Median",
        "Unit",
        "#10 % lie below",
        "#90 % lie below",
        "Grade",
        "Stated",
        "Why it is not live",
        "Note",
    ];
    leaf.heads((3, 0), &names)?;
    leaf.sheet.set_row_height(3, 28)?;
    for (row, other) in (4..).zip(&report.others) {
        let input = &other.input;
        leaf.text((row, 0), &input.place, Kind::Text)?;
        for (column, value) in [(1, input.p50), (3, input.p10), (4, input.p90)] {
            leaf.number((row, column), value, Kind::Value, NUMBER)?;
        }
        leaf.text((row, 2), &input.unit, Kind::Text)?;
        leaf.text((row, 5), &input.grade, Kind::Text)?;
        leaf.text((row, 6), if input.stated { "stated" } else { "assumed" }, Kind::Text)?;
        leaf.text((row, 7), &other.why, Kind::Text)?;
        leaf.text((row, 8), &input.note, Kind::Text)?;
    }
    leaf.sheet.set_freeze_panes(4, 1)?;
    leaf.sheet.set_repeat_rows(3, 3).map(drop)
}
