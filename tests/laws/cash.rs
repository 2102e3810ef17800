//! Cash flows: rows and columns add up to what a run finds, and money may be looked at from any side.

use std::sync::atomic::AtomicBool;

use decide::cash::{CashOrder, Shown, cash, pasted};
use decide::cash_report::{CashReport, Lives};
use engine::Settings;
use finance::Flows;
use plan::Plan;
use serde_json::{Value, json};

use super::everything;
use crate::support::{demo, option, patched, plan, run, with_options};

fn order() -> CashOrder {
    CashOrder { contract: 0, reference: 0, shown: Shown::AsWritten, inflation: None, lives: Lives::Horizon }
}

fn found(plan: &Plan, order: &CashOrder, trials: u64, seed: u64) -> CashReport {
    let settings = Settings { seed, trials, threads: 2, precision: None };
    cash(plan, order, &settings, "test", &AtomicBool::new(false), &mut |_| {}).unwrap_or_else(|why| panic!("{why}"))
}

#[track_caller]
fn assert_near(found: f64, expected: f64, tolerance: f64) {
    let far = (found - expected).abs() / expected.abs().max(1.0);
    assert!(far <= tolerance, "{found} against {expected}: {far:e}");
}

/// The amounts of a row by its name.
fn months<'a>(report: &'a CashReport, option: usize, line: &str) -> &'a [f64] {
    let lines = &report.options[option].lines;
    &lines.iter().find(|found| found.name == line).unwrap_or_else(|| panic!("{line}")).months
}

/// What is saved by day, with its moments.
fn saved(report: &CashReport, option: usize, line: &str) -> Flows {
    let against = report.options[option].against.as_ref().unwrap();
    let line = against.lines.iter().find(|found| found.name == line).unwrap();
    let rows: Vec<(f64, f64)> = report.moments_yr.iter().copied().zip(line.months.iter().copied()).collect();
    Flows::dated(&rows).unwrap()
}

/// A plain room with two options, of which the second costs more and draws less.
fn two() -> Value {
    let dear =
        json!({ "name": "dear", "wall_power": 600, "fixture": { "price": 1500, "installation": 100, "lasts": "x" } });
    let mut dear = patched(option("cheap"), dear);
    dear["fixture"]["lasts"] = json!({ "is": 15, "unit": "yr" });
    patched(with_options(vec![option("cheap"), dear]), json!({ "money": { "basis": "real", "discount_rate": 0.06 } }))
}

#[test]
fn months_add_up_to_years_and_to_what_a_run_finds() {
    for (scenario, trials) in [(demo(), 50), (everything::room(), 20)] {
        let plan = plan(&scenario);
        let outcome = run(&plan, trials, 5);
        for contract in 0..plan.contracts.len() {
            let report = found(&plan, &CashOrder { contract, ..order() }, trials, 5);
            assert_eq!(report.dates.len(), plan.months() + 1);
            for (o, option) in report.options.iter().enumerate() {
                let total = option.lines.last().unwrap();
                let causes = &option.lines[..option.lines.len() - 1];
                for month in 0..=plan.months() {
                    let sum: f64 = causes.iter().map(|line| line.months[month]).sum();
                    assert_near(sum, total.months[month], 1e-12);
                }
                for line in &option.lines {
                    assert_near(line.years.iter().sum(), line.total, 1e-12);
                    assert_near(line.months[1..13].iter().sum(), line.years[1], 1e-12);
                    assert_near(line.months.iter().sum(), line.total, 1e-12);
                }
                let of = |read: &dyn Fn(&engine::Cell) -> f64| {
                    (0..trials as usize).map(|t| read(outcome.cell(t, o, contract))).sum::<f64>() / trials as f64
                };
                assert_near(total.total, of(&|cell| cell.total), 1e-11);
                assert_near(option.life_cycle_cost.mean.value, of(&|cell| cell.present), 1e-11);
                assert_near(option.budget.total.mean.value, total.total, 1e-11);
                assert_near(option.cumulative.last().unwrap().mean, total.total, 1e-11);
                let parts = option.outlay.value + option.running.value - option.left.value;
                assert_near(parts, option.life_cycle_cost.mean.value, 1e-11);
            }
        }
    }
}

