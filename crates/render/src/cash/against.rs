//! Each option against the reference: net present value, ratios, rates, payback, light.
//!
//! Belongs here: how measures are worded, and what they must not be used for. Does not belong here: arithmetic.

use decide::cash_report::{Against, CashOption, CashReport, Measured, Rates, Repaid};
use decide::result::{Estimate, Spread};

use super::{NONE, mean_and_range, money, reference};
use crate::number;
use crate::page::{Column, Page};
use crate::relamp::scaled;
use crate::words::clean;

/// Options that are compared, with their names.
fn compared<'a>(report: &'a CashReport, names: &'a [String]) -> Vec<(&'a CashOption, &'a Against, &'a String)> {
    let all = report.options.iter().zip(names);
    all.filter_map(|(option, name)| Some((option, option.against.as_ref()?, name))).collect()
}

pub(super) fn against(page: &mut Page, report: &CashReport, names: &[String]) {
    let compared = compared(report, names);
    if compared.is_empty() {
        page.heading("Against the reference");
        page.hanging("", "one option only, so nothing is compared");
        return;
    }
    page.heading(&format!("Against {}, {}", reference(report), money(report)));
    page.hanging(
        "",
        &format!(
            "present values and rates per year at {}; above 0 is saved",
            number::percent(report.discount_rate, 0.0)
        ),
    );
    page.gap();
    let rows = [
        "invested in addition",
        "saved in running costs",
        "NPV = net savings",
        "p10, p50, p90 of NPV",
        "chance that NPV > 0",
        "SIR",
        "AIRR",
        "IRR, effective",
        "MIRR",
        "payback, simple",
        "payback, discounted",
        "deepest need of cash",
    ]
    .map(str::to_owned);
    let table: Vec<Column> = compared
        .iter()
        .map(|(_, against, name)| Column {
            name: (*name).clone(),
            cells: vec![
                vec![number::estimate(against.investment)],
                vec![number::estimate(against.savings)],
                vec![number::estimate(against.npv.mean)],
                vec![points(&against.npv)],
                vec![number::percent(against.chance.value, against.chance.se)],
                vec![measured(&against.sir, number::to_noise)],
                vec![measured(&against.airr, percent)],
                vec![rates(&against.irr)],
                vec![measured(&against.mirr, percent)],
                vec![repaid(&against.simple_payback)],
                vec![repaid(&against.discounted_payback)],
                vec![deepest(against)],
            ],
        })
        .collect();
    page.grid(&rows, &table);
    page.gap();
    for (_, against, name) in &compared {
        for (what, note) in notes(against) {
            page.hanging("- ", &format!("{name}, {what}: {}", clean(note)));
        }
    }
    for (_, against, name) in &compared {
        if report.basis != report.basis_as_written {
            page.hanging("- ", &both_ways(report, against, name));
        }
    }
    page.hanging(
        "- ",
        "SIR, IRR and payback say whether one option is worth its money against the reference; they do not choose between \
         options that exclude each other, and payback is blind to all that comes later. The lowest life-cycle cost, which \
         is the highest NPV, ranks.",
    );
}

/// That the net present value is the same on both bases.
fn both_ways(report: &CashReport, against: &Against, name: &str) -> String {
    let npv = against.npv.mean;
    let shown = number::to_noise(against.npv_of_mean_flow, npv.se);
    format!(
        "{name}: NPV is the same both ways: {shown} {} of the {} flow at {} a year, {} as written ({} at {})",
        clean(&report.currency),
        clean(&report.basis),
        number::percent(report.discount_rate, 0.0),
        number::estimate(npv),
        clean(&report.basis_as_written),
        number::percent(report.discount_rate_as_written, 0.0),
    )
}

fn points(spread: &Spread) -> String {
    let noise = spread.p10.se.max(spread.p90.se).max(spread.p50.se).max(spread.mean.se);
    // three numbers side by side are told apart by more than spaces, and noise is said once, with the mean
    [spread.p10, spread.p50, spread.p90].map(|point| plain(point.value, noise)).join(" | ")
}

/// A number to its noise, and one digit of it where that hides it.
pub(super) fn plain(value: f64, se: f64) -> String {
    let text = number::to_noise(value, se);
    if text.contains('±') { number::part(value, value, se / 10.0) } else { text }
}

fn measured(measured: &Measured, show: impl Fn(f64, f64) -> String) -> String {
    match measured.value {
        Some(value) => show(value, measured.se.unwrap_or(f64::INFINITY)),
        None => NONE.to_owned(),
    }
}

/// A rate per year.
fn percent(rate: f64, se: f64) -> String {
    number::percent(rate, se)
}

/// One of several rates, with enough digits to tell them apart.
fn fine(rate: f64) -> String {
    match rate * 100.0 {
        percent if percent < -99.9 => "below \u{2212}99.9\u{202f}%, which has no practical meaning".to_owned(),
        percent if percent.abs() < 1e6 => format!("{}\u{202f}%", number::fixed(percent, 1)),
        _ => percent(rate, 0.0),
    }
}

pub(super) fn rates(rates: &Rates) -> String {
    match rates.rates.as_slice() {
        [] => NONE.to_owned(),
        [only] => percent(*only, rates.se.unwrap_or(f64::INFINITY)),
        several => format!("{} rates", several.len()),
    }
}

pub(super) fn repaid(repaid: &Repaid) -> String {
    match repaid.years {
        None => NONE.to_owned(),
        Some(years) => {
            let years = number::to_noise(years, repaid.se.unwrap_or(0.0));
            let date = if repaid.date.is_empty() { String::new() } else { format!(", {}", clean(&repaid.date)) };
            format!("{years}\u{202f}yr{date}")
        }
    }
}

