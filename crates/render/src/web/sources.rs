//! What an answer rests on: conventions, light, and every input with its grade.
//!
//! Belongs here: the two sections at the end of a page. Does not belong here: the answer.

use decide::background::Background;
use decide::result::InputLine;
use maud::{Markup, html};

use crate::number;
use crate::words::clean;

pub(super) const METHOD: &str = "Method and conventions";
pub(super) const INPUTS: &str = "What was put in";

/// Both sections.
pub(super) fn sources(background: &Background) -> Markup {
    html! {
        section aria-labelledby="method" {
            h2 #method { (METHOD) }
            (method(background))
        }
        section aria-labelledby="inputs" {
            h2 #inputs { (INPUTS) }
            (inputs(&background.inputs))
        }
    }
}

fn method(background: &Background) -> Markup {
    let of = |text: &str| clean(text);
    let years = number::counted(background.horizon_years.into(), "year");
    let rate = number::percent(background.discount_rate, 0.0);
    html! {
        dl {
            dt { "Money" }
            dd {
                (of(&background.basis)) " " (of(&background.currency)) ", discounted at " (rate) " a year"
                @if let Some(inflation) = background.inflation {
                    ", general inflation " (number::percent(inflation, 0.0)) " a year"
                }
            }
            dt { "Prices of" } dd { (of(&background.prices_of)) }
            dt { "Timing" } dd { "costs and light count at the " (of(&background.booked)) "; both are discounted alike" }
            dt { "Time" } dd { (years) " from " (of(&background.start)) ", clock of " (of(&background.time_zone)) }
            dt { "Canopy" }
            dd {
                (number::significant(background.canopy_m2, 4)) "\u{202f}m²"
                @if let Some(target) = background.target_ppfd {
                    ", to hold " (number::significant(target, 4)) "\u{202f}µmol/m²/s"
                }
            }
            @for line in &background.light {
                dt { "Light of " (of(&line.option)) }
                dd {
                    "counted " (of(&line.basis))
                    @if !line.readings.is_empty() { "; " (of(&line.readings)) }
                }
            }
            @if !background.what_ifs.is_empty() {
                dt { "What if" }
                @for what_if in &background.what_ifs { dd { (of(what_if)) } }
            }
            dt { "Program" } dd { "lampledger " (of(&background.program)) }
            dt { "Inputs" } dd { "SHA-256 " code { (of(&background.input_digest)) } }
        }
    }
}

/// Place of an input in the list: what was assumed or guessed comes first.
fn weakness(input: &InputLine) -> usize {
    match (input.stated, input.grade.as_str()) {
        (false, _) => 0,
        (_, "guess") => 1,
        (_, "datasheet") => 2,
        (_, "invoice") => 3,
        _ => 4,
    }
}

fn inputs(inputs: &[InputLine]) -> Markup {
    let mut sorted: Vec<&InputLine> = inputs.iter().collect();
    sorted.sort_by_key(|input| weakness(input));
    let count = |wanted: usize| inputs.iter().filter(|input| weakness(input) == wanted).count();
    let grade = |input: &InputLine| if input.stated { clean(&input.grade) } else { "assumed".to_owned() };
    let unit = |input: &InputLine| if input.unit == "1" { "–".to_owned() } else { clean(&input.unit) };
    let shown = |value: f64| number::to_noise(value, 0.0);
    html! {
        p {
            (inputs.len()) " inputs: " (count(0)) " not stated and assumed by the program, " (count(1)) " guesses, " (count(2))
            " from datasheets, " (count(3)) " from invoices, " (count(4)) " measured. The weakest come first."
        }
        div.table role="group" tabindex="0" aria-label=(format!("Table: {INPUTS}")) {
            table {
                caption.unseen { (INPUTS) }
                thead {
                    tr {
                        th scope="col" { "input" }
                        th scope="col" { "grade" }
                        th scope="col" { "median" }
                        th scope="col" { "10\u{202f}% to 90\u{202f}%" }
                        th scope="col" { "unit" }
                        th.words scope="col" { "note" }
                    }
                }
                tbody {
                    @for input in &sorted {
                        tr {
                            th scope="row" { (clean(&input.place)) }
                            td.word { (grade(input)) }
                            td { (shown(input.p50)) }
                            td { @if input.p10 != input.p90 { (number::range(&shown(input.p10), &shown(input.p90))) } @else { "certain" } }
                            td.word { (unit(input)) }
                            td.words { @if !input.note.is_empty() { (clean(&input.note)) } }
                        }
                    }
                }
            }
        }
    }
}
