//! Searches for ties made up for tests: two like real ones, and several that are meant to break a layout.
//!
//! Belongs here: builders of `BreakevenReport`. Does not belong here: assertions.

use decide::breakeven_report::*;
use decide::result::{Ended, Estimate};

fn estimate(value: f64, se: f64) -> Estimate {
    Estimate { value, se }
}

/// Leads at so many values, even in the logarithm.
fn curve((from, to): (f64, f64), lead: impl Fn(f64) -> f64, se: f64) -> Vec<(f64, Estimate)> {
    let at = |k: u32| from * (to / from).powf(f64::from(k) / 16.0);
    (0..=16).map(at).map(|value| (value, estimate(lead(value), se * (0.6 + value / to)))).collect()
}

/// A tie without noise left in the lead.
fn tie(at: f64, se: f64, a_below: bool) -> Tie {
    Tie { at: estimate(at, se), bracket: (at - 0.7, at + 0.9), lead_there: estimate(2e-7, 1.1e-6), a_below }
}

fn contract(name: &str, lead_now: f64, ties: Vec<Tie>, curve: Vec<(f64, Estimate)>) -> BreakevenContract {
    BreakevenContract {
        contract: name.into(),
        lead_now: estimate(lead_now, 3.1e-5),
        chance_a_now: 0.5 - lead_now * 150.0,
        ties,
        curve,
        belief_for_a: Some(0.43),
    }
}

/// How long the lamps of b live: they win when they live long enough.
fn life() -> BreakevenInput {
    let searched = (6000.0, 60_000.0);
    let lead = |tie: f64| move |hours: f64| 0.004 * (1.0 - tie / hours);
    let mut demand = contract("demand metered", -0.0021, vec![], curve(searched, |hours| -0.0007 - 9.0 / hours, 3e-5));
    demand.belief_for_a = Some(1.0);
    let mut night = contract(
        "night time-of-use",
        -0.000_02,
        vec![tie(20_410.0, 460.0, true)],
        curve(searched, lead(20_410.0), 4e-5),
    );
    night.belief_for_a = Some(0.548);
    BreakevenInput {
        name: "B long-life arc: lamp.life.b50".into(),
        unit: "h".into(),
        belief: (14_800.0, 20_000.0, 25_200.0),
        grade: "datasheet".into(),
        searched,
        grain: 0.0,
        contracts: vec![
            contract(
                "flat day rate",
                0.000_76,
                vec![tie(16_204.0, 310.0, true)],
                curve(searched, lead(16_204.0), 4e-5),
            ),
            night,
            demand,
        ],
    }
}

/// What a lamp of a costs, in whole currency units, with two ties under one contract and a leap under another.
fn price() -> BreakevenInput {
    let searched = (20.0, 200.0);
    let bend = |price: f64| 0.000_000_4 * (price - 45.0) * (price - 130.0);
    let mut leaping = tie(90.0, 0.0, true);
    leaping.bracket = (90.0, 91.0);
    leaping.lead_there = estimate(-0.0011, 5e-5);
    let step = |price: f64| if price < 90.5 { -0.0011 } else { 0.0009 };
    let price =
        |name: &str, lead, ties, curve| BreakevenContract { belief_for_a: None, ..contract(name, lead, ties, curve) };
    BreakevenInput {
        name: "A cheap arc: lamp.price".into(),
        unit: "USD".into(),
        belief: (38.0, 38.0, 38.0),
        grade: "invoice".into(),
        searched,
        grain: 1.0,
        contracts: vec![
            price(
                "flat day rate",
                0.000_26,
                vec![tie(45.0, 0.4, false), tie(130.0, 1.2, true)],
                curve(searched, bend, 2e-5),
            ),
            price("night time-of-use", -0.0011, vec![leaping], curve(searched, step, 5e-5)),
            price("demand metered", 0.000_01, vec![], curve(searched, |_| 0.000_01, 4e-5)),
        ],
    }
}

