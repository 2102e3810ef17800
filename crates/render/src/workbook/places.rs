//! Where everything stands: sheets, rows and columns, so that a formula on one sheet finds what it needs on another.
//!
//! Belongs here: positions. Does not belong here: what is written there.

use decide::workbook_report::WorkbookReport;

use super::leaf::{At, fixed, stretch};

/// Names of the sheets, in their order.
pub(super) const START: &str = "Start";
pub(super) const INPUTS: &str = "Inputs";
pub(super) const OTHERS: &str = "Other inputs";
pub(super) const BILLS: &str = "Bills";
pub(super) const QUANTITIES: &str = "Quantities";
pub(super) const MONTHS: &str = "Cash by month";
pub(super) const YEARS: &str = "Cash by year";
pub(super) const SAVINGS: &str = "Savings";
pub(super) const FINANCE: &str = "Finance";
pub(super) const COMPARE: &str = "Compare";
pub(super) const CHECKS: &str = "Checks";

/// Column of the first month, the start, on every sheet that goes by months or years.
pub(super) const FIRST: u16 = 5;
/// Rows above the months of `Cash by month`.
pub(super) const DATE_ROW: u32 = 3;
pub(super) const MONTH_ROW: u32 = 4;
pub(super) const YEAR_ROW: u32 = 5;
pub(super) const MOMENT_ROW: u32 = 6;
pub(super) const FACTOR_ROW: u32 = 7;
/// The count of changed inputs on `Inputs`.
pub(super) const CHANGED: At = (2, 1);
/// The discount rate on `Inputs`; prices follow below it.
pub(super) const RATE: At = (6, 1);
/// First row of options on `Compare`.
pub(super) const COMPARED: u32 = 5;
/// First column of options on `Finance`.
pub(super) const MEASURED: u16 = 2;

/// Rows of an option on `Quantities`, `Cash by month` and `Cash by year`.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct OptionRows {
    /// First row of its quantities, and the row after the last.
    pub quantities: (u32, u32),
    /// By cause in use: index, its row of cash, and the first and last of its rows of quantities.
    pub lines: Vec<(usize, u32, (u32, u32))>,
    /// Row of the total.
    pub total: u32,
    /// Row of the photons.
    pub moles: u32,
    /// First row on `Savings`; none for the reference.
    pub savings: Option<u32>,
    /// Row on `Savings` of the savings by half months; none where amounts are booked at ends of months.
    pub halves: Option<u32>,
}

/// Where everything stands.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Places {
    /// Columns of months, the start among them.
    pub columns: u16,
    /// Columns of years, the start among them.
    pub years: u16,
    /// By option.
    pub options: Vec<OptionRows>,
    /// Last row of prices on `Inputs`.
    pub last_input: u32,
    /// Width of a column of amounts, letters.
    pub width: f64,
}

impl Places {
    /// Of a workbook.
    pub fn new(report: &WorkbookReport) -> Self {
        let in_middle = report.booked_before_end_months != 0.0;
        let (mut quantity, mut cash, mut saving) = (6, 9, 6);
        let mut options: Vec<OptionRows> = vec![];
        for (o, option) in report.options.iter().enumerate() {
            let first = quantity;
            let mut lines = vec![];
            for line in 0..report.lines.len() {
                let rows = option.quantities.iter().filter(|bought| bought.line == line).count() as u32;
                if rows > 0 {
                    lines.push((line, cash, (quantity, quantity + rows - 1)));
                    quantity += rows;
                    cash += 1;
                }
            }
            let savings = (o != report.reference).then_some(saving);
            saving += if savings.is_some() { 5 } else { 0 };
            options.push(OptionRows {
                quantities: (first, quantity),
                lines,
                total: cash,
                moles: cash + 1,
                savings,
                halves: None,
            });
            quantity += 1;
            cash += 3;
        }
        // below the savings stand, where they are needed, the same by half months
        let compared = options.iter_mut().filter(|rows| in_middle && rows.savings.is_some());
        for (half, rows) in (saving + 3..).zip(compared) {
            rows.halves = Some(half);
        }
        Self {
            columns: report.moments_yr.len() as u16,
            years: report.horizon_years as u16 + 1,
            options,
            last_input: RATE.0 + report.prices.len() as u32,
            width: width(report),
        }
    }

    /// Last column of months.
    pub fn last(&self) -> u16 {
        FIRST + self.columns - 1
    }

    /// Last column of years.
    pub fn last_year(&self) -> u16 {
        FIRST + self.years - 1
    }

    /// Cell of a price on `Inputs`.
    pub fn price(&self, price: usize) -> At {
        (RATE.0 + 1 + price as u32, RATE.1)
    }

    /// A row over all months.
    pub fn months(&self, row: u32) -> String {
        stretch((row, FIRST), (row, self.last()))
    }

    /// The same, as seen from another sheet.
    pub fn months_on(&self, sheet: &str, row: u32) -> String {
        on(sheet, &self.months(row))
    }
}

/// Cells as seen from another sheet.
pub(super) fn on(sheet: &str, cells: &str) -> String {
    if sheet.contains(' ') { format!("'{sheet}'!{cells}") } else { format!("{sheet}!{cells}") }
}

/// Holds while an input differs from what it was when the workbook was written.
pub(super) fn is_changed() -> String {
    format!("{}>0", on(INPUTS, &fixed(CHANGED)))
}

/// Width that the largest amount of a month needs with its sign, its separators and two decimals, letters; prices may be
/// doubled.
fn width(report: &WorkbookReport) -> f64 {
    let amounts = report.figures.options.iter().flat_map(|figures| &figures.total);
    let most = amounts.fold(1.0, |most: f64, amount| most.max(2.0 * amount.abs()));
    let digits = most.log10().floor().clamp(0.0, 30.0) + 1.0;
    (digits + (digits / 3.0).floor() + 4.0).max(10.5)
}
