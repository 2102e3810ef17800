//! What a run says.
//!
//! Belongs here: what is said and in which order. Does not belong here: how a page is set (`page`), rounding (`number`).

mod prices;
mod spread;

use crate::number;
use crate::page::{Column, NAME_LINES, Page, first_column};
use crate::words::{clean, columns, distinct, shorten};
use decide::planning::planning_load;
use decide::result::{ContractLine, Ended, RunResult, Spread};

/// Hexadecimal digits of a digest that are shown: enough to tell two runs apart by eye.
const DIGEST_DIGITS: usize = 12;

/// The result as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(result: &RunResult, width: usize) -> Page {
    let mut page = Page::new(width);
    let width = page.width;
    head(&mut page, result);
    let names = option_names(result, width);
    levelized(&mut page, result, &names);
    spread::split(&mut page, result, &names);
    spread::useful(&mut page, result, &names);
    light(&mut page, result);
    verdicts(&mut page, result);
    upkeep(&mut page, result, &names);
    loads(&mut page, result, &names);
    prices::prices(&mut page, result);
    inputs(&mut page, result);
    page.list("Cautions", &result.cautions);
    page.list("Remarks", &result.remarks);
    page
}

fn option_names(result: &RunResult, width: usize) -> Vec<String> {
    let limit = (first_column(width) * NAME_LINES) as f64;
    distinct(result.options.iter().map(|o| o.name.as_str()), |name| shorten(name, limit, |t| columns(t) as f64))
}

fn head(page: &mut Page, result: &RunResult) {
    let method = &result.method;
    if method.ended == Ended::Interrupted {
        page.bold(&format!(
            "INTERRUPTED: this run was stopped after {}; the numbers are of no more than that",
            number::counted(method.trials, "trial")
        ));
        page.gap();
    }
    page.bold(&clean(&result.title));
    page.gap();
    page.hanging(
        "Basis   ",
        &format!(
            "{} from {}; {} {} discounted at {} a year, booked {}; prices of {}{}",
            number::counted(method.horizon_years.into(), "year"),
            clean(&method.start),
            clean(&method.basis),
            clean(&method.currency),
            number::percent(method.discount_rate, 0.0),
            clean(&method.booked),
            clean(&method.prices_of),
            method
                .inflation
                .map_or_else(String::new, |rate| format!(" raised by {} a year", number::percent(rate, 0.0)))
        ),
    );
    let ended = match method.ended {
        Ended::Trials => "",
        Ended::Precision => " (target precision reached)",
        Ended::Interrupted => " (interrupted)",
    };
    let digest = |digest: &str| clean(digest).chars().take(DIGEST_DIGITS).collect::<String>();
    page.hanging(
        "Run     ",
        &format!(
            "{}{ended}, seed {}; digest of the inputs {}, of the trials {}",
            number::counted(method.trials, "trial"),
            method.seed,
            digest(&method.input_digest),
            digest(&method.trial_digest)
        ),
    );
    if !method.what_ifs.is_empty() {
        let list: Vec<String> = method.what_ifs.iter().map(|w| clean(w)).collect();
        page.hanging("What if ", &list.join("; "));
    }
}

fn levelized(page: &mut Page, result: &RunResult, names: &[String]) {
    let method = &result.method;
    page.heading("Levelized cost of light, ct/mol");
    page.hanging(
        "",
        &format!(
            "1 ct is 0.01 {}; mean and, in brackets, the range from the 10 % to the 90 % point of the trials",
            clean(&method.currency)
        ),
    );
    page.gap();
    let contracts = contract_names(result);
    let columns: Vec<Column> = contracts
        .into_iter()
        .enumerate()
        .map(|(i, name)| Column {
            name,
            cells: result
                .options
                .iter()
                .enumerate()
                .map(|(option, line)| match line.costs.get(i) {
                    Some(cost) => {
                        let (mean, range) = number::mean_and_range(&cost.levelized, 100.0);
                        vec![mean, range, mark(&result.contracts[i], option).to_owned()]
                    }
                    None => vec!["–".to_owned()],
                })
                .collect(),
        })
        .collect();
    page.grid(names, &columns);
}

/// What is said of an option beside its number; a single option competes with nothing.
fn mark(contract: &ContractLine, option: usize) -> &'static str {
    let ranking = &contract.ranking;
    if ranking.order.len() < 2 {
        ""
    } else if ranking.tied_first.len() > 1 {
        if ranking.tied_first.contains(&option) { "tie" } else { "" }
    } else if ranking.order.first() == Some(&option) {
        "lowest"
    } else {
        ""
    }
}

