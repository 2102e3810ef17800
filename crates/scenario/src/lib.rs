//! A scenario as written: text with places, links to other files, what-ifs, shape.
//!
//! Floor 1. Nothing here judges a value (the plan does) and nothing opens a file (the door does, through [`Shelf`]).
//!
//! [`gather`] is the way in. It reads the top page strictly, puts every linked page in the place of its link, applies
//! the what-ifs, checks the shape and hands back the [`form`]; or every fault it found, with the [`Sources`] that can
//! show where each of them stands.

mod canonical;
pub mod fault;
pub mod figure;
pub mod form;
mod gather;
pub mod import;
mod lines;
mod place;
mod pointer;
mod schema;
mod shape;
mod shelf;
mod show;
mod sources;
mod strict;
mod unions;
mod weave;
mod what_if;
mod words;

pub use canonical::canonical;
pub use gather::{Faulty, Gathered, gather};
pub use schema::{grid_schema, lamp_schema, prices_schema, schema, tariff_schema};
pub use shelf::{LARGEST_PAGE, Page, Shelf};
pub use sources::{Location, PlainFault, Sources};
pub use what_if::WhatIf;
pub use words::{MONTHS, harmless, nearest};
