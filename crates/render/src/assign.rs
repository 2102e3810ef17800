//! A trial drawn by lot: what `assign` prints, and its tables.
//!
//! Belongs here: the order of what is said. Does not belong here: CSV (`tables`), pictures, the draw.

mod tables;

use decide::assign_report::{AssignReport, AssignSocket, EvenLamp, Evenness};

use crate::number;
use crate::page::{Column, Page, first_column};
use crate::words::{clean, columns, shorten};

pub use tables::{balance_csv, key_csv, log_sheet_csv};

/// What stands on the plan for a socket that takes no part.
pub(crate) const UNUSED: &str = "·";
/// Rows of a balance that are printed one by one; `balance.csv` has them all.
const ROWS: usize = 12;

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &AssignReport, width: usize) -> Page {
    let mut page = Page::new(width);
    head(&mut page, report);
    plan(&mut page, report);
    balance(&mut page, report);
    cost(&mut page, report);
    page.list("How it was drawn", &report.drawn);
    page.list("How to go about it", &report.steps);
    page.list("What it cannot tell", &report.limits);
    page.list("Cautions", &report.cautions);
    page.list("Remarks", &report.remarks);
    page
}

/// The title of a page or a picture.
pub(crate) fn title(report: &AssignReport) -> String {
    let blind = if report.is_blind { " (blind)" } else { "" };
    if report.title.is_empty() {
        format!("A trial by lot{blind}")
    } else {
        format!("{}: a trial by lot{blind}", clean(&report.title))
    }
}

/// Which lamps the letters stand for, one by one.
pub(crate) fn meanings(report: &AssignReport) -> Vec<String> {
    let unused = report.sockets.iter().filter(|socket| socket.lamp.is_none()).count();
    let lamps = report.lamps.iter().map(|lamp| {
        let name = lamp.name.as_deref().map_or_else(|| "as the sealed key says".to_owned(), clean);
        format!("{} = {name}, {}", clean(&lamp.sign), number::counted(lamp.count as u64, "socket"))
    });
    let rest = (unused > 0)
        .then(|| format!("{UNUSED} = keeps what burns there, {}", number::counted(unused as u64, "socket")));
    lamps.chain(rest).collect()
}

/// The letter in a socket.
pub(crate) fn sign(report: &AssignReport, socket: &AssignSocket) -> String {
    socket.lamp.and_then(|lamp| report.lamps.get(lamp)).map_or_else(|| UNUSED.to_owned(), |lamp| clean(&lamp.sign))
}

/// How the sockets hang, and how to draw the plan again.
pub(crate) fn room(report: &AssignReport) -> String {
    format!(
        "{} in {} of {}, numbered row by row",
        number::counted(report.sockets.len() as u64, "socket"),
        number::counted(report.rows as u64, "row"),
        if report.sockets.len() == report.rows * report.places {
            report.places.to_string()
        } else {
            format!("{}, the last one shorter", report.places)
        }
    )
}

fn head(page: &mut Page, report: &AssignReport) {
    page.bold(&title(report));
    page.gap();
    page.hanging("Sockets  ", &room(report));
    let from = report.from.as_ref().map_or_else(|| "a day still to be set".to_owned(), |day| clean(day));
    page.hanging("In       ", &from);
    page.hanging("Lot      ", &format!("seed {}: the same seed draws the same plan again", report.seed));
    for (index, meaning) in meanings(report).iter().enumerate() {
        page.hanging(if index == 0 { "Lamps    " } else { "         " }, meaning);
    }
}

fn plan(page: &mut Page, report: &AssignReport) {
    page.heading("The plan");
    for row in 1..=report.rows {
        let here: Vec<&AssignSocket> = report.sockets.iter().filter(|socket| socket.row == row).collect();
        let Some(first) = here.first() else { continue };
        let letters: Vec<String> = here.iter().map(|socket| sign(report, socket)).collect();
        let last = first.socket + here.len() - 1;
        page.hanging(&format!("row {row:>3}, sockets {:>4}–{last:<4}  ", first.socket), &letters.join(" "));
    }
}

/// The rows of a table of balance: what is counted, and how to count it.
type Counted = (String, Box<dyn Fn(&EvenLamp) -> String>);

