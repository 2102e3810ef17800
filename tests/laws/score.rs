//! Forecasts of a simulated truth: right ones are let pass, wrong ones are caught.

use decide::score::score;
use decide::score_report::{ScoreReport, WidthWord};
use draws::{Purpose, Stream, standard_normal};
use learn::score::quantile_loss;
use records::{Forecast, Number};

/// The 90 % point of a standard normal (its tables).
const NINE_IN_TEN: f64 = 1.281_551_565_545;

/// So many forecasts of normal outcomes, whose spans are `stretch` times as wide as they should be and whose medians lean by so
/// many standard deviations; standard deviations differ from row to row by up to twentyfold.
fn forecasts(many: u64, stretch: f64, lean: f64, item: u64) -> Vec<Forecast> {
    let luck = Stream::new(23, Purpose::Shared, item, 0);
    (0..many)
        .map(|k| {
            let sd = 100.0 * 0.01 * 20f64.powf(luck.uniform(2 * k + 1));
            let middle = 100.0 + lean * sd;
            let half = NINE_IN_TEN * sd * stretch;
            Forecast {
                line: k + 2,
                what: format!("number {k}"),
                unit: "mol".into(),
                p10: middle - half,
                p50: Some(middle),
                p90: middle + half,
                wide: None,
                happened: Some(Number { value: 100.0 + sd * standard_normal(luck.uniform(2 * k)), is_about: false }),
                made: String::new(),
                came: String::new(),
                note: String::new(),
            }
        })
        .collect()
}

fn judged(many: u64, stretch: f64, lean: f64, item: u64) -> ScoreReport {
    score(&forecasts(many, stretch, lean, item), "truth", "test")
}

#[test]
fn right_spans_hold_four_in_five_and_are_seldom_spoken_against() {
    let report = judged(4_000, 1.0, 0.0, 1);
    let within = report.within.unwrap();
    // the binomial's standard deviation is √(4000 · 0.8 · 0.2) = 25.3
    assert!((within.found as f64 - 3_200.0).abs() < 4.5 * 25.3, "{within:?}");
    for below in &report.below {
        let sd = (4_000.0 * below.share * (1.0 - below.share)).sqrt();
        assert!((below.found as f64 - below.expected).abs() < 4.5 * sd, "{below:?}");
    }
    assert!(report.parts.unwrap().chance > 1e-4);
    // exact limits at 95 % speak against right spans in one of twenty tables at most
    let wrong = (0..400).filter(|item| judged(24, 1.0, 0.0, 100 + item).width != WidthWord::Fits).count();
    assert!((wrong as f64) < 20.0 + 4.5 * 19f64.sqrt(), "{wrong} of 400");
}

#[test]
fn spans_of_the_wrong_width_are_caught() {
    // 0.6 of the width hold 56 % of outcomes, 1.8 times the width 98 %
    assert_eq!(judged(100, 0.6, 0.0, 2).width, WidthWord::TooNarrow);
    assert_eq!(judged(100, 1.8, 0.0, 3).width, WidthWord::TooWide);
    assert!(judged(2_000, 0.6, 0.0, 4).parts.unwrap().chance < 1e-6);
    assert_eq!(judged(9, 0.1, 0.0, 5).width, WidthWord::TooFew);
}

#[test]
fn a_lean_is_caught_and_none_is_made_up() {
    let limits = |lean: f64, item: u64| judged(300, 1.0, lean, item).bias.unwrap().limits.unwrap();
    assert!(limits(0.6, 6).1 < 1.0 && limits(-0.6, 7).0 > 1.0);
    let (low, high) = limits(0.0, 8);
    assert!(low < 1.0 && high > 1.0);
}

#[test]
fn knowing_which_row_is_unsure_beats_one_span_for_all() {
    let losses = judged(1_000, 1.0, 0.0, 9).losses.unwrap();
    assert!(losses.own < 0.95 * losses.plain.unwrap(), "{losses:?}");
    let losses = judged(1_000, 5.0, 0.0, 9).losses.unwrap();
    assert!(losses.own > losses.plain.unwrap(), "{losses:?}");
}

#[test]
fn the_true_quantile_loses_least() {
    let luck = Stream::new(29, Purpose::Shared, 1, 0);
    let sample: Vec<f64> = (0..40_000).map(|k| standard_normal(luck.uniform(k))).collect();
    let mean = |point: f64| sample.iter().map(|x| quantile_loss(0.9, point, *x)).sum::<f64>() / sample.len() as f64;
    let truth = mean(NINE_IN_TEN);
    assert!([-0.5, -0.2, 0.2, 0.5].iter().all(|off| mean(NINE_IN_TEN + off) > truth));
    // its mean loss is the density there (of the normal, by calculus)
    let density = (-NINE_IN_TEN * NINE_IN_TEN / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt();
    assert!((truth - density).abs() < 0.005, "{truth} against {density}");
}
