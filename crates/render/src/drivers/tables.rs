//! The table of inputs: every digit, money in the currency.
//!
//! Belongs here: which rows it has. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::drivers_report::{Driver, DriversReport, Flip, Measure};
use decide::result::Estimate;

use super::flips::is_below;
use crate::table::{DRIVERS, Rows, header};

/// [`DRIVERS`] as text: one row per input, those that move the lead most first.
pub fn drivers_csv(report: &DriversReport) -> String {
    let mut rows = Rows::new(&header(DRIVERS, &report.currency, &report.basis));
    for driver in &report.inputs {
        row(&mut rows, report, driver);
    }
    rows.finish()
}

fn row(rows: &mut Rows, report: &DriversReport, driver: &Driver) {
    let name = |index: usize| report.options.get(index).map_or("", String::as_str);
    rows.text(&driver.name);
    rows.text(&driver.tied.join("; "));
    rows.text(&driver.unit);
    rows.text(&driver.grade);
    rows.text(if driver.is_uncertain { "believed" } else { "doubted" });
    let (low, median, high) = driver.values;
    for value in [low, median, high, driver.searched.0, driver.searched.1] {
        rows.finite(Some(value));
    }
    rows.text(&report.contract);
    rows.text(&report.prices_of);
    rows.number(report.trials as f64);
    rows.number(report.search_trials as f64);
    rows.number(report.variance_trials as f64);
    rows.text(if report.measure == Measure::Mole { "mole" } else { "room" });
    rows.number(report.rooms.into());
    rows.text(name(report.favourite));
    rows.text(name(report.runner_up));
    estimate(rows, Some(report.lead));
    for turned in [driver.low, driver.high] {
        rows.text(name(turned.winner));
        estimate(rows, Some(turned.lead));
    }
    for below in [true, false] {
        let found = driver.flips.iter().find(|flip| is_below(driver, flip) == below);
        change(rows, found, name);
    }
    estimate(rows, driver.shares.map(|shares| shares.first));
    estimate(rows, driver.shares.map(|shares| shares.total));
    estimate(rows, driver.worth.map(|worth| Estimate { value: worth.value, se: worth.se }));
    rows.text(driver.worth.map_or("", |worth| yes(worth.is_seen)));
    rows.finite(driver.worth.map(|worth| worth.unseen));
    rows.end();
}

fn change<'a>(rows: &mut Rows, flip: Option<&Flip>, name: impl Fn(usize) -> &'a str) {
    rows.finite(flip.map(|flip| flip.at));
    rows.finite(flip.and_then(|flip| flip.of_median));
    rows.text(flip.map_or("", |flip| name(flip.winner)));
    rows.finite(flip.and_then(|flip| flip.believed));
    rows.text(flip.map_or("", |flip| yes(flip.within)));
}

fn estimate(rows: &mut Rows, estimate: Option<Estimate>) {
    rows.finite(estimate.map(|estimate| estimate.value));
    rows.finite(estimate.map(|estimate| estimate.se));
}

fn yes(is_so: bool) -> &'static str {
    if is_so { "yes" } else { "no" }
}