fn balance(page: &mut Page, report: &AssignReport) {
    page.heading("How even it came out");
    let mut rows: Vec<Counted> = (0..report.rows.min(ROWS))
        .map(|row| -> Counted {
            let count = move |lamp: &EvenLamp| lamp.by_row.get(row).map_or_else(String::new, usize::to_string);
            (format!("row {}", row + 1), Box::new(count))
        })
        .collect();
    rows.push(("row ends".into(), Box::new(|lamp| lamp.ends.to_string())));
    rows.push(("between the ends".into(), Box::new(|lamp| lamp.middle.to_string())));
    rows.push(("mean row".into(), Box::new(|lamp| number::fixed(lamp.mean_row, 2))));
    rows.push(("mean place".into(), Box::new(|lamp| number::fixed(lamp.mean_place, 2))));
    let cells = |evenness: &Evenness, lamp: usize| -> Vec<Vec<String>> {
        rows.iter().map(|(_, count)| vec![evenness.lamps.get(lamp).map_or_else(String::new, count)]).collect()
    };
    let of = |evenness: &Evenness, how: &str| -> Vec<Column> {
        let signs = report.lamps.iter().map(|lamp| clean(&lamp.sign)).enumerate();
        signs.map(|(k, sign)| Column { name: format!("{sign}, {how}"), cells: cells(evenness, k) }).collect()
    };
    let names: Vec<String> = rows.iter().map(|(name, _)| name.clone()).collect();
    let mut counted = of(&report.by_lot, "by lot");
    counted.extend(of(&report.in_order, "in order"));
    page.grid(&names, &counted);
    if report.rows > ROWS {
        page.hanging("", &format!("{} more rows are in balance.csv.", report.rows - ROWS));
    }
    page.gap();
    let worst = [("by lot", &report.by_lot), ("filled in order", &report.in_order)];
    let limit = (2 * first_column(page.width)) as f64;
    let column = |name: &str, of: &dyn Fn(&Evenness) -> f64| Column {
        name: name.into(),
        cells: worst.iter().map(|(_, evenness)| vec![number::fixed(of(evenness), 2)]).collect(),
    };
    let names: Vec<String> = worst.iter().map(|(name, _)| shorten(name, limit, |text| columns(text) as f64)).collect();
    page.grid(
        &names,
        &[
            column("rows off by, lamps", &|evenness| evenness.worst_row),
            column("row ends off by, lamps", &|evenness| evenness.worst_ends),
            column("mean rows apart by", &|evenness| evenness.row_gap),
            column("mean places apart by", &|evenness| evenness.place_gap),
        ],
    );
    page.gap();
    page.hanging(
        "",
        "\"In order\" is the same lamps with one kind after the other, row by row: then whatever differs from row to row \
         counts as a difference of the lamps.",
    );
}

fn cost(page: &mut Page, report: &AssignReport) {
    page.heading("What the trial costs");
    page.hanging("", &cost_sentence(report));
}

/// What the trial costs, as a sentence.
pub(crate) fn cost_sentence(report: &AssignReport) -> String {
    let same =
        "The sockets are lit anyway, so that electricity, fixtures and labour are paid with the trial or without it";
    let Some(cost) = &report.cost else {
        return format!("{same}; what it adds is the difference of the lamps' prices, which only a scenario knows.");
    };
    let currency = clean(&cost.currency);
    let extra = number::significant(cost.extra, 5);
    let working = match cost.prices.split_first() {
        Some((first, others)) => {
            let first = number::significant(*first, 5);
            let terms = others
                .iter()
                .zip(report.lamps.iter().skip(1))
                .map(|(price, lamp)| format!("{} × ({} − {first})", lamp.count, number::significant(*price, 5)));
            format!("{} = ", terms.collect::<Vec<_>>().join(" + "))
        }
        None => String::new(),
    };
    format!(
        "{same}; what it adds is the difference of the lamps' prices: {working}{extra}\u{202f}{currency} more than {} in all \
         these sockets. Rounds of looking for dead lamps are not counted.",
        clean(&cost.instead_of)
    )
}

#[cfg(test)]
mod tests;
