//! Who wins where over two inputs: what `map` prints, and its table.
//!
//! Belongs here: the order of what is said, where the scenario stands on the plane, how much of it each option wins.
//! Does not belong here: the winners, which arrive with the numbers, the plane of letters (`plane`), CSV (`tables`).

mod plane;
mod tables;

use decide::map_report::{MapAxis, MapCell, MapReport, Measure};
use decide::result::{Ended, Estimate};

use crate::breakeven::{TOO_CLOSE, shown, unit_of, with_noise, with_unit};
use crate::number;
use crate::page::{Column, Page};
use crate::relamp::{Told, told};
use crate::words::{clean, columns, distinct, shorten};

pub use tables::map_csv;

/// Columns of a name in a table, on the narrowest page: two lines.
const NAME: f64 = 28.0;
const NONE: &str = "–";

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &MapReport, width: usize) -> Page {
    let mut page = Page::new(width);
    head(&mut page, report);
    page.gap();
    if is_bare(report) {
        page.hanging("", "No point of the plane was priced.");
    } else {
        plane::plane(&mut page, report);
        shares_table(&mut page, report);
        page.heading("Where the scenario stands");
        page.hanging("", &stands(report));
        page.list("How to read this", &reading());
    }
    page.list("Cautions", &report.cautions);
    page.list("Remarks", &report.remarks);
    page
}

fn head(page: &mut Page, report: &MapReport) {
    if let Some(stopped) = stopped(report) {
        page.bold(&stopped);
        page.gap();
    }
    page.bold(&format!("{}: who wins where", clean(&report.title)));
    page.gap();
    let currency = clean(&report.currency);
    page.hanging(
        "Basis     ",
        &format!(
            "{} {currency} discounted at {} a year, prices of {}; {} from {}",
            clean(&report.basis),
            number::percent(report.discount_rate, 0.0),
            clean(&report.prices_of),
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start),
        ),
    );
    page.hanging("Contract  ", &clean(&report.contract));
    page.hanging("Compared  ", &compared(report));
    page.hanging(
        "Futures   ",
        &format!(
            "{}, seed {}; every point is lived on the same luck; {}",
            number::counted(report.trials, "trial"),
            report.seed,
            clean(&report.method)
        ),
    );
    let bases = &report.light_bases;
    if let Some(basis) = bases.first().filter(|first| bases.iter().all(|basis| basis == *first)) {
        page.hanging("Light     ", &format!("counted {}", clean(basis)));
    } else {
        for (name, basis) in report.options.iter().zip(bases) {
            page.hanging("Light     ", &format!("{}: counted {}", clean(name), clean(basis)));
        }
    }
}

/// That the search was stopped early.
pub(crate) fn stopped(report: &MapReport) -> Option<String> {
    let missing = report.x.values.len().saturating_sub(report.columns.len());
    let of = number::counted(report.x.values.len() as u64, "column");
    (report.ended == Ended::Interrupted)
        .then(|| format!("INTERRUPTED: {} of {of} of the plane are missing", number::count(missing as u64)))
}

/// What options are compared by, and what a lead is.
pub(crate) fn compared(report: &MapReport) -> String {
    let currency = clean(&report.currency);
    match report.measure {
        Measure::Room => {
            format!("the whole room as written, however much light it gives; leads in {currency} of present value")
        }
        Measure::Mole => {
            let many = number::to_noise(report.service_mol, 0.0);
            let service = clean(&report.service);
            let service = if report.service_mol > 0.0 && report.service_mol.is_finite() {
                format!("{service}, {many}\u{202f}mol")
            } else {
                service
            };
            format!("what a delivered mole costs; leads in {currency} of present value at equal light: {service}")
        }
    }
}

/// Whether there is no cell at all.
pub(crate) fn is_bare(report: &MapReport) -> bool {
    report.x.values.is_empty() || report.y.values.is_empty() || report.columns.iter().all(Vec::is_empty)
}

/// The winner of a cell, if its lead is larger than its noise and it is an option.
pub(crate) fn winner(report: &MapReport, cell: &MapCell) -> Option<usize> {
    let single = report.options.len() == 1;
    let clear = single || told(Estimate { value: cell.lead, se: cell.lead_se }) == Told::More;
    (clear && cell.winner < report.options.len()).then_some(cell.winner)
}

/// The cell in a column from the left and a row from below.
pub(crate) fn cell(report: &MapReport, (right, up): (usize, usize)) -> Option<&MapCell> {
    report.columns.get(right).and_then(|column| column.get(up))
}

/// Where the scenario stands: the medians of what is believed.
pub(crate) fn median_here(report: &MapReport) -> (f64, f64) {
    (report.x.belief.1, report.y.belief.1)
}

