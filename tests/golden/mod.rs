//! What the demonstration says today, at 2 000 trials and seed 7, against what it said when the files here were stored.
//!
//! This guards change and proves nothing: the stored files are the program's own output, so they are right exactly as
//! far as the program was. A difference means that somebody should look, and say why, before storing the new output:
//!
//! ```text
//! LAMPLEDGER_REWRITE_GOLDEN=1 cargo test --test all golden
//! ```
//!
//! Belongs here: the text on the terminal and summary.csv. Does not belong here: whether any of it is right.

use std::env;
use std::fs;
use std::path::PathBuf;

use crate::cli::{folder_with, lampledger, result};
use crate::support::cells;

/// The environment variable that stores the present output instead of comparing it.
const REWRITE: &str = "LAMPLEDGER_REWRITE_GOLDEN";

/// Largest relative difference of two numbers: the last bits of exp, ln and pow differ between mathematical libraries,
/// and a few thousand of them are added up.
const TOLERANCE: f64 = 1e-9;

/// The stored file, after storing `now` in it when that is asked for.
fn stored(name: &str, now: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(name);
    if env::var_os(REWRITE).is_some_and(|value| value == "1") {
        fs::write(&path, now).unwrap();
    }
    fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}; {REWRITE}=1 stores it", path.display()))
}

/// The terminal text and summary.csv of the run.
fn demonstration() -> (String, String) {
    let folder = folder_with(&[]);
    let said = lampledger(folder.path(), &["run", "--trials", "2000", "--seed", "7", "--out", "out"]).well();
    // the digest of the trials changes with the last bit of any number, which the tolerance below forgives
    let digest = result(&folder.path().join("out"))["method"]["trial_digest"].as_str().unwrap()[..12].to_owned();
    assert_eq!(said.out.matches(&digest).count(), 1);
    let text = said.out.replace(&digest, "(not compared)");
    (text, fs::read_to_string(folder.path().join("out/summary.csv")).unwrap())
}

/// The first cell that differs, in words.
fn difference(old: &[Vec<String>], new: &[Vec<String>]) -> Option<String> {
    if old.len() != new.len() {
        return Some(format!("{} rows were stored, {} are there", old.len(), new.len()));
    }
    for (row, (old_row, new_row)) in old.iter().zip(new).enumerate() {
        if old_row.len() != new_row.len() {
            return Some(format!("row {row}: {} cells were stored, {} are there", old_row.len(), new_row.len()));
        }
        for (column, (was, is)) in old_row.iter().zip(new_row).enumerate() {
            let same = match (was.parse::<f64>(), is.parse::<f64>()) {
                (Ok(was), Ok(is)) => was == is || (was - is).abs() <= TOLERANCE * was.abs().max(is.abs()),
                _ => was == is,
            };
            if !same {
                return Some(format!("row {row}, {}: it was {was} and is {is}", old[0][column]));
            }
        }
    }
    None
}

#[test]
fn the_demonstration_says_what_it_said() {
    let (text, summary) = demonstration();
    assert_eq!(text, stored("summary.txt", &text));
    // in a repository the line ends of a text are at the mercy of its settings
    let old = stored("summary.csv", &summary.replace("\r\n", "\n"));
    assert_eq!(difference(&cells(&old), &cells(&summary)), None);
}

#[test]
fn the_comparison_sees_a_difference() {
    let table = |cell: &str| vec![vec!["name".to_owned()], vec![cell.to_owned()]];
    assert_eq!(difference(&table("1.0000000000001"), &table("1")), None);
    assert_eq!(difference(&table("0"), &table("0")), None);
    for (was, is) in [("1", "1.00000001"), ("0", "1e-12"), ("1", ""), ("a", "b"), ("1", "NaN")] {
        assert!(difference(&table(was), &table(is)).is_some(), "{was}, {is}");
    }
    assert!(difference(&table("1"), &table("1")[..1]).is_some());
}
