//! Rankings made up for tests: one like a real one, and several that are meant to break a layout.
//!
//! Belongs here: builders of `RankReport`. Does not belong here: assertions.

use decide::rank_report::*;
use decide::result::{Ended, Estimate, Spread};

fn estimate(value: f64, se: f64) -> Estimate {
    Estimate { value, se }
}

fn spread(mean: f64) -> Spread {
    let at = |share: f64| estimate(mean * (1.0 + share), mean * 1e-3);
    Spread {
        mean: estimate(mean, mean * 5e-4),
        sd: mean * 0.05,
        p5: at(-0.08),
        p10: at(-0.06),
        p50: at(0.0),
        p80: at(0.04),
        p90: at(0.06),
        p95: at(0.08),
    }
}

/// Mol of one room's present light.
const LIGHT: f64 = 2.2e6;

fn pair(costs: &[f64], a: usize, b: usize, word: Word, rule: Rule) -> Pair {
    let lead = costs[a] - costs[b];
    let money = |value: f64| estimate(value * LIGHT, 40.0);
    Pair {
        a,
        b,
        lead: estimate(lead, 2e-5),
        lead_p10: estimate(lead - 0.002, 4e-5),
        lead_p90: estimate(lead + 0.002, 4e-5),
        chance_a_cheaper: estimate(if lead < 0.0 { 0.87 } else { 0.13 }, 0.003),
        material: 0.0,
        word,
        lead_money: money(lead),
        loss_if_a: money(lead.max(0.0) + 2e-4),
        loss_if_b: money((-lead).max(0.0) + 2e-4),
        dominance: Dominance { rule, a_is_better: lead < 0.0, against: 0.004, allowed: 0.02 },
    }
}

fn held() -> Held {
    let option = |fixtures: u32, share: f64, cost: f64| HeldOption {
        fixtures,
        share: estimate(share, 3e-4),
        worst_share: estimate(share * 0.9, 4e-4),
        worst_month: 60,
        darkest_ratio: Some(0.71),
        darkest_ppfd: Some(share * 600.0 * 0.71),
        needed_for_mean: estimate(f64::from(fixtures) / share, 0.01),
        needed_for_darkest: Some(f64::from(fixtures) / share * 0.94),
        whole: (f64::from(fixtures) / share).ceil() as u32,
        as_written: estimate(cost, 30.0),
        whole_cost: Some(estimate(cost * 1.03, 31.0)),
        surplus_mol: (share - 1.0).max(0.0) * 2.8e6,
        surplus_cost: estimate((share - 1.0).max(0.0) * cost * 0.6, 3.0),
        less_surplus: estimate(cost * 0.98, 30.0),
    };
    let turned = |per_mole, per_room, reason| Some(Turned { per_mole, per_room, lead: estimate(812.0, 20.0), reason });
    Held {
        target_mol: 2.8e6,
        options: vec![
            option(24, 0.93, 121_000.0),
            option(23, 0.987, 118_000.0),
            option(22, 1.012, 96_000.0),
            option(29, 1.06, 97_500.0),
        ],
        order_as_written: vec![2, 3, 1, 0],
        order_whole: vec![2, 3, 1, 0],
        turned_as_written: turned(3, 2, Reason::UnequalLight),
        turned_whole: turned(3, 2, Reason::WholeFixtures),
    }
}

fn contract(name: &str, costs: [f64; 4], words: [Word; 6], first_place: Vec<usize>) -> RankContract {
    let mut pairs = vec![];
    let rules = [Rule::ForAll, Rule::ForAll, Rule::ForTheCautious, Rule::ForAll, Rule::Neither, Rule::Alike];
    for a in 0..4 {
        for b in a + 1..4 {
            pairs.push(pair(&costs, a, b, words[pairs.len()], rules[pairs.len()]));
        }
    }
    let mut order = vec![0, 1, 2, 3];
    order.sort_by(|&a: &usize, &b: &usize| costs[a].total_cmp(&costs[b]));
    let low = costs.iter().copied().fold(f64::INFINITY, f64::min);
    let loss = |cost: f64| Loss {
        mean: estimate(cost - low + 1e-4, 1e-5),
        p95: estimate(cost - low + 2e-3, 4e-5),
        mean_money: estimate((cost - low + 1e-4) * LIGHT, 20.0),
        p95_money: estimate((cost - low + 2e-3) * LIGHT, 90.0),
        cheapest: estimate(if cost == low { 0.86 } else { 0.047 }, 0.003),
    };
    RankContract {
        contract: name.into(),
        lights: "21:00–09:00".into(),
        service_mol: LIGHT,
        service: "600 µmol/m²/s held over 60 m² for 5 years".into(),
        order,
        first_place,
        costs: costs.map(spread).to_vec(),
        pairs,
        losses: costs.map(loss).to_vec(),
        service_held: Some(held()),
    }
}

