//! Bills: what `bill` prints, and their tables.
//!
//! Belongs here: layout and rounding for display. Does not belong here: arithmetic on amounts.

use decide::bill::BillReport;

/// The report as text, at most `width` columns wide.
pub fn terminal(report: &BillReport, width: usize, color: bool) -> String {
    let _ = (width, color);
    report.sheets.iter().map(|sheet| format!("{}: {:.2}\n", sheet.contract, sheet.total.difference)).collect()
}

/// Every line of every bill.
pub fn lines_csv(report: &BillReport) -> String {
    let _ = report;
    String::new()
}

/// Every demand of every bill.
pub fn peaks_csv(report: &BillReport) -> String {
    let _ = report;
    String::new()
}
