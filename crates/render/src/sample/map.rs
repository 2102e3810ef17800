//! Maps made up for tests: one like a real study, and several that are meant to break a layout.
//!
//! Belongs here: builders of `MapReport`. Does not belong here: assertions.

use decide::map_report::*;
use decide::result::Ended;

/// So many values, even in the number or in its logarithm.
fn values((from, to): (f64, f64), count: u32, logarithmic: bool) -> Vec<f64> {
    let share = |k: u32| if count > 1 { f64::from(k) / f64::from(count - 1) } else { 0.5 };
    let at = |t: f64| if logarithmic { from * (to / from).powf(t) } else { from + (to - from) * t };
    (0..count).map(|k| at(share(k))).collect()
}

/// The cell whose options cost so much.
fn cell(costs: &[f64], se: f64) -> MapCell {
    let mut order: Vec<usize> = (0..costs.len()).collect();
    order.sort_by(|a, b| costs[*a].total_cmp(&costs[*b]));
    let second = *order.get(1).unwrap_or(&order[0]);
    let lead = costs[second] - costs[order[0]];
    MapCell { winner: order[0], second, lead, lead_se: se, chance: 0.5 + 0.5 * (lead / (lead + 2000.0)) }
}

/// Costs of each option at a price of electricity and hours a year.
fn costs(options: usize, x: f64, y: f64) -> Vec<f64> {
    let energy = x * y / 4000.0;
    let all = [
        2000.0 + 100_000.0 * energy,
        8000.0 + 60_000.0 * energy,
        15_000.0 + 30_000.0 * energy,
        14_500.0 + 33_000.0 * energy + 4000.0 * (1.0 - y / 3200.0),
    ];
    (0..options).map(|k| all[k % 4] + 900.0 * (k / 4) as f64 * ((k as f64) + x * 20.0).sin()).collect()
}

/// A map of so many options and cells.
pub(crate) fn plane(options: usize, (right, up): (u32, u32)) -> MapReport {
    let x = values((0.04, 0.6), right, true);
    let y = values((800.0, 6000.0), up, false);
    let columns =
        x.iter().map(|x| y.iter().map(|y| cell(&costs(options, *x, *y), 120.0 + 260.0 * x)).collect()).collect();
    let names = ["A cheap arc", "B long-life arc", "C bar LED", "D panel LED"];
    let name = |k: usize| if k < 4 { names[k].to_owned() } else { format!("{} {}", names[k % 4], k / 4 + 1) };
    let cloud = |k: u32| {
        // numbers that look like luck; three of them added up gather at the middle
        let part = |item: u32| ((f64::from(3 * k + item) * 12.9898).sin() * 43_758.5).rem_euclid(2.0) - 1.0;
        let (x, y) = (part(1) + part(2) + part(3), part(1001) + part(1002) + part(1003));
        (0.17 * (0.17 * x).exp(), 3200.0 + 480.0 * y)
    };
    MapReport {
        format: MAP_FORMAT.into(),
        program: "0.1.0".into(),
        title: "Study of two bays".into(),
        currency: "USD".into(),
        basis: "real".into(),
        discount_rate: 0.08,
        prices_of: "2031-03".into(),
        start: "2031-03-01".into(),
        horizon_years: 5,
        contract: "flat day rate".into(),
        options: (0..options).map(name).collect(),
        light_bases: vec!["into 2.25 m² at 0.90 m".into(); options],
        measure: Measure::Mole,
        service_mol: 1_830_000.0,
        service: "the photons of A cheap arc as written".into(),
        seed: 1,
        trials: 4000,
        ended: Ended::Trials,
        x: MapAxis {
            name: "price of electricity".into(),
            unit: "USD/kWh".into(),
            belief: (0.14, 0.17, 0.21),
            values: x,
            logarithmic: true,
        },
        y: MapAxis {
            name: "hours of light a year".into(),
            unit: "h".into(),
            belief: (2400.0, 3200.0, 4000.0),
            values: y,
            logarithmic: false,
        },
        columns,
        method: "priced at every point".into(),
        here: (0..200).map(cloud).collect(),
        stands: Some(MapCell { winner: 0, second: options.min(2) - 1, lead: 1030.0, lead_se: 180.0, chance: 0.63 }),
        cautions: vec!["The discount rate is assumed.".into()],
        remarks: vec!["Mercury is not priced.".into()],
    }
}

/// Four options over 60 × 60 cells.
pub(crate) fn realistic() -> MapReport {
    plane(4, (60, 60))
}

/// Whole rooms, stopped when half of the columns were priced.
pub(crate) fn interrupted() -> MapReport {
    let mut report = plane(3, (40, 24));
    report.columns.truncate(17);
    report.stands = None;
    (report.measure, report.basis, report.ended) = (Measure::Room, "nominal".into(), Ended::Interrupted);
    report.here = vec![(0.17, 3200.0)];
    report
}

