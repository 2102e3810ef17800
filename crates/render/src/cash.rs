//! Cash flows: what `cash` prints, and its tables.
//!
//! Belongs here: the order of what is said. Does not belong here: arithmetic, the comparison with the reference
//! (`against`), percentiles of years (`budget`), rows that somebody pastes (`pasted`), CSV (`tables`).

mod against;
mod budget;
mod pasted;
mod tables;

use decide::cash_report::{CashOption, CashReport, Lives};
use decide::result::{Ended, Estimate, Spread};

use crate::number;
use crate::page::{Column, Page};
use crate::words::{clean, columns, distinct, shorten};

pub(crate) use pasted::{pasted, worth_of_pasted};
pub use tables::{cash_measures_csv, cash_months_csv, cash_years_csv};

/// Columns of a name in a table, on the narrowest page: two lines.
const NAME: f64 = 28.0;
const NONE: &str = "–";

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &CashReport, width: usize) -> Page {
    let mut page = Page::new(width);
    head(&mut page, report);
    let names = names(report);
    costs(&mut page, report, &names);
    years(&mut page, report, &names);
    against::against(&mut page, report, &names);
    against::equal_light(&mut page, report, &names);
    budget::budget(&mut page, report, &names);
    against::after_tax(&mut page, report, &names);
    page.list("How to read this", &reading(report));
    page.list("Cautions", &report.cautions);
    page.list("Remarks", &report.remarks);
    page
}

/// Names of the options, cleaned and short enough for a table.
pub(crate) fn names(report: &CashReport) -> Vec<String> {
    let short = |name: &str| shorten(name, NAME, |text| columns(text) as f64);
    distinct(report.options.iter().map(|option| option.name.as_str()), short)
}

/// The name of the reference.
pub(crate) fn reference(report: &CashReport) -> String {
    report.options.get(report.reference).map_or_else(|| NONE.to_owned(), |option| clean(&option.name))
}

/// Mean and range, whose ends get no more digits than the mean: where trials come out in a few amounts only, a percentile
/// looks surer than it is.
pub(crate) fn mean_and_range(spread: &Spread) -> (String, String) {
    let mut spread = spread.clone();
    spread.p10.se = spread.p10.se.max(spread.mean.se);
    number::mean_and_range(&spread, 1.0)
}

/// Kind of money and currency.
fn money(report: &CashReport) -> String {
    format!("{} {}", clean(&report.basis), clean(&report.currency))
}

/// That the run was stopped early.
pub(crate) fn stopped(report: &CashReport) -> Option<String> {
    let trials = || format!("INTERRUPTED: stopped after {}", number::counted(report.trials, "trial"));
    (report.ended == Ended::Interrupted).then(trials)
}

fn head(page: &mut Page, report: &CashReport) {
    if let Some(stopped) = stopped(report) {
        page.bold(&stopped);
        page.gap();
    }
    page.bold(&format!("{}: cash flows", clean(&report.title)));
    page.gap();
    let inflation = match report.inflation {
        Some(rate) if report.basis == "nominal" => {
            format!(" raised by {} a year", number::percent(rate, 0.0))
        }
        Some(rate) => format!(", inflation {} a year", number::percent(rate, 0.0)),
        None => String::new(),
    };
    page.hanging(
        "Basis      ",
        &format!(
            "{} discounted at {} a year, prices of {}{inflation}; {} from {}",
            money(report),
            number::percent(report.discount_rate, 0.0),
            clean(&report.prices_of),
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start),
        ),
    );
    page.hanging("Timing     ", &timing(report));
    page.hanging("Contract   ", &clean(&report.contract));
    page.hanging("Reference  ", &format!("{}; what is saved against it is above 0", reference(report)));
    page.hanging("Lives      ", lives(report.lives));
    match report.after_tax_words.split_first() {
        None => page.hanging("Tax, loan  ", "before tax, without a loan"),
        Some((first, rest)) => {
            page.hanging("Tax, loan  ", &clean(first));
            rest.iter().for_each(|words| page.hanging("           ", &clean(words)));
        }
    }
    page.hanging(
        "Futures    ",
        &format!(
            "{}, seed {}; all options live on the same luck",
            number::counted(report.trials, "trial"),
            report.seed
        ),
    );
}

fn timing(report: &CashReport) -> String {
    let (at_ends, as_booked) = report.annuity;
    let currency = clean(&report.currency);
    let factor = |value: f64| number::fixed(value, 3);
    format!(
        "the outlay on {}, running costs booked {}; 1 {currency} a year is worth {} {currency} now in twelfths booked so, \
         {} {currency} at year ends",
        clean(&report.start),
        match report.booked.as_str() {
            "end of month" => "at the end of each month".to_owned(),
            "mid-month" => "in the middle of each month".to_owned(),
            other => clean(other),
        },
        factor(as_booked),
        factor(at_ends),
    )
}

/// A way of treating unequal lives, in words.
fn lives(lives: Lives) -> &'static str {
    match lives {
        Lives::Horizon => {
            "horizon: every fixture's service ends with the horizon, and nothing is left but what the scenario states"
        }
        Lives::Residual => {
            "residual: a fixture that lasts beyond the horizon is worth the straight-line rest of its price there"
        }
        Lives::Annual => {
            "annual: the outlay is borne in equal yearly amounts over the fixture's service; what falls beyond the horizon \
             stands as its worth there"
        }
    }
}

