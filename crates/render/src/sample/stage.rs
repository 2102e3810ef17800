//! Stages made up for tests: two like real ones, and several that are meant to break a layout.
//!
//! Belongs here: builders of `StageReport`. Does not belong here: assertions.

use decide::result::{Ended, Estimate};
use decide::stage_report::*;

fn estimate(value: f64, se: f64) -> Estimate {
    Estimate { value, se }
}

fn worth(value: f64, se: f64) -> Worth {
    Worth { value, se, is_seen: true, unseen: 0.0 }
}

fn policy(kind: StageKind, cost: f64, above: Estimate) -> StagePolicy {
    StagePolicy { kind, cost: estimate(cost, 14.0), above_best: above }
}

/// Four watched lamps that decide.
pub(crate) fn realistic() -> StageReport {
    let watching = |lamps: u32, value: f64| {
        let extra = estimate(f64::from(lamps) * 12.0, 0.0);
        let net = estimate(value - extra.value, 6.0);
        Watching { lamps, worth: worth(value, 6.0), extra, net }
    };
    let outcome = |dead: u32, chance: f64, saving: f64, se: f64, advice| Outcome {
        dead,
        chance: estimate(chance, 0.007),
        saving: Some(estimate(saving, se)),
        advice,
    };
    StageReport {
        format: STAGE_FORMAT.into(),
        program: "0".into(),
        title: "Study of two bays".into(),
        currency: "USD".into(),
        basis: "real".into(),
        discount_rate: 0.08,
        prices_of: "2031-03".into(),
        start: "2031-03-01".into(),
        change: "2033-03-01".into(),
        horizon_years: 5,
        after_years: 2,
        contract: "flat day rate".into(),
        now: "A cheap arc".into(),
        now_light: "into 2.25 m² at 0.90 m".into(),
        later: "B long-life arc".into(),
        later_light: "into 2.25 m² at 1.10 m".into(),
        keeps_fixtures: true,
        service_mol: 2.35e6,
        service: "600 µmol/m²/s held over 60 m² for 5 years".into(),
        rooms: 1,
        burn_h: 8763.0,
        median_life_h: (11_560.6, 17_042.6, 25_013.0),
        seed: 1,
        trials: 4000,
        ended: Ended::Trials,
        policies: vec![
            policy(StageKind::NowThroughout, 52_324.0, estimate(392.0, 11.0)),
            policy(StageKind::LaterThroughout, 52_900.0, estimate(968.0, 13.0)),
            policy(StageKind::Planned, 51_988.0, estimate(56.0, 6.0)),
            policy(StageKind::Watched, 51_932.0, estimate(0.0, 0.0)),
            policy(StageKind::Known, 51_853.0, estimate(-79.0, 8.0)),
        ],
        best: 3,
        saving: estimate(336.0, 10.5),
        chance_saves: estimate(0.7585, 0.0068),
        would_change: true,
        watched: 4,
        watchings: vec![watching(2, 70.0), watching(4, 104.0), watching(8, 130.0), watching(16, 150.0)],
        rule: vec![
            outcome(0, 0.63775, 553.0, 9.3, Advice::Change),
            outcome(1, 0.2565, 152.0, 20.2, Advice::Change),
            outcome(2, 0.076, -37.0, 42.3, Advice::TooClose),
            outcome(3, 0.0238, -904.0, 82.0, Advice::Stay),
            Outcome { dead: 4, chance: estimate(0.0, 0.0), saving: None, advice: Advice::TooRare },
        ],
        is_idle: false,
        known: worth(135.0, 6.0),
        assumptions: vec!["all lamps are new at the change".into()],
        cautions: vec!["A caution of the scenario.".into()],
        remarks: vec![],
    }
}

