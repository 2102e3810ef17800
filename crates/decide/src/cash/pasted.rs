//! A row of amounts that somebody pastes: what it is worth, what it earns, when it has paid for itself.
//!
//! Belongs here: reading the text, and the measures. Does not belong here: files.

use finance::Flows;

use super::measures;
use crate::cash_report::{Measured, PASTED_FORMAT, PastedReport, Repaid};

/// Most rows.
const MOST_ROWS: usize = 10_000;

/// Reads amounts: one a line for years 0, 1, 2 …, or years and amount. A first line of names is passed over. Commas,
/// semicolons and tabs part the two.
///
/// # Errors
/// A message that names the line.
pub fn read_amounts(text: &str) -> Result<Vec<(f64, f64)>, String> {
    let mut rows: Vec<(f64, f64)> = vec![];
    let mut columns = None;
    let text = text.trim_start_matches('\u{feff}');
    let lines = text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty());
    for (nth, (at, line)) in lines.enumerate() {
        let cells: Vec<&str> = line.split([',', ';', '\t']).map(|cell| cell.trim().trim_matches('"').trim()).collect();
        let numbers: Option<Vec<f64>> = cells.iter().map(|cell| cell.parse::<f64>().ok()).collect();
        let line_number = at + 1;
        let Some(numbers) = numbers else {
            if nth == 0 && cells.iter().all(|cell| !cell.starts_with(|c: char| c.is_ascii_digit() || c == '-')) {
                continue;
            }
            let shown: String = line.trim().chars().take(40).collect();
            return Err(format!(
                "line {line_number}: \"{}\" is no amount, and no years and amount; numbers look like -1234.5, two of them \
                 are parted by a comma",
                scenario::harmless(&shown)
            ));
        };
        if let Some(bad) = numbers.iter().find(|number| !number.is_finite()) {
            return Err(format!("line {line_number}: {bad} is not a finite number"));
        }
        let row = match *numbers.as_slice() {
            [amount] => (rows.len() as f64, amount),
            [years, amount] => (years, amount),
            _ => return Err(format!("line {line_number}: {} columns; one or two are read", numbers.len())),
        };
        if columns.replace(numbers.len()).is_some_and(|before| before != numbers.len()) {
            return Err(format!("line {line_number}: one column here and two elsewhere; all lines must have the same"));
        }
        rows.push(row);
        if rows.len() > MOST_ROWS {
            return Err(format!("more than {MOST_ROWS} rows"));
        }
    }
    if rows.is_empty() {
        return Err("there is no amount in it".into());
    }
    Ok(rows)
}

/// What a row of amounts says: (years from the start, amount), at rates per year.
///
/// # Errors
/// A message when a rate is −100 % or below, or an amount or a moment is out of range.
pub fn pasted(rows: &[(f64, f64)], rate: f64, reinvest: f64, program: &str) -> Result<PastedReport, String> {
    for (rate, name) in [(rate, "--rate"), (reinvest, "--reinvest")] {
        if !(rate > -1.0 && rate.is_finite()) {
            return Err(format!(
                "{name} {} %: a rate must be above −100 % a year; at −100 % nothing would be left to discount by",
                100.0 * rate
            ));
        }
    }
    let words = |fault: finance::Fault| fault.to_string();
    let flow = Flows::dated(rows).map_err(words)?;
    let npv = flow.present_value(rate).map_err(words)?;
    let irr = measures::rates(&flow, &[]);
    let measured = |found: Result<f64, finance::Fault>, why: &str| match found {
        Ok(value) => Measured { value: Some(value), ..Measured::default() },
        Err(_) => Measured { note: why.into(), ..Measured::default() },
    };
    let no_rate = if irr.note.is_empty() { "no such rate is within reach".into() } else { irr.note.clone() };
    let within = |mut repaid: Repaid| {
        if repaid.note == "never within the horizon" {
            repaid.note = "never within these years".into();
        }
        repaid
    };
    Ok(PastedReport {
        format: PASTED_FORMAT.into(),
        program: program.into(),
        rows: rows.len(),
        years: flow.years(),
        discount_rate: rate,
        reinvestment_rate: reinvest,
        total: flow.amounts().sum(),
        npv,
        mirr: measured(flow.modified_rate(rate, reinvest), &no_rate),
        simple_payback: within(measures::repaid(&flow, 0.0, &[], &[])),
        discounted_payback: within(measures::repaid(&flow, rate, &[], &[])),
        equivalent_annual: measured(flow.equivalent_annual(rate), "the row has no length"),
        irr,
    })
}
