//! The tables of bills: every digit, money in the currency, one row for each line and each demand.
//!
//! Belongs here: which rows they have. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::bill::{BillReport, PeakLine};

use super::unit;
use crate::table::{LINES, PEAKS, Rows, header};

/// Every line of every bill; those of a bill add up to it.
pub fn lines_csv(report: &BillReport) -> String {
    let mut rows = Rows::new(&header(LINES, &report.currency, ""));
    for sheet in &report.sheets {
        for bill in &sheet.bills {
            for line in &bill.lines {
                rows.text(&sheet.contract);
                rows.number(sheet.open_questions.len() as f64);
                for text in [&report.prices_of, &bill.first, &bill.last, &line.part, &line.name] {
                    rows.text(text);
                }
                rows.text(unit(report, &line.unit));
                let amount = line.amount;
                let numbers = [line.quantity_with, line.quantity_without, line.price];
                for number in numbers.into_iter().chain([amount.with, amount.without, amount.difference]) {
                    rows.number(number);
                }
                rows.number(line.lifted_kw);
                rows.end();
            }
        }
    }
    rows.finish()
}

/// Every demand of every bill: those of its demand charges, and the highest of any time.
pub fn peaks_csv(report: &BillReport) -> String {
    let mut rows = Rows::new(&header(PEAKS, &report.currency, ""));
    for sheet in &report.sheets {
        for bill in &sheet.bills {
            for PeakLine { name, kw_with, at_with, power_factor_with, kw_without, at_without } in &bill.peaks {
                for text in [&sheet.contract, &bill.first, &bill.last, name] {
                    rows.text(text);
                }
                rows.number(*kw_with);
                rows.text(at_with.as_deref().unwrap_or_default());
                rows.number(*power_factor_with);
                rows.number(*kw_without);
                rows.text(at_without.as_deref().unwrap_or_default());
                rows.end();
            }
        }
    }
    rows.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::bill as sample;

    fn read(text: &str) -> Vec<Vec<String>> {
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
        reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect()
    }

    #[test]
    fn every_row_has_the_columns_of_its_header() {
        for (which, report) in sample::all() {
            // a strict reader refuses rows of another length
            let (lines, peaks) = (read(&lines_csv(&report)), read(&peaks_csv(&report)));
            assert_eq!(lines[0], header(LINES, &report.currency, ""), "{which}");
            assert_eq!(peaks[0], header(PEAKS, &report.currency, ""), "{which}");
            let bills = || report.sheets.iter().flat_map(|sheet| &sheet.bills);
            assert_eq!(lines.len(), 1 + bills().map(|bill| bill.lines.len()).sum::<usize>(), "{which}");
            assert_eq!(peaks.len(), 1 + bills().map(|bill| bill.peaks.len()).sum::<usize>(), "{which}");
        }
    }

    #[test]
    fn numbers_come_back_and_units_are_named() {
        let report = sample::realistic();
        let rows = read(&lines_csv(&report));
        let at = |name: &str| rows[0].iter().position(|column| column == name).unwrap();
        let line = &report.sheets[0].bills[0].lines[1];
        let number = |name: &str| rows[2][at(name)].parse::<f64>().unwrap();
        assert_eq!(number("quantity_with"), line.quantity_with);
        assert_eq!(number("difference_as_written_USD"), line.amount.difference);
        assert_eq!(number("price_as_written_USD_per_unit"), line.price);
        assert_eq!((rows[2][at("unit")].as_str(), rows[6][at("unit")].as_str()), ("kWh", "USD"));
        assert_eq!(rows[3][at("lifted_kW")], "3.25");
        let peaks = read(&peaks_csv(&report));
        assert_eq!(peaks[1][5], "2031-12-01 21:00");
        assert_eq!((peaks[2][4].as_str(), peaks[2][5].as_str()), ("0", ""));
    }

    #[test]
    fn no_cell_runs_as_a_formula() {
        let report = sample::hostile();
        for cell in read(&lines_csv(&report)).into_iter().chain(read(&peaks_csv(&report))).flatten() {
            let formula = cell.starts_with(['=', '+', '@', '\t', '\r', '\n']);
            assert!(!formula && (!cell.starts_with('-') || cell.parse::<f64>().is_ok()), "{cell:?}");
            assert!(!cell.contains(['\u{1b}', '\u{202e}', '\u{0}']), "{cell:?}");
        }
        assert!(lines_csv(&report).contains("'=HYPERLINK"));
    }
}
