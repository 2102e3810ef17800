//! From an outcome to the finished numbers of a run.

use engine::{CAUSES, Cause, Ended, Outcome};
use plan::{ContractPlan, Input, InputId, OptionPlan, Plan};
use scenario::figure::Grade;

use crate::race::race;
use crate::result::{
    Band, CauseLine, ContractLine, CostResult, Curve, InputLine, LightReadings, Method, OptionResult, PriceLevel,
    RESULT_FORMAT, Race, Ranking, RunResult, Spread, Verdict, YearLine,
};
use crate::split::{knows_all, split};
use crate::spread::{Sorted, density, mean, spread};

/// What the summary cannot know by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Provenance {
    /// Version of the program.
    pub program: String,
    /// SHA-256 of the gathered scenario.
    pub input_digest: String,
    /// Seed of the run.
    pub seed: u64,
    /// What-ifs as given.
    pub what_ifs: Vec<String>,
}

/// Points of a cumulative curve: every half per cent.
const CUMULATIVE_STEPS: usize = 200;

/// Sums an outcome up.
pub fn summarize(plan: &Plan, outcome: &Outcome, ended: Ended, provenance: Provenance) -> RunResult {
    let seed = provenance.seed;
    let options: Vec<OptionResult> = (0..plan.options.len()).map(|o| option(plan, outcome, o, seed)).collect();
    let contracts = (0..plan.contracts.len()).map(|c| contract(plan, outcome, c, seed)).collect();
    let value = |id: InputId| average(plan, id, outcome.sampled, seed);
    RunResult {
        format: RESULT_FORMAT.into(),
        program: provenance.program,
        title: plan.title.clone(),
        method: Method {
            seed,
            trials: outcome.trials,
            ended,
            input_digest: provenance.input_digest,
            trial_digest: outcome.digest().hex(),
            currency: plan.currency.clone(),
            basis: plan.money.basis().into(),
            discount_rate: value(plan.money.discount_rate),
            inflation: plan.money.inflation.map(value),
            booked: plan.money.booking.in_words().into(),
            prices_of: plan.prices_of.clone(),
            start: plan.first_day.to_string(),
            horizon_years: plan.years,
            time_zone: plan.time_zone.clone(),
            canopy_m2: value(plan.canopy_area),
            target_ppfd: plan.target_ppfd.map(value),
            what_ifs: provenance.what_ifs,
        },
        inputs: inputs(plan),
        cautions: plan.cautions.clone(),
        remarks: remarks(plan, outcome),
        contracts,
        options,
    }
}

/// Trials below which the standard errors themselves are rough: with n trials they are known to about 1/√(2n).
const FEW_TRIALS: u64 = 100;

fn remarks(plan: &Plan, outcome: &Outcome) -> Vec<String> {
    let mut remarks = plan.remarks.clone();
    if outcome.trials < FEW_TRIALS {
        remarks.push(format!("{} trials are few: the standard errors, and so every tie, are rough", outcome.trials));
    }
    remarks
}

/// Every input of a plan as people list it.
pub fn inputs(plan: &Plan) -> Vec<InputLine> {
    plan.inputs
        .iter()
        .filter(|input| !input.is_handle)
        .map(|input| InputLine {
            pointer: input.pointer.clone(),
            place: input.place.clone(),
            unit: input.unit.clone(),
            p10: input.quantile(0.1),
            p50: input.quantile(0.5),
            p90: input.quantile(0.9),
            grade: given(input).0,
            stated: input.stated,
            note: input.note.clone(),
        })
        .collect()
}

/// How well an input is known, in a word, and whether the scenario states it.
pub(crate) fn given(input: &Input) -> (String, bool) {
    let grade = match input.grade {
        Grade::Measured => "measured",
        Grade::Invoice => "invoice",
        Grade::Datasheet => "datasheet",
        Grade::Guess => "guess",
    };
    (grade.into(), input.stated)
}

/// Mean of an input over the first trials; the value itself when it is certain.
fn average(plan: &Plan, id: InputId, trials: u64, seed: u64) -> f64 {
    if plan.inputs.at(id).distribution.is_certain() {
        return plan.inputs.value(id, seed, 0);
    }
    (0..trials).map(|trial| plan.inputs.value(id, seed, trial)).sum::<f64>() / trials as f64
}

