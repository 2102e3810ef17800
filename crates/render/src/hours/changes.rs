//! What small changes of the written hours cost, and what each hour of the day adds.
//!
//! Belongs here: the words and their order. Does not belong here: the amounts.

use decide::hours::{HourPrice, HoursReport, Questions};

use super::{NONE, money, option_names, sheet_names, spans};
use crate::number;
use crate::page::{Column, Page, first_column};
use crate::words::{clean, columns, shorten};

/// Columns between two hours, beside the place of a mark.
const GAP: usize = 1;
/// Hours that may stand side by side.
const BANDS: [usize; 5] = [24, 12, 8, 6, 4];
/// Most spans of hours that are written out beside an amount.
const MOST_SPANS: usize = 2;
const LIT: char = '•';

/// Writes both, sheet beside sheet.
pub(super) fn changes(page: &mut Page, report: &HoursReport) {
    if report.questions.is_empty() {
        return;
    }
    let option = option_names(report).get(report.asked).cloned().unwrap_or_default();
    let power = number::to_noise(report.asked_kw, 0.0);
    page.heading(&format!("What small changes cost: {option}, {power} kW of lights"));
    page.hanging(
        "",
        &format!("{} Hours whose kWh cost alike are named together; the amount is that of each.", basis(report)),
    );
    page.gap();
    let rows = [
        "lights as written",
        "the year now",
        "1 h more every day",
        "1 kW more of lights",
        "off 15 min late every day",
        "off 15 min late once",
        "dearest lit hour",
        "cheapest dark hour",
    ];
    let sheets = sheet_names(report);
    let currency = clean(&report.currency);
    let columns: Vec<Column> = report
        .questions
        .iter()
        .map(|asked| Column {
            name: format!("{}, {currency} a year", sheets.get(asked.sheet).map_or("", String::as_str)),
            cells: answers(asked),
        })
        .collect();
    page.grid(&rows.map(str::to_owned), &columns);
    hours(page, report, &sheets);
}

/// What the amounts are.
pub(crate) fn basis(report: &HoursReport) -> String {
    format!(
        "First twelve months, every socket lit, prices as written, of {}, not escalated: what lights and cooling add to \
         the bills, demand included.",
        clean(&report.prices_of)
    )
}

fn answers(asked: &Questions) -> Vec<Vec<String>> {
    let more = |amount: f64| if amount > 0.0 { format!("+{}", money(amount)) } else { money(amount) };
    let bare = |text: String| vec![text, String::new()];
    let maybe = |amount: Option<f64>| bare(amount.map_or_else(|| NONE.to_owned(), more));
    let once = match &asked.overrun_once {
        Some((amount, day)) => vec![more(*amount), format!("on {}", clean(day))],
        None => bare(NONE.to_owned()),
    };
    vec![
        vec![String::new(), clean(&asked.hours)],
        bare(money(asked.year)),
        maybe(asked.one_more_hour),
        bare(more(asked.one_more_kw)),
        maybe(asked.overrun_daily),
        once,
        hour(asked, true),
        hour(asked, false),
    ]
}

/// The dearest lit hour or the cheapest dark one, by what a kWh adds in it; hours that print alike share the place.
fn hour(asked: &Questions, lit: bool) -> Vec<String> {
    let hours = (0u16..).zip(&asked.hour_prices).filter(|(_, hour)| hour.lit == lit && hour.per_kwh.is_finite());
    let hours: Vec<(u16, &HourPrice)> = hours.collect();
    let by_price = |a: &&(u16, &HourPrice), b: &&(u16, &HourPrice)| a.1.per_kwh.total_cmp(&b.1.per_kwh);
    let found = if lit { hours.iter().max_by(by_price) } else { hours.iter().min_by(by_price) };
    let Some((_, found)) = found else { return vec![NONE.to_owned(), String::new()] };
    let shown = price(found.per_kwh);
    let alike: Vec<&(u16, &HourPrice)> = hours.iter().filter(|(_, hour)| price(hour.per_kwh) == shown).collect();
    let amounts = alike.iter().map(|(_, hour)| hour.adds);
    let low = money(amounts.clone().fold(f64::INFINITY, f64::min));
    let high = money(amounts.fold(f64::NEG_INFINITY, f64::max));
    let amount = if low == high { low } else { number::range(&low, &high) };
    let places = spans::of_hours(&alike.iter().map(|(hour, _)| *hour).collect::<Vec<_>>());
    let places = if places.len() > MOST_SPANS { format!("{} hours", alike.len()) } else { places.join(", ") };
    vec![amount, format!("{shown} ct/kWh, {places}")]
}

