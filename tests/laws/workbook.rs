//! The workbook: quantities times prices are the cost as priced, wherever prices are moved; and where they are not, it is said.

use std::sync::atomic::AtomicBool;

use decide::bill::{BillOrder, bills};
use decide::cash::{CashOrder, Shown, cash};
use decide::cash_report::Lives;
use decide::workbook::{WorkbookOrder, WorkbookOrigin, repriced, workbook};
use decide::workbook_report::{LineKind, WorkbookReport};
use engine::Settings;
use plan::Plan;
use scenario::{Page, gather};
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{Folder, demo, option, patched, plan, tidefall, with_options};

fn found(plan: &Plan, contract: usize, trials: u64) -> WorkbookReport {
    let settings = Settings { seed: 3, trials, threads: 2, precision: None };
    let origin = WorkbookOrigin { program: "test".into(), input_digest: "none".into(), what_ifs: vec![] };
    let order = WorkbookOrder { contract, reference: 0 };
    workbook(plan, &order, &settings, origin, &AtomicBool::new(false), &mut |_| {}).unwrap()
}

/// Invented room behind a meter with seasons, blocks, a ratchet, a minimum, percentages and rounded lines.
fn behind_the_meter() -> Value {
    let text = std::fs::read_to_string(tidefall().join("main-meter.json")).unwrap();
    gather(Page { name: "main-meter.json".into(), text }, &Folder(tidefall()), &[]).unwrap().value
}

/// A copy with every live price moved and another discount rate, and the values that it then has.
fn moved(scenario: &Value, report: &WorkbookReport, share: f64) -> (Value, Vec<f64>) {
    let mut scenario = scenario.clone();
    let mut prices = vec![];
    for (k, price) in report.prices.iter().enumerate() {
        let to =
            price.input.p50 * (1.0 + share * (k as f64 + 1.0).sin()) + if price.input.p50 == 0.0 { 7.0 } else { 0.0 };
        let at = scenario.pointer_mut(&price.input.pointer).unwrap_or_else(|| panic!("{}", price.input.pointer));
        match at.get_mut("is") {
            Some(is) => *is = to.into(),
            None => *at = to.into(),
        }
        prices.push(to);
    }
    scenario["money"]["discount_rate"] = json!({ "is": 5.5, "unit": "%/yr" });
    (scenario, prices)
}

/// Holds the figures of one workbook at moved prices against another that was written with them.
#[track_caller]
fn assert_same_figures(report: &WorkbookReport, prices: &[f64], written: &WorkbookReport, off: f64) {
    let figures = repriced(report, prices, 0.055).unwrap();
    for ((ours, theirs), option) in figures.options.iter().zip(&written.figures.options).zip(&written.options) {
        let scale = theirs.sum.abs();
        assert!(
            (ours.sum - option.priced).abs() <= off * scale,
            "{}: {} against {}",
            option.name,
            ours.sum,
            option.priced
        );
        for (ours, theirs) in ours.total.iter().zip(&theirs.total) {
            assert!((ours - theirs).abs() <= off * scale, "{}: {ours} against {theirs}", option.name);
        }
        assert_close(ours.present, theirs.present, off, "present value");
        assert_close(ours.levelized.unwrap(), theirs.levelized.unwrap(), off, "cost per mole");
        let (Some(ours), Some(theirs)) = (&ours.saved, &theirs.saved) else { continue };
        assert!((ours.npv - theirs.npv).abs() <= off * scale);
    }
}

#[test]
fn quantities_at_other_prices_are_what_the_engine_prices_there() {
    let scenario = demo();
    let report = found(&plan(&scenario), 1, 40);
    assert!(report.options.iter().all(|option| option.quantities.iter().all(|bought| bought.price.is_some())));
    assert!(report.prices.iter().all(|price| price.held.is_none()));
    // 5 prices of the contract; fixture and installation of 4 options; 4 prices of lamps for 2, 2 of gear for 2
    assert_eq!(report.prices.len(), 5 + 8 + 8 + 4);
    let (scenario, prices) = moved(&scenario, &report, 0.6);
    let written = found(&plan(&scenario), 1, 40);
    assert_same_figures(&report, &prices, &written, 1e-9);
}