fn contract(plan: &Plan, outcome: &Outcome, c: usize, seed: u64) -> ContractLine {
    let contract = &plan.contracts[c];
    let costs: Vec<Vec<f64>> = (0..plan.options.len()).map(|o| outcome.costs(o, c, |cell| cell.levelized)).collect();
    let mut races: Vec<Race> = vec![];
    for a in 0..costs.len() {
        for b in a + 1..costs.len() {
            races.push(race(a, &costs[a], b, &costs[b]));
        }
    }
    ContractLine {
        name: contract.name.clone(),
        lights: contract.lights.clone(),
        burn_h: plan.clocks[contract.clock].timeline.lit_hours,
        price_levels: price_levels(plan, contract, outcome.sampled, seed),
        open_questions: contract.open_questions.clone(),
        ranking: ranking(&costs, &races),
        races,
    }
}

fn price_levels(plan: &Plan, contract: &ContractPlan, trials: u64, seed: u64) -> Vec<PriceLevel> {
    const PARTS: [&str; 4] = ["energy", "riders", "demand", "fixed"];
    let levels: Vec<Vec<[f64; 4]>> = (0..trials)
        .map(|trial| engine::levels_by_year(plan, contract, &plan.inputs.draw(seed, trial), seed, trial))
        .collect();
    let of = |year: usize, part: usize| -> Vec<f64> { levels.iter().map(|trial| trial[year][part]).collect() };
    (0..plan.years as usize)
        .flat_map(|year| (0..PARTS.len()).map(move |part| (year, part)))
        .map(|(year, part)| {
            let sorted = Sorted::new(of(year, part));
            PriceLevel {
                year: year as u32 + 1,
                part: PARTS[part].into(),
                mean: mean(&of(year, part)).0.value,
                p10: sorted.quantile(0.1),
                p50: sorted.quantile(0.5),
                p90: sorted.quantile(0.9),
            }
        })
        .collect()
}

fn ranking(costs: &[Vec<f64>], races: &[Race]) -> Ranking {
    let means: Vec<f64> = costs.iter().map(|costs| mean(costs).0.value).collect();
    let mut order: Vec<usize> = (0..costs.len()).collect();
    order.sort_by(|&a, &b| means[a].total_cmp(&means[b]));
    let first = order[0];
    let ties_with_first = |o: usize| {
        o == first
            || races.iter().any(|race| (race.a, race.b) == (o.min(first), o.max(first)) && race.verdict == Verdict::Tie)
    };
    let tied_first = order.iter().copied().filter(|&o| ties_with_first(o)).collect();
    Ranking { order, tied_first }
}

fn option(plan: &Plan, outcome: &Outcome, o: usize, seed: u64) -> OptionResult {
    let option = &plan.options[o];
    let clock = plan.contracts.first().map_or(0, |contract| contract.clock);
    let samples: Vec<&engine::Sample> = outcome.samples.iter().skip(o).step_by(plan.options.len()).collect();
    let room_flux = mean(&samples.iter().map(|sample| sample.new_flux).collect::<Vec<f64>>()).0.value;
    let new_flux_umol_s = room_flux / f64::from(option.fixtures);
    let wall_power_w = average(plan, option.wall_power, outcome.sampled, seed);
    let lives = |read: fn(&engine::LifeCell) -> f64| spread(outcome.lives_of(o, clock, read));
    OptionResult {
        name: option.name.clone(),
        light_basis: option.light.basis.clone(),
        fixtures: option.fixtures,
        sockets: option.sockets() as u32,
        new_flux_umol_s,
        readings: readings(plan, option),
        wall_power_w,
        efficacy_umol_j: new_flux_umol_s / wall_power_w,
        light: light(plan, &samples),
        years: years(plan, outcome, o, &samples),
        moles: lives(|life| life.moles),
        useful_moles: outcome.useful_moles_of(o, clock).map(spread),
        lamps_bought: lives(|life| life.lamps_bought),
        failures: lives(|life| life.failures),
        dark_h: lives(|life| life.dark_hours),
        target_met: target_met(plan, outcome, o, clock, seed),
        costs: (0..plan.contracts.len()).map(|c| cost(plan, outcome, option, o, c)).collect(),
    }
}

/// The grid of readings of an option that states one.
fn readings(plan: &Plan, option: &OptionPlan) -> Option<LightReadings> {
    let (grid, height) = option.light.grid.as_ref()?;
    Some(LightReadings {
        umol_m2_s: grid.rows().to_vec(),
        points: match grid.points() {
            canopy::Points::CellCentred => "cell_centred",
            canopy::Points::EdgeToEdge => "edge_to_edge",
        }
        .into(),
        area_m2: grid.area().square_metres(),
        height_m: plan.inputs.at(*height).quantile(0.5),
        mean_umol_m2_s: grid.mean().umol_per_m2_s(),
        min_to_mean: grid.evenness().min_to_mean,
    })
}

