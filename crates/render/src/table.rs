//! The CSV tables: every digit, units in the column names, money in the currency and not in hundredths of it.
//!
//! Belongs here: which rows a table has. Does not belong here: the columns and what they mean (`columns`), the
//! long table of single trials (`trials`), the rules of writing a cell (`cells`).

mod cells;
mod columns;
mod trials;

pub use columns::{Column, columns, header};
pub use trials::{TrialNumbers, TrialTable, trials_header};

pub(crate) use cells::Rows;
pub(crate) use columns::POINTS;
use decide::result::{Ended, Estimate, RunResult, Spread, Verdict};

/// Results of one row per option and contract: every spread with its standard errors.
pub const SUMMARY: &str = "summary.csv";
/// Costs by cause, one row per option, contract and cause.
pub const CAUSES: &str = "causes.csv";
/// Lamps, failures and money by year, one row per option, contract and year.
pub const YEARS: &str = "years.csv";
/// The inputs as they were used, one row each.
pub const INPUTS: &str = "inputs.csv";
/// Every pair of options under every contract.
pub const RACES: &str = "races.csv";
/// How prices move over the years.
pub const PRICES: &str = "prices.csv";
/// Single trials, one row per trial, option and contract.
pub const TRIALS: &str = "trials.csv";

/// Lines of bills, one row per contract, bill and line.
pub const LINES: &str = "lines.csv";
/// Demands of bills, one row per contract, bill and demand charge.
pub const PEAKS: &str = "peaks.csv";
/// Starts of the lights, one row per pattern, start, rate sheet and option.
pub const STARTS: &str = "starts.csv";
/// Costs over relamping intervals, one row per option, policy and interval.
pub const RELAMP_CURVE: &str = "relamp-curve.csv";
/// Lamps to buy and to hold, one row per option and month.
pub const RELAMP_MONTHS: &str = "relamp-months.csv";
/// A lead in its parts, one row each.
pub const WHY: &str = "why.csv";
/// Headlines as arithmetic, one row per option and line.
pub const WHY_SUMS: &str = "why-sums.csv";
/// Where two options tie, one row per input, contract and tie.
pub const BREAKEVEN: &str = "breakeven.csv";
/// Who wins where over two inputs, one row per cell.
pub const MAP: &str = "map.csv";
/// What reading cards say, one row per card and height.
pub const CANOPY: &str = "canopy.csv";
/// Readings of cards, one row each.
pub const CANOPY_POINTS: &str = "canopy-points.csv";
/// Fluxes of like cards over one another, one row per pair.
pub const CANOPY_RATIOS: &str = "canopy-ratios.csv";
/// How light fades by readings: forms, parameters, what is left, one row each.
pub const FADING: &str = "fading.csv";
/// Readings of light as shares, one row each.
pub const FADING_POINTS: &str = "fading-points.csv";
/// Cash flows by day of booking, one row per flow and line.
pub const CASH_MONTHS: &str = "cash-months.csv";
/// Cash flows by year, one row per flow and line.
pub const CASH_YEARS: &str = "cash-years.csv";
/// What cash flows come to, one row per option.
pub const CASH_MEASURES: &str = "cash-measures.csv";
/// The options ranked, one row per contract and option.
pub const RANK: &str = "rank.csv";
/// Every pair of options, one row per contract and pair.
pub const RANK_PAIRS: &str = "rank-pairs.csv";
/// Regret in futures by name, one row per contract, future and option.
pub const RANK_REGRET: &str = "rank-regret.csv";
/// Rooms at equal light, one row per contract and option.
pub const RANK_SERVICE: &str = "rank-service.csv";
/// What moves the lead between the two cheapest options, one row per input.
pub const DRIVERS: &str = "drivers.csv";
/// Buying now and deciding later, one row per way of doing it, number of watched lamps and number of dead ones.
pub const STAGE: &str = "stage.csv";
/// Planned life tests, one row per design.
pub const TEST: &str = "test.csv";
/// When to stop a life test, one row per check-point and number of dead lamps.
pub const TEST_STOP: &str = "test-stop.csv";
/// Several options in one room, one row per mix.
pub const MIX: &str = "mix.csv";
/// The log of a trial, one row per lamp.
pub const LOG_SHEET: &str = "log-sheet.csv";
/// How even a trial was drawn, one row per arrangement, lamp and part of the room.
pub const BALANCE: &str = "balance.csv";
/// What the codes of a blind trial stand for, one row each.
pub const SEALED_KEY: &str = "sealed-key.csv";
/// Past forecasts and what happened, one row each.
pub const SCORE: &str = "score.csv";
/// Forecasts to be filled in over the years, one row each.
pub const FORECASTS: &str = "forecasts.csv";
/// What burn logs say of a life, one row per number.
pub const LIFE: &str = "life.csv";
/// Survival by steps and as believed, one row per step or point.
pub const LIFE_SURVIVAL: &str = "life-survival.csv";

