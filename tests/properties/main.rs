//! Identities that must hold of anything: checked on random values and random histories.

#[path = "../common/mod.rs"]
mod common;

mod history;
mod identities;
mod reckoning;
mod returns;
mod values;
