//! Answers to what drives a choice, made up for tests: one like a real study, and several that are meant to break a layout.
//!
//! Belongs here: builders of `DriversReport`. Does not belong here: assertions.

use decide::drivers_report::*;
use decide::result::{Ended, Estimate};

fn estimate(value: f64, se: f64) -> Estimate {
    Estimate { value, se }
}

fn turned(winner: usize, lead: f64) -> Turned {
    Turned { winner, lead: estimate(lead, 52.0) }
}

/// An input that the scenario is certain of; its median is doubted by a share on both sides.
fn certain(name: &str, (median, unit, grade): (f64, &str, &str), doubt: f64, leads: (f64, f64)) -> Driver {
    Driver {
        name: name.into(),
        tied: vec![],
        unit: unit.into(),
        grade: grade.into(),
        is_uncertain: false,
        values: (median * (1.0 - doubt), median, median * (1.0 + doubt)),
        low: turned(2, leads.0),
        high: turned(2, leads.1),
        flips: vec![],
        searched: (median / 8.0, median * 8.0),
        shares: None,
        worth: None,
    }
}

/// An input with its belief, its first and total share of the variance, and what knowing it is worth.
fn uncertain(
    name: &str,
    (unit, grade): (&str, &str),
    values: (f64, f64, f64),
    leads: (f64, f64),
    (first, total): (f64, f64),
    worth: f64,
) -> Driver {
    let shares = Shares { first: estimate(first, 0.021), total: estimate(total, 0.018) };
    let worth = Worth { value: worth, se: 0.06 * worth, is_seen: true, unseen: 2.1 };
    Driver {
        is_uncertain: true,
        values,
        searched: (values.1 / 8.0, values.1 * 8.0),
        shares: Some(shares),
        worth: Some(worth),
        ..certain(name, (values.1, unit, grade), 0.0, leads)
    }
}

fn flip(at: f64, median: f64, winner: usize, believed: Option<f64>, within: bool) -> Flip {
    Flip { at, of_median: Some(at / median), winner, believed, within }
}

/// The inputs of the real-looking study, those that move the lead most first.
fn inputs() -> Vec<Driver> {
    let mut fading = uncertain(
        "C bar LED: light.fade.half_life_h",
        ("h", "guess"),
        (61_000.0, 90_000.0, 132_000.0),
        (-1320.0, 2910.0),
        (0.43, 0.46),
        388.0,
    );
    fading.low.winner = 3;
    fading.flips = vec![flip(72_410.0, 90_000.0, 3, Some(0.231), true)];
    let mut ppf = uncertain(
        "D panel LED: light.ppf",
        ("µmol/s", "datasheet"),
        (1580.0, 1700.0, 1820.0),
        (2420.0, 88.0),
        (0.22, 0.23),
        61.0,
    );
    ppf.flips = vec![flip(1834.0, 1700.0, 3, Some(0.078), false)];
    let mut price = certain("C bar LED: fixture.price", (640.0, "USD", "guess"), 0.3, (2330.0, 460.0));
    price.high.winner = 0;
    price.flips = vec![flip(797.0, 640.0, 0, None, true)];
    let mut life = uncertain(
        "A cheap arc: lamp.life.b50",
        ("h", "datasheet"),
        (14_800.0, 20_000.0, 25_200.0),
        (1290.0, 1190.0),
        (0.0, 0.004),
        0.0,
    );
    life.tied = vec!["B long-life arc: lamp.life.b50".into()];
    life.shares = Some(Shares { first: estimate(-0.003, 0.012), total: estimate(0.004, 0.009) });
    let mut cooling = uncertain("cooling.cop", ("", "guess"), (2.4, 3.0, 3.7), (1480.0, 1020.0), (0.031, 0.03), 0.0);
    cooling.worth = Some(Worth { value: 0.0, se: 2.1, is_seen: false, unseen: 2.1 });
    cooling.flips = vec![flip(0.52, 3.0, 3, Some(0.000_02), false)];
    let mut energy = uncertain(
        "flat day rate: energy",
        ("USD/kWh", "invoice"),
        (0.161, 0.17, 0.18),
        (1130.0, 1330.0),
        (0.02, 0.03),
        0.0,
    );
    energy.flips = vec![flip(0.0311, 0.17, 0, Some(0.0), false), flip(0.96, 0.17, 3, Some(0.0), false)];
    let mut all = vec![fading, ppf, price, cooling, energy, life];
    let datasheet = |name: &str, leads| certain(name, (1.9, "USD", "datasheet"), 0.15, leads);
    all.insert(3, certain("C bar LED: fixtures", (24.0, "1", "measured"), 0.05, (1610.0, 870.0)));
    all.push(datasheet("D panel LED: gear.price", (1190.0, 1270.0)));
    for k in 0..9 {
        let small = 33.0 / f64::from(k + 1);
        all.push(datasheet(&format!("D panel LED: parts.{}.price", k + 1), (1231.0 - small, 1231.0 + small)));
    }
    all
}

