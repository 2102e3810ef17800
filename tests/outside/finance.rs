//! Finance by rows: rates of return, payback, life-cycle measures, loans and tax against examples of others.
//!
//! Belongs here: `finance` against the files `finance_*.json`. Does not belong here: whole runs (`money`), laws that
//! hold by themselves (beside the code).

use finance::{
    Booking, Depreciation, Flows, Interest, InternalRates, Investment, LifeCycle, Loan, adjusted_rate, recovery_factor,
    single_factor, uniform_factor,
};
use serde_json::Value;

use super::{assert_close, cases, data, number};

/// Numbers of a list.
fn list(from: &Value) -> Vec<f64> {
    from.as_array().unwrap().iter().map(|value| value.as_f64().unwrap()).collect()
}

/// The row of a case: yearly amounts, the first at the start.
fn row(case: &Value) -> Flows {
    let amounts = list(&case["row"]);
    Flows::of_periods(amounts[0], &amounts[1..], Booking::End, 1.0).unwrap()
}

#[track_caller]
fn assert_within(found: f64, expected: f64, off: f64, what: &str) {
    assert!((found - expected).abs() <= off, "{what}: {found} against {expected}, allowed {off:.0e}");
}

#[test]
fn single_factors_are_those_of_the_handbook() {
    let file = data("discount_factors.json");
    for case in cases(&file) {
        let [rate, years] = ["rate", "years"].map(|key| number(case, key));
        assert_close(single_factor(rate, years), number(case, "single"), 1e-12, "single");
        assert_close(uniform_factor(rate, years), number(case, "uniform"), 1e-12, "uniform");
        assert_close(recovery_factor(rate, years), 1.0 / number(case, "uniform"), 1e-12, "recovery");
    }
    let file = data("escalated_factors.json");
    for case in cases(&file) {
        let [rate, rise, years] = ["rate", "rise", "years"].map(|key| number(case, key));
        assert_close(finance::escalated_factor(rate, rise, years), number(case, "factor"), 1e-12, "escalated");
    }
}

#[test]
fn every_internal_rate_is_found_and_the_printed_one_is_among_them() {
    let file = data("finance_rates.json");
    for case in cases(&file) {
        let found = row(case).internal_rates().unwrap();
        let rates: Vec<f64> = found.rates().iter().map(|rate| rate.rate).collect();
        let all = list(&case["all"]);
        assert_eq!(rates.len(), all.len(), "{case}: {rates:?}");
        for (rate, expected) in rates.iter().zip(&all) {
            assert_within(*rate, *expected, 1e-9, &case.to_string());
        }
        let [printed, unit] = ["printed", "unit"].map(|key| number(case, key));
        assert!(rates.iter().any(|rate| (rate - printed).abs() <= unit / 2.0), "{case}: {rates:?}");
        assert_eq!(matches!(found, InternalRates::One { .. }), all.len() == 1, "{case}");
    }
}

#[test]
fn modified_rates_and_present_values_are_those_of_another_library() {
    let file = data("finance_modified.json");
    for case in file["modified"].as_array().unwrap() {
        let found = row(case).modified_rate(number(case, "finance"), number(case, "reinvestment")).unwrap();
        assert_within(found, number(case, "rate"), 1e-12, &case.to_string());
    }
    for case in file["present"].as_array().unwrap() {
        let found = row(case).present_value(number(case, "rate")).unwrap();
        assert_within(found, number(case, "value"), number(case, "off"), &case.to_string());
    }
}

#[test]
fn two_systems_compare_as_the_handbook_compares_them() {
    let file = data("finance_life_cycle.json");
    let [rate, years, replaced] = ["rate", "years", "replaced"].map(|key| number(&file, key));
    let of = |name: &str| {
        let of = &file[name];
        let yearly = number(of, "energy") + number(of, "upkeep");
        let life = LifeCycle {
            first: number(of, "first"),
            replacement: number(of, "replacement") * single_factor(rate, replaced),
            residual: number(of, "residual") * single_factor(rate, years),
            operation: yearly * uniform_factor(rate, years),
        };
        assert_close(life.cost(), number(of, "cost"), 1e-10, name);
        let mut amounts = vec![-yearly; years as usize];
        amounts[replaced as usize - 1] -= number(of, "replacement");
        amounts[years as usize - 1] += number(of, "residual");
        (life, Flows::of_periods(-life.first, &amounts, Booking::End, 1.0).unwrap())
    };
    let ((base, base_row), (alternative, row)) = (of("base"), of("alternative"));
    assert_close(alternative.net_savings(&base), number(&file, "net_savings"), 1e-10, "net savings");
    let ratio = alternative.savings_to_investment(&base).unwrap();
    assert_close(ratio, number(&file, "savings_to_investment"), 1e-10, "savings-to-investment ratio");
    let adjusted = adjusted_rate(ratio, rate, years).unwrap();
    assert_close(adjusted, number(&file, "adjusted_rate"), 1e-9, "adjusted rate");

    let extra = row.less(&base_row).unwrap();
    assert_close(extra.present_value(rate).unwrap(), number(&file, "net_savings"), 1e-10, "worth of what is extra");
    let internal = extra.internal_rates().unwrap().only().unwrap();
    assert_close(internal, number(&file, "internal_rate"), 1e-9, "internal rate");
    let modified = extra.modified_rate(rate, rate).unwrap();
    assert_close(modified, number(&file, "modified_rate"), 1e-9, "modified rate");
    let payback = extra.payback(0.0).unwrap();
    assert_eq!(payback.first, payback.lasting);
    assert_close(payback.first.unwrap().interpolated, number(&file, "simple_payback"), 1e-12, "payback");
    assert_eq!(payback.first.unwrap().booked, 2.0);
}

