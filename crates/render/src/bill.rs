//! Bills: what `bill` prints, and their tables.
//!
//! Belongs here: what is said of bills, in which order, and its units. Does not belong here: arithmetic on amounts,
//! the picture of prices (`day`), CSV (`tables`).

mod day;
mod tables;

use decide::bill::{Bill, BillReport, LineTotal, PeakLine, SheetBills, ThreeWays, Window};

use crate::number;
use crate::page::{Column, Page};
use crate::prices::{basis, incomplete, lights_on};
use crate::words::{clean, columns, distinct, shorten};

pub use tables::{lines_csv, peaks_csv};

/// Columns of a line of a name, on the narrowest page.
const NAME: f64 = 14.0;
const NONE: &str = "–";

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &BillReport, width: usize) -> Page {
    let mut page = Page::new(width);
    head(&mut page, report);
    if report.sheets.len() > 1 {
        comparison(&mut page, report);
    }
    for sheet in &report.sheets {
        contract(&mut page, report, sheet);
    }
    page.list("Remarks", &report.remarks);
    page.list("Cautions", &report.cautions);
    page
}

fn head(page: &mut Page, report: &BillReport) {
    let open = report.sheets.iter().filter(|sheet| !sheet.open_questions.is_empty()).count();
    if open > 0 {
        page.bold(&format!(
            "INCOMPLETE: questions are open under {open} of {}; each lists its own",
            number::counted(report.sheets.len() as u64, "contract")
        ));
        page.gap();
    }
    page.bold(&format!("{}: electricity of the lights", clean(&report.title)));
    page.gap();
    page.hanging("Option    ", &clean(&report.option));
    let cooling = if report.cooling_per_kw == 0.0 {
        String::new()
    } else {
        format!(" and {} of cooling, at a month's factor of 1", kw(report.cooling_kw))
    };
    page.hanging("Lights    ", &format!("{} at full power{cooling}", kw(report.lights_kw)));
    let loads: Vec<String> = report.base_loads.iter().map(|name| clean(name)).collect();
    page.hanging(
        "Base load ",
        &if loads.is_empty() {
            "no base load: the lights have a meter of their own, the whole bill is theirs".to_owned()
        } else {
            format!("{}; with = bill with lights and cooling, without = bill without them", loads.join(", "))
        },
    );
    page.hanging("Basis     ", &format!("prices {}; {}", basis(report), clean(&report.currency)));
    page.hanging("Time zone ", &clean(&report.time_zone));
    page.hanging(
        "In use    ",
        "the room is lit before the first bill, so light of the evening before is on it; a run, cash and a workbook begin dark \
         unless photoperiod.already_running is set",
    );
    if !report.rooms.is_empty() {
        let rooms: Vec<String> = report.rooms.iter().map(|room| clean(room)).collect();
        page.hanging("Rooms     ", &format!("share the lights evenly and start at {}", rooms.join(", ")));
    }
}

fn comparison(page: &mut Page, report: &BillReport) {
    let sheets = &report.sheets;
    page.heading("What the lights add, by contract");
    page.gap();
    let names = distinct(sheets.iter().map(|sheet| sheet.contract.as_str()), short);
    let column = |name: String, cell: &dyn Fn(&SheetBills) -> String| Column {
        name,
        cells: sheets.iter().map(|sheet| vec![cell(sheet)]).collect(),
    };
    let mut table = vec![
        column(format!("difference, {}", clean(&report.currency)), &|sheet| money(sheet.total.difference)),
        column("effective price, ct/kWh".to_owned(), &|sheet| effective(sheet)),
        column("lights, kWh".to_owned(), &|sheet| number::fixed(sheet.kwh_lights, 0)),
    ];
    if sheets.iter().any(|sheet| sheet.bills.len() != sheets[0].bills.len()) {
        table.push(column("bills".to_owned(), &|sheet| sheet.bills.len().to_string()));
    }
    if sheets.iter().any(|sheet| !sheet.open_questions.is_empty()) {
        table.push(column("open questions".to_owned(), &|sheet| match sheet.open_questions.len() {
            0 => "none".to_owned(),
            open => format!("{open}: INCOMPLETE"),
        }));
    }
    page.grid(&names, &table);
}

