//! Searches for hours made up for tests: two like real ones, and several that are meant to break a layout.
//!
//! Belongs here: builders of `HoursReport`. Does not belong here: assertions.

use decide::hours::*;
use decide::result::{Ended, Estimate};

fn clock(minutes: u16) -> String {
    format!("{:02}:{:02}", minutes / 60 % 24, minutes % 60)
}

/// Cost by start: dear where the lights touch the afternoon, or the same all day.
fn cost(flat: bool, minute: u16, option: usize) -> f64 {
    let base = 0.0195 + 0.0021 * option as f64;
    let touched =
        (0..48u16).filter(|quarter| (14 * 60..21 * 60).contains(&((minute + quarter * 15) % (24 * 60)))).count();
    if flat { base + f64::from(minute) * 1e-9 } else { base * 1.6 + 0.0011 * touched as f64 + f64::from(minute) * 1e-8 }
}

fn pattern(name: &str, starts: u64, allowed: impl Fn(u16) -> bool, options: usize, more: f64) -> Pattern {
    let minutes: Vec<u16> = (0..96).map(|k| k * 15).filter(|minute| allowed(*minute)).collect();
    let by = |scale: f64| {
        let of = |minute: &u16| {
            let sheet = |flat: bool| (0..options).map(|option| scale * (cost(flat, *minute, option) + more)).collect();
            vec![sheet(true), sheet(false)]
        };
        minutes.iter().map(of).collect()
    };
    Pattern {
        name: name.into(),
        starts,
        on: minutes.iter().map(|minute| clock(*minute)).collect(),
        levelized: by(1.0),
        electricity: by(400_000.0),
    }
}

fn finding(patterns: &[Pattern], sheet: usize, option: usize) -> Finding {
    let choice = |pattern: usize, on: &str, cost: f64| Choice {
        pattern,
        on: on.into(),
        levelized: Estimate { value: cost, se: 6e-6 },
        electricity: cost * 400_000.0,
    };
    let all = || {
        let of =
            |p: usize| patterns[p].on.iter().zip(&patterns[p].levelized).map(move |(on, c)| (p, on, c[sheet][option]));
        (0..patterns.len()).flat_map(of)
    };
    let cheapest = all().min_by(|a, b| a.2.total_cmp(&b.2)).unwrap();
    let dearest = all().max_by(|a, b| a.2.total_cmp(&b.2)).unwrap();
    let written = choice(0, "21:00", cost(sheet == 0, 21 * 60, option));
    let cheapest_choice = choice(cheapest.0, cheapest.1, cheapest.2);
    let near = all().filter(|(p, _, cost)| *p == cheapest.0 && *cost <= cheapest.2 * 1.01);
    Finding {
        sheet,
        option,
        saving: Estimate { value: written.electricity - cheapest_choice.electricity, se: 0.8 },
        within_one_percent: near.map(|(_, on, _)| on.clone()).collect(),
        dearest: choice(dearest.0, dearest.1, dearest.2),
        cheapest: cheapest_choice,
        written,
    }
}

fn questions(sheet: usize) -> Questions {
    let price = |hour: u16| match (sheet, hour) {
        (0, _) => 0.052_714_285_714,
        (_, 7 | 9..14) => 0.135_9,
        (_, 8) => 0.1358,
        (_, 14..21) => 0.8537,
        _ => 0.09,
    };
    let hour = |hour: u16| HourPrice {
        lit: !(9..21).contains(&hour),
        per_kwh: price(hour),
        adds: price(hour) * (9215.0 + f64::from(hour)),
    };
    Questions {
        sheet,
        hours: "21:00–09:00".into(),
        year: 13_984.831,
        one_more_hour: Some(1251.399),
        one_more_kw: 553.8986,
        overrun_daily: Some(312.8498),
        overrun_once: Some((0.973_85, "2031-04-01".into())),
        hour_prices: (0..24).map(hour).collect(),
    }
}

fn rooms(sheet: usize, count: usize) -> RoomsFinding {
    let choice = |on: &[&str], year: f64, peak_kw: f64| RoomsChoice {
        on: on.iter().cycle().take(count).map(|&on| on.to_owned()).collect(),
        year,
        peak_kw,
    };
    RoomsFinding {
        sheet,
        rooms: count,
        step_minutes: 60,
        exhaustive: count < 4,
        together: choice(&["21:00"], 13_984.83, 32.4617),
        cheapest: choice(&["23:00"], if sheet == 0 { 12_000.0 } else { 13_980.29 }, 32.4617),
        lowest_peak: choice(&["23:00", "23:00", "11:00"], 18_909.81, 21.6411),
    }
}

fn report(options: &[&str], patterns: Vec<Pattern>) -> HoursReport {
    let pairs = (0..2).flat_map(|sheet| (0..options.len()).map(move |option| (sheet, option)));
    HoursReport {
        format: HOURS_FORMAT.into(),
        program: "0.1.0".into(),
        title: "Study of two bays".into(),
        currency: "USD".into(),
        basis: "real".into(),
        prices_of: "2031-03".into(),
        horizon_years: 5,
        trials: 10_000,
        ended: Ended::Trials,
        seed: 1,
        step_minutes: 15,
        conditions: vec![],
        options: options.iter().map(|&name| name.to_owned()).collect(),
        asked: 0,
        asked_kw: 25.248,
        sheets: vec!["flat contract".into(), "time of use with demand".into()],
        findings: pairs.map(|(sheet, option)| finding(&patterns, sheet, option)).collect(),
        questions: vec![questions(0), questions(1)],
        rooms: vec![],
        patterns,
    }
}

