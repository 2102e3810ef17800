//! What burn logs say of a lamp's life: what `learn life` prints, its tables, and the beliefs that `learn priors` lists.
//!
//! Belongs here: the order of what is said. Does not belong here: CSV (`tables`), statistics.

mod tables;

use decide::learn_life_report::{
    BeliefLine, Counts, FamilyName, FitLine, Interval, LearnLifeReport, LearntInput, Points, StepsWay,
};
use decide::life_priors::LifePrior;

use crate::number;
use crate::page::{Column, Page, first_column};
use crate::words::{clean, columns, shorten};

pub use tables::{life_csv, life_survival_csv};

/// Digits of what a thousand draws of a belief say.
const DIGITS: usize = 3;
/// Most steps of survival that are printed; the table has all.
const STEPS: usize = 12;
/// Most lots that are printed.
const MOST_LOTS: usize = 30;

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &LearnLifeReport, width: usize) -> Page {
    let mut page = Page::new(width);
    page.bold(&format!("{}: what burn logs say of {}", clean(&report.title), clean(&report.option)));
    page.gap();
    page.hanging("Logs      ", &report.logs.iter().map(|name| clean(name)).collect::<Vec<_>>().join("; "));
    page.hanging("Lamps     ", &lamps(&report.counts));
    let watched = number::count(report.counts.watched_h);
    let oldest = number::count(report.counts.oldest_h);
    page.hanging(
        "Watched   ",
        &format!("{watched}\u{202f}burn hours in all; the oldest lamp was seen at {oldest}\u{202f}h"),
    );
    let left_out = left_out(&report.counts);
    if !left_out.is_empty() {
        page.hanging("Left out  ", &left_out);
    }
    if let Some(belief) = &report.belief {
        median(&mut page, belief);
        inputs(&mut page, belief);
    }
    alone(&mut page, report);
    lots(&mut page, report);
    page.list("Taken for granted", &report.assumptions);
    page.list("How to read this", &reading(report));
    page.list("Cautions", &report.cautions);
    page.list("Remarks", &report.remarks);
    page
}

/// How many lamps ended in which way.
pub(crate) fn lamps(counts: &Counts) -> String {
    let ways = [
        (counts.died, "died at a known hour"),
        (counts.died_between, "died between two hours"),
        (counts.burning, "burning at the last look"),
        (counts.removed, "taken out alive"),
        (counts.broken, "broken by accident"),
    ];
    let told: Vec<String> =
        ways.iter().filter(|way| way.0 > 0).map(|(count, way)| format!("{} {way}", number::count(*count))).collect();
    let late =
        if counts.late > 0 { format!("; {} were used already when first watched", counts.late) } else { String::new() };
    format!("{}: {}{late}", number::counted(counts.lamps, "lamp"), told.join(", "))
}

