//! Results made up for tests: one like a real study, and several that are meant to break a layout.
//!
//! Belongs here: builders of `RunResult`. Does not belong here: assertions.

pub(crate) mod assign;
pub(crate) mod bill;
pub(crate) mod breakeven;
pub(crate) mod canopy;
pub(crate) mod cash;
pub(crate) mod drivers;
pub(crate) mod fading;
pub(crate) mod hours;
pub(crate) mod learn_life;
pub(crate) mod life_test;
pub(crate) mod map;
pub(crate) mod mix;
pub(crate) mod rank;
pub(crate) mod relamp;
pub(crate) mod score;
pub(crate) mod stage;
pub(crate) mod why;

use decide::result::*;

const CONTRACTS: [(&str, f64); 3] = [("flat day rate", 1.0), ("night time-of-use", 0.74), ("demand metered", 1.17)];

// name, ct/mol under the first contract, relative spread, share of energy, lamps bought, half-life of the light in
// years
const OPTIONS: [(&str, f64, f64, f64, f64, f64); 4] = [
    ("A cheap arc", 5.31, 0.085, 0.66, 96.0, 2.2),
    ("B long-life arc", 4.72, 0.075, 0.69, 42.0, 3.5),
    ("C bar LED", 2.93, 0.060, 0.55, 3.1, 24.0),
    ("D panel LED", 2.86, 0.105, 0.51, 5.2, 16.0),
];

fn spread(mean: f64, relative: f64, se: f64) -> Spread {
    let sd = mean.abs() * relative;
    let at = |z: f64, worse: f64| Estimate { value: mean * (relative * z).exp(), se: se * worse };
    Spread {
        mean: Estimate { value: mean, se },
        sd,
        p5: at(-1.645, 2.1),
        p10: at(-1.2816, 1.7),
        p50: at(0.0, 1.25),
        p80: at(0.8416, 1.43),
        p90: at(1.2816, 1.7),
        p95: at(1.645, 2.1),
    }
}

fn density(mean: f64, relative: f64) -> (Curve, Curve) {
    let x: Vec<f64> = (0..=160).map(|i| mean * (relative * (f64::from(i) / 20.0 - 4.0)).exp()).collect();
    let y: Vec<f64> = (0..=160)
        .map(|i| {
            let z = f64::from(i) / 20.0 - 4.0;
            (-z * z / 2.0).exp() / (2.506_628 * relative * mean * (relative * z).exp())
        })
        .collect();
    let mut sum = 0.0;
    let mut share = vec![0.0];
    for i in 1..x.len() {
        sum += (x[i] - x[i - 1]) * (y[i] + y[i - 1]) / 2.0;
        share.push(sum);
    }
    let share = share.into_iter().map(|s| s / sum).collect();
    (Curve { x: x.clone(), y }, Curve { x, y: share })
}

fn cost(levelized: f64, relative: f64, energy: f64, lamps: f64, years: u32) -> CostResult {
    let moles = 1_830_000.0;
    let (density, cumulative) = density(levelized, relative);
    let lamp_share = (lamps / 500.0).min(0.2);
    let rest = 1.0 - energy - lamp_share;
    let shares =
        [rest * 0.45, lamp_share, rest * 0.04, rest * 0.07, rest * 0.01, 0.0, energy, rest * 0.24, rest * 0.19];
    CostResult {
        levelized_useful: None,
        split: Split {
            whole: levelized * relative,
            ignorance: Estimate { value: levelized * relative * 0.8, se: levelized * relative * 0.012 },
            luck: Estimate { value: levelized * relative * 0.6, se: levelized * relative * 0.016 },
            simulation: levelized * relative / 141.0,
            twins: 5_000,
        },
        effective_price_per_kwh: 0.163,
        levelized: spread(levelized, relative, levelized * relative / 141.0),
        plain: spread(levelized * 1.02, relative, levelized * relative / 141.0),
        total: spread(levelized * moles, relative, levelized * relative * moles / 141.0),
        present_value: spread(levelized * moles * 0.8, relative, levelized * relative * moles / 180.0),
        density,
        cumulative,
        causes: Cause::ALL
            .iter()
            .zip(shares)
            .map(|(cause, share)| CauseLine {
                cause: *cause,
                levelized: levelized * share,
                plain: levelized * share * 1.02,
                present_value: levelized * share * moles * 0.8,
                total: levelized * share * moles,
            })
            .collect(),
        by_year: (0..=years).map(|y| if y == 0 { 9000.0 } else { 8000.0 + f64::from(y) }).collect(),
    }
}

