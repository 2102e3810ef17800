//! The tables of `learn life`: every digit, units in the names of columns.
//!
//! Belongs here: which rows they have. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::learn_life_report::{FamilyName, FitLine, Interval, LearnLifeReport, Points, StepsWay};

use crate::table::{LIFE, LIFE_SURVIVAL, Rows, header};

/// [`LIFE`] as text: one row for each belief about the median life, each input before and after, each number of a fitted
/// curve, and a bound.
pub fn life_csv(report: &LearnLifeReport) -> String {
    let mut rows = Rows::new(&header(LIFE, "", ""));
    if let Some(belief) = &report.belief {
        let medians = [
            ("before", Some(belief.before_b50_h)),
            ("after", Some(belief.after_b50_h)),
            ("dead_only", belief.dropped_b50_h),
        ];
        for (which, points) in medians {
            if let Some(points) = points {
                row(&mut rows, report, ("median_life", which, "b50", "h"), Some(points), None);
            }
        }
        for input in &belief.inputs {
            for (which, points) in [("before", input.before), ("after", input.after)] {
                row(&mut rows, report, ("input", which, &input.pointer, &input.unit), Some(points), None);
            }
        }
    }
    for fit in &report.fits {
        let which = match fit.family {
            FamilyName::Weibull => "weibull",
            FamilyName::Lognormal => "lognormal",
        };
        for (what, unit, interval) in numbers(fit) {
            row(&mut rows, report, ("fit", which, what, unit), None, Some(interval));
        }
    }
    if let Some(bound) = report.bound {
        let only_low = Interval { value: f64::NAN, se: f64::NAN, low: Some(bound.b50_h), high: None };
        row(&mut rows, report, ("bound", "", "b50", "h"), None, Some(only_low));
    }
    rows.finish()
}

fn numbers(fit: &FitLine) -> [(&'static str, &'static str, Interval); 5] {
    let (scale, spread) = match fit.family {
        FamilyName::Weibull => ("scale", "shape"),
        FamilyName::Lognormal => ("median", "sd_of_ln_life"),
    };
    let aic = Interval { value: fit.aic, se: f64::NAN, low: None, high: None };
    [
        (scale, "h", fit.scale_h),
        (spread, "1", fit.spread),
        ("b10", "h", fit.b10_h),
        ("b50", "h", fit.b50_h),
        ("aic", "1", aic),
    ]
}

fn row(
    rows: &mut Rows,
    report: &LearnLifeReport,
    (kind, which, what, unit): (&str, &str, &str, &str),
    points: Option<Points>,
    interval: Option<Interval>,
) {
    for text in [kind, &report.option, which, what, unit] {
        rows.text(text);
    }
    for point in [points.map(|of| of.p10), points.map(|of| of.p50), points.map(|of| of.p90)] {
        rows.finite(point);
    }
    rows.finite(interval.map(|of| of.value));
    rows.finite(interval.map(|of| of.se));
    rows.finite(interval.and_then(|of| of.low));
    rows.finite(interval.and_then(|of| of.high));
    rows.number(report.counts.lamps as f64);
    rows.number(report.counts.deaths() as f64);
    rows.end();
}

/// [`LIFE_SURVIVAL`] as text: the steps of the log, then the curves of the beliefs.
pub fn life_survival_csv(report: &LearnLifeReport) -> String {
    let mut rows = Rows::new(&header(LIFE_SURVIVAL, "", ""));
    let way = match report.survival.way {
        StepsWay::KaplanMeier => "kaplan_meier",
        StepsWay::Turnbull => "turnbull",
    };
    for step in &report.survival.steps {
        rows.text(way);
        rows.number(step.from_h);
        rows.number(step.to_h);
        rows.finite(step.at_risk.map(|lamps| lamps as f64));
        rows.number(step.deaths);
        rows.finite(step.band.map(|band| band.0));
        rows.number(step.alive);
        rows.finite(step.band.map(|band| band.1));
        rows.end();
    }
    for point in report.belief.iter().flat_map(|belief| &belief.curves) {
        let dropped = point.dropped.map(|p50| Points { p10: f64::NAN, p50, p90: f64::NAN });
        for (which, points) in [("before", Some(point.before)), ("after", Some(point.after)), ("dead_only", dropped)] {
            let Some(points) = points else { continue };
            rows.text(which);
            rows.number(point.burn_h);
            rows.number(point.burn_h);
            rows.absent();
            rows.absent();
            [points.p10, points.p50, points.p90].into_iter().for_each(|share| rows.finite(Some(share)));
            rows.end();
        }
    }
    rows.finish()
}