/// Position of the option with the lowest life-cycle cost, if the noise lets it be told from all others.
fn lowest(report: &CashReport) -> Option<usize> {
    let cost = |option: &CashOption| option.life_cycle_cost.mean.value;
    let all = || report.options.iter().enumerate();
    let (first, best) = all().min_by(|a, b| cost(a.1).total_cmp(&cost(b.1)))?;
    let clear = |other: &CashOption| {
        let (a, b) = (best.life_cycle_cost.mean, other.life_cycle_cost.mean);
        b.value - a.value > 1.96 * a.se.hypot(b.se)
    };
    (report.options.len() > 1 && all().all(|(k, other)| k == first || clear(other))).then_some(first)
}

fn costs(page: &mut Page, report: &CashReport, names: &[String]) {
    page.heading(&format!("Life-cycle cost of the room, {}, present value", money(report)));
    page.hanging(
        "",
        "mean and, in brackets, the range from the 10 % to the 90 % point of the trials; life-cycle cost ranks",
    );
    page.gap();
    let amounts = |read: &dyn Fn(&CashOption) -> Estimate| -> Vec<Vec<String>> {
        report.options.iter().map(|option| vec![number::estimate(read(option))]).collect()
    };
    let lowest = lowest(report);
    let ranked = |(k, option): (usize, &CashOption)| {
        let (mean, range) = mean_and_range(&option.life_cycle_cost);
        vec![mean, range, if lowest == Some(k) { "lowest" } else { "" }.to_owned()]
    };
    let mut table = vec![
        Column { name: "at the start".into(), cells: amounts(&|option| option.outlay) },
        Column { name: "running costs".into(), cells: amounts(&|option| option.running) },
    ];
    if report.options.iter().any(|option| option.left.value != 0.0) {
        let taken_off = |option: &CashOption| Estimate { value: -option.left.value, se: option.left.se };
        table.push(Column { name: "worth at the end".into(), cells: amounts(&taken_off) });
    }
    table.push(Column {
        name: "life-cycle cost".into(),
        cells: report.options.iter().enumerate().map(ranked).collect(),
    });
    table.push(Column {
        name: "equivalent annual cost, a year".into(),
        cells: amounts(&|option| option.equivalent_annual),
    });
    page.grid(names, &table);
}

fn years(page: &mut Page, report: &CashReport, names: &[String]) {
    page.heading(&format!("Cash by year, {}, not discounted", money(report)));
    page.hanging("", "mean over trials; by month and cause in cash-months.csv and cash-years.csv");
    page.gap();
    let count = report.options.iter().map(|option| option.budget.years.len()).max().unwrap_or(0);
    let rows: Vec<String> = (0..count).map(|year| year_name(report, year)).chain(["total".to_owned()]).collect();
    let column = |(option, name): (&CashOption, &String)| {
        let years = option.budget.years.iter().map(|year| vec![number::estimate(year.mean)]);
        Column { name: name.clone(), cells: years.chain([vec![number::estimate(option.budget.total.mean)]]).collect() }
    };
    page.ledger(&rows, &report.options.iter().zip(names).map(column).collect::<Vec<_>>());
}

/// "start", or a year with its last day of booking.
fn year_name(report: &CashReport, year: usize) -> String {
    match (year, report.dates.get(12 * year)) {
        (0, _) => "start".into(),
        (year, Some(date)) => format!("year {year}, to {}", clean(date).chars().take(7).collect::<String>()),
        (year, None) => format!("year {year}"),
    }
}

fn reading(report: &CashReport) -> Vec<String> {
    let mut told = vec![
        format!(
            "moments are exact twelfths of a year, so that net present value is the sum of amount × factor in \
             cash-months.csv; a spreadsheet's XNPV counts days of 365 and lands beside it; its NPV of plain yearly sums \
             counts everything at year ends (factor {} instead of {}): take the row \"total at year ends\" of cash-years.csv",
            number::fixed(report.annuity.0, 3),
            number::fixed(report.annuity.1, 3)
        ),
        "SIR, AIRR, IRR and MIRR are those of the mean flow at the median discount rate; investment is what is paid at the \
         start less what is left, savings are all the rest, replacement lamps included"
            .to_owned(),
    ];
    if report.lives != Lives::Horizon {
        told.push("worth at the end is reckoned, not paid: budget and picture leave it out".to_owned());
    }
    told
}

/// What each option saves against the reference, a sentence each.
pub(crate) fn sentences(report: &CashReport) -> Vec<String> {
    let currency = clean(&report.currency);
    let reference = reference(report);
    let of = |option: &CashOption| {
        let npv = &option.against.as_ref()?.npv;
        let (mean, range) = mean_and_range(npv);
        Some(format!(
            "{} against {reference}: net present value {mean} {range}\u{202f}{currency} (mean, and 10\u{202f}% to 90\u{202f}% of \
             futures), rooms as written, {} of the light.",
            clean(&option.name),
            number::percent(option.light_of_reference.value, option.light_of_reference.se)
        ))
    };
    report.options.iter().filter_map(of).collect()
}

#[cfg(test)]
mod tests;