/// Moles delivered as a share of those that the target PPFD over the canopy needs while the lights burn.
fn target_met(plan: &Plan, outcome: &Outcome, o: usize, clock: usize, seed: u64) -> Option<Spread> {
    let target = plan.target_ppfd?;
    let hours = plan.clocks[clock].timeline.lit_hours;
    let needed = |trial: u64| {
        let value = |id: InputId| plan.inputs.value(id, seed, trial);
        value(target) * value(plan.canopy_area) * hours * 3600.0 * 1e-6
    };
    let moles = outcome.lives_of(o, clock, |life| life.moles);
    Some(spread(moles.iter().zip(0..).map(|(moles, trial)| moles / needed(trial)).collect()))
}

fn light(plan: &Plan, samples: &[&engine::Sample]) -> Band {
    let months = plan.months();
    let mut band = Band { years: vec![], p10: vec![], p50: vec![], p90: vec![], trials: samples.len() as u64 };
    for month in 0..months {
        let sorted = Sorted::new(samples.iter().map(|sample| sample.light[month]).collect());
        band.years.push((month + 1) as f64 / 12.0);
        band.p10.push(sorted.quantile(0.1));
        band.p50.push(sorted.quantile(0.5));
        band.p90.push(sorted.quantile(0.9));
    }
    band
}

fn years(plan: &Plan, outcome: &Outcome, o: usize, samples: &[&engine::Sample]) -> Vec<YearLine> {
    let (sums, n) = (&outcome.years[o], outcome.trials as f64);
    (0..plan.years as usize)
        .map(|year| {
            let lamps = Sorted::new(samples.iter().map(|sample| sample.lamps[year]).collect());
            let failures = Sorted::new(samples.iter().map(|sample| sample.failures[year]).collect());
            YearLine {
                year: year as u32 + 1,
                spot_lamps: sums.spot_lamps[year] / n,
                planned_lamps: sums.planned_lamps[year] / n,
                lamps_p10: lamps.quantile(0.1),
                lamps_p90: lamps.quantile(0.9),
                failures: sums.failures[year] / n,
                failures_p10: failures.quantile(0.1),
                failures_p90: failures.quantile(0.9),
            }
        })
        .collect()
}

/// Whether a rate sheet knows charges that are neither energy nor demand.
fn has_other_charges(sheet: &tariff::Sheet) -> bool {
    !sheet.fixed.is_empty() || !sheet.percent.is_empty() || sheet.minimum.is_some()
}

fn cost(plan: &Plan, outcome: &Outcome, option: &OptionPlan, o: usize, c: usize) -> CostResult {
    let levelized = outcome.costs(o, c, |cell| cell.levelized);
    let sorted = Sorted::new(levelized.clone());
    let density = density(&levelized, &sorted);
    let shares = (0..=CUMULATIVE_STEPS).map(|k| k as f64 / CUMULATIVE_STEPS as f64);
    let cumulative = Curve { x: shares.clone().map(|p| sorted.quantile(p)).collect(), y: shares.collect() };
    let (tally, n) = (&outcome.tallies[o * plan.contracts.len() + c], outcome.trials as f64);
    let causes = (0..CAUSES)
        .filter(|&k| k != Cause::Plant as usize || plan.build_out.is_some())
        .filter(|&k| k != Cause::Gear as usize || option.gear.is_some() || !option.components.is_empty())
        .filter(|&k| k != Cause::Cleaning as usize || option.cleaning.is_some())
        .filter(|&k| k != Cause::Credits as usize || tally.total[k] != 0.0)
        .filter(|&k| k != Cause::Charges as usize || has_other_charges(&plan.contracts[c].sheet))
        .map(|k| CauseLine {
            cause: Cause::ALL[k],
            levelized: tally.levelized[k] / n,
            plain: tally.plain[k] / n,
            present_value: tally.present[k] / n,
            total: tally.total[k] / n,
        })
        .collect();
    let electric = [Cause::Energy, Cause::Demand, Cause::Charges, Cause::Cooling];
    CostResult {
        effective_price_per_kwh: electric.iter().map(|&cause| tally.total[cause as usize]).sum::<f64>() / tally.kwh,
        split: split(outcome, o, c, &levelized, knows_all(plan)),
        levelized: spread(levelized),
        levelized_useful: outcome.useful_costs_of(o, c).map(spread),
        plain: spread(outcome.costs(o, c, |cell| cell.plain)),
        total: spread(outcome.costs(o, c, |cell| cell.total)),
        present_value: spread(outcome.costs(o, c, |cell| cell.present)),
        density,
        cumulative,
        causes,
        by_year: tally.by_year.iter().map(|sum| sum / n).collect(),
    }
}
