//! Reports of `learn life` made up for tests.

use decide::learn_life_report::*;

fn points(p50: f64, ratio: f64) -> Points {
    Points { p10: p50 / ratio, p50, p90: p50 * ratio }
}

fn interval(value: f64) -> Interval {
    Interval { value, se: value * 0.2, low: Some(value * 0.6), high: Some(value * 1.9) }
}

fn alive(hours: f64, b50: f64) -> f64 {
    0.5f64.powf((hours / b50).powi(3))
}

fn curves(dropped: bool) -> Vec<CurvePoint> {
    let at = |burn_h: f64, b50: [f64; 3]| {
        let [p10, p50, p90] = b50.map(|b50| alive(burn_h, b50));
        Points { p10, p50, p90 }
    };
    (0..61)
        .map(|k| {
            let burn_h = 500.0 * f64::from(k);
            CurvePoint {
                burn_h,
                before: at(burn_h, [11_600.0, 17_000.0, 24_900.0]),
                after: at(burn_h, [12_800.0, 16_200.0, 21_100.0]),
                dropped: dropped.then(|| alive(burn_h, 11_700.0)),
            }
        })
        .collect()
}

/// Twelve lamps, two of which died.
pub(crate) fn realistic() -> LearnLifeReport {
    let fit = |family, aic| FitLine {
        family,
        scale_h: interval(18_300.0),
        spread: interval(if family == FamilyName::Weibull { 3.4 } else { 0.55 }),
        b10_h: interval(9_400.0),
        b50_h: interval(16_400.0),
        log_likelihood: -21.3,
        aic,
    };
    LearnLifeReport {
        format: LEARN_LIFE_FORMAT.into(),
        program: "0.1.0".into(),
        title: "Study of two bays".into(),
        option: "B long-life arc".into(),
        place: "/options/1/lamp/life".into(),
        logs: vec!["next-bay.csv".into()],
        counts: Counts {
            lamps: 12,
            died: 2,
            burning: 9,
            broken: 1,
            watched_h: 108_100,
            oldest_h: 9_900,
            ..Counts::default()
        },
        log_hours_per_start: 12.0,
        hours_per_start: 12.0,
        hours_per_day: 12.0,
        confidence: 0.95,
        survival: SurvivalSteps {
            way: StepsWay::KaplanMeier,
            steps: vec![
                StepLine {
                    from_h: 6_100.0,
                    to_h: 6_100.0,
                    at_risk: Some(11),
                    deaths: 1.0,
                    alive: 0.909,
                    band: Some((0.51, 0.987)),
                },
                StepLine {
                    from_h: 9_800.0,
                    to_h: 9_800.0,
                    at_risk: Some(10),
                    deaths: 1.0,
                    alive: 0.818,
                    band: Some((0.45, 0.951)),
                },
            ],
        },
        fits: vec![fit(FamilyName::Weibull, 46.6), fit(FamilyName::Lognormal, 46.9)],
        bound: None,
        lots: None,
        belief: Some(BeliefLine {
            before_b50_h: Points { p10: 11_580.0, p50: 17_000.0, p90: 24_970.0 },
            after_b50_h: Points { p10: 12_824.0, p50: 16_170.0, p90: 21_102.0 },
            dropped_b50_h: Some(Points { p10: 8_632.0, p50: 11_674.0, p90: 16_270.0 }),
            data_share: 0.575,
            before_in_deaths: Some(1.235),
            inputs: vec![LearntInput {
                pointer: "/b50".into(),
                place: "options[\"B long-life arc\"].lamp.life.b50".into(),
                unit: "h".into(),
                before: Points { p10: 11_580.0, p50: 17_000.0, p90: 24_970.0 },
                after: Points { p10: 12_824.0, p50: 16_170.0, p90: 21_102.0 },
                draws: vec![],
            }],
            way: "grid".into(),
            size: 8_192,
            effective: 8_192.0,
            ln_evidence: -22.1,
            draws: 1_000,
            curves: curves(true),
        }),
        claim_h: Some(24_000.0),
        marks: vec![
            Mark { from_h: 3_100.0, to_h: None, lamps: 1 },
            Mark { from_h: 6_100.0, to_h: Some(6_100.0), lamps: 1 },
            Mark { from_h: 9_800.0, to_h: Some(9_800.0), lamps: 1 },
            Mark { from_h: 9_900.0, to_h: None, lamps: 9 },
        ],
        assumptions: vec!["the logged lamps burned 12.0 h per start".into()],
        cautions: vec!["Lamps hold mercury.".into()],
        remarks: vec![],
    }
}

