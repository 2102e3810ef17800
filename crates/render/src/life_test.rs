//! Planned life tests: what `test` prints, and its tables.
//!
//! Belongs here: the order of what is said, designs as a table, the verdict. Does not belong here: when to stop (`stopping`),
//! CSV (`tables`), arithmetic on costs.

mod stopping;
mod tables;

use decide::life_test_report::{Design, TestReport};
use decide::result::{Ended, Estimate};

use crate::breakeven::{TOO_CLOSE, with_noise};
use crate::number;
use crate::page::{Column, Page};
use crate::relamp::{Told, hours, told};
use crate::stage::{exact_or_noisy, for_rooms, pair};
use crate::words::clean;

pub(crate) use stopping::{chance, ends, ranges, sentence};
pub(crate) use tables::tables;
pub use tables::{test_csv, test_stop_csv};

const NONE: &str = "–";
const IDLE: &str = "Worth nothing, because nothing you could see would change your choice";

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &TestReport, width: usize) -> Page {
    let mut page = Page::new(width);
    head(&mut page, report);
    today(&mut page, report);
    designs(&mut page, report);
    stopping::stopping(&mut page, report);
    sockets(&mut page, report);
    page.list("Taken for granted", &report.assumptions);
    page.list("How to read this", &reading(report));
    page.list("Cautions", &report.cautions);
    page.list("Remarks", &report.remarks);
    page
}

fn head(page: &mut Page, report: &TestReport) {
    if report.ended == Ended::Interrupted {
        page.bold(&format!(
            "INTERRUPTED: this was stopped after {} and {}; the numbers are of no more than that",
            number::counted(report.trials, "trial"),
            number::counted(report.designs.len() as u64, "design")
        ));
        page.gap();
    }
    page.bold(&format!("{}: is a life test worth it?", clean(&report.title)));
    page.gap();
    page.hanging(
        "Basis     ",
        &format!(
            "present value, {} {} discounted at {} a year, prices of {}; {} from {}{}",
            clean(&report.basis),
            clean(&report.currency),
            number::percent(report.discount_rate, 0.0),
            clean(&report.prices_of),
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start),
            for_rooms(report.rooms),
        ),
    );
    page.hanging("Contract  ", &clean(&report.contract));
    page.hanging("Tested    ", &format!("lamps of {}, {}", clean(&report.of), place(report)));
    for (k, (name, basis)) in report.options.iter().zip(&report.light_bases).enumerate() {
        let head = if k == 0 { "Choice    " } else { "or        " };
        page.hanging(head, &format!("{}, light counted {}", clean(name), clean(basis)));
    }
    page.hanging("Compared  ", &format!("at equal light: {}", clean(&report.service)));
    page.hanging(
        "Futures   ",
        &format!(
            "{}, seed {}; each design tested {} times",
            number::counted(report.trials, "trial"),
            report.seed,
            number::count(report.simulated)
        ),
    );
}

/// Where the lamps burn.
fn place(report: &TestReport) -> String {
    match report.terms.bench_h_per_start {
        Some(burn) => format!(
            "on a bench, {}\u{202f}h on and {}\u{202f}h off",
            number::significant(burn, 4),
            number::significant(report.terms.bench_off_h.unwrap_or(f64::NAN), 4)
        ),
        None => "in production sockets".to_owned(),
    }
}

/// The name of an option by its index.
pub(crate) fn named(report: &TestReport, option: usize) -> String {
    report.options.get(option).map_or_else(|| NONE.to_owned(), |name| clean(name))
}

