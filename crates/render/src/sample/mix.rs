//! Mixes made up for tests: one like a real one, and several that are meant to break a layout.
//!
//! Belongs here: builders of `MixReport`. Does not belong here: assertions.

use decide::mix_report::*;
use decide::result::{Ended, Estimate};

fn estimate(value: f64, se: f64) -> Estimate {
    Estimate { value, se }
}

fn mix(parts: Vec<u32>, mean: f64, regret: f64, is_frontier: bool) -> Mix {
    Mix {
        parts,
        mean: estimate(mean, 12.0),
        sd: 900.0 + regret / 10.0,
        p90: estimate(mean + 900.0, 30.0),
        regret_mean: estimate(0.3 * regret, 9.0),
        regret_p95: estimate(regret, 35.0),
        is_frontier,
    }
}

/// Two options in ten parts; six of ten is the safest.
pub(crate) fn realistic() -> MixReport {
    let blend = |a: u32| {
        let share = f64::from(a) / 10.0;
        let regret = if a >= 6 { 900.0 + 400.0 * (share - 0.6) } else { 900.0 + 4000.0 * (0.6 - share) };
        mix(vec![a, 10 - a], 46_400.0 - 600.0 * share, regret, a >= 6)
    };
    let mut mixes = vec![blend(10), blend(0)];
    mixes.extend((1..10).map(blend));
    MixReport {
        format: MIX_FORMAT.into(),
        program: "0".into(),
        title: "Study of two bays".into(),
        currency: "USD".into(),
        basis: "real".into(),
        discount_rate: 0.08,
        prices_of: "2031-03".into(),
        start: "2031-03-01".into(),
        horizon_years: 5,
        contract: "flat day rate".into(),
        options: vec!["A cheap arc".into(), "B long-life arc".into()],
        light_bases: vec!["into 2.25 m² at 0.90 m".into(), "into 2.25 m² at 1.10 m".into()],
        parts: 10,
        service_mol: 2.35e6,
        service: "600 µmol/m²/s held over 60 m² for 5 years".into(),
        rooms: 1,
        seed: 1,
        trials: 10_000,
        ended: Ended::Trials,
        mixes,
        lowest_mean: 0,
        lowest_regret: Hedge { mix: 7, premium: estimate(240.0, 9.0), lowers: estimate(160.0, 30.0) },
        lowest_p90: Hedge { mix: 0, premium: estimate(0.0, 0.0), lowers: estimate(0.0, 0.0) },
        cautions: vec!["A caution of the scenario.".into()],
        remarks: vec![],
    }
}

/// Four options with names that begin alike, many mixes, all on the frontier.
pub(crate) fn crowded() -> MixReport {
    let mut report = realistic();
    report.options = (1..=4).map(|k| format!("Bay lamp of a rather long name number {k}")).collect();
    report.light_bases = vec!["into 2.25 m²".into(); 4];
    (report.parts, report.rooms) = (8, 300);
    let alone = |k: usize| (0..4).map(|other| if other == k { 8 } else { 0 }).collect::<Vec<u32>>();
    let at = |k: usize, parts: Vec<u32>| mix(parts, 4e6 + 1e3 * k as f64, 9e5 - 2e3 * k as f64, true);
    report.mixes = (0..4).map(|k| at(k, alone(k))).collect();
    report.mixes.extend((4..160).map(|k| at(k, vec![2, 1, 3, 2])));
    report.lowest_regret = Hedge { mix: 159, premium: estimate(1e5, 300.0), lowers: estimate(1.0, 300.0) };
    report.lowest_p90 = Hedge { mix: 3, premium: estimate(-4.0, 300.0), lowers: estimate(3e5, 300.0) };
    report
}

/// Text that would harm a terminal, a table or a picture.
pub(crate) fn hostile() -> MixReport {
    let mut report = realistic();
    report.title = "=HYPERLINK(\"http://x\")\u{1b}[31m\u{202e}<b>&".into();
    report.options =
        vec!["\u{1b}]0;x\u{7} <script>alert(1)</script> \u{2067}wide".repeat(4), "日本語の長い名前です".repeat(6)];
    report.light_bases = vec!["-2+3\r\n\u{0}\u{85}".into(), "@x".into()];
    report.contract = "@SUM(A1)\"'&".into();
    report.currency = "U\u{1b}<D".into();
    report.basis = "re<al".into();
    report.ended = Ended::Interrupted;
    report.remarks = vec!["\u{1b}[2J".into()];
    report
}

/// What no calculation should give.
pub(crate) fn wild() -> MixReport {
    let mut report = realistic();
    let numbers = [f64::NAN, f64::INFINITY, -1e300, 1e-300, 0.0];
    let wild = |k: usize| estimate(numbers[k % 5], numbers[(k + 2) % 5]);
    for (k, mix) in report.mixes.iter_mut().enumerate() {
        (mix.mean, mix.p90, mix.regret_mean, mix.regret_p95) = (wild(k), wild(k + 1), wild(k + 2), wild(k + 3));
        mix.sd = numbers[k % 5];
    }
    report.lowest_regret = Hedge { mix: 3, premium: wild(0), lowers: wild(1) };
    report.lowest_p90 = Hedge { mix: 99, premium: wild(2), lowers: wild(3) };
    report.discount_rate = f64::NAN;
    report
}

/// All of them, by name.
pub(crate) fn all() -> Vec<(&'static str, MixReport)> {
    let mut equal = realistic();
    for mix in &mut equal.mixes {
        (mix.mean, mix.sd) = (estimate(5.0, 0.0), 0.0);
        (mix.p90, mix.regret_mean, mix.regret_p95) = (mix.mean, estimate(0.0, 0.0), estimate(0.0, 0.0));
    }
    let mut empty = realistic();
    empty.mixes.clear();
    vec![
        ("realistic mixes", realistic()),
        ("crowded mixes", crowded()),
        ("hostile mixes", hostile()),
        ("wild mixes", wild()),
        ("equal mixes", equal),
        ("empty mixes", empty),
    ]
}
