//! `workbook`: what it says, writes and refuses.

use std::fs;
use std::io::{Cursor, Read};
use std::path::Path;

use decide::workbook_report::WorkbookReport;
use serde_json::Value;
use zip::ZipArchive;

use super::{folder_with, lampledger, names, starter};

/// The parts of a workbook: names and texts.
fn parts(path: &Path) -> Vec<(String, String)> {
    let mut archive = ZipArchive::new(Cursor::new(fs::read(path).unwrap())).unwrap();
    let count = archive.len();
    let part = |k: usize| {
        let mut part = archive.by_index(k).unwrap();
        let mut text = String::new();
        part.read_to_string(&mut text).unwrap();
        (part.name().unwrap().into_owned(), text)
    };
    (0..count).map(part).collect()
}

/// Formulas of all sheets.
fn formulas(parts: &[(String, String)]) -> Vec<&str> {
    let sheets = parts.iter().filter(|(name, _)| name.starts_with("xl/worksheets/sheet"));
    sheets.flat_map(|(_, text)| text.split("<f>").skip(1)).map(|rest| rest.split("</f>").next().unwrap()).collect()
}

#[test]
fn the_demonstration_becomes_a_workbook() {
    let folder = folder_with(&[]);
    let said = lampledger(folder.path(), &["workbook", "--trials", "200", "--out", "out"]).well();
    let text = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "a workbook for the accountant",
        "Base path medians of all inputs, mean over the luck of 200 trials",
        "- money.discount_rate: 8 % a year",
        "- options[\"B long-life arc\"].lamp.price: 124 USD/lamp",
        "What is not live",
        "Cautions",
        "3 files are in out/; to look at: workbook.html; workbook.xlsx follows prices and the discount rate",
    ] {
        assert!(text.replace('\u{202f}', " ").contains(part), "{part} is not in\n{}", said.out);
    }
    let out = folder.path().join("out");
    assert_eq!(names(&out).into_iter().collect::<Vec<_>>(), ["workbook.html", "workbook.json", "workbook.xlsx"]);
    // what is stored is all that it takes to draw the same bytes again
    let report: WorkbookReport = serde_json::from_slice(&fs::read(out.join("workbook.json")).unwrap()).unwrap();
    assert_eq!(render::workbook::xlsx(&report).unwrap(), fs::read(out.join("workbook.xlsx")).unwrap());
    assert_eq!(report.format, "lampledger-workbook/1");
    let parts = parts(&out.join("workbook.xlsx"));
    assert!(formulas(&parts).len() > 3_000);
    let told = ["vbaProject", "externalLink", "connections"];
    assert!(parts.iter().all(|(name, _)| told.iter().all(|part| !name.contains(part))), "a macro or a link leads out");
    let (_, book) = parts.iter().find(|(name, _)| name == "xl/workbook.xml").unwrap();
    let sheets = ["Start", "Inputs", "Other inputs", "Bills", "Quantities", "Cash by month", "Cash by year", "Savings"];
    let places: Vec<usize> = sheets.iter().map(|sheet| book.find(&format!("name=\"{sheet}\"")).unwrap()).collect();
    assert!(places.is_sorted());
}

#[test]
fn the_same_bytes_come_out_again_and_on_any_number_of_threads() {
    let folder = folder_with(&[]);
    let bytes = |threads: &str| {
        let words =
            ["workbook", "--trials", "120", "--threads", threads, "--contract", "flat contract", "--out", "out"];
        lampledger(folder.path(), &words).well();
        ["out/workbook.xlsx", "out/workbook.json"].map(|file| fs::read(folder.path().join(file)).unwrap())
    };
    let first = bytes("1");
    assert!(bytes("1") == first && bytes("3") == first);
}

#[test]
fn json_is_the_whole_report() {
    let folder = folder_with(&[]);
    let words = ["workbook", "--trials", "50", "--reference", "C", "--json", "--out", "out"];
    let report = lampledger(folder.path(), &words).well().json();
    assert_eq!((&report["reference"], &report["trials"], &report["path_trials"]), (&2.into(), &50.into(), &50.into()));
    // 22 fixtures are bought at the start and none later
    let bought = &report["options"][2]["quantities"][0];
    assert_eq!((&report["lines"][0], &bought["line"]), (&"capital".into(), &0.into()));
    assert!((bought["months"][0].as_f64().unwrap() - 22.0).abs() < 1e-9, "{bought}");
    assert!(bought["months"].as_array().unwrap()[1..].iter().all(|count| count.as_f64() == Some(0.0)));
    assert!(report["figures"]["options"][2]["saved"].is_null());
    assert!(report["figures"]["options"][0]["saved"]["npv"].is_f64());
}

#[test]
fn what_is_not_there_is_refused() {
    let folder = folder_with(&[]);
    lampledger(folder.path(), &["workbook", "--reference", "Z"]).refused(
        2,
        "error: --reference \"Z\": one of A cheap arc, B long-life arc, C bar LED, D panel LED; the first word will do\n",
    );
    assert!(names(folder.path()).is_empty());
}

#[test]
fn hostile_names_stay_texts() {
    let folder = starter();
    let path = folder.path().join("room.json");
    let long = "💡".repeat(500);
    for name in [
        "=HYPERLINK(\"http://x.example\",\"y\")",
        "+1+1",
        "@SUM(A1)",
        "-1+1",
        "<script>alert(1)</script>]]>&amp;",
        "\u{202e}gnp.exe \u{1b}[31m \u{0}\u{fffe} _x0007_",
        "inf",
        "#REF!",
        "TRUE",
        "12",
        "&P&D&\"Arial\"",
        "'quoted'!A1",
        &long,
    ] {
        let mut scenario: Value = serde_json::from_str(include_str!("../../crates/cli/starter.json")).unwrap();
        scenario["title"] = name.into();
        scenario["contracts"][0]["name"] = name.into();
        scenario["contracts"][0]["tariff"]["demand"][0]["name"] = name.into();
        scenario["options"][0]["name"] = name.into();
        scenario["options"][0]["lamp"]["price"]["note"] = name.into();
        fs::write(&path, scenario.to_string()).unwrap();
        lampledger(folder.path(), &["workbook", "room.json", "--trials", "4", "--out", "out"]).well();
        let parts = parts(&folder.path().join("out/workbook.xlsx"));
        let (_, shared) = parts.iter().find(|(part, _)| part == "xl/sharedStrings.xml").unwrap();
        assert!(!shared.contains("<script") && !shared.contains('\u{202e}') && !shared.contains('\u{1b}'), "{name}");
        for formula in formulas(&parts) {
            let ours = ["HYPERLINK", "x.example", "script", "exe", "💡", "1+1", "Arial", "quoted"];
            assert!(ours.iter().all(|part| !formula.contains(part)), "{name}: {formula}");
        }
        // a cell with a formula holds a number, or a text that says so
        for (part, text) in parts.iter().filter(|(part, _)| part.starts_with("xl/worksheets/sheet")) {
            for cell in text.split("<c ").skip(1).map(|rest| rest.split("</c>").next().unwrap()) {
                let Some((_, value)) = cell.split_once("</f><v>") else { continue };
                let value = value.split("</v>").next().unwrap();
                let (told, finite) = (cell.contains("t=\"str\""), value.parse::<f64>().is_ok_and(f64::is_finite));
                assert!(told || finite, "{name}: {part}: {cell}");
            }
        }
        assert!(parts.iter().all(|(_, text)| !text.contains("<v>inf") && !text.contains("<v>NaN")), "{name}");
    }
}
