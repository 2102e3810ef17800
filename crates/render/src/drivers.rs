//! What decides the choice: what `drivers` prints, and its table.
//!
//! Belongs here: the order of what is said, the choice as it stands, and how inputs and options are named. Does not belong
//! here: how far the lead moves (`moves`), other winners (`flips`), where its uncertainty comes from (`shares`), what
//! knowing is worth (`worth`), CSV (`tables`).

mod flips;
mod moves;
mod shares;
mod tables;
mod worth;

use decide::drivers_report::{Driver, DriversReport, Measure};
use decide::result::{Ended, Estimate};

use crate::breakeven::{noisy, with_noise};
use crate::number;
use crate::page::{Page, first_column};
use crate::relamp::{Told, scaled, told};
use crate::words::{clean, columns, distinct, shorten};

pub(crate) use moves::{band, rounded};
pub use tables::drivers_csv;

/// Width from which a page has room for longer names of options in its tables.
const WIDE: usize = 100;
/// Widest first word that stands for an option beside a number.
const WORD: usize = 4;
/// Most inputs that are named in a sentence.
const NAMED: usize = 8;
pub(crate) const NONE: &str = "–";

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &DriversReport, width: usize) -> Page {
    let mut page = Page::new(width);
    let names = Names::new(report, page.width);
    head(&mut page, report, &names);
    page.heading("The choice");
    page.hanging("", &choice(report));
    if competes(report) {
        page.hanging("", &changes(report));
        moves::moves(&mut page, report, &names);
        flips::flips(&mut page, report, &names);
        shares::shares(&mut page, report, &names);
        worth::worth(&mut page, report, &names);
        page.list("How to read this", &reading(report));
    }
    page.list("Cautions", &report.cautions);
    page.list("Remarks", &report.remarks);
    page
}

/// Names that are told apart where there is little room.
pub(crate) struct Names {
    /// Of the inputs, in their order; those that share their luck are counted behind.
    pub(crate) inputs: Vec<String>,
    /// Of the options, cut to fit a column of their own.
    pub(crate) options: Vec<String>,
    /// Of the options, as they stand beside a number.
    marks: Marks,
}

/// What stands for an option beside a number.
enum Marks {
    /// Its name, where there is room.
    Names,
    /// Its first word, by which the command line knows it as well.
    Words(Vec<String>),
    /// Its number in the list of options.
    Numbers,
}

impl Marks {
    fn new(report: &DriversReport, width: usize) -> Self {
        if width >= WIDE {
            return Self::Names;
        }
        let word = |name: &String| clean(name).split(' ').next().unwrap_or_default().to_owned();
        let words: Vec<String> = report.options.iter().map(word).collect();
        let short = words.iter().all(|word| columns(word) <= WORD);
        let alike = words.iter().enumerate().any(|(i, word)| words[..i].contains(word));
        if short && !alike { Self::Words(words) } else { Self::Numbers }
    }

    /// The name of an input; where first words stand for options, it begins with that of its option.
    fn shorter(&self, report: &DriversReport, name: String) -> String {
        let Self::Words(words) = self else { return name };
        let cut = |(option, word): (&String, &String)| {
            let rest = name.strip_prefix(&clean(option))?.strip_prefix(": ")?;
            Some(format!("{word}: {rest}"))
        };
        report.options.iter().zip(words).find_map(cut).unwrap_or(name)
    }
}

impl Names {
    fn new(report: &DriversReport, width: usize) -> Self {
        let measure = |text: &str| columns(text) as f64;
        let input = (2 * first_column(width)) as f64;
        let option = if width < WIDE { 12.0 } else { 24.0 };
        let marks = Marks::new(report, width);
        let full: Vec<String> = report.inputs.iter().map(|driver| marks.shorter(report, with_tied(driver))).collect();
        let options = distinct(report.options.iter().map(String::as_str), |name| shorten(name, option, measure));
        Self {
            inputs: distinct(full.iter().map(String::as_str), |name| shorten(name, input, measure)),
            options: options.iter().map(|name| shorten(name, option, measure)).collect(),
            marks,
        }
    }

    /// What stands for an option beside a number; a dash for one that does not exist.
    fn mark(&self, index: usize) -> String {
        match &self.marks {
            Marks::Numbers if index < self.options.len() => (index + 1).to_string(),
            Marks::Words(words) => words.get(index).cloned().unwrap_or_else(|| NONE.to_owned()),
            _ => self.option(index),
        }
    }

    /// Name of an option; a dash for one that does not exist.
    fn option(&self, index: usize) -> String {
        self.options.get(index).cloned().unwrap_or_else(|| NONE.to_owned())
    }

    fn input(&self, index: usize) -> String {
        self.inputs.get(index).cloned().unwrap_or_default()
    }
}

