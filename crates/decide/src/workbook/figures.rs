//! What quantities come to at some prices and a discount rate: the numbers that the workbook's formulas give.
//!
//! Belongs here: sums, present values and measures of a base path. Does not belong here: how much is bought.

use finance::{Flows, equivalent_annual, savings_to_investment};

use crate::cash::{LINES, by_year, line_name, rates, repaid};
use crate::workbook_report::{Figures, OptionFigures, Saved, WorkbookOption, WorkbookReport};

/// The base path at other prices, in the order of [`WorkbookReport::prices`], and another discount rate per year.
///
/// # Errors
/// A message when the rate is not above −100 % a year, or a sum is no number.
pub fn repriced(report: &WorkbookReport, prices: &[f64], rate: f64) -> Result<Figures, String> {
    if !(rate > -1.0 && rate.is_finite()) {
        return Err(format!("a discount rate of {rate} a year: it must be above -100 %"));
    }
    let factors: Vec<f64> = report.moments_yr.iter().map(|moment| (-moment * rate.ln_1p()).exp()).collect();
    let mut options = vec![];
    for option in &report.options {
        options.push(of_option(report, option, prices, &factors, rate)?);
    }
    let cost = |figures: &OptionFigures| figures.levelized.unwrap_or(f64::INFINITY);
    let costs: Vec<f64> = options.iter().map(cost).collect();
    for (figures, own) in options.iter_mut().zip(&costs) {
        figures.rank = 1 + costs.iter().filter(|other| *other < own).count();
    }
    let reference = options.get(report.reference).cloned().unwrap_or_default();
    for (o, figures) in options.iter_mut().enumerate() {
        if o != report.reference {
            figures.saved = Some(saved(report, &reference, figures, (&factors, rate))?);
        }
    }
    let cheapest = options.iter().position(|figures| figures.rank == 1).unwrap_or(0);
    Ok(Figures { rate, factors, cheapest, options })
}

fn of_option(
    report: &WorkbookReport,
    option: &WorkbookOption,
    prices: &[f64],
    factors: &[f64],
    rate: f64,
) -> Result<OptionFigures, String> {
    let months = report.moments_yr.len();
    let mut lines = vec![vec![0.0; months]; report.lines.len()];
    for quantity in &option.quantities {
        let price = quantity.price.map_or(1.0, |price| prices[price]);
        lines[quantity.line].iter_mut().zip(&quantity.months).for_each(|(sum, bought)| *sum += price * bought);
    }
    let total: Vec<f64> = (0..months).map(|month| lines.iter().map(|line| line[month]).sum()).collect();
    let worth = |row: &[f64]| row.iter().zip(factors).map(|(amount, factor)| amount * factor).sum::<f64>();
    let (present, present_moles) = (worth(&total), worth(&option.moles));
    if !present.is_finite() {
        return Err(format!("{}: the present value of its cost is no number", option.name));
    }
    let left =
        report.lines.iter().position(|name| name == line_name(LINES - 1)).map_or(0.0, |line| -worth(&lines[line]));
    Ok(OptionFigures {
        sums: lines.iter().map(|line| line.iter().sum()).collect(),
        sum: total.iter().sum(),
        years: lines.iter().map(|line| by_year(line)).collect(),
        total_years: by_year(&total),
        moles_years: by_year(&option.moles),
        present_lines: lines.iter().map(|line| worth(line)).collect(),
        present,
        equivalent_annual: equivalent_annual(present, rate, f64::from(report.horizon_years))
            .map_err(|fault| fault.to_string())?,
        present_moles,
        levelized: (present_moles > 0.0).then(|| present / present_moles),
        rank: 0,
        outlay: total.first().copied().unwrap_or(0.0),
        left,
        saved: None,
        lines,
        total,
    })
}

fn running(row: &[f64]) -> Vec<f64> {
    let step = |sum: &mut f64, amount: &f64| {
        *sum += amount;
        Some(*sum)
    };
    row.iter().scan(0.0, step).collect()
}

fn saved(
    report: &WorkbookReport,
    reference: &OptionFigures,
    own: &OptionFigures,
    (factors, rate): (&[f64], f64),
) -> Result<Saved, String> {
    let months: Vec<f64> = reference.total.iter().zip(&own.total).map(|(theirs, ours)| theirs - ours).collect();
    let present: Vec<f64> = months.iter().zip(factors).map(|(amount, factor)| amount * factor).collect();
    let pairs: Vec<(f64, f64)> = report.moments_yr.iter().copied().zip(months.iter().copied()).collect();
    let flow = Flows::dated(&pairs).map_err(|fault| fault.to_string())?;
    let investment = (own.outlay - own.left) - (reference.outlay - reference.left);
    let running_cost = |figures: &OptionFigures| figures.present - figures.outlay + figures.left;
    let savings = running_cost(reference) - running_cost(own);
    Ok(Saved {
        running: running(&months),
        running_present: running(&present),
        first: months.iter().copied().find(|amount| *amount != 0.0).unwrap_or(0.0),
        npv: present.iter().sum(),
        present,
        investment,
        savings,
        sir: savings_to_investment(savings, investment).ok(),
        irr: rates(&flow, &[]).rates,
        simple_yr: repaid(&flow, 0.0, &[], &report.dates).years,
        discounted_yr: repaid(&flow, rate, &[], &report.dates).years,
        months,
    })
}