fn contract_names(result: &RunResult) -> Vec<String> {
    distinct(result.contracts.iter().map(|c| c.name.as_str()), |name| shorten(name, 40.0, |t| columns(t) as f64))
}

fn light(page: &mut Page, result: &RunResult) {
    page.heading("Light that is counted");
    for option in &result.options {
        page.hanging(
            "- ",
            &format!(
                "{}: {}; {}, {} µmol/J when new",
                clean(&option.name),
                clean(&option.light_basis),
                number::counted(option.fixtures.into(), "fixture"),
                number::fixed(option.efficacy_umol_j, 2),
            ),
        );
    }
}

fn verdicts(page: &mut Page, result: &RunResult) {
    if result.contracts.is_empty() {
        return;
    }
    page.heading("What may be said");
    for contract in &result.contracts {
        let sentence = verdict(result, contract);
        page.hanging("- ", &format!("{} (lights {}): {sentence}", clean(&contract.name), clean(&contract.lights)));
    }
}

/// What may be said under each contract, a sentence each.
pub(crate) fn sentences(result: &RunResult) -> Vec<String> {
    let told = |contract| format!("{}: {}.", clean(&(contract as &ContractLine).name), verdict(result, contract));
    result.contracts.iter().map(told).collect()
}

fn verdict(result: &RunResult, contract: &ContractLine) -> String {
    let name = |i: usize| result.options.get(i).map_or_else(String::new, |option| clean(&option.name));
    let ranking = &contract.ranking;
    let (Some(&first), Some(&second)) = (ranking.order.first(), ranking.order.get(1)) else {
        let cost = ranking.order.first().and_then(|&only| {
            let place = result.contracts.iter().position(|other| std::ptr::eq(other, contract))?;
            let (mean, range) = number::mean_and_range(&result.options.get(only)?.costs.get(place)?.levelized, 100.0);
            Some(format!("{} costs {mean} {range} ct/mol; ", name(only)))
        });
        return format!("{}one option only, so nothing is ranked", cost.unwrap_or_default());
    };
    let race = contract.races.iter().find(|r| (r.a, r.b) == (first, second) || (r.b, r.a) == (first, second));
    // told from the side of the second: what it costs more, and how often it wins all the same
    let told = race.map(|race| {
        let second_is_a = race.a == second;
        let (lead, chance) = (race.lead, race.chance_a_cheaper);
        let more = number::to_noise(if second_is_a { lead.value } else { -lead.value } * 100.0, lead.se * 100.0);
        let share = if second_is_a { chance.value } else { 1.0 - chance.value };
        let wins = match share {
            0.0 => "none of the trials".to_owned(),
            1.0 => "every trial".to_owned(),
            share => format!("{} of trials", number::percent(share, chance.se)),
        };
        (more, share, wins)
    });
    let (first_name, second_name) = (name(first), name(second));
    if ranking.tied_first.len() > 1 {
        let mut tied: Vec<String> = ranking.tied_first.iter().map(|i| name(*i)).collect();
        let last = tied.pop().unwrap_or_default();
        let differ = if tied.len() > 1 { "all differ from the first" } else { "differ" };
        let wins = match (&told, ranking.tied_first.len()) {
            (Some((_, _, wins)), 2) => format!("; {second_name} is cheaper in {wins}"),
            _ => String::new(),
        };
        let tied = tied.join(", ");
        return format!(
            "too close to call: {tied} and {last} {differ} on average by less than the simulation noise{wins}"
        );
    }
    match told {
        None => format!("{first_name} is cheapest"),
        Some((more, share, wins)) if share > 0.5 => format!(
            "{first_name} is cheapest on average by {more} ct/mol, but {second_name} is cheaper in {wins}: no clear winner"
        ),
        Some((more, _, wins)) => {
            format!("{first_name} is cheapest; {second_name} costs {more} ct/mol more (and is cheaper in {wins})")
        }
    }
}