/// The name of an input, cleaned, with the count of those that move with it.
pub(crate) fn with_tied(driver: &Driver) -> String {
    let name = clean(&driver.name);
    if driver.tied.is_empty() { name } else { format!("{name} (+{})", driver.tied.len()) }
}

/// Full name of an option, cleaned.
pub(crate) fn option(report: &DriversReport, index: usize) -> String {
    report.options.get(index).map_or_else(|| "an unknown option".to_owned(), |name| clean(name))
}

/// Whether there is anything to choose.
pub(crate) fn competes(report: &DriversReport) -> bool {
    report.options.len() > 1 && report.favourite != report.runner_up
}

fn head(page: &mut Page, report: &DriversReport, names: &Names) {
    if report.ended == Ended::Interrupted {
        page.bold(&format!(
            "INTERRUPTED: the search was stopped after {}; what it had not come to is missing",
            number::counted(report.trials, "trial")
        ));
        page.gap();
    }
    page.bold(&format!("{}: what decides the choice", clean(&report.title)));
    page.gap();
    let currency = clean(&report.currency);
    page.hanging(
        "Basis     ",
        &format!(
            "{} {currency} discounted at {} a year, prices of {}; {} from {}",
            clean(&report.basis),
            number::percent(report.discount_rate, 0.0),
            clean(&report.prices_of),
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start),
        ),
    );
    page.hanging("Contract  ", &clean(&report.contract));
    page.hanging("Money     ", &compared(report));
    page.hanging(
        "Futures   ",
        &format!(
            "{}, seed {}; {} of them behind the search for other winners, {} behind the shares of the uncertainty; every value is \
             lived on the same luck",
            number::counted(report.trials, "trial"),
            report.seed,
            number::count(report.search_trials),
            number::counted(report.variance_trials, "pair"),
        ),
    );
    let bases: Vec<String> = report.light_bases.iter().map(|basis| clean(basis)).collect();
    let shared = bases.first().filter(|first| bases.iter().all(|basis| basis == *first));
    if let Some(basis) = shared {
        page.hanging("Light     ", &format!("counted {basis}"));
    }
    for (i, name) in report.options.iter().enumerate() {
        let first = if i == 0 { "Options   " } else { "          " };
        let cost = report.costs.get(i).map_or_else(|| NONE.to_owned(), |cost| with_noise(*cost));
        let basis = bases.get(i).filter(|_| shared.is_none());
        let light = basis.map_or_else(String::new, |basis| format!("; light counted {basis}"));
        let number = if matches!(names.marks, Marks::Numbers) { format!("{} ", i + 1) } else { String::new() };
        page.hanging(first, &format!("{number}{}: {cost}\u{202f}{currency}{light}", clean(name)));
    }
}

/// What the money is: of how many rooms, and at what light.
pub(crate) fn compared(report: &DriversReport) -> String {
    let rooms = number::counted(report.rooms.into(), "room");
    match report.measure {
        Measure::Room => {
            let give = if report.rooms == 1 { "it gives" } else { "they give" };
            format!("present value of {rooms} as written, however much light {give}")
        }
        Measure::Mole => {
            let many = report.service_mol;
            let many = if many > 0.0 && many.is_finite() {
                format!(", {}\u{202f}mol (present value) in each", number::to_noise(many, 0.0))
            } else {
                String::new()
            };
            format!("present value of {rooms} at equal light: {}{many}", clean(&report.service))
        }
    }
}

/// Who leads, and by how much.
pub(crate) fn choice(report: &DriversReport) -> String {
    let (first, second) = (option(report, report.favourite), option(report, report.runner_up));
    match report.options.len() {
        0 => return "There is no option.".to_owned(),
        1 => return format!("One option only, {first}: nothing competes with it, so no input can change the choice."),
        _ if !competes(report) => return format!("Nothing competes with {first}."),
        _ => {}
    }
    let rooms =
        if report.rooms > 1 { format!(" for {} rooms", number::count(report.rooms.into())) } else { String::new() };
    let amount =
        |lead: Estimate| format!("{}\u{202f}{} of present value{rooms}", with_noise(lead), clean(&report.currency));
    let chance = chance(report).map_or_else(String::new, |share| format!("; it is the cheapest in {share} of trials"));
    match told_of(report) {
        Told::More => format!("{first} leads {second} by {}{chance}.", amount(report.lead)),
        Told::Less => {
            format!("{second} leads {first} by {}, as the scenario stands.", amount(scaled(report.lead, -1.0)))
        }
        Told::Nothing => format!("{first} and {second} cost the same in every trial."),
        Told::TooClose => format!(
            "Too close to call: {first} is the cheapest in the mean, but its lead over {second}, {}, is within the noise of \
             these trials{chance}.",
            amount(report.lead)
        ),
    }
}

