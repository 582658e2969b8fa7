//! Identities that must hold of anything: checked on random values and random histories.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

#[path = "../common/mod.rs"]
mod common;

mod asking;
mod calendar;
mod command_lines;
mod dates;
mod history;
mod identities;
mod parsers;
mod reckoning;
mod returns;
mod values;
