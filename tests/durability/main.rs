//! Nothing is lost: the real program killed while it records, with seven others beside it, and on disks
//! that fail.

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