#[test]
fn an_option_against_itself_saves_nothing_at_all() {
    let mut scenario = demo();
    let mut copy = scenario["options"][1].clone();
    copy["name"] = json!("copy");
    scenario["options"] = json!([scenario["options"][1].clone(), copy]);
    let report = found(&plan(&scenario), &order(), 40, 3);
    let against = report.options[1].against.as_ref().unwrap();
    assert_eq!((against.npv.mean.value, against.npv.p90.value, against.npv_equal_light.mean.value), (0.0, 0.0, 0.0));
    assert_eq!((against.npv_of_mean_flow, against.chance.value), (0.0, 0.5));
    assert!(against.lines.iter().flat_map(|line| &line.months).all(|amount| *amount == 0.0));
    assert!(against.irr.rates.is_empty() && against.sir.value.is_none() && against.simple_payback.years.is_none());
}

#[test]
fn changing_sides_flips_every_sign_bit_for_bit() {
    let plan = plan(&demo());
    for (a, b) in [(0, 1), (0, 3), (2, 3)] {
        let [one, other] = [(a, b), (b, a)].map(|(reference, option)| {
            let report = found(&plan, &CashOrder { reference, ..order() }, 60, 2);
            report.options[option].against.clone().unwrap()
        });
        assert_eq!(one.npv.mean.value.to_bits(), (-other.npv.mean.value).to_bits());
        assert_eq!(one.npv_of_mean_flow.to_bits(), (-other.npv_of_mean_flow).to_bits());
        assert_eq!(one.investment.value, -other.investment.value);
        assert_near(one.chance.value, 1.0 - other.chance.value, 1e-15);
        for (one, other) in one.lines.iter().zip(&other.lines) {
            assert!(one.months.iter().zip(&other.months).all(|(one, other)| *one == -*other), "{}", one.name);
        }
    }
}

#[test]
fn real_and_nominal_money_are_worth_the_same() {
    let real = demo();
    let plan_of_real = plan(&real);
    let inflation = 0.025;
    let written = found(&plan_of_real, &order(), 30, 1);
    let shown =
        found(&plan_of_real, &CashOrder { shown: Shown::Nominal, inflation: Some(inflation), ..order() }, 30, 1);
    assert_eq!((written.basis.as_str(), shown.basis.as_str()), ("real", "nominal"));
    assert_near(shown.discount_rate, 1.08 * 1.025 - 1.0, 1e-14);
    for (written, shown) in written.options.iter().zip(&shown.options) {
        assert_eq!(written.life_cycle_cost, shown.life_cycle_cost);
        let (line, nominal) = (written.lines.last().unwrap(), shown.lines.last().unwrap());
        assert_near(line.present, nominal.present, 1e-12);
        assert_near(line.present, written.life_cycle_cost.mean.value, 1e-11);
        // five years on, the same amount takes more money of the day
        assert_near(nominal.months[60], line.months[60] * 1.025f64.powi(5), 1e-12);
    }
    for (written, shown) in written.options.iter().zip(&shown.options).skip(1) {
        let (written, shown) = (written.against.as_ref().unwrap(), shown.against.as_ref().unwrap());
        assert_near(shown.npv_of_mean_flow, written.npv_of_mean_flow, 1e-9);
        assert_near(shown.investment.value, written.investment.value, 1e-12);
        if let (&[real], &[nominal]) = (&written.irr.rates[..], &shown.irr.rates[..]) {
            assert_near(nominal, (1.0 + real) * 1.025 - 1.0, 1e-9);
        }
    }
    // and back: a nominal scenario shown as real
    let mut nominal = real;
    nominal["money"] = json!({ "basis": "nominal", "discount_rate": 0.107, "inflation": 0.025 });
    let plan = plan(&nominal);
    let report = found(&plan, &CashOrder { shown: Shown::Real, ..order() }, 30, 1);
    assert_near(report.discount_rate, 0.08, 1e-12);
    for option in &report.options {
        assert_near(option.lines.last().unwrap().present, option.life_cycle_cost.mean.value, 1e-11);
    }
}

#[test]
fn nothing_is_left_at_the_rate_that_is_reported() {
    let report = found(&plan(&demo()), &order(), 100, 7);
    let mut rates = 0;
    for o in 1..4 {
        let flow = saved(&report, o, "total");
        // 1 + rate has too few digits left where the rate is near −1
        for rate in report.options[o].against.as_ref().unwrap().irr.rates.iter().filter(|rate| **rate > -0.999) {
            let turned: f64 = flow.rows().iter().map(|(t, amount)| (amount * (1.0 + rate).powf(-t)).abs()).sum();
            assert!(flow.present_value(*rate).unwrap().abs() <= 1e-9 * turned, "option {o} at {rate}");
            rates += 1;
        }
    }
    assert!(rates >= 2, "{rates}");
}

