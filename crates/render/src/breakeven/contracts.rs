//! One input: a row and a sentence for each contract.
//!
//! Belongs here: the table of ties and what is said of each row. Does not belong here: where the ties are.

use decide::breakeven_report::{BreakevenContract, BreakevenInput, BreakevenReport, Tie};
use decide::result::Estimate;

use super::{
    Cheaper, TOO_CLOSE, lead_unit, leaps, noisy, printed, shown, sides, tie_text, unit_of, with_noise, with_unit,
};
use crate::number;
use crate::page::{Column, Page};
use crate::relamp::{Told, scaled, told};
use crate::words::{clean, columns, distinct, shorten};

/// Columns of an option's name in the table, and of a contract's name in its two lines.
const OPTION: f64 = 16.0;
const CONTRACT: f64 = 28.0;
/// Columns of a unit in the head of a column.
const UNIT: f64 = 12.0;
/// A bracket is printed this many times finer than it is wide.
const FINER: f64 = 10.0;
const NONE: &str = "–";

/// A row of the table: a contract and one of its ties.
struct Row<'a> {
    contract: &'a BreakevenContract,
    tie: Option<(usize, &'a Tie)>,
}

impl Row<'_> {
    /// Whether it is the first row of its contract; the others say nothing of it again.
    fn leads(&self) -> bool {
        self.tie.is_none_or(|(k, _)| k == 0)
    }
}

/// Writes the table and the sentences; says so where there is nothing.
pub(super) fn contracts(page: &mut Page, report: &BreakevenReport, input: &BreakevenInput) {
    page.gap();
    if input.contracts.is_empty() {
        page.hanging("", "Nothing was searched for it.");
        return;
    }
    table(page, report, input);
    page.gap();
    for contract in &input.contracts {
        let told = sentence(report, input, contract);
        page.hanging("- ", &format!("{}: {told}{}", clean(&contract.contract), trials(report, contract)));
    }
}

/// Where both tie under one contract, with the input and the contract in front.
pub(super) fn located(report: &BreakevenReport, input: &BreakevenInput, contract: &BreakevenContract) -> String {
    format!("{}, {}: {}", clean(&input.name), clean(&contract.contract), sentence(report, input, contract))
}

fn table(page: &mut Page, report: &BreakevenReport, input: &BreakevenInput) {
    let contracts = distinct(input.contracts.iter().map(|contract| contract.contract.as_str()), |name| {
        shorten(name, CONTRACT, |text| columns(text) as f64)
    });
    let (mut names, mut rows) = (vec![], vec![]);
    for (contract, name) in input.contracts.iter().zip(contracts) {
        names.push(name);
        rows.push(Row { contract, tie: contract.ties.first().map(|tie| (0, tie)) });
        for tie in contract.ties.iter().enumerate().skip(1) {
            names.push(String::new());
            rows.push(Row { contract, tie: Some(tie) });
        }
    }
    let column = |name: &str, cell: &dyn Fn(&Row) -> Vec<String>| Column {
        name: name.to_owned(),
        cells: rows.iter().map(cell).collect(),
    };
    let once = |row: &Row, cell: Vec<String>| if row.leads() { cell } else { vec![] };
    let bare = |text: Option<String>| vec![text.unwrap_or_else(|| NONE.to_owned())];
    let options = shortened(report);
    let unit = unit_of(&input.unit);
    let in_unit = |name: &str| match shorten(&unit, UNIT, |text| columns(text) as f64) {
        unit if unit.is_empty() => name.to_owned(),
        unit => format!("{name}, {unit}"),
    };
    let lead = lead_unit(report.measure, &report.currency);
    let table = [
        column(&format!("cheaper now, by {lead}"), &|row| once(row, now(report, &options, row.contract.lead_now))),
        column("tie at", &|row| match row.tie {
            Some((_, tie)) => {
                let (value, error) = noisy(tie.at);
                vec![value, if tie.at.se == 0.0 { String::new() } else { error }]
            }
            None => vec!["never".to_owned(), String::new()],
        }),
        column("sign changes between", &|row| bare(row.tie.map(|(_, tie)| bracket(tie, input.grain)))),
        column("below it", &|row| bare(row.tie.map(|(k, _)| cheaper(row.contract, k, &options)))),
        column("above it", &|row| bare(row.tie.map(|(k, _)| cheaper(row.contract, k + 1, &options)))),
        column(&format!("belief for {}", options[0]), &|row| once(row, bare(row.contract.belief_for_a.map(share)))),
    ];
    let table = table.map(|column| match column.name.as_str() {
        "tie at" | "sign changes between" => Column { name: in_unit(&column.name), ..column },
        _ => column,
    });
    page.grid(&names, &table);
}

/// Names of both options, short enough for a table.
fn shortened(report: &BreakevenReport) -> [String; 2] {
    let short = |name: &str| shorten(name, OPTION, |text| columns(text) as f64);
    let mut names = distinct([report.a.as_str(), report.b.as_str()], short).into_iter().map(|name| short(&name));
    [names.next().unwrap_or_default(), names.next().unwrap_or_default()]
}

/// Who leads as the scenario stands, and by how much.
fn now(report: &BreakevenReport, options: &[String; 2], lead: Estimate) -> Vec<String> {
    let by = |lead: Estimate| {
        let (value, error) = noisy(printed(report.measure, lead));
        format!("{value} {error}").trim_end().to_owned()
    };
    match told(lead) {
        Told::Nothing => vec!["both alike".to_owned(), "0".to_owned()],
        Told::Less => vec![options[0].clone(), by(scaled(lead, -1.0))],
        Told::More => vec![options[1].clone(), by(lead)],
        Told::TooClose => vec![TOO_CLOSE.to_owned(), by(scaled(lead, lead.value.signum()))],
    }
}