fn future(contract: &str, name: &str, costs: [f64; 4]) -> FutureRow {
    let low = costs.iter().copied().fold(f64::INFINITY, f64::min);
    let of = |cost: f64| estimate(cost - low, if cost == low { 0.0 } else { 2e-5 });
    FutureRow {
        contract: contract.into(),
        future: name.into(),
        moved: if name == "as written" {
            String::new()
        } else {
            "electricity: all prices of the contract at 1.5".into()
        },
        costs: costs.map(|cost| estimate(cost, 4e-5)).to_vec(),
        regret: costs.map(of).to_vec(),
        regret_money: costs.map(|cost| estimate((cost - low) * LIGHT, 44.0)).to_vec(),
        best: costs.iter().position(|cost| *cost == low).unwrap_or(0),
    }
}

/// Four options under two contracts, one clear and one too close to call.
pub(crate) fn realistic() -> RankReport {
    use Word::{Clear, Immaterial, Leaning, WithinNoise};
    let (flat, night) = ([0.0531, 0.0472, 0.0293, 0.0286], [0.0361, 0.0349, 0.0242, 0.02418]);
    RankReport {
        format: RANK_FORMAT.into(),
        program: "0.1.0".into(),
        title: "Study of two bays".into(),
        currency: "USD".into(),
        basis: "real".into(),
        discount_rate: 0.08,
        prices_of: "2031-03".into(),
        start: "2031-03-01".into(),
        horizon_years: 5,
        options: ["A cheap arc", "B long-life arc", "C bar LED", "D panel LED"].map(String::from).to_vec(),
        light_bases: vec!["into 2.25 m² at 0.90 m".into(); 4],
        rooms: 1,
        material: Material::Share(0.01),
        target_ppfd: Some(600.0),
        least_ppfd: Some(400.0),
        seed: 1,
        trials: 10_000,
        ended: Ended::Trials,
        contracts: vec![
            contract("flat day rate", flat, [Clear, Clear, Clear, Clear, Clear, Leaning], vec![3]),
            contract("night time-of-use", night, [Immaterial, Clear, Clear, Clear, Clear, WithinNoise], vec![3, 2]),
        ],
        futures: Some(Futures {
            rows: vec![
                future("flat day rate", "as written", flat),
                future("flat day rate", "dear power", flat.map(|cost| cost * 1.4)),
                future("night time-of-use", "as written", night),
            ],
            worst: vec![0.0343, 0.026, 0.00098, 0.0],
            worst_money: vec![75_500.0, 57_300.0, 2_156.0, 0.0],
            picks: vec![3],
            best_in: vec![0, 0, 0, 3],
        }),
        cautions: vec!["an invented caution".into()],
        remarks: vec!["an invented remark".into()],
    }
}

/// One option under one contract, without a target.
pub(crate) fn single() -> RankReport {
    let mut report = realistic();
    report.options.truncate(1);
    report.light_bases.truncate(1);
    report.contracts.truncate(1);
    let contract = &mut report.contracts[0];
    (contract.order, contract.first_place) = (vec![0], vec![0]);
    contract.costs.truncate(1);
    contract.losses.truncate(1);
    contract.pairs.clear();
    contract.service_held = None;
    report.target_ppfd = None;
    report.futures = None;
    report
}

/// Names and amounts that are meant to break a page.
pub(crate) fn hostile() -> RankReport {
    let mut report = realistic();
    report.title = "\u{1b}[31m=HYPERLINK(\"x\")\r\n\u{202e}".repeat(4);
    report.options[0] = "=HYPERLINK(\"http://example\")".into();
    report.options[1] = "\u{202e}\u{7}<b>&amp;\u{0}".into();
    report.options[2] = "ab".repeat(150);
    report.options[3] = "ab".repeat(150) + "c";
    report.contracts[0].contract = "\u{85}long name ".repeat(30);
    report.contracts[0].costs[0] = spread(f64::NAN);
    report.contracts[0].losses[1].mean_money = estimate(1e300, 1e299);
    report.contracts[0].losses[1].p95_money = estimate(f64::INFINITY, f64::NAN);
    report.contracts[0].pairs[0].lead = estimate(f64::NAN, f64::NAN);
    report.contracts[1].pairs[2].lead_money = estimate(-1e22, 1e3);
    if let Some(held) = &mut report.contracts[0].service_held {
        held.options[0].share = estimate(f64::NAN, f64::NAN);
        held.options[1].whole = u32::MAX;
        held.options[1].whole_cost = None;
        held.options[2].needed_for_mean = estimate(f64::INFINITY, f64::NAN);
    }
    report.ended = Ended::Interrupted;
    report
}

/// All of them, with a word for each.
pub(crate) fn all() -> Vec<(&'static str, RankReport)> {
    let mut nobody = realistic();
    nobody.contracts.clear();
    nobody.futures = None;
    let mut equal = realistic();
    for contract in &mut equal.contracts {
        contract.first_place.clone_from(&contract.order);
        for pair in &mut contract.pairs {
            pair.lead = Estimate::default();
            pair.word = Word::WithinNoise;
        }
    }
    vec![("realistic", realistic()), ("single", single()), ("hostile", hostile()), ("nobody", nobody), ("equal", equal)]
}