#[test]
fn money_of_another_size_changes_amounts_and_no_ratio() {
    let scale = |k: f64| {
        let mut room = two();
        room["contracts"][0]["tariff"]["energy"][0]["price"] = json!(0.1 * k);
        room["options"][1]["fixture"]["price"] = json!(1500.0 * k);
        room["options"][1]["fixture"]["installation"] = json!(100.0 * k);
        found(&plan(&room), &order(), 2, 1).options[1].clone()
    };
    let (one, thousand) = (scale(1.0), scale(1000.0));
    let (a, b) = (one.against.as_ref().unwrap(), thousand.against.as_ref().unwrap());
    assert_near(b.npv.mean.value, 1000.0 * a.npv.mean.value, 1e-12);
    assert_near(thousand.equivalent_annual.value, 1000.0 * one.equivalent_annual.value, 1e-12);
    assert_near(b.sir.value.unwrap(), a.sir.value.unwrap(), 1e-12);
    assert_near(b.irr.rates[0], a.irr.rates[0], 1e-9);
    assert_eq!((a.simple_payback.years, &a.simple_payback.date), (b.simple_payback.years, &b.simple_payback.date));
}

#[test]
fn a_plain_case_is_what_a_pocket_calculator_says() {
    // 0.4 kW saved round the clock at 0.10 for ten years, 1 600 paid at the start, nothing else
    let report = found(&plan(&two()), &order(), 2, 1);
    let against = report.options[1].against.as_ref().unwrap();
    assert_near(against.investment.value, 1600.0, 1e-12);
    let flow = saved(&report, 1, "total");
    let energy: f64 =
        report.moments_yr.iter().zip(months(&report, 0, "energy")).map(|(t, e)| 0.4 * e / 1.06f64.powf(*t)).sum();
    assert_near(against.npv_of_mean_flow, energy - 1600.0, 1e-12);
    assert_near(against.sir.value.unwrap(), energy / 1600.0, 1e-12);
    assert_near(against.airr.value.unwrap(), 1.06 * (energy / 1600.0f64).powf(0.1) - 1.0, 1e-12);
    // 1 600 / (0.4 · 730 h · 0.10) = 54.8 months
    assert_near(against.simple_payback.years.unwrap(), 55.0 / 12.0, 1e-12);
    assert_eq!(against.simple_payback.date, "2035-07-31");
    assert_near(flow.rows()[0].1, -1600.0, 1e-12);
    let ends: f64 = against.at_year_ends.iter().enumerate().map(|(k, amount)| amount / 1.06f64.powi(k as i32)).sum();
    assert_near(ends, against.npv_of_mean_flow, 1e-11);
}

#[test]
fn what_outlasts_the_horizon_is_worth_its_rest_or_borne_by_the_year() {
    let plan = plan(&two());
    let of = |lives| found(&plan, &CashOrder { lives, ..order() }, 2, 1).options[1].clone();
    let (horizon, residual, annual) = (of(Lives::Horizon), of(Lives::Residual), of(Lives::Annual));
    let spv = 1.06f64.powi(-10);
    assert_eq!(horizon.left.value, 0.0);
    assert_near(residual.left.value, 1500.0 / 3.0 * spv, 1e-12);
    let saved = |option: &decide::cash_report::CashOption| option.against.as_ref().unwrap().npv.mean.value;
    assert_near(saved(&residual) - saved(&horizon), 500.0 * spv, 1e-9);
    // equal yearly amounts: the outlay over fifteen years, everything else over ten
    let ucr = |n: f64| 0.06 / (1.0 - 1.06f64.powf(-n));
    assert_near(annual.equivalent_annual.value, 1600.0 * ucr(15.0) + horizon.running.value * ucr(10.0), 1e-11);
    // what is only reckoned is no cash
    assert_eq!(residual.budget.total, horizon.budget.total);
    assert_eq!(annual.cumulative, horizon.cumulative);
}

