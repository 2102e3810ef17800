//! Planned life tests made up for tests: two like real ones, and several that are meant to break a layout.
//!
//! Belongs here: builders of `TestReport`. Does not belong here: assertions.

use decide::life_test_report::*;
use decide::result::{Ended, Estimate};

fn estimate(value: f64, se: f64) -> Estimate {
    Estimate { value, se }
}

fn design(lamps: u32, hours: f64, worth: f64, rooms: f64) -> Design {
    let (lamps_cost, electricity_cost) = (f64::from(lamps) * 124.0, f64::from(lamps) * hours * 0.048);
    let cost = lamps_cost + electricity_cost + 150.0;
    let se = 0.04 * worth;
    Design {
        lamps,
        hours,
        looks: 16,
        days: hours / 22.0,
        price_per_kwh: 0.0458,
        lamps_cost,
        electricity_cost,
        labour_cost: 150.0,
        cost,
        worth: estimate(worth, se),
        net: estimate(rooms * worth - cost, rooms * se),
        pays_from_rooms: (worth > 0.0).then(|| (cost / worth).ceil() as u64),
        changes: if worth > 0.0 { 0.3 } else { 0.0 },
        is_idle: worth == 0.0,
    }
}

fn check(hours: f64, lamps: u32, first: u32, second: u32) -> Check {
    let count = |dead: u32| {
        let advice = if (first..second).contains(&dead) { StopAdvice::GoOn } else { StopAdvice::Choose };
        Count {
            dead,
            chance: 1.0 / f64::from(lamps + 1),
            choice: usize::from(dead < first),
            worth_of_going_on: 800.0,
            cost_of_going_on: 700.0,
            advice,
        }
    };
    Check { hours, counts: (0..=lamps).map(count).collect() }
}

/// Sixteen designs for twenty rooms.
pub(crate) fn realistic() -> TestReport {
    let mut designs = vec![];
    for (lamps, worths) in [
        (4, [0.0, 169.5, 241.1, 290.5]),
        (6, [0.0, 208.3, 280.3, 314.3]),
        (10, [37.3, 225.3, 305.9, 337.5]),
        (12, [56.5, 237.9, 314.1, 343.1]),
    ] {
        for (k, worth) in worths.into_iter().enumerate() {
            designs.push(design(lamps, 4000.0 * (k as f64 + 1.0), worth, 20.0));
        }
    }
    TestReport {
        format: TEST_FORMAT.into(),
        program: "0".into(),
        title: "Study of two bays".into(),
        currency: "USD".into(),
        basis: "real".into(),
        discount_rate: 0.08,
        prices_of: "2031-03".into(),
        start: "2031-03-01".into(),
        horizon_years: 5,
        contract: "night rate".into(),
        of: "B long-life arc".into(),
        options: vec!["A cheap arc".into(), "B long-life arc".into()],
        places: vec![0, 1],
        light_bases: vec!["into 2.25 m² at 0.90 m".into(), "into 2.25 m² at 1.10 m".into()],
        service_mol: 2.35e6,
        service: "600 µmol/m²/s held over 60 m² for 5 years".into(),
        rooms: 20,
        seed: 1,
        trials: 4000,
        simulated: 2000,
        ended: Ended::Trials,
        leads: vec![estimate(0.0, 0.0), estimate(105.1, 19.5)],
        choice: 0,
        median_life_h: (11_354.0, 16_738.0, 24_566.0),
        known: Worth { value: 386.7, se: 8.0, is_seen: true, unseen: 1.0 },
        terms: Terms {
            in_sockets: false,
            bench_h_per_start: Some(11.0),
            bench_off_h: Some(1.0),
            look_every_h: 500.0,
            lamp_price: 124.0,
            kw_per_lamp: 1.047,
            set_up: 150.0,
            look_cost: 0.0,
            kwh_is_given: false,
        },
        designs,
        best: 1,
        stop: Some(StopTable {
            lamps: 6,
            hours: 8000.0,
            rooms: 20,
            checks: vec![
                check(2000.0, 6, 0, 1),
                check(4000.0, 6, 0, 1),
                check(6000.0, 6, 1, 2),
                check(8000.0, 6, 2, 2),
            ],
            expected_h: 6890.0,
            expected_cost: 1806.4,
            expected_worth: 201.5,
            pays_from_rooms: Some(14),
            chances: vec![0.38, 0.62],
        }),
        in_sockets: Some(Design {
            days: 667.0,
            cost: 468.0,
            pays_from_rooms: Some(3),
            ..design(6, 8000.0, 204.0, 20.0)
        }),
        assumptions: vec!["the tested lamps are new".into()],
        cautions: vec!["A caution of the test.".into()],
        remarks: vec![],
    }
}