#[test]
fn rounding_stays_by_value_and_a_minimum_narrows_the_range() {
    let scenario = behind_the_meter();
    let report = found(&plan(&scenario), 0, 12);
    let months = report.dates.len() as f64;
    for option in &report.options {
        let rest: Vec<&Vec<f64>> =
            option.quantities.iter().filter(|bought| bought.price.is_none()).map(|bought| &bought.months).collect();
        assert!(!rest.is_empty(), "{}: lines are rounded, so something is left", option.name);
        // half a cent for each of at most fourteen lines, with the lights and without, and percentages on them
        assert!(rest.iter().all(|months| months.iter().all(|amount| amount.abs() <= 0.16)), "{rest:?}");
    }
    assert!(report.not_live.iter().any(|sentence| sentence.contains("rounded to 0.01")));
    assert!(report.not_live.iter().any(|sentence| sentence.contains("minimum bill")));
    let of_contract = |price: &&decide::workbook_report::LiveInput| price.input.pointer.starts_with("/contracts/0/");
    assert!(report.prices.iter().filter(of_contract).count() >= 8);
    for price in report.prices.iter().filter(of_contract) {
        let (low, high) = price.held.unwrap();
        assert!(low < price.input.p50 && price.input.p50 < high, "{}", price.input.place);
    }
    let (scenario, prices) = moved(&scenario, &report, 0.04);
    let written = found(&plan(&scenario), 0, 12);
    let figures = repriced(&report, &prices, 0.055).unwrap();
    for (ours, option) in figures.options.iter().zip(&written.options) {
        assert!((ours.sum - option.priced).abs() <= 0.16 * months, "{} against {}", ours.sum, option.priced);
    }
}

/// A lamp of 1 kW that burns round the clock for ten years at 0.10 a kWh, and one of 0.6 kW that costs 1 600.
fn two() -> Value {
    let frugal =
        patched(option("frugal"), json!({ "wall_power": 600, "fixture": { "price": 1500, "installation": 100 } }));
    let money = json!({ "basis": "real", "discount_rate": 0.05, "booked": "end_of_month" });
    patched(with_options(vec![option("plain"), frugal]), json!({ "money": money, "horizon_years": 5 }))
}

#[test]
fn measures_of_a_plain_room_are_those_worked_by_hand() {
    let report = found(&plan(&two()), 0, 2);
    // days of the months of 2031 to 2035
    let days = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let hours = |k: usize| 24.0 * f64::from(days[k % 12] + i32::from(k / 12 == 1 && k % 12 == 1));
    let worth = |rate: f64| -> f64 {
        (0..60).map(|k| 0.4 * 0.10 * hours(k) * (1.0f64 + rate).powf(-((k + 1) as f64) / 12.0)).sum()
    };
    let figures = &report.figures.options;
    let saved = figures[1].saved.as_ref().unwrap();
    assert_close(figures[0].present, worth(0.05) / 0.4, 1e-12, "present value");
    assert_close(saved.npv, worth(0.05) - 1600.0, 1e-10, "net present value");
    assert_close(saved.sir.unwrap(), worth(0.05) / 1600.0, 1e-12, "ratio");
    let [rate] = saved.irr[..] else { panic!("{:?}", saved.irr) };
    assert!((worth(rate) - 1600.0).abs() < 1e-6, "{rate}");
    let yearly = figures[0].present * 0.05 / (1.0 - 1.05f64.powi(-5));
    assert_close(figures[0].equivalent_annual, yearly, 1e-12, "equal amounts");
    let mut sum = -1600.0;
    let back = (0..60).position(|k| {
        sum += 0.4 * 0.10 * hours(k);
        sum >= 0.0
    });
    assert_close(saved.simple_yr.unwrap(), (back.unwrap() + 1) as f64 / 12.0, 1e-12, "payback");
    // 1 600 is more than is saved at this rate
    assert_eq!((report.figures.cheapest, figures[0].rank, figures[1].rank), (0, 1, 2));
    // 1 000 µmol/s for an hour are 3.6 mol
    let moles: f64 = (0..60).map(|k| 3.6 * hours(k) * 1.05f64.powf(-((k + 1) as f64) / 12.0)).sum();
    assert_close(figures[0].levelized.unwrap(), figures[0].present / moles, 1e-12, "cost per mole");
}

#[test]
fn without_uncertainty_it_says_what_cash_says() {
    let certain = json!({ "is": 17_000, "unit": "h" });
    let mut scenario = demo();
    scenario["options"][1]["lamp"]["life"]["b50"] = certain;
    scenario["options"][3]["gear"]["failures_per_year"] = json!({ "is": 6, "unit": "%/yr" });
    let plan = plan(&scenario);
    let report = found(&plan, 2, 60);
    let order =
        CashOrder { contract: 2, reference: 0, shown: Shown::AsWritten, inflation: None, lives: Lives::Horizon };
    let settings = Settings { seed: 3, trials: 60, threads: 2, precision: None };
    let booked = cash(&plan, &order, &settings, "test", &AtomicBool::new(false), &mut |_| {}).unwrap();
    assert_eq!(report.dates, booked.dates);
    for (ours, theirs) in report.figures.options.iter().zip(&booked.options) {
        assert_close(ours.present, theirs.life_cycle_cost.mean.value, 1e-9, "life-cycle cost");
        assert_close(ours.equivalent_annual, theirs.equivalent_annual.value, 1e-9, "equal amounts");
        assert_close(ours.present_moles, theirs.light_mol.value, 1e-9, "light");
        let total = theirs.lines.iter().find(|line| line.name == "total").unwrap();
        for (ours, theirs) in ours.total.iter().zip(&total.months) {
            assert!((ours - theirs).abs() <= 1e-7, "{ours} against {theirs}");
        }
        let (Some(ours), Some(theirs)) = (&ours.saved, &theirs.against) else { continue };
        assert!((ours.npv - theirs.npv_of_mean_flow).abs() <= 1e-6);
        assert_eq!(ours.sir.is_some(), theirs.sir.value.is_some());
        if let (Some(ours), Some(theirs)) = (ours.sir, theirs.sir.value) {
            assert_close(ours, theirs, 1e-8, "ratio");
        }
        assert_eq!(ours.irr.len(), theirs.irr.rates.len());
        for (ours, theirs) in ours.irr.iter().zip(&theirs.irr.rates) {
            assert_close(*ours, *theirs, 1e-6, "rate of return");
        }
        assert_eq!(
            (ours.simple_yr, ours.discounted_yr),
            (theirs.simple_payback.years, theirs.discounted_payback.years)
        );
    }
}

