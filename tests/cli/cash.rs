//! `cash`: what it says, writes and refuses.

use super::{folder_with, lampledger, names};
use crate::support::cells;

#[test]
fn flows_are_told_and_written() {
    let folder = folder_with(&[]);
    let words = ["cash", "--reference", "A", "--trials", "64", "--out", "out"];
    let said = lampledger(folder.path(), &words).well();
    for part in
        ["cash flows", "Life-cycle cost of the room, real USD", "before tax, without a loan", "they do not choose"]
    {
        assert!(
            said.out.split_whitespace().collect::<Vec<_>>().join(" ").contains(part),
            "{part} is not in\n{}",
            said.out
        );
    }
    let files: Vec<String> = names(&folder.path().join("out")).into_iter().collect();
    assert_eq!(files, ["cash-measures.csv", "cash-months.csv", "cash-years.csv", "cash.html", "cash.json", "cash.svg"]);
    let read = |name: &str| cells(&std::fs::read_to_string(folder.path().join("out").join(name)).unwrap());
    let months = read("cash-months.csv");
    assert_eq!((months[0][4].as_str(), months[0][5].as_str()), ("2031-03-01", "2031-03-31"));
    assert_eq!((months[0].len(), months[1][2].as_str()), (4 + 61 + 2, "years from the start"));
    let measures = read("cash-measures.csv");
    assert_eq!(measures.len(), 5);
    // the discounted sum of the savings of the last option is its net present value in the other table
    let number = |text: &String| text.parse::<f64>().unwrap();
    let row = |flow: &str, line: &str| {
        months.iter().find(|row| row[0] == flow && !row[1].is_empty() && row[2] == line).unwrap().clone()
    };
    let factors = &months[2][4..65];
    let total = row("D panel LED", "total");
    let present: f64 = total[4..65].iter().zip(factors).map(|(amount, factor)| number(amount) * number(factor)).sum();
    let at = measures[0].iter().position(|name| name == "npv_real_USD_mean").unwrap();
    assert!((present - number(&measures[4][at])).abs() < 1e-6, "{present}");
}

#[test]
fn the_same_flows_on_any_number_of_threads() {
    let folder = folder_with(&[]);
    let ask = |threads: &str| {
        lampledger(folder.path(), &["cash", "--trials", "40", "--threads", threads, "--json"]).well().out
    };
    assert_eq!(ask("1"), ask("3"));
}

#[test]
fn what_cannot_be_asked_is_refused() {
    let folder = folder_with(&[]);
    let refused = |words: &[&str], message: &str| {
        let words = [&["cash", "--trials", "2"], words].concat();
        lampledger(folder.path(), &words).refused(2, message);
    };
    refused(
        &["--reference", "E"],
        "error: --reference \"E\": one of A cheap arc, B long-life arc, C bar LED, D panel LED; the first word will do\n",
    );
    refused(
        &["--contract", "none"],
        "error: --contract \"none\": one of \"flat contract\", \"time of use, lit by night\", \"time of use, lit by day\"\n",
    );
    refused(
        &["--basis", "nominal"],
        "error: --basis nominal needs --inflation, such as --inflation 2%: the scenario's money is real and it states no \
         inflation\n",
    );
    refused(
        &["--inflation", "2%"],
        "error: --inflation changes nothing here: the scenario's money is real, it is shown as real, and there is no tax or \
         loan; ask for --basis nominal\n",
    );
    refused(
        &["--set", "/money/basis=\"nominal\"", "--set", "/money/inflation=0.02", "--inflation", "2%"],
        "error: --inflation: the scenario states its inflation; change that with --set /money/inflation=…\n",
    );
    let said = lampledger(folder.path(), &["cash", "--trials", "1"]);
    assert_eq!(said.code, 2);
    let said = lampledger(folder.path(), &["cash", "--trials", "1000000"]);
    assert_eq!(said.code, 2);
    assert!(said.err.contains("trials of this scenario fit into memory"), "{}", said.err);
    assert!(names(folder.path()).into_iter().all(|name| name == "out"), "nothing else is left behind");
}

