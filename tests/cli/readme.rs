//! What README promises: its columns are the program's, and its table is what the demonstration says.

use std::fs;
use std::path::Path;

use crate::support;

fn readme() -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap()
}

#[test]
fn the_columns_are_those_of_the_program() {
    let readme = readme();
    let (_, table) = readme.split_once("<!-- columns:").unwrap();
    let (table, _) = table.split_once("<!-- end of columns -->").unwrap();
    let written: Vec<&str> = table.lines().filter(|line| line.contains(".csv |")).collect();
    let known: Vec<String> = render::table::columns()
        .iter()
        .map(|column| format!("| {} | `{}` | {} |", column.file, column.name_pattern, column.meaning))
        .collect();
    assert_eq!(written, known);
}

#[test]
fn the_formats_are_those_of_the_program() {
    let readme = readme();
    let (_, section) = readme.split_once("\n## What other programs read\n").unwrap();
    let (section, _) = section.split_once("\n## ").unwrap();
    let mut written: Vec<&str> = section.split('`').filter(|word| word.starts_with("lampledger-")).collect();
    let mut known: Vec<&str> = decide::shapes::SHAPES.iter().map(|shape| shape.format).collect();
    written.sort_unstable();
    known.sort_unstable();
    assert_eq!(written, known);
}

#[test]
fn the_demonstration_says_what_the_table_says() {
    let plan = support::plan(&support::demo());
    let outcome = support::run(&plan, 10_000, 1);
    let readme = readme();
    for (o, option) in plan.options.iter().enumerate() {
        let row = readme.lines().find(|line| line.starts_with(&format!("| {} |", option.name))).unwrap();
        let cells: Vec<&str> = row.split('|').skip(2).collect();
        for (c, cell) in cells.iter().take(plan.contracts.len()).enumerate() {
            let printed: f64 = cell.trim().trim_start_matches("**").split(['*', ' ']).next().unwrap().parse().unwrap();
            let costs = outcome.costs(o, c, |cell| 100.0 * cell.levelized);
            let mean = decide::mean(&costs).0.value;
            assert!((printed - mean).abs() <= 0.000_51, "{}, contract {c}: {printed} in README, {mean}", option.name);
        }
    }
}

#[test]
fn the_tariff_that_it_shows_is_one() {
    let readme = readme();
    let (_, rest) = readme.split_once("```json\n{\n  \"seasons\"").unwrap();
    let (body, _) = rest.split_once("```").unwrap();
    let tariff: serde_json::Value = serde_json::from_str(&format!("{{\n  \"seasons\"{body}")).unwrap();
    let contracts = serde_json::json!([{ "name": "shown", "tariff": tariff }]);
    let plan = support::plan(&support::patched(support::room(), serde_json::json!({ "contracts": contracts })));
    // nothing of it is passed over: every price has its place
    assert_eq!(plan.contracts[0].prices.len(), 11);
    assert_eq!(plan.contracts[0].sheet.percent.len(), 2);
}
