//! `score`: what it says, writes and refuses, and sheets that come back.

use std::fs;

use serde_json::Value;

use super::{folder_with, lampledger, names};
use crate::support::cells;

#[test]
fn the_demonstration_is_scored() {
    let folder = folder_with(&[]);
    let said = lampledger(folder.path(), &["score", "--out", "out"]).well();
    let text = said.out.split_whitespace().collect::<Vec<_>>().join(" ").replace('\u{202f}', " ");
    for part in [
        "18 with an outcome, 6 still open",
        // counted by hand in the file; limits of 16 of 18 from statistics packages: 0.653 and 0.986
        "16 of 18 outcomes lie within their span from the 10 % to the 90 % point",
        "between 65 % and 99 % of such spans hold",
        "failures in 2028: 21 happened, above the span by 88 % of its width",
        "price of energy, mean of 2029: 0.118 USD/kWh happened, above the span by 86 % of its width",
        "Rows of one room, one lot of lamps or one year share their luck",
        "Outcomes that are only about right (`~`), taken as written: 1",
    ] {
        assert!(text.contains(part), "{part} is not in\n{}", said.out);
    }
    assert_eq!(
        names(&folder.path().join("out")).into_iter().collect::<Vec<_>>(),
        ["score.csv", "score.html", "score.json", "score.svg"]
    );
    let report: Value =
        serde_json::from_str(&fs::read_to_string(folder.path().join("out/score.json")).unwrap()).unwrap();
    assert_eq!((&report["format"], &report["width"]), (&"lampledger-score/1".into(), &"fits".into()));
    assert_eq!(cells(&fs::read_to_string(folder.path().join("out/score.csv")).unwrap()).len(), 25);
}

#[test]
fn a_run_foretells_and_its_sheet_comes_back() {
    let folder = folder_with(&[]);
    lampledger(folder.path(), &["run", "--trials", "100", "--out", "run"]).well();
    let words = ["score", "--from", "run/result.json", "--made", "2031-02-20"];
    let printed = lampledger(folder.path(), &words).well().out;
    let said = lampledger(folder.path(), &[&words[..], &["--sheet", "sheet.csv"]].concat()).well();
    assert!(said.out.starts_with("sheet.csv holds "), "{}", said.out);
    let sheet = fs::read_to_string(folder.path().join("sheet.csv")).unwrap();
    assert_eq!(printed, sheet);
    let rows = cells(&sheet);
    // levelized, plain and total of four options under three contracts, and the moles of each are uncertain
    for (option, what) in [("A cheap arc, flat contract", "levelized cost of a mole"), ("D panel LED", "moles")] {
        assert!(rows.iter().any(|row| row[0].starts_with(&format!("{option}: {what}"))), "{option}");
    }
    assert!(rows[1..].iter().all(|row| row[7].is_empty() && row[8] == "2031-02-20"));
    let scored = lampledger(folder.path(), &["score", "sheet.csv", "--json", "--out", "scored"]).well().json();
    assert_eq!((&scored["came"], scored["open"].as_array().unwrap().len()), (&0.into(), rows.len() - 1));
    // what happened is written in and counted
    let filled = sheet.replacen(",,2031-02-20,,", ",0,2031-02-20,2032-03-01,", 1);
    fs::write(folder.path().join("filled.csv"), filled).unwrap();
    let scored = lampledger(folder.path(), &["score", "filled.csv", "--json", "--out", "scored"]).well().json();
    assert_eq!((&scored["came"], &scored["within"]["found"]), (&1.into(), &0.into()));
    let again = lampledger(folder.path(), &[&words[..], &["--sheet", "sheet.csv"]].concat());
    again.refused(3, "error: sheet.csv could not be written: it exists already; choose another name\n");
}

#[test]
fn what_makes_no_sense_is_refused_in_plain_words() {
    let folder = folder_with(&[
        ("bad.csv", "what,unit,p10,p50,p90,happened\na,h,3,2,4,\nb,,1,2,3,\nc,h,1,2,3,x\n"),
        ("no.json", "{}"),
    ]);
    lampledger(folder.path(), &["score", "bad.csv"]).refused(
        1,
        "error: bad.csv: line 2, column \"p10\": p10 3 above p50 2; allowed: points in rising order\n\
         error: bad.csv: line 3, column \"unit\": nothing; allowed: a unit, such as USD or h; 1 for counts\n\
         error: bad.csv: line 4, column \"happened\": \"x\", which is no number with a decimal point; allowed: \
         -1000000000000000 to 1000000000000000 h\n",
    );
    lampledger(folder.path(), &["score", "none.csv"])
        .refused(3, "error: none.csv could not be read: there is no such file or folder\n");
    lampledger(folder.path(), &["score", "--from", "no.json"])
        .refused(2, "error: --from no.json: this is not a stored result: it has no \"format\" member with a text\n");
    assert!(!folder.path().join("out").exists());
}
