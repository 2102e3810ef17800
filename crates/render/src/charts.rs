//! Charts as SVG: one function per picture, and all of a run at once.
//!
//! Belongs here: which charts there are and what their files are called. Does not belong here: how they are drawn (the
//! modules below, which share one frame), statistics, files.
//!
//! Every chart has a title, one sentence on how to read it, units and basis on its axes and a caption with trials, seed
//! and basis. Names stand at what they name; colour is never the only cue. The same result gives the same bytes.

mod assign_plan;
mod assign_sheet;
mod breakeven_lead;
mod breakeven_strips;
mod canopy_maps;
mod cash_curves;
mod cash_panels;
mod causes;
mod cumulative;
mod density;
mod digits;
mod driver_bars;
mod fading_curve;
mod frame;
mod hour_prices;
mod ink;
mod lettering;
mod life_steps;
mod light;
mod mix_frontier;
mod option_maps;
mod ppfd_map;
mod price_dial;
mod prices;
mod rank_ladder;
mod rank_regret;
mod ranking;
mod relamp_calendar;
mod relamp_curves;
mod scale;
mod score_bars;
mod sheet;
mod span;
mod stage_steps;
mod starts;
mod test_stop;
mod test_surface;
mod upkeep;
mod why_bars;
mod winner_map;

#[cfg(test)]
mod proof;

pub use causes::{cost_by_cause, costs_by_cause};
pub use cumulative::{cost_cumulative, cumulatives};
pub use density::{cost_density, densities};
pub use light::{light_of_all, light_over_years};
pub use ranking::ranking;
pub use upkeep::lamps_by_year;

use crate::words::slug;
use decide::assign_report::AssignReport;
use decide::bill::BillReport;
use decide::breakeven_report::BreakevenReport;
use decide::canopy_report::CanopyReport;
use decide::cash_report::CashReport;
use decide::drivers_report::DriversReport;
use decide::fading_report::FadingReport;
use decide::learn_life_report::LearnLifeReport;
use decide::life_test_report::TestReport;
use decide::map_report::MapReport;
use decide::mix_report::MixReport;
use decide::rank_report::RankReport;
use decide::relamp_report::RelampReport;
use decide::result::{ContractLine, OptionResult, RunResult};
use decide::score_report::ScoreReport;
use decide::stage_report::StageReport;
use decide::why_report::WhyReport;
use prices::picture;
use std::fmt;

/// Characters of a name that go into a file name.
const SLUG: usize = 32;

/// Why a chart could not be drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ChartError {
    /// The result has no option of this index.
    NoSuchOption(usize),
    /// The result has no contract of this index.
    NoSuchContract(usize),
    /// The drawing itself failed.
    Drawing(String),
}

impl fmt::Display for ChartError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoSuchOption(i) => write!(f, "the result has no option number {}", i + 1),
            Self::NoSuchContract(i) => write!(f, "the result has no contract number {}", i + 1),
            Self::Drawing(why) => write!(f, "the chart could not be drawn: {why}"),
        }
    }
}

impl std::error::Error for ChartError {}