fn today(page: &mut Page, report: &TestReport) {
    page.heading("Today");
    let currency = clean(&report.currency);
    let choice = named(report, report.choice);
    let next = (0..report.leads.len())
        .filter(|&k| k != report.choice)
        .min_by(|&a, &b| report.leads[a].value.total_cmp(&report.leads[b].value));
    let lead = next.map(|next| (report.leads[next], named(report, next)));
    let text = match lead {
        Some((lead, next)) if told(lead) == Told::More => {
            format!("Today's choice is {choice}, by {}\u{202f}{currency} a room before {next}", exact_or_noisy(lead))
        }
        Some((_, next)) => format!("Today's choice is {choice}; {next} is {TOO_CLOSE}"),
        None => format!("Today's choice is {choice}"),
    };
    page.hanging("", &format!("{text}."));
    let (low, middle, high) = report.median_life_h;
    page.hanging(
        "",
        &format!(
            "What is believed of the tested lamps: half of them live {} – {} – {}\u{202f}burn hours or longer in the test \
             (10\u{202f}% point, median, 90\u{202f}% point).",
            rounded(low),
            rounded(middle),
            rounded(high)
        ),
    );
    page.hanging("", &format!("{}.", bound(report)));
}

/// What knowing the life would be worth.
pub(crate) fn bound(report: &TestReport) -> String {
    let (known, currency) = (report.known, clean(&report.currency));
    if !known.is_seen {
        return format!(
            "The lamp's life moves no difference in cost that these trials can see; knowing it is worth less than some \
             {}\u{202f}{currency} a room",
            number::to_noise(known.unseen, f64::INFINITY)
        );
    }
    if known.value == 0.0 {
        return "Knowing the lamp's life exactly would be worth nothing: no life that is believed possible changes the choice"
            .to_owned();
    }
    let worth = with_noise(Estimate { value: known.value, se: known.se });
    format!("Knowing the lamp's life exactly would be worth {worth}\u{202f}{currency} a room; no test can tell more")
}

/// Burn hours of a belief, to three digits.
fn rounded(value: f64) -> String {
    hours(if value.abs() >= 1000.0 { (value / 100.0).round() * 100.0 } else { value })
}

/// A design in few words.
pub(crate) fn short(design: &Design) -> String {
    format!("{} × {}\u{202f}h", design.lamps, hours(design.hours))
}

/// How long a test takes.
pub(crate) fn takes(days: f64) -> String {
    const YEAR: f64 = 365.25;
    if days < YEAR {
        format!("{}\u{202f}d", number::fixed(days, 0))
    } else {
        format!("{}\u{202f}years", number::fixed(days / YEAR, 1))
    }
}

fn designs(page: &mut Page, report: &TestReport) {
    page.heading("Designs: lamps × burn hours");
    let currency = clean(&report.currency);
    let names: Vec<String> = report.designs.iter().map(short).collect();
    let column = |name: String, cell: &dyn Fn(&Design) -> Vec<String>| Column {
        name,
        cells: report.designs.iter().map(cell).collect(),
    };
    let left = if report.rooms == 1 {
        "left".to_owned()
    } else {
        format!("left for {} rooms", number::count(report.rooms.into()))
    };
    page.grid(
        &names,
        &[
            column("takes".to_owned(), &|design| vec![takes(design.days)]),
            column(format!("cost, {currency}"), &|design| vec![number::to_noise(design.cost.round(), 0.0)]),
            column(format!("worth of one room, {currency}"), &|design| pair(design.worth)),
            column(format!("{left}, {currency}"), &|design| pair(design.net)),
            column("pays from".to_owned(), &|design| vec![pays(design)]),
            column("changes the choice".to_owned(), &|design| vec![changes(design, report.simulated)]),
        ],
    );
    page.gap();
    page.bold(&verdict(report));
}

fn pays(design: &Design) -> String {
    design.pays_from_rooms.map_or_else(|| NONE.to_owned(), |rooms| rooms_from(rooms, design.worth))
}

/// Rooms from which a test of such a worth pays, to the power of ten next to 1.96 of their standard errors.
pub(crate) fn rooms_from(rooms: u64, worth: Estimate) -> String {
    let noise = 1.96 * rooms as f64 * (worth.se / worth.value).abs();
    let place = noise.log10().round().min((rooms as f64).log10().floor());
    if !(noise >= 1.0 && place >= 0.0) {
        return number::counted(rooms, "room");
    }
    let unit = 10f64.powf(place).round();
    format!("about {}", number::counted(((rooms as f64 / unit).round() * unit) as u64, "room"))
}

