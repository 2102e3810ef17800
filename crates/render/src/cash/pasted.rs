//! What a row of pasted amounts says.

use decide::cash_report::{Measured, PastedReport, Rates, Repaid};

use crate::number;
use crate::page::Page;
use crate::words::clean;

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn pasted(report: &PastedReport, width: usize) -> Page {
    let mut page = Page::new(width);
    page.bold(&format!("{} over {} years", number::counted(report.rows as u64, "amount"), exact(report.years)));
    page.gap();
    page.hanging(
        "Basis   ",
        "amounts as pasted, what comes in above 0, what is paid below; whether they are real or nominal is not known here: \
         the rates must be of the same kind",
    );
    page.hanging(
        "Rates   ",
        &format!(
            "discounted at {} a year, effective; reinvested at {} a year",
            percent(report.discount_rate),
            percent(report.reinvestment_rate)
        ),
    );
    page.gap();
    page.hanging("Sum                  ", &exact(report.total));
    page.hanging("Net present value    ", &exact(report.npv));
    page.hanging("Equivalent annual    ", &measured(&report.equivalent_annual, exact));
    page.hanging("Internal rates       ", &rates(&report.irr));
    page.hanging("Modified rate        ", &measured(&report.mirr, percent));
    page.hanging("Payback, simple      ", &repaid(&report.simple_payback));
    page.hanging("Payback, discounted  ", &repaid(&report.discounted_payback));
    page
}

/// An exact number, with more digits than a simulated one would get.
fn exact(value: f64) -> String {
    if value.abs() < 1e12 && value.abs() >= 1.0 {
        number::fixed((value * 100.0).round() / 100.0, if value.fract() == 0.0 { 0 } else { 2 })
    } else {
        number::to_noise(value, 0.0)
    }
}

fn percent(rate: f64) -> String {
    if rate.abs() < 1e6 { format!("{}\u{202f}%", number::fixed(rate * 100.0, 2)) } else { number::percent(rate, 0.0) }
}

fn measured(measured: &Measured, show: impl Fn(f64) -> String) -> String {
    match measured.value {
        Some(value) => show(value),
        None => format!("none: {}", clean(&measured.note)),
    }
}

fn rates(rates: &Rates) -> String {
    let changes = match rates.sign_changes {
        0 => "no change of sign".to_owned(),
        1 => "one change of sign".to_owned(),
        many => format!("{many} changes of sign"),
    };
    let note = if rates.note.is_empty() { String::new() } else { format!("; {}", clean(&rates.note)) };
    match rates.rates.as_slice() {
        [] => format!("none ({changes}){note}"),
        list => {
            let list: Vec<String> = list.iter().map(|rate| percent(*rate)).collect();
            format!("{} ({changes}){note}", list.join(", "))
        }
    }
}

fn repaid(repaid: &Repaid) -> String {
    let note = if repaid.note.is_empty() { String::new() } else { clean(&repaid.note) };
    match repaid.years {
        None => format!("none: {note}"),
        Some(years) => {
            let after = format!("with the amount at {} years", exact(years));
            if note.is_empty() { after } else { format!("{after}; {note}") }
        }
    }
}

/// What the row is worth, a sentence.
pub(crate) fn worth_of_pasted(report: &PastedReport) -> String {
    format!("Net present value {} at {} a year.", exact(report.npv), percent(report.discount_rate))
}
