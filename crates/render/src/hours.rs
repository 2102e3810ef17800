//! The search for the hours to light: what `hours` prints, and its table.
//!
//! Belongs here: layout and rounding for display. Does not belong here: arithmetic on amounts.

use decide::hours::HoursReport;

/// The report as text, at most `width` columns wide.
pub fn terminal(report: &HoursReport, width: usize, color: bool) -> String {
    let _ = (report, width, color);
    String::new()
}

/// Every start under every sheet.
pub fn starts_csv(report: &HoursReport) -> String {
    let _ = report;
    String::new()
}