/// Tests that nothing could come of.
pub(crate) fn idle() -> TestReport {
    let mut report = realistic();
    report.rooms = 1;
    report.designs = vec![design(4, 4000.0, 0.0, 1.0), design(6, 4000.0, 0.0, 1.0)];
    (report.best, report.stop, report.in_sockets) = (0, None, None);
    report
}

/// Lamps in sockets, whose worth nobody can see.
pub(crate) fn bare() -> TestReport {
    let mut report = idle();
    report.terms = Terms { in_sockets: true, bench_h_per_start: None, bench_off_h: None, ..report.terms };
    report.designs.truncate(1);
    report.designs[0].is_idle = false;
    report.known = Worth { value: 0.0, se: 9.0, is_seen: false, unseen: 9.0 };
    report.leads[1] = estimate(5.0, 19.0);
    (report.cautions, report.assumptions) = (vec![], vec![]);
    report
}

/// Text that would harm a terminal, a table or a picture.
pub(crate) fn hostile() -> TestReport {
    let mut report = realistic();
    report.title = "=HYPERLINK(\"http://x\")\u{1b}[31m\u{202e}<b>&".into();
    report.of = "\u{1b}]0;x\u{7} <script>alert(1)</script> \u{2067}wide".repeat(4);
    report.options = vec!["-2+3\r\n\u{0}\u{85}日本語の長い名前です".repeat(6), report.of.clone()];
    report.contract = "@SUM(A1)\"'&".into();
    report.currency = "U\u{1b}<D".into();
    report.basis = "re<al".into();
    report.ended = Ended::Interrupted;
    report.assumptions = vec!["\u{1b}[2J".into()];
    report
}

/// Very many lamps, designs and very long numbers.
pub(crate) fn crowded() -> TestReport {
    let mut report = realistic();
    report.designs = (1..=12)
        .flat_map(|n| (1..=12).map(move |h| design(n * 16, 16_000.0 * f64::from(h), 1e11 * f64::from(h), 1e6)))
        .collect();
    report.best = 143;
    report.rooms = 1_000_000;
    if let Some(stop) = &mut report.stop {
        stop.lamps = 200;
        stop.checks = (1..=8).map(|k| check(25_000.0 * f64::from(k), 200, 3 * k, 9 * k)).collect();
    }
    report
}

/// What no calculation should give.
pub(crate) fn wild() -> TestReport {
    let mut report = realistic();
    let numbers = [f64::NAN, f64::INFINITY, -1e300, 1e-300, 0.0];
    for (k, design) in report.designs.iter_mut().enumerate() {
        let wild = |by: usize| estimate(numbers[(k + by) % 5], numbers[(k + by + 2) % 5]);
        (design.worth, design.net, design.cost, design.days) = (wild(0), wild(1), numbers[k % 5], numbers[(k + 3) % 5]);
        (design.changes, design.price_per_kwh) = (numbers[(k + 4) % 5], numbers[k % 5]);
    }
    if let Some(stop) = &mut report.stop {
        (stop.hours, stop.expected_h, stop.chances) = (f64::NAN, f64::INFINITY, vec![f64::NAN, 1e300, 0.5]);
        (stop.expected_cost, stop.expected_worth, stop.pays_from_rooms) = (f64::NAN, -1e300, Some(u64::MAX));
        stop.checks[0].hours = f64::NAN;
        for (k, count) in stop.checks[1].counts.iter_mut().enumerate() {
            (count.chance, count.choice) = (numbers[k % 5], 99);
        }
        for count in &mut stop.checks[2].counts {
            count.advice = StopAdvice::CannotBe;
        }
    }
    report.known = Worth { value: f64::NAN, se: f64::INFINITY, is_seen: true, unseen: f64::NAN };
    report.leads = vec![estimate(f64::NAN, f64::NAN); 2];
    report.median_life_h = (f64::NAN, f64::INFINITY, -1e300);
    (report.best, report.choice, report.discount_rate) = (999, 7, f64::NAN);
    report
}

/// All of them, by name.
pub(crate) fn all() -> Vec<(&'static str, TestReport)> {
    let mut empty = bare();
    empty.designs.clear();
    empty.options.clear();
    empty.leads.clear();
    vec![
        ("realistic tests", realistic()),
        ("idle tests", idle()),
        ("bare tests", bare()),
        ("hostile tests", hostile()),
        ("crowded tests", crowded()),
        ("wild tests", wild()),
        ("empty tests", empty),
    ]
}
