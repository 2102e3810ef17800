//! Bills made up for tests: one like a real year, and several that are meant to break a layout.
//!
//! Belongs here: builders of `BillReport`. Does not belong here: assertions.

use std::collections::BTreeMap;

use decide::bill::*;
use decide::picture::{Picture, PictureCell};

fn three_ways(with: f64, without: f64) -> ThreeWays {
    ThreeWays { with, without, difference: with - without }
}

/// Prices by kind of day, month and hour, USD/kWh; nothing where no bill reaches. Lit from 20:30 to 08:00.
fn picture(price: impl Fn(bool, usize, usize) -> Option<f64>) -> Picture {
    let lit = |hour: usize| match hour {
        20 => 0.5,
        8..20 => 0.0,
        _ => 1.0,
    };
    let cells = |weekend: bool| {
        let row =
            |month| (0..24).map(|hour| PictureCell { price: price(weekend, month, hour), lit: lit(hour) }).collect();
        (0..12).map(row).collect()
    };
    Picture { weekdays: cells(false), weekends: cells(true) }
}

fn bill(first: &str, last: &str, days: f64) -> Bill {
    let line = |part: &str, name: &str, unit: &str, with: f64, without: f64, price: f64| BillLine {
        part: part.into(),
        name: name.into(),
        unit: unit.into(),
        quantity_with: with,
        quantity_without: without,
        price,
        amount: three_ways(with * price, without * price),
        lifted_kw: if part == "demand" { 3.25 } else { 0.0 },
    };
    let peak = |name: &str, with: f64, at: Option<&str>| PeakLine {
        name: name.into(),
        kw_with: with,
        at_with: at.map(|at| format!("{first} {at}")),
        power_factor_with: 0.98,
        kw_without: 17.0,
        at_without: Some(format!("{first} 10:15")),
    };
    let lines = vec![
        line("energy", "on peak", "kWh", 412.5, 300.0, 0.26),
        line("energy", "all other hours", "kWh", 12_345.678, 6789.0, 0.0712),
        line("demand", "any-time peak", "kW", 51.46, 20.0, 6.0),
        line("fixed", "service", "month", 1.0, 1.0, 130.0),
        line("power factor", "power factor", "1", 0.0, 0.0, 0.0),
        line("percentages", "city tax", "currency", 1000.0, 500.0, 0.05),
    ];
    let sum = |pick: fn(&ThreeWays) -> f64| lines.iter().map(|line| pick(&line.amount)).sum::<f64>();
    Bill {
        first: first.into(),
        last: last.into(),
        days,
        kwh_with: 12_758.178,
        kwh_without: 7089.0,
        kwh_lights: 4410.25,
        total: three_ways(sum(|amount| amount.with), sum(|amount| amount.without)),
        lines,
        peaks: vec![
            peak("any-time peak", 48.21, Some("21:00")),
            peak("on-peak window", 0.0, None),
            peak("any time", 48.21, Some("21:00")),
        ],
    }
}

fn sheet(name: &str, bills: Vec<Bill>, picture: Picture) -> SheetBills {
    let count = bills.len() as f64;
    let total = |pick: fn(&Bill) -> f64| bills.iter().map(pick).sum::<f64>();
    let line_totals = bills.first().map_or_else(Vec::new, |bill| {
        let times = |amount: ThreeWays| three_ways(amount.with * count, amount.without * count);
        bill.lines
            .iter()
            .map(|line| LineTotal {
                part: line.part.clone(),
                name: line.name.clone(),
                unit: line.unit.clone(),
                quantity_with: line.quantity_with * count,
                quantity_without: line.quantity_without * count,
                amount: times(line.amount),
                lifted_bills: if line.lifted_kw > 0.0 { bills.len() } else { 0 },
                most_lifted_kw: line.lifted_kw,
            })
            .collect()
    });
    let sum = three_ways(total(|bill| bill.total.with), total(|bill| bill.total.without));
    let kwh = total(|bill| bill.kwh_lights);
    SheetBills {
        contract: name.into(),
        tariff: Some("Rate 7".into()),
        lights: "20:30–08:00".into(),
        open_questions: vec![],
        peaks_before: BTreeMap::new(),
        looks_back: true,
        demand_interval_minutes: 15,
        rounded: true,
        total: sum,
        parts: vec![],
        line_totals,
        windows: vec![
            Window { name: "on peak".into(), lit_h: 0.0, kwh: 0.0 },
            Window { name: "all other hours".into(), lit_h: 4197.5, kwh },
        ],
        kwh_lights: kwh,
        effective_price_per_kwh: sum.difference / kwh,
        picture,
        bills,
    }
}

