//! Where the uncertainty of the lead comes from.
//!
//! Belongs here: the table of shares. Does not belong here: the shares.

use decide::drivers_report::{DriversReport, Shares};

use super::{Names, left_out, parts};
use crate::number;
use crate::page::{Column, Page};
use crate::relamp::scaled;
use crate::words::clean;

/// Most inputs.
const ROWS: usize = 12;

/// Writes the table; says so where nothing is uncertain.
pub(super) fn shares(page: &mut Page, report: &DriversReport, names: &Names) {
    page.heading("Where the uncertainty of the lead comes from");
    if report.lead_sd == 0.0 {
        page.hanging("", "Nowhere: the lead is the same in every trial.");
        return;
    }
    let currency = clean(&report.currency);
    let spread = if report.lead_sd.is_finite() {
        format!(
            "From trial to trial the lead varies with a standard deviation of {}\u{202f}{currency}.",
            number::to_noise(report.lead_sd, f64::INFINITY)
        )
    } else {
        "How far the lead varies from trial to trial is not known.".to_owned()
    };
    let mut rows: Vec<(String, Shares)> = vec![];
    for (k, driver) in report.inputs.iter().enumerate() {
        rows.extend(driver.shares.map(|shares| (names.input(k), shares)));
    }
    if rows.is_empty() {
        page.hanging("", &format!("{spread} No input is uncertain: all of that is luck of lamps, gear and market."));
        return;
    }
    rows.sort_by(|a, b| b.1.total.value.total_cmp(&a.1.total.value));
    let rest = rows.len().saturating_sub(ROWS);
    rows.truncate(ROWS);
    rows.push(("luck of lamps, gear and market".to_owned(), report.luck));
    page.hanging(
        "",
        &format!(
            "{spread} Alone: the part of its variance that knowing the one input would take away. In all: the part that would be \
             left if everything else were known. They differ where inputs act together."
        ),
    );
    page.gap();
    let first: Vec<String> = rows.iter().map(|(name, _)| name.clone()).collect();
    let column = |name: &str, cell: &dyn Fn(&Shares) -> Vec<String>| Column {
        name: name.to_owned(),
        cells: rows.iter().map(|(_, shares)| cell(shares)).collect(),
    };
    let table = [
        column("alone, %", &|shares| parts(scaled(shares.first, 100.0))),
        column("in all, %", &|shares| parts(scaled(shares.total, 100.0))),
    ];
    page.grid(&first, &table);
    if rest > 0 {
        page.gap();
        page.hanging("", &format!("{} a smaller part.", left_out(rest, "further input", ("has", "have"))));
    }
}
