//! Every test of the whole program, in one binary. What a module is for stands at its head.
#![allow(clippy::unwrap_used, missing_docs)]

mod support;

mod broken;
mod browser;
mod cli;
mod floors;
mod golden;
mod laws;
mod outside;
mod repeat;
