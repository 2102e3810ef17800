//! Scores of a few rows, worked by hand; the mathematics is held in `learn` and against outside numbers.

use super::*;
use records::Number;

fn forecast(line: u64, points: (f64, Option<f64>, f64), happened: Option<f64>) -> Forecast {
    Forecast {
        line,
        what: format!("number {line}"),
        unit: "h".into(),
        p10: points.0,
        p50: points.1,
        p90: points.2,
        wide: None,
        happened: happened.map(|value| Number { value, is_about: false }),
        made: "2031-03".into(),
        came: String::new(),
        note: String::new(),
    }
}

#[test]
fn a_handful_is_counted_and_sorted() {
    let rows = [
        forecast(2, (8.0, Some(10.0), 12.0), Some(11.0)),
        forecast(3, (8.0, Some(10.0), 12.0), Some(13.0)),
        forecast(4, (8.0, Some(10.0), 12.0), Some(4.0)),
        forecast(5, (8.0, None, 12.0), Some(8.0)),
        forecast(6, (8.0, Some(10.0), 12.0), None),
        forecast(7, (5.0, Some(5.0), 5.0), Some(6.0)),
    ];
    let report = score(&rows, "f.csv", "0");
    let within = report.within.unwrap();
    assert_eq!((within.found, within.of, report.came, report.open.len()), (2, 5, 5, 1));
    assert_eq!(report.width, WidthWord::TooFew);
    // no width first, then one width below, a quarter above, then as written
    assert_eq!(report.lines.iter().map(|line| line.line).collect::<Vec<_>>(), [7, 4, 3, 2, 5]);
    assert_eq!(report.lines.iter().map(|line| line.miss).collect::<Vec<_>>()[1..3], [Some(-1.0), Some(0.25)]);
    assert!((report.lines[1].interval_score - (4.0 + 10.0 * 4.0)).abs() < 1e-9);
    let counted: Vec<(usize, usize, usize)> =
        report.below.iter().map(|below| (below.found, below.on, below.of)).collect();
    assert_eq!(counted, [(1, 1, 5), (1, 0, 4), (3, 0, 5)]);
    let bias = report.bias.unwrap();
    // 0.4, 1.1, 1.2, 1.3
    assert!((bias.ratio - 1.15).abs() < 1e-12 && bias.limits.is_none() && bias.of == 4);
    assert_eq!((report.losses.unwrap().plain, report.parts), (None, None));
    assert!(report.within_wide.is_none());
}

#[test]
fn words_wait_for_ten_outcomes() {
    let rows = |hits: usize, all: usize| -> Vec<Forecast> {
        let outcome = |k: usize| Some(if k < hits { 9.0 + k as f64 * 0.01 } else { 20.0 });
        (0..all).map(|k| forecast(k as u64 + 2, (8.0, Some(10.0), 12.0), outcome(k))).collect()
    };
    let word = |hits, all| score(&rows(hits, all), "f.csv", "0").width;
    assert_eq!(word(0, 9), WidthWord::TooFew);
    assert_eq!(word(0, 10), WidthWord::TooNarrow);
    // 4 of 10: at most 0.738; 5 of 10: at most 0.813 (printed tables of exact limits, from memory)
    assert_eq!([word(4, 10), word(5, 10)], [WidthWord::TooNarrow, WidthWord::Fits]);
    // all of n: at least 0.025^(1/n), above 0.8 from 17 on
    assert_eq!([word(16, 16), word(17, 17)], [WidthWord::Fits, WidthWord::TooWide]);
    assert_eq!(score(&[], "f.csv", "0").width, WidthWord::TooFew);
}

/// Counts are coarse: Poisson's with mean 0.7 has its 10 %, 50 % and 90 % points at 0, 1 and 2 (by adding up e^−0.7 · 0.7^k/k!:
/// 0.497, 0.844, 0.966), and puts 35 % between the ends and 62 % on them.
#[test]
fn right_spans_of_counts_are_not_called_wide_or_narrow() {
    let rows: Vec<Forecast> = (0..1_000)
        .map(|k| {
            // outcomes at even steps of the distribution
            let count = [0.496_6, 0.844_2, 0.965_9, 0.994_2].iter().filter(|share| k as f64 / 1e3 >= **share).count();
            forecast(k + 2, (0.0, Some(1.0), 2.0), Some(count as f64))
        })
        .collect();
    let report = score(&rows, "f.csv", "0");
    let within = report.within.unwrap();
    assert_eq!((within.found, within.on, report.width), (966, 618, WidthWord::Fits));
    assert!(within.low < 0.4 && within.high > 0.95, "{within:?}");
    assert!(
        report.below.iter().all(|below| below.low <= below.share && below.share <= below.high),
        "{:?}",
        report.below
    );
    assert!(report.parts.is_none() && report.caveats.iter().any(|caveat| caveat.contains("on an end")));
    // spans that are wide whichever way ties are counted are still called so
    let wide: Vec<Forecast> = rows.iter().map(|row| Forecast { p10: -1.0, p90: 9.0, ..row.clone() }).collect();
    assert_eq!(score(&wide, "f.csv", "0").width, WidthWord::TooWide);
}

#[test]
fn rows_of_a_run_need_no_day() {
    let mut row = forecast(2, (8.0, Some(10.0), 12.0), None);
    row.made.clear();
    let undated = |row: &Forecast| score(std::slice::from_ref(row), "f.csv", "0").remarks;
    assert_eq!(undated(&row), ["Forecasts of which nobody knows when they were made (column `made`): 1"]);
    row.note = "mean 1.20; run of 2000 trials, seed 1, inputs 0123456789ab".into();
    assert!(undated(&row).is_empty());
}

#[test]
fn a_miss_says_where_to_look() {
    assert!(words::look("A: failures in year 2", "1", true).contains("died sooner"));
    assert!(words::look("A: lamps bought", "1", false).contains("lived longer"));
    assert!(words::look("cost of a mole", "USD/mol", true).contains("`why`"));
    assert!(words::look("moles", "mol", false).contains("fading"));
    assert!(words::look("days", "d", true).contains("inputs"));
}
