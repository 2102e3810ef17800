//! The sheets that go by months and years: quantities, cash by month, cash by year.
//!
//! Belongs here: quantities times prices, sums by month and year. Does not belong here: what they come to against a reference.

use decide::workbook_report::{OptionFigures, WorkbookOption, WorkbookReport};
use rust_xlsxwriter::Workbook;

use super::leaf::{
    COUNT, Cached, DAY, Done, Kind, Leaf, MONEY, NUMBER, QUANTITY, fixed, free, in_column, in_row, stretch,
};
use super::places::{
    CHANGED, DATE_ROW, FACTOR_ROW, FIRST, INPUTS, MOMENT_ROW, MONTH_ROW, MONTHS, OptionRows, Places, QUANTITIES, RATE,
    YEAR_ROW, YEARS, on,
};
use crate::words::clean;

/// Widths of the columns before the months.
const BEFORE: [f64; 5] = [15.0, 12.0, 30.0, 8.5, 8.5];
/// Photons, mol.
const WHOLE: &str = "#,##0";
/// Months on a printed page.
const ON_A_PAGE: u16 = 12;

/// Prints a sheet of months a year a page, with the columns before the months on each.
pub(super) fn by_years(leaf: &mut Leaf, places: &Places, (first, last): (u32, u32)) -> Done {
    for column in FIRST..=places.last() {
        leaf.sheet.set_column_width(column, places.width)?;
    }
    let breaks: Vec<u32> =
        (FIRST + 1 + ON_A_PAGE..=places.last()).step_by(usize::from(ON_A_PAGE)).map(u32::from).collect();
    leaf.sheet.set_print_fit_to_pages(0, 0).set_print_scale(53);
    if !breaks.is_empty() {
        leaf.sheet.set_vertical_page_breaks(&breaks)?;
    }
    leaf.sheet.set_repeat_columns(0, FIRST - 1)?;
    leaf.sheet.set_repeat_rows(first, last)?;
    leaf.sheet.set_freeze_panes(last + 1, FIRST).map(drop)
}

/// Writes `Quantities`.
pub(super) fn quantities(book: &mut Workbook, report: &WorkbookReport, places: &Places) -> Done {
    let about = "How much is paid for in each month, at the price in column D: values of the base path. Where prices rise over the \
                 years, by inflation or by themselves, quantities are raised by as much, and are then more than the kWh, kW or \
                 pieces of that month. A row without a price is an amount by value.";
    let mut leaf = Leaf::new(book, QUANTITIES, "Quantities of the base path, by option, cause and price", about)?;
    leaf.widths(&BEFORE)?;
    leaf.heads((4, 0), &["Option", "Cause", "Price; month of the horizon", "#Price now", "#As written"])?;
    leaf.text((DATE_ROW, 2), "booked on", Kind::Text)?;
    for (column, month) in (FIRST..=places.last()).zip(0u32..) {
        let date = format!("={}", on(MONTHS, &in_row((DATE_ROW, column))));
        leaf.formula((DATE_ROW, column), &date, &day(report, month as usize), Kind::Live, DAY)?;
        let number = format!("={}", on(MONTHS, &in_row((MONTH_ROW, column))));
        leaf.formula((MONTH_ROW, column), &number, &Cached::Number(f64::from(month)), Kind::NumberHead, COUNT)?;
    }
    for (option, rows) in report.options.iter().zip(&places.options) {
        for (row, quantity) in (rows.quantities.0..).zip(&option.quantities) {
            leaf.text((row, 0), &option.name, Kind::Text)?;
            leaf.text((row, 1), &report.lines[quantity.line], Kind::Text)?;
            match quantity.price {
                Some(price) => {
                    let input = &report.prices[price].input;
                    leaf.text((row, 2), &short(&input.place, &input.unit), Kind::Text)?;
                    let now = format!("={}", on(INPUTS, &fixed(places.price(price))));
                    leaf.live((row, 3), &now, input.p50, NUMBER)?;
                    leaf.number((row, 4), input.p50, Kind::Value, NUMBER)?;
                }
                None => {
                    let words = format!("by value, {}: not live", clean(&report.currency));
                    leaf.text((row, 2), &words, Kind::Text)?;
                    leaf.number((row, 3), 1.0, Kind::Value, NUMBER)?;
                    leaf.number((row, 4), 1.0, Kind::Value, NUMBER)?;
                }
            }
            for (column, bought) in (FIRST..).zip(&quantity.months) {
                leaf.number((row, column), *bought, Kind::Value, QUANTITY)?;
            }
        }
    }
    by_years(&mut leaf, places, (DATE_ROW, MONTH_ROW))
}

/// Place and unit of a price in few words: the option or contract is told beside it.
pub(super) fn short(place: &str, unit: &str) -> String {
    let rest = place.split_once("].").map_or(place, |(_, rest)| rest);
    let rest = rest.strip_prefix("tariff.").unwrap_or(rest);
    format!("{}, {}", clean(rest), clean(unit))
}