#[test]
fn tax_and_loan_leave_what_they_should() {
    let with = |tax: Value, loan: Value, rate: f64| {
        let money =
            json!({ "money": { "basis": "nominal", "discount_rate": rate, "inflation": 0, "tax": tax, "loan": loan } });
        found(&plan(&patched(two(), money)), &order(), 2, 1)
    };
    let plain = with(json!(null), json!(null), 0.06);
    assert!(plain.after_tax_words.is_empty() && plain.options[1].against.as_ref().unwrap().after_tax.is_none());
    // no tax, and a loan at the discount rate: worth exactly nothing
    let loan = json!({ "share": 0.7, "rate": 0.06, "years": 4, "interest": "effective" });
    let neutral = with(json!(null), loan.clone(), 0.06);
    let npv = |report: &CashReport| report.options[1].against.as_ref().unwrap().npv_of_mean_flow;
    let after = |report: &CashReport| report.options[1].against.as_ref().unwrap().after_tax.as_ref().unwrap().npv;
    assert_near(after(&neutral), npv(&neutral), 1e-11);
    assert_near(npv(&neutral), npv(&plain), 1e-12);
    // a loan that outlives the horizon is paid back there
    let longer = with(json!(null), json!({ "share": 0.7, "rate": 0.06, "years": 25, "interest": "effective" }), 0.06);
    assert_near(after(&longer), npv(&plain), 1e-11);
    // written off at once and undiscounted, tax takes its share of everything
    let tax = json!({ "rate": 0.3, "depreciation": { "years": 1 } });
    let taxed = with(tax, json!(null), 0.0);
    assert_near(after(&taxed), 0.7 * npv(&taxed), 1e-11);
    // by hand: five years of depreciation, tax at year ends
    let tax = json!({ "rate": { "is": 25, "unit": "%" }, "depreciation": { "years": 5 } });
    let report = with(tax, json!(null), 0.06);
    let energy = months(&report, 0, "energy");
    let mut expected = npv(&report);
    for year in 1..=10 {
        let saved: f64 = energy[12 * year - 11..=12 * year].iter().map(|energy| 0.4 * energy).sum();
        let shield = if year <= 5 { 320.0 } else { 0.0 };
        expected -= 0.25 * (saved - shield) / 1.06f64.powi(year as i32);
    }
    assert_near(after(&report), expected, 1e-11);
    let option = &report.options[1];
    let line = |name: &str| option.lines.iter().find(|line| line.name == name).unwrap().total;
    assert_near(line("after tax"), line("total") + line("tax") + line("loan"), 1e-12);
}

#[test]
fn tax_in_a_real_scenario_is_worked_out_in_money_of_the_day() {
    let tax = json!({ "rate": 0.3, "depreciation": { "half_year": 5 } });
    let mut room = two();
    room["money"]["tax"] = tax.clone();
    let real = plan(&room);
    let settings = Settings { seed: 1, trials: 2, threads: 1, precision: None };
    let refused = cash(&real, &order(), &settings, "test", &AtomicBool::new(false), &mut |_| {}).unwrap_err();
    assert!(refused.starts_with("tax and loan need --inflation"), "{refused}");
    let [in_real, in_nominal] = [Shown::AsWritten, Shown::Nominal].map(|shown| {
        let report = found(&real, &CashOrder { shown, inflation: Some(0.03), ..order() }, 2, 1);
        report.options[1].against.as_ref().unwrap().after_tax.as_ref().unwrap().npv
    });
    assert_near(in_real, in_nominal, 1e-11);
    // depreciation melts away with inflation
    let report = found(&real, &CashOrder { inflation: Some(0.0), ..order() }, 2, 1);
    let still = report.options[1].against.as_ref().unwrap().after_tax.as_ref().unwrap().npv;
    assert!(in_real < still - 10.0, "{in_real} {still}");
}

#[test]
fn percentiles_of_years_are_no_percentiles_of_the_whole() {
    let report = found(&plan(&demo()), &order(), 300, 4);
    let long_life = &report.options[1].budget;
    assert!(long_life.sum_of_p80 > long_life.total.p80.value + 50.0);
    assert_near(long_life.contingency.value, long_life.total.p80.value - long_life.total.mean.value, 1e-12);
    assert_near(long_life.years.iter().map(|year| year.mean.value).sum(), long_life.total.mean.value, 1e-11);
}

#[test]
fn a_pasted_row_gives_the_same_as_the_room_it_came_from() {
    let report = found(&plan(&demo()), &order(), 100, 7);
    let against = report.options[3].against.as_ref().unwrap();
    let flow = saved(&report, 3, "total");
    let again = pasted(flow.rows(), 0.08, 0.08, "test").unwrap();
    assert_eq!(again.npv, against.npv_of_mean_flow);
    assert_eq!(again.irr.rates, against.irr.rates);
    assert_eq!(again.mirr.value, against.mirr.value);
    assert_eq!(again.simple_payback.years, against.simple_payback.years);
    for rate in [-1.0, -2.0, f64::NAN, f64::INFINITY] {
        assert!(pasted(flow.rows(), rate, 0.08, "test").unwrap_err().contains("above −100 %"));
        assert!(pasted(flow.rows(), 0.08, rate, "test").is_err());
    }
}
