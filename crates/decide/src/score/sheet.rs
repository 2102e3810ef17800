//! What a stored run foretells, as forecasts to be held against what happens.
//!
//! Belongs here: which numbers of a run can one day be read off a bill, a meter or a log. Does not belong here: CSV.

use crate::result::{RunResult, Spread};
use crate::score_report::SheetRow;

/// How the mention of a run begins.
const RUN: &str = "run of ";

/// Whether a note says which run its forecast comes from, as those of [`sheet`] do.
pub(super) fn names_run(note: &str) -> bool {
    note.rfind(RUN).is_some_and(|at| note[at..].contains(", inputs "))
}

/// Forecasts of a run: for each option and contract the cost of a mole and the whole cost; for each option moles, lamps and
/// failures, and lamps and failures by year. What every trial gave alike is left out: it foretells nothing.
pub fn sheet(result: &RunResult) -> Vec<SheetRow> {
    let method = &result.method;
    let currency = &method.currency;
    let years = format!("{} years from {}", method.horizon_years, method.start);
    let digest: String = method.input_digest.chars().take(12).collect();
    let run = format!("{RUN}{} trials, seed {}, inputs {digest}", method.trials, method.seed);
    let mut rows = vec![];
    for option in &result.options {
        let name = &option.name;
        for (contract, cost) in result.contracts.iter().zip(&option.costs) {
            let money = format!("{}, prices of {}", method.basis, method.prices_of);
            let note = |how: &str| format!("{money}, {how}; {run}");
            let what = |what: &str| format!("{name}, {}: {what} over {years}", contract.name);
            let levelized = (what("levelized cost of a mole"), format!("{currency}/mol"), note("discounted"));
            rows.extend(of_spread(levelized, &cost.levelized));
            let plain = (what("plain cost of a mole"), format!("{currency}/mol"), note("undiscounted"));
            rows.extend(of_spread(plain, &cost.plain));
            rows.extend(of_spread((what("total cost"), currency.clone(), note("undiscounted")), &cost.total));
        }
        let what = |what: &str| format!("{name}: {what} over {years}");
        let light = format!("light counted {}; {run}", option.light_basis);
        rows.extend(of_spread((what("moles"), "mol".into(), light), &option.moles));
        let counts = [("lamps bought after the first fill", &option.lamps_bought), ("failures", &option.failures)];
        for (counted, spread) in counts {
            rows.extend(of_spread((what(counted), "1".into(), run.clone()), spread));
        }
        for year in &option.years {
            let lamps = ("lamps bought", year.lamps_p10, year.lamps_p90, year.spot_lamps + year.planned_lamps);
            for (counted, p10, p90, mean) in [lamps, ("failures", year.failures_p10, year.failures_p90, year.failures)]
            {
                if p10 < p90 {
                    rows.push(SheetRow {
                        what: format!("{name}: {counted} in year {}", year.year),
                        unit: "1".into(),
                        p10,
                        p50: None,
                        p90,
                        wide: None,
                        note: format!("mean {mean:.2}; {run}"),
                    });
                }
            }
        }
    }
    rows
}

fn of_spread((what, unit, note): (String, String, String), spread: &Spread) -> Option<SheetRow> {
    let [p5, p10, p50, p90, p95] =
        [&spread.p5, &spread.p10, &spread.p50, &spread.p90, &spread.p95].map(|point| point.value);
    (p10 < p90).then_some(SheetRow { what, unit, p10, p50: Some(p50), p90, wide: Some((p5, p95)), note })
}