fn deepest(against: &Against) -> String {
    let need = &against.deepest;
    if need.date.is_empty() {
        return "none".into();
    }
    format!("{}, {}", number::estimate(need.mean), clean(&need.date))
}

/// What is to be known of the measures of an option, each with its name; no sentence twice.
fn notes(against: &Against) -> Vec<(String, &str)> {
    let several = against.irr.rates.iter().map(|rate| fine(*rate)).collect::<Vec<_>>().join(" and ");
    let irr = match (against.irr.rates.len(), against.irr.sign_changes) {
        (0, _) => "IRR".to_owned(),
        (1, 0 | 1) => "IRR".to_owned(),
        (1, changes) => format!("IRR ({changes} changes of sign, one rate)"),
        (_, changes) => format!("IRR ({changes} changes of sign; {several})"),
    };
    let mut said: Vec<(String, &str)> = vec![];
    let all = [
        ("SIR".to_owned(), &against.sir.note),
        ("AIRR".to_owned(), &against.airr.note),
        (irr, &against.irr.note),
        ("MIRR".to_owned(), &against.mirr.note),
        ("simple payback".to_owned(), &against.simple_payback.note),
        ("discounted payback".to_owned(), &against.discounted_payback.note),
    ];
    for (what, note) in all {
        let counted = what.contains("changes") && note.is_empty();
        let note = if counted { "the sign changes more than once, yet only one rate balances the flow" } else { note };
        if note.is_empty() {
            continue;
        }
        match said.iter_mut().find(|(_, told)| *told == note) {
            Some((before, _)) => *before = format!("{before}, {what}"),
            None => said.push((what, note)),
        }
    }
    said
}

pub(super) fn equal_light(page: &mut Page, report: &CashReport, names: &[String]) {
    page.heading(&format!("At equal light, {}", money(report)));
    let service = if report.service_mol > 0.0 && report.service_mol.is_finite() {
        format!("; asked for: {}", clean(&report.service))
    } else {
        String::new()
    };
    page.hanging(
        "",
        &format!(
            "an NPV of rooms counts money alone; at equal light the option is brought to the light of {}: missing moles are \
             bought, surplus ones sold, at what a mole costs with that option{service}",
            reference(report)
        ),
    );
    page.gap();
    let light = |option: &CashOption| number::estimate(scaled(option.light_mol, 1e-3));
    let share = |share: Estimate| number::percent(share.value, share.se);
    let cells = |read: &dyn Fn(&CashOption) -> String| report.options.iter().map(|o| vec![read(o)]).collect();
    let of_npv = |option: &CashOption, read: &dyn Fn(&Against) -> String| {
        option.against.as_ref().map_or_else(|| NONE.to_owned(), read)
    };
    let mut table = vec![
        Column { name: "light, present value, kmol".into(), cells: cells(&light) },
        Column { name: "of the reference's".into(), cells: cells(&|option| share(option.light_of_reference)) },
        Column {
            name: "of what is asked for".into(),
            cells: cells(&|option| share(Estimate { value: option.light_of_service, se: 0.0005 })),
        },
    ];
    if report.options.iter().any(|option| option.against.is_some()) {
        let npv = |option: &CashOption| of_npv(option, &|against| number::estimate(against.npv.mean));
        table.push(Column { name: "NPV of the room".into(), cells: cells(&npv) });
        let equal = report.options.iter().map(|option| match &option.against {
            Some(against) => {
                let (mean, range) = mean_and_range(&against.npv_equal_light);
                vec![mean, range]
            }
            None => vec![NONE.to_owned()],
        });
        table.push(Column { name: "NPV at equal light".into(), cells: equal.collect() });
    }
    page.grid(names, &table);
}

pub(super) fn after_tax(page: &mut Page, report: &CashReport, names: &[String]) {
    if report.after_tax_words.is_empty() {
        return;
    }
    page.heading(&format!("After tax and loan, {}, present value", money(report)));
    page.hanging(
        "",
        "mean flow at the same discount rate, which is taken to be one after tax; tax below 0 is saved on other income",
    );
    page.gap();
    let present = |option: &CashOption, line: &str| {
        let found = option.lines.iter().find(|found| found.name == line);
        found.map_or_else(|| NONE.to_owned(), |found| number::to_noise(found.present, option.life_cycle_cost.mean.se))
    };
    let mut table: Vec<Column> = ["total", "tax", "loan", "after tax"]
        .into_iter()
        .zip(["life-cycle cost before tax", "tax", "loan", "life-cycle cost after tax"])
        .map(|(line, name)| Column {
            name: name.into(),
            cells: report.options.iter().map(|option| vec![present(option, line)]).collect(),
        })
        .collect();
    let taxed = |option: &CashOption| {
        option.against.as_ref().and_then(|against| Some((against.after_tax.clone()?, against.npv.mean.se)))
    };
    table.push(Column {
        name: "NPV after tax".into(),
        cells: report
            .options
            .iter()
            .map(|option| {
                vec![taxed(option).map_or_else(|| NONE.to_owned(), |(taxed, se)| number::to_noise(taxed.npv, se))]
            })
            .collect(),
    });
    table.push(Column {
        name: "IRR after tax".into(),
        cells: report
            .options
            .iter()
            .map(|option| vec![taxed(option).map_or_else(|| NONE.to_owned(), |(taxed, _)| rates(&taxed.irr))])
            .collect(),
    });
    page.grid(names, &table);
}