fn report(sheets: Vec<SheetBills>) -> BillReport {
    BillReport {
        format: BILL_FORMAT.into(),
        program: "0.1.0".into(),
        title: "Study of two bays".into(),
        currency: "USD".into(),
        prices_of: "2031-03".into(),
        time_zone: "America/Chicago".into(),
        option: "A cheap arc".into(),
        lights_kw: 25.248,
        cooling_per_kw: 0.25,
        cooling_kw: 6.312,
        base_loads: vec!["fans".into(), "pumps".into()],
        rooms: vec![],
        sheets,
        remarks: vec!["flat: these bills end on 2031-12-14; the days after it are on the next".into()],
        cautions: vec!["Electrical load: a licensed person must design the circuits.".into()],
    }
}

/// A contract with calendar months and one with periods of its own, whose bills leave months out.
pub(crate) fn realistic() -> BillReport {
    let months = vec![bill("2031-12-01", "2031-12-31", 31.0), bill("2032-01-01", "2032-01-31", 31.0)];
    let periods = vec![bill("2032-01-15", "2032-02-13", 30.0), bill("2032-02-14", "2032-02-29", 16.0)];
    let steps = |weekend: bool, month: usize, hour: usize| match hour {
        _ if !(11..=12).contains(&(month + 1)) && month > 1 => None,
        14..21 if !weekend => Some(0.26),
        _ => Some(0.0712),
    };
    let mut cycle = sheet("read on the 14th", periods, picture(steps));
    cycle.peaks_before = [("any-time peak".to_owned(), vec![60.0, 58.5])].into();
    report(vec![sheet("flat contract", months, picture(|_, _, _| Some(0.041_000_000_000_1))), cycle])
}

/// Names that would like to be something else, and questions that nobody has answered.
pub(crate) fn hostile() -> BillReport {
    let names =
        ["=HYPERLINK(\"http://x\") <script>alert(1)</script>", "+1 \u{1b}[31m\u{202e}\u{0}", "-a\r\n@b\u{85}]]>&amp;"];
    let many = |_, month: usize, hour: usize| Some(0.05 + 0.001_23 * (month * 24 + hour) as f64);
    let mut report = report(vec![
        sheet(&names[0].repeat(12), vec![bill("2031-12-01", "2031-12-31", 31.0)], picture(many)),
        sheet("高圧契約 ".repeat(60).as_str(), vec![bill("2031-12-01", "2031-12-31", 31.0)], picture(many)),
    ]);
    report.title = names.concat();
    report.currency = "U\u{1b}S,D".into();
    report.option = "x".repeat(500);
    report.base_loads = vec![names[1].into(), "long name ".repeat(50)];
    report.rooms = vec!["06:00".into(), "18:00".into()];
    report.cautions = vec![names[2].into()];
    for sheet in &mut report.sheets {
        sheet.tariff = Some(names[2].into());
        sheet.open_questions = names.iter().map(|name| (*name).to_owned()).collect();
        for (k, line) in sheet.bills[0].lines.iter_mut().enumerate() {
            line.name = names[k % 3].into();
        }
        for (k, line) in sheet.line_totals.iter_mut().enumerate() {
            line.name = names[k % 3].repeat(k + 1);
        }
        for (k, peak) in sheet.bills[0].peaks.iter_mut().enumerate() {
            peak.name = names[k % 3].into();
        }
        for window in &mut sheet.windows {
            window.name = names[0].repeat(9);
        }
    }
    report
}

/// Nothing at all, and a contract without a bill.
pub(crate) fn empty() -> Vec<BillReport> {
    let bare = Picture { weekdays: vec![], weekends: vec![] };
    vec![report(vec![]), report(vec![sheet("no bill", vec![], bare)])]
}

/// Numbers that are far too large, or none.
pub(crate) fn wild() -> BillReport {
    let prices = |_, month: usize, hour: usize| Some([f64::MAX, f64::NAN, -f64::MAX, 1e-300, -0.0][(month + hour) % 5]);
    let mut report = report(vec![sheet("wild", vec![bill("2031-12-01", "2031-12-31", 31.0)], picture(prices))]);
    let sheet = &mut report.sheets[0];
    sheet.total = three_ways(f64::MAX, -f64::MAX);
    sheet.effective_price_per_kwh = f64::NAN;
    sheet.bills[0].total = three_ways(1e14, -123_456_789_012.0);
    sheet.bills[0].kwh_lights = f64::INFINITY;
    sheet.bills[0].peaks[2].kw_with = f64::NAN;
    sheet.line_totals[0].amount = three_ways(f64::NAN, 1e300);
    report.lights_kw = 1e300;
    report
}

/// All of them, by name.
pub(crate) fn all() -> Vec<(&'static str, BillReport)> {
    let mut all = vec![("realistic bill", realistic()), ("hostile bill", hostile()), ("wild bill", wild())];
    all.extend(empty().into_iter().map(|report| ("empty bill", report)));
    all
}
