//! The sheet of bills: every option's first bills, line by line, with the lights, without them, and what the lights add.
//!
//! Belongs here: lines as formulas. Does not belong here: which line is of which price.

use decide::workbook_report::{LineKind, WorkbookBill, WorkbookLine, WorkbookReport};
use rust_xlsxwriter::Workbook;

use super::leaf::{Cached, Done, Kind, Leaf, MONEY, NUMBER, PERCENT, QUANTITY, fixed, free, in_column};
use super::places::{BILLS, INPUTS, Places, is_changed, on};
use crate::number;
use crate::words::clean;

/// Column of the first bill.
const FIRST: u16 = 4;

/// Rows that checks look at: of an option, totals with the lights, without them, and what the lights add.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct TotalRows {
    pub with: u32,
    pub without: Option<u32>,
    pub added: u32,
    /// Column after the last bill: sums.
    pub sum: u16,
}

/// Where a line's quantities stand, and the price that goes with them.
type Bought = Option<(u32, u32)>;

/// Writes `Bills`; the answer says where the totals stand.
pub(super) fn bills(
    book: &mut Workbook,
    report: &WorkbookReport,
    places: &Places,
) -> Result<Vec<TotalRows>, rust_xlsxwriter::XlsxError> {
    let about = format!(
        "Contract {}: every socket lit, prices as on the sheet \"Inputs\" and no rise of prices. Columns are bills, by their last \
         day. Slanted amounts are values: no quantity times a live price; they are STALE once an input is changed, and so are totals \
         that hold them.",
        clean(&report.contract)
    );
    let mut leaf = Leaf::new(book, BILLS, "The first bills", &about)?;
    leaf.widths(&[34.0, 13.0, 13.0, 12.0])?;
    let bills = report.options.first().map_or(0, |option| option.bill.periods.len()) as u16;
    for column in FIRST..=FIRST + bills {
        leaf.sheet.set_column_width(column, 11.5)?;
    }
    let mut desk = Desk { leaf, report, places, row: 3 };
    let mut totals = vec![];
    for option in &report.options {
        totals.push(desk.option(&option.name, &option.bill)?);
        desk.row += 2;
    }
    desk.leaf.sheet.set_freeze_panes(2, 1)?;
    Ok(totals)
}

struct Desk<'a> {
    leaf: Leaf<'a>,
    report: &'a WorkbookReport,
    places: &'a Places,
    row: u32,
}