fn option(index: usize, contracts: &[(String, f64)], years: u32) -> OptionResult {
    let (name, base, relative, energy, lamps, half_life) = OPTIONS[index % OPTIONS.len()];
    let group = index.is_multiple_of(2) && lamps > 10.0;
    let months = (1..=years * 12).map(|m| f64::from(m) / 12.0).collect::<Vec<_>>();
    let cycle = if group { 2.0 } else { 60.0 };
    let level = |t: f64, wear: f64| 0.5f64.powf((t % cycle) * wear / half_life).max(0.2);
    OptionResult {
        useful_moles: None,
        name: name.to_owned(),
        light_basis: "into 2.25 m² at 0.90 m".to_owned(),
        fixtures: 12,
        sockets: 12,
        new_flux_umol_s: 1510.0,
        // one option in four states a flux instead
        readings: (index % 4 != 3).then(|| LightReadings {
            umol_m2_s: vec![vec![320.0, 700.0 + 9.0 * index as f64, 900.0], vec![610.0, 880.0, 430.0 - index as f64]],
            points: if index.is_multiple_of(2) { "cell_centred" } else { "edge_to_edge" }.to_owned(),
            area_m2: 2.25,
            height_m: 0.9,
            mean_umol_m2_s: 640.0,
            min_to_mean: 0.5,
        }),
        wall_power_w: 870.0,
        efficacy_umol_j: 1.74 + 0.3 * f64::from(u32::try_from(index).unwrap()),
        light: Band {
            p10: months.iter().map(|t| level(*t, 1.35)).collect(),
            p50: months.iter().map(|t| level(*t, 1.0)).collect(),
            p90: months.iter().map(|t| level(*t, 0.7)).collect(),
            years: months,
            trials: 2_000,
        },
        years: (1..=years)
            .map(|year| {
                let wave = 1.0 + 0.5 * f64::from(year).sin();
                let planned = if group && year % 2 == 0 { 12.0 } else { 0.0 };
                let spot = lamps / f64::from(years) * 0.5 * wave;
                YearLine {
                    year,
                    spot_lamps: spot,
                    planned_lamps: planned,
                    lamps_p10: (planned + spot - 2.0).max(0.0).floor(),
                    lamps_p90: (planned + spot + 2.5).ceil(),
                    failures: spot * 1.1,
                    failures_p10: (spot - 2.0).max(0.0).floor(),
                    failures_p90: (spot + 2.0).ceil(),
                }
            })
            .collect(),
        moles: spread(1_830_000.0, 0.02, 260.0),
        lamps_bought: spread(lamps, 0.12, lamps * 0.12 / 141.0),
        failures: spread(lamps * 0.6, 0.3, lamps * 0.3 / 141.0),
        dark_h: spread(lamps * 31.0, 0.4, lamps * 31.0 * 0.4 / 141.0),
        target_met: Some(spread(0.93, 0.03, 0.0002)),
        costs: contracts
            .iter()
            .enumerate()
            .map(|(i, (_, factor))| {
                let wobble = 1.0 + 0.04 * (f64::from(u32::try_from(index * 7 + i * 3).unwrap())).sin();
                let mean = base / 100.0 * (1.0 - energy + energy * factor) * wobble;
                cost(mean, relative, energy, lamps, years)
            })
            .collect(),
    }
}

fn races(options: &[OptionResult], contract: usize) -> (Ranking, Vec<Race>) {
    let mean = |i: usize| options[i].costs[contract].levelized.mean;
    let mut order: Vec<usize> = (0..options.len()).collect();
    order.sort_by(|a, b| mean(*a).value.total_cmp(&mean(*b).value));
    let mut races = Vec::new();
    for a in 0..options.len() {
        for b in a + 1..options.len() {
            let lead = mean(a).value - mean(b).value;
            let se = mean(a).se.hypot(mean(b).se) / 4.0;
            let verdict = if lead.abs() < 3.0 * se {
                Verdict::Tie
            } else if lead < 0.0 {
                Verdict::A
            } else {
                Verdict::B
            };
            let chance = 1.0 / (1.0 + (lead * 1500.0).clamp(-30.0, 30.0).exp());
            races.push(Race {
                a,
                b,
                lead: Estimate { value: lead, se },
                lead_p10: lead - 0.002,
                lead_p90: lead + 0.002,
                chance_a_cheaper: Estimate { value: chance, se: 0.003 },
                verdict,
            });
        }
    }
    let first = order[0];
    let tied = |i: &usize| {
        *i == first
            || races
                .iter()
                .any(|r| r.verdict == Verdict::Tie && ((r.a, r.b) == (first, *i) || (r.b, r.a) == (first, *i)))
    };
    let tied_first = order.iter().copied().filter(|i| tied(i)).collect();
    (Ranking { order, tied_first }, races)
}