/// All charts of a run as pairs of file name and SVG, those of single options first.
///
/// File names have lower-case ASCII letters, digits and hyphens only, begin with `option-` and the number of the option
/// or with `all-`, and are unique within the run.
///
/// # Errors
/// If a drawing fails.
pub fn all_charts(run: &RunResult) -> Result<Vec<(String, String)>, ChartError> {
    type OfOption = (&'static str, fn(&RunResult, usize) -> Result<String, ChartError>);
    const OF_OPTION: [OfOption; 5] = [
        ("density", cost_density),
        ("cumulative", cost_cumulative),
        ("causes", cost_by_cause),
        ("light", light_over_years),
        ("lamps", lamps_by_year),
    ];
    let mut charts = Vec::new();
    for (i, option) in run.options.iter().enumerate() {
        for (kind, draw) in OF_OPTION {
            charts.push((file_name("option", i, &option.name, kind), draw(run, i)?));
        }
    }
    for (i, contract) in run.contracts.iter().enumerate() {
        charts.push((file_name("all-contract", i, &contract.name, "densities"), densities(run, i)?));
        charts.push((file_name("all-contract", i, &contract.name, "cumulatives"), cumulatives(run, i)?));
    }
    charts.push(("all-causes.svg".to_owned(), costs_by_cause(run)?));
    charts.push(("all-light.svg".to_owned(), light_of_all(run)?));
    charts.push(("all-ranking.svg".to_owned(), ranking(run)?));
    if let Some(maps) = option_maps::option_maps(run) {
        charts.push(("all-canopy.svg".to_owned(), maps?));
    }
    Ok(charts)
}

/// Prices by month and hour with the lights over them, and the patterns of a day as dials, two pictures for each contract:
/// pairs of file name and SVG.
///
/// # Errors
/// If a drawing fails.
pub fn price_pictures(report: &BillReport) -> Result<Vec<(String, String)>, ChartError> {
    let mut charts = vec![];
    for (i, sheet) in report.sheets.iter().enumerate() {
        charts.push((stem("prices", i, &sheet.contract) + ".svg", picture(report, sheet)?));
        charts.push((stem("day", i, &sheet.contract) + ".svg", price_dial::price_dial(report, sheet)?));
    }
    Ok(charts)
}

/// Cost of light over the start of the lights, and what each hour of the day adds, two pictures for each rate sheet:
/// pairs of file name and SVG.
///
/// # Errors
/// If a drawing fails.
pub fn hours_charts(report: &decide::hours::HoursReport) -> Result<Vec<(String, String)>, ChartError> {
    let mut charts = vec![];
    for (i, sheet) in report.sheets.iter().enumerate() {
        charts.push((stem("starts", i, sheet) + ".svg", starts::starts(report, i)?));
        for asked in report.questions.iter().filter(|asked| asked.sheet == i) {
            charts.push((stem("hour-prices", i, sheet) + ".svg", hour_prices::hour_prices(report, asked)?));
        }
    }
    Ok(charts)
}

/// Cost of light over the interval of relamping, and lamps to buy by month, two pictures for each option: pairs of file
/// name and SVG.
///
/// # Errors
/// If a drawing fails.
pub fn relamp_charts(report: &RelampReport) -> Result<Vec<(String, String)>, ChartError> {
    let mut charts = vec![];
    for (i, option) in report.options.iter().enumerate() {
        let name = |kind| file_name("relamp", i, &option.name, kind);
        charts.push((name("curves"), relamp_curves::relamp_curves(report, option)?));
        charts.push((name("calendar"), relamp_calendar::relamp_calendar(report, option)?));
    }
    Ok(charts)
}

/// Who is cheaper on which side of a tie, and the lead over the value, two pictures for each input: pairs of file name
/// and SVG.
///
/// # Errors
/// If a drawing fails.
pub fn breakeven_charts(report: &BreakevenReport) -> Result<Vec<(String, String)>, ChartError> {
    let mut charts = vec![];
    for (i, input) in report.inputs.iter().enumerate() {
        charts.push((format!("breakeven-{}.svg", i + 1), breakeven_strips::breakeven_strips(report, input)?));
        charts.push((format!("breakeven-lead-{}.svg", i + 1), breakeven_lead::breakeven_lead(report, input)?));
    }
    Ok(charts)
}

/// Who wins where over two inputs: one pair of file name and SVG.
///
/// # Errors
/// If the drawing fails.
pub fn map_charts(report: &MapReport) -> Result<Vec<(String, String)>, ChartError> {
    Ok(vec![("map.svg".to_owned(), winner_map::winner_map(report)?)])
}

/// How far each input moves the lead between the two cheapest options: one pair of file name and SVG.
///
/// # Errors
/// If the drawing fails.
pub fn drivers_charts(report: &DriversReport) -> Result<Vec<(String, String)>, ChartError> {
    Ok(vec![("drivers.svg".to_owned(), driver_bars::driver_bars(report)?)])
}

/// A lead in its parts, one picture: pairs of file name and SVG; none without a lead.
///
/// # Errors
/// If a drawing fails.
pub fn why_charts(report: &WhyReport) -> Result<Vec<(String, String)>, ChartError> {
    report.lead.iter().map(|lead| Ok(("why.svg".to_owned(), why_bars::why_bars(report, lead)?))).collect()
}

/// Ways of buying now and deciding later, and what dead lamps say: one pair of file name and SVG.
///
/// # Errors
/// If the drawing fails.
pub fn stage_charts(report: &StageReport) -> Result<Vec<(String, String)>, ChartError> {
    Ok(vec![("stage.svg".to_owned(), stage_steps::stage_steps(report)?)])
}

/// What planned life tests leave, design by design, and when to stop the best of them where one can pay: pairs of file name
/// and SVG.
///
/// # Errors
/// If a drawing fails.
pub fn test_charts(report: &TestReport) -> Result<Vec<(String, String)>, ChartError> {
    let mut charts = vec![("test-surface.svg".to_owned(), test_surface::test_surface(report)?)];
    if let Some(stop) = &report.stop {
        charts.push(("test-stop.svg".to_owned(), test_stop::test_stop(report, stop)?));
    }
    Ok(charts)
}

/// Mean cost against what may be regretted, mix by mix: one pair of file name and SVG.
///
/// # Errors
/// If the drawing fails.
pub fn mix_charts(report: &MixReport) -> Result<Vec<(String, String)>, ChartError> {
    Ok(vec![("mix.svg".to_owned(), mix_frontier::mix_frontier(report)?)])
}

/// What is lost by picking each option, and the options on a line of cost with their ties: pairs of file name and SVG.
///
/// # Errors
/// If a drawing fails.
pub fn rank_charts(report: &RankReport) -> Result<Vec<(String, String)>, ChartError> {
    Ok(vec![
        ("rank-regret.svg".to_owned(), rank_regret::rank_regret(report)?),
        ("rank-ladder.svg".to_owned(), rank_ladder::rank_ladder(report)?),
    ])
}

/// Cash paid over time, one line for each option: one pair of file name and SVG.
///
/// # Errors
/// If the drawing fails.
pub fn cash_charts(report: &CashReport) -> Result<Vec<(String, String)>, ChartError> {
    Ok(vec![("cash.svg".to_owned(), cash_curves::cash_curves(report)?)])
}

/// Readings of cards as maps: one pair of file name and SVG.
///
/// # Errors
/// If the drawing fails.
pub fn canopy_charts(report: &CanopyReport) -> Result<Vec<(String, String)>, ChartError> {
    Ok(vec![("canopy.svg".to_owned(), canopy_maps::canopy_maps(report)?)])
}

/// The plan of a trial and its log as pages to write on: pairs of file name and SVG.
///
/// # Errors
/// If a drawing fails.
pub fn assign_charts(report: &AssignReport) -> Result<Vec<(String, String)>, ChartError> {
    let mut charts = vec![("assign.svg".to_owned(), assign_plan::assign_plan(report)?)];
    let sheets = assign_sheet::assign_sheets(report)?;
    let name = |page: usize| if sheets.len() == 1 { String::new() } else { format!("-{}", page + 1) };
    let names: Vec<String> = (0..sheets.len()).map(|page| format!("log-sheet{}.svg", name(page))).collect();
    charts.extend(names.into_iter().zip(sheets));
    Ok(charts)
}

/// Past forecasts as bars with what happened on them: one pair of file name and SVG.
///
/// # Errors
/// If the drawing fails.
pub fn score_charts(report: &ScoreReport) -> Result<Vec<(String, String)>, ChartError> {
    Ok(vec![("score.svg".to_owned(), score_bars::score_bars(report)?)])
}

/// What is left over burn hours by readings of lamps: one pair of file name and SVG.
///
/// # Errors
/// If the drawing fails.
pub fn fading_charts(report: &FadingReport) -> Result<Vec<(String, String)>, ChartError> {
    Ok(vec![("fading.svg".to_owned(), fading_curve::fading_curve(report)?)])
}

/// Survival by steps under the beliefs before and after a log: one pair of file name and SVG.
///
/// # Errors
/// If the drawing fails.
pub fn learn_life_charts(report: &LearnLifeReport) -> Result<Vec<(String, String)>, ChartError> {
    Ok(vec![("life.svg".to_owned(), life_steps::life_steps(report)?)])
}

fn file_name(group: &str, index: usize, name: &str, kind: &str) -> String {
    format!("{}-{kind}.svg", stem(group, index, name))
}

fn stem(group: &str, index: usize, name: &str) -> String {
    let slug = slug(name, SLUG);
    let dash = if slug.is_empty() { "" } else { "-" };
    format!("{group}-{}{dash}{slug}", index + 1)
}

fn option_at(run: &RunResult, index: usize) -> Result<&OptionResult, ChartError> {
    run.options.get(index).ok_or(ChartError::NoSuchOption(index))
}

fn contract_at(run: &RunResult, index: usize) -> Result<&ContractLine, ChartError> {
    run.contracts.get(index).ok_or(ChartError::NoSuchContract(index))
}
