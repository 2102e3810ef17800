//! What `workbook` prints.
//!
//! Belongs here: the order of what is said. Does not belong here: the workbook itself.

use decide::result::Ended;
use decide::workbook_report::WorkbookReport;

use super::start::SHEETS;
use super::{answer, confidence};
use crate::number;
use crate::page::{Column, Page, first_column};
use crate::words::{clean, columns, distinct, shorten};

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &WorkbookReport, width: usize) -> Page {
    let mut page = Page::new(width);
    head(&mut page, report);
    page.heading("Base path and simulation");
    let limit = (2 * first_column(page.width)) as f64;
    let names = distinct(report.options.iter().map(|option| option.name.as_str()), |name| {
        shorten(name, limit, |t| columns(t) as f64)
    });
    let shown: Vec<String> = names.iter().map(|name| shorten(name, limit, |text| columns(text) as f64)).collect();
    let base = report.figures.options.iter().map(|figures| {
        vec![figures.levelized.map_or_else(|| "no light".to_owned(), |cost| number::fixed(cost * 100.0, 3))]
    });
    let mean = report.options.iter().map(|option| vec![number::ct(option.simulated.levelized.mean)]);
    let npv = report.figures.options.iter().map(|figures| {
        vec![figures.saved.as_ref().map_or_else(|| "reference".to_owned(), |saved| number::to_noise(saved.npv, 0.0))]
    });
    page.grid(
        &shown,
        &[
            Column { name: "base path, ct/mol".into(), cells: base.collect() },
            Column { name: "simulated mean, ct/mol".into(), cells: mean.collect() },
            Column { name: format!("net present value, {}", clean(&report.currency)), cells: npv.collect() },
        ],
    );
    inputs(&mut page, report);
    let worst = report.options.iter().map(|option| option.off.abs()).fold(0.0, f64::max);
    page.gap();
    page.hanging(
        "Checks    ",
        &format!(
            "quantities times prices come to the cost as priced, off by {} {} at most in {}; the sheet Checks holds this and \
             more, and must say so after every change",
            number::significant(worst, 1),
            clean(&report.currency),
            number::counted(report.options.len() as u64, "option")
        ),
    );
    page.heading("Sheets");
    for (name, about) in SHEETS {
        page.hanging(&format!("{name:<14}"), about);
    }
    page.list("What is not live", &report.not_live);
    page.list("Cautions", &report.cautions);
    page.list("Remarks", &report.remarks);
    page
}

fn head(page: &mut Page, report: &WorkbookReport) {
    if report.ended == Ended::Interrupted {
        page.bold(&format!(
            "INTERRUPTED: this was stopped after {}; the numbers are of no more than that",
            number::counted(report.trials, "trial")
        ));
        page.gap();
    }
    page.bold(&format!("{}: a workbook for the accountant", clean(&report.title)));
    page.gap();
    page.hanging("Answer    ", &format!("{}; {}", answer(report), confidence(report)));
    page.hanging(
        "Basis     ",
        &format!(
            "{} {}, prices of {}{}, discounted at {} a year, booked {}; {} from {}",
            clean(&report.basis),
            clean(&report.currency),
            clean(&report.prices_of),
            super::raised(report),
            number::percent(report.rate.input.p50, 0.0),
            clean(&report.booked),
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start)
        ),
    );
    page.hanging("Contract  ", &format!("{}, lights {}", clean(&report.contract), clean(&report.lights)));
    page.hanging(
        "Reference ",
        &report.options.get(report.reference).map_or_else(String::new, |option| clean(&option.name)),
    );
    page.hanging(
        "Base path ",
        &format!("medians of all inputs, mean over the luck of {}", number::counted(report.path_trials, "trial")),
    );
    page.hanging("Simulated ", &format!("{}, seed {}", number::counted(report.trials, "trial"), report.seed));
}

fn inputs(page: &mut Page, report: &WorkbookReport) {
    page.heading("Inputs that are live in the workbook");
    let rate = number::percent(report.rate.input.p50, 0.0);
    page.hanging("- ", &format!("{}: {rate} a year", clean(&report.rate.input.place)));
    for price in &report.prices {
        let held = price.held.map_or_else(String::new, |(low, high)| {
            format!(", from {} to {}", number::significant(low, 4), number::significant(high, 4))
        });
        let (value, unit) = (number::significant(price.input.p50, 6), clean(&price.input.unit));
        page.hanging("- ", &format!("{}: {value} {unit}{held}", clean(&price.input.place)));
    }
    let others = number::counted(report.others.len() as u64, "other input");
    page.hanging(
        "",
        &format!("{others} are listed with their ranges and grades; changing one needs a new simulation."),
    );
}
