//! The long table of single trials, written row by row because it is far larger than everything else.
//!
//! Belongs here: its header and its rows. Does not belong here: buffering, files.

use super::TRIALS;
use super::cells::{full, harmless, quoted};
use super::columns::header;

/// The numbers of one trial for one option under one contract, in the order of their columns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrialNumbers {
    /// Levelized cost of a delivered mole, currency per mol.
    pub levelized: f64,
    /// Plain cost of a delivered mole, currency per mol.
    pub plain: f64,
    /// Total cost, undiscounted, currency.
    pub total: f64,
    /// Present value of the cost, currency.
    pub present_value: f64,
    /// Moles delivered, mol.
    pub moles: f64,
    /// Lamps bought after the first fill.
    pub lamps_bought: f64,
    /// Failures of lamps and gear.
    pub failures: f64,
    /// Socket-hours of the schedule in which a socket was dark, h.
    pub dark_h: f64,
}

/// The header line of the long table, line break included.
pub fn trials_header(currency: &str, basis: &str) -> String {
    header(TRIALS, currency, basis).join(",") + "\r\n"
}

/// Writer of the rows of the long table; it keeps the names as finished cells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TrialTable {
    options: Vec<String>,
    contracts: Vec<String>,
}

impl TrialTable {
    /// A writer for the options and contracts of one run.
    pub fn new(options: &[String], contracts: &[String]) -> Self {
        let cells = |names: &[String]| names.iter().map(|name| quoted(&harmless(name))).collect();
        Self { options: cells(options), contracts: cells(contracts) }
    }

    /// Appends one row, line break included. An index without a name leaves its cell empty.
    pub fn write_row(&self, out: &mut String, trial: u64, option: usize, contract: usize, numbers: &TrialNumbers) {
        let name = |names: &[String], i: usize| names.get(i).cloned().unwrap_or_default();
        out.push_str(&trial.to_string());
        out.push(',');
        out.push_str(&name(&self.options, option));
        out.push(',');
        out.push_str(&name(&self.contracts, contract));
        let n = numbers;
        for number in [n.levelized, n.plain, n.total, n.present_value, n.moles, n.lamps_bought, n.failures, n.dark_h] {
            out.push(',');
            out.push_str(&full(number));
        }
        out.push_str("\r\n");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_read_back() {
        let table = TrialTable::new(&["=a, \"b\"".to_owned()], &["night\nrate".to_owned()]);
        let mut text = trials_header("USD", "real");
        let numbers = TrialNumbers {
            levelized: 0.1 + 0.2,
            plain: 1.0 / 3.0,
            total: 1e300,
            present_value: -2.0,
            moles: 5.0,
            lamps_bought: 7.0,
            failures: 0.0,
            dark_h: 1e-9,
        };
        table.write_row(&mut text, 41, 0, 0, &numbers);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        assert_eq!(reader.headers().unwrap().len(), 11);
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(rows.len(), 1);
        assert_eq!((&rows[0][0], &rows[0][1], &rows[0][2]), ("41", "'=a, \"b\"", "night\nrate"));
        assert_eq!(rows[0][3].parse::<f64>().unwrap(), 0.1 + 0.2);
        assert_eq!(rows[0][10].parse::<f64>().unwrap(), 1e-9);
    }
}
