//! Every command as typed: what it records, what it answers, what it refuses.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

#[path = "../common/mod.rs"]
mod common;

mod book_file;
mod line;
mod looking;
mod recording;
