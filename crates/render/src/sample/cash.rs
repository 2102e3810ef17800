//! Cash flows made up for tests: one like a real study, and several that are meant to break a layout.
//!
//! Belongs here: builders of `CashReport`. Does not belong here: assertions.

use decide::cash_report::*;
use decide::result::{Ended, Estimate, Spread};

fn estimate(value: f64, se: f64) -> Estimate {
    Estimate { value, se }
}

fn spread(mean: f64, sd: f64) -> Spread {
    let at = |z: f64| estimate(mean + z * sd, sd / 30.0);
    Spread {
        mean: estimate(mean, sd / 45.0),
        sd,
        p5: at(-1.6),
        p10: at(-1.28),
        p50: at(0.0),
        p80: at(0.84),
        p90: at(1.28),
        p95: at(1.6),
    }
}

/// Rows of an outlay and so many monthly amounts as there are factors.
fn lines(outlay: f64, energy: f64, lamps: f64, factors: &[f64]) -> Vec<CashLine> {
    let line = |name: &str, months: Vec<f64>| CashLine {
        name: name.into(),
        years: std::iter::once(months[0]).chain(months[1..].chunks(12).map(|year| year.iter().sum())).collect(),
        total: months.iter().sum(),
        present: months.iter().zip(factors).map(|(amount, factor)| amount * factor).sum(),
        months,
    };
    let of = |first: f64, each: &dyn Fn(usize) -> f64| -> Vec<f64> {
        (0..factors.len()).map(|k| if k == 0 { first } else { each(k) }).collect()
    };
    let (capital, energy) = (of(outlay, &|_| 0.0), of(0.0, &|_| energy));
    let lamps = of(0.0, &|k| if k % 17 == 16 { lamps } else { 0.0 });
    let total = (0..factors.len()).map(|k| capital[k] + energy[k] + lamps[k]).collect();
    vec![line("capital", capital), line("lamps", lamps), line("energy", energy), line("total", total)]
}

fn rates(rates: &[f64], note: &str) -> Rates {
    let se = (rates.len() == 1).then_some(0.004);
    Rates { rates: rates.to_vec(), se, sign_changes: 2 * rates.len(), begins_with_income: false, note: note.into() }
}

fn against(k: f64, lines: Vec<CashLine>) -> Against {
    let number = |value: f64| Measured { value: Some(value), se: Some(0.02), note: String::new() };
    let none = Measured { note: "nothing is saved in running costs".into(), ..Measured::default() };
    let never = Repaid { note: "never within the horizon".into(), ..Repaid::default() };
    Against {
        at_year_ends: lines[3].years.clone(),
        lines,
        npv: spread(8_000.0 - 5_000.0 * k, 1_900.0),
        chance: estimate((0.93 - 0.2 * k).max(0.0), 0.006),
        npv_of_mean_flow: 8_000.0 - 5_000.0 * k,
        npv_equal_light: spread(5_500.0 - 5_000.0 * k, 2_100.0),
        investment: estimate(21_000.0, 0.0),
        savings: estimate(29_000.0 - 5_000.0 * k, 42.0),
        sir: number(1.4 - 0.2 * k),
        airr: if k > 1.5 { none } else { number(0.14) },
        irr: match k as usize {
            1 => rates(&[0.23], ""),
            2 => rates(&[-0.04, 0.31], "several rates balance the flow and none is better than the others"),
            _ => rates(&[], "money is only paid: there is no change of sign, so no rate"),
        },
        mirr: number(0.12),
        simple_payback: Repaid { years: Some(3.1666), se: Some(0.1), date: "2034-04-30".into(), note: String::new() },
        discounted_payback: never,
        deepest: Month { date: "2031-03-01".into(), mean: estimate(-21_000.0, 0.0), p90: estimate(-21_500.0, 12.0) },
        after_tax: None,
    }
}

