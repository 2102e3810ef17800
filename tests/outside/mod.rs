//! The engine's own output against numbers from elsewhere; the only place for such numbers.
//!
//! Belongs here: comparisons with the files in `data`, each of which opens with where its numbers come from and why its
//! tolerance is what it is. Does not belong here: laws that hold by themselves (`laws`), and anything that this program
//! has computed: its own output proves nothing.

mod bills;
mod canopy;
mod choice;
mod choice_sensitivity;
mod demo;
mod economic_life;
mod efficacy;
mod exact;
mod fading;
mod finance;
mod flips;
mod kept_exactly;
mod learnt_lives;
mod lives;
mod money;
mod photons;
mod planning;
mod provenance;
mod quantiles;
mod renewal;
mod replacement;
mod samplers;
mod score;
mod statistics;
mod walked_light;
mod watching;
mod workbook;

use serde_json::Value;

/// A data file whose provenance is complete.
fn data(name: &str) -> Value {
    let file = provenance::read(name);
    assert_eq!(provenance::lacking(&file), Vec::<&str>::new(), "{name} lacks provenance");
    serde_json::from_str(&file).unwrap()
}

/// The cases of a data file.
fn cases(file: &Value) -> &[Value] {
    let cases = file["cases"].as_array().unwrap();
    assert!(!cases.is_empty());
    cases
}

/// A number of a data file.
fn number(from: &Value, key: &str) -> f64 {
    from[key].as_f64().unwrap_or_else(|| panic!("no number {key} in {from}"))
}

/// Asserts that two numbers agree to a share of the second.
#[track_caller]
fn assert_close(found: f64, expected: f64, share: f64, what: &str) {
    let off = (found / expected - 1.0).abs();
    assert!(off <= share, "{what}: {found} against {expected}, off by {off:.2e}, allowed {share:.0e}");
}
