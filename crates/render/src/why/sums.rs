//! The arithmetic of one option's headline.
//!
//! Belongs here: how lines, their inputs and the last line are written. Does not belong here: which lines there are.

use decide::why_report::{Given, Group, OptionSum, Origin, SumLine};

use super::digits::{DIGITS, printed};
use crate::number;
use crate::page::Page;
use crate::words::clean;

/// Groups in their order, and their headings.
const GROUPS: [(Group, &str); 5] = [
    (Group::Time, "Time"),
    (Group::Start, "Paid at the start"),
    (Group::Upkeep, "Upkeep, as a constant amount a year"),
    (Group::Electricity, "Electricity"),
    (Group::Light, "Light"),
];

/// Writes the sum of one option.
pub(super) fn sum(page: &mut Page, sum: &OptionSum) {
    page.bold(&format!("{}: {} ct/mol, redone on paper", clean(&sum.option), with_noise(sum)));
    page.hanging("", &format!("light counted {}", clean(&sum.light_basis)));
    let mut said: Vec<&str> = vec![];
    for (group, heading) in GROUPS {
        let lines: Vec<&SumLine> = sum.lines.iter().filter(|line| line.group == group).collect();
        if lines.is_empty() {
            continue;
        }
        page.heading(heading);
        for line in lines {
            let mark = if line.origin == Origin::Simulated { "~ " } else { "  " };
            page.hanging(mark, &format!("{}: {}", clean(&line.what), equation(line)));
            // a remark is worth reading once
            if !line.note.is_empty() && !said.contains(&line.note.as_str()) {
                page.hanging("      ", &format!("({})", clean(&line.note)));
                said.push(&line.note);
            }
            for input in &line.inputs {
                page.hanging("      ", &given(input, &sum.option));
            }
        }
    }
    if !sum.behind.is_empty() {
        page.heading("Inputs in no line: the simulator makes its numbers of those that bear on them");
        let all: Vec<String> = sum.behind.iter().map(|input| given(input, &sum.option)).collect();
        page.hanging("  ", &all.join("; "));
    }
    page.heading("A mole");
    page.hanging("  ", "cents × (paid at the start / constant years + upkeep + energy × price of a kWh) / photons");
    let (headline, differs) = headline(sum);
    if differs {
        page.hanging(
            "  ",
            &format!(
                "Means over means come to {} ct/mol. The headline, {headline} ct/mol, is the mean of every trial's own \
                 ratio; the last term is the difference.",
                number::significant(100.0 * sum.ratio_of_means, DIGITS)
            ),
        );
    }
    page.gap();
    page.hanging("", &format!("{} ct/mol", formula(sum)));
}

fn with_noise(sum: &OptionSum) -> String {
    let levelized = sum.levelized;
    let (_, error) =
        number::with_error(decide::result::Estimate { value: 100.0 * levelized.value, se: 100.0 * levelized.se });
    let text = number::ct(levelized);
    if text.contains('±') || error.is_empty() { text } else { format!("{text} {error}") }
}

/// The headline as it is printed, and whether the ratio of means is printed otherwise.
fn headline(sum: &OptionSum) -> (String, bool) {
    let text = as_printed(sum, sum.levelized.value);
    let differs = as_printed(sum, sum.ratio_of_means) != text;
    (text, differs)
}

/// A cost of a mole with the digits of the headline; where noise hides the headline, with some.
fn as_printed(sum: &OptionSum, per_mol: f64) -> String {
    let hidden = number::ct(sum.levelized).contains('±');
    if hidden {
        number::significant(100.0 * per_mol, 3)
    } else {
        number::to_noise(100.0 * per_mol, 100.0 * sum.levelized.se)
    }
}

/// The last line: what its printed numbers come to is the printed headline.
pub(super) fn formula(sum: &OptionSum) -> String {
    let (headline, differs) = headline(sum);
    let mut terms = sum.formula.clone();
    if differs {
        let rest = 100.0 * (sum.levelized.value - sum.ratio_of_means);
        terms.extend([if rest < 0.0 { "−" } else { "+" }.into(), rest.abs().into()]);
    }
    let terms = printed(&terms, |value| as_printed(sum, value / 100.0) == headline);
    format!("{terms} = {headline}")
}

/// A line's sum and its value.
pub(super) fn equation(line: &SumLine) -> String {
    let value = number::significant(line.value, DIGITS);
    let unit = match line.unit.as_str() {
        "1" => String::new(),
        unit => format!(" {}", clean(unit)),
    };
    if line.working.len() < 2 {
        return format!("{value}{unit}");
    }
    let working = printed(&line.working, |found| number::significant(found, DIGITS) == value);
    format!("{working} = {value}{unit}")
}

/// An input with its place, its value, how well it is known and whether it was assumed.
fn given(input: &Given, option: &str) -> String {
    // places inside the option say so by where they stand
    let own = format!("options[\"{option}\"].");
    let place = input.place.strip_prefix(&own).unwrap_or(&input.place);
    let mean = if input.certain { "" } else { "mean " };
    let unit = if input.unit == "1" { String::new() } else { format!(" {}", clean(&input.unit)) };
    let assumed = if input.stated { clean(&input.grade) } else { "assumed".to_owned() };
    format!("{} {mean}{}{unit}, {assumed}", clean(place), number::significant(input.value, DIGITS))
}