/// Every start is allowed, and the one as written is nearly the best.
pub(crate) fn realistic() -> HoursReport {
    let names = ["A cheap arc", "B long-life arc", "C bar LED", "D panel LED"];
    let mut report = report(&names, vec![pattern("1 block of 12 h", 1827, |_| true, 4, 0.0)]);
    report.rooms = vec![rooms(0, 3), rooms(1, 3)];
    report
}

/// Two patterns, and conditions that the hours as written do not meet.
pub(crate) fn patterns() -> HoursReport {
    let late = |minute: u16| (600..780).contains(&minute) || minute == 180;
    let patterns = vec![
        pattern("1 block of 12 h", 1827, late, 2, 0.0),
        pattern("2 blocks of 6 h, 3 h apart", 3654, |minute| minute < 240, 2, -0.0004),
    ];
    let mut report = report(&["A cheap arc", "B long-life arc"], patterns);
    report.conditions = vec!["at least 6 h without a break dark every day".into(), "lit from 08:00 to 10:00".into()];
    report.rooms = vec![rooms(0, 7)];
    report.ended = Ended::Interrupted;
    report
}

/// Names that would like to be something else, and many of them.
pub(crate) fn hostile() -> HoursReport {
    let names =
        ["=HYPERLINK(\"http://x\") <script>alert(1)</script>", "+1 \u{1b}[31m\u{202e}\u{0}", "-a\r\n@b\u{85}]]>&amp;"];
    let long = ["x".repeat(500), "高圧契約 ".repeat(60), names[0].repeat(9)];
    let options: Vec<&str> = names.iter().copied().chain(long.iter().map(String::as_str)).cycle().take(12).collect();
    let mut report = report(&options, vec![pattern(&long[2], u64::MAX, |_| true, 12, 0.0)]);
    report.patterns.push(pattern(names[2], 1, |minute| minute % 45 == 0, 12, -0.001));
    report.title = names.concat();
    report.currency = "U\u{1b}S,D".into();
    report.basis = names[1].into();
    report.prices_of = names[2].into();
    report.sheets = vec![long[0].clone(), long[1].clone()];
    report.conditions = names.iter().map(|&name| name.to_owned()).collect();
    for found in &mut report.findings {
        found.cheapest.pattern = found.option % 3;
        found.within_one_percent = (0..96).step_by(5).map(|k| clock(k * 15)).collect();
    }
    for asked in &mut report.questions {
        asked.hours = long[2].clone();
        asked.overrun_once = Some((-12.0, names[1].into()));
    }
    report.rooms = vec![rooms(0, 40), rooms(1, 40)];
    report.rooms[0].lowest_peak.on = (0..40).map(|k| clock(k * 30)).collect();
    report.rooms[1].cheapest.on = names.iter().map(|&name| name.to_owned()).collect();
    report
}

/// Nothing at all, and sheets about which nothing is known.
pub(crate) fn empty() -> Vec<HoursReport> {
    let mut nothing = report(&[], vec![]);
    (nothing.sheets, nothing.questions) = (vec![], vec![]);
    let mut bare = report(&[], vec![]);
    bare.options = vec!["lamp".into()];
    bare.questions[0].hour_prices = vec![];
    vec![nothing, bare]
}

/// Numbers that are far too large, or none.
pub(crate) fn wild() -> HoursReport {
    let numbers = [f64::MAX, f64::NAN, f64::INFINITY, -f64::MAX, 1e-300, -0.0];
    let mut report = realistic();
    for (k, cost) in report.patterns[0].levelized.iter_mut().flatten().flatten().enumerate() {
        *cost = numbers[k % 6];
    }
    for (k, found) in report.findings.iter_mut().enumerate() {
        found.saving = Estimate { value: numbers[k % 6], se: numbers[(k + 1) % 6] };
        found.cheapest.levelized = Estimate { value: numbers[k % 6], se: numbers[(k + 2) % 6] };
        found.written.levelized.value = numbers[(k + 1) % 6];
        found.written.electricity = numbers[(k + 3) % 6];
        found.written.on = "no time".into();
    }
    for asked in &mut report.questions {
        (asked.year, asked.one_more_kw, asked.overrun_daily) = (f64::NAN, f64::MAX, None);
        asked.hour_prices.iter_mut().enumerate().for_each(|(k, hour)| hour.per_kwh = numbers[k % 6]);
    }
    report.asked_kw = f64::INFINITY;
    report.rooms[0].together.year = f64::NAN;
    report
}

/// All of them, by name.
pub(crate) fn all() -> Vec<(&'static str, HoursReport)> {
    let mut all = vec![
        ("realistic hours", realistic()),
        ("patterns", patterns()),
        ("hostile hours", hostile()),
        ("wild hours", wild()),
    ];
    all.extend(empty().into_iter().map(|report| ("empty hours", report)));
    all
}
