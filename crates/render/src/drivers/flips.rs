//! How far an input must move before another option wins.
//!
//! Belongs here: the table in the order of nearness, and the count of inputs that change nothing. Does not belong here:
//! the search.

use decide::drivers_report::{Driver, DriversReport, Flip};

use super::{NONE, Names, left_out, unit_of};
use crate::breakeven::{share, shown, with_unit};
use crate::number;
use crate::page::{Column, Page};
use crate::words::{columns, shorten};

/// Most rows.
const ROWS: usize = 16;
/// Columns of a unit behind its value.
const UNIT: f64 = 10.0;
/// A share of the belief below this is no more than named as small.
const SMALL: f64 = 0.001;
/// A change so near the median has a decimal more.
const NEAR: f64 = 0.1;
/// An end of a search is taken for the usual one within this share of it.
const HAIR: f64 = 1e-3;

/// Writes the table.
pub(super) fn flips(page: &mut Page, report: &DriversReport, names: &Names) {
    page.heading("How far an input must move before another option wins");
    let mut rows: Vec<(usize, &Driver, &Flip)> = vec![];
    for (k, driver) in report.inputs.iter().enumerate() {
        rows.extend(driver.flips.iter().map(|flip| (k, driver, flip)));
    }
    rows.sort_by(|a, b| far(a.1, a.2).total_cmp(&far(b.1, b.2)));
    let all = rows.len();
    rows.truncate(ROWS);
    if !rows.is_empty() {
        page.gap();
        let first: Vec<String> = rows.iter().map(|(k, ..)| names.input(*k)).collect();
        let column = |name: &str, cell: &dyn Fn(&Driver, &Flip) -> String| Column {
            name: name.to_owned(),
            cells: rows.iter().map(|(_, driver, flip)| vec![cell(driver, flip)]).collect(),
        };
        let table = [
            column("from", &|driver, flip| {
                let side = if is_below(driver, flip) { "below" } else { "above" };
                let unit = shorten(&unit_of(driver), UNIT, |text| columns(text) as f64);
                format!("{side} {}", with_unit(&shown(flip.at), &unit))
            }),
            column("times median", &|_, flip| flip.of_median.map_or_else(|| NONE.to_owned(), times)),
            column("winner there", &|_, flip| names.mark(flip.winner)),
            column("of the belief", &|driver, flip| believed(driver, flip)),
        ];
        page.grid(&first, &table);
        page.gap();
    }
    if all > ROWS {
        page.hanging("", &format!("{} further away.", left_out(all - ROWS, "change", ("lies", "lie"))));
    }
    if let Some(sentence) = none(report) {
        page.hanging("", &sentence);
    }
}

/// Distance of a change from the median, in the logarithm where there is one.
fn far(driver: &Driver, flip: &Flip) -> f64 {
    let far = match flip.of_median {
        Some(times) if times > 0.0 => times.ln().abs(),
        _ => (flip.at - driver.values.1).abs(),
    };
    if far.is_nan() { f64::INFINITY } else { far }
}

/// Whether a change lies below the median.
pub(crate) fn is_below(driver: &Driver, flip: &Flip) -> bool {
    flip.at < driver.values.1
}

fn times(times: f64) -> String {
    let decimals = match (times - 1.0).abs() {
        near if near < NEAR => 3,
        far if far < 9.0 => 2,
        _ => 0,
    };
    if times.is_finite() { number::fixed(times, decimals) } else { NONE.to_owned() }
}

/// How much of what is believed lies beyond a change; what is certain has a doubt only.
fn believed(driver: &Driver, flip: &Flip) -> String {
    match flip.believed {
        Some(beyond) if (0.0..SMALL).contains(&beyond) => "<0.1\u{202f}%".to_owned(),
        Some(beyond) => share(beyond),
        None if flip.within && !driver.is_uncertain => "doubt ~".to_owned(),
        None => NONE.to_owned(),
    }
}

/// How many inputs change nothing, and where that was tried.
fn none(report: &DriversReport) -> Option<String> {
    let without: Vec<&Driver> = report.inputs.iter().filter(|driver| driver.flips.is_empty()).collect();
    if without.is_empty() {
        return None;
    }
    let times = |driver: &&Driver| {
        let (low, high) = (driver.searched.0 / driver.values.1, driver.searched.1 / driver.values.1);
        (low.is_finite() && high.is_finite()).then(|| (low.min(high), low.max(high)))
    };
    let near = |value: f64, wanted: f64| (value / wanted - 1.0).abs() < HAIR;
    let ranges: Option<Vec<(f64, f64)>> = without.iter().map(times).collect();
    let usual = |(low, high): &(f64, f64)| near(*low, 1.0 / 8.0) && near(*high, 8.0);
    let tried = match ranges {
        Some(ranges) if ranges.iter().all(usual) => "between an eighth and eight times their median".to_owned(),
        Some(ranges) => {
            let low = ranges.iter().map(|range| range.0).fold(f64::INFINITY, f64::min);
            let high = ranges.iter().map(|range| range.1).fold(f64::NEG_INFINITY, f64::max);
            format!(
                "within the values searched, which reach from {} to {} times the median at the widest",
                shown(low),
                shown(high)
            )
        }
        None => "within the values searched".to_owned(),
    };
    let tried = if without.len() == 1 { tried.replace("their median", "its median") } else { tried };
    Some(format!("{}: none {tried}.", number::counted(without.len() as u64, "input")))
}