/// Four options and seventeen inputs.
pub(crate) fn realistic() -> DriversReport {
    let names = ["A cheap arc", "B long-life arc", "C bar LED", "D panel LED"];
    DriversReport {
        format: DRIVERS_FORMAT.into(),
        program: "0.1.0".into(),
        title: "Study of two bays".into(),
        currency: "USD".into(),
        basis: "real".into(),
        discount_rate: 0.08,
        prices_of: "2031-03".into(),
        start: "2031-03-01".into(),
        horizon_years: 5,
        contract: "flat day rate".into(),
        options: names.map(String::from).to_vec(),
        light_bases: vec!["into 2.25 m² at 0.90 m".into(); 4],
        measure: Measure::Mole,
        service_mol: 1_830_000.0,
        service: "700 µmol/m²/s held over 50 m² for 5 years".into(),
        rooms: 2,
        seed: 1,
        trials: 4000,
        search_trials: 1000,
        variance_trials: 4000,
        ended: Ended::Trials,
        costs: [97_310.0, 86_420.0, 53_620.0, 54_851.0].map(|cost| estimate(cost, 71.0)).to_vec(),
        favourite: 2,
        runner_up: 3,
        lead: estimate(1231.0, 52.0),
        chance: 0.684,
        inputs: inputs(),
        luck: Shares { first: estimate(0.27, 0.022), total: estimate(0.29, 0.019) },
        lead_sd: 3290.0,
        all_inputs: Worth { value: 441.0, se: 19.0, is_seen: true, unseen: 2.4 },
        clairvoyance: estimate(702.0, 22.0),
        cautions: vec!["The discount rate is assumed.".into()],
        remarks: vec!["Mercury is not priced.".into()],
    }
}

/// Nothing is uncertain but luck, and no input comes near a change.
pub(crate) fn sure() -> DriversReport {
    let mut report = realistic();
    report.inputs.retain(|driver| !driver.is_uncertain && driver.flips.is_empty());
    report.luck = Shares { first: estimate(1.0, 0.0), total: estimate(1.0, 0.0) };
    report.all_inputs = Worth::default();
    report.remarks = vec!["No input is uncertain.".into()];
    report
}

/// One option, with which nothing competes.
pub(crate) fn single() -> DriversReport {
    let mut report = realistic();
    report.options.truncate(1);
    report.light_bases.truncate(1);
    report.costs.truncate(1);
    (report.favourite, report.runner_up, report.lead, report.chance) = (0, 0, Estimate::default(), 1.0);
    (report.lead_sd, report.clairvoyance, report.luck) = (0.0, Estimate::default(), Shares::default());
    for driver in &mut report.inputs {
        (driver.low, driver.high) = (Turned::default(), Turned::default());
        driver.flips.clear();
        driver.shares = driver.shares.map(|_| Shares::default());
        driver.worth = driver.worth.map(|_| Worth::default());
    }
    report
}

/// A lead lost in noise, whole rooms, stopped early.
pub(crate) fn close() -> DriversReport {
    let mut report = realistic();
    report.lead = estimate(60.0, 58.0);
    (report.measure, report.basis, report.ended, report.trials) =
        (Measure::Room, "nominal".into(), Ended::Interrupted, 192);
    (report.search_trials, report.variance_trials, report.rooms, report.chance) = (192, 190, 1, 0.505);
    for driver in &mut report.inputs {
        driver.low.lead = estimate(driver.low.lead.value - 1171.0, 290.0);
        driver.high.lead = estimate(driver.high.lead.value - 1171.0, 290.0);
    }
    report
}

/// A favourite that trails, and one that costs the same in every trial.
pub(crate) fn odd_leads() -> Vec<DriversReport> {
    let (mut behind, mut same) = (realistic(), realistic());
    behind.lead = estimate(-800.0, 52.0);
    (same.lead, same.lead_sd) = (Estimate::default(), 0.0);
    for driver in &mut same.inputs {
        (driver.low.lead, driver.high.lead) = (Estimate::default(), Estimate::default());
    }
    for driver in &mut behind.inputs {
        driver.low.lead.value -= 2031.0;
        driver.high.lead.value -= 2031.0;
    }
    vec![behind, same]
}

