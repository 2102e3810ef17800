//! The workbook in another program: LibreOffice Calc works every formula out, as written and after an input was overwritten.
//!
//! Belongs here: whatever needs that program. Where it is not on PATH, a line says that the test was passed over.

use std::collections::BTreeMap;
use std::io::{Cursor, Read, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::atomic::AtomicBool;

use decide::workbook::{WorkbookOrder, WorkbookOrigin, workbook};
use decide::workbook_report::WorkbookReport;
use engine::Settings;
use scenario::{Page, gather};
use serde_json::{Value, json};
use zip::write::SimpleFileOptions;
use zip::{ZipArchive, ZipWriter};

use crate::support::{Folder, demo, patched, plan, tidefall};

fn written(scenario: &Value, contract: usize, trials: u64) -> WorkbookReport {
    let settings = Settings { seed: 3, trials, threads: 2, precision: None };
    let origin = WorkbookOrigin { program: "test".into(), input_digest: "none".into(), what_ifs: vec![] };
    let order = WorkbookOrder { contract, reference: 0 };
    workbook(&plan(scenario), &order, &settings, origin, &AtomicBool::new(false), &mut |_| {}).unwrap()
}

/// Whether LibreOffice is there; says so if not.
fn office() -> bool {
    let there = Command::new("soffice").arg("--version").stdout(Stdio::null()).stderr(Stdio::null()).status();
    let there = there.is_ok_and(|status| status.success());
    if !there {
        crate::support::say_skipped("no `soffice` on PATH, so no workbook was worked out by another program");
    }
    there
}

/// What LibreOffice does with the numbers that stand beside formulas.
#[derive(Clone, Copy)]
enum Load {
    WorkOut = 0,
    TakeAsTheyAre = 1,
}

/// A cell: whether it holds a formula, its number if it has one, and what is seen.
type Cells = BTreeMap<(String, usize, usize), (bool, Option<f64>, String)>;

/// Opens a workbook in LibreOffice and reads it back.
fn opened(folder: &Path, name: &str, bytes: &[u8], load: Load) -> Cells {
    let profile = folder.join(format!("profile-{}", load as u8));
    std::fs::create_dir_all(profile.join("user")).unwrap();
    let setting = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><oor:items xmlns:oor=\"http://openoffice.org/2001/registry\">\
         <item oor:path=\"/org.openoffice.Office.Calc/Formula/Load\"><prop oor:name=\"OOXMLRecalcMode\" oor:op=\"fuse\">\
         <value>{}</value></prop></item></oor:items>",
        load as u8
    );
    std::fs::write(profile.join("user/registrymodifications.xcu"), setting).unwrap();
    let file = folder.join(format!("{name}.xlsx"));
    std::fs::write(&file, bytes).unwrap();
    let out = folder.join(format!("out-{}", load as u8));
    let status = Command::new("soffice")
        .arg(format!("-env:UserInstallation=file://{}", profile.display()))
        .args(["--headless", "--convert-to", "fods", "--outdir"])
        .args([&out, &file])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .unwrap();
    assert!(status.success());
    read(&std::fs::read_to_string(out.join(format!("{name}.fods"))).unwrap())
}

