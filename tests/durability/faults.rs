//! An error of the disk at every call in turn of every command that writes: what was said is true, and what
//! stands is whole.
//!
//! `RUNABOUT_FAULTS=all` in the environment lets each call fail in each way; without it a part is done.

use crate::failing::{Ended, FAILING, FailingDisk, Place, Way};
use crate::tally::{Tally, in_turn};
use crate::trial::{Came, Trial};
use crate::writing::WRITINGS;

/// Calls that go wrong for each share of a command when nothing is said.
const A_PART: usize = 2;

/// The most calls that go wrong in one way, of commands that make thousands of the same: evenly spread.
const MOST: usize = 400;

/// What an error says when what was asked is, or may be, done all the same.
const LATE: &[&str] = &["runabout log", "is in the book", "is there"];

#[test]
fn what_is_said_of_a_disk_that_fails_is_true() {
    let all = std::env::var_os("RUNABOUT_FAULTS").is_some();
    let tallies = in_turn(WRITINGS, |number, writing| {
        let mut tally = Tally::of(writing.line);
        if !all && writing.weight == 0 {
            return tally;
        }
        let disk = FailingDisk::new();
        let calls = |on| disk.calls(&Place::with(writing.seed.yard()), &writing.words(), on);
        let (writes, reads) = (calls("writes"), calls("reads"));
        let of_way = |way: &Way| if way.on == "reads" { &reads } else { &writes };
        let faults: Vec<(Way, usize)> =
            FAILING.iter().flat_map(|way| spread(of_way(way).len(), MOST).map(|at| (*way, at))).collect();
        let some = if all { faults.len() } else { A_PART * writing.weight as usize };
        let trial = Trial::of(writing);
        for fault in spread(faults.len(), some) {
            // Not the same kinds of calls of each command.
            let (way, at) = faults[(fault + number) % faults.len()];
            fail(&trial, &disk, way, (at, &of_way(&way)[at]), &mut tally);
        }
        tally
    });
    Tally::tell("with one call that failed", &tallies);
}

/// At most so many of the numbers below `count`, the first and the last among them.
fn spread(count: usize, most: usize) -> impl Iterator<Item = usize> {
    let some = count.min(most);
    (0..some).map(move |turn| if some == 1 { 0 } else { turn * (count - 1) / (some - 1) })
}

fn fail(trial: &Trial, disk: &FailingDisk, way: Way, (at, call): (usize, &str), tally: &mut Tally) {
    let place = Place::with(trial.writing.seed.yard());
    let ended = disk.run(&place, &trial.writing.words(), way, at + 1);
    let when = format!("{} at call {}, {call}: {ended:?}", way.how, at + 1);
    tally.failed += 1;
    tally.killed += u32::from(ended.code.is_none());
    tally.acknowledged += u32::from(ended.acknowledged);
    // What could not be taken away again, or was on a disk that is gone, is the next try's to remove.
    let hit = ended.hit.clone().unwrap_or_default();
    let may_leave = matches!(way.how, "gone" | "torn") || hit.starts_with("unlink");
    let found = trial.hold(&place, &ended, may_leave);
    tally.untold += u32::from(!ended.acknowledged && found.came == Came::Through);
    if let Some(why) = untrue(way, &ended, found.came) {
        tally.wrong(format!("{when}: {why}"));
    }
    tally.take(&when, found);
}

/// What is not true of what was said, if anything.
fn untrue(way: Way, ended: &Ended, came: Came) -> Option<&'static str> {
    let Some(code) = ended.code else { return (way.how != "torn").then_some("it was killed") };
    if ended.hit.is_none() {
        return Some("nothing went wrong");
    }
    match code {
        0 => return None,
        1 | 4 => {}
        _ => return Some("an exit code of something else"),
    }
    if !ended.err.starts_with("error: ") || ended.err.contains("report this") {
        return Some("no error of the disk's");
    }
    let says_so = LATE.iter().any(|words| ended.err.contains(words)) && !ended.err.contains("nothing was recorded");
    (came == Came::Through && !says_so).then_some("it is done, and the error does not say so")
}
