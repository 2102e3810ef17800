//! Searches for relamping intervals made up for tests: two like real ones, and several that are meant to break a layout.
//!
//! Belongs here: builders of `RelampReport`. Does not belong here: assertions.

use decide::relamp_report::*;
use decide::result::{Ended, Estimate};

fn estimate(value: f64, se: f64) -> Estimate {
    Estimate { value, se }
}

/// Cost over the interval: many lamps at short ones, dim and failed lamps at long ones.
fn cost(hours: f64, lowest: f64, steep: f64) -> Estimate {
    let kilo = hours / 9000.0;
    estimate(lowest * (0.9 + 0.05 / kilo + 0.05 * kilo.powf(steep)), 6e-6)
}

fn curve(kind: PolicyKind, name: &str, lowest: f64, steep: f64) -> PolicyCurve {
    let intervals_h: Vec<f64> = (1..=22).map(|step| f64::from(step) * 1000.0).collect();
    let levelized: Vec<Estimate> = intervals_h.iter().map(|hours| cost(*hours, lowest, steep)).collect();
    let best = levelized.iter().enumerate().min_by(|a, b| a.1.value.total_cmp(&b.1.value)).unwrap().0;
    let near = |cost: &&Estimate| cost.value <= levelized[best].value * 1.01;
    let flat = levelized.iter().zip(&intervals_h).filter(|(cost, _)| near(cost)).map(|(_, hours)| *hours);
    PolicyCurve {
        kind,
        name: name.into(),
        lamps: intervals_h.iter().map(|hours| 24.0 * (21_915.0 / hours).floor() + hours / 700.0).collect(),
        light: intervals_h.iter().map(|hours| 1.02 - hours / 1_000_000.0).collect(),
        dark: intervals_h.iter().map(|hours| hours / 9_000_000.0).collect(),
        best: Some(BestInterval {
            interval_h: estimate(intervals_h[best], 430.0),
            at_the_end: best + 1 == intervals_h.len(),
            flat: vec![(flat.clone().fold(f64::INFINITY, f64::min), flat.fold(0.0, f64::max))],
            snapped: vec![],
        }),
        lowest: levelized[best],
        intervals_h,
        levelized,
    }
}

fn on_failure() -> PolicyCurve {
    PolicyCurve {
        kind: PolicyKind::OnFailure,
        name: "each lamp when it has failed".into(),
        intervals_h: vec![],
        levelized: vec![estimate(0.020_13, 7e-6)],
        lamps: vec![31.3],
        light: vec![0.998],
        dark: vec![0.0021],
        best: None,
        lowest: estimate(0.020_13, 7e-6),
    }
}

fn months(count: u32, spot: f64, group_every: u32) -> Vec<LampMonth> {
    let month = |index: u32| {
        let planned = if (index + 1).is_multiple_of(group_every) { 24.0 } else { 0.0 };
        let most = [planned, planned + (spot * 3.0).ceil(), planned + (spot * 5.0).ceil()];
        LampMonth {
            month: format!("{}-{:02}", 2031 + (index + 2) / 12, (index + 2) % 12 + 1),
            planned,
            spot,
            buy: most,
            hold: [0.0, (spot * 2.0).ceil(), (spot * 4.0).ceil()],
            hold_by_table: 3,
        }
    };
    (0..count).map(month).collect()
}

fn snapped() -> Vec<Snapped> {
    vec![
        Snapped {
            to: "the next crop turn".into(),
            levelized: estimate(0.019_56, 6e-6),
            extra: estimate(0.0031, 0.0004),
            dates: ["2033-04-11", "2035-05-02"].map(str::to_owned).to_vec(),
        },
        Snapped {
            to: "the crew's next Tuesday".into(),
            levelized: estimate(0.019_51, 6e-6),
            extra: estimate(0.0002, 0.0004),
            dates: (1..8).map(|month| format!("2033-{month:02}-15")).collect(),
        },
    ]
}

fn endings() -> Vec<Ending> {
    let ending = |what: &str, relamps: u32, saves: f64, se: f64| Ending {
        what: what.into(),
        relamps,
        levelized: estimate(0.0195 - saves / 600_000.0, 6e-6),
        saves: estimate(saves, se),
    };
    vec![
        ending("as written", 2, 0.0, 0.0),
        ending("without the last one", 1, 412.7, 9.1),
        ending("the last one half a year earlier", 2, -85.2, 11.0),
        ending("all others spread evenly", 2, 7.0, 12.0),
    ]
}