impl Desk<'_> {
    fn option(&mut self, name: &str, bill: &WorkbookBill) -> Result<TotalRows, rust_xlsxwriter::XlsxError> {
        let sum = FIRST + bill.periods.len() as u16;
        let title = format!(
            "{}: {} kW of lights at the wall; the power of their cooling is on the bill as well, where there is any",
            clean(name),
            number::fixed(bill.lights_kw, 2)
        );
        self.leaf.text((self.row, 0), &title, Kind::Heading)?;
        self.row += 1;
        self.leaf.heads((self.row, 0), &["Line", "Part", "Unit", "#Price now"])?;
        for (column, (_, last)) in (FIRST..).zip(&bill.periods) {
            self.leaf.text((self.row, column), last, Kind::NumberHead)?;
        }
        self.leaf.text((self.row, sum), "Sum", Kind::NumberHead)?;
        self.row += 1;
        let has_without = bill.totals.iter().any(|total| total[1] != 0.0);
        let bought_with = self.quantities(bill, "Quantities with the lights", 0)?;
        let bought_without = match has_without {
            true => self.quantities(bill, "Quantities without the lights", 1)?,
            false => vec![],
        };
        let (lines_with, with) = self.amounts(bill, "Amounts with the lights", 0, &bought_with)?;
        let without = match has_without {
            true => Some(self.amounts(bill, "Amounts without the lights", 1, &bought_without)?),
            false => None,
        };
        let added =
            self.added(bill, (&lines_with, with), without.as_ref().map(|(lines, total)| (&lines[..], *total)))?;
        Ok(TotalRows { with, without: without.map(|(_, total)| total), added, sum })
    }

    fn words(&mut self, line: &WorkbookLine, row: u32, unit: &str) -> Done {
        self.leaf.text((row, 0), &line.name, Kind::Text)?;
        self.leaf.text((row, 1), &line.part, Kind::Text)?;
        self.leaf.text((row, 2), unit, Kind::Text)
    }

    /// Quantities of the lines that have a price; where each stands.
    fn quantities(
        &mut self,
        bill: &WorkbookBill,
        title: &str,
        side: usize,
    ) -> Result<Vec<Bought>, rust_xlsxwriter::XlsxError> {
        self.leaf.text((self.row, 0), title, Kind::Quiet)?;
        self.row += 1;
        let mut rows = vec![];
        for line in &bill.lines {
            let (LineKind::Price(price) | LineKind::Minimum(price, _)) = &line.kind else {
                rows.push(None);
                continue;
            };
            let row = self.row;
            self.words(line, row, &line.unit)?;
            let input = &self.report.prices[*price].input;
            let now = format!("={}", on(INPUTS, &fixed(self.places.price(*price))));
            self.leaf.live((row, 3), &now, input.p50, NUMBER)?;
            let cells = if side == 0 { &line.with } else { &line.without };
            for (column, (quantity, _)) in (FIRST..).zip(cells) {
                self.leaf.number((row, column), *quantity, Kind::Value, QUANTITY)?;
            }
            self.sum(row, bill, line.sums[side], (Kind::Live, QUANTITY))?;
            rows.push(Some((row, row)));
            self.row += 1;
        }
        Ok(rows)
    }

    fn sum(&mut self, row: u32, bill: &WorkbookBill, value: f64, (kind, number): (Kind, &str)) -> Done {
        let last = FIRST + bill.periods.len() as u16;
        let formula = format!("=SUM({}:{})", in_column((row, FIRST)), in_column((row, last - 1)));
        self.leaf.formula((row, last), &formula, &Cached::Number(value), kind, number)
    }

    /// Amounts line by line and their total; the row of each line, and that of the total.
    fn amounts(
        &mut self,
        bill: &WorkbookBill,
        title: &str,
        side: usize,
        bought: &[Bought],
    ) -> Result<(Vec<u32>, u32), rust_xlsxwriter::XlsxError> {
        let title = format!("{title}, {}", clean(&self.report.currency));
        self.leaf.text((self.row, 0), &title, Kind::Quiet)?;
        let first = self.row + 1;
        let rows: Vec<u32> = (first..).take(bill.lines.len()).collect();
        let round = |formula: String| if bill.rounded { format!("=ROUND({formula},2)") } else { format!("={formula}") };
        for ((line, &row), bought) in bill.lines.iter().zip(&rows).zip(bought) {
            let cells = if side == 0 { &line.with } else { &line.without };
            self.words(line, row, &self.report.currency.clone())?;
            if let LineKind::Share(share, _) = &line.kind {
                self.leaf.number((row, 3), *share, Kind::Value, PERCENT)?;
            }
            for (column, &(_, amount)) in (FIRST..).zip(cells) {
                let of = |above: &[usize]| -> String {
                    let cells: Vec<String> = above.iter().map(|&k| free((rows[k], column))).collect();
                    if cells.is_empty() { "0".into() } else { format!("SUM({})", cells.join(",")) }
                };
                let product = bought.map(|(row, _)| format!("{}*{}", in_column((row, 3)), free((row, column))));
                let formula = match (&line.kind, product) {
                    (LineKind::Price(_), Some(product)) => round(product),
                    (LineKind::Minimum(_, above), Some(product)) => round(format!("MAX(0,{product}-{})", of(above))),
                    (LineKind::Share(_, above), _) => round(format!("{}*{}", in_column((row, 3)), of(above))),
                    _ => {
                        if column == FIRST {
                            let told = format!("=IF({},\"STALE\",\"by value\")", is_changed());
                            self.leaf.formula((row, 3), &told, &Cached::Text("by value".into()), Kind::Live, NUMBER)?;
                        }
                        self.leaf.number((row, column), amount, Kind::Value, MONEY)?;
                        continue;
                    }
                };
                self.leaf.live((row, column), &formula, amount, MONEY)?;
            }
            self.sum(row, bill, line.sums[2 + side], (Kind::Live, MONEY))?;
        }
        let total = first + rows.len() as u32;
        self.total(bill, (first, total), side, if side == 0 { "total with the lights" } else { "total without" })?;
        self.row = total + 1;
        Ok((rows, total))
    }

    fn total(&mut self, bill: &WorkbookBill, (first, total): (u32, u32), side: usize, name: &str) -> Done {
        self.leaf.text((total, 0), name, Kind::Sum)?;
        self.leaf.blank(total, 1..FIRST, Kind::Sum)?;
        for (column, sums) in (FIRST..).zip(&bill.totals) {
            let formula = match first < total {
                true => format!("=SUM({}:{})", free((first, column)), free((total - 1, column))),
                false => "=0".into(),
            };
            self.leaf.formula((total, column), &formula, &Cached::Number(sums[side]), Kind::Sum, MONEY)?;
        }
        self.sum(total, bill, bill.total[side], (Kind::Sum, MONEY))
    }

    /// What the lights add; only the total where there is no bill without them.
    fn added(
        &mut self,
        bill: &WorkbookBill,
        (with, total_with): (&[u32], u32),
        without: Option<(&[u32], u32)>,
    ) -> Result<u32, rust_xlsxwriter::XlsxError> {
        let Some((without, _)) = without else {
            let told = "The lights have a meter of their own: without them there is no bill, and they add all of it.";
            self.leaf.text((self.row, 0), told, Kind::Quiet)?;
            self.row += 1;
            return Ok(total_with);
        };
        let title = format!("What the lights add, {}", clean(&self.report.currency));
        self.leaf.text((self.row, 0), &title, Kind::Quiet)?;
        let first = self.row + 1;
        for (k, line) in bill.lines.iter().enumerate() {
            let row = first + k as u32;
            self.words(line, row, &self.report.currency.clone())?;
            for (column, difference) in (FIRST..).zip(&line.difference) {
                let formula = format!("={}-{}", free((with[k], column)), free((without[k], column)));
                self.leaf.live((row, column), &formula, *difference, MONEY)?;
            }
            self.sum(row, bill, line.sums[4], (Kind::Live, MONEY))?;
        }
        let total = first + bill.lines.len() as u32;
        self.total(bill, (first, total), 2, "what the lights add")?;
        self.row = total + 1;
        Ok(total)
    }
}