/// What is left out, with the verb that goes with its count.
fn left_out(count: usize, noun: &str, (one, several): (&str, &str)) -> String {
    format!("{} {}", number::counted(count as u64, noun), if count == 1 { one } else { several })
}

/// What may be said of the lead as the scenario stands.
fn told_of(report: &DriversReport) -> Told {
    told(report.lead)
}

/// Share of trials in which the favourite is the cheapest, to the noise of a count; nothing for what is no share.
fn chance(report: &DriversReport) -> Option<String> {
    let share = report.chance;
    let noise = (share * (1.0 - share) / report.trials.max(1) as f64).sqrt();
    (0.0..=1.0).contains(&share).then(|| number::percent(share, noise))
}

/// Which inputs can change the winner.
fn changes(report: &DriversReport) -> String {
    let within = |driver: &&Driver| driver.flips.iter().any(|flip| flip.within);
    // what is believed comes before what is only doubted
    let mut changing: Vec<&Driver> = report.inputs.iter().filter(within).collect();
    changing.sort_by_key(|driver| !driver.is_uncertain);
    let at_an_end = report.inputs.iter().filter(|driver| !within(driver)).filter(|driver| ends(report, driver)).count();
    let of = report.inputs.len();
    let mut told = if changing.is_empty() {
        "No input can change the winner by itself within what is believed or doubted of it.".to_owned()
    } else {
        let mut names: Vec<String> = changing.iter().take(NAMED).map(|driver| with_tied(driver)).collect();
        if changing.len() > NAMED {
            names.push(format!("and {} more", changing.len() - NAMED));
        }
        format!(
            "{} of {} can change the winner within what is believed or doubted of {}: {}.",
            number::count(changing.len() as u64),
            number::counted(of as u64, "input"),
            if changing.len() == 1 { "it" } else { "them" },
            names.join("; ")
        )
    };
    if told_of(report) == Told::TooClose {
        told += " The search starts from a lead within the noise, so it leans on the luck of these trials.";
    }
    if at_an_end > 0 {
        told += &format!(
            " Of {} more, all trials name another winner at an end of the band, where the search found no change.",
            number::count(at_an_end as u64)
        );
    }
    told
}

/// Whether another option wins at an end of the band.
fn ends(report: &DriversReport, driver: &Driver) -> bool {
    [driver.low.winner, driver.high.winner].iter().any(|winner| *winner != report.favourite)
}

fn reading(report: &DriversReport) -> Vec<String> {
    let any = |holds: &dyn Fn(&Driver) -> bool| report.inputs.iter().any(holds);
    let mut told =
        vec!["±: 1.96 standard errors of the simulation; it says nothing of what the inputs are worth".to_owned()];
    if any(&|driver| driver.is_uncertain) {
        told.push("believed: what the scenario states, from the 10\u{202f}% point to the 90\u{202f}% point".to_owned());
    }
    if any(&|driver| !driver.is_uncertain) {
        told.push(format!("~: {}", DOUBT));
    }
    let mut groups = report.inputs.iter().filter(|driver| !driver.tied.is_empty()).take(NAMED);
    if let Some(first) = groups.next() {
        let with = |driver: &Driver| {
            let mut tied: Vec<String> = driver.tied.iter().take(NAMED).map(|name| clean(name)).collect();
            if driver.tied.len() > NAMED {
                tied.push(format!("{} more", driver.tied.len() - NAMED));
            }
            format!("{} with {}", clean(&driver.name), tied.join(", "))
        };
        let all: Vec<String> = std::iter::once(first).chain(groups).map(with).collect();
        told.push(format!("(+1): moves together with so many others, for they share their luck: {}", all.join("; ")));
    }
    told
}

/// What a band of a certain input is.
pub(crate) const DOUBT: &str = "the scenario is certain of the value, so the band is a doubt by its grade: measured and invoice \
                                5\u{202f}%, datasheet 15\u{202f}%, guess 30\u{202f}%; a judgement, no source";

/// The unit of an input, cleaned; empty for a bare number, whose unit may be written as "1".
pub(crate) fn unit_of(driver: &Driver) -> String {
    crate::breakeven::unit_of(&driver.unit)
}

/// A number and 1.96 of its standard errors as two parts of a cell; exactly nothing has no noise to be told.
fn parts(estimate: Estimate) -> Vec<String> {
    if estimate.se == 0.0 {
        return vec![number::estimate(estimate), String::new()];
    }
    let (value, error) = noisy(estimate);
    match value.split_once(" ± ") {
        Some((nothing, noise)) => vec![nothing.to_owned(), format!("± {noise}")],
        None => vec![value, error],
    }
}

#[cfg(test)]
mod tests;
