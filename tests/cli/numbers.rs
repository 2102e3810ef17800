//! The same number is the same number wherever it is told.

use std::fs;

use super::{lampledger, result, tidefall};
use crate::support::cells;

/// Numbers that stand right before a bracket, as printed.
fn means(line: &str) -> Vec<String> {
    let pieces: Vec<&str> = line.split(" [").collect();
    pieces[..pieces.len() - 1].iter().map(|piece| piece.split(' ').next_back().unwrap().to_owned()).collect()
}

#[test]
fn terminal_table_summary_and_result_tell_the_same_levelized_means() {
    let folder = tidefall();
    let said = lampledger(folder.path(), &["run", "bay-2.json", "--out", "out", "--trials", "300"]).well();
    let result = result(&folder.path().join("out"));
    let (_, after) = said.out.split_once("\nLevelized cost of light, ct/mol\n").unwrap();
    let (table, _) = after.split_once("\nLight that is counted\n").unwrap();
    let rows = cells(&fs::read_to_string(folder.path().join("out/summary.csv")).unwrap());
    let column = |name: &str| rows[0].iter().position(|known| known == name).unwrap_or_else(|| panic!("{name}"));
    let (option_at, contract_at) = (column("option"), column("contract"));
    let mean_at = column("levelized_real_USD_per_mol_mean");

    let mut compared = 0;
    for option in result["options"].as_array().unwrap() {
        let name = option["name"].as_str().unwrap();
        // a wide table goes on in a second block, whose rows have the same names
        let printed: Vec<String> = table.lines().filter(|line| line.starts_with(name)).flat_map(means).collect();
        let costs = option["costs"].as_array().unwrap();
        assert_eq!(printed.len(), costs.len(), "{table}");
        for ((cost, contract), printed) in costs.iter().zip(result["contracts"].as_array().unwrap()).zip(printed) {
            let stored = cost["levelized"]["mean"]["value"].as_f64().unwrap();
            let row = rows.iter().find(|row| row[option_at] == name && contract["name"] == row[contract_at].as_str());
            let in_table: f64 = row.unwrap()[mean_at].parse().unwrap();
            assert_eq!(in_table.to_bits(), stored.to_bits(), "{name}: both keep every digit");
            let decimals = printed.split_once('.').map_or(0, |(_, decimals)| decimals.len());
            assert!(decimals >= 1, "{printed} says too little to compare");
            assert_eq!(printed, format!("{:.decimals$}", stored * 100.0), "{name}");
            compared += 1;
        }
    }
    assert_eq!((compared, rows.len()), (12, 13));
}

#[test]
fn causes_and_years_add_up_to_the_means_of_the_summary() {
    let folder = tidefall();
    lampledger(folder.path(), &["run", "bay-2.json", "--out", "out", "--trials", "100"]).well();
    let table = |name: &str| cells(&fs::read_to_string(folder.path().join("out").join(name)).unwrap());
    let sums = |rows: &[Vec<String>], option: &str, contract: &str, column: &str| -> f64 {
        let at = rows[0].iter().position(|name| name == column).unwrap_or_else(|| panic!("{column}"));
        let of = rows.iter().filter(|row| row[0] == option && row[1] == contract);
        of.map(|row| row[at].parse::<f64>().unwrap()).sum()
    };
    let (summary, causes, years) = (table("summary.csv"), table("causes.csv"), table("years.csv"));
    for row in &summary[1..] {
        let (option, contract) = (row[0].as_str(), row[1].as_str());
        for (point, part) in [
            ("levelized_real_USD_per_mol_mean", "levelized_real_USD_per_mol"),
            ("plain_real_USD_per_mol_mean", "plain_real_USD_per_mol"),
            ("total_real_USD_mean", "total_real_USD"),
            ("present_value_real_USD_mean", "present_value_real_USD"),
        ] {
            let whole = sums(&summary, option, contract, point);
            let parts = sums(&causes, option, contract, part);
            // sums of some hundred terms in another order
            assert!((parts / whole - 1.0).abs() < 1e-11, "{option}, {contract}, {part}: {parts} of {whole}");
        }
        let whole = sums(&summary, option, contract, "total_real_USD_mean");
        let by_year = sums(&years, option, contract, "cost_real_USD");
        assert!((by_year / whole - 1.0).abs() < 1e-11, "{option}, {contract}: {by_year} of {whole}");
    }
}
