//! Rates in the open URDB form, read into our own. All rates are invented.
#![allow(clippy::unwrap_used)]

mod bench;
mod import_faults;
mod import_laws;
mod import_rates;
mod import_remarks;
