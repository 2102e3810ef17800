//! The table of ties: every digit, money in the currency.
//!
//! Belongs here: which rows it has. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::breakeven_report::{BreakevenContract, BreakevenInput, BreakevenReport, Measure, Tie};
use decide::result::Estimate;

use crate::table::{BREAKEVEN, Rows, header};

/// [`BREAKEVEN`] as text: one row per input, contract and tie, and one for a contract without any.
pub fn breakeven_csv(report: &BreakevenReport) -> String {
    let mut rows = Rows::new(&header(BREAKEVEN, &report.currency, &report.basis));
    for input in &report.inputs {
        for contract in &input.contracts {
            if contract.ties.is_empty() {
                row(&mut rows, report, input, (contract, None));
            }
            for tie in contract.ties.iter().enumerate() {
                row(&mut rows, report, input, (contract, Some(tie)));
            }
        }
    }
    rows.finish()
}

fn row(
    rows: &mut Rows,
    report: &BreakevenReport,
    input: &BreakevenInput,
    (contract, tie): (&BreakevenContract, Option<(usize, &Tie)>),
) {
    rows.text(&input.name);
    rows.text(&input.unit);
    rows.text(&input.grade);
    let (low, middle, high) = input.belief;
    for value in [low, middle, high, input.searched.0, input.searched.1, input.grain] {
        rows.finite(Some(value));
    }
    for text in [&report.a, &report.a_light, &report.b, &report.b_light, &contract.contract, &report.prices_of] {
        rows.text(text);
    }
    rows.number(report.trials as f64);
    lead(rows, report.measure, Some(contract.lead_now));
    rows.finite(Some(contract.chance_a_now));
    rows.finite(contract.belief_for_a);
    let found = tie.map(|(_, tie)| tie);
    rows.finite(tie.map(|(k, _)| (k + 1) as f64));
    rows.finite(found.map(|tie| tie.at.value));
    rows.finite(found.map(|tie| tie.at.se));
    rows.finite(found.map(|tie| tie.bracket.0));
    rows.finite(found.map(|tie| tie.bracket.1));
    let (below, above) = match found {
        Some(tie) if tie.a_below => (&report.a, &report.b),
        Some(_) => (&report.b, &report.a),
        None => (&String::new(), &String::new()),
    };
    rows.text(below);
    rows.text(above);
    lead(rows, report.measure, found.map(|tie| tie.lead_there));
    rows.end();
}

/// A lead in the columns of what is compared; those of the other measure stay empty.
fn lead(rows: &mut Rows, measure: Measure, lead: Option<Estimate>) {
    for of in [Measure::Mole, Measure::Room] {
        let lead = lead.filter(|_| of == measure);
        rows.finite(lead.map(|lead| lead.value));
        rows.finite(lead.map(|lead| lead.se));
    }
}