fn upkeep(page: &mut Page, result: &RunResult, names: &[String]) {
    let years = number::counted(result.method.horizon_years.into(), "year");
    page.heading(&format!("The room over {years}: means"));
    page.gap();
    let column = |name: &str, pick: &dyn Fn(usize) -> String| Column {
        name: name.to_owned(),
        cells: (0..result.options.len()).map(|i| vec![pick(i)]).collect(),
    };
    let shown = |spread: &Spread| number::estimate(spread.mean);
    let options = &result.options;
    let mut columns = vec![
        column("lamps bought", &|i| shown(&options[i].lamps_bought)),
        column("failures", &|i| shown(&options[i].failures)),
        column("dark hours", &|i| shown(&options[i].dark_h)),
        column("light, mol", &|i| shown(&options[i].moles)),
    ];
    if options.iter().any(|option| option.target_met.is_some()) {
        columns.push(column("of the target light", &|i| match &options[i].target_met {
            Some(met) => number::percent(met.mean.value, met.mean.se),
            None => "–".to_owned(),
        }));
    }
    let currency = clean(&result.method.currency);
    let several = result.contracts.len() > 1;
    let totals: Vec<Column> = contract_names(result)
        .iter()
        .enumerate()
        .map(|(c, name)| {
            let head = if several { name.clone() } else { format!("total cost, {currency}") };
            column(&head, &|i| options[i].costs.get(c).map_or_else(|| "–".to_owned(), |cost| shown(&cost.total)))
        })
        .collect();
    if several {
        page.grid(names, &columns);
        page.heading(&format!("Total cost of the room, {currency}, not discounted: mean"));
        page.gap();
        page.grid(names, &totals);
    } else {
        columns.extend(totals);
        page.grid(names, &columns);
    }
}

/// What the lights draw and what they heat: for a first talk with those who sign.
fn loads(page: &mut Page, result: &RunResult, names: &[String]) {
    if result.options.is_empty() {
        return;
    }
    page.heading("Loads for planning, to be confirmed by licensed people");
    page.gap();
    let loads: Vec<_> = result.options.iter().map(planning_load).collect();
    let column = |name: &str, cell: &dyn Fn(usize) -> String| Column {
        name: name.to_owned(),
        cells: (0..loads.len()).map(|i| vec![cell(i)]).collect(),
    };
    let shown = |value: f64| number::significant(value, 3);
    page.grid(
        names,
        &[
            column("fixtures", &|i| number::count(result.options[i].fixtures.into())),
            column("lights, kW", &|i| shown(loads[i].lights_kw)),
            column("circuits, kW (× 1.25)", &|i| shown(loads[i].circuits_kw)),
            column("heat, BTU/h", &|i| shown(loads[i].heat_btu_h)),
            column("cooling, tons", &|i| shown(loads[i].cooling_tons)),
        ],
    );
    page.gap();
    page.hanging(
        "",
        "Full power of the lights alone. × 1.25 is a rule of thumb for loads of three hours or more; inrush, harmonics, voltage \
         drop and everything else that heats the room are not in it. This is no electrical or cooling design: local codes and \
         licensed people decide.",
    );
}

fn inputs(page: &mut Page, result: &RunResult) {
    let guesses = result.inputs.iter().filter(|input| input.stated && input.grade == "guess").count();
    let assumed = result.inputs.iter().filter(|input| !input.stated).count();
    let all = result.inputs.len();
    page.heading("Inputs");
    page.hanging(
        "",
        &match (guesses, assumed) {
            (0, 0) => format!("{all} in all; none is a guess and none was assumed"),
            _ => format!("{all} in all; {guesses} stated as a guess, {assumed} not stated and assumed by the program"),
        },
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::printed;
    use crate::sample;

    fn fits(text: &str, width: usize) {
        for line in text.lines() {
            assert!(columns(line) <= width, "{} columns: {line}", columns(line));
        }
    }

    #[test]
    fn everything_fits_its_width() {
        for run in [
            sample::realistic(),
            sample::crowded(),
            sample::hostile(),
            sample::all_equal(),
            sample::all_zero(),
            sample::not_numbers(),
        ] {
            for width in [0, 48, 80, 100, 132, 240] {
                fits(&printed(&run, width, false), width.max(48));
            }
        }
    }

    #[test]
    fn the_cheapest_is_marked_in_words_and_said_in_a_sentence() {
        let text = printed(&sample::realistic(), 80, false);
        assert!(text.contains("lowest"), "{text}");
        assert!(text.contains("is cheapest;") && text.contains("of trials)"), "{text}");
        let mut run = sample::realistic();
        run.contracts[0].ranking.tied_first = run.contracts[0].ranking.order[..2].to_vec();
        let text = printed(&run, 80, false);
        assert!(text.contains(" tie") && text.contains("too close to call"), "{text}");
    }

    #[test]
    fn colour_adds_no_information() {
        let run = sample::realistic();
        let plain = printed(&run, 80, true).replace("\u{1b}[1m", "").replace("\u{1b}[0m", "");
        assert_eq!(plain, printed(&run, 80, false));
    }

    #[test]
    fn an_interrupted_run_says_so_first() {
        assert!(printed(&sample::all_equal(), 80, false).starts_with("INTERRUPTED"));
    }

    #[test]
    fn hostile_text_reaches_no_terminal() {
        let text = printed(&sample::hostile(), 80, false);
        assert!(!text.contains(['\u{1b}', '\u{7}', '\u{202e}', '\u{2067}', '\u{0}']));
    }
}
