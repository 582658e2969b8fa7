//! Every command as typed: what it records, what it answers, what it refuses.

#[path = "../common/mod.rs"]
mod common;

mod contract;
mod help;
mod recording;
mod refusals;
mod saved;
