//! The tables of cash flows: every digit, money in the currency.
//!
//! Belongs here: which rows they have. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::cash_report::{Against, CashLine, CashOption, CashReport, Lives, Measured, Rates};
use decide::result::{Estimate, Spread};

use crate::table::{CASH_MEASURES, CASH_MONTHS, CASH_YEARS, POINTS, Rows, header};

/// [`CASH_MONTHS`] as text: one row per flow and line, one column per day of booking.
pub fn cash_months_csv(report: &CashReport) -> String {
    let mut rows = Rows::new(&wide(CASH_MONTHS, "{date}", report.dates.clone(), report));
    for (line, unit, values) in
        [("years from the start", "yr", &report.moments_yr), ("present value of 1", "1", &report.factors)]
    {
        for text in ["", "", line, unit] {
            rows.text(text);
        }
        values.iter().for_each(|value| rows.finite(Some(*value)));
        rows.absent();
        rows.absent();
        rows.end();
    }
    each_line(
        report,
        |names, line| row(&mut rows, names, line, &line.months, (Some(line.total), Some(line.present))),
        |_, _| {},
    );
    rows.finish()
}

/// [`CASH_YEARS`] as text: one row per flow and line, one column per year.
pub fn cash_years_csv(report: &CashReport) -> String {
    let years = (0..=report.horizon_years).map(|year| format!("year_{year}")).collect();
    let rows = std::cell::RefCell::new(Rows::new(&wide(CASH_YEARS, "{year}", years, report)));
    let of_line = |names: [&str; 3], line: &CashLine| {
        row(&mut rows.borrow_mut(), names, line, &line.years, (Some(line.total), Some(line.present)));
    };
    let after = |names: [&str; 3], flow: Flow| {
        let rows = &mut rows.borrow_mut();
        let present = flow.lines.iter().find(|line| line.name == "total").map(|line| line.present);
        let ends =
            CashLine { name: "total at year ends".into(), months: vec![], years: vec![], total: 0.0, present: 0.0 };
        row(rows, names, &ends, flow.at_year_ends, (Some(flow.at_year_ends.iter().sum()), present));
        for (point, of) in percentiles().into_iter().filter(|_| flow.budget.is_some()) {
            let Some(budget) = flow.budget else { continue };
            let line = CashLine { name: format!("cash, {point}"), ..ends.clone() };
            let values: Vec<f64> = budget.years.iter().map(|year| of(year).value).collect();
            row(rows, names, &line, &values, (Some(of(&budget.total).value), None));
        }
    };
    each_line(report, of_line, after);
    rows.into_inner().finish()
}

/// A point of a spread and its name.
type Percentile = (&'static str, fn(&Spread) -> Estimate);

/// Points of the budget.
fn percentiles() -> [Percentile; 4] {
    [
        ("10 % point", |spread| spread.p10),
        ("50 % point", |spread| spread.p50),
        ("80 % point", |spread| spread.p80),
        ("90 % point", |spread| spread.p90),
    ]
}

/// A flow of an option or of its savings.
struct Flow<'a> {
    lines: &'a [CashLine],
    at_year_ends: &'a [f64],
    budget: Option<&'a decide::cash_report::Budget>,
}

/// Hands every line of every flow over with its names, and every flow after its lines.
fn each_line(
    report: &CashReport,
    mut of_line: impl FnMut([&str; 3], &CashLine),
    mut after: impl FnMut([&str; 3], Flow),
) {
    let unit = format!("{} {}", report.basis, report.currency);
    let reference = report.options.get(report.reference).map_or("", |option| option.name.as_str());
    for option in &report.options {
        let own = Flow { lines: &option.lines, at_year_ends: &option.at_year_ends, budget: Some(&option.budget) };
        let against = option.against.as_ref();
        let saved = against.map(|a| Flow { lines: &a.lines, at_year_ends: &a.at_year_ends, budget: None });
        for (flow, against) in [(Some(own), ""), (saved, reference)] {
            let Some(flow) = flow else { continue };
            let names = [option.name.as_str(), against, unit.as_str()];
            flow.lines.iter().for_each(|line| of_line(names, line));
            after(names, flow);
        }
    }
}