/// The cells of a flat OpenDocument file.
fn read(text: &str) -> Cells {
    let mut cells = Cells::new();
    let (mut sheet, mut row, mut column) = (String::new(), 0, 0);
    let (mut rows, mut columns) = (1, 1);
    let mut cell: Option<(bool, Option<f64>, String)> = None;
    for piece in text.split('<').skip(1) {
        let (tag, after) = piece.split_once('>').unwrap_or((piece, ""));
        let name = tag.split([' ', '/', '\n']).next().unwrap();
        let attribute = |key: &str| {
            let (_, rest) = tag.split_once(&format!(" {key}=\""))?;
            Some(rest.split_once('"')?.0.to_owned())
        };
        let repeated = |key: &str| attribute(key).map_or(1, |count| count.parse().unwrap());
        let mut ends = tag.ends_with('/');
        match name {
            "table:table" => (sheet, row) = (attribute("table:name").unwrap_or_default(), 0),
            "table:table-row" => {
                column = 0;
                rows = repeated("table:number-rows-repeated");
            }
            "table:table-cell" | "table:covered-table-cell" => {
                columns = repeated("table:number-columns-repeated");
                let value = attribute("office:value").map(|value| value.parse().unwrap());
                cell = attribute("office:value-type")
                    .map(|_| (attribute("table:formula").is_some(), value, String::new()));
            }
            "text:p" | "text:span" | "text:s" | "text:a" => {
                ends = false;
                if let Some(cell) = &mut cell {
                    cell.2.push_str(after);
                }
            }
            _ => ends = false,
        }
        // what comes after a paragraph is the file's own layout
        if let Some(cell) = cell.as_mut().filter(|_| tag.starts_with("/text:") && tag != "/text:p") {
            cell.2.push_str(after);
        }
        let is_cell = matches!(name, "table:table-cell" | "table:covered-table-cell");
        if is_cell && ends || matches!(tag, "/table:table-cell" | "/table:covered-table-cell") {
            if let Some(cell) = cell.take() {
                for column in column..column + columns {
                    cells.insert((sheet.clone(), row, column), cell.clone());
                }
            }
            column += columns;
        }
        if tag == "/table:table-row" || name == "table:table-row" && tag.ends_with('/') {
            row += rows;
        }
    }
    cells
}

/// The workbook with the number of an input's cell on the second sheet overwritten, and everything else as it was.
fn overwritten(bytes: &[u8], inputs: &[(&str, f64)]) -> Vec<u8> {
    let mut from = ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut to = ZipWriter::new(Cursor::new(vec![]));
    let mut changed = 0;
    for k in 0..from.len() {
        let mut part = from.by_index(k).unwrap();
        let name = part.name().unwrap().into_owned();
        let mut text = String::new();
        part.read_to_string(&mut text).unwrap();
        if name == "xl/worksheets/sheet2.xml" {
            for (cell, value) in inputs {
                let at = text.find(&format!("<c r=\"{cell}\"")).unwrap();
                let from = at + text[at..].find("<v>").unwrap() + 3;
                let until = from + text[from..].find("</v>").unwrap();
                text.replace_range(from..until, &value.to_string());
                changed += 1;
            }
        }
        to.start_file(name, SimpleFileOptions::default()).unwrap();
        to.write_all(text.as_bytes()).unwrap();
    }
    assert_eq!(changed, inputs.len());
    to.finish().unwrap().into_inner()
}

/// Holds every formula's cell of some sheets against another reading of it: amounts to half a cent, anything else to a
/// billionth. Returns how many.
#[track_caller]
fn assert_same(found: &Cells, expected: &Cells, wanted: impl Fn(&str, usize) -> bool) -> usize {
    let mut count = 0;
    for (at, (is_formula, value, text)) in expected.iter().filter(|(at, cell)| cell.0 && wanted(&at.0, at.1)) {
        count += usize::from(*is_formula);
        let (_, other, seen) = found.get(at).unwrap_or_else(|| panic!("{at:?} is missing"));
        match (value, other) {
            (Some(value), Some(other)) => {
                // what is below 100 may be a ratio, a rate or a cost per mole
                let allowed = if value.abs() < 100.0 { 1e-8 * value.abs() + 1e-8 } else { 0.005 };
                assert!((value - other).abs() <= allowed, "{at:?}: {other} against {value}");
            }
            // a line of a bill by value says that it does not follow what was changed
            _ if at.0 == "Bills" && text == "by value" && seen == "STALE" => {}
            _ => assert_eq!(seen, text, "{at:?}"),
        }
    }
    count
}

fn assert_no_errors(cells: &Cells) {
    for (at, (_, _, text)) in cells {
        assert!(!text.contains("Err:") && !text.starts_with('#'), "{at:?}: {text}");
    }
}

fn seen<'a>(cells: &'a Cells, sheet: &str, text: &str) -> Vec<&'a str> {
    let Some(row) = cells.iter().find(|((of, ..), cell)| of == sheet && cell.2 == text).map(|(at, _)| at.1) else {
        panic!("\"{text}\" is not on {sheet}")
    };
    cells.iter().filter(|((of, at, _), _)| of == sheet && *at == row).map(|(_, cell)| cell.2.as_str()).collect()
}