/// [`SUMMARY`] as text.
pub fn summary_csv(result: &RunResult) -> String {
    let mut rows = start(SUMMARY, result);
    for option in &result.options {
        for (contract, cost) in result.contracts.iter().zip(&option.costs) {
            rows.text(&option.name);
            rows.text(&contract.name);
            rows.text(&option.light_basis);
            rows.text(&contract.lights);
            rows.text(&result.method.prices_of);
            rows.number(result.method.discount_rate);
            rows.text(&result.method.booked);
            rows.number(result.method.trials as f64);
            rows.text(match result.method.ended {
                Ended::Trials => "trials",
                Ended::Precision => "precision",
                Ended::Interrupted => "interrupted",
            });
            rows.number(contract.burn_h);
            rows.number(cost.effective_price_per_kwh);
            rows.number(option.fixtures.into());
            rows.number(option.sockets.into());
            rows.number(option.new_flux_umol_s);
            rows.number(option.wall_power_w);
            rows.number(option.efficacy_umol_j);
            for spread in [&cost.levelized, &cost.plain, &cost.total, &cost.present_value] {
                write_spread(&mut rows, Some(spread));
            }
            for spread in [&option.moles, &option.lamps_bought, &option.failures, &option.dark_h] {
                write_spread(&mut rows, Some(spread));
            }
            write_spread(&mut rows, option.target_met.as_ref());
            write_estimate(&mut rows, cost.split.ignorance);
            write_estimate(&mut rows, cost.split.luck);
            write_spread(&mut rows, option.useful_moles.as_ref());
            write_spread(&mut rows, cost.levelized_useful.as_ref());
            rows.end();
        }
    }
    rows.finish()
}

/// [`CAUSES`] as text.
pub fn causes_csv(result: &RunResult) -> String {
    let mut rows = start(CAUSES, result);
    for option in &result.options {
        for (contract, cost) in result.contracts.iter().zip(&option.costs) {
            for line in &cost.causes {
                rows.text(&option.name);
                rows.text(&contract.name);
                rows.text(line.cause.label());
                for number in [line.levelized, line.plain, line.present_value, line.total] {
                    rows.number(number);
                }
                rows.end();
            }
        }
    }
    rows.finish()
}

/// [`YEARS`] as text; year 0 is the outlay at the start and has no lamps or failures.
pub fn years_csv(result: &RunResult) -> String {
    let mut rows = start(YEARS, result);
    for option in &result.options {
        for (contract, cost) in result.contracts.iter().zip(&option.costs) {
            for (year, money) in (0u32..).zip(&cost.by_year) {
                rows.text(&option.name);
                rows.text(&contract.name);
                rows.number(year.into());
                rows.number(*money);
                match option.years.iter().find(|line| line.year == year) {
                    Some(line) => {
                        for number in [
                            line.spot_lamps,
                            line.planned_lamps,
                            line.lamps_p10,
                            line.lamps_p90,
                            line.failures,
                            line.failures_p10,
                            line.failures_p90,
                        ] {
                            rows.number(number);
                        }
                    }
                    None => (0..7).for_each(|_| rows.absent()),
                }
                rows.end();
            }
        }
    }
    rows.finish()
}

/// [`INPUTS`] as text.
pub fn inputs_csv(result: &RunResult) -> String {
    let mut rows = start(INPUTS, result);
    for input in &result.inputs {
        rows.text(&input.pointer);
        rows.text(&input.place);
        rows.text(&input.unit);
        for number in [input.p10, input.p50, input.p90] {
            rows.number(number);
        }
        rows.text(&input.grade);
        rows.text(if input.stated { "yes" } else { "no" });
        rows.text(&input.note);
        rows.end();
    }
    rows.finish()
}

/// [`RACES`] as text.
pub fn races_csv(result: &RunResult) -> String {
    let mut rows = start(RACES, result);
    let name = |i: usize| result.options.get(i).map_or("", |option| option.name.as_str());
    for contract in &result.contracts {
        for race in &contract.races {
            rows.text(&contract.name);
            rows.text(name(race.a));
            rows.text(name(race.b));
            write_estimate(&mut rows, race.lead);
            rows.number(race.lead_p10);
            rows.number(race.lead_p90);
            write_estimate(&mut rows, race.chance_a_cheaper);
            rows.text(match race.verdict {
                Verdict::A => "a",
                Verdict::B => "b",
                Verdict::Tie => "tie",
            });
            rows.end();
        }
    }
    rows.finish()
}