fn contract(page: &mut Page, report: &BillReport, sheet: &SheetBills) {
    page.rule();
    if let Some(warning) = incomplete(sheet) {
        page.bold(&warning);
        for question in &sheet.open_questions {
            page.hanging("- ", &clean(question));
        }
        page.gap();
    }
    page.bold(&clean(&sheet.contract));
    if let Some(tariff) = sheet.tariff.as_ref().filter(|tariff| **tariff != sheet.contract) {
        page.hanging("Tariff    ", &clean(tariff));
    }
    page.hanging("Lights on ", &lights_on(report, sheet));
    if let (Some(first), Some(last)) = (sheet.bills.first(), sheet.bills.last()) {
        let count = number::counted(sheet.bills.len() as u64, "bill");
        page.hanging("Bills     ", &format!("{count}, {} to {}", clean(&first.first), clean(&last.last)));
    }
    page.hanging(
        "Lines     ",
        if sheet.rounded {
            "each is rounded to 0.01"
        } else {
            "not rounded; what is printed may differ from a sum of printed figures in its last digit"
        },
    );
    months(page, report, sheet);
    lines(page, report, sheet);
    demand(page, sheet);
    touched(page, sheet);
    page.heading("Effective price of the lights' electricity");
    let price = match effective(sheet) {
        text if text == NONE => "none, because the lights take no energy".to_owned(),
        text => format!("{text} ct/kWh"),
    };
    let cooling = if report.cooling_per_kw == 0.0 { "" } else { ", cooling included" };
    page.hanging(
        "",
        &format!(
            "{price}: the difference over the lights' own kWh{cooling}; a result, never an input (1 ct is 0.01 {})",
            clean(&report.currency)
        ),
    );
    day::picture(page, report, sheet);
}

/// Bills in order, and what they come to together.
fn months(page: &mut Page, report: &BillReport, sheet: &SheetBills) {
    page.heading("Month by month");
    page.gap();
    let mut names: Vec<String> = sheet.bills.iter().map(period).collect();
    names.push("all bills".to_owned());
    let mut peaks: Vec<Vec<String>> = sheet.bills.iter().map(|bill| set(bill.peaks.last(), with)).collect();
    // the highest is also the table's foot: it is no sum, and is named in the column's head
    peaks.push(set(highest(sheet.bills.iter().filter_map(|bill| bill.peaks.last()), with), with));
    let mut kwh: Vec<Vec<String>> = sheet.bills.iter().map(|bill| vec![number::fixed(bill.kwh_lights, 0)]).collect();
    kwh.push(vec![number::fixed(sheet.kwh_lights, 0)]);
    let mut table = vec![
        Column { name: "lights, kWh".to_owned(), cells: kwh },
        Column { name: "highest kW with lights, and when".to_owned(), cells: peaks },
    ];
    let totals: Vec<ThreeWays> = sheet.bills.iter().map(|bill| bill.total).chain([sheet.total]).collect();
    table.extend(amounts(report, &totals));
    page.ledger(&names, &table);
}

/// Each line over all bills.
fn lines(page: &mut Page, report: &BillReport, sheet: &SheetBills) {
    if sheet.line_totals.is_empty() {
        return;
    }
    page.heading("Line by line, all bills together");
    page.gap();
    let named: Vec<String> = sheet
        .line_totals
        .iter()
        .map(|line| if line.name == line.part { line.name.clone() } else { format!("{}: {}", line.part, line.name) })
        .collect();
    let mut names = distinct(named.iter().map(String::as_str), short);
    names.push("all lines".to_owned());
    let mut quantities: Vec<Vec<String>> = sheet.line_totals.iter().map(|line| quantity(report, line)).collect();
    quantities.push(vec![String::new(), String::new()]);
    let mut table = vec![Column { name: "sum of quantities with lights".to_owned(), cells: quantities }];
    let totals: Vec<ThreeWays> = sheet.line_totals.iter().map(|line| line.amount).chain([sheet.total]).collect();
    table.extend(amounts(report, &totals));
    page.ledger(&names, &table);
}