fn price(per_kwh: f64) -> String {
    number::to_noise(per_kwh * 100.0, 0.0)
}

/// The hours of the day in bands as wide as the page allows, a row for each sheet.
fn hours(page: &mut Page, report: &HoursReport, sheets: &[String]) {
    let told: Vec<&Questions> = report.questions.iter().filter(|asked| !asked.hour_prices.is_empty()).collect();
    if told.is_empty() {
        return;
    }
    page.heading("What each hour of the day adds, ct for each kWh of the lights in it");
    page.hanging(
        "",
        &format!(
            "{LIT} lit as written, wholly or in part: what leaving the hour out would save; no mark, a dark hour: what \
             lighting it would add. Each hour alone, a peak that it sets is in its price."
        ),
    );
    let prices = || told.iter().flat_map(|asked| &asked.hour_prices).map(|hour| hour.per_kwh * 100.0);
    let cells: Vec<Vec<String>> = told.iter().map(|asked| row(asked, decimals(prices()))).collect();
    let cell = cells.iter().flatten().map(|text| columns(text)).max().unwrap_or(0);
    let widest = first_column(page.width);
    let name = |asked: &&Questions| {
        let name = sheets.get(asked.sheet).map_or("", String::as_str);
        shorten(name, widest as f64, |text| columns(text) as f64)
    };
    let names: Vec<String> = told.iter().map(name).collect();
    let margin = names.iter().map(|name| columns(name)).max().unwrap_or(0);
    let fits = |band: &&usize| margin + **band * (cell + GAP) <= page.width;
    let band = BANDS.iter().find(fits).copied().unwrap_or(1);
    for from in (0..24).step_by(band) {
        page.gap();
        let mut heads = " ".repeat(margin);
        for hour in from..from + band {
            // an hour stands over the digits, not over the mark behind them
            heads.push_str(&format!("{:>width$} ", format!("{hour:02}"), width = cell + GAP - 1));
        }
        page.drawn(&heads);
        for (name, cells) in names.iter().zip(&cells) {
            let mut line = format!("{name}{}", " ".repeat(margin - columns(name)));
            for text in cells.iter().skip(from).take(band) {
                line.push_str(&format!("{}{text}", " ".repeat(cell + GAP - columns(text))));
            }
            page.drawn(&line);
        }
    }
}

/// Prices of a sheet's hours with their marks.
fn row(asked: &Questions, decimals: usize) -> Vec<String> {
    let cell = |hour: &HourPrice| {
        let price = hour.per_kwh * 100.0;
        let text = if price.is_finite() { number::fixed(price, decimals) } else { NONE.to_owned() };
        format!("{text}{}", if hour.lit { LIT } else { ' ' })
    };
    asked.hour_prices.iter().map(cell).collect()
}

/// Decimals that leave the largest of the prices four digits.
pub(crate) fn decimals(prices: impl Iterator<Item = f64>) -> usize {
    let largest = prices.map(f64::abs).filter(|price| price.is_finite()).fold(0.0, f64::max);
    if largest < 100.0 {
        2
    } else if largest < 1000.0 {
        1
    } else {
        0
    }
}