fn cheaper(contract: &BreakevenContract, stretch: usize, options: &[String; 2]) -> String {
    match sides(contract).get(stretch) {
        Some(Cheaper::A) => options[0].clone(),
        Some(Cheaper::B) => options[1].clone(),
        _ => "not settled".to_owned(),
    }
}

/// The nearest values to either side of a tie, in digits that tell them apart but are no finer than the input.
fn bracket(tie: &Tie, grain: f64) -> String {
    let (from, to) = tie.bracket;
    let apart = ((to - from).abs() / FINER).max(grain);
    let largest = from.abs().max(to.abs());
    let text = |value: f64| if apart > 0.0 { number::part(value, largest, apart) } else { shown(value) };
    let (from, to) = (text(from), text(to));
    if from == to { from } else { number::range(&from, &to) }
}

/// A share of the belief, whose noise is not known: two digits.
pub(crate) fn share(share: f64) -> String {
    if share.is_finite() { number::percent(share, f64::INFINITY) } else { NONE.to_owned() }
}

/// In how many of the trials the first option is cheaper as the scenario stands, as a sentence.
fn trials(report: &BreakevenReport, contract: &BreakevenContract) -> String {
    let share = contract.chance_a_now;
    // the noise of a count
    let noise = (share * (1.0 - share) / report.trials.max(1) as f64).sqrt();
    let told = || format!(" Now {} is cheaper in {} of trials.", clean(&report.a), number::percent(share, noise));
    if share.is_finite() { told() } else { String::new() }
}

/// A row in plain words.
pub(crate) fn sentence(report: &BreakevenReport, input: &BreakevenInput, contract: &BreakevenContract) -> String {
    let unit = unit_of(&input.unit);
    let (a, b) = (clean(&report.a), clean(&report.b));
    let mut told = match contract.ties.as_slice() {
        [] => never(report, input, contract),
        [tie] => one(report, contract, tie, &unit),
        ties => {
            let name = |side: &Cheaper| match side {
                Cheaper::A => a.clone(),
                Cheaper::B => b.clone(),
                _ => "neither for certain".to_owned(),
            };
            let sides = sides(contract);
            let mut text = format!("{} is cheaper below ", sides.first().map(name).unwrap_or_default());
            for (k, tie) in ties.iter().enumerate() {
                let at = with_unit(&tie_text(tie), &unit);
                let side = sides.get(k + 1).map(name).unwrap_or_default();
                text += &if k + 1 == ties.len() {
                    format!("{at}, {side} above it")
                } else {
                    format!("{at}, {side} up to ")
                };
            }
            let belief = contract.belief_for_a.map(|for_a| format!("; the belief gives {a} {}", share(for_a)));
            text + &belief.unwrap_or_default() + "."
        }
    };
    // between two steps of a value nothing can be put back
    for tie in contract.ties.iter().filter(|tie| input.grain == 0.0 && leaps(contract, tie)) {
        told += &leap(report, tie, input.grain, &unit);
    }
    told
}

/// The sentence of a single tie: what the one that is behind now would need.
fn one(report: &BreakevenReport, contract: &BreakevenContract, tie: &Tie, unit: &str) -> String {
    let (a, b) = (clean(&report.a), clean(&report.b));
    let at = with_unit(&tie_text(tie), unit);
    let behind = |name: &str, below: bool, belief: Option<f64>| {
        let side = if below { "below" } else { "above" };
        let belief = belief.map(|belief| format!("; the belief gives that {}", share(belief)));
        format!("for {name} to win, the value must be {side} {at}{}.", belief.unwrap_or_default())
    };
    match told(contract.lead_now) {
        Told::Less => behind(&b, !tie.a_below, contract.belief_for_a.map(|for_a| 1.0 - for_a)),
        Told::More => behind(&a, tie.a_below, contract.belief_for_a),
        Told::TooClose | Told::Nothing => {
            let (below, above) = if tie.a_below { (&a, &b) } else { (&b, &a) };
            let belief = contract.belief_for_a.map(|for_a| format!("; the belief gives {a} {}", share(for_a)));
            format!("{below} wins below {at}, {above} above it{}.", belief.unwrap_or_default())
        }
    }
}

fn never(report: &BreakevenReport, input: &BreakevenInput, contract: &BreakevenContract) -> String {
    let unit = unit_of(&input.unit);
    let (from, to) = (shown(input.searched.0), shown(input.searched.1));
    let between = format!("between {from} and {}", with_unit(&to, &unit));
    let name = match super::throughout(contract) {
        Cheaper::A => clean(&report.a),
        Cheaper::B => clean(&report.b),
        Cheaper::TooClose => return format!("no tie {between}, and {TOO_CLOSE} throughout."),
        Cheaper::Same => return format!("both cost the same in every trial {between}."),
        Cheaper::Unsettled => {
            return format!("no value {between} was found at which they tie, and yet the lead has both signs.");
        }
        Cheaper::Unknown => return format!("nothing is known {between}, for no lead could be worked out."),
    };
    format!("never {between}: {name} is cheaper throughout.")
}

/// That the lead does not vanish where it changes its sign.
fn leap(report: &BreakevenReport, tie: &Tie, grain: f64, unit: &str) -> String {
    let lead =
        with_unit(&with_noise(printed(report.measure, tie.lead_there)), &lead_unit(report.measure, &report.currency));
    format!(
        " The lead leaps there: with {} put back it is {lead}, not nothing, so the lead changes its sign between {} \
         without touching it.",
        with_unit(&shown(tie.at.value), unit),
        with_unit(&bracket(tie, grain).replace('–', " and ").replace(" to ", " and "), unit)
    )
}