/// Measured peaks by demand charge, and what was billed beyond them.
fn demand(page: &mut Page, sheet: &SheetBills) {
    page.heading("Demand");
    let look_back = sheet.looks_back || !sheet.peaks_before.is_empty();
    let interval = format!("Measured, mean over {} minutes.", sheet.demand_interval_minutes);
    let before = if !look_back {
        String::new()
    } else if sheet.peaks_before.is_empty() {
        " Peaks before the first bill: none assumed.".to_owned()
    } else {
        let told = sheet.peaks_before.iter().map(|(name, peaks)| {
            let peaks: Vec<String> = peaks.iter().map(|peak| number::fixed(*peak, 2)).collect();
            format!("{} {} kW", clean(name), peaks.join(", "))
        });
        format!(" Peaks before the first bill: {}.", told.collect::<Vec<_>>().join("; "))
    };
    page.hanging("", &format!("{interval}{before}"));
    page.gap();
    let count = sheet.bills.iter().map(|bill| bill.peaks.len()).max().unwrap_or(0);
    let of = |k: usize| sheet.bills.iter().filter_map(move |bill| bill.peaks.get(k));
    let names: Vec<&str> = (0..count).map(|k| of(k).next().map_or("", |peak| peak.name.as_str())).collect();
    let names = distinct(names, short);
    let column = |name: &str, cell: &dyn Fn(usize) -> Vec<String>| Column {
        name: name.to_owned(),
        cells: (0..count).map(cell).collect(),
    };
    let mut table = vec![
        column("highest kW with lights, and when", &|k| set(highest(of(k), with), with)),
        column("lowest, kW", &|k| {
            let lowest = of(k).map(|peak| peak.kw_with).min_by(f64::total_cmp);
            vec![lowest.map_or_else(|| NONE.to_owned(), |peak| number::fixed(peak, 2))]
        }),
    ];
    if of(count.saturating_sub(1)).any(|peak| peak.kw_without != 0.0) {
        table.push(column("highest kW without, and when", &|k| set(highest(of(k), without), without)));
    }
    page.grid(&names, &table);
    for line in sheet.line_totals.iter().filter(|line| line.lifted_bills > 0) {
        page.hanging(
            "- ",
            &format!(
                "{}: an earlier peak or a minimum lifted the billed demand on {} of {}, by {} at most",
                clean(&line.name),
                line.lifted_bills,
                number::counted(sheet.bills.len() as u64, "bill"),
                kw(line.most_lifted_kw)
            ),
        );
    }
}

/// Which energy prices the lights touch.
fn touched(page: &mut Page, sheet: &SheetBills) {
    page.heading("Energy prices that the lights touch");
    page.gap();
    let names = distinct(sheet.windows.iter().map(|window| window.name.as_str()), short);
    let whole = sheet.windows.iter().all(|window| is_whole(window.lit_h));
    let lit = |window: &Window| match window.lit_h {
        0.0 => "never".to_owned(),
        hours => number::fixed(hours, if whole { 0 } else { 2 }),
    };
    let table = [
        Column { name: "lit, h".to_owned(), cells: sheet.windows.iter().map(|window| vec![lit(window)]).collect() },
        Column {
            name: "lights, kWh".to_owned(),
            cells: sheet
                .windows
                .iter()
                .map(|window| vec![if window.lit_h == 0.0 { NONE.to_owned() } else { number::fixed(window.kwh, 0) }])
                .collect(),
        },
    ];
    page.grid(&names, &table);
}

/// As much of a name as stands in a table's first column; names that differ only behind it are numbered.
fn short(name: &str) -> String {
    shorten(name, 2.0 * NAME, |text| columns(text) as f64)
}

