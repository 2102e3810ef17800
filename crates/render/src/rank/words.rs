//! What may be said of a pair, of a contract and of all of them.
//!
//! Belongs here: sentences. Does not belong here: tables.

use decide::rank_report::{Pair, RankContract, RankReport, Rule, Word};
use decide::result::Estimate;

use crate::breakeven::with_noise;
use crate::number;
use crate::relamp::scaled;
use crate::words::clean;

/// A pair told from the side of one of its options.
pub(crate) struct View {
    /// Mean saving of this option against the other, currency per mol.
    pub saving: Estimate,
    pub low: Estimate,
    pub high: Estimate,
    /// Chance that this option is cheaper.
    pub chance: Estimate,
    pub money: Estimate,
    /// Expected loss if this option is picked, and if the other is.
    pub loss: Estimate,
    pub loss_of_other: Estimate,
    pub word: Word,
}

/// The pair of two options from the side of the first.
pub(crate) fn view(contract: &RankContract, of: usize, against: usize) -> Option<View> {
    let is_pair = |pair: &&Pair| (pair.a, pair.b) == (of.min(against), of.max(against));
    let pair = contract.pairs.iter().find(is_pair)?;
    let is_a = pair.a == of;
    let sign = if is_a { -1.0 } else { 1.0 };
    let turned = |estimate: Estimate| Estimate { value: sign * estimate.value, se: estimate.se };
    let chance = pair.chance_a_cheaper;
    let (low, high) = (turned(pair.lead_p10), turned(pair.lead_p90));
    Some(View {
        saving: turned(pair.lead),
        low: if is_a { high } else { low },
        high: if is_a { low } else { high },
        chance: if is_a { chance } else { Estimate { value: 1.0 - chance.value, se: chance.se } },
        money: turned(pair.lead_money),
        loss: if is_a { pair.loss_if_a } else { pair.loss_if_b },
        loss_of_other: if is_a { pair.loss_if_b } else { pair.loss_if_a },
        word: pair.word,
    })
}

/// A confidence word for a table.
pub(crate) fn word(word: Word) -> &'static str {
    match word {
        Word::Clear => "clear",
        Word::Leaning => "leaning",
        Word::WithinNoise => "too close (noise)",
        Word::Immaterial => "too close (small)",
    }
}

/// The place of an option: those that share the first are all 1.
pub(crate) fn place(contract: &RankContract, option: usize) -> usize {
    if contract.first_place.contains(&option) {
        return 1;
    }
    contract.order.iter().position(|o| *o == option).map_or(0, |place| place + 1)
}

/// How sure the lead of the first is over an option; nothing for the first itself.
pub(crate) fn against_first(contract: &RankContract, option: usize) -> Option<Word> {
    let first = *contract.order.first()?;
    if first == option { None } else { view(contract, first, option).map(|view| view.word) }
}

fn named(report: &RankReport, option: usize) -> String {
    report.options.get(option).map_or_else(String::new, |name| clean(name))
}

/// Names as "A, B and C".
pub(crate) fn joined(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [all @ .., last] => format!("{} and {last}", all.join(", ")),
    }
}

/// A share of trials in words.
pub(crate) fn of_trials(chance: Estimate) -> String {
    match chance.value {
        0.0 => "none of the trials".to_owned(),
        1.0 => "every trial".to_owned(),
        share => format!("{} of trials", number::percent(share, chance.se)),
    }
}

/// What may be said of a contract, in one sentence without its full stop.
pub(crate) fn headline(report: &RankReport, contract: &RankContract) -> String {
    let Some(&first) = contract.order.first() else { return "no option".to_owned() };
    let first_name = named(report, first);
    let Some(&second) = contract.order.get(1) else {
        let cost = contract.costs.first().map_or_else(String::new, |cost| with_noise(scaled(cost.mean, 100.0)));
        return format!("{first_name} at {cost} ct/mol; one option only, so nothing is ranked");
    };
    let Some(view) = view(contract, first, second) else { return first_name };
    let second_name = named(report, second);
    let chance = of_trials(view.chance);
    if contract.first_place.len() > 1 {
        let tied: Vec<String> = contract.first_place.iter().map(|&o| named(report, o)).collect();
        if view.saving.value == 0.0 && view.saving.se == 0.0 {
            return format!("too close to call: {} cost the same in every trial", joined(&tied));
        }
        let gap = with_noise(scaled(view.saving, 100.0));
        let mean = format!("the first two differ by {gap} ct/mol, and {first_name} is cheaper in {chance}");
        return format!("too close to call: {}; {mean}", joined(&tied));
    }
    format!(
        "{first_name}, {}: {} ct/mol below {second_name}, cheaper in {chance}",
        said(view.word),
        with_noise(scaled(view.saving, 100.0)),
    )
}

/// A confidence word in a sentence.
fn said(word: Word) -> &'static str {
    match word {
        Word::Clear => "clear",
        Word::Leaning => "leaning",
        Word::WithinNoise | Word::Immaterial => "too close to call",
    }
}

/// What may be said of all contracts together.
pub(crate) fn overall(report: &RankReport) -> String {
    let contracts = &report.contracts;
    if report.options.len() < 2 {
        return "One option only: its cost is told, and nothing is ranked.".to_owned();
    }
    let Some(first) = contracts.first() else { return "No contract.".to_owned() };
    if contracts.len() == 1 {
        return format!("{}: {}.", clean(&first.contract), headline(report, first));
    }
    let everywhere: Vec<usize> = first
        .first_place
        .iter()
        .copied()
        .filter(|o| contracts.iter().all(|contract| contract.first_place.contains(o)))
        .collect();
    let names: Vec<String> = everywhere.iter().map(|&o| named(report, o)).collect();
    let alone = contracts.iter().all(|contract| contract.first_place.len() == 1);
    match (names.len(), alone) {
        (0, _) => "The winner depends on the contract.".to_owned(),
        (1, true) => format!("The same winner under every contract: {}.", names[0]),
        (1, false) => format!("{} wins or shares the first place under every contract.", names[0]),
        _ => format!("{} share the first place under every contract.", joined(&names)),
    }
}

/// Whether one of two dominates the other, as a sentence; nothing where it depends on how risk is weighed.
pub(super) fn dominance(report: &RankReport, pair: &Pair) -> Option<String> {
    let told = pair.dominance;
    let (better, worse) = if told.a_is_better { (pair.a, pair.b) } else { (pair.b, pair.a) };
    let (better, worse) = (named(report, better), named(report, worse));
    let but = if told.against > 0.0 {
        let trials = number::to_noise((told.against * report.trials as f64).round(), 0.0);
        let all = number::count(report.trials);
        format!(" (but for {trials} of {all} trials at one level, which noise explains)")
    } else {
        String::new()
    };
    match told.rule {
        Rule::ForAll => Some(format!(
            "{worse} is dominated by {better}: at every level of cost {better} is less likely to exceed it{but}."
        )),
        Rule::ForTheCautious => Some(format!(
            "{worse} is dominated by {better} for whoever is cautious: beyond every level of cost {better} goes by less on average."
        )),
        Rule::Alike => Some(format!("{better} and {worse}: how their costs are spread cannot be told apart.")),
        Rule::Neither => None,
    }
}
