//! A scenario as written: text with places, links to other files, what-ifs, shape.
//!
//! Floor 1. Nothing here judges a value (the plan does) and nothing opens a file (the door does, through [`Shelf`]).

pub mod fault;
pub mod figure;
pub mod form;