/// How often a design changes the choice.
fn changes(design: &Design, simulated: u64) -> String {
    if design.is_idle {
        return "never".to_owned();
    }
    let share = design.changes;
    if share == 0.0 {
        return format!("in none of {}", number::count(simulated));
    }
    number::percent(share, (share * (1.0 - share) / simulated.max(1) as f64).sqrt())
}

/// What the designs come to.
pub(crate) fn verdict(report: &TestReport) -> String {
    let currency = clean(&report.currency);
    let choice = named(report, report.choice);
    let Some(best) = report.designs.get(report.best) else { return "No design was weighed.".to_owned() };
    let weighed = if report.ended == Ended::Interrupted {
        format!("Of no more than {} weighed: ", number::counted(report.designs.len() as u64, "design"))
    } else {
        String::new()
    };
    if report.designs.iter().all(|design| design.is_idle) {
        return format!("{weighed}{IDLE}: {choice}.");
    }
    let rooms = number::counted(report.rooms.into(), "room");
    let what = |design: &Design| {
        format!("{} for {}\u{202f}h", number::counted(design.lamps.into(), "lamp"), hours(design.hours))
    };
    if told(best.net) == Told::More {
        let left = exact_or_noisy(best.net);
        return format!("{weighed}Best for {rooms}: {}; it leaves {left}\u{202f}{currency}.", what(best));
    }
    let none = if best.net.value > 0.0 {
        format!("{} whether a test pays for {rooms}", capital(TOO_CLOSE))
    } else {
        format!("No test pays for {rooms}: choose {choice}")
    };
    let soonest = report.designs.iter().filter(|design| design.pays_from_rooms.is_some());
    match soonest.min_by_key(|design| design.pays_from_rooms) {
        Some(soonest) => {
            format!("{weighed}{none}. The one that pays soonest, {}, pays from {}.", what(soonest), pays(soonest))
        }
        None => format!(
            "{weighed}{none}. Each is worth less than the noise of {} can tell, and whether it could change the choice is \
             not clear of that noise.",
            number::counted(report.trials, "trial")
        ),
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The same lamps in production sockets.
fn sockets(page: &mut Page, report: &TestReport) {
    let Some(there) = &report.in_sockets else { return };
    page.heading("The same lamps in production sockets");
    let currency = clean(&report.currency);
    let worth = if there.worth.value == 0.0 { "0".to_owned() } else { exact_or_noisy(there.worth) };
    let pays = there.pays_from_rooms.map_or_else(
        || "it pays for no number of rooms that can be told".to_owned(),
        |rooms| format!("it pays from {}", rooms_from(rooms, there.worth)),
    );
    page.hanging(
        "",
        &format!(
            "{} in sockets of a room would cost {}\u{202f}{currency}, be worth {worth}\u{202f}{currency} a room and take {}: {pays}. \
             With --in-sockets all designs are weighed so.",
            short(there),
            number::to_noise(there.cost.round(), 0.0),
            takes(there.days),
        ),
    );
}

fn reading(report: &TestReport) -> Vec<String> {
    let mut told = vec![
        "±: 1.96 standard errors of the simulation, of futures and of simulated tests; it says nothing of what the inputs are \
         worth"
            .to_owned(),
        "worth: what the choice after the test saves on average over today's choice, one room; it is never below 0 and never \
         above the worth of knowing the life exactly"
            .to_owned(),
        "left: worth of all rooms less the cost of the test, which is paid once".to_owned(),
        "cost, left, pays from: of a test that runs to its end with all lamps burning, whatever is seen on the way".to_owned(),
        "changes the choice: share of simulated tests; \"never\" means that not even no lamp dead at the end or all dead at \
         the first look would, clear of the noise of the trials"
            .to_owned(),
    ];
    if report.stop.is_some() {
        told.push(
            "when to stop: at a check-point the test goes on while the better choice at its end is worth more than the \
             electricity and looks still to be paid; the rule looks ahead once, to the end, and counts dead lamps only"
                .to_owned(),
        );
    }
    told
}

#[cfg(test)]
mod tests;
