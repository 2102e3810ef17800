//! Tax and loan on top of mean flows.
//!
//! Belongs here: what tax and a loan make of the money of an option, in money of the day and back. Does not belong here:
//! the rules of tax and loans themselves (`finance`).
//!
//! A loan's payments are booked like other amounts of their month, a year's tax like other amounts of its last month.

use engine::Cause;
use finance::{Interest, Investment, Loan, Rebate, by_year as sums};
use plan::{InputId, Plan};

use super::basis::Basis;
use super::flows::{MeanFlow, WORTH};

/// Yearly shares of a depreciation that are written out.
const MOST_SHARES: usize = 12;

/// Adds tax and loan to the flows; whether there are any.
///
/// # Errors
/// A message when a rebate exceeds the outlay that tax looks at, or amounts leave the range of numbers.
pub(super) fn add(plan: &Plan, basis: &Basis, moments: &[f64], flows: &mut [MeanFlow]) -> Result<bool, String> {
    if plan.money.tax.is_none() && plan.money.loan.is_none() {
        return Ok(false);
    }
    let medians = plan.inputs.medians();
    let log = basis.inflation(plan, &medians).ln_1p();
    // from money as shown to money of the day
    let levels: Vec<f64> = moments.iter().map(|t| if basis.nominal { 1.0 } else { (log * t).exp() }).collect();
    for (flow, option) in flows.iter_mut().zip(&plan.options) {
        let (mut tax, mut loan) = of_option(plan, &medians, flow, &levels)
            .map_err(|fault| format!("money.tax and money.loan do not go with {}: {fault}", option.name))?;
        for line in [&mut tax, &mut loan] {
            line.iter_mut().zip(&levels).for_each(|(amount, level)| *amount /= level);
        }
        flow.taxed = Some((tax, loan));
    }
    Ok(true)
}

/// Tax and loan of an option in money of the day, the start first; paid above 0.
fn of_option(
    plan: &Plan,
    medians: &[f64],
    flow: &MeanFlow,
    levels: &[f64],
) -> Result<(Vec<f64>, Vec<f64>), finance::Fault> {
    let value = |id: InputId| medians[id.index()];
    let start = |cause: Cause| flow.lines[cause as usize][0];
    let (price, rebate) = (start(Cause::Capital) + start(Cause::Plant), -start(Cause::Credits));
    let worth = -flow.lines[WORTH].last().copied().unwrap_or(0.0) * levels.last().copied().unwrap_or(1.0);
    let months: Vec<f64> = (1..levels.len())
        .map(|month| -flow.lines[..WORTH].iter().map(|line| line[month]).sum::<f64>() * levels[month])
        .collect();
    let operation = sums(&months, 12);

    let (mut interest, mut principal) = (vec![0.0; months.len()], vec![0.0; months.len()]);
    let mut borrowed = 0.0;
    if let Some(loan) = plan.money.loan {
        borrowed = value(loan.share) * (price - rebate).max(0.0);
        let rate = value(loan.rate);
        let interest_of = if loan.is_effective { Interest::Effective(rate) } else { Interest::Nominal(rate) };
        let schedule =
            Loan { principal: borrowed, interest: interest_of, months: 12 * loan.years as usize }.schedule()?;
        interest.iter_mut().zip(&schedule.interest).for_each(|(all, part)| *all = *part);
        principal.iter_mut().zip(&schedule.principal).for_each(|(all, part)| *all = *part);
        // what is still owed at the horizon is paid back then
        if let (Some(last), Some(owed)) = (principal.last_mut(), schedule.owed.get(months.len().saturating_sub(1))) {
            *last += owed;
        }
    }
    let mut loan = vec![-borrowed];
    loan.extend(interest.iter().zip(&principal).map(|(interest, principal)| interest + principal));

    let mut tax = vec![0.0; levels.len()];
    if let Some(rules) = &plan.money.tax {
        let rebated = match (rebate > 0.0, rules.rebate_is_income) {
            (false, _) => None,
            (true, false) => Some(Rebate::LowersBasis(rebate)),
            (true, true) => Some(Rebate::Income(rebate)),
        };
        let (interest, principal) = (sums(&interest, 12), sums(&principal, 12));
        let investment = Investment {
            price,
            rebate: rebated,
            depreciation: &rules.depreciation,
            operation: &operation,
            borrowed,
            interest: &interest,
            principal: &principal,
            sale: (worth != 0.0).then_some(worth),
            tax: value(rules.rate),
        };
        let net = investment.after_tax()?.net();
        for (year, net) in net.iter().enumerate() {
            let sold = if year + 1 == operation.len() { worth } else { 0.0 };
            let before = operation[year] - interest[year] - principal[year] + sold;
            let month = (12 * (year + 1)).min(levels.len() - 1);
            tax[month] = before - net;
        }
    }
    Ok((tax, loan))
}

/// What is taken for tax and loan, in words.
pub(super) fn words(plan: &Plan, medians: &[f64]) -> Vec<String> {
    let percent = |id: InputId| {
        let percent = (medians[id.index()] * 1e6).round() / 1e4;
        format!("{percent} %")
    };
    let mut said = vec![];
    if let Some(tax) = &plan.money.tax {
        let shares = tax.depreciation.shares();
        let shown: Vec<String> = shares.iter().map(|share| format!("{}", (share * 1e6).round() / 1e4)).collect();
        // a long list says less than its length
        let spread = if shares.len() > MOST_SHARES {
            format!("in {} yearly shares", shares.len())
        } else {
            format!("{} % by year", shown.join(", "))
        };
        said.push(format!(
            "tax of {} at each year's end; the outlay at the start is depreciated in money of the day, {spread}; running \
             costs and interest are deducted in their year, losses are set against other income; a rebate {}",
            percent(tax.rate),
            if tax.rebate_is_income { "is income of the first year" } else { "lowers what is depreciated" }
        ));
        if tax.depreciation.shares().len() > plan.years as usize {
            said.push(
                "depreciation goes beyond the horizon; what is not yet depreciated then is written off only where the \
                 fixtures are worth something at the horizon, and stays on the books otherwise"
                    .into(),
            );
        }
    }
    if let Some(loan) = &plan.money.loan {
        said.push(format!(
            "a loan for {} of the outlay less rebates at {} a year{}, paid off in {} years by equal monthly amounts in money \
             of the day{}",
            percent(loan.share),
            percent(loan.rate),
            if loan.is_effective { " (effective)" } else { " (a twelfth each month)" },
            loan.years,
            if loan.years > plan.years { "; what is still owed at the horizon is paid back then" } else { "" }
        ));
    }
    if !said.is_empty() {
        said.push(
            "the discount rate is taken to be one after tax; the cost of a mole stays before tax and without a loan"
                .into(),
        );
    }
    said
}