#[test]
fn its_bills_are_those_of_bill() {
    for (scenario, contract) in [(demo(), 2), (behind_the_meter(), 0)] {
        let plan = plan(&scenario);
        let report = found(&plan, contract, 2);
        for (o, option) in report.options.iter().enumerate() {
            let billed = bills(&plan, &BillOrder { option: o, months: 12, rooms: vec![] }, "test").unwrap();
            let sheet = &billed.sheets[contract];
            assert_eq!(option.bill.periods.len(), sheet.bills.len());
            for (ours, theirs) in option.bill.totals.iter().zip(&sheet.bills) {
                let theirs = [theirs.total.with, theirs.total.without, theirs.total.difference];
                for (ours, theirs) in ours.iter().zip(theirs) {
                    assert!((ours - theirs).abs() < 1e-6, "{}: {ours} against {theirs}", option.name);
                }
            }
            // every line is as its formula says
            for line in &option.bill.lines {
                for side in [&line.with, &line.without] {
                    for (bill, &(quantity, amount)) in side.iter().enumerate() {
                        let above = |lines: &[usize]| -> f64 {
                            let pick = |k: &usize| {
                                let other = &option.bill.lines[*k];
                                if std::ptr::eq(side, &line.with) { other.with[bill].1 } else { other.without[bill].1 }
                            };
                            lines.iter().map(pick).sum()
                        };
                        let says = match &line.kind {
                            LineKind::Price(price) => quantity * report.prices[*price].input.p50,
                            LineKind::Share(share, of) => share * above(of),
                            LineKind::Minimum(price, of) => {
                                (quantity * report.prices[*price].input.p50 - above(of)).max(0.0)
                            }
                            LineKind::ByValue => amount,
                        };
                        assert!(
                            (says - amount).abs() <= 0.005 + 1e-9,
                            "{}, bill {bill}: {says} for {amount}",
                            line.name
                        );
                    }
                }
            }
            let live = option.bill.lines.iter().filter(|line| line.kind != LineKind::ByValue).count();
            assert!(live * 4 >= option.bill.lines.len() * 3, "{:?}", option.bill.lines);
        }
    }
}

/// The plain room with a bill of at least so much a month; its own bills come to 67.20 (or 69.60) to 74.40.
fn with_minimum(least: f64) -> WorkbookReport {
    let tariff = json!({
        "energy": [{ "price": 0.10 }],
        "minimum_bill": { "price": least, "each": "month" }
    });
    found(&plan(&patched(two(), json!({ "contracts": [{ "name": "least", "tariff": tariff }] }))), 0, 2)
}

#[test]
fn a_minimum_that_decides_some_months_makes_electricity_a_value() {
    let of_contract = |report: &WorkbookReport| {
        report.prices.iter().filter(|price| price.input.pointer.starts_with("/contracts/")).count()
    };
    let bound = with_minimum(73.0);
    assert_eq!(of_contract(&bound), 0);
    assert!(bound.not_live.iter().any(|sentence| sentence.contains("no straight line")), "{:?}", bound.not_live);
    assert!(bound.options.iter().all(|option| option.off.abs() < 1e-9));
    // what decides nothing within half and twice the prices leaves them live; 18.60 is half of 0.6 kW's February bill
    let free = with_minimum(9.0);
    assert_eq!(of_contract(&free), 2);
    let held = free.prices.iter().find_map(|price| price.held).unwrap();
    assert_eq!(held, (0.05, 0.2));
    // one that decides every month even at twice the prices: energy moves from one line to another, and the sum stays
    let lifted = with_minimum(1000.0);
    assert_eq!(of_contract(&lifted), 2);
    let dearer: Vec<f64> = lifted
        .prices
        .iter()
        .map(|price| price.input.p50 * if price.input.pointer.ends_with("/energy/0/price") { 1.9 } else { 1.0 })
        .collect();
    let figures = repriced(&lifted, &dearer, 0.05).unwrap();
    for (dearer, written) in figures.options.iter().zip(&lifted.figures.options) {
        assert_close(dearer.present, written.present, 1e-9, "a bill that the minimum decides");
        assert!(dearer.present_lines != written.present_lines);
    }
}
