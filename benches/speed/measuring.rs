//! What every measurement has in common: the program, the plain SQLite shell, both run in turn and their
//! medians compared. It measures and reports; it asserts no time.

use std::io::Read;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// The day every measurement takes as today.
pub const TODAY: &str = "2026-11-25";

/// What the program sets on the book when it records.
pub const DURABLE: &str = "PRAGMA journal_mode = DELETE; PRAGMA synchronous = EXTRA; PRAGMA foreign_keys = ON;
    PRAGMA recursive_triggers = ON;";

/// The program with a command line on a book.
pub fn runabout(book: &Path, line: &[&str]) -> Command {
    let mut run = Command::new(env!("CARGO_BIN_EXE_runabout"));
    run.args(line).args(["--as-of", TODAY, "--book"]).arg(book);
    run
}

/// The shell with SQL on a book.
pub fn shell(book: &Path, sql: &str) -> Command {
    let mut run = Command::new("sqlite3");
    run.arg(book).arg(sql);
    run
}

/// Whether the shell is here; says so when it is not.
pub fn has_shell() -> bool {
    let found = Command::new("sqlite3").arg("--version").output().is_ok();
    if !found {
        println!("the sqlite3 shell is not on this machine: nothing to compare with");
    }
    found
}

/// Runs both in turn, so that whatever else the machine does falls on both, and compares medians.
pub fn compare(
    what: &str,
    (our_name, mut ours): (&str, Command),
    (their_name, mut theirs): (&str, Command),
    runs: usize,
) {
    let (mut our_times, mut their_times) = (Vec::new(), Vec::new());
    for _ in 0..runs {
        our_times.push(time(&mut ours));
        their_times.push(time(&mut theirs));
    }
    say_ratio(what, (our_name, median(our_times)), (their_name, median(their_times)));
}

/// Says two times and how many times the second the first is.
pub fn say_ratio(what: &str, (our_name, ours): (&str, Duration), (their_name, theirs): (&str, Duration)) {
    println!(
        "{what}: {our_name} {:.2} ms, {their_name} {:.2} ms, ratio {:.2}",
        ours.as_secs_f64() * 1e3,
        theirs.as_secs_f64() * 1e3,
        ours.as_secs_f64() / theirs.as_secs_f64()
    );
}

/// How long one run takes, from starting it to its end.
pub fn time(run: &mut Command) -> Duration {
    let begun = Instant::now();
    let status = run.stdout(Stdio::null()).stderr(Stdio::null()).status().expect("the command runs");
    let taken = begun.elapsed();
    assert!(status.success(), "{run:?} failed");
    taken
}

/// What a command answers.
pub fn answer(run: &mut Command) -> Vec<u8> {
    let output = run.output().expect("the command runs");
    assert!(output.status.success(), "{run:?} failed");
    output.stdout
}

/// The middle one.
pub fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}

/// The most memory a command has had in use, in kB, when it began to answer; Linux alone says. An answer
/// longer than a pipe holds keeps the command waiting meanwhile; after a shorter one it may be gone.
pub fn peak_memory(run: &mut Command) -> Option<u64> {
    if !cfg!(target_os = "linux") {
        return None;
    }
    let mut child = run.stdout(Stdio::piped()).stderr(Stdio::null()).spawn().expect("the command runs");
    let mut answer = child.stdout.take().expect("a pipe");
    answer.read_exact(&mut [0]).expect("an answer");
    let status = std::fs::read_to_string(format!("/proc/{}/status", child.id())).ok();
    answer.read_to_end(&mut Vec::new()).expect("the rest of it");
    child.wait().expect("its end");
    let status = status?;
    status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?.trim().trim_end_matches(" kB").parse().ok()
}