#[test]
fn payback_is_that_of_textbooks() {
    let file = data("finance_payback.json");
    for case in cases(&file) {
        let first = row(case).payback(number(case, "rate")).unwrap().first.unwrap();
        assert_within(first.interpolated, number(case, "years"), 0.0051, &case.to_string());
        assert_eq!(first.booked, first.interpolated.ceil());
    }
}

#[test]
fn equivalent_annual_amounts_are_those_of_textbooks_also_when_repeated() {
    let file = data("finance_annual.json");
    for case in cases(&file) {
        let chain = row(case).repeated(number(case, "times") as usize).unwrap();
        let found = chain.equivalent_annual(number(case, "rate")).unwrap();
        assert_close(found, number(case, "annual"), 5e-4, &case.to_string());
    }
}

#[test]
fn loans_are_paid_as_published_schedules_say() {
    let file = data("finance_loans.json");
    for case in cases(&file) {
        let months = number(case, "months") as usize;
        let interest = Interest::Nominal(number(case, "rate"));
        let schedule = Loan { principal: number(case, "principal"), interest, months }.schedule().unwrap();
        assert_within(schedule.payment, number(case, "payment"), 0.0051, "payment");
        if let Some(total) = case["total"].as_f64() {
            assert_within(schedule.interest.iter().sum(), total, 0.0051, "total interest");
        }
        for printed in case["rows"].as_array().unwrap() {
            let printed = list(printed);
            let month = printed[0] as usize - 1;
            assert_within(schedule.interest[month], printed[1], 0.0051, &format!("interest, month {}", printed[0]));
            assert_within(schedule.principal[month], printed[2], 0.0051, &format!("principal, month {}", printed[0]));
            assert_within(schedule.owed[month], printed[3], 0.0051, &format!("owed, month {}", printed[0]));
        }
    }
}

#[test]
fn a_machine_after_tax_is_worth_what_a_textbook_says() {
    let file = data("finance_after_tax.json");
    let [price, saved, tax, rate, years] = ["price", "saved", "tax", "rate", "years"].map(|key| number(&file, key));
    let operation = vec![saved; years as usize];
    let of = |depreciation: &Depreciation, sale: Option<f64>| {
        let machine = Investment {
            price,
            rebate: None,
            depreciation,
            operation: &operation,
            borrowed: 0.0,
            interest: &[],
            principal: &[],
            sale,
            tax,
        };
        machine.after_tax().unwrap()
    };
    let worth = |lines: &finance::AfterTax| lines.flows().unwrap().present_value(rate).unwrap();
    let equal = Depreciation::straight_line(years as usize).unwrap();
    let plain = of(&equal, None);
    assert_within(plain.net()[0], number(&file, "yearly_equal"), 1e-9, "yearly amount");
    assert_within(worth(&plain), number(&file, "worth_equal"), 0.6, "equal shares");
    let sold = of(&equal, Some(number(&file, "sale")));
    assert_within(*sold.sale.last().unwrap(), number(&file, "sale_after_tax"), 1e-9, "sale");
    assert_within(worth(&sold), number(&file, "worth_sold"), 0.6, "sold at the end");
    let shares: Vec<f64> = list(&file["shares_of_15"]).iter().map(|share| share / 15.0).collect();
    let falling = of(&Depreciation::table(&shares).unwrap(), None);
    assert_within(falling.net()[0], number(&file, "first_falling"), 0.05, "first year");
    assert_within(falling.net()[1], number(&file, "second_falling"), 0.05, "second year");
    assert_within(worth(&falling), number(&file, "worth_falling"), 0.6, "falling shares");
}

#[test]
fn published_shares_of_depreciation_are_accepted_and_add_up() {
    let file = data("finance_tax_table.json");
    for (name, years) in [("five_years", 5.0), ("seven_years", 7.0)] {
        let shares = list(&file[name]);
        let table = Depreciation::table(&shares).unwrap();
        assert_within(table.amounts(10_000.0).iter().sum(), 10_000.0, 1e-9, name);
        // the table by another way: twice the equal share of what is left, until equal shares of the rest are more
        let (mut rest, mut remaining) = (1.0, years);
        for (year, share) in shares.iter().enumerate() {
            let part: f64 = if year == 0 { 0.5 } else { 1.0 };
            let taken = f64::max(part * rest * 2.0 / years, part.min(remaining) * rest / remaining);
            assert_within(*share, taken, 6e-5, &format!("{name}, year {}", year + 1));
            rest -= taken;
            remaining -= part;
        }
        // a table with a share that is off by the last digit is refused
        let mut off = shares.clone();
        off[0] += 0.0001;
        assert!(Depreciation::table(&off).is_err());
    }
}
