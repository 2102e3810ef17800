//! How far each input moves the lead from one end of its band to the other.
//!
//! Belongs here: the table and the count of what it leaves out. Does not belong here: the order, which arrives with the
//! numbers.

use decide::drivers_report::{Driver, DriversReport, Turned};

use super::{Marks, Names, left_out, unit_of};
use crate::breakeven::shown;
use crate::number;
use crate::page::{Column, Page};
use crate::words::{clean, columns, shorten};

/// Most rows.
const ROWS: usize = 12;
/// Columns of a unit beside its values.
const UNIT: f64 = 9.0;
/// Digits of an end that is a doubt.
const DIGITS: f64 = 3.0;

/// Writes the table.
pub(super) fn moves(page: &mut Page, report: &DriversReport, names: &Names) {
    page.heading("What moves the lead");
    if report.inputs.is_empty() {
        page.hanging("", "No input moves it.");
        return;
    }
    let currency = clean(&report.currency);
    let by = match names.marks {
        Marks::Names => "",
        Marks::Words(_) => ", called by its first word",
        Marks::Numbers => ", by its number above",
    };
    page.hanging(
        "",
        &format!(
            "Lead of {} over {} with the input at the low and at the high end of its band, {} {currency}. →: another option is \
             cheapest there{by}. ~: the band is a doubt, not a belief.",
            super::option(report, report.favourite),
            super::option(report, report.runner_up),
            clean(&report.basis),
        ),
    );
    page.gap();
    let rows = &report.inputs[..report.inputs.len().min(ROWS)];
    let first: Vec<String> = (0..rows.len()).map(|k| names.input(k)).collect();
    let column = |name: &str, cell: &dyn Fn(&Driver) -> Vec<String>| Column {
        name: name.to_owned(),
        cells: rows.iter().map(cell).collect(),
    };
    let at = |turned: Turned| {
        let other = turned.winner != report.favourite;
        vec![
            number::estimate(turned.lead),
            if other { format!("→{}", names.mark(turned.winner)) } else { String::new() },
        ]
    };
    let table = [
        column("low – median – high", &|driver| vec![band(driver), beside(driver)]),
        column(&format!("lead at low, {currency}"), &|driver| at(driver.low)),
        column(&format!("lead at high, {currency}"), &|driver| at(driver.high)),
    ];
    page.grid(&first, &table);
    if let Some(next) = report.inputs.get(ROWS) {
        let swing = (next.high.lead.value - next.low.lead.value).abs();
        let rest = report.inputs.len() - ROWS;
        let amount = if swing.is_finite() {
            format!(": by {}\u{202f}{currency} at the most", number::to_noise(swing, f64::INFINITY))
        } else {
            String::new()
        };
        page.gap();
        let inputs = left_out(rest, "further input", ("moves", "move"));
        page.hanging("", &format!("{inputs} it less from end to end{amount}."));
    }
}

/// Low end, median and high end of a band.
pub(crate) fn band(driver: &Driver) -> String {
    let (low, median, high) = driver.values;
    let end = |value: f64| shown(if driver.is_uncertain { value } else { rounded(value) });
    let all = [end(low), shown(median), end(high)];
    let plain = all.iter().all(|text| text.starts_with(|c: char| c.is_ascii_digit()) && !text.contains('e'));
    all.join(if plain { "–" } else { " to " })
}

/// An end of a doubt, which is no sharper than a judgement.
pub(crate) fn rounded(value: f64) -> f64 {
    // of 0 the step is no number, and neither is what comes of it
    let step = 10f64.powf(DIGITS - 1.0 - value.abs().log10().floor());
    let rounded = (value * step).round() / step;
    if rounded.is_finite() { rounded } else { value }
}

/// What stands behind a band: its unit, and the mark of a doubt.
fn beside(driver: &Driver) -> String {
    let unit = shorten(&unit_of(driver), UNIT, |text| columns(text) as f64);
    let mark = if driver.is_uncertain { "" } else { "~" };
    format!("{unit} {mark}").trim().to_owned()
}
