//! What a warranty is worth, and what an exact calculation says to the simulation.
//!
//! Belongs here: the words and their order. Does not belong here: the amounts.

use decide::relamp_report::{Exact, ExactLine, ForEver, PolicyKind, RelampOption, RelampReport, WarrantyWorth};
use decide::result::Estimate;

use super::{NONE, TOO_CLOSE, Told, beside, hours, lamps, scaled, short, stretches, told};
use crate::number;
use crate::page::{Column, Page};
use crate::words::{clean, distinct};

/// Writes what the warranty is worth; nothing without one.
pub(super) fn warranty(page: &mut Page, report: &RelampReport, option: &RelampOption) {
    let Some(found) = &option.warranty else { return };
    page.heading("What the warranty is worth");
    if !found.outside.is_empty() {
        page.hanging("", "Nothing here, for the room is outside its terms:");
        for why in &found.outside {
            page.hanging("- ", &clean(why));
        }
        return;
    }
    let currency = clean(&report.currency);
    page.hanging("", &worth(found, &currency));
    page.hanging("", &claims(found, &currency, report.trials));
}

fn worth(found: &WarrantyWorth, currency: &str) -> String {
    let unit = format!("{currency} of present value");
    // a socket's part has the noise of the whole, made as much smaller
    let part = found.per_socket / found.worth.value;
    let socket = scaled(found.worth, if part.is_finite() { part } else { f64::NAN });
    let per_socket = |socket: Estimate| format!("{} per socket", beside(socket, currency));
    match told(found.worth) {
        Told::Nothing => "Nothing here: no trial is cheaper or dearer with it.".to_owned(),
        Told::More => format!("{}, {}.", beside(found.worth, &unit), per_socket(socket)),
        Told::Less => format!(
            "Claiming costs more than it brings: {}, {}.",
            beside(scaled(found.worth, -1.0), &unit),
            per_socket(scaled(socket, -1.0))
        ),
        Told::TooClose => {
            format!("{}: {}.", super::policies::capital(TOO_CLOSE), beside(found.worth, &unit))
        }
    }
}

fn claims(found: &WarrantyWorth, currency: &str, trials: u64) -> String {
    let cost = number::to_noise(found.claim_cost, 0.0);
    let Some(limit) = found.claim_stops_paying else {
        return format!("Nothing is claimed; a claim would cost {cost} {currency}.");
    };
    let se = (found.worth.se / found.claims).abs();
    let limit = number::to_noise(limit, if se > 0.0 { se } else { f64::NAN });
    format!(
        "{} claims over the horizon on average. A claim costs {cost} {currency} (median); claiming stops to pay where it \
         costs {limit} {currency}.",
        lamps(found.claims, trials)
    )
}

/// Writes the cross-check; nothing if it was not asked for.
pub(super) fn exact(page: &mut Page, report: &RelampReport, option: &RelampOption) {
    let Some(found) = &option.exact else { return };
    page.heading("Cross-check without random numbers");
    if !found.does_not_apply.is_empty() {
        page.hanging("", "It does not apply, because:");
        for why in &found.does_not_apply {
            page.hanging("- ", &clean(why));
        }
        return;
    }
    if !found.taken.is_empty() {
        page.hanging("", &format!("Taken for it: {}", clean(&found.taken)));
    }
    lines(page, found);
    for_ever(page, report, found);
}

fn lines(page: &mut Page, found: &Exact) {
    if found.lines.is_empty() {
        return;
    }
    page.gap();
    let names: Vec<String> = found.lines.iter().map(|line| clean(&line.what)).collect();
    let column = |name: &str, cell: &dyn Fn(&ExactLine) -> Vec<String>| Column {
        name: name.to_owned(),
        cells: found.lines.iter().map(cell).collect(),
    };
    let table = [
        column("unit", &|line| vec![clean(&line.unit)]),
        column("exact", &|line| vec![number::to_noise(line.exact, 0.0)]),
        column("simulated", &|line| {
            let (value, error) = number::with_error(line.simulated);
            vec![value, error]
        }),
        column("agrees", &|line| vec![if line.agrees { "yes" } else { "NO" }.to_owned()]),
    ];
    page.grid(&names, &table);
    if found.lines.iter().any(|line| !line.agrees) {
        page.gap();
        page.bold(
            "NO: exact and simulated differ by more than three standard errors. About three in a thousand do so by chance; \
             otherwise one of the two calculations is wrong here.",
        );
    }
}

fn for_ever(page: &mut Page, report: &RelampReport, found: &Exact) {
    if found.for_ever.is_empty() {
        return;
    }
    page.gap();
    page.hanging("", "If the room ran for ever, its capital spread over the horizon:");
    page.gap();
    let names = distinct(found.for_ever.iter().map(|policy| policy.name.as_str()), short);
    let column = |name: &str, cell: &dyn Fn(&ForEver) -> String| Column {
        name: name.to_owned(),
        cells: found.for_ever.iter().map(|policy| vec![cell(policy)]).collect(),
    };
    let within = number::percent(report.flat_within, 0.0);
    let table = [
        column("best interval, h", &|policy| policy.interval_h.map_or_else(|| "run to failure".to_owned(), hours)),
        column("ct/mol", &|policy| number::ct(Estimate { value: policy.cost_per_mol, se: 0.0 })),
        column(&format!("within {within} of it, h"), &|policy| match policy.flat {
            _ if policy.kind == PolicyKind::OnFailure => NONE.to_owned(),
            (from, Some(to)) => stretches(&[(from, to)]).concat(),
            (from, None) if from.is_finite() => format!("{} and longer", hours(from)),
            _ => NONE.to_owned(),
        }),
    ];
    page.grid(&names, &table);
}
