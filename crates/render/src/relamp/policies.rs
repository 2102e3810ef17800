//! Policies and their best intervals.
//!
//! Belongs here: the table of policies, and what is said of the best one. Does not belong here: which one that is.

use decide::relamp_report::{PolicyCurve, PolicyKind, RelampOption, RelampReport};

use super::{NONE, TOO_CLOSE, Told, about, beside, interval, lamps, scaled, share, short, stretches, told};
use crate::number;
use crate::page::{Column, Page};
use crate::words::{clean, distinct};

/// Dark socket-hours as a share of all that a reader must hear of.
const MUCH: f64 = 0.01;
/// Most stretches of intervals that are written out in a table.
const MOST_STRETCHES: usize = 3;

/// Writes how lamps are replaced as written, the table, and what may be said.
pub(super) fn policies(page: &mut Page, report: &RelampReport, option: &RelampOption) {
    page.hanging(
        "As written: ",
        &format!("{}; it costs {} ct/mol", clean(&option.as_written), number::ct(option.cost_as_written)),
    );
    page.gap();
    if option.policies.is_empty() {
        page.hanging("", "No policy was tried.");
        return;
    }
    table(page, report, option);
    page.gap();
    page.hanging("", &sentence(option));
    for line in [dark(option), flat(report, option), at_the_end(option)].into_iter().flatten() {
        page.hanging("", &line);
    }
}

fn table(page: &mut Page, report: &RelampReport, option: &RelampOption) {
    let names = distinct(option.policies.iter().map(|policy| policy.name.as_str()), short);
    let column = |name: &str, cell: &dyn Fn(&PolicyCurve) -> Vec<String>| Column {
        name: name.to_owned(),
        cells: option.policies.iter().map(cell).collect(),
    };
    let within = number::percent(report.flat_within, 0.0);
    let at_best = |policy: &PolicyCurve, values: &[f64]| values.get(nearest(policy)).copied();
    let bare = |text: Option<String>| vec![text.unwrap_or_else(|| NONE.to_owned())];
    let best = |index: usize| if index == option.best_policy { "lowest" } else { "" };
    let mut lowest = column("lowest cost, ct/mol", &|policy| {
        let (value, error) = number::with_error(scaled(policy.lowest, 100.0));
        vec![value, error]
    });
    lowest.cells.iter_mut().enumerate().for_each(|(index, cell)| cell.push(best(index).to_owned()));
    let table = [
        column("best interval, h", &|policy| match &policy.best {
            Some(best) => {
                let (value, error) = number::with_error(best.interval_h);
                vec![value, if best.interval_h.se == 0.0 { String::new() } else { error }]
            }
            None => vec![NONE.to_owned(), String::new()],
        }),
        lowest,
        column("lamps bought", &|policy| bare(at_best(policy, &policy.lamps).map(|mean| lamps(mean, report.trials)))),
        column("light, of as written", &|policy| bare(at_best(policy, &policy.light).map(tenths))),
        column("dark share", &|policy| bare(at_best(policy, &policy.dark).map(about))),
        column(&format!("within {within} of it, h"), &|policy| {
            bare(policy.best.as_ref().map(|best| match best.flat.len() {
                0 => NONE.to_owned(),
                count if count > MOST_STRETCHES => format!("{count} stretches"),
                _ => stretches(&best.flat).join(", "),
            }))
        }),
    ];
    page.grid(&names, &table);
}

/// Index of the interval that is the best one, or nearest to it.
fn nearest(policy: &PolicyCurve) -> usize {
    let Some(best) = &policy.best else { return 0 };
    let far = |hours: f64| (hours - best.interval_h.value).abs();
    let all = policy.intervals_h.iter().enumerate();
    all.min_by(|a, b| far(*a.1).total_cmp(&far(*b.1))).map_or(0, |(index, _)| index)
}

/// What the best policy is, and what it saves.
pub(crate) fn sentence(option: &RelampOption) -> String {
    let Some(policy) = option.policies.get(option.best_policy) else {
        return "Which policy is best could not be told.".to_owned();
    };
    let what = format!("{}{}", clean(&policy.name), interval(policy));
    let cost = beside(scaled(policy.lowest, 100.0), "ct/mol");
    match told(option.saving) {
        Told::Nothing => format!("Best: {what}, at {cost}: it costs what the scenario as written costs."),
        Told::More => format!("Best: {what}, at {cost}: it saves {} of the cost as written.", share(option.saving)),
        Told::Less => format!(
            "Nothing that was tried is better than the scenario as written: the best of what was tried, {what}, at \
             {cost}, costs {} more.",
            share(scaled(option.saving, -1.0))
        ),
        Told::TooClose => format!(
            "{}: the best that was tried, {what}, at {cost}, differs from the scenario as written by less than the noise \
             of the simulation.",
            capital(TOO_CLOSE)
        ),
    }
}

/// [`sentence`], with what it leaves dark where that is much.
pub(crate) fn whole_sentence(option: &RelampOption) -> String {
    let told = [Some(sentence(option)), dark(option)];
    told.into_iter().flatten().collect::<Vec<_>>().join(" ")
}

/// That the best policy leaves much dark: what a mole costs does not tell how many there are.
fn dark(option: &RelampOption) -> Option<String> {
    let policy = option.policies.get(option.best_policy)?;
    let share = policy.dark.get(nearest(policy)).filter(|share| **share >= MUCH)?;
    let light = policy.light.get(nearest(policy)).map_or_else(String::new, |light| {
        format!(", and it delivers {} of the photons of the scenario as written", tenths(*light))
    });
    Some(format!(
        "It is cheap by the mole, not rich in light: {} of its socket-hours are dark{light}. Whether the room can spare \
         that light is not asked here.",
        about(*share)
    ))
}

/// A share in tenths of a per cent.
fn tenths(share: f64) -> String {
    if share.is_finite() { number::percent(share, 0.0005) } else { NONE.to_owned() }
}

/// Where the interval of the best policy hardly matters.
fn flat(report: &RelampReport, option: &RelampOption) -> Option<String> {
    let best = option.policies.get(option.best_policy)?.best.as_ref()?;
    let within = number::percent(report.flat_within, 0.0);
    match stretches(&best.flat).as_slice() {
        [] => None,
        all if all.len() > MOST_STRETCHES => {
            Some(format!("It costs within {within} of that in {} stretches of intervals.", all.len()))
        }
        all => Some(format!("It costs within {within} of that anywhere in {} h.", all.join(" h and in "))),
    }
}

/// Policies whose best interval is the longest.
fn at_the_end(option: &RelampOption) -> Option<String> {
    let told = |policy: &&PolicyCurve| policy.best.as_ref().is_some_and(|best| best.at_the_end);
    let sentence = |policy: &PolicyCurve| {
        let instead = match policy.kind {
            PolicyKind::GroupOnly => "never to relamp is as good",
            _ => "run to failure is as good",
        };
        format!("{}: the best interval is the longest that was tried, so {instead}.", capital(&clean(&policy.name)))
    };
    let all: Vec<String> = option.policies.iter().filter(told).map(sentence).collect();
    (!all.is_empty()).then(|| all.join(" "))
}

/// The text with a capital letter first.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