/// A study with so many options and contracts over so many years.
pub(crate) fn study(options: usize, contracts: usize, years: u32) -> RunResult {
    let contracts: Vec<(String, f64)> = (0..contracts)
        .map(|i| {
            let (name, factor) = CONTRACTS[i % 3];
            let name = if i < 3 { name.to_owned() } else { format!("{name} {}", i / 3 + 1) };
            (name, factor * (1.0 + (i / 3) as f64 * 0.05))
        })
        .collect();
    let mut options: Vec<OptionResult> = (0..options).map(|i| option(i, &contracts, years)).collect();
    if let Some(option) = options.get_mut(1) {
        option.useful_moles = Some(spread(1_610_000.0, 0.02, 240.0));
        for cost in &mut option.costs {
            let mean = cost.levelized.mean.value * 1.137;
            cost.levelized_useful = Some(spread(mean, 0.08, mean * 0.08 / 141.0));
        }
    }
    let contracts = contracts
        .iter()
        .enumerate()
        .map(|(i, (name, _))| {
            let (ranking, races) = races(&options, i);
            ContractLine {
                name: name.clone(),
                lights: if i == 1 { "21:00–09:00".to_owned() } else { "06:00–18:00".to_owned() },
                burn_h: 43_830.0,
                price_levels: vec![],
                open_questions: vec![],
                ranking,
                races,
            }
        })
        .collect();
    RunResult {
        format: RESULT_FORMAT.to_owned(),
        program: "0.1.0".to_owned(),
        title: "Flower room 2: which lamps for the next ten years?".to_owned(),
        method: Method {
            seed: 20_260_301,
            trials: 20_000,
            ended: Ended::Trials,
            input_digest: "3fa1c9b2d4e5f60718293a4b5c6d7e8f90a1b2c3d4e5f60718293a4b5c6d7e8f".to_owned(),
            trial_digest: "b07d11e2a9c8d7e6f504132231405f6e7d8c9bab0c1d2e3f4051627384950a1b".to_owned(),
            currency: "USD".to_owned(),
            basis: "real".to_owned(),
            discount_rate: 0.06,
            inflation: None,
            booked: "end of month".to_owned(),
            prices_of: "2026-01".to_owned(),
            start: "2026-03-01".to_owned(),
            horizon_years: years,
            time_zone: "America/Denver".to_owned(),
            canopy_m2: 27.0,
            target_ppfd: Some(900.0),
            what_ifs: vec!["discount_rate=0.06".to_owned()],
        },
        inputs: vec![
            input("options[\"A cheap arc\"].lamp.price", "USD", 38.0, "invoice", true, ""),
            input("options[\"A cheap arc\"].lamp.life", "h", 16_000.0, "datasheet", true, "50 % survive"),
            input("options[\"C bar LED\"].droop", "1/kh", 0.004, "guess", true, "like the last ones"),
            input("labour.rate", "USD/h", 42.0, "guess", false, "=typical, \"assumed\""),
        ],
        cautions: vec![
            "Light is counted where it was measured; two options measured at different heights do not compare fairly, \
             and nothing in this table corrects for that."
                .to_owned(),
            "The discount rate is assumed.".to_owned(),
        ],
        remarks: vec!["No failure data for C bar LED: its life is a guess.".to_owned()],
        contracts,
        options,
    }
}

fn input(place: &str, unit: &str, p50: f64, grade: &str, stated: bool, note: &str) -> InputLine {
    InputLine {
        pointer: format!("/{}", place.replace('.', "/")),
        place: place.to_owned(),
        unit: unit.to_owned(),
        p10: p50 * 0.9,
        p50,
        p90: p50 * 1.1,
        grade: grade.to_owned(),
        stated,
        note: note.to_owned(),
    }
}

/// Four options, three contracts, ten years.
pub(crate) fn realistic() -> RunResult {
    study(4, 3, 10)
}

/// Twelve options with long names, twelve contracts, forty years.
pub(crate) fn crowded() -> RunResult {
    let mut run = study(12, 12, 40);
    for (i, option) in run.options.iter_mut().enumerate() {
        option.name = format!("{} with a reflector of hammered aluminium and a name that never ends ", option.name)
            .repeat(3)
            .chars()
            .take(197)
            .collect::<String>()
            + &format!(" {}", i + 1);
        option.light_basis = format!("into {}.25 m² at 0.90 m over the lower tier of the flower room", i + 1);
    }
    for contract in &mut run.contracts {
        contract.name = format!("{} of the municipal works, with a very long annex ", contract.name).repeat(3);
    }
    run
}