/// Watching that tells nothing, in another number of rooms.
pub(crate) fn idle() -> StageReport {
    let mut report = realistic();
    report.rooms = 12;
    report.keeps_fixtures = false;
    report.is_idle = true;
    report.would_change = false;
    report.saving = estimate(-558.0, 14.0);
    for watching in &mut report.watchings {
        watching.worth = Worth { value: 0.0, se: 9.0, is_seen: false, unseen: 9.0 };
        watching.net = estimate(-watching.extra.value, 9.0);
    }
    report.policies[0].above_best = estimate(0.0, 0.0);
    report.policies[2].above_best = estimate(0.0, 0.0);
    report.policies[3].above_best = estimate(48.0, 9.0);
    report.policies[1].above_best = estimate(3.0, 9.0);
    report.best = 0;
    report
}

/// No lamps to watch, and nothing to choose.
pub(crate) fn bare() -> StageReport {
    let mut report = realistic();
    report.policies.remove(3);
    (report.watched, report.best) = (0, 2);
    (report.watchings, report.rule) = (vec![], vec![]);
    (report.cautions, report.assumptions) = (vec![], vec![]);
    report.saving = estimate(0.0, 0.0);
    report.known = Worth::default();
    report.policies.iter_mut().for_each(|policy| policy.above_best = estimate(0.0, 0.0));
    report
}

/// Text that would harm a terminal, a table or a picture.
pub(crate) fn hostile() -> StageReport {
    let mut report = idle();
    report.title = "=HYPERLINK(\"http://x\")\u{1b}[31m\u{202e}<b>&".into();
    report.now = "\u{1b}]0;x\u{7} <script>alert(1)</script> \u{2067}wide".repeat(4);
    report.later = "-2+3\r\n\u{0}\u{85}日本語の長い名前です".repeat(6);
    report.contract = "@SUM(A1)\"'&".into();
    report.currency = "U\u{1b}<D".into();
    report.basis = "re<al".into();
    report.ended = Ended::Interrupted;
    report.assumptions = vec!["\u{1b}[2J".into()];
    report
}

/// Very many lamps and very long numbers.
pub(crate) fn crowded() -> StageReport {
    let mut report = realistic();
    report.watched = 200;
    report.rule = (0..=200)
        .map(|dead: u32| Outcome {
            dead,
            chance: estimate(1.0 / 201.0, 0.001),
            saving: Some(estimate(1e14 * (100.0 - f64::from(dead)), 1e11 * f64::from(dead + 1))),
            advice: Advice::TooClose,
        })
        .collect();
    report.watchings.iter_mut().for_each(|watching| watching.lamps *= 50);
    report.policies.iter_mut().for_each(|policy| {
        policy.cost = estimate(1.234e14, 1e9);
        policy.above_best.value *= 1e12;
    });
    report
}

/// What no calculation should give.
pub(crate) fn wild() -> StageReport {
    let mut report = realistic();
    let numbers = [f64::NAN, f64::INFINITY, -1e300, 1e-300, 0.0];
    let wild = |k: usize| estimate(numbers[k % 5], numbers[(k + 2) % 5]);
    for (k, policy) in report.policies.iter_mut().enumerate() {
        (policy.cost, policy.above_best) = (wild(k), wild(k + 1));
    }
    for (k, outcome) in report.rule.iter_mut().enumerate() {
        (outcome.chance, outcome.saving) = (wild(k + 2), Some(wild(k)));
    }
    for (k, watching) in report.watchings.iter_mut().enumerate() {
        watching.worth = Worth { value: numbers[k], se: f64::NAN, is_seen: k % 2 == 0, unseen: f64::INFINITY };
        (watching.extra, watching.net) = (wild(k), wild(k + 3));
    }
    (report.saving, report.chance_saves) = (wild(0), wild(1));
    report.median_life_h = (f64::NAN, f64::INFINITY, -1e300);
    (report.burn_h, report.best, report.discount_rate) = (f64::NAN, 99, f64::NAN);
    report
}

/// All of them, by name.
pub(crate) fn all() -> Vec<(&'static str, StageReport)> {
    let mut empty = bare();
    empty.policies.clear();
    vec![
        ("realistic stages", realistic()),
        ("idle watching", idle()),
        ("bare stages", bare()),
        ("hostile stages", hostile()),
        ("crowded stages", crowded()),
        ("wild stages", wild()),
        ("empty stages", empty),
    ]
}
