//! Trials made up for tests: one like a real one, and several that are meant to break a layout.
//!
//! Belongs here: builders of `AssignReport`. Does not belong here: assertions.

use decide::assign::{AssignOrder, Assigned, WantedLamp, assign, general_cautions};
use decide::assign_report::AssignReport;

fn order(names: &[(&str, f64)], sockets: usize, places: usize) -> AssignOrder {
    AssignOrder {
        title: "Study of two bays".into(),
        lamps: names.iter().map(|(name, price)| WantedLamp { name: (*name).into(), price: Some(*price) }).collect(),
        of_each: None,
        sockets,
        places,
        seed: 7,
        from: Some("2031-03-01".into()),
        is_blind: false,
        currency: Some("USD".into()),
        cautions: general_cautions(),
        remarks: vec!["A remark.".into()],
    }
}

fn made(order: &AssignOrder) -> AssignReport {
    assign(order, "0").unwrap().report
}

const TWO: [(&str, f64); 2] = [("A cheap arc", 46.0), ("B long-life arc", 124.0)];

/// Two lamps in four rows of six.
pub(crate) fn realistic() -> AssignReport {
    made(&order(&TWO, 24, 6))
}

/// The same under codes, with its key.
pub(crate) fn blind() -> Assigned {
    assign(&AssignOrder { is_blind: true, ..order(&TWO, 24, 6) }, "0").unwrap()
}

/// Text that would harm a terminal, a table or a picture.
pub(crate) fn hostile() -> AssignReport {
    let mut report = made(&order(
        &[
            ("=HYPERLINK(\"http://x\")\u{1b}[31m\u{202e}<b>&", 1e300),
            ("-2+3\r\n\u{0}\u{85}日本語の長い名前です <script>", -1.0),
        ],
        23,
        5,
    ));
    report.title = "\u{1b}]0;x\u{7} <script>alert(1)</script> \u{2067}wide".repeat(4);
    report.from = Some("@SUM(A1)\"'&".into());
    report.lamps[0].sign = "<\u{1b}".into();
    report.remarks = vec!["\u{1b}[2J".into()];
    report
}

/// All of them, by name.
pub(crate) fn all() -> Vec<(&'static str, AssignReport)> {
    let twelve: Vec<String> = (0..12).map(|k| format!("lamp {k} with a long name that needs room")).collect();
    let twelve: Vec<(&str, f64)> = twelve.iter().map(|name| (name.as_str(), 1e14)).collect();
    let unused = AssignOrder { of_each: Some(vec![3, 4]), from: None, title: String::new(), ..order(&TWO, 23, 6) };
    let mut wild = realistic();
    for even in &mut wild.by_lot.lamps {
        (even.mean_row, even.mean_place, even.ends_share) = (f64::NAN, f64::INFINITY, -1e300);
    }
    (wild.by_lot.worst_row, wild.by_lot.row_gap) = (f64::NAN, f64::NEG_INFINITY);
    let mut empty = realistic();
    (empty.sockets, empty.lamps, empty.cost) = (vec![], vec![], None);
    vec![
        ("realistic trial", realistic()),
        ("blind trial", blind().report),
        ("hostile trial", hostile()),
        ("crowded trial", made(&order(&twelve, 1000, 100))),
        ("deep trial", made(&order(&twelve, 200, 2))),
        ("trial with idle sockets", made(&unused)),
        ("wild trial", wild),
        ("empty trial", empty),
    ]
}
