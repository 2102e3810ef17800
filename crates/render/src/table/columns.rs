//! The columns of all tables, each with its meaning: the one place that headers and documentation are made from.
//!
//! Belongs here: names and meanings, a file for each command. Does not belong here: the values.

mod assign;
mod bill;
mod breakeven;
mod canopy;
mod cash;
mod drivers;
mod fading;
mod hours;
mod learn;
mod life_test;
mod map;
mod mix;
mod rank;
mod relamp;
mod run;
mod score;
mod stage;
mod why;

/// One column, or a family of columns that differ in a point of the distribution only.
///
/// In `name_pattern`, `{currency}` stands for the currency code, `{basis}` for "real" or "nominal" and `{point}` for
/// each of `mean`, `mean_se`, `sd`, `p5`, `p5_se`, `p10`, `p10_se`, `p50`, `p50_se`, `p80`, `p80_se`, `p90`,
/// `p90_se`, `p95` and `p95_se` in this order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// File that it stands in.
    pub file: &'static str,
    /// Its name, with places to be filled in.
    pub name_pattern: &'static str,
    /// What it says, one sentence.
    pub meaning: &'static str,
}

/// Points of a spread in the order of their columns.
pub(crate) const POINTS: [&str; 15] = [
    "mean", "mean_se", "sd", "p5", "p5_se", "p10", "p10_se", "p50", "p50_se", "p80", "p80_se", "p90", "p90_se", "p95",
    "p95_se",
];

/// Name of a file, and its columns with their meanings.
type Table = (&'static str, &'static [(&'static str, &'static str)]);

/// The tables in the order of README.
const TABLES: [&[Table]; 18] = [
    run::TABLES,
    bill::TABLES,
    hours::TABLES,
    relamp::TABLES,
    breakeven::TABLES,
    map::TABLES,
    drivers::TABLES,
    why::TABLES,
    stage::TABLES,
    life_test::TABLES,
    mix::TABLES,
    rank::TABLES,
    cash::TABLES,
    canopy::TABLES,
    assign::TABLES,
    score::TABLES,
    fading::TABLES,
    learn::TABLES,
];

/// Every column of every table, in the order of the files and within them of the cells.
pub fn columns() -> Vec<Column> {
    TABLES
        .iter()
        .flat_map(|tables| tables.iter())
        .flat_map(|(file, list)| list.iter().map(|(name_pattern, meaning)| Column { file, name_pattern, meaning }))
        .collect()
}

/// The column names of a table with currency and basis filled in; none for an unknown file.
pub fn header(file: &str, currency: &str, basis: &str) -> Vec<String> {
    let word = |text: &str| text.chars().filter(char::is_ascii_alphanumeric).collect::<String>();
    let (currency, basis) = (word(currency), word(basis));
    columns()
        .iter()
        .filter(|column| column.file == file)
        .map(|column| column.name_pattern.replace("{currency}", &currency).replace("{basis}", &basis))
        .flat_map(|name| {
            if name.contains("{point}") {
                POINTS.iter().map(|point| name.replace("{point}", point)).collect()
            } else {
                vec![name]
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::table::SUMMARY;

    #[test]
    fn every_column_has_a_sentence() {
        assert!(columns().len() > 50);
        for column in columns() {
            assert!(column.meaning.ends_with('.') && column.meaning.len() > 8, "{column:?}");
        }
    }

    #[test]
    fn names_carry_currency_and_basis() {
        let names = header(SUMMARY, "U S,D", "real");
        assert!(names.contains(&"levelized_real_USD_per_mol_p90".to_owned()));
        assert!(names.contains(&"levelized_real_USD_per_mol_p90_se".to_owned()));
        assert_eq!(names.len(), 20 + 11 * POINTS.len());
        assert!(header("other.csv", "USD", "real").is_empty());
    }
}
