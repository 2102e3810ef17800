//! Scores made up for tests: one like a real one, and several that are meant to break a layout.
//!
//! Belongs here: builders of `ScoreReport`. Does not belong here: assertions.

use decide::score_report::*;

fn line(number: u64, what: &str, points: (f64, f64, f64), happened: f64, miss: Option<f64>) -> ScoreLine {
    ScoreLine {
        line: number,
        what: what.into(),
        unit: "USD/mol".into(),
        p10: points.0,
        p50: Some(points.1),
        p90: points.2,
        happened,
        is_about: number.is_multiple_of(2),
        made: "2029-03-01".into(),
        came: "2030-03".into(),
        is_within: miss == Some(0.0),
        miss,
        interval_score: 1.5,
        quantile_loss: 0.25,
        look: if miss == Some(0.0) { String::new() } else { "price, power or light".into() },
        note: "first bay".into(),
    }
}

/// Twelve outcomes, two of them surprises, and an open row.
pub(crate) fn realistic() -> ScoreReport {
    let mut lines = vec![
        line(3, "A cheap arc: cost of a mole in year 1", (0.019, 0.020, 0.021), 0.0226, Some(0.8)),
        line(8, "A cheap arc: lamps bought in year 2", (4.0, 6.0, 9.0), 2.0, Some(-0.4)),
    ];
    lines.extend(
        (0..10).map(|k| line(10 + k, "moles in a quarter", (80.0, 100.0, 120.0), 85.0 + 3.0 * k as f64, Some(0.0))),
    );
    ScoreReport {
        format: SCORE_FORMAT.into(),
        program: "0".into(),
        source: "forecasts.csv".into(),
        came: 12,
        within: Some(Held { found: 10, on: 0, of: 12, promised: 0.8, low: 0.515_86, high: 0.979_14 }),
        within_wide: Some(Held { found: 11, on: 1, of: 12, promised: 0.9, low: 0.615_20, high: 0.997_89 }),
        width: WidthWord::Fits,
        below: [0.1, 0.5, 0.9]
            .map(|share| Below { share, found: 3, on: 1, of: 12, expected: share * 12.0, low: 0.06, high: 0.61 })
            .to_vec(),
        parts: None,
        bias: Some(Bias { ratio: 0.984, limits: Some((0.91, 1.03)), of: 12 }),
        losses: Some(Losses { own: 0.034_5, plain: Some(0.041_2), interval: 0.42, of: 12 }),
        lines,
        open: vec![OpenLine {
            line: 20,
            what: "B long-life arc: failures in year 3".into(),
            unit: "1".into(),
            p10: 1.0,
            p50: None,
            p90: 5.0,
            made: String::new(),
        }],
        caveats: vec!["Rows share luck.".into()],
        remarks: vec!["A remark.".into()],
    }
}

/// Text that would harm a terminal, a table or a picture.
pub(crate) fn hostile() -> ScoreReport {
    let mut report = realistic();
    report.source = "\u{1b}]0;x\u{7} <script>alert(1)</script> \u{2067}wide".repeat(4);
    report.lines[0].what = "=HYPERLINK(\"http://x\")\u{1b}[31m\u{202e}<b>&".into();
    report.lines[0].unit = "@SUM(A1)\"'&".into();
    report.lines[1].what = "-2+3\r\n\u{0}\u{85}日本語の長い名前です".repeat(9);
    report.lines[1].unit = "長い単位".repeat(20);
    report.lines[1].note = "\u{1b}[2J".into();
    report.open[0].what = "<script>\u{1b}".into();
    report.caveats = vec!["\u{1b}[2J".into()];
    report
}

/// All of them, by name.
pub(crate) fn all() -> Vec<(&'static str, ScoreReport)> {
    let mut crowded = realistic();
    crowded.lines =
        (0..90).map(|k| line(k, &"a name that goes on ".repeat(9), (-1e14, 0.0, 1e14), 1e15, Some(4.5))).collect();
    crowded.open = (0..90).map(|_| crowded.open[0].clone()).collect();
    crowded.parts = Some(Parts { counts: [5, 30, 40, 15], chi_square: 12.34, chance: 0.0063 });
    let mut wild = realistic();
    for (k, line) in wild.lines.iter_mut().enumerate() {
        let numbers = [f64::NAN, f64::INFINITY, -1e300, 1e-300, 0.0];
        (line.p10, line.p90, line.happened) = (numbers[k % 5], numbers[(k + 1) % 5], numbers[(k + 3) % 5]);
        (line.p50, line.miss) = (Some(numbers[(k + 2) % 5]), (k % 2 == 0).then_some(f64::NAN));
    }
    wild.losses = Some(Losses { own: f64::NAN, plain: Some(f64::INFINITY), interval: -1e300, of: 0 });
    wild.bias = Some(Bias { ratio: f64::NAN, limits: Some((f64::NAN, f64::INFINITY)), of: 0 });
    let mut certain = realistic();
    certain.lines.iter_mut().for_each(|line| {
        (line.p10, line.p50, line.p90, line.happened, line.is_within) = (5.0, Some(5.0), 5.0, 6.0, false);
        line.miss = None;
    });
    let mut empty = realistic();
    (empty.lines, empty.open, empty.came) = (vec![], vec![], 0);
    (empty.within, empty.within_wide, empty.bias, empty.losses) = (None, None, None, None);
    empty.width = WidthWord::TooFew;
    vec![
        ("realistic scores", realistic()),
        ("hostile scores", hostile()),
        ("crowded scores", crowded),
        ("wild scores", wild),
        ("certain scores", certain),
        ("empty scores", empty),
    ]
}
