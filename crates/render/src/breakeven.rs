//! Where two options tie: what `breakeven` prints, and its table.
//!
//! Belongs here: the order of what is said, and what may be said of a lead. Does not belong here: the ties themselves,
//! which arrive with the numbers, the rows of one input (`contracts`), CSV (`tables`).

mod contracts;
mod tables;

use decide::breakeven_report::{BreakevenContract, BreakevenInput, BreakevenReport, Measure, Tie};
use decide::result::{Ended, Estimate};

use crate::number;
use crate::page::Page;
use crate::relamp::{Told, scaled, told};
use crate::words::clean;

pub(crate) use contracts::{sentence, share};
pub use tables::breakeven_csv;

/// Standard errors to either side that are printed and drawn.
pub(crate) const NOISE: f64 = 1.96;
/// A lead that is so small a part of the largest one is nothing: the search for a tie ends somewhere.
const HAIR: f64 = 1e-6;
pub(crate) const TOO_CLOSE: &str = "too close to call";
/// What the inputs are called that are no figure of the scenario.
pub(crate) const SETTING: &str = "setting";

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &BreakevenReport, width: usize) -> Page {
    let mut page = Page::new(width);
    head(&mut page, report);
    for input in &report.inputs {
        page.rule();
        page.bold(&clean(&input.name));
        page.hanging("", &asked(input));
        contracts::contracts(&mut page, report, input);
    }
    if report.inputs.is_empty() {
        page.gap();
        page.hanging("", "No input was asked about.");
    } else {
        page.list("How to read this", &reading(report));
    }
    page.list("Cautions", &report.cautions);
    page.list("Remarks", &report.remarks);
    page
}

fn head(page: &mut Page, report: &BreakevenReport) {
    if report.ended == Ended::Interrupted {
        page.bold(&format!(
            "INTERRUPTED: the search was stopped after {}; what it had not come to is missing",
            number::counted(report.trials, "trial")
        ));
        page.gap();
    }
    page.bold(&format!("{}: where two options tie", clean(&report.title)));
    page.gap();
    let currency = clean(&report.currency);
    page.hanging(
        "Basis     ",
        &format!(
            "{} {currency} discounted at {} a year, prices of {}; {} from {}",
            clean(&report.basis),
            number::percent(report.discount_rate, 0.0),
            clean(&report.prices_of),
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start),
        ),
    );
    page.hanging("Options   ", &format!("{}, light counted {}", clean(&report.a), clean(&report.a_light)));
    page.hanging("against   ", &format!("{}, light counted {}", clean(&report.b), clean(&report.b_light)));
    page.hanging("Compared  ", &compared(report.measure, &currency, report.service_mol, &report.service));
    page.hanging(
        "Futures   ",
        &format!(
            "{}, seed {}; every value is lived on the same luck",
            number::counted(report.trials, "trial"),
            report.seed
        ),
    );
}

/// What options are compared by, in words.
pub(crate) fn compared(measure: Measure, currency: &str, service_mol: f64, service: &str) -> String {
    match measure {
        Measure::Room => {
            format!("present value of the whole room as written, {currency}, however much light it gives")
        }
        Measure::Mole => {
            let money = number::to_noise(service_mol * 0.01, 0.0);
            let service = clean(service);
            let worth = if service_mol > 0.0 && service_mol.is_finite() {
                format!("; for {service}, 1 ct/mol comes to {money}\u{202f}{currency} of present value")
            } else {
                String::new()
            };
            format!("levelized cost of a delivered mole, ct/mol (1 ct is 0.01 {currency}){worth}")
        }
    }
}

/// What is known of an input, and where it was searched.
fn asked(input: &BreakevenInput) -> String {
    let unit = unit_of(&input.unit);
    let (from, to) = (shown(input.searched.0), shown(input.searched.1));
    let steps = if input.grain > 0.0 && input.grain.is_finite() {
        format!(", in steps of {}", with_unit(&shown(input.grain), &unit))
    } else {
        String::new()
    };
    format!("{} Searched: {}{steps}.", belief(input), with_unit(&number::range(&from, &to), &unit))
}

/// What is believed of an input, as a sentence.
pub(crate) fn belief(input: &BreakevenInput) -> String {
    let unit = unit_of(&input.unit);
    let (low, middle, high) = input.belief;
    let points = [low, middle, high].map(shown);
    let certain = low == middle && middle == high;
    match (input.grade == SETTING, certain) {
        (true, true) => format!("No figure of the scenario but a setting, now {}.", with_unit(&points[1], &unit)),
        (true, false) => {
            format!(
                "No figure of the scenario but a setting, now {} (10\u{202f}% point, median, 90\u{202f}% point).",
                { with_unit(&points.join(" – "), &unit) }
            )
        }
        (false, true) => format!("Certain: {} ({}).", with_unit(&points[1], &unit), clean(&input.grade)),
        (false, false) => format!(
            "Belief: {} (10\u{202f}% point, median, 90\u{202f}% point; {}).",
            with_unit(&points.join(" – "), &unit),
            clean(&input.grade)
        ),
    }
}

/// Where the options tie, a sentence for each input and contract.
pub(crate) fn sentences(report: &BreakevenReport) -> Vec<String> {
    let of = |input| move |contract| contracts::located(report, input, contract);
    report.inputs.iter().flat_map(|input| input.contracts.iter().map(of(input))).collect()
}