fn option(o: usize, factors: &[f64]) -> CashOption {
    let names = ["A cheap arc", "B long-life arc", "C bar LED", "D panel LED"];
    let k = o as f64;
    let outlay = 9_000.0 + 7_000.0 * k;
    let lines = lines(outlay, 900.0 - 120.0 * k, 2_400.0 - 500.0 * k, factors);
    let wide = 60.0 + 25.0 * k;
    let sd = wide * (factors.len() as f64).sqrt();
    let mut sum = 0.0;
    let band = |(month, amount): (usize, &f64)| {
        sum += amount;
        let sd = wide * (month as f64).sqrt();
        Stretch { mean: sum, p10: sum - sd, p90: sum + 1.2 * sd }
    };
    let cumulative = lines[3].months.iter().enumerate().map(band).collect();
    let of_year = |(year, sum): (usize, &f64)| spread(*sum, if year == 0 { 0.0 } else { sd / 2.0 });
    CashOption {
        name: if o < 4 { names[o].into() } else { format!("{} {}", names[o % 4], o / 4 + 1) },
        light_basis: "into 2.25 m² at 0.90 m".into(),
        at_year_ends: lines[3].years.clone(),
        cumulative,
        outlay: estimate(outlay, 0.0),
        left: estimate(0.0, 0.0),
        running: estimate(lines[3].present - outlay, sd / 45.0),
        life_cycle_cost: spread(lines[3].present, sd),
        equivalent_annual: estimate(lines[3].present / 3.993, sd / 180.0),
        light_mol: estimate(1_830_000.0 + 90_000.0 * k, 700.0),
        light_of_reference: estimate(1.0 + 0.05 * k, if o == 0 { 0.0 } else { 0.0004 }),
        light_of_service: 0.97 + 0.05 * k,
        budget: Budget {
            years: lines[3].years.iter().enumerate().map(of_year).collect(),
            total: spread(lines[3].total, sd),
            contingency: estimate(0.84 * sd, sd / 30.0),
            sum_of_p80: lines[3].total + 0.84 * 2.5 * sd,
            worst_month: Month {
                date: "2032-07-31".into(),
                mean: estimate(3_300.0, 4.0),
                p90: estimate(4_100.0, 30.0),
            },
        },
        against: (o > 0).then(|| against(k, lines.clone())),
        lines,
    }
}

/// So many options over so many years.
pub(crate) fn study(options: usize, years: u32) -> CashReport {
    let months = 12 * years as usize;
    let moments: Vec<f64> = (0..=months).map(|k| k as f64 / 12.0).collect();
    let factors: Vec<f64> = moments.iter().map(|t| 1.08f64.powf(-t)).collect();
    let date = |k: usize| match k {
        0 => "2031-03-01".to_owned(),
        k => format!("{}-{:02}-28", 2031 + (k + 1) / 12, (k + 1) % 12 + 1),
    };
    CashReport {
        format: CASH_FORMAT.into(),
        program: "0.1.0".into(),
        title: "Study of two bays".into(),
        currency: "USD".into(),
        basis: "real".into(),
        basis_as_written: "real".into(),
        discount_rate: 0.08,
        discount_rate_as_written: 0.08,
        inflation: None,
        prices_of: "2031-03".into(),
        start: "2031-03-01".into(),
        horizon_years: years,
        booked: "end of month".into(),
        annuity: (3.9927, 4.1372),
        contract: "flat day rate".into(),
        reference: 0,
        lives: Lives::Horizon,
        service_mol: 1_900_000.0,
        service: "600 µmol/m²/s held over 40 m² for 5 years".into(),
        seed: 1,
        trials: 2000,
        ended: Ended::Trials,
        dates: (0..=months).map(date).collect(),
        moments_yr: moments,
        options: (0..options).map(|o| option(o, &factors)).collect(),
        factors,
        after_tax_words: vec![],
        cautions: vec!["The discount rate is assumed.".into()],
        remarks: vec!["Mercury is not priced.".into()],
    }
}

/// Four options over five years.
pub(crate) fn realistic() -> CashReport {
    study(4, 5)
}