fn day(report: &WorkbookReport, month: usize) -> Cached {
    let date = report.dates.get(month).map_or("", String::as_str);
    match rust_xlsxwriter::ExcelDateTime::parse_from_str(date) {
        Ok(date) => Cached::Number(date.to_excel()),
        Err(_) => Cached::Text(date.to_owned()),
    }
}

/// Writes `Cash by month`.
pub(super) fn months(book: &mut Workbook, report: &WorkbookReport, places: &Places) -> Done {
    let currency = clean(&report.currency);
    let about = format!(
        "Base path, {} {currency}, before tax and loan; what is paid is above 0. Each cell is the sum of prices times quantities \
         of the same month.",
        clean(&report.basis)
    );
    let mut leaf = Leaf::new(book, MONTHS, "Cash by month", &about)?;
    leaf.widths(&[16.0, 13.0, 17.0, 17.0, 6.0])?;
    timeline(&mut leaf, report, places)?;
    let sums = [format!("#Sum, {currency}"), format!("#Present value, {currency}")];
    leaf.heads((8, 0), &["Option", "Cause", &sums[0], &sums[1]])?;
    leaf.blank(8, 4..=places.last(), Kind::Head)?;
    for ((option, figures), rows) in report.options.iter().zip(&report.figures.options).zip(&places.options) {
        option_months(&mut leaf, (report, option, figures), (places, rows))?;
    }
    by_years(&mut leaf, places, (DATE_ROW, 8))
}

/// Dates, months, years, moments and discount factors.
fn timeline(leaf: &mut Leaf, report: &WorkbookReport, places: &Places) -> Done {
    for (row, name) in [
        (DATE_ROW, "Booked on".to_owned()),
        (MONTH_ROW, "Month of the horizon (0: the start)".to_owned()),
        (YEAR_ROW, "Year of the horizon".to_owned()),
        (MOMENT_ROW, format!("Years from the start ({})", clean(&report.booked))),
        (FACTOR_ROW, "Discount factor".to_owned()),
    ] {
        leaf.text((row, 0), &name, Kind::Text)?;
    }
    // by how much the day of booking is before the month's end
    leaf.text((MOMENT_ROW, 3), "months before its end:", Kind::Quiet)?;
    leaf.number((MOMENT_ROW, 4), report.booked_before_end_months, Kind::Value, "0.0")?;
    let shift = fixed((MOMENT_ROW, 4));
    let rate = on(INPUTS, &fixed(RATE));
    for (column, k) in (FIRST..=places.last()).zip(0usize..) {
        leaf.day((DATE_ROW, column), report.dates.get(k).map_or("", String::as_str), Kind::Value)?;
        leaf.number((MONTH_ROW, column), k as f64, Kind::Value, COUNT)?;
        let month = in_row((MONTH_ROW, column));
        let year = format!("=ROUNDUP({month}/12,0)");
        leaf.live((YEAR_ROW, column), &year, k.div_ceil(12) as f64, COUNT)?;
        let moment = format!("=MAX(0,{month}-{shift})/12");
        leaf.live((MOMENT_ROW, column), &moment, report.moments_yr[k], "0.0000")?;
        let factor = format!("=(1+{rate})^-{}", in_row((MOMENT_ROW, column)));
        leaf.live((FACTOR_ROW, column), &factor, report.figures.factors[k], "0.000000")?;
    }
    Ok(())
}

fn option_months(
    leaf: &mut Leaf,
    (report, option, figures): (&WorkbookReport, &WorkbookOption, &OptionFigures),
    (places, rows): (&Places, &OptionRows),
) -> Done {
    let factors = places.months(FACTOR_ROW);
    let sums = |leaf: &mut Leaf, row: u32, (sum, present): (f64, f64), kind: Kind| -> Done {
        let number = if row == rows.moles { WHOLE } else { MONEY };
        let across = stretch((row, FIRST), (row, places.last()));
        leaf.formula((row, 2), &format!("=SUM({across})"), &Cached::Number(sum), kind, number)?;
        let worth = format!("=SUMPRODUCT({across},{factors})");
        leaf.formula((row, 3), &worth, &Cached::Number(present), kind, number)
    };
    for &(line, row, (from, to)) in &rows.lines {
        leaf.text((row, 0), &option.name, Kind::Text)?;
        leaf.text((row, 1), &report.lines[line], Kind::Text)?;
        sums(leaf, row, (figures.sums[line], figures.present_lines[line]), Kind::Live)?;
        let prices = on(QUANTITIES, &stretch((from, 3), (to, 3)));
        for (column, amount) in (FIRST..).zip(&figures.lines[line]) {
            let bought = format!("{}:{}", in_row((from, column)), in_row((to, column)));
            let formula = format!("=SUMPRODUCT({prices},{})", on(QUANTITIES, &bought));
            leaf.live((row, column), &formula, *amount, MONEY)?;
        }
    }
    leaf.text((rows.total, 0), &option.name, Kind::Sum)?;
    leaf.text((rows.total, 1), "total", Kind::Sum)?;
    sums(leaf, rows.total, (figures.sum, figures.present), Kind::Sum)?;
    leaf.blank(rows.total, 4..5, Kind::Sum)?;
    for (column, amount) in (FIRST..).zip(&figures.total) {
        let formula = match (rows.lines.first(), rows.lines.last()) {
            (Some(first), Some(last)) => format!("=SUM({}:{})", free((first.1, column)), free((last.1, column))),
            _ => "=0".into(),
        };
        leaf.formula((rows.total, column), &formula, &Cached::Number(*amount), Kind::Sum, MONEY)?;
    }
    leaf.text((rows.moles, 0), &option.name, Kind::Text)?;
    leaf.text((rows.moles, 1), "light, mol", Kind::Text)?;
    let moles: f64 = figures.moles_years.iter().sum();
    sums(leaf, rows.moles, (moles, figures.present_moles), Kind::Live)?;
    for (column, moles) in (FIRST..).zip(&option.moles) {
        leaf.number((rows.moles, column), *moles, Kind::Value, WHOLE)?;
    }
    Ok(())
}

