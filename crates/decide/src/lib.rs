//! Priced futures to finished numbers: summaries, standard errors, fair races, what may be said.

pub mod result;
