//! What was seen of each command, told at the end, and what was wrong of all of them.

use crate::trial::Found;
use crate::writing::{WRITINGS, Writing};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// How many commands are tried at once.
const AT_ONCE: usize = 2;

/// The most that is told of what was wrong with a command, and of one try of it.
const MOST_WRONG: usize = 12;
const MOST_OF_A_TRY: usize = 3;

/// What was seen of a command.
#[derive(Debug, Default)]
pub struct Tally {
    line: &'static str,
    /// Calls that went wrong.
    pub failed: u32,
    pub killed: u32,
    /// Said to be done, before a kill or in spite of it.
    pub acknowledged: u32,
    /// Done, and nobody was told.
    pub untold: u32,
    half: u32,
    blocked: u32,
    wrong: Vec<String>,
}

impl Tally {
    pub fn of(line: &'static str) -> Self {
        Self { line, ..Self::default() }
    }

    pub fn wrong(&mut self, what: String) {
        self.wrong.push(what);
    }

    pub fn take(&mut self, when: &str, found: Found) {
        self.half += u32::from(!found.half.is_empty());
        self.blocked += u32::from(!found.blocked.is_empty());
        let first = |all: Vec<String>| all.into_iter().take(MOST_OF_A_TRY);
        self.wrong.extend(first(found.half).map(|what| format!("{when}: {what}")));
        self.wrong.extend(first(found.blocked).map(|what| format!("again, {when}: {what}")));
    }

    /// Tells the figures of all commands, and fails if anything was wrong with any.
    #[allow(clippy::print_stderr, reason = "the figures of a documented run are what it is for")]
    pub fn tell(what: &str, tallies: &[Self]) {
        eprintln!(
            "\n{:>7} {:>7} {:>7} {:>7} {:>7} {:>7}  {what}",
            "failed", "killed", "told", "untold", "half", "blocked"
        );
        let sum = |of: fn(&Self) -> u32| tallies.iter().map(of).sum();
        let all = Self {
            line: "all",
            failed: sum(|tally| tally.failed),
            killed: sum(|tally| tally.killed),
            acknowledged: sum(|tally| tally.acknowledged),
            untold: sum(|tally| tally.untold),
            half: sum(|tally| tally.half),
            blocked: sum(|tally| tally.blocked),
            wrong: Vec::new(),
        };
        for tally in tallies.iter().chain([&all]) {
            let Self { line, failed, killed, acknowledged, untold, half, blocked, .. } = tally;
            eprintln!("{failed:>7} {killed:>7} {acknowledged:>7} {untold:>7} {half:>7} {blocked:>7}  {line}");
        }
        let of_one = |tally: &Self| {
            let told = tally.wrong.iter().take(MOST_WRONG).map(|wrong| format!("`{}` {wrong}", tally.line));
            told.collect::<Vec<_>>()
        };
        let wrong: Vec<String> = tallies.iter().flat_map(of_one).collect();
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    }
}

/// Tries each command that writes, a few at once; gives what was seen, in their order. `RUNABOUT_ONLY=backup` in
/// the environment leaves out all that do not begin so.
pub fn in_turn(work: impl Fn(usize, &'static Writing) -> Tally + Sync) -> Vec<Tally> {
    let only = std::env::var("RUNABOUT_ONLY").unwrap_or_default();
    let (next, done) = (AtomicUsize::new(0), Mutex::new(Vec::new()));
    thread::scope(|scope| {
        for _ in 0..AT_ONCE {
            scope.spawn(|| {
                loop {
                    let number = next.fetch_add(1, Ordering::Relaxed);
                    let Some(writing) = WRITINGS.get(number) else { break };
                    if writing.line.starts_with(&only) {
                        let tally = work(number, writing);
                        done.lock().unwrap().push((number, tally));
                    }
                }
            });
        }
    });
    let mut done = done.into_inner().unwrap();
    done.sort_by_key(|(number, _)| *number);
    done.into_iter().map(|(_, tally)| tally).collect()
}