/// A scenario whose money is nominal, booked in the middle of months, with rounded bills behind a meter.
fn behind_the_meter() -> Value {
    let text = std::fs::read_to_string(tidefall().join("main-meter.json")).unwrap();
    let scenario = gather(Page { name: "main-meter.json".into(), text }, &Folder(tidefall()), &[]).unwrap().value;
    patched(scenario, json!({ "horizon_years": 2, "money": { "booked": "mid_month" } }))
}

#[test]
fn another_program_works_out_what_is_written_beside_the_formulas() {
    if !office() {
        return;
    }
    for (scenario, least) in [(demo(), 3_000), (behind_the_meter(), 1_500)] {
        let folder = tempfile::tempdir().unwrap();
        let bytes = render::workbook::xlsx(&written(&scenario, 0, 40)).unwrap();
        let beside = opened(folder.path(), "as-written", &bytes, Load::TakeAsTheyAre);
        let worked_out = opened(folder.path(), "as-written", &bytes, Load::WorkOut);
        let count = assert_same(&worked_out, &beside, |_, _| true);
        assert!(count > least, "{count} formulas");
        assert_no_errors(&worked_out);
        assert!(seen(&worked_out, "Checks", "Verdict")[1].ends_with("checks hold"));
        assert_eq!(seen(&worked_out, "Start", "State of that answer")[1], "as simulated");
    }
}

#[test]
fn an_overwritten_price_and_rate_give_what_the_program_gives_with_them() {
    if !office() {
        return;
    }
    // the first price is one of energy, below the discount rate in row 7
    let (cells, price, rate): ([&str; 2], f64, f64) = (["B8", "B7"], 0.0625, 0.115);
    for mut scenario in [demo(), behind_the_meter()] {
        let folder = tempfile::tempdir().unwrap();
        let report = written(&scenario, 0, 40);
        let first = report.prices[0].input.clone();
        let price = price.clamp(first.p50 * 0.9, first.p50 * 1.9);
        let bytes = overwritten(&render::workbook::xlsx(&report).unwrap(), &[(cells[0], price), (cells[1], rate)]);
        let worked_out = opened(folder.path(), "changed", &bytes, Load::WorkOut);
        scenario.pointer_mut(&first.pointer).unwrap()["is"] = price.into();
        scenario["money"]["discount_rate"] = json!({ "is": rate, "unit": "1/yr" });
        let with_them = written(&scenario, 0, 40);
        assert_ne!(report.figures.options[0].present, with_them.figures.options[0].present);
        let beside =
            opened(folder.path(), "with-them", &render::workbook::xlsx(&with_them).unwrap(), Load::TakeAsTheyAre);
        // rounded bills may be off by a cent a line in the cash, and lie by value beside it
        let rounded = report.options[0].bill.rounded;
        let cash = ["Cash by month", "Cash by year", "Savings", "Finance"];
        let count = assert_same(&worked_out, &beside, |sheet, row| {
            // one cell tells how many inputs were changed
            let counts_changes = (sheet, row) == ("Cash by year", 3);
            ["Bills", "Quantities"].contains(&sheet) || !rounded && cash.contains(&sheet) && !counts_changes
        });
        assert!(count > if rounded { 200 } else { 3_000 }, "{count} formulas");
        assert_no_errors(&worked_out);
        // what was simulated is told to be stale, and the checks hold all the same
        assert!(
            seen(&worked_out, "Start", "State of that answer")[1].starts_with("STALE: live inputs were changed, 2")
        );
        assert!(seen(&worked_out, "Compare", &report.options[0].name).contains(&"STALE"));
        assert!(seen(&worked_out, "Checks", "Verdict")[1].ends_with("checks hold"));
        let by_value = |text: &str| worked_out.iter().any(|((sheet, ..), cell)| sheet == "Bills" && cell.2 == text);
        assert!(!by_value("by value"), "a line by value does not say that it is stale");
        assert_eq!(by_value("STALE"), rounded, "only the rounded bills have lines by value");
    }
}
