//! The tables of `why`: every digit, money in the currency.
//!
//! Belongs here: which rows they have. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::result::Estimate;
use decide::why_report::{Origin, WhyReport};

use super::sums::{equation, formula};
use crate::table::{Rows, WHY, WHY_SUMS, header};

/// [`WHY`] as text: one row per part of the lead, and the lead itself; no row without a lead.
pub fn why_csv(report: &WhyReport) -> String {
    let mut rows = Rows::new(&header(WHY, &report.currency, &report.basis));
    if let Some(lead) = &report.lead {
        let parts = lead.parts.iter().map(|part| (part.name.as_str(), part.lead, part.by_money, part.by_new_light));
        for (name, adds, by_money, by_new_light) in parts.chain([("lead", lead.lead, None, None)]) {
            for text in [&lead.option, &lead.against, &report.contract, &report.prices_of] {
                rows.text(text);
            }
            rows.number(report.trials as f64);
            rows.text(name);
            for estimate in [Some(adds), by_money, by_new_light] {
                number(&mut rows, estimate.map(|Estimate { value, .. }| value));
                number(&mut rows, estimate.map(|Estimate { se, .. }| se));
            }
            rows.end();
        }
    }
    rows.finish()
}

/// [`WHY_SUMS`] as text: one row per option and line, the last line of an option is its headline.
pub fn why_sums_csv(report: &WhyReport) -> String {
    let mut rows = Rows::new(&header(WHY_SUMS, &report.currency, &report.basis));
    for sum in &report.sums {
        for line in &sum.lines {
            rows.text(&sum.option);
            rows.text(&report.contract);
            rows.text(&line.what);
            rows.text(&equation(line));
            number(&mut rows, Some(line.value));
            rows.text(&line.unit);
            rows.text(match line.origin {
                Origin::Inputs => "inputs",
                Origin::Simulated => "simulated",
                Origin::Lines => "lines",
            });
            let inputs: Vec<String> = line
                .inputs
                .iter()
                .map(|input| {
                    let assumed = if input.stated { "" } else { ", assumed" };
                    format!("{} {} {}, {}{assumed}", input.pointer, input.value, input.unit, input.grade)
                })
                .collect();
            rows.text(&inputs.join("; "));
            rows.text(&line.note);
            rows.end();
        }
        rows.text(&sum.option);
        rows.text(&report.contract);
        rows.text("a mole");
        rows.text(&formula(sum));
        number(&mut rows, Some(sum.levelized.value));
        rows.text(&format!("{}/mol", report.currency));
        rows.text("lines");
        rows.text("");
        rows.text("The working is in hundredths of the currency.");
        rows.end();
    }
    rows.finish()
}

/// A number; what is none leaves its cell empty.
fn number(rows: &mut Rows, value: Option<f64>) {
    match value.filter(|value| value.is_finite()) {
        Some(value) => rows.number(value),
        None => rows.absent(),
    }
}

/// All tables of a report: without a lead there is none of it.
pub(crate) fn tables(report: &WhyReport) -> Vec<(String, String)> {
    let lead = report.lead.iter().map(|_| (WHY.to_owned(), why_csv(report)));
    lead.chain([(WHY_SUMS.to_owned(), why_sums_csv(report))]).collect()
}