/// Nominal money, tax, a worth at the end, and stopped early.
pub(crate) fn taxed() -> CashReport {
    let mut report = study(3, 7);
    (report.basis, report.inflation, report.ended) = ("nominal".into(), Some(0.02), Ended::Interrupted);
    report.lives = Lives::Annual;
    report.after_tax_words = vec!["tax of 30 % at each year's end".into(), "a loan for half of the outlay".into()];
    for option in &mut report.options {
        option.left = estimate(1_800.0, 3.0);
        let total = option.lines[3].clone();
        option.lines.extend(["tax", "loan", "after tax"].map(|name| CashLine { name: name.into(), ..total.clone() }));
        if let Some(against) = &mut option.against {
            against.after_tax = Some(AfterTaxed { npv: 2_345.0, irr: rates(&[0.19], "") });
        }
    }
    report
}

/// Fourteen options with names that never end.
pub(crate) fn long() -> CashReport {
    let mut report = study(14, 5);
    let endless = |text: &str| format!("{text} with a reflector of hammered aluminium and no end ").repeat(3);
    report.options.iter_mut().for_each(|option| option.name = endless(&option.name));
    (report.title, report.contract, report.service) = (endless("study"), endless("contract"), endless("photons"));
    report.lives = Lives::Residual;
    report
}

/// Text that would break a terminal, a table or a picture.
pub(crate) fn hostile() -> CashReport {
    let mut report = realistic();
    let bad = "\u{1b}[31m\u{202e}<b>&\"'\u{0}\r\n=1+1\u{85}\u{7}";
    report.options.iter_mut().for_each(|option| option.name = format!("{bad}{}", option.name));
    (report.title, report.contract, report.start) = (bad.into(), bad.into(), bad.into());
    (report.currency, report.basis, report.booked) = ("<&>".into(), bad.into(), bad.into());
    (report.cautions, report.remarks, report.dates[3]) = (vec![bad.into()], vec![bad.into()], bad.into());
    report
}

/// Numbers that are none, or too large for any scale.
pub(crate) fn wild() -> CashReport {
    let mut report = realistic();
    let wild = [f64::NAN, f64::INFINITY, f64::MAX, -f64::MAX, 0.0, 1e-300];
    for (k, option) in report.options.iter_mut().enumerate() {
        let bad = wild[k % wild.len()];
        option.cumulative.iter_mut().step_by(7).for_each(|at| at.mean = bad);
        option.life_cycle_cost.mean = estimate(bad, bad);
        option.budget.years[2].p80 = estimate(bad, f64::NAN);
        option.budget.sum_of_p80 = bad;
        if let Some(against) = &mut option.against {
            against.sir = Measured { value: Some(bad), se: None, note: String::new() };
            against.irr.rates = vec![bad];
            against.npv.p10 = estimate(f64::NAN, bad);
        }
    }
    (report.discount_rate, report.annuity, report.service_mol) = (f64::NAN, (f64::INFINITY, f64::NAN), -1.0);
    report
}

/// No option, one option, no months, all alike, a reference that is none, very many months.
pub(crate) fn empty() -> Vec<CashReport> {
    let mut monthless = study(2, 1);
    monthless.dates.truncate(1);
    monthless.moments_yr.truncate(1);
    monthless.options.iter_mut().for_each(|option| option.cumulative.truncate(1));
    let mut alike = study(3, 2);
    for option in &mut alike.options {
        option.budget.total = spread(500.0, 0.0);
        option.cumulative.iter_mut().for_each(|at| *at = Stretch { mean: 0.0, p10: 0.0, p90: 0.0 });
    }
    let mut beyond = study(2, 1);
    beyond.reference = 9;
    vec![study(0, 1), study(1, 1), monthless, alike, beyond, study(12, 60)]
}

/// All of them, by name.
pub(crate) fn all() -> Vec<(&'static str, CashReport)> {
    let mut all = vec![
        ("realistic cash", realistic()),
        ("taxed cash", taxed()),
        ("long cash", long()),
        ("hostile cash", hostile()),
        ("wild cash", wild()),
    ];
    all.extend(empty().into_iter().map(|report| ("empty cash", report)));
    all
}