/// Writes `Cash by year`.
pub(super) fn years(book: &mut Workbook, report: &WorkbookReport, places: &Places) -> Done {
    let currency = clean(&report.currency);
    let about = format!("Sums of the months, {} {currency}; year 0 is the start.", clean(&report.basis));
    let mut leaf = Leaf::new(book, YEARS, "Cash by year", &about)?;
    leaf.widths(&[18.0, 17.0, 18.0, 18.0, 4.0])?;
    let sum = format!("#Sum, {currency}");
    leaf.heads((8, 0), &["Option", "Cause", &sum, "#Less the sum of the months"])?;
    leaf.blank(8, 4..5, Kind::Head)?;
    leaf.text((7, 3), "year of the horizon:", Kind::Quiet)?;
    for (column, year) in (FIRST..=places.last_year()).zip(0u32..) {
        leaf.number((8, column), f64::from(year), Kind::NumberHead, COUNT)?;
        leaf.sheet.set_column_width(column, places.width + 2.5)?;
    }
    leaf.sheet.set_row_height(8, 28)?;
    for ((option, figures), rows) in report.options.iter().zip(&report.figures.options).zip(&places.options) {
        let moles: f64 = figures.moles_years.iter().sum();
        let mut written: Vec<(u32, &str, &[f64], f64, Kind)> = rows
            .lines
            .iter()
            .map(|&(line, row, _)| {
                (row, report.lines[line].as_str(), &figures.years[line][..], figures.sums[line], Kind::Live)
            })
            .collect();
        written.push((rows.total, "total", &figures.total_years, figures.sum, Kind::Sum));
        written.push((rows.moles, "light, mol", &figures.moles_years, moles, Kind::Live));
        for (row, name, amounts, sum, kind) in written {
            let text = if kind == Kind::Sum { Kind::Sum } else { Kind::Text };
            let number = if row == rows.moles { WHOLE } else { MONEY };
            leaf.text((row, 0), &option.name, text)?;
            leaf.text((row, 1), name, text)?;
            let across = stretch((row, FIRST), (row, places.last_year()));
            leaf.formula((row, 2), &format!("=SUM({across})"), &Cached::Number(sum), kind, number)?;
            let off = format!("=ROUND({}-{},6)", in_column((row, 2)), on(MONTHS, &in_column((row, 2))));
            leaf.formula((row, 3), &off, &Cached::Number(0.0), kind, NUMBER)?;
            if kind == Kind::Sum {
                leaf.blank(row, 4..5, kind)?;
            }
            for (column, amount) in (FIRST..).zip(amounts) {
                let formula = if kind == Kind::Sum {
                    match (rows.lines.first(), rows.lines.last()) {
                        (Some(first), Some(last)) => {
                            format!("=SUM({}:{})", free((first.1, column)), free((last.1, column)))
                        }
                        _ => "=0".into(),
                    }
                } else {
                    format!(
                        "=SUMIFS({},{},{})",
                        places.months_on(MONTHS, row),
                        places.months_on(MONTHS, YEAR_ROW),
                        in_row((8, column))
                    )
                };
                leaf.formula((row, column), &formula, &Cached::Number(*amount), kind, number)?;
            }
        }
    }
    leaf.sheet.set_freeze_panes(9, FIRST)?;
    leaf.sheet.set_repeat_rows(8, 8)?;
    // a count of changed inputs beside the sums, so that a printed sheet tells whether it is as simulated
    leaf.text((3, 0), "Inputs that were changed", Kind::Text)?;
    leaf.formula((3, 2), &format!("={}", on(INPUTS, &fixed(CHANGED))), &Cached::Number(0.0), Kind::Live, COUNT)
}
