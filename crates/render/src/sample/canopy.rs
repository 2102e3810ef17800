//! Readings made up for tests: four cards like real ones, and several that are meant to break a layout.
//!
//! Belongs here: builders of `CanopyReport`. Does not belong here: assertions.

use decide::canopy_report::*;

/// A height of a card with equal weights; the sums are those of its rows.
fn height(height_m: f64, rows: &[&[f64]], area_m2: f64) -> HeightResult {
    let count = rows.iter().map(|row| row.len()).sum::<usize>() as f64;
    let all = || rows.iter().flat_map(|row| row.iter().copied());
    let mean = all().sum::<f64>() / count;
    let least = all().fold(f64::INFINITY, f64::min);
    let most = all().fold(0.0, f64::max);
    let point = |reading: &f64| Point { umol_m2_s: *reading, share: 1.0 / count, error: 0.02, kind: PointKind::Read };
    HeightResult {
        height_m,
        grade: "measured".into(),
        between_m: None,
        rows: rows.iter().map(|row| row.iter().map(point).collect()).collect(),
        mean_umol_m2_s: mean,
        mean_other_way_umol_m2_s: Some(mean * 1.11),
        flux_umol_s: mean * area_m2,
        area_other_way_m2: Some(0.64 * area_m2),
        flux_other_way_umol_s: Some(mean * 1.11 * 0.64 * area_m2),
        efficacy_umol_j: Some(mean * area_m2 / 1050.0),
        dli_mol_m2_d: mean * 12.0 * 0.0036,
        moles_a_year_mol: mean * area_m2 * 12.0 * 0.0036 * 365.0,
        least_umol_m2_s: least,
        most_umol_m2_s: most,
        min_to_mean: least / mean,
        min_to_max: least / most,
        max_to_mean: most / mean,
        variation: 0.27,
        p10_umol_m2_s: least,
        share_below_target: Some(0.48),
        error: ErrorParts { gain: 0.05, source: 0.03, factor: 0.0, points: 0.004, law: 0.0, total: 0.0585 },
    }
}

fn card(name: &str, heights: Vec<HeightResult>) -> CardResult {
    CardResult {
        name: name.into(),
        file: format!("{}.txt", name.to_lowercase()),
        source: Some("high-pressure sodium".into()),
        sensor: Some("bench sensor".into()),
        calibrated: Some("2030-11-15".into()),
        measured: Some("2031-02-10".into()),
        lamp_hours_h: Some(100.0),
        since_cleaning_d: Some(0.0),
        warm_up_min: Some(30.0),
        wall_power_w: Some(1050.0),
        lux_per_ppfd: None,
        note: None,
        points: "cell_centred".into(),
        along_m: 1.5,
        across_m: 0.9,
        area_m2: 1.35,
        grade: "measured".into(),
        heights,
        held_out: vec![],
    }
}

fn ratio(a: (usize, usize), b: (usize, usize), ratio: f64, too_close: bool) -> FluxRatio {
    FluxRatio {
        a,
        b,
        ratio,
        gain: 0.0,
        source: 0.0,
        factor: 0.0,
        points: 0.0058,
        total: 0.0058,
        same_meter: true,
        same_source: true,
        same_factor: false,
        too_close,
        unlike: vec![],
    }
}

fn group(height_m: f64, entries: Vec<(usize, usize)>, ratios: Vec<FluxRatio>) -> LikeGroup {
    LikeGroup { along_m: 1.5, across_m: 0.9, height_m, points: "cell_centred".into(), entries, ratios }
}

fn report(cards: Vec<CardResult>, groups: Vec<LikeGroup>) -> CanopyReport {
    CanopyReport {
        format: CANOPY_FORMAT.into(),
        program: "0".into(),
        hours_a_day: 12.0,
        hours_from: "mean of the photoperiod of a bay".into(),
        target_umol_m2_s: Some(600.0),
        height_m: None,
        filling: None,
        cards,
        differ_in: if groups.len() > 1 { vec!["height".into()] } else { vec![] },
        groups,
        assumptions: vec![
            "A gain error of 5 % (1 standard deviation) for all cards: a judgement without a source".into(),
        ],
        remarks: vec!["A cheap arc: a remark".into()],
        cautions: vec!["Eyes and skin: a caution.".into()],
    }
}

const A: [&[f64]; 3] =
    [&[402.0, 560.0, 628.0, 548.0, 396.0], &[634.0, 914.0, 1010.0, 902.0, 622.0], &[408.0, 571.0, 636.0, 557.0, 401.0]];
const B: [&[f64]; 3] =
    [&[398.0, 553.0, 621.0, 542.0, 393.0], &[627.0, 903.0, 1000.0, 892.0, 615.0], &[404.0, 566.0, 630.0, 551.0, 397.0]];