/// How all electricity prices are scaled: no figure of the scenario.
fn level() -> BreakevenInput {
    let searched = (0.2, 5.0);
    let lead = |tie: f64| move |level: f64| 0.0015 * (tie - level);
    let contracts = [("flat day rate", 1.42), ("night time-of-use", 2.07), ("demand metered", 0.61)];
    BreakevenInput {
        name: "price level of electricity".into(),
        unit: String::new(),
        belief: (1.0, 1.0, 1.0),
        grade: "setting".into(),
        searched,
        grain: 0.0,
        contracts: contracts
            .map(|(name, at)| {
                let mut found = tie(at, 0.024, false);
                found.bracket = (at - 0.001, at + 0.002);
                BreakevenContract {
                    belief_for_a: None,
                    ..contract(name, 0.0015 * (at - 1.0), vec![found], curve(searched, lead(at), 4e-5))
                }
            })
            .to_vec(),
    }
}

fn report(inputs: Vec<BreakevenInput>) -> BreakevenReport {
    BreakevenReport {
        format: BREAKEVEN_FORMAT.into(),
        program: "0.1.0".into(),
        title: "Study of two bays".into(),
        currency: "USD".into(),
        basis: "real".into(),
        discount_rate: 0.08,
        prices_of: "2031-03".into(),
        start: "2031-03-01".into(),
        horizon_years: 5,
        a: "A cheap arc".into(),
        a_light: "into 2.25 m² at 0.90 m".into(),
        b: "B long-life arc".into(),
        b_light: "into 2.25 m² at 1.10 m".into(),
        places: Some((0, 1)),
        measure: Measure::Mole,
        service_mol: 1_830_000.0,
        service: "the photons of A cheap arc as written".into(),
        seed: 1,
        trials: 10_000,
        ended: Ended::Trials,
        inputs,
        cautions: vec!["The two were measured at different heights.".into()],
        remarks: vec!["Mercury is not priced.".into()],
    }
}

/// Three inputs under three contracts, compared by the mole.
pub(crate) fn realistic() -> BreakevenReport {
    report(vec![life(), price(), level()])
}

/// Whole rooms, stopped early.
pub(crate) fn rooms() -> BreakevenReport {
    let mut report = report(vec![life()]);
    let money = |lead: &mut Estimate| *lead = estimate(lead.value * 1.8e6, lead.se * 1.8e6);
    for contract in &mut report.inputs[0].contracts {
        money(&mut contract.lead_now);
        contract.curve.iter_mut().for_each(|point| money(&mut point.1));
        contract.ties.iter_mut().for_each(|tie| money(&mut tie.lead_there));
    }
    (report.measure, report.basis, report.ended, report.trials) =
        (Measure::Room, "nominal".into(), Ended::Interrupted, 192);
    report
}

/// Twelve contracts and names that never end.
pub(crate) fn long() -> BreakevenReport {
    let mut report = realistic();
    let endless =
        |text: &str| format!("{text} with a reflector of hammered aluminium and a name without an end ").repeat(3);
    (report.a, report.b) = (endless(&report.a), endless(&report.b));
    (report.a_light, report.service) = (endless(&report.a_light), endless(&report.service));
    for input in &mut report.inputs {
        input.name = endless(&input.name);
        input.unit = format!("{} per fortnight of the crop", input.unit);
        input.contracts = input.contracts.iter().cycle().take(12).cloned().collect();
        for contract in &mut input.contracts {
            contract.contract = endless(&contract.contract);
        }
        let many: Vec<Tie> = (1..20).map(|k| tie(f64::from(k) * input.searched.0, 0.01, k % 2 == 0)).collect();
        input.contracts[4].ties = many;
    }
    report
}