/// Twelve options with names that never end, of which two look alike.
pub(crate) fn long() -> MapReport {
    let mut report = plane(12, (30, 30));
    let endless =
        |text: &str| format!("{text} with a reflector of hammered aluminium and a name without an end ").repeat(3);
    report.options.iter_mut().for_each(|name| *name = endless(name));
    report.light_bases.iter_mut().enumerate().for_each(|(k, basis)| *basis = endless(&format!("{basis} {k}")));
    for axis in [&mut report.x, &mut report.y] {
        (axis.name, axis.unit) = (endless(&axis.name), endless(&axis.unit));
    }
    (report.contract, report.method, report.service) = (endless("contract"), endless("priced"), endless("photons"));
    report
}

/// Texts that try to leave their place.
pub(crate) fn hostile() -> MapReport {
    let names = [
        "<script>alert(1)</script>",
        "=HYPERLINK(\"http://example.org\";\"x\")",
        "高圧ナトリウムランプ六百ワット、反射板つきの長い名前の選択肢、予備球十二個",
        "\u{202e}gnihtemos\u{1b}[2J\u{7}\n\nsecond line\u{0}\u{ffff}",
        "مصباح طويل العمر مع عاكس \u{2067}",
        "WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW",
    ];
    let mut report = plane(6, (20, 20));
    report.options = names.map(str::to_owned).to_vec();
    report.light_bases = report.options.iter().rev().cloned().collect();
    (report.x.name, report.x.unit, report.y.name, report.y.unit) =
        (names[3].into(), names[2].into(), names[0].into(), names[5].into());
    (report.title, report.currency, report.service) = (names.concat(), "U\u{1b}S,D".into(), names[0].into());
    (report.basis, report.prices_of, report.start) = (names[1].into(), names[2].into(), names[0].into());
    (report.contract, report.method) = (names[1].into(), names[3].into());
    report.cautions = names.map(str::to_owned).to_vec();
    report.remarks = report.cautions.clone();
    report
}

/// Numbers that are far too large, or none; winners that do not exist; a single trial; points that lie nowhere.
pub(crate) fn wild() -> MapReport {
    let numbers = [f64::MAX, f64::NAN, f64::INFINITY, -f64::MAX, 1e-300, -0.0, 4000.0];
    let mut report = plane(4, (12, 9));
    for (k, cell) in report.columns.iter_mut().flatten().enumerate() {
        (cell.lead, cell.lead_se, cell.chance) = (numbers[k % 7], numbers[(k / 7) % 7], numbers[(k + 2) % 7]);
        (cell.winner, cell.second) = if k % 5 == 0 { (usize::MAX, 7) } else { (k % 4, (k + 1) % 4) };
    }
    report.columns[3].truncate(2);
    report.here = (0..40).map(|k| (numbers[k % 7], numbers[(k + 3) % 7])).collect();
    (report.trials, report.discount_rate, report.service_mol) = (1, f64::NAN, -1.0);
    (report.x.belief, report.y.belief) = ((f64::NAN, f64::MAX, 0.0), (0.0, f64::INFINITY, 1.0));
    report
}

/// No column, no value, one cell, one option, axes that are none, everything alike, nothing but noise.
pub(crate) fn empty() -> Vec<MapReport> {
    let mut columnless = realistic();
    columnless.columns.clear();
    let mut nothing = plane(2, (0, 0));
    (nothing.here, nothing.cautions, nothing.remarks) = (vec![], vec![], vec![]);
    let mut axisless = plane(2, (5, 5));
    (axisless.x.values[2], axisless.y.values[1]) = (f64::NAN, -4.0);
    let mut none = plane(1, (3, 3));
    (none.options, none.light_bases) = (vec![], vec![]);
    let (mut alike, mut noise) = (plane(2, (6, 6)), plane(2, (6, 6)));
    alike.columns.iter_mut().flatten().for_each(|cell| (cell.lead, cell.lead_se) = (0.0, 0.0));
    noise.columns.iter_mut().flatten().for_each(|cell| cell.lead_se = 1e9);
    let (mut flat, mut far) = (plane(3, (9, 1)), plane(3, (9, 9)));
    (flat.x.logarithmic, flat.x.values[0]) = (true, 0.0);
    far.here = vec![(7.0, 3200.0)];
    vec![columnless, nothing, axisless, none, alike, noise, flat, far, plane(1, (8, 8)), plane(3, (1, 1))]
}

/// All of them, by name.
pub(crate) fn all() -> Vec<(&'static str, MapReport)> {
    let mut all = vec![
        ("realistic map", realistic()),
        ("interrupted map", interrupted()),
        ("long map", long()),
        ("hostile map", hostile()),
        ("wild map", wild()),
    ];
    all.extend(empty().into_iter().map(|report| ("empty map", report)));
    all
}