fn reading(report: &BreakevenReport) -> Vec<String> {
    let all = || report.inputs.iter().flat_map(|input| &input.contracts);
    let mut told = vec![
        "±: 1.96 standard errors of the simulation; it says nothing of what the other inputs are worth".to_owned(),
        format!("{TOO_CLOSE}: the lead is smaller than that, so that these trials cannot tell it from none"),
    ];
    if all().any(|contract| !contract.ties.is_empty()) {
        told.push(
            "sign changes between: the nearest values tried to either side of the tie; on the luck that was lived the \
             lead has one sign at the first and the other at the second"
                .to_owned(),
        );
    }
    if all().any(|contract| contract.belief_for_a.is_some()) {
        told.push(
            "belief: how much of what is believed of the input lies where the option is cheaper on average; all other \
             inputs stay as uncertain as they are"
                .to_owned(),
        );
    }
    told
}

/// A lead in the unit in which people read it.
pub(crate) fn printed(measure: Measure, lead: Estimate) -> Estimate {
    match measure {
        Measure::Mole => scaled(lead, 100.0),
        Measure::Room => lead,
    }
}

/// The unit of [`printed`].
pub(crate) fn lead_unit(measure: Measure, currency: &str) -> String {
    match measure {
        Measure::Mole => "ct/mol".to_owned(),
        Measure::Room => clean(currency),
    }
}

/// An estimate with no more digits than its standard error allows, and 1.96 of those.
pub(crate) fn noisy(estimate: Estimate) -> (String, String) {
    let wide = number::with_error(Estimate { value: estimate.value, se: estimate.se * NOISE });
    let (value, _) = number::with_error(estimate);
    if !value.contains('±') {
        return (value, wide.1);
    }
    match told(estimate) {
        // a winner does not win by nothing: one digit is left of what is hardly more than its noise
        Told::More | Told::Less => (number::part(estimate.value, estimate.value, estimate.se.abs() / 10.0), wide.1),
        // what the noise hides comes with the wider error
        _ => (wide.0, String::new()),
    }
}

/// [`noisy`] as one text.
pub(crate) fn with_noise(estimate: Estimate) -> String {
    let (value, error) = noisy(estimate);
    if error.is_empty() { value } else { format!("{value}\u{a0}{error}") }
}

/// The unit of an input, cleaned; empty for a bare number.
pub(crate) fn unit_of(unit: &str) -> String {
    // a pure number has no unit
    if matches!(unit.trim(), "" | "1") { String::new() } else { clean(unit) }
}

/// A printed number and its unit.
pub(crate) fn with_unit(number: &str, unit: &str) -> String {
    if unit.is_empty() { number.to_owned() } else { format!("{number}\u{202f}{unit}") }
}

/// A value of an input, which has no noise.
pub(crate) fn shown(value: f64) -> String {
    number::to_noise(value, 0.0)
}

/// A tie with its noise, such as "16 200 ± 300".
pub(crate) fn tie_text(tie: &Tie) -> String {
    if tie.at.se == 0.0 { shown(tie.at.value) } else { with_noise(tie.at) }
}

/// Who is cheaper over a stretch of values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Cheaper {
    A,
    B,
    /// Both cost the same in every trial.
    Same,
    /// Nowhere is the lead larger than its noise.
    TooClose,
    /// The lead has both signs, and no tie was found.
    Unsettled,
    /// No lead is a number.
    Unknown,
}

/// Who is cheaper where nothing ties.
pub(crate) fn throughout(contract: &BreakevenContract) -> Cheaper {
    let leads = || contract.curve.iter().map(|point| point.1).filter(|lead| lead.value.is_finite());
    let any = |wanted: Told| leads().any(|lead| told(lead) == wanted);
    match (any(Told::Less), any(Told::More)) {
        _ if leads().next().is_none() => Cheaper::Unknown,
        (true, true) => Cheaper::Unsettled,
        (true, false) => Cheaper::A,
        (false, true) => Cheaper::B,
        (false, false) if any(Told::TooClose) => Cheaper::TooClose,
        (false, false) => Cheaper::Same,
    }
}

/// Who is cheaper below the first tie, between each and the next, and above the last.
pub(crate) fn sides(contract: &BreakevenContract) -> Vec<Cheaper> {
    let ties = &contract.ties;
    let Some(first) = ties.first() else { return vec![throughout(contract)] };
    let side = |a: bool| if a { Cheaper::A } else { Cheaper::B };
    let mut sides = vec![side(first.a_below)];
    for (k, tie) in ties.iter().enumerate() {
        // two neighbours that tell different stories of what lies between them settle nothing
        let settled = ties.get(k + 1).is_none_or(|next| next.a_below != tie.a_below);
        sides.push(if settled { side(!tie.a_below) } else { Cheaper::Unsettled });
    }
    sides
}

/// Whether the lead leaps over nothing at a tie, or could not be told there.
pub(crate) fn leaps(contract: &BreakevenContract, tie: &Tie) -> bool {
    let all = contract.curve.iter().map(|point| point.1).chain([contract.lead_now]);
    let largest = all.map(|lead| lead.value.abs()).filter(|lead| lead.is_finite()).fold(0.0, f64::max);
    !(tie.lead_there.value.abs() <= NOISE * tie.lead_there.se + HAIR * largest)
}

#[cfg(test)]
mod tests;
