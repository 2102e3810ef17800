//! What the printed bills must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading;
use crate::sample::bill as sample;

#[test]
fn everything_fits_its_width() {
    for (which, report) in sample::all() {
        proofreading::keeps_its_width(which, |width| printed(&report, width, false));
    }
}

#[test]
fn a_bill_says_what_it_rests_on() {
    let text = printed(&sample::realistic(), 100, false);
    // wherever its lines happen to break
    let unbroken = text.split([' ', '\n']).filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ");
    for needed in [
        "Study of two bays: electricity of the lights",
        "25.248 kW at full power and 6.312 kW of cooling",
        "fans, pumps",
        "prices as written, of 2031-03, not escalated; USD",
        "America/Chicago",
        "each is rounded to 0.01",
        "mean over 15 minutes. Peaks before the first bill: none assumed.",
        "Peaks before the first bill: any-time peak 60.00, 58.50 kW.",
        "any-time peak: an earlier peak or a minimum lifted the billed demand on 2 of 2 bills, by 3.250 kW at most",
        "a result, never an input",
        "48.21 2031-12-01 21:00",
        "0.00 never",
        "2032-01-15 to 2032-02-13",
        "Digits 1\u{a0}=\u{a0}4.1 ct/kWh: price of one more kWh, riders included, demand and percentages not",
        "– no bill reaches the month",
        "Cautions",
    ] {
        assert!(unbroken.contains(needed), "{needed} is not in\n{text}");
    }
    assert!(!text.contains("INCOMPLETE") && !text.contains("not a number"));
    let mut alone = sample::realistic();
    alone.base_loads = vec![];
    assert!(printed(&alone, 120, false).contains("the lights have a meter of their own, the whole bill is theirs"));
}

#[test]
fn months_are_named_and_other_periods_dated() {
    let named = |first: &str, last: &str| {
        let mut bill = sample::realistic().sheets[0].bills[0].clone();
        (bill.first, bill.last) = (first.into(), last.into());
        period(&bill)
    };
    assert_eq!(named("2031-12-01", "2031-12-31"), "2031-12");
    assert_eq!(named("2032-02-01", "2032-02-29"), "2032-02");
    assert_eq!(named("2032-02-01", "2032-02-28"), "2032-02-01 to 2032-02-28");
    assert_eq!(named("2031-02-01", "2031-02-28"), "2031-02");
    assert_eq!(named("2031-04-01", "2031-05-30"), "2031-04-01 to 2031-05-30");
    assert_eq!(named("2031-04-02", "2031-04-30"), "2031-04-02 to 2031-04-30");
}

#[test]
fn open_questions_come_first_and_no_such_bill_is_called_complete() {
    let text = printed(&sample::hostile(), 80, false);
    assert!(text.starts_with("INCOMPLETE: questions are open under 2 of 2 contracts"), "{text}");
    let warning = text.find("INCOMPLETE: 3 questions are open\n- =HYPERLINK").unwrap();
    assert!(warning < text.find("Month by month").unwrap());
    assert!(!text.to_lowercase().replace("incomplete", "").contains("complete"));
    assert!(text.contains("3: INCOMPLETE"));
}

#[test]
fn the_picture_marks_lit_hours() {
    let text = printed(&sample::realistic(), 60, false);
    let row = |month: &str| text.lines().find(|line| line.starts_with(month)).unwrap();
    assert_eq!(row("Jan"), "Jan  1•1•1•1•1•1• 1•1•1 1 1 1  1 1 1 1 1 1  1 1 1◦1•1•1•");
    assert!(text.contains("Apr  –•–•"), "{text}");
    // half days on a narrow page
    let narrow = printed(&sample::realistic(), 48, false);
    assert!(narrow.contains("\nJan  1 1 1 1 1 1  1 1 1◦1•1•1•\n"), "{narrow}");
}

#[test]
fn colour_adds_no_information() {
    let report = sample::hostile();
    let plain = printed(&report, 80, true).replace("\u{1b}[1m", "").replace("\u{1b}[0m", "");
    assert_eq!(plain, printed(&report, 80, false));
}

#[test]
fn hostile_text_reaches_no_terminal() {
    let text = printed(&sample::hostile(), 80, false);
    assert!(!text.contains(['\u{1b}', '\u{7}', '\u{202e}', '\u{2067}', '\u{0}', '\r', '\u{85}']));
}