pub(crate) fn exact() -> Exact {
    let line = |what: &str, unit: &str, exact: f64, value: f64, se: f64, agrees: bool| ExactLine {
        what: what.into(),
        unit: unit.into(),
        exact,
        simulated: estimate(value, se),
        agrees,
    };
    Exact {
        does_not_apply: vec![],
        taken: "Medians of all inputs, no early failures, a crew that comes at once.".into(),
        lines: vec![
            line("failures by the horizon, all sockets", "lamps", 23.871, 23.86, 0.041, true),
            line("socket-hours dark", "h", 612.4, 640.1, 4.0, false),
        ],
        for_ever: vec![
            ForEver {
                kind: PolicyKind::GroupWithSpot,
                name: "all together, failed ones in between".into(),
                interval_h: Some(9_130.0),
                cost_per_mol: 0.019_43,
                flat: (6_200.0, Some(13_400.0)),
            },
            ForEver {
                kind: PolicyKind::ByAge,
                name: "each at an age".into(),
                interval_h: None,
                cost_per_mol: 0.0201,
                flat: (14_000.0, None),
            },
        ],
    }
}

pub(crate) fn warranty() -> WarrantyWorth {
    WarrantyWorth {
        outside: vec![],
        worth: estimate(312.4, 7.7),
        per_socket: 13.02,
        claims: 4.21,
        claim_stops_paying: Some(81.3),
        claim_cost: 15.0,
    }
}

fn option(name: &str) -> RelampOption {
    let mut best = curve(PolicyKind::GroupWithSpot, "all together, failed ones in between", 0.0195, 1.5);
    let found = best.best.as_mut().unwrap();
    found.snapped = snapped();
    found.flat = vec![(6000.0, 9000.0), (11_000.0, 13_000.0)];
    let mut endless = curve(PolicyKind::ByAge, "each at an age, or when it has failed", 0.0207, 0.3);
    for (cost, hours) in endless.levelized.iter_mut().zip(&endless.intervals_h) {
        cost.value = 0.020_13 + 8.0 / hours;
    }
    endless.lowest = *endless.levelized.last().unwrap();
    let end = endless.best.as_mut().unwrap();
    (end.interval_h, end.at_the_end, end.flat) = (estimate(22_000.0, 0.0), true, vec![(17_000.0, 22_000.0)]);
    RelampOption {
        name: name.into(),
        light_basis: "into 2.25 m² at 0.90 m".into(),
        sockets: 24,
        median_life_h: 16_822.0,
        as_written: "all together every 7000 h at the turnaround after, failed ones in between".into(),
        cost_as_written: estimate(0.019_71, 6e-6),
        policies: vec![
            on_failure(),
            best,
            curve(PolicyKind::GroupOnly, "all together, failed ones stay dark", 0.0199, 2.2),
            endless,
        ],
        best_policy: 1,
        saving: estimate(0.0107, 0.0004),
        endings: endings(),
        visits: (0..2)
            .map(|k| DatedRelamp {
                date: format!("{}-02-02", 2033 + 2 * k),
                zone: 1,
                burn_h: 9_130.4 * f64::from(k + 1),
                sockets: 24,
            })
            .collect(),
        months: months(60, 0.31, 24),
        lead_months: 2,
        warranty: Some(warranty()),
        exact: Some(exact()),
    }
}

fn report(options: Vec<RelampOption>) -> RelampReport {
    RelampReport {
        format: RELAMP_FORMAT.into(),
        program: "0.1.0".into(),
        title: "Study of two bays".into(),
        currency: "USD".into(),
        basis: "real".into(),
        discount_rate: 0.08,
        prices_of: "2031-03".into(),
        start: "2031-03-01".into(),
        horizon_years: 5,
        burn_h: 21_915.0,
        contract: "flat contract".into(),
        seed: 1,
        trials: 10_000,
        ended: Ended::Trials,
        flat_within: 0.01,
        options,
        left_out: vec!["C bar LED: its lamps are not replaced".into()],
        cautions: vec!["Mercury: keep old discharge lamps whole.".into()],
        remarks: vec!["A cheap arc: the last group relamp falls 915 h before the horizon ends".into()],
    }
}

