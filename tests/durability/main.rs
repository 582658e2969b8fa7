//! Nothing is lost: the real program killed while it records, with seven others beside it, and on disks
//! that fail.
//!
//! Every command that writes has a row in `writing.rs`: how it is typed, where, and what it is there to write. A
//! test compares the rows with the program's own commands, their `--dry-run` and the files their options name, so
//! that a new one gets a row or is named among those that only look. `trial.rs` holds what stands after a command
//! that was stopped against what stands before it, once it is done, and once it is typed twice: nothing
//! acknowledged lost, nothing half, no stranger's file touched, and the very same command does what is left to do.
//! `storm.rs` kills each by the clock and at any call by which it changes the disk; `faults.rs` lets one call after
//! another go wrong, in five ways, and those that read. Both set `failing_io.c`, compiled with `cc`, before the C
//! library. Without being told they do a part; a documented run does all of it, prints a line a command and takes
//! half an hour of processor time:
//!
//! ```text
//! RUNABOUT_STORM=2000 cargo test --test durability whoever -- --nocapture      # so many kills
//! RUNABOUT_FAULTS=all cargo test --test durability what_is_said -- --nocapture # each call
//! RUNABOUT_ONLY=backup …                                                       # of commands that begin so
//! ```
//!
//! `damaged` harms copies of the test yard's book by a seed, in each way of `damage.rs`, and types every command at
//! them: no 70, no panic, none that does not come back, and `verify` never says well of a book that says something
//! else. `RUNABOUT_DAMAGED=1000 cargo test --test durability damaged` tries so many, every command in every format
//! on each; without it 150 and a part of the commands.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

#[path = "../common/mod.rs"]
mod common;

mod damage;
mod damaged;
#[cfg(target_os = "linux")]
mod failing;
#[cfg(target_os = "linux")]
mod faults;
#[cfg(unix)]
mod full;
mod killed;
#[cfg(target_os = "linux")]
mod stands;
#[cfg(target_os = "linux")]
mod storm;
#[cfg(target_os = "linux")]
mod tally;
mod told;
#[cfg(target_os = "linux")]
mod trial;
mod writers;
#[cfg(target_os = "linux")]
mod writing;
#[cfg(target_os = "linux")]
mod yards;
