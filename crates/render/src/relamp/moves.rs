//! What the room and its horizon ask for: relampings moved to crop turns and crew days, the last one, and all dates.
//!
//! Belongs here: the words and their order. Does not belong here: the dates and what they cost.

use decide::relamp_report::{DatedRelamp, Ending, RelampOption, RelampReport, Snapped};
use decide::result::Estimate;

use super::{TOO_CLOSE, Told, beside, hours, scaled, share, told};
use crate::number;
use crate::page::{Column, Page};
use crate::words::clean;

/// Most dates in a sentence.
const MOST_DATES: usize = 4;
/// Most group relamps in the table.
const MOST_VISITS: usize = 24;

/// Writes all three.
pub(super) fn moves(page: &mut Page, report: &RelampReport, option: &RelampOption) {
    let moved: Vec<String> = option
        .policies
        .iter()
        .filter_map(|policy| Some((policy, policy.best.as_ref()?)))
        .flat_map(|(policy, best)| best.snapped.iter().map(|moved| snapped(&policy.name, moved)))
        .collect();
    page.list("The best interval moved to what the room allows", &moved);
    let currency = clean(&report.currency);
    let endings: Vec<String> = option.endings.iter().map(|found| ending(found, &currency, report)).collect();
    page.list("The last group relamp before the horizon", &endings);
    visits(page, &option.visits);
}

fn snapped(policy: &str, moved: &Snapped) -> String {
    let more = match told(moved.extra) {
        Told::Nothing => "as much as at the best interval".to_owned(),
        Told::More => format!("{} more than at the best interval", share(moved.extra)),
        Told::Less => format!("{} less than at the best interval", share(scaled(moved.extra, -1.0))),
        Told::TooClose => format!("{TOO_CLOSE} beside the best interval"),
    };
    let cost = number::ct(moved.levelized);
    let dates = match moved.dates.len() {
        0 => "no relamping falls before the horizon".to_owned(),
        1 => format!("the date is {}", clean(&moved.dates[0])),
        count => {
            let first: Vec<String> = moved.dates.iter().take(MOST_DATES).map(|date| clean(date)).collect();
            let more = if count > MOST_DATES { " …" } else { "" };
            format!("first dates {}{more}", first.join(", "))
        }
    };
    format!("{}, to {}: {cost} ct/mol, {more}; {dates}", clean(policy), clean(&moved.to))
}

fn ending(found: &Ending, currency: &str, report: &RelampReport) -> String {
    let unit = format!("{currency} of present value");
    let of = |saves: Estimate| beside(saves, &unit);
    let saves = match told(found.saves) {
        Told::Nothing => "the same as written".to_owned(),
        Told::More => format!("saves {}", of(found.saves)),
        Told::Less => format!("costs {} more", of(scaled(found.saves, -1.0))),
        Told::TooClose => format!("{TOO_CLOSE} ({})", of(found.saves)),
    };
    let relamps = number::counted(found.relamps.into(), "group relamp");
    let years = number::counted(report.horizon_years.into(), "year");
    format!("{}: {relamps} in {years}, {} ct/mol; {saves}", clean(&found.what), number::ct(found.levelized))
}

fn visits(page: &mut Page, visits: &[DatedRelamp]) {
    if visits.is_empty() {
        return;
    }
    page.heading("Group relamps as written, at the medians of the inputs");
    page.gap();
    let shown = &visits[..visits.len().min(MOST_VISITS)];
    let dates: Vec<String> = shown.iter().map(|visit| clean(&visit.date)).collect();
    let column = |name: &str, cell: &dyn Fn(&DatedRelamp) -> String| Column {
        name: name.to_owned(),
        cells: shown.iter().map(|visit| vec![cell(visit)]).collect(),
    };
    let mut table = vec![
        column("lamps", &|visit| visit.sockets.to_string()),
        column("burn hours, h", &|visit| hours(visit.burn_h)),
    ];
    if visits.iter().any(|visit| visit.zone != 1) {
        table.insert(0, column("zone", &|visit| visit.zone.to_string()));
    }
    page.grid(&dates, &table);
    if visits.len() > MOST_VISITS {
        page.hanging("", &format!("and {} more", number::count((visits.len() - MOST_VISITS) as u64)));
    }
}
