//! What `check` says of a scenario without faults.
//!
//! Belongs here: which inputs are told and how. Does not belong here: layout.

use decide::result::InputLine;

use crate::number;
use crate::page::Page;
use crate::words::clean;

/// What a check of a fault-free scenario says: its guesses and assumed values, one by one, then what applies to it.
///
/// The page is for so many columns (48 at least). All names are freed of control and direction characters.
pub fn checked(title: &str, inputs: &[InputLine], cautions: &[String], remarks: &[String], width: usize) -> Page {
    let mut page = Page::new(width);
    page.bold(&format!("{}: no faults", clean(title)));
    let graded = |grade: &str| inputs.iter().filter(|input| input.stated && input.grade == grade).count() as u64;
    page.hanging(
        "",
        &format!(
            "{}: {} measured, {} from invoices, {} from datasheets, {} guessed, {} assumed by the program",
            number::counted(inputs.len() as u64, "input"),
            graded("measured"),
            graded("invoice"),
            graded("datasheet"),
            graded("guess"),
            inputs.iter().filter(|input| !input.stated).count(),
        ),
    );
    let lines = |stated: bool| -> Vec<String> {
        inputs.iter().filter(|input| input.stated == stated && (!stated || input.grade == "guess")).map(told).collect()
    };
    page.list("Guesses", &lines(true));
    page.list("Assumed, because the scenario does not say", &lines(false));
    page.list("Cautions", cautions);
    page.list("Remarks", remarks);
    page
}

/// An input in one sentence.
fn told(input: &InputLine) -> String {
    let show = |value: f64| number::to_noise(value, 0.0);
    let unit = if input.unit == "1" { String::new() } else { format!(" {}", input.unit) };
    let value = if input.p10 == input.p90 {
        format!("{}{unit}", show(input.p50))
    } else {
        let range = number::range(&show(input.p10), &show(input.p90));
        format!("{}{unit} (80 % of draws: {range})", show(input.p50))
    };
    let note = if input.note.is_empty() { String::new() } else { format!("; {}", input.note) };
    format!("{} = {value}{note}", input.place)
}
