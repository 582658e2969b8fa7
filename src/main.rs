//! The program: everything is in the library; this ends the process with its exit code.

use runabout::env::Env;
use std::process::ExitCode;

/// Our own fault, by the contract's exit codes.
const OUR_FAULT: u8 = 70;

fn main() -> ExitCode {
    let done = std::panic::catch_unwind(|| runabout::app::run(&mut Env::real()));
    ExitCode::from(done.unwrap_or(OUR_FAULT))
}
