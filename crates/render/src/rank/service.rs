//! Rooms at equal light: how well each option holds the target, and what whole rooms cost.
//!
//! Belongs here: both tables and their sentences. Does not belong here: counting fixtures.

use decide::rank_report::{Held, HeldOption, RankContract, RankReport, Reason, Turned};

use super::name;
use super::words::joined;
use crate::breakeven::noisy;
use crate::number;
use crate::page::{Column, Page};
use crate::words::clean;

/// What an option short of the target has of surplus.
const NONE: &str = "none";

/// Writes both tables. Light that is the same as under the contract before is not told again: `told` holds its cells.
pub(super) fn service(
    page: &mut Page,
    report: &RankReport,
    contract: &RankContract,
    names: &[String],
    told: &mut Vec<Vec<Vec<String>>>,
) {
    let Some(held) = &contract.service_held else { return };
    page.heading(&format!("Rooms at equal light: {}", clean(&contract.service)));
    let light = light(report, held);
    let cells: Vec<Vec<Vec<String>>> = light.iter().map(|column| column.cells.clone()).collect();
    if cells.concat() == told.concat() {
        page.hanging("", "The light is held as under the contract before.");
    } else {
        page.gap();
        page.grid(names, &light);
        *told = cells;
    }
    page.gap();
    page.grid(names, &money(report, held));
    page.gap();
    for sentence in sentences(report, held, names) {
        page.hanging("- ", &sentence);
    }
}

fn column(held: &Held, head: &str, cell: &dyn Fn(&HeldOption) -> Vec<String>) -> Column {
    Column { name: head.to_owned(), cells: held.options.iter().map(cell).collect() }
}

fn light(report: &RankReport, held: &Held) -> Vec<Column> {
    let mut table = vec![
        column(held, "fixtures as written", &|o| vec![number::count(o.fixtures.into())]),
        column(held, "of the target on average", &|o| vec![number::percent(o.share.value, o.share.se)]),
        column(held, "in the worst month", &|o| vec![number::percent(o.worst_share.value, o.worst_share.se)]),
    ];
    if report.least_ppfd.is_some() {
        table.push(column(held, "darkest point, PPFD", &|o| {
            vec![o.darkest_ppfd.map_or_else(|| "–".to_owned(), |ppfd| number::fixed(ppfd, 0))]
        }));
    }
    table.push(column(held, "fixtures needed", &|o| {
        let needed = o.needed_for_darkest.unwrap_or(0.0).max(o.needed_for_mean.value);
        vec![number::to_noise(needed, o.needed_for_mean.se.max(0.01 * needed / o.needed_for_mean.value))]
    }));
    table.push(column(held, "in whole numbers", &|o| vec![number::count(o.whole.into())]));
    table
}

fn money(report: &RankReport, held: &Held) -> Vec<Column> {
    let currency = clean(&report.currency);
    let rooms = if report.rooms == 1 { "room" } else { "rooms" };
    let shown = |(value, error): (String, String)| vec![value, error];
    vec![
        column(held, &format!("{rooms} as written, {currency}"), &|o| shown(noisy(o.as_written))),
        column(held, &format!("{rooms} of whole fixtures, {currency}"), &|o| {
            o.whole_cost.map_or_else(|| vec!["–".to_owned()], |cost| shown(noisy(cost)))
        }),
        column(held, "surplus light, mol a room", &|o| {
            vec![number::to_noise(o.surplus_mol, o.share.se * held.target_mol)]
        }),
        column(held, &format!("its electricity, {currency}"), &|o| {
            vec![if o.is_short() { NONE.to_owned() } else { number::estimate(o.surplus_cost) }]
        }),
        column(held, &format!("as written less that, {currency}"), &|o| shown(noisy(o.less_surplus))),
    ]
}

fn sentences(report: &RankReport, held: &Held, names: &[String]) -> Vec<String> {
    let of = |test: &dyn Fn(&HeldOption) -> bool| -> Vec<String> {
        held.options.iter().enumerate().filter(|(_, option)| test(option)).map(|(o, _)| name(names, o)).collect()
    };
    let mut told = vec![];
    let short = of(&|option| option.is_short());
    if short.len() == held.options.len() && short.len() > 1 {
        let all = "All options are short of the target as written: no room gives the service that was asked for, and each costs \
                   what less light costs.";
        told.push(all.to_owned());
    } else if !short.is_empty() {
        let (is, does, rooms) = if short.len() > 1 { ("are", "do", "their rooms") } else { ("is", "does", "its room") };
        told.push(format!(
            "{} {is} short of the target as written and {does} not give the same service: the cost of {rooms} is that of less \
             light.",
            joined(&short)
        ));
    }
    let dark = of(&|option| option.darkest_is_short());
    if !dark.is_empty() {
        told.push(format!("At the darkest point {} as written give less than canopy.least_ppfd.", joined(&dark)));
    }
    let dips = of(&|option| !option.is_short() && option.worst_share.value < 1.0);
    if !dips.is_empty() {
        told.push(format!("{} hold the target on average, but not in the worst month.", joined(&dips)));
    }
    if let Some(turned) = held.turned_as_written {
        told.push(turn(report, held, names, turned, "room as written"));
    }
    if let Some(turned) = held.turned_whole {
        told.push(turn(report, held, names, turned, "room of whole fixtures"));
    }
    if held.turned_as_written.is_none() && held.turned_whole.is_none() && held.options.len() > 1 {
        told.push("No pair that can be told apart ranks otherwise per whole room than per mole.".to_owned());
    }
    told
}

fn turn(report: &RankReport, held: &Held, names: &[String], turned: Turned, what: &str) -> String {
    let (mole, room) = (name(names, turned.per_mole), name(names, turned.per_room));
    let because = held.options.get(turned.per_mole).zip(held.options.get(turned.per_room)).map(|(mole, room)| {
        let needs = |option: &HeldOption| {
            format!("{} for {}", number::count(option.whole.into()), number::fixed(option.needed_for_mean.value, 1))
        };
        let share = |option: &HeldOption| number::percent(option.share.value, option.share.se);
        match turned.reason {
            Reason::UnequalLight => {
                format!("the rooms give unequal light, {} and {} of the target", share(mole), share(room))
            }
            Reason::WholeFixtures => format!("fixtures come whole: {} needed, and {}", needs(mole), needs(room)),
            Reason::DarkestPoint => "the darkest point, not the mean, says how many fixtures are needed".to_owned(),
            Reason::Time => "their light and their money come at different times".to_owned(),
        }
    });
    format!(
        "Per mole {mole} is cheaper than {room}, per {what} it is dearer by {} {}: {}.",
        number::estimate(turned.lead),
        clean(&report.currency),
        because.unwrap_or_default()
    )
}