const LOW: [&[f64]; 3] = [
    &[291.0, 490.0, 595.0, 471.0, 287.0],
    &[601.0, 1233.0, 1535.0, 1199.0, 584.0],
    &[292.0, 498.0, 599.0, 489.0, 288.0],
];

/// Three cards, one of them with two heights, a smudge and a filled hole.
pub(crate) fn realistic() -> CanopyReport {
    let mut low = height(0.45, &LOW, 1.35);
    low.rows[0][1].kind = PointKind::Doubtful;
    low.rows[1][2].kind = PointKind::Filled;
    let mut led = card("C bar LED", vec![height(0.45, &B, 1.35)]);
    led.points = "edge_to_edge".into();
    led.wall_power_w = None;
    led.heights[0].efficacy_umol_j = None;
    let cards = vec![
        card("A cheap arc", vec![height(0.9, &A, 1.35), low]),
        card("B long-life arc", vec![height(0.9, &B, 1.35)]),
        led,
    ];
    let groups = vec![
        group(0.9, vec![(0, 0), (1, 0)], vec![ratio((0, 0), (1, 0), 1.0108, true)]),
        group(0.45, vec![(0, 1)], vec![]),
        group(0.45, vec![(2, 0)], vec![]),
    ];
    report(cards, groups)
}

/// Names that would break a terminal, a table or a picture.
pub(crate) fn hostile() -> CanopyReport {
    let mut found = realistic();
    let name =
        "=HYPERLINK(\"x\") <script>alert(1)</script>\u{1b}[31m\u{202e}\u{0} & 日本語の長い名前です日本語の長い名前です";
    for card in &mut found.cards {
        card.name = name.into();
        card.file = format!("\n{name}");
        card.source = Some(name.into());
        card.sensor = Some("@\r\n".into());
        card.calibrated = Some(name.into());
    }
    found.hours_from = name.into();
    found.filling = Some(name.into());
    found.remarks = vec![name.into(), "x".repeat(400)];
    found.assumptions = vec![];
    found.groups[0].ratios[0].unlike = vec![name.into()];
    found.differ_in = vec![name.into(), "height".into()];
    found
}

/// Numbers that are none, or beyond any page.
pub(crate) fn wild() -> CanopyReport {
    let mut found = realistic();
    for (k, height) in found.cards.iter_mut().flat_map(|card| &mut card.heights).enumerate() {
        let odd = [f64::NAN, f64::INFINITY, 1e300][k % 3];
        height.rows[0][0].umol_m2_s = odd;
        height.mean_umol_m2_s = odd;
        height.flux_umol_s = odd;
        height.height_m = odd;
        height.mean_other_way_umol_m2_s = None;
        height.min_to_mean = odd;
        height.variation = -odd;
        height.error.total = odd;
    }
    found.cards[0].across_m = f64::NAN;
    found.cards[1].along_m = 1e-9;
    found.groups[0].ratios[0].ratio = f64::NAN;
    found.groups[0].height_m = f64::NAN;
    found
}

/// One reading on one card.
pub(crate) fn tiny() -> CanopyReport {
    let mut found =
        report(vec![card("one", vec![height(1.0, &[&[0.5]], 1.35)])], vec![group(1.0, vec![(0, 0)], vec![])]);
    found.target_umol_m2_s = None;
    let only = &mut found.cards[0].heights[0];
    (only.mean_other_way_umol_m2_s, only.area_other_way_m2, only.flux_other_way_umol_s) = (None, None, None);
    found
}

/// Many cards of many readings at many heights.
pub(crate) fn crowded() -> CanopyReport {
    let row: Vec<f64> = (0..150).map(|k| 300.0 + f64::from(k)).collect();
    let rows: Vec<&[f64]> = (0..60).map(|_| row.as_slice()).collect();
    let cards: Vec<CardResult> = (0..13u32)
        .map(|k| {
            let heights = if k == 0 {
                vec![height(0.5, &rows, 1.35)]
            } else {
                (1..6).map(|h| height(f64::from(h), &A, 1.35)).collect()
            };
            card(&format!("fixture {k} with a name that is longer than a column"), heights)
        })
        .collect();
    let all: Vec<(usize, usize)> = (1..13).map(|k| (k, 0)).collect();
    let pairs = all.iter().flat_map(|a| all.iter().filter(move |b| b.0 > a.0).map(|b| ratio(*a, *b, 1.2, false)));
    let groups = vec![group(0.5, vec![(0, 0)], vec![]), group(1.0, all.clone(), pairs.collect())];
    report(cards, groups)
}

/// All of them with their names.
pub(crate) fn all() -> Vec<(&'static str, CanopyReport)> {
    let none = report(vec![], vec![]);
    vec![
        ("realistic cards", realistic()),
        ("hostile cards", hostile()),
        ("wild cards", wild()),
        ("a tiny card", tiny()),
        ("crowded cards", crowded()),
        ("no cards", none),
    ]
}