/// Nobody dead, so no curve and no wrong answer.
pub(crate) fn none_dead() -> LearnLifeReport {
    let mut report = realistic();
    report.counts = Counts { lamps: 12, burning: 12, watched_h: 118_800, oldest_h: 9_900, ..Counts::default() };
    (report.survival.steps, report.fits) = (vec![], vec![]);
    report.bound = Some(MedianBound { family: FamilyName::Weibull, spread: 3.0, b50_h: 15_211.0, confidence: 0.9 });
    report.marks = vec![Mark { from_h: 9_900.0, to_h: None, lamps: 12 }];
    report.claim_h = None;
    if let Some(belief) = &mut report.belief {
        belief.dropped_b50_h = None;
        belief.curves = curves(false);
        belief.data_share = 0.0;
    }
    report
}

/// A certain life: the log alone, with deaths between hours and lots.
pub(crate) fn certain() -> LearnLifeReport {
    let mut report = realistic();
    report.belief = None;
    report.survival.way = StepsWay::Turnbull;
    for step in &mut report.survival.steps {
        (step.from_h, step.at_risk, step.band) = (step.from_h - 900.0, None, None);
    }
    report.counts.died_between = 2;
    report.counts.late = 3;
    report.counts.other_rows = 4;
    report.counts.blank_rows = 1;
    report.marks[1].from_h = 5_200.0;
    report.fits[0].b50_h.high = None;
    let lot = |name: &str, deaths, expected| LotLine { name: name.into(), lamps: 6, deaths, expected };
    report.lots = Some(LotsLine { lots: vec![lot("2028-05", 2, 1.1), lot("2028-06", 0, 0.9)], chance: 0.31 });
    report
}

/// Names that try to leave their place.
pub(crate) fn hostile() -> LearnLifeReport {
    let mut report = certain();
    let bad = "=SUM(A1)\"'&<script>\u{202e}\u{1b}[2J\u{7}\n\u{85}日本語のとても長い名前";
    report.title = bad.repeat(4);
    report.option = format!("@{bad}");
    report.logs = vec![bad.repeat(9), String::new()];
    report.belief = realistic().belief;
    if let (Some(belief), Some(lots)) = (&mut report.belief, &mut report.lots) {
        belief.inputs[0].pointer = format!("/{bad}");
        belief.inputs[0].unit = "\u{1b}h".into();
        lots.lots[0].name = bad.into();
    }
    report.assumptions = vec![bad.into()];
    report
}

/// Very many marks and inputs.
pub(crate) fn crowded() -> LearnLifeReport {
    let mut report = realistic();
    report.marks = (0..300u32)
        .map(|k| {
            let hours = 60.0 * f64::from(k);
            Mark { from_h: hours, to_h: (k % 2 == 0).then_some(hours + 500.0), lamps: u64::from(k) * 1_000_000 }
        })
        .collect();
    report.survival.steps = (0..5_000u32)
        .map(|k| {
            let (hours, alive) = (6.0 * f64::from(k + 1), 1.0 - f64::from(k + 1) / 5_000.0);
            StepLine {
                from_h: hours,
                to_h: hours,
                at_risk: Some(10_000_000),
                deaths: 1e6,
                alive,
                band: Some((alive * 0.9, alive)),
            }
        })
        .collect();
    if let Some(belief) = &mut report.belief {
        let input = belief.inputs[0].clone();
        belief.inputs = (0..9)
            .map(|k| LearntInput { pointer: format!("/derates/{k}/factor"), unit: "1".into(), ..input.clone() })
            .collect();
    }
    report
}

/// What no calculation should give.
pub(crate) fn wild() -> LearnLifeReport {
    let mut report = realistic();
    let wild = points(f64::NAN, f64::INFINITY);
    if let Some(belief) = &mut report.belief {
        (belief.before_b50_h, belief.after_b50_h, belief.dropped_b50_h) =
            (wild, points(-1e300, 1e300), Some(points(0.0, 0.0)));
        (belief.data_share, belief.before_in_deaths) = (f64::NAN, Some(f64::INFINITY));
        belief.curves[3].after = wild;
        belief.curves[4].burn_h = f64::NAN;
        belief.curves[5].dropped = Some(1e300);
    }
    report.survival.steps[0].alive = f64::NAN;
    report.survival.steps[1].to_h = f64::INFINITY;
    report.marks[0].from_h = f64::NAN;
    report.fits[0].b50_h = Interval { value: f64::NAN, se: f64::INFINITY, low: None, high: Some(-1e300) };
    report.claim_h = Some(f64::INFINITY);
    report.log_hours_per_start = f64::NAN;
    report
}

/// All of them, by name.
pub(crate) fn all() -> Vec<(&'static str, LearnLifeReport)> {
    let mut empty = certain();
    (empty.marks, empty.survival.steps, empty.claim_h) = (vec![], vec![], None);
    vec![
        ("realistic lives", realistic()),
        ("lives without deaths", none_dead()),
        ("certain lives", certain()),
        ("hostile lives", hostile()),
        ("crowded lives", crowded()),
        ("wild lives", wild()),
        ("empty lives", empty),
    ]
}