/// With, without and difference, one column each.
fn amounts(report: &BillReport, rows: &[ThreeWays]) -> [Column; 3] {
    let currency = clean(&report.currency);
    let column = |name: &str, pick: fn(&ThreeWays) -> f64| Column {
        name: format!("{name}, {currency}"),
        cells: rows.iter().map(|row| vec![money(pick(row))]).collect(),
    };
    [
        column("with", |amount| amount.with),
        column("without", |amount| amount.without),
        column("difference", |amount| amount.difference),
    ]
}

/// One side of a demand: kW, and when they were set.
type Side = fn(&PeakLine) -> (f64, Option<&str>);

fn with(peak: &PeakLine) -> (f64, Option<&str>) {
    (peak.kw_with, peak.at_with.as_deref())
}

fn without(peak: &PeakLine) -> (f64, Option<&str>) {
    (peak.kw_without, peak.at_without.as_deref())
}

/// The highest, and of several the first.
fn highest<'a>(peaks: impl Iterator<Item = &'a PeakLine>, side: Side) -> Option<&'a PeakLine> {
    peaks.reduce(|high, peak| if side(peak).0 > side(high).0 { peak } else { high })
}

fn set(peak: Option<&PeakLine>, side: Side) -> Vec<String> {
    match peak.map(side) {
        Some((kw, at)) => vec![number::fixed(kw, 2), at.map_or_else(|| "never".to_owned(), clean)],
        None => vec![NONE.to_owned(), String::new()],
    }
}

/// The month of a bill, or its days when it is not a calendar month.
fn period(bill: &Bill) -> String {
    let (first, last) = (clean(&bill.first), clean(&bill.last));
    match (first.strip_suffix("-01"), last.rsplit_once('-')) {
        (Some(month), Some((same, day))) if month == same && day == last_day(month) => month.to_owned(),
        _ => format!("{first} to {last}"),
    }
}

/// Last day of a month written YYYY-MM.
fn last_day(month: &str) -> &'static str {
    match month.split_once('-') {
        Some((year, "02")) => {
            let year: u32 = year.parse().unwrap_or(1);
            let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
            if leap { "29" } else { "28" }
        }
        Some((_, "04" | "06" | "09" | "11")) => "30",
        _ => "31",
    }
}

fn quantity(report: &BillReport, line: &LineTotal) -> Vec<String> {
    let decimals = if line.unit == "kWh" || is_whole(line.quantity_with) { 0 } else { 2 };
    let unit = match unit(report, &line.unit) {
        "1" => String::new(),
        unit => clean(unit),
    };
    vec![number::fixed(line.quantity_with, decimals), unit]
}

/// The unit of a quantity; that of a percentage is the currency.
fn unit<'a>(report: &'a BillReport, unit: &'a str) -> &'a str {
    if unit == "currency" { &report.currency } else { unit }
}

/// Whether a number is whole but for the noise of sums.
fn is_whole(value: f64) -> bool {
    (value - value.round()).abs() < 1e-6
}

fn money(amount: f64) -> String {
    number::fixed(amount, 2)
}

fn kw(power: f64) -> String {
    format!("{} kW", number::fixed(power, 3))
}

/// Effective price in ct/kWh.
fn effective(sheet: &SheetBills) -> String {
    let price = sheet.effective_price_per_kwh;
    if price.is_finite() { number::fixed(price * 100.0, 3) } else { NONE.to_owned() }
}

/// What the lights add under one contract, a sentence.
pub(crate) fn sentence(report: &BillReport, sheet: &SheetBills) -> String {
    let price = match effective(sheet) {
        text if text == NONE => String::new(),
        text => format!(", {text} ct for each kWh of the lights"),
    };
    let warning = if sheet.open_questions.is_empty() { "" } else { "INCOMPLETE: " };
    format!(
        "{warning}{}: {}\u{202f}{} on {}{price}.",
        clean(&sheet.contract),
        money(sheet.total.difference),
        clean(&report.currency),
        number::counted(sheet.bills.len() as u64, "bill"),
    )
}

#[cfg(test)]
mod tests;
