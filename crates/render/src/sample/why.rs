//! Reports of `why` made up for tests: one like a real one, and several that are meant to break a layout.
//!
//! Belongs here: builders of `WhyReport`. Does not belong here: assertions.

use decide::result::{Cause, Ended, Estimate, Verdict};
use decide::why_report::*;
use decide::why_terms::Term;

fn estimate(value: f64, se: f64) -> Estimate {
    Estimate { value, se }
}

fn part(cause: Option<Cause>, value: f64) -> LeadPart {
    let half = cause.map(|_| estimate(value * 0.7, value.abs() * 0.01));
    LeadPart {
        cause,
        name: cause.map_or("light held", Cause::label).into(),
        lead: estimate(value, value.abs() * 0.004),
        by_money: half,
        by_new_light: cause.map(|_| estimate(value * 0.3, 0.0)),
    }
}

/// A lead of parts in ct/mol, in the order of the causes and light held last.
fn lead(parts: [f64; 13]) -> Lead {
    let causes = Cause::ALL.into_iter().map(Some).chain([None]);
    let all: f64 = parts.iter().sum::<f64>() / 100.0;
    Lead {
        option: "D panel LED".into(),
        against: "A cheap arc".into(),
        lead: estimate(all, 1e-5),
        chance_cheaper: estimate(0.62, 0.008),
        verdict: if all < 0.0 { Verdict::A } else { Verdict::B },
        parts: causes.zip(parts).map(|(cause, value)| part(cause, value / 100.0)).collect(),
        energy: EnergyParts { by_kwh: estimate(-0.0029, 1e-6), by_price: estimate(1e-5, 1e-7) },
        held: HeldParts { by_dark: estimate(-2e-5, 1e-7), by_dimming: estimate(2e-4, 1e-6) },
    }
}

fn given(place: &str, value: f64, stated: bool) -> Given {
    Given {
        pointer: "/options/0".into(),
        place: place.into(),
        value,
        unit: "USD/fixture".into(),
        certain: stated,
        grade: "invoice".into(),
        stated,
    }
}

fn line(group: Group, working: Vec<Term>, value: f64, origin: Origin) -> SumLine {
    SumLine {
        group,
        what: "a line of the sum".into(),
        working,
        value,
        unit: "USD".into(),
        origin,
        note: "a remark on where it comes from, which is not short".into(),
        inputs: vec![given("options[\"A cheap arc\"].fixture.price", 210.0, true), given("elsewhere", 1.5, false)],
    }
}

fn sum(value: f64, ratio: f64) -> OptionSum {
    let formula: Vec<Term> = vec![100.0.into(), "×".into(), (ratio * 531_234.7).into(), "/".into(), 531_234.7.into()];
    OptionSum {
        option: "A cheap arc".into(),
        light_basis: "into 2.25 m² at 0.90 m".into(),
        levelized: estimate(value, value.abs() * 1e-4),
        ratio_of_means: ratio,
        lines: vec![
            line(Group::Start, vec![24.0.into(), "×".into(), 270.0.into()], 6480.0, Origin::Inputs),
            line(Group::Upkeep, vec![481.651.into()], 481.651, Origin::Simulated),
            line(Group::Light, vec![2.0.into(), "+".into(), 0.123_456.into()], 2.123_456, Origin::Lines),
        ],
        formula,
        behind: vec![given("money.discount_rate", 0.08, true)],
    }
}

/// A report like that of the demonstration.
pub(crate) fn realistic() -> WhyReport {
    WhyReport {
        format: WHY_FORMAT.into(),
        program: "0.1.0".into(),
        title: "Study of two bays".into(),
        currency: "USD".into(),
        basis: "real".into(),
        discount_rate: 0.08,
        booked: "end of month".into(),
        prices_of: "2031-03".into(),
        start: "2031-03-01".into(),
        horizon_years: 5,
        contract: "flat contract".into(),
        lights: "21:00–09:00".into(),
        seed: 1,
        trials: 4_000,
        ended: Ended::Trials,
        lead: Some(lead([0.5, 0.0, -0.15, 0.0, 0.01, -0.006, 0.0, -0.93, -0.07, 0.0, -0.2, 0.0, 0.02])),
        sums: vec![sum(0.019_512, 0.019_512), sum(0.019_53, 0.019_48)],
        cautions: vec!["Mercury: keep old lamps whole.".into()],
        remarks: vec!["A remark.".into()],
    }
}

/// Every report, with its name.
pub(crate) fn all() -> Vec<(&'static str, WhyReport)> {
    let changed = |change: &dyn Fn(&mut WhyReport)| {
        let mut report = realistic();
        change(&mut report);
        report
    };
    vec![
        ("realistic", realistic()),
        ("alone", changed(&|report| report.lead = None)),
        ("the other leads", changed(&|report| report.lead = Some(lead([0.3; 13])))),
        (
            "itself",
            changed(&|report| {
                let mut nothing = lead([0.0; 13]);
                (nothing.lead, nothing.verdict) = (estimate(0.0, 0.0), Verdict::Tie);
                nothing.against = nothing.option.clone();
                report.lead = Some(nothing);
            }),
        ),
        (
            "tie",
            changed(&|report| {
                if let Some(lead) = &mut report.lead {
                    (lead.lead, lead.verdict) = (estimate(1e-6, 1e-5), Verdict::Tie);
                }
            }),
        ),
        (
            "hostile",
            changed(&|report| {
                let name = "\u{202e}<script>\u{1b}[2J & a name that never ends ".repeat(9);
                report.title = name.clone();
                report.contract = name.clone();
                report.ended = Ended::Interrupted;
                for sum in &mut report.sums {
                    sum.option = name.clone();
                    sum.lines[0].inputs[0].place = name.replace(' ', "_");
                }
                if let Some(lead) = &mut report.lead {
                    (lead.option, lead.against) = (name.clone(), format!("{name}2"));
                }
            }),
        ),
        (
            "wild",
            changed(&|report| {
                for (part, wild) in report.lead.iter_mut().flat_map(|lead| &mut lead.parts).zip([
                    f64::NAN,
                    f64::INFINITY,
                    1e300,
                    -1e-300,
                ]) {
                    part.lead = estimate(wild, wild);
                }
                for (sum, wild) in report.sums.iter_mut().zip([f64::NAN, 1e300]) {
                    (sum.levelized, sum.ratio_of_means) = (estimate(wild, wild), wild);
                    sum.lines[0].value = wild;
                    sum.formula[2] = wild.into();
                }
            }),
        ),
    ]
}
