//! The search for relamping intervals: what `relamp` prints, and its tables.
//!
//! Belongs here: the order of what is said, and how its amounts are written. Does not belong here: arithmetic on amounts,
//! policies and intervals (`policies`), what the room and its horizon ask for (`moves`), lamps by month (`calendar`),
//! warranty and cross-check (`worth`), CSV (`tables`).

mod calendar;
mod moves;
mod policies;
mod tables;
mod worth;

use decide::relamp_report::{PolicyCurve, PolicyKind, RelampOption, RelampReport};
use decide::result::{Ended, Estimate};

use crate::number;
use crate::page::Page;
use crate::words::{clean, columns, distinct, shorten};

pub(crate) use calendar::at_most;
pub(crate) use policies::whole_sentence;
pub use tables::{relamp_curve_csv, relamp_months_csv};

/// Standard errors that a difference must exceed.
const NOISE: f64 = 1.96;
/// Columns of a name in a table, on the narrowest page: two lines.
const NAME: f64 = 28.0;
const NONE: &str = "–";
const TOO_CLOSE: &str = "too close to call";

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &RelampReport, width: usize) -> Page {
    let mut page = Page::new(width);
    head(&mut page, report);
    let names = distinct(report.options.iter().map(|option| option.name.as_str()), short);
    for (option, name) in report.options.iter().zip(&names) {
        one(&mut page, report, option, name);
    }
    if report.options.is_empty() {
        page.gap();
        page.hanging("", "No option has lamps to replace.");
    } else {
        reading(&mut page, report);
    }
    page.list("Left out", &report.left_out);
    page.list("Cautions", &report.cautions);
    page.list("Remarks", &report.remarks);
    page
}

fn head(page: &mut Page, report: &RelampReport) {
    if report.ended == Ended::Interrupted {
        page.bold(&format!(
            "INTERRUPTED: the search was stopped after {}; the numbers are of no more than that",
            number::counted(report.trials, "trial")
        ));
        page.gap();
    }
    page.bold(&format!("{}: when to relamp", clean(&report.title)));
    page.gap();
    let currency = clean(&report.currency);
    page.hanging(
        "Basis     ",
        &format!(
            "{} {currency} discounted at {} a year, prices of {}; ct/mol is the levelized cost of a delivered mole over \
             {} from {} (1 ct is 0.01 {currency})",
            clean(&report.basis),
            number::percent(report.discount_rate, 0.0),
            clean(&report.prices_of),
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start),
        ),
    );
    page.hanging("Contract  ", &clean(&report.contract));
    page.hanging(
        "Intervals ",
        &format!("in burn hours of the schedule, of which the horizon has {} h", hours(report.burn_h)),
    );
    page.hanging(
        "Futures   ",
        &format!(
            "{}, seed {}; every policy and interval is lived on the same luck",
            number::counted(report.trials, "trial"),
            report.seed
        ),
    );
}

fn one(page: &mut Page, report: &RelampReport, option: &RelampOption, name: &str) {
    page.rule();
    page.bold(name);
    page.hanging(
        "",
        &format!(
            "{}, light counted {}; half of the lamps live {} burn hours or longer on this photoperiod, at the medians of \
             the inputs",
            number::counted(option.sockets.into(), "socket"),
            clean(&option.light_basis),
            hours(option.median_life_h)
        ),
    );
    policies::policies(page, report, option);
    moves::moves(page, report, option);
    calendar::calendar(page, report, option);
    worth::warranty(page, report, option);
    worth::exact(page, report, option);
}