/// Index of the cell of an axis in which a value lies; none beyond its ends.
pub(crate) fn index_of(axis: &MapAxis, value: f64) -> Option<usize> {
    let bent = |value: f64| if axis.logarithmic { value.ln() } else { value };
    let far = |at: f64| (bent(at) - bent(value)).abs();
    let all = axis.values.iter().enumerate().filter(|(_, at)| far(**at).is_finite());
    let (index, nearest) = all.min_by(|a, b| far(*a.1).total_cmp(&far(*b.1)))?;
    // half of the way to the neighbour on the inner side is as far as a cell reaches on the outer one
    let inner = if index == 0 { 1 } else { index - 1 };
    let half = axis.values.get(inner).map_or(f64::INFINITY, |inner| (bent(*inner) - bent(*nearest)).abs() / 2.0);
    let inside = axis.values.first().zip(axis.values.last()).is_some_and(|(low, high)| (*low..=*high).contains(&value));
    (inside || far(*nearest) <= half * (1.0 + 1e-9)).then_some(index)
}

/// Column and row of a point.
pub(crate) fn place_of(report: &MapReport, (x, y): (f64, f64)) -> Option<(usize, usize)> {
    Some((index_of(&report.x, x)?, index_of(&report.y, y)?))
}

/// How many cells were priced, and how many of them each option wins; those that it does not win for certain are nobody's.
pub(crate) struct Shares {
    pub(crate) cells: usize,
    pub(crate) won: Vec<usize>,
}

/// Counts cells and drawn values.
pub(crate) fn shares(report: &MapReport) -> Shares {
    let (width, height) = (report.x.values.len(), report.y.values.len());
    let cells = || report.columns.iter().take(width).flat_map(|column| column.iter().take(height));
    let mut shares = Shares { cells: cells().count(), won: vec![0; report.options.len()] };
    for won in cells().filter_map(|cell| winner(report, cell)) {
        shares.won[won] += 1;
    }
    shares
}

/// So many of so many, in whole per cent; what is there is never 0 %, and what is missing never none.
pub(crate) fn of(part: usize, whole: usize) -> String {
    match (part, whole) {
        (_, 0) => NONE.to_owned(),
        (0, _) => "0\u{202f}%".to_owned(),
        (part, whole) if part == whole => "100\u{202f}%".to_owned(),
        (part, whole) => {
            let percent = 100.0 * part as f64 / whole as f64;
            match percent.round() {
                0.0 => "<1\u{202f}%".to_owned(),
                100.0 => ">99\u{202f}%".to_owned(),
                percent => format!("{}\u{202f}%", number::fixed(percent, 0)),
            }
        }
    }
}

fn shares_table(page: &mut Page, report: &MapReport) {
    page.heading("How much each option wins");
    page.gap();
    let shares = shares(report);
    let mut names = distinct(report.options.iter().map(String::as_str), short);
    names.push(TOO_CLOSE.to_owned());
    let with_rest = |counts: &[usize], whole: usize| {
        let rest = whole.saturating_sub(counts.iter().sum());
        counts.iter().chain([&rest]).map(|count| vec![of(*count, whole)]).collect::<Vec<_>>()
    };
    let table = vec![Column { name: "of the plane".to_owned(), cells: with_rest(&shares.won, shares.cells) }];
    page.grid(&names, &table);
}

/// Who wins where the scenario stands.
pub(crate) fn stands(report: &MapReport) -> String {
    let point = median_here(report);
    let axis = |axis: &MapAxis, value: f64| {
        format!("{} {}", clean(&axis.name), with_unit(&shown(value), &unit_of(&axis.unit)))
    };
    let at = format!("At {} and {}", axis(&report.x, point.0), axis(&report.y, point.1));
    let Some(cell) = report.stands.as_ref() else {
        return format!("{at}: not priced.");
    };
    let name = |index: usize| report.options.get(index).map_or_else(|| NONE.to_owned(), |name| clean(name));
    if report.options.len() < 2 || cell.winner == cell.second {
        return format!("{at}: {} is the only option.", name(cell.winner));
    }
    let lead = Estimate { value: cell.lead, se: cell.lead_se };
    let by = with_unit(&with_noise(lead), &clean(&report.currency));
    let chance = if cell.chance.is_finite() {
        let noise = (cell.chance * (1.0 - cell.chance) / report.trials.max(1) as f64).sqrt();
        format!("; it is the cheapest in {} of trials", number::percent(cell.chance, noise))
    } else {
        String::new()
    };
    let (first, second) = (name(cell.winner), name(cell.second));
    match told(lead) {
        Told::More => format!("{at}: {first} wins by {by} over {second}{chance}."),
        Told::Nothing => format!("{at}: {first} and {second} cost the same in every trial."),
        Told::TooClose | Told::Less => format!("{at}: {TOO_CLOSE} between {first} and {second} (lead {by})."),
    }
}

fn reading() -> Vec<String> {
    vec![
        "±: 1.96 standard errors of the simulation".to_owned(),
        format!("{TOO_CLOSE}: the lead over the next option is smaller than that"),
    ]
}

fn short(name: &str) -> String {
    shorten(name, NAME, |text| columns(text) as f64)
}

#[cfg(test)]
mod tests;