/// One row of amounts.
fn row(
    rows: &mut Rows,
    [flow, against, unit]: [&str; 3],
    line: &CashLine,
    values: &[f64],
    sums: (Option<f64>, Option<f64>),
) {
    for text in [flow, against, &line.name, unit] {
        rows.text(text);
    }
    values.iter().for_each(|value| rows.finite(Some(*value)));
    rows.finite(sums.0);
    rows.finite(sums.1);
    rows.end();
}

/// The header of a table of which one column stands for many.
fn wide(file: &str, column: &str, columns: Vec<String>, report: &CashReport) -> Vec<String> {
    let names = header(file, &report.currency, &report.basis).into_iter();
    names.flat_map(|name| if name == column { columns.clone() } else { vec![name] }).collect()
}

/// [`CASH_MEASURES`] as text: one row per option.
pub fn cash_measures_csv(report: &CashReport) -> String {
    let mut rows = Rows::new(&header(CASH_MEASURES, &report.currency, &report.basis));
    let reference = report.options.get(report.reference).map_or("", |option| option.name.as_str());
    for option in &report.options {
        for text in [&option.name, reference, &report.contract, &report.prices_of] {
            rows.text(text);
        }
        rows.number(report.trials as f64);
        rows.text(match report.lives {
            Lives::Horizon => "horizon",
            Lives::Residual => "residual",
            Lives::Annual => "annual",
        });
        rows.finite(Some(report.discount_rate));
        spread(&mut rows, Some(&option.life_cycle_cost));
        let amounts = [option.outlay, option.running, option.left, option.equivalent_annual];
        for amount in amounts.into_iter().chain([option.light_mol, option.light_of_reference]) {
            rows.finite(Some(amount.value));
        }
        rows.finite(Some(option.light_of_service));
        against(&mut rows, option.against.as_ref());
        budget(&mut rows, option);
        let taxed = option.against.as_ref().and_then(|against| against.after_tax.as_ref());
        rows.finite(taxed.map(|taxed| taxed.npv));
        rows.finite(taxed.and_then(|taxed| only(&taxed.irr)));
        rows.end();
    }
    rows.finish()
}

fn against(rows: &mut Rows, against: Option<&Against>) {
    spread(rows, against.map(|against| &against.npv));
    rows.finite(against.map(|against| against.chance.value));
    spread(rows, against.map(|against| &against.npv_equal_light));
    rows.finite(against.map(|against| against.investment.value));
    rows.finite(against.map(|against| against.savings.value));
    let measured = |rows: &mut Rows, of: Option<&Measured>| {
        rows.finite(of.and_then(|of| of.value));
        rows.finite(of.and_then(|of| of.se));
    };
    measured(rows, against.map(|against| &against.sir));
    measured(rows, against.map(|against| &against.airr));
    rows.finite(against.map(|against| against.irr.rates.len() as f64));
    rows.finite(against.map(|against| against.irr.sign_changes as f64));
    rows.finite(against.and_then(|against| only(&against.irr)));
    rows.finite(against.and_then(|against| against.irr.se));
    measured(rows, against.map(|against| &against.mirr));
    for repaid in [against.map(|against| &against.simple_payback), against.map(|against| &against.discounted_payback)] {
        rows.finite(repaid.and_then(|repaid| repaid.years));
        rows.text(repaid.map_or("", |repaid| &repaid.date));
    }
    rows.text(against.map_or("", |against| &against.deepest.date));
    rows.finite(against.map(|against| against.deepest.mean.value));
}

fn budget(rows: &mut Rows, option: &CashOption) {
    let budget = &option.budget;
    spread(rows, Some(&budget.total));
    rows.finite(Some(budget.contingency.value));
    rows.finite(Some(budget.sum_of_p80));
    rows.text(&budget.worst_month.date);
    rows.finite(Some(budget.worst_month.mean.value));
    rows.finite(Some(budget.worst_month.p90.value));
}

fn only(rates: &Rates) -> Option<f64> {
    <[f64; 1]>::try_from(rates.rates.as_slice()).ok().map(|[rate]| rate)
}

fn spread(rows: &mut Rows, spread: Option<&Spread>) {
    let Some(spread) = spread else {
        POINTS.iter().for_each(|_| rows.absent());
        return;
    };
    let points = [spread.p5, spread.p10, spread.p50, spread.p80, spread.p90, spread.p95];
    for value in [spread.mean.value, spread.mean.se, spread.sd] {
        rows.finite(Some(value));
    }
    for point in points {
        rows.finite(Some(point.value));
        rows.finite(Some(point.se));
    }
}