fn reading(page: &mut Page, report: &RelampReport) {
    let any = |holds: &dyn Fn(&RelampOption) -> bool| report.options.iter().any(holds);
    let mut told = vec![format!(
        "{TOO_CLOSE}: the difference is smaller than 1.96 of its standard errors, so that these trials cannot tell it \
         from none"
    )];
    told.push("±: standard error of the simulation; it says nothing of what the inputs are worth".to_owned());
    if any(&|option| option.policies.iter().any(|policy| policy.best.is_some())) {
        told.push(
            "± beside an interval: how far the best one moves from one eighth of the trials to the next, as a standard \
             error; where the cost is flat, it moves far and matters little"
                .to_owned(),
        );
    }
    if any(&|option| !option.endings.is_empty()) {
        told.push(
            "saves of present value: money alone; light that is lost or gained by it shows in ct/mol, where the order may \
             be another"
                .to_owned(),
        );
    }
    page.list("How to read this", &told);
}

/// What may be said of a difference.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Told {
    /// No trial shows any.
    Nothing,
    /// It is lost in the noise, or no number.
    TooClose,
    More,
    Less,
}

/// Tells a difference from noise.
pub(crate) fn told(difference: Estimate) -> Told {
    let Estimate { value, se } = difference;
    if value == 0.0 && se == 0.0 {
        Told::Nothing
    } else if value.is_finite() && se.is_finite() && value.abs() > NOISE * se {
        if value > 0.0 { Told::More } else { Told::Less }
    } else {
        Told::TooClose
    }
}

/// An estimate beside its standard error and a unit, such as "312 ± 8 USD".
pub(crate) fn beside(estimate: Estimate, unit: &str) -> String {
    let (value, error) = number::with_error(estimate);
    // what the noise hides comes with its error already
    let text = if error.is_empty() || value.contains('±') { value } else { format!("{value}\u{a0}{error}") };
    format!("{text}\u{202f}{unit}")
}

/// A share of 1 beside its standard error, such as "1.1 ± 0.1 %".
pub(crate) fn share(estimate: Estimate) -> String {
    beside(scaled(estimate, 100.0), "%")
}

/// An estimate of an amount that is so many times as large.
pub(crate) fn scaled(estimate: Estimate, by: f64) -> Estimate {
    Estimate { value: estimate.value * by, se: estimate.se * by.abs() }
}

/// Burn hours, which are no finer than whole ones.
pub(crate) fn hours(hours: f64) -> String {
    if hours.is_finite() && hours.abs() < 1e15 { number::to_noise(hours.round(), 0.0) } else { NONE.to_owned() }
}

/// Stretches of hours, such as "6000–9000" and "11 000–13 000".
pub(crate) fn stretches(flat: &[(f64, f64)]) -> Vec<String> {
    flat.iter().map(|(from, to)| stretch(*from, *to)).collect()
}

fn stretch(from: f64, to: f64) -> String {
    let (from, to) = (hours(from), hours(to));
    if from == to { from } else { number::range(&from, &to) }
}

/// The interval of a policy as it is told in a sentence: "every 9000 h", "at 9000 h"; nothing without one.
pub(crate) fn interval(policy: &PolicyCurve) -> String {
    let word = if policy.kind == PolicyKind::ByAge { "at" } else { "every" };
    let at = |best: Estimate| {
        if best.se == 0.0 { format!("{}\u{202f}h", hours(best.value)) } else { beside(best, "h") }
    };
    policy.best.as_ref().map_or_else(String::new, |best| format!(" {word} {}", at(best.interval_h)))
}

/// Lamps, a mean over trials: their noise is about that of a count of so many.
pub(crate) fn lamps(mean: f64, trials: u64) -> String {
    if !mean.is_finite() {
        return NONE.to_owned();
    }
    if mean.abs() < 1e15 && mean == mean.round() {
        return number::fixed(mean, 0);
    }
    let noise = (mean.abs().max(1.0) / trials.max(1) as f64).sqrt();
    number::part(mean, mean.abs().max(1.0), noise)
}

/// A share of 1 without a standard error, in per cent, to two digits.
pub(crate) fn about(share: f64) -> String {
    if share.is_finite() { number::percent(share, f64::INFINITY) } else { NONE.to_owned() }
}

fn short(name: &str) -> String {
    shorten(name, NAME, |text| columns(text) as f64)
}

#[cfg(test)]
mod tests;
