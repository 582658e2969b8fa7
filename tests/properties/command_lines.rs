//! Command lines at random, most of them as a trader could type them, one after another on the test yard:
//! none is our fault, none panics, none hangs, one that is refused leaves the book as it is, and the
//! book is well at the end.
//!
//! 600 lines by default. `RUNABOUT_LINES=20000 cargo test --test properties command_lines -- --nocapture` types
//! as many and says what came of them; `RUNABOUT_SEED` begins somewhere else.

#![allow(clippy::print_stdout, clippy::print_stderr, reason = "whoever asks for a long run reads what came of it")]

use crate::common::lines::{Typist, leaves, with_files};
use crate::common::{Yard, rows_of};
use std::collections::BTreeMap;
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::abort;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// Lines typed on one book before another yard is begun: one that has grown for ever is slow.
const LINES_A_YARD: usize = 300;
/// No line may take longer, on a machine that is busy with other things too.
const LONGEST: Duration = Duration::from_secs(120);
/// How often out of a hundred a command that draws or copies a whole book is typed when it comes up.
const SELDOM: &[(&str, usize)] =
    &[("demo", 0), ("page", 5), ("forecast", 20), ("restore", 10), ("close", 10), ("backup", 20), ("export", 20)];

fn number(name: &str, otherwise: usize) -> usize {
    std::env::var(name).ok().and_then(|number| number.parse().ok()).unwrap_or(otherwise)
}

/// The rows of the book as it was: the file may be made anew with the same rows in it, as `forget` does.
fn rows_before(yard: &Yard, before: &[u8]) -> Vec<String> {
    let path = yard.folder().join("before.book");
    fs::write(&path, before).unwrap();
    rows_of(&path, &[])
}

/// Ends the test when one line takes too long, and says which.
fn watch() -> Arc<Mutex<(Instant, Vec<String>)>> {
    let now = Arc::new(Mutex::new((Instant::now(), Vec::new())));
    let seen = Arc::clone(&now);
    std::thread::spawn(move || {
        loop {
            std::thread::sleep(Duration::from_secs(1));
            // The test is over.
            if Arc::strong_count(&seen) == 1 {
                return;
            }
            let (since, words) = &*seen.lock().unwrap();
            if since.elapsed() > LONGEST {
                eprintln!("no end after {} s: {words:?}", since.elapsed().as_secs());
                abort();
            }
        }
    });
    now
}

#[test]
fn no_line_is_our_fault() {
    let (lines, seed) = (number("RUNABOUT_LINES", 600), number("RUNABOUT_SEED", 1));
    let now = watch();
    let leaves = leaves();
    let mut codes: BTreeMap<u8, usize> = BTreeMap::new();
    let mut refused: BTreeMap<String, usize> = BTreeMap::new();
    let (mut wrong, mut typed, mut slowest) = (Vec::new(), 0, (Duration::ZERO, Vec::new()));
    for round in 0.. {
        if typed >= lines {
            break;
        }
        let mut yard = Yard::filled();
        yard.turn_to("2026-11-30");
        with_files(yard.folder());
        let mut typist = Typist::new((seed * 1_000_003 + round) as u64, yard.folder());
        let first = yard.folder().join("first.book");
        fs::copy(yard.book(), &first).unwrap();
        let end = lines.min(typed + LINES_A_YARD);
        while typed < end {
            let leaf = &leaves[typist.below(leaves.len())];
            let name = leaf.name();
            let often = SELDOM.iter().find(|(seldom, _)| *seldom == name).map_or(100, |(_, often)| *often);
            if typist.below(100) >= often {
                continue;
            }
            let mut words = typist.line(leaf);
            match name.as_str() {
                "restore" => words = vec![name.clone(), first.display().to_string()],
                "forecast" if !words.iter().any(|word| word == "--runs") => {
                    words.extend(["--runs".to_owned(), "40".to_owned()]);
                }
                _ => {}
            }
            match typist.below(8) {
                0 => words.extend(["-f".to_owned(), ["json", "csv", "table"][typist.below(3)].to_owned()]),
                1 if typist.below(4) == 0 => words.extend(["--as-of".to_owned(), "2026-10-15".to_owned()]),
                2 if leaf.records() => words.push("--dry-run".to_owned()),
                _ => {}
            }
            typed += 1;
            *now.lock().unwrap() = (Instant::now(), words.clone());
            let before = fs::read(yard.book()).unwrap();
            let began = Instant::now();
            let ran = catch_unwind(AssertUnwindSafe(|| yard.run_words(&words)));
            if began.elapsed() > slowest.0 {
                slowest = (began.elapsed(), words.clone());
            }
            let Ok(ran) = ran else {
                wrong.push(format!("{words:?} panicked"));
                continue;
            };
            *codes.entry(ran.code).or_default() += 1;
            if matches!(ran.code, 1 | 2) {
                *refused.entry(name).or_default() += 1;
            }
            if !matches!(ran.code, 0..=3) {
                wrong.push(format!("{words:?} gave {}: {}{}", ran.code, ran.out, ran.err));
            }
            let tried = words.iter().any(|word| word == "--dry-run");
            let same = || fs::read(yard.book()).unwrap() == before || rows_before(&yard, &before) == yard.dump();
            if (matches!(ran.code, 1 | 2) || tried) && !same() {
                wrong.push(format!("{words:?} gave {} and touched the book: {}", ran.code, ran.err));
            }
        }
        let well = yard.run("verify");
        if well.code != 0 {
            wrong.push(format!("round {round} of seed {seed} ends with: {}{}", well.out, well.err));
        }
    }
    println!("{typed} lines, by exit code {codes:?}; the slowest took {:?}: {:?}", slowest.0, slowest.1);
    println!("refused, by command: {refused:?}");
    assert!(wrong.is_empty(), "{} of {typed}:\n{}", wrong.len(), wrong.join("\n"));
    let done = codes.get(&0).copied().unwrap_or_default();
    assert!(done * 10 > typed * 4, "too few lines that can be carried out to say anything: {codes:?}");
}