/// [`PRICES`] as text.
pub fn prices_csv(result: &RunResult) -> String {
    let mut rows = start(PRICES, result);
    for contract in &result.contracts {
        for level in &contract.price_levels {
            rows.text(&contract.name);
            rows.number(f64::from(level.year));
            rows.text(&level.part);
            [level.mean, level.p10, level.p50, level.p90].into_iter().for_each(|level| rows.number(level));
            rows.end();
        }
    }
    rows.finish()
}

fn start(file: &str, result: &RunResult) -> Rows {
    Rows::new(&header(file, &result.method.currency, &result.method.basis))
}

fn write_estimate(rows: &mut Rows, estimate: Estimate) {
    rows.number(estimate.value);
    rows.number(estimate.se);
}

/// The order is that of [`columns::POINTS`].
fn write_spread(rows: &mut Rows, spread: Option<&Spread>) {
    match spread {
        Some(s) => {
            write_estimate(rows, s.mean);
            rows.number(s.sd);
            for point in [s.p5, s.p10, s.p50, s.p80, s.p90, s.p95] {
                write_estimate(rows, point);
            }
        }
        None => columns::POINTS.iter().for_each(|_| rows.absent()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    type Table = (&'static str, fn(&RunResult) -> String);
    const TABLES: [Table; 6] = [
        (SUMMARY, summary_csv),
        (CAUSES, causes_csv),
        (YEARS, years_csv),
        (INPUTS, inputs_csv),
        (RACES, races_csv),
        (PRICES, prices_csv),
    ];

    fn read(text: &str) -> Vec<Vec<String>> {
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
        reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect()
    }

    #[test]
    fn every_row_has_the_columns_of_its_header() {
        for run in [sample::realistic(), sample::hostile(), sample::all_equal(), sample::all_zero()] {
            for (file, write) in TABLES {
                // a strict reader refuses rows of another length
                let rows = read(&write(&run));
                assert_eq!(rows[0], header(file, "USD", "real"), "{file}");
                let mut names = rows[0].clone();
                names.sort();
                names.dedup();
                assert_eq!(names.len(), rows[0].len(), "{file}: two columns of one name");
            }
        }
    }

    #[test]
    fn numbers_come_back_bit_for_bit() {
        let run = sample::realistic();
        let rows = read(&summary_csv(&run));
        let at = |name: &str| rows[0].iter().position(|column| column == name).unwrap();
        assert_eq!(rows.len(), 1 + run.options.len() * run.contracts.len());
        let mut row = rows.iter().skip(1);
        for option in &run.options {
            for cost in &option.costs {
                let row = row.next().unwrap();
                let number = |name: &str| row[at(name)].parse::<f64>().unwrap();
                assert_eq!(number("levelized_real_USD_per_mol_mean"), cost.levelized.mean.value);
                assert_eq!(number("levelized_real_USD_per_mol_p90"), cost.levelized.p90.value);
                assert_eq!(number("levelized_real_USD_per_mol_p90_se"), cost.levelized.p90.se);
                assert_eq!(number("present_value_real_USD_p95_se"), cost.present_value.p95.se);
                assert_eq!(number("target_met_p80"), option.target_met.as_ref().unwrap().p80.value);
                assert_eq!(number("levelized_ignorance_real_USD_per_mol_sd"), cost.split.ignorance.value);
                assert_eq!(number("levelized_luck_real_USD_per_mol_sd_se"), cost.split.luck.se);
                let useful = cost.levelized_useful.as_ref().map(|spread| spread.p90.value);
                assert_eq!(row[at("levelized_useful_real_USD_per_mol_p90")].parse().ok(), useful);
                let moles = option.useful_moles.as_ref().map(|spread| spread.mean.value);
                assert_eq!(row[at("useful_moles_mol_mean")].parse().ok(), moles);
                assert_eq!(row[at("option")], option.name);
            }
        }
    }

    #[test]
    fn no_cell_runs_as_a_formula() {
        for (_, write) in TABLES {
            for row in read(&write(&sample::hostile())) {
                for cell in row {
                    let formula = cell.starts_with(['=', '+', '@', '\t', '\r', '\n']);
                    let minus = cell.starts_with('-') && cell.parse::<f64>().is_err();
                    assert!(!formula && !minus, "{cell:?}");
                }
            }
        }
        assert!(summary_csv(&sample::hostile()).contains("'=HYPERLINK"));
        assert!(inputs_csv(&sample::realistic()).contains("\"'=typical, \"\"assumed\"\"\""));
    }

    #[test]
    fn what_is_absent_leaves_its_cells_empty() {
        let rows = read(&summary_csv(&sample::all_equal()));
        for (name, cell) in rows[0].iter().zip(&rows[1]) {
            let absent = ["target_met", "useful_moles", "levelized_useful"].iter().any(|start| name.starts_with(start));
            assert_eq!(cell.is_empty(), absent, "{name}");
        }
    }
}