/// Texts that try to leave their place.
pub(crate) fn hostile() -> BreakevenReport {
    let names = [
        "<script>alert(1)</script>",
        "=HYPERLINK(\"http://example.org\";\"x\")",
        "高圧ナトリウムランプ六百ワット、反射板つきの長い名前の選択肢、予備球十二個",
        "\u{202e}gnihtemos\u{1b}[2J\u{7}\n\nsecond line\u{0}\u{ffff}",
        "مصباح طويل العمر مع عاكس \u{2067}",
        "WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW",
    ];
    let mut report = realistic();
    for (k, input) in report.inputs.iter_mut().enumerate() {
        let name = |j: usize| names[(k + j) % names.len()].to_owned();
        (input.name, input.unit, input.grade) = (name(0), name(3), name(2));
        input.contracts.iter_mut().enumerate().for_each(|(j, contract)| contract.contract = name(j + 1));
    }
    (report.a, report.b) = (names[1].into(), names[4].into());
    (report.a_light, report.b_light) = (names[5].into(), names[3].into());
    (report.title, report.currency, report.service) = (names.concat(), "U\u{1b}S,D".into(), names[0].into());
    (report.basis, report.prices_of, report.start) = (names[1].into(), names[2].into(), names[0].into());
    report.cautions = names.map(str::to_owned).to_vec();
    report.remarks = report.cautions.clone();
    report
}

/// Numbers that are far too large, or none, and a single trial.
pub(crate) fn wild() -> BreakevenReport {
    let numbers = [f64::MAX, f64::NAN, f64::INFINITY, -f64::MAX, 1e-300, -0.0];
    let number = |k: usize| numbers[k % 6];
    let wild = |k: usize| estimate(number(k), number(k + 1));
    let mut report = realistic();
    report.inputs.extend(realistic().inputs);
    for (k, input) in report.inputs.iter_mut().enumerate() {
        input.belief = (number(k), number(k + 1), number(k + 2));
        if k % 2 == 1 {
            (input.searched, input.grain) = ((number(k + 3), number(k + 4)), number(k));
        }
        for (j, contract) in input.contracts.iter_mut().enumerate() {
            contract.lead_now = wild(j + k);
            (contract.chance_a_now, contract.belief_for_a) = (number(j + k), Some(number(j + k + 1)));
            for tie in &mut contract.ties {
                (tie.at, tie.lead_there) = (wild(j + k), wild(j + k + 1));
                tie.bracket = (number(j), number(j + k));
            }
            contract.curve.iter_mut().enumerate().skip(j).for_each(|(i, point)| point.1 = wild(i + k));
            contract.curve.iter_mut().skip(5 + k).for_each(|point| point.0 = number(j + k));
        }
    }
    (report.trials, report.discount_rate, report.service_mol) = (1, f64::NAN, f64::INFINITY);
    report
}

/// Nothing at all; an input without contracts; contracts of which nothing is known, or in which nothing differs.
pub(crate) fn empty() -> Vec<BreakevenReport> {
    let mut nothing = report(vec![]);
    (nothing.cautions, nothing.remarks) = (vec![], vec![]);
    let bare = |lead: Estimate, curve: Vec<(f64, Estimate)>| {
        let contract = BreakevenContract { lead_now: lead, ..contract("flat", 0.0, vec![], curve) };
        report(vec![BreakevenInput { contracts: vec![contract], ..life() }])
    };
    vec![
        nothing,
        report(vec![BreakevenInput { contracts: vec![], ..life() }]),
        bare(estimate(f64::NAN, f64::NAN), vec![]),
        bare(estimate(0.0, 0.0), vec![(6000.0, estimate(0.0, 0.0))]),
        bare(estimate(1.0, 0.1), vec![(6000.0, estimate(-1.0, 0.1))]),
    ]
}

/// All of them, by name.
pub(crate) fn all() -> Vec<(&'static str, BreakevenReport)> {
    let mut all = vec![
        ("realistic ties", realistic()),
        ("rooms that tie", rooms()),
        ("long ties", long()),
        ("hostile ties", hostile()),
        ("wild ties", wild()),
    ];
    all.extend(empty().into_iter().map(|report| ("empty ties", report)));
    all
}