/// An option with everything that may be said, and one whose lamps are best left alone.
pub(crate) fn realistic() -> RelampReport {
    let mut plain = option("B long-life arc");
    plain.as_written = "each lamp when it has failed".into();
    plain.policies = vec![on_failure(), plain.policies[3].clone()];
    plain.best_policy = 0;
    plain.cost_as_written = plain.policies[0].lowest;
    plain.saving = Estimate::default();
    (plain.endings, plain.visits) = (vec![], vec![]);
    plain.months = months(9, 0.4, 99);
    plain.lead_months = 1;
    let outside = vec!["The warranty asks for 12 h a start at least; here a burn lasts 6 h.".into()];
    plain.warranty = Some(WarrantyWorth {
        outside,
        worth: Estimate::default(),
        claim_stops_paying: None,
        claims: 0.0,
        ..warranty()
    });
    plain.exact = Some(Exact {
        does_not_apply: vec!["Lamps wait for the crew's day.".into(), "Spares are limited.".into()],
        taken: String::new(),
        lines: vec![],
        for_ever: vec![],
    });
    report(vec![option("A cheap arc"), plain])
}

/// Thirty years in zones, stopped early: nothing is better than what is written, and claims cost more than they bring.
pub(crate) fn long() -> RelampReport {
    let mut zoned = option("A cheap arc");
    zoned.saving = estimate(-0.0041, 0.0007);
    zoned.months = months(360, 1.7, 24);
    zoned.visits = (0..40)
        .map(|k| DatedRelamp {
            date: format!("{}-{:02}-02", 2033 + k / 2, 1 + 6 * (k % 2)),
            zone: 1 + k % 4,
            burn_h: 2_200.0 * f64::from(k + 1),
            sockets: 6,
        })
        .collect();
    zoned.warranty = Some(WarrantyWorth {
        worth: estimate(-41.3, 5.2),
        per_socket: -1.72,
        claim_stops_paying: Some(9.8),
        ..warranty()
    });
    let mut close = option("B long-life arc");
    close.saving = estimate(0.0004, 0.0005);
    close.warranty = Some(WarrantyWorth { worth: estimate(3.0, 5.2), per_socket: 0.1, ..warranty() });
    let mut report = report(vec![zoned, close]);
    (report.ended, report.horizon_years, report.burn_h) = (Ended::Interrupted, 30, 131_490.0);
    (report.basis, report.trials) = ("nominal".into(), 192);
    report
}

/// Names that would like to be something else, and many of them.
pub(crate) fn hostile() -> RelampReport {
    let names =
        ["=HYPERLINK(\"http://x\") <script>alert(1)</script>", "+1 \u{1b}[31m\u{202e}\u{0}", "-a\r\n@b\u{85}]]>&amp;"];
    let long = ["x".repeat(500), "高圧契約 ".repeat(60), names[0].repeat(9)];
    let all: Vec<&str> = names.iter().copied().chain(long.iter().map(String::as_str)).collect();
    let mut options: Vec<RelampOption> = all.iter().cycle().take(8).map(|name| option(name)).collect();
    for (k, option) in options.iter_mut().enumerate() {
        let name = |j: usize| all[(k + j) % all.len()].to_owned();
        (option.as_written, option.light_basis, option.best_policy) = (name(1), name(2), k);
        option.policies = option.policies.iter().cycle().take(4 + k).cloned().collect();
        for (j, policy) in option.policies.iter_mut().enumerate() {
            policy.name = name(j);
            if let Some(best) = &mut policy.best {
                best.flat = (1..6).map(|at| (f64::from(at) * 3000.0, f64::from(at) * 3000.0 + 900.0)).collect();
                for moved in &mut best.snapped {
                    moved.to = name(j + 3);
                    moved.dates.push(name(j + 1));
                }
            }
        }
        option.endings.iter_mut().for_each(|ending| ending.what = name(4));
        option.visits.iter_mut().for_each(|visit| visit.date = name(0));
        option.months.iter_mut().step_by(7).for_each(|month| month.month = name(k));
        option.warranty.as_mut().unwrap().outside = vec![name(3), name(4)];
        let exact = option.exact.as_mut().unwrap();
        (exact.lines[0].what, exact.lines[1].unit, exact.for_ever[0].name) = (name(3), name(4), name(5));
        exact.taken = name(1);
    }
    options[2].exact.as_mut().unwrap().does_not_apply = names.map(str::to_owned).to_vec();
    let mut report = report(options);
    report.title = names.concat();
    report.currency = "U\u{1b}S,D".into();
    (report.basis, report.prices_of, report.start) = (names[1].into(), names[2].into(), names[0].into());
    report.contract = long[1].clone();
    report.left_out = names.map(str::to_owned).to_vec();
    (report.remarks, report.cautions) = (report.left_out.clone(), long.to_vec());
    report
}

