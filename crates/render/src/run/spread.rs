//! Why costs spread, and what light below a ceiling costs.
//!
//! Belongs here: the two tables. Does not belong here: telling ignorance from luck.

use decide::result::{Estimate, RunResult, Split};

use super::{Column, Page, contract_names};
use crate::number;
use crate::words::columns;

const NONE: &str = "–";

/// The parts of the spread, option by option; nothing when no cost spreads.
pub(super) fn split(page: &mut Page, result: &RunResult, names: &[String]) {
    let splits = || result.options.iter().flat_map(|option| option.costs.iter().map(|cost| &cost.split));
    if splits().all(|split| split.whole == 0.0) {
        return;
    }
    page.heading("Why the cost spreads, ct/mol");
    let twins = splits().map(|split| split.twins).max().unwrap_or(0);
    let told_apart = match twins {
        0 => String::new(),
        twins => format!(" The first two are told apart by {} lived twice.", number::counted(twins, "trial")),
    };
    page.hanging(
        "",
        &format!(
            "Standard deviations: not knowing the inputs | luck of lamps and market | simulation noise of the mean. Better \
             inputs take the first away, nothing the second, more trials the third.{told_apart}"
        ),
    );
    page.gap();
    let several = result.contracts.len() > 1;
    let all: Vec<Column> = contract_names(result)
        .into_iter()
        .enumerate()
        .map(|(contract, name)| {
            let of = |costs: &[decide::result::CostResult]| costs.get(contract).map(|cost| parts(&cost.split));
            Column {
                name: if several { name } else { "inputs | luck | noise".to_owned() },
                cells: aligned(result.options.iter().map(|option| of(&option.costs)).collect()),
            }
        })
        .collect();
    page.grid(names, &all);
}

fn parts(split: &Split) -> [String; 3] {
    [resolved(split.ignorance), resolved(split.luck), number::to_noise(split.simulation * 100.0, f64::INFINITY)]
}

/// A standard deviation in ct to its noise; what the noise hides is named by a bound.
fn resolved(sd: Estimate) -> String {
    let hidden = sd.value == 0.0 && sd.se > 0.0;
    // a part that is next to nothing is written as "<0.01", one that is nothing as "0"
    let value = if hidden { f64::MIN_POSITIVE } else { sd.value };
    if sd.se == 0.0 { number::ct(sd) } else { number::part(value * 100.0, sd.value * 100.0, sd.se * 100.0) }
}

/// Cells of three parts each, every part as wide as the widest above and below it.
fn aligned(cells: Vec<Option<[String; 3]>>) -> Vec<Vec<String>> {
    let wide = |part: usize| cells.iter().flatten().map(|cell| columns(&cell[part])).max().unwrap_or(0);
    let widths = [wide(0), wide(1), wide(2)];
    let pad = |text: &str, width: usize| format!("{}{text}", " ".repeat(width.saturating_sub(columns(text))));
    let told = |cell: &Option<[String; 3]>| match cell {
        Some(cell) => [0, 1, 2].map(|part| pad(&cell[part], widths[part])).join(" | "),
        None => NONE.to_owned(),
    };
    cells.iter().map(|cell| vec![told(cell)]).collect()
}

/// Light below the ceiling of PPFD, and what a mole of it costs; nothing without a ceiling.
pub(super) fn useful(page: &mut Page, result: &RunResult, names: &[String]) {
    if result.options.iter().all(|option| option.useful_moles.is_none()) {
        return;
    }
    page.heading("Useful light: the moles below the ceiling of PPFD, and what one costs, ct/mol");
    page.gap();
    let moles = |option: &decide::result::OptionResult| match &option.useful_moles {
        Some(moles) => vec![number::estimate(moles.mean)],
        None => vec![NONE.to_owned()],
    };
    let mut all =
        vec![Column { name: "useful light, mol".to_owned(), cells: result.options.iter().map(moles).collect() }];
    for (contract, name) in contract_names(result).into_iter().enumerate() {
        let cells = result.options.iter().map(|option| {
            let spread = option.costs.get(contract).and_then(|cost| cost.levelized_useful.as_ref());
            let none = || (NONE.to_owned(), String::new());
            let (mean, range) = spread.map_or_else(none, |spread| number::mean_and_range(spread, 100.0));
            vec![mean, range]
        });
        all.push(Column { name, cells: cells.collect() });
    }
    page.grid(names, &all);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    fn text(result: &RunResult) -> String {
        crate::answer::printed(result, 100, false).replace('\u{202f}', " ")
    }

    #[test]
    fn the_parts_of_the_spread_stand_side_by_side() {
        let mut run = sample::study(2, 1, 10);
        run.options[0].costs[0].split = Split {
            whole: 0.0045,
            ignorance: Estimate { value: 0.004, se: 0.000_04 },
            luck: Estimate { value: 0.002, se: 0.000_08 },
            simulation: 0.000_031_9,
            twins: 2_500,
        };
        run.options[1].costs[0].split.ignorance = Estimate { value: 0.0, se: 0.0002 };
        let text = text(&run);
        assert!(text.contains("0.40 | 0.20 | 0.0032"), "{text}");
        assert!(text.contains("<0.1 | "), "{text}");
        assert!(text.contains("told apart by 5000 trials lived"), "{text}");
        assert!(text.contains("inputs | luck |"), "{text}");
        assert!(!crate::answer::printed(&sample::all_equal(), 100, false).contains("Why the cost spreads"));
    }

    #[test]
    fn what_is_nothing_is_not_called_small() {
        for (value, se, told) in [(0.0, 0.0, "0"), (0.0, 0.001, "<0.1"), (0.0123, 0.001, "1.2"), (0.05, 0.0, "5")] {
            assert_eq!(resolved(Estimate { value, se }), told, "{value} ± {se}");
        }
    }

    #[test]
    fn useful_light_is_told_where_there_is_a_ceiling() {
        let run = sample::realistic();
        let said = text(&run);
        assert!(said.contains("Useful light: the moles below the ceiling of PPFD"), "{said}");
        let mean = number::ct(run.options[1].costs[0].levelized_useful.as_ref().unwrap().mean);
        assert!(said.split("Useful light").nth(1).unwrap().contains(&mean), "{mean} is not in {said}");
        assert!(!text(&sample::study(1, 1, 5)).contains("Useful light"));
    }
}
