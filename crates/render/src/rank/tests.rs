//! What the printed ranking and its tables must keep to, whatever the report.

use super::*;
use crate::answer::printed;
use crate::proofreading::{self, holds};
use crate::sample::rank as sample;
use crate::table::{RANK, RANK_PAIRS, RANK_REGRET, RANK_SERVICE, header};

#[test]
fn everything_fits_its_width() {
    for (which, report) in sample::all() {
        proofreading::keeps_its_width(which, |width| printed(&report, width, false));
    }
}

/// The text with its lines joined, so that a sentence may be looked for wherever it breaks.
fn joined(report: &RankReport) -> String {
    proofreading::joined(&printed(report, 100, false))
}

#[test]
fn hostile_text_reaches_no_terminal_and_colour_adds_nothing() {
    proofreading::is_harmless(|color| printed(&sample::hostile(), 80, color));
}

#[test]
fn the_head_says_who_wins_and_how_sure_that_is() {
    holds(
        &joined(&sample::realistic()),
        &[
            "Study of two bays: the options ranked",
            "D panel LED wins or shares the first place under every contract.",
            "flat day rate: D panel LED, leaning: 0.07 ± 0.004 ct/mol below C bar LED, cheaper in 87 % of trials",
            "night time-of-use: too close to call: D panel LED and C bar LED;",
            "beyond 1.96 standard errors and by more than 1 % of the cheaper mean cost",
            "1 ct/mol comes to 22 000 USD",
        ],
    );
    let mut report = sample::realistic();
    report.contracts[1].first_place = vec![2];
    assert!(joined(&report).contains("The winner depends on the contract."));
    report.contracts[1].first_place = vec![3];
    assert!(joined(&report).contains("The same winner under every contract: D panel LED."));
}

#[test]
fn losses_dominance_futures_and_rooms_have_their_sentences() {
    holds(
        &joined(&sample::realistic()),
        &[
            "A cheap arc is dominated by B long-life arc: at every level of cost B long-life arc is less likely to exceed it",
            "for whoever is cautious",
            "B long-life arc or D panel LED: neither dominates",
            "D panel LED is the safest pick: never above the best in any of the 3 futures.",
            "dear power: electricity: all prices of the contract at 1.5",
            "A cheap arc and B long-life arc are short of the target as written and do not give the same service",
            "Per mole D panel LED is cheaper than C bar LED, per room as written it is dearer by 800 USD: the rooms give \
             unequal light",
            "fixtures come whole",
            "The light is held as under the contract before.",
        ],
    );
    let mut report = sample::realistic();
    if let Some(futures) = &mut report.futures {
        futures.picks = vec![2];
        futures.best_in = vec![0, 0, 1, 2];
    }
    assert!(joined(&report).contains(
        "C bar LED is the safest pick: never more than 0.10 ct/mol (2200 USD for 1 room) above the best in any of the 3 \
         futures, though the best in only one."
    ));
}

#[test]
fn a_single_option_has_its_cost_and_a_missing_target_is_named() {
    let text = joined(&sample::single());
    holds(&text, &["One option only", "5.31", "state canopy.target_ppfd"]);
    assert!(!text.contains("Pair by pair") && !text.contains("Regret by future"));
}

fn read(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect()
}

#[test]
fn tables_have_their_columns_and_every_digit() {
    type Write = fn(&RankReport) -> String;
    let tables: [(&str, Write, usize); 4] = [
        (RANK, rank_csv, 8),
        (RANK_PAIRS, rank_pairs_csv, 12),
        (RANK_REGRET, rank_regret_csv, 12),
        (RANK_SERVICE, rank_service_csv, 8),
    ];
    for (which, report) in sample::all() {
        for (file, write, rows) in tables {
            // a strict reader refuses rows of another length
            let found = read(&write(&report));
            assert_eq!(found[0], header(file, &report.currency, &report.basis), "{which}");
            assert!(which != "realistic" || found.len() == 1 + rows, "{file}: {}", found.len());
            for cell in found.into_iter().flatten() {
                assert!(cell != "NaN" && cell != "inf", "{which} {file}");
                assert!(!cell.starts_with(['=', '+', '@']) && (!cell.starts_with('-') || cell.parse::<f64>().is_ok()));
            }
        }
    }
    let report = sample::realistic();
    let cell = |text: &str, row: usize, name: &str| {
        let rows = read(text);
        rows[row][rows[0].iter().position(|column| column == name).unwrap()].clone()
    };
    let ranked = rank_csv(&report);
    assert_eq!((cell(&ranked, 1, "option"), cell(&ranked, 1, "against_first")), ("D panel LED".into(), String::new()));
    assert_eq!(cell(&ranked, 2, "place"), "2");
    assert_eq!(cell(&ranked, 6, "place"), "1");
    let loss = report.contracts[0].losses[3];
    assert_eq!(cell(&ranked, 1, "loss_real_USD_p95").parse(), Ok(loss.p95_money.value));
    let pairs = rank_pairs_csv(&report);
    assert_eq!(cell(&pairs, 6, "loss_if_b_real_USD_mean").parse(), Ok(report.contracts[0].pairs[5].loss_if_b.value));
    assert_eq!((cell(&pairs, 1, "dominant"), cell(&pairs, 5, "dominant")), ("B long-life arc".into(), String::new()));
    let service = rank_service_csv(&report);
    assert_eq!((cell(&service, 1, "short"), cell(&service, 4, "short")), ("yes".into(), "no".into()));
}