/// Names that try to leave their place.
pub(crate) fn hostile() -> RunResult {
    let mut run = study(6, 4, 3);
    let names = [
        "<script>alert(1)</script>",
        "=HYPERLINK(\"http://example.org\";\"x\")",
        "高圧ナトリウムランプ六百ワット、反射板つきの長い名前の選択肢、予備球十二個",
        "\u{202e}gnihtemos\u{1b}[2J\u{7}\n\nsecond line\u{0}\u{ffff}",
        "مصباح طويل العمر مع عاكس \u{2067}",
        "WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW",
    ];
    for (option, name) in run.options.iter_mut().zip(names) {
        option.name = name.to_owned();
    }
    for (contract, name) in run.contracts.iter_mut().zip(["+1", "@x & 'y' \"z\"", "", "Ночной тариф ]]> <!-- "])
    {
        contract.name = name.to_owned();
    }
    run.title = "<script>alert(1)</script>\u{202e}\u{1b}]0;x\u{7} & more".to_owned();
    run.cautions.push("line\none\u{1b}[31m".to_owned());
    run
}

/// One option, one contract, every trial the same.
pub(crate) fn all_equal() -> RunResult {
    let mut run = study(1, 1, 1);
    let still = |value: f64| {
        let e = Estimate { value, se: 0.0 };
        Spread { mean: e, sd: 0.0, p5: e, p10: e, p50: e, p80: e, p90: e, p95: e }
    };
    let option = &mut run.options[0];
    option.moles = still(1000.0);
    option.lamps_bought = still(0.0);
    option.failures = still(0.0);
    option.dark_h = still(0.0);
    option.target_met = None;
    option.light = Band { years: vec![1.0 / 12.0], p10: vec![1.0], p50: vec![1.0], p90: vec![1.0], trials: 1 };
    let cost = &mut option.costs[0];
    cost.levelized = still(0.0425);
    cost.split = Split::default();
    cost.plain = still(0.0425);
    cost.total = still(42.5);
    cost.present_value = still(42.5);
    cost.density = Curve { x: vec![], y: vec![] };
    cost.cumulative = Curve { x: vec![0.0425], y: vec![1.0] };
    run.method.ended = Ended::Interrupted;
    run.method.trials = 1;
    run
}

/// Nothing costs anything, nothing is drawn from, nothing lasts.
pub(crate) fn all_zero() -> RunResult {
    let mut run = study(2, 2, 1);
    let e = Estimate { value: 0.0, se: 0.0 };
    let zero = Spread { mean: e, sd: 0.0, p5: e, p10: e, p50: e, p80: e, p90: e, p95: e };
    let nothing = Curve { x: vec![], y: vec![] };
    for option in &mut run.options {
        option.light = Band { years: vec![], p10: vec![], p50: vec![], p90: vec![], trials: 0 };
        option.years.clear();
        option.lamps_bought = zero.clone();
        for cost in &mut option.costs {
            cost.levelized = zero.clone();
            cost.split = Split::default();
            cost.density = nothing.clone();
            cost.cumulative = nothing.clone();
            cost.causes.clear();
            cost.by_year.clear();
        }
    }
    run
}

/// Numbers that are none, too large, too small or negative.
pub(crate) fn not_numbers() -> RunResult {
    let mut run = study(4, 2, 2);
    let wild = [f64::NAN, f64::INFINITY, 1e300, -3.0];
    for (option, value) in run.options.iter_mut().zip(wild) {
        for list in [&mut option.light.p10, &mut option.light.p50, &mut option.light.p90] {
            list[3] = value;
        }
        option.years[0].spot_lamps = value;
        option.years[0].failures_p90 = value;
        option.moles.mean.value = value;
        let cost = &mut option.costs[0];
        cost.levelized.mean.value = value;
        cost.levelized.p90 = Estimate { value, se: f64::NAN };
        cost.split.ignorance = Estimate { value, se: value };
        (cost.split.whole, cost.split.luck.value, cost.split.simulation) = (value, value, value);
        cost.density.y[5] = value;
        cost.cumulative.x[7] = value;
        cost.causes[2].levelized = value;
        cost.causes[6].levelized = -0.01;
    }
    run.options[3].costs[1].density.x.truncate(1);
    run
}