#[test]
fn tax_and_loan_are_said_and_their_faults_named() {
    let folder = folder_with(&[]);
    let taxed = |tax: &str| {
        let set = format!("/money/tax={tax}");
        lampledger(folder.path(), &["cash", "--trials", "16", "--inflation", "2%", "--set", &set, "--out", "out"])
    };
    let said = taxed("{\"rate\": 0.25, \"depreciation\": {\"years\": 7}}").well();
    let told = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in ["tax of 25 % at each year's end", "After tax and loan", "stays on the books"] {
        assert!(told.contains(part), "{part} is not in\n{}", said.out);
    }
    for (tax, fault) in [
        ("{\"rate\": 0.25, \"depreciation\": {}}", "exactly one of years, half_year, shares"),
        ("{\"rate\": 0.25, \"depreciation\": {\"years\": 0}}", "from 1 to 200"),
        ("{\"rate\": 0.25, \"depreciation\": {\"shares\": [0.5, 0.4]}}", "1, within 1e-9"),
        ("{\"rate\": 25, \"depreciation\": {\"years\": 5}}", "at most 0.95"),
    ] {
        let said = taxed(tax);
        assert_eq!(said.code, 1, "{tax}");
        assert!(said.err.contains(fault), "{fault} is not in\n{}", said.err);
    }
}

#[test]
fn pasted_amounts_are_worked_out() {
    let folder = folder_with(&[
        ("row.csv", "years,amount\r\n0,-1000\r\n1,600\r\n2,600\r\n"),
        ("twice.csv", "-1000\n2300\n-1320\n"),
        ("gains.csv", "100\n200\n"),
    ]);
    let ask = |file: &str| lampledger(folder.path(), &["cash", "--flows", file, "--json"]).well().json();
    let row = ask("row.csv");
    assert_eq!(row["format"], "lampledger-cash-flows/1");
    let number = |value: &serde_json::Value| value.as_f64().unwrap();
    assert!((number(&row["npv"]) - (-1000.0 + 600.0 / 1.08 + 600.0 / 1.1664)).abs() < 1e-9);
    // 600/(1 + r) + 600/(1 + r)² = 1 000: 1 + r = 0.3 + √0.69
    assert!((number(&row["irr"]["rates"][0]) - (0.69f64.sqrt() - 0.7)).abs() < 1e-12);
    let twice = ask("twice.csv");
    let rates: Vec<f64> = twice["irr"]["rates"].as_array().unwrap().iter().map(number).collect();
    assert!((rates[0] - 0.1).abs() < 1e-9 && (rates[1] - 0.2).abs() < 1e-9, "{rates:?}");
    let said = lampledger(folder.path(), &["cash", "--flows", "gains.csv"]).well().out;
    let told = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("money only comes in: there is no change of sign, so no rate"), "{said}");
}

#[test]
fn pasted_nonsense_is_refused() {
    let long = "1\n".repeat(10_001);
    let large = " ".repeat((1 << 20) + 1);
    let folder = folder_with(&[
        ("three.csv", "-100\n50;3;4\n"),
        ("nan.csv", "nan\n"),
        ("words.csv", "1\ntwo\n"),
        ("none.csv", "amount\n"),
        ("mixed.csv", "0,1\n2\n"),
        ("late.csv", "0,1\n2000,1\n"),
        ("huge.csv", "-1e200\n1\n"),
        ("long.csv", &long),
        ("large.csv", &large),
    ]);
    let refused = |file: &str, message: &str| {
        let said = lampledger(folder.path(), &["cash", "--flows", file]);
        said.refused(2, &format!("error: --flows {file}: {message}\n"));
    };
    refused("three.csv", "line 2: 3 columns; one or two are read");
    refused("nan.csv", "line 1: NaN is not a finite number");
    refused(
        "words.csv",
        "line 2: \"two\" is no amount, and no years and amount; numbers look like -1234.5, two of them are parted by a comma",
    );
    refused("none.csv", "there is no amount in it");
    refused("mixed.csv", "line 2: one column here and two elsewhere; all lines must have the same");
    refused("long.csv", "more than 10000 rows");
    refused("large.csv", "it is larger than 1 MiB");
    refused("late.csv", "a moment in years is 2000; it must be from 0 to 1 000");
    let said = lampledger(folder.path(), &["cash", "--flows", "huge.csv"]);
    assert_eq!(said.code, 2);
    let said = lampledger(folder.path(), &["cash", "--flows", "late.csv", "--rate", "-100%"]);
    assert_eq!(said.code, 2);
    assert!(said.err.contains("a rate must be above −100 % a year"), "{}", said.err);
    let said = lampledger(folder.path(), &["cash", "--rate", "5%", "--trials", "2"]);
    said.refused(2, "error: --rate and --reinvest go with --flows; a scenario has its own money.discount_rate\n");
}
