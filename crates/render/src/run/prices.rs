//! How electricity prices move over the years, in a sentence for each contract.

use decide::result::{ContractLine, PriceLevel, RunResult};

use super::Page;
use crate::number;
use crate::words::clean;

/// The section; nothing when all prices stay where they are.
pub(super) fn prices(page: &mut Page, result: &RunResult) {
    let moving: Vec<&ContractLine> =
        result.contracts.iter().filter(|contract| contract.price_levels.iter().any(moves)).collect();
    if moving.is_empty() {
        return;
    }
    page.heading("Electricity prices in the last year, as multiples of those written");
    for contract in moving {
        let last = contract.price_levels.iter().map(|level| level.year).max().unwrap_or(0);
        let levels: Vec<&PriceLevel> = contract.price_levels.iter().filter(|level| level.year == last).collect();
        let mut told: Vec<(String, String)> = vec![];
        for level in levels {
            let text = if (level.p90 - level.p10).abs() < 5e-4 {
                number::fixed(level.mean, 3)
            } else {
                format!(
                    "{} [{}–{}]",
                    number::fixed(level.mean, 2),
                    number::fixed(level.p10, 2),
                    number::fixed(level.p90, 2)
                )
            };
            match told.iter_mut().find(|(_, known)| *known == text) {
                Some((parts, _)) => *parts = format!("{parts}, {}", clean(&level.part)),
                None => told.push((clean(&level.part), text)),
            }
        }
        let told: Vec<String> = told.into_iter().map(|(parts, text)| format!("{parts} {text}")).collect();
        page.hanging("- ", &format!("{}, year {last}: {}", clean(&contract.name), told.join("; ")));
    }
}

fn moves(level: &PriceLevel) -> bool {
    (level.mean - 1.0).abs() > 5e-4 || level.p90 - level.p10 > 5e-4
}