/// Nothing at all, an option about which nothing is known, and one of whose lists some are too short.
pub(crate) fn empty() -> Vec<RelampReport> {
    let bare = || {
        let mut bare = option("lamp");
        (bare.policies, bare.endings, bare.visits, bare.months) = (vec![], vec![], vec![], vec![]);
        (bare.warranty, bare.exact) = (None, None);
        bare
    };
    let mut nothing = report(vec![]);
    (nothing.left_out, nothing.cautions, nothing.remarks) = (vec![], vec![], vec![]);
    let mut short = bare();
    short.policies = vec![curve(PolicyKind::ByAge, "each at an age", 0.02, 1.5), on_failure()];
    short.policies[0].levelized.truncate(1);
    short.policies[0].lamps.clear();
    short.policies[0].dark.clear();
    short.policies[0].light.clear();
    short.policies[0].best.as_mut().unwrap().flat.clear();
    short.policies[1].levelized.clear();
    short.exact = Some(Exact { does_not_apply: vec![], taken: String::new(), lines: vec![], for_ever: vec![] });
    vec![nothing, report(vec![bare()]), report(vec![short])]
}

/// Numbers that are far too large, or none.
pub(crate) fn wild() -> RelampReport {
    let numbers = [f64::MAX, f64::NAN, f64::INFINITY, -f64::MAX, 1e-300, -0.0];
    let wild = |k: usize| estimate(numbers[k % 6], numbers[(k + 1) % 6]);
    let mut report = realistic();
    report.options.push(report.options[0].clone());
    for (k, option) in report.options.iter_mut().enumerate() {
        (option.cost_as_written, option.saving) = (wild(k), wild(k + 1));
        for (j, policy) in option.policies.iter_mut().enumerate() {
            policy.levelized.iter_mut().enumerate().skip(j).for_each(|(i, cost)| *cost = wild(i + k));
            policy.intervals_h.iter_mut().skip(k * 5).for_each(|hours| *hours = numbers[(j + k) % 6]);
            policy.lamps.iter_mut().enumerate().for_each(|(i, lamps)| *lamps = numbers[(i + k) % 6]);
            policy.light.iter_mut().enumerate().for_each(|(i, light)| *light = numbers[(i + k) % 6]);
            policy.dark.iter_mut().enumerate().for_each(|(i, dark)| *dark = numbers[(i + k) % 6]);
            policy.lowest = wild(j);
            if let Some(best) = &mut policy.best {
                best.interval_h = wild(j + k);
                best.flat = vec![(numbers[j % 6], numbers[(j + 1) % 6])];
                best.snapped.iter_mut().for_each(|moved| (moved.levelized, moved.extra) = (wild(j), wild(j + 1)));
            }
        }
        for (j, ending) in option.endings.iter_mut().enumerate() {
            (ending.levelized, ending.saves) = (wild(j), wild(j + k));
        }
        for (j, month) in option.months.iter_mut().enumerate().take(12) {
            (month.planned, month.spot) = (numbers[j % 6], numbers[(j + 1) % 6]);
            (month.buy, month.hold) = ([numbers[j % 6]; 3], [numbers[(j + 3) % 6]; 3]);
            month.hold_by_table = u64::MAX;
        }
        option.visits.iter_mut().for_each(|visit| visit.burn_h = f64::NAN);
        if let Some(warranty) = &mut option.warranty {
            (warranty.worth, warranty.claims, warranty.per_socket) = (wild(k), numbers[k % 6], f64::NAN);
            warranty.claim_stops_paying = Some(numbers[(k + 1) % 6]);
            warranty.outside.clear();
        }
        if let Some(exact) = &mut option.exact {
            exact.lines.iter_mut().for_each(|line| (line.exact, line.simulated) = (f64::NAN, wild(k)));
            for found in &mut exact.for_ever {
                (found.interval_h, found.flat) = (Some(f64::INFINITY), (f64::NAN, Some(f64::MAX)));
            }
        }
    }
    (report.burn_h, report.flat_within, report.discount_rate) = (f64::NAN, f64::INFINITY, f64::NAN);
    report
}

/// All of them, by name.
pub(crate) fn all() -> Vec<(&'static str, RelampReport)> {
    let mut all = vec![
        ("realistic relamping", realistic()),
        ("long relamping", long()),
        ("hostile relamping", hostile()),
        ("wild relamping", wild()),
    ];
    all.extend(empty().into_iter().map(|report| ("empty relamping", report)));
    all
}