fn left_out(counts: &Counts) -> String {
    let of = |count: u64, what: &str| (count > 0).then(|| format!("{} {what}", number::counted(count, "row")));
    let all = [of(counts.other_rows, "of other lamps"), of(counts.blank_rows, "not filled in yet")];
    all.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// A number of a belief.
pub(crate) fn believed(value: f64) -> String {
    number::significant(value, DIGITS)
}

/// The three points of a belief, with more digits where it is narrow.
pub(crate) fn three(points: Points) -> [String; 3] {
    const NARROW: f64 = 0.03;
    let digits = if (points.p90 - points.p10).abs() < NARROW * points.p50.abs() { DIGITS + 2 } else { DIGITS };
    [points.p10, points.p50, points.p90].map(|point| number::significant(point, digits))
}

fn points(points: Points) -> Vec<String> {
    three(points).to_vec()
}

fn three_columns(rows: &[Vec<String>]) -> Vec<Column> {
    let names = ["10 % lie below", "half lie below", "90 % lie below"];
    let column = |(k, name): (usize, &&str)| Column {
        name: (*name).to_owned(),
        cells: rows.iter().map(|row| vec![row.get(k).cloned().unwrap_or_default()]).collect(),
    };
    names.iter().enumerate().map(column).collect()
}

fn median(page: &mut Page, belief: &BeliefLine) {
    page.heading("What to believe of the median life, burn hours");
    let mut names = vec!["before the log".to_owned(), "after the log".to_owned()];
    let mut rows = vec![points(belief.before_b50_h), points(belief.after_b50_h)];
    if let Some(dropped) = belief.dropped_b50_h {
        names.push("WRONG: dead lamps only".into());
        rows.push(points(dropped));
    }
    page.grid(&names, &three_columns(&rows));
    page.gap();
    page.hanging("", &weight(belief));
    if let Some(dropped) = belief.dropped_b50_h {
        page.gap();
        page.hanging("", &wrong(belief, dropped));
    }
}

/// How much is data and how much was believed before.
pub(crate) fn weight(belief: &BeliefLine) -> String {
    let share = number::percent(belief.data_share, 0.005);
    let mut told = if belief.data_share > 0.0 {
        format!("The log took away {share} of what was unknown (of the variance of the median life's logarithm).")
    } else {
        "The log made nothing surer: it may contradict what was believed.".to_owned()
    };
    if let Some(deaths) = belief.before_in_deaths {
        told.push_str(&format!(
            " What was believed before says as much as a log with about {} deaths would.",
            number::significant(deaths, 2)
        ));
    }
    told
}

/// What dropping survivors would do.
pub(crate) fn wrong(belief: &BeliefLine, dropped: Points) -> String {
    let off = (dropped.p50 / belief.after_b50_h.p50 - 1.0) * 100.0;
    format!(
        "Counting dead lamps alone would put half of the belief below {}\u{202f}h, {}\u{202f}% off: lamps that live on are what a log \
         says most of, and leaving them out leaves the short lives.",
        believed(dropped.p50),
        number::fixed(off, 0)
    )
}

fn inputs(page: &mut Page, belief: &BeliefLine) {
    page.heading("Inputs of the life, before and after the log");
    let limit = (2 * first_column(page.width)) as f64;
    let name = |input: &LearntInput| {
        let unit = if input.unit == "1" { String::new() } else { format!(", {}", clean(&input.unit)) };
        let place = clean(input.pointer.trim_start_matches('/'));
        shorten(&format!("{}{unit}", place.replace('/', ".")), limit, |text| columns(text) as f64)
    };
    let names: Vec<String> = belief.inputs.iter().map(name).collect();
    let of = |points: Points| three(points).join(" – ");
    let before = belief.inputs.iter().map(|input| vec![of(input.before)]).collect();
    let after = belief.inputs.iter().map(|input| vec![of(input.after)]).collect();
    page.grid(
        &names,
        &[
            Column { name: "before: 10 % – half – 90 % below".into(), cells: before },
            Column { name: "after".into(), cells: after },
        ],
    );
}

/// An end of an interval.
fn end(end: Option<f64>) -> String {
    end.map_or_else(|| "no end".to_owned(), believed)
}

fn interval(found: Interval) -> Vec<String> {
    vec![believed(found.value), format!("[{} to {}]", end(found.low), end(found.high))]
}

/// Name of a family, and what its spread is.
pub(crate) fn family(name: FamilyName) -> (&'static str, &'static str) {
    match name {
        FamilyName::Weibull => ("Weibull", "shape"),
        FamilyName::Lognormal => ("lognormal", "sd of ln(life)"),
    }
}

fn alone(page: &mut Page, report: &LearnLifeReport) {
    page.heading("The log alone, without what was believed before");
    if report.fits.is_empty() {
        page.hanging("", &too_few(report));
    } else {
        let cells = |of: &dyn Fn(&FitLine) -> Vec<String>| report.fits.iter().map(of).collect();
        let names: Vec<String> = report.fits.iter().map(|fit| family(fit.family).0.to_owned()).collect();
        page.grid(
            &names,
            &[
                Column { name: "half dead by, h".into(), cells: cells(&|fit| interval(fit.b50_h)) },
                Column { name: "one in ten dead by, h".into(), cells: cells(&|fit| interval(fit.b10_h)) },
                Column { name: "shape, or sd of ln(life)".into(), cells: cells(&|fit| interval(fit.spread)) },
                Column {
                    name: "AIC (less fits better)".into(),
                    cells: cells(&|fit| vec![number::significant(fit.aic, 5)]),
                },
            ],
        );
    }
    let steps = &report.survival.steps;
    if steps.is_empty() {
        return;
    }
    page.gap();
    // evenly among all, the first and the last with them
    let count = steps.len().min(STEPS);
    let shown: Vec<_> = (0..count).map(|k| &steps[k * (steps.len() - 1) / (count - 1).max(1)]).collect();
    let names: Vec<String> = shown
        .iter()
        .map(|step| {
            let (from, to) = (number::significant(step.from_h, 5), number::significant(step.to_h, 5));
            if step.from_h == step.to_h { format!("{from}\u{202f}h") } else { format!("{from} to {to}\u{202f}h") }
        })
        .collect();
    let risk = shown.iter().map(|step| vec![step.at_risk.map_or_else(|| "–".to_owned(), number::count)]).collect();
    let died = shown.iter().map(|step| vec![number::significant(step.deaths, 3)]).collect();
    let alive = shown
        .iter()
        .map(|step| {
            let band = step.band.map_or_else(String::new, |(low, high)| {
                format!("[{} to {}]", number::fixed(100.0 * low, 1), number::fixed(100.0 * high, 1))
            });
            vec![number::fixed(100.0 * step.alive, 1), band]
        })
        .collect();
    let died_name = match report.survival.way {
        StepsWay::KaplanMeier => "died",
        StepsWay::Turnbull => "deaths expected",
    };
    page.grid(
        &names,
        &[
            Column { name: "lamps watched".into(), cells: risk },
            Column { name: died_name.into(), cells: died },
            Column { name: "alive after, %".into(), cells: alive },
        ],
    );
    if steps.len() > STEPS {
        let all = number::count(steps.len() as u64);
        page.hanging("", &format!("These are {STEPS} of {all} steps; life-survival.csv has all."));
    }
}

/// What can be said where no curve was fitted.
pub(crate) fn too_few(report: &LearnLifeReport) -> String {
    let why = match report.counts.deaths() {
        0 => "No lamp has died, so no curve of life can be fitted.",
        1 => "One death alone fits no curve of life.",
        _ => "These deaths fit no curve of life: nothing says how lives spread.",
    };
    match report.bound {
        Some(bound) => format!(
            "{why} With a {} of {}, as the scenario states, more than half live beyond {}\u{202f}h, at a confidence of {}.",
            family(bound.family).1,
            number::significant(bound.spread, 3),
            believed(bound.b50_h),
            number::percent(bound.confidence, 0.0)
        ),
        None => format!("{why} Without a stated spread it bounds no median either."),
    }
}

fn lots(page: &mut Page, report: &LearnLifeReport) {
    let Some(found) = report.lots.as_ref().filter(|found| found.lots.len() > 1) else { return };
    page.heading("Lots beside one another");
    let limit = (2 * first_column(page.width)) as f64;
    let name = |name: &str| shorten(&clean(name), limit, |text| columns(text) as f64);
    let shown = &found.lots[..found.lots.len().min(MOST_LOTS)];
    let names: Vec<String> = shown.iter().map(|lot| name(&lot.name)).collect();
    page.grid(
        &names,
        &[
            Column { name: "lamps".into(), cells: shown.iter().map(|lot| vec![number::count(lot.lamps)]).collect() },
            Column { name: "died".into(), cells: shown.iter().map(|lot| vec![number::count(lot.deaths)]).collect() },
            Column {
                name: "to be expected if alike".into(),
                cells: shown.iter().map(|lot| vec![number::significant(lot.expected, 3)]).collect(),
            },
        ],
    );
    if found.lots.len() > MOST_LOTS {
        page.hanging("", &format!("These are {MOST_LOTS} lots; learn-life.json has more."));
    }
    page.gap();
    let chance = number::significant(100.0 * found.chance, 2);
    page.hanging(
        "",
        &format!("Lots that are alike differ so much or more in {chance}\u{202f}% of logs (rough with few deaths)."),
    );
}

fn reading(report: &LearnLifeReport) -> Vec<String> {
    let mut said = vec![];
    if report.belief.is_some() {
        said.push(format!(
            "the belief before is the scenario's; the belief after is weighed by how likely each value makes the log, lamps \
             that live on as much as those that died; median lives are burn hours at {:.1} h per start",
            report.hours_per_start
        ));
        said.push("to see what it changes: `rank` or `run` with the --set below".into());
    }
    if !report.fits.is_empty() {
        let confidence = number::percent(report.confidence, 0.0);
        said.push(format!(
            "brackets beside fitted numbers hold {confidence} intervals by the profile of the likelihood"
        ));
    }
    said.push(match report.survival.way {
        StepsWay::KaplanMeier => {
            let confidence = number::percent(report.confidence, 0.0);
            format!("survival by steps is Kaplan and Meier's product; brackets hold a {confidence} band at each step")
        }
        StepsWay::Turnbull => {
            "deaths between two hours: survival by steps is Turnbull's self-consistent estimate, which has no \
                               simple band; within a step nothing is known of how it falls"
                .into()
        }
    });
    said
}

/// The beliefs to begin with, as text.
pub fn priors(all: &[LifePrior], width: usize) -> Page {
    let mut page = Page::new(width);
    page.bold("Beliefs about lives to begin with, where nothing better is known");
    page.gap();
    let names: Vec<String> = all.iter().map(|prior| prior.technology.clone()).collect();
    let of = |points: [f64; 3]| vec![points.map(|point| number::significant(point, 3)).join(" – ")];
    page.grid(
        &names,
        &[
            Column {
                name: "half dead by, h: 10 % – half – 90 % of the belief below".into(),
                cells: all.iter().map(|prior| of(prior.b50_h)).collect(),
            },
            Column { name: "Weibull shape".into(), cells: all.iter().map(|prior| of(prior.shape)).collect() },
            Column {
                name: "a start costs, h".into(),
                cells: all
                    .iter()
                    .map(|prior| {
                        let told =
                            prior.start_cost_h.map(|cost| cost.map(|hours| number::significant(hours, 2)).join(" to "));
                        vec![told.unwrap_or_else(|| "–".into())]
                    })
                    .collect(),
            },
            Column { name: "stands in".into(), cells: all.iter().map(|prior| vec![prior.stands_in.clone()]).collect() },
        ],
    );
    let sources: Vec<String> = all.iter().map(|prior| format!("{}: {}", prior.technology, prior.source)).collect();
    page.list("What they rest on", &sources);
    page.gap();
    page.hanging("", "All are graded as guesses. With --json each is written as a part of a scenario.");
    page
}

/// What to believe of the median life, and how much of that the log says.
pub(crate) fn sentences(report: &LearnLifeReport) -> Vec<String> {
    let Some(belief) = &report.belief else {
        return vec!["The scenario's life is certain, so no log can move it.".to_owned()];
    };
    let shown = |at: Points| [at.p10, at.p50, at.p90].map(believed).join(" – ");
    vec![
        format!(
            "Median life {}\u{202f}burn hours (10\u{202f}% point, median, 90\u{202f}% point of the belief); before the log {}.",
            shown(belief.after_b50_h),
            shown(belief.before_b50_h)
        ),
        weight(belief),
    ]
}

#[cfg(test)]
mod tests;