/// Sixty inputs with names that never end, twelve options.
pub(crate) fn long() -> DriversReport {
    let mut report = realistic();
    let endless =
        |text: &str| format!("{text} with a reflector of hammered aluminium and a name without an end ").repeat(3);
    report.options = report.options.iter().cycle().take(12).map(|name| endless(name)).collect();
    report.light_bases = (0..12).map(|k| endless(&format!("over bench {k}"))).collect();
    report.costs = report.costs.iter().cycle().take(12).copied().collect();
    report.inputs = report.inputs.iter().cycle().take(60).cloned().collect();
    for (k, driver) in report.inputs.iter_mut().enumerate() {
        (driver.name, driver.unit) = (endless(&driver.name), endless(&driver.unit));
        driver.tied = (0..k % 4).map(|_| endless("tied")).collect();
        let median = driver.values.1;
        driver.flips =
            vec![flip(median * 0.93, median, k % 12, None, true), flip(median * 7.7, median, 0, None, false)];
    }
    (report.contract, report.service, report.title) = (endless("contract"), endless("photons"), endless("title"));
    report
}

/// Texts that try to leave their place.
pub(crate) fn hostile() -> DriversReport {
    let names = [
        "<script>alert(1)</script>",
        "=HYPERLINK(\"http://example.org\";\"x\")",
        "高圧ナトリウムランプ六百ワット、反射板つきの長い名前の選択肢、予備球十二個",
        "\u{202e}gnihtemos\u{1b}[2J\u{7}\n\nsecond line\u{0}\u{ffff}",
        "مصباح طويل العمر مع عاكس \u{2067}",
        "WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW",
    ];
    let mut report = realistic();
    for (k, driver) in report.inputs.iter_mut().enumerate() {
        let name = |j: usize| names[(k + j) % names.len()].to_owned();
        (driver.name, driver.unit, driver.grade, driver.tied) = (name(0), name(3), name(2), vec![name(1); 7]);
    }
    report.options = names[2..6].iter().map(|name| (*name).to_owned()).collect();
    report.light_bases = names[..4].iter().map(|name| (*name).to_owned()).collect();
    (report.title, report.currency, report.service) = (names.concat(), "U\u{1b}S,D".into(), names[0].into());
    (report.basis, report.prices_of, report.start) = (names[1].into(), names[2].into(), names[0].into());
    report.contract = names[3].into();
    report.cautions = names.map(str::to_owned).to_vec();
    report.remarks = report.cautions.clone();
    report
}

/// Numbers that are far too large, or none; options that do not exist; a single trial.
pub(crate) fn wild() -> DriversReport {
    let numbers = [f64::MAX, f64::NAN, f64::INFINITY, -f64::MAX, 1e-300, -0.0, 4000.0];
    let number = |k: usize| numbers[k % 7];
    let wild = |k: usize| estimate(number(k), number(k + 1));
    let mut report = realistic();
    for (k, driver) in report.inputs.iter_mut().enumerate() {
        driver.values = (number(k), number(k + 2), number(k + 4));
        (driver.low, driver.high) =
            (Turned { winner: usize::MAX, lead: wild(k) }, Turned { winner: k, lead: wild(k + 3) });
        driver.searched = (number(k + 1), number(k + 5));
        driver.flips = (0..k % 4)
            .map(|j| Flip {
                at: number(k + j),
                of_median: (j > 0).then(|| number(k + j + 1)),
                winner: 9 * j,
                believed: (j != 1).then(|| number(k + j)),
                within: j % 2 == 0,
            })
            .collect();
        driver.shares = Some(Shares { first: wild(k), total: wild(k + 2) });
        driver.worth = Some(Worth { value: number(k), se: number(k + 3), is_seen: k % 2 == 0, unseen: number(k + 1) });
    }
    report.costs = (0..9).map(wild).collect();
    (report.lead, report.clairvoyance, report.lead_sd, report.chance) = (wild(0), wild(2), f64::NAN, f64::INFINITY);
    (report.trials, report.discount_rate, report.service_mol, report.rooms) = (0, f64::NAN, f64::INFINITY, 0);
    report
}

/// No option, no input, options that do not exist.
pub(crate) fn empty() -> Vec<DriversReport> {
    let (mut nothing, mut inputless, mut lost) = (realistic(), realistic(), realistic());
    (nothing.options, nothing.light_bases, nothing.costs, nothing.inputs) = (vec![], vec![], vec![], vec![]);
    (nothing.cautions, nothing.remarks) = (vec![], vec![]);
    inputless.inputs.clear();
    (lost.favourite, lost.runner_up) = (usize::MAX, 17);
    vec![nothing, inputless, lost]
}

/// All of them, by name.
pub(crate) fn all() -> Vec<(&'static str, DriversReport)> {
    let mut all = vec![
        ("realistic drivers", realistic()),
        ("sure drivers", sure()),
        ("drivers of a single option", single()),
        ("close drivers", close()),
        ("long drivers", long()),
        ("hostile drivers", hostile()),
        ("wild drivers", wild()),
    ];
    all.extend(odd_leads().into_iter().map(|report| ("drivers of an odd lead", report)));
    all.extend(empty().into_iter().map(|report| ("empty drivers", report)));
    all
}
