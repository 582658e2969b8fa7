//! An error of the disk at every call in turn of every command that writes: what was said is true, and what
//! stands is whole.
//!
//! `RUNABOUT_FAULTS=all` in the environment lets all of them fail in each way; without it a part is done.

use crate::failing::{Ended, FAILING, FailingDisk, Place, Way};
use crate::tally::{Tally, in_turn};
use crate::trial::{Came, Trial};
use crate::writing::WRITINGS;
use std::path::Path;

/// Calls that go wrong for each share of a command when nothing is said.
const A_PART: usize = 2;

/// The most calls of a command that go wrong in one way; evenly spread where it makes more.
const MOST: usize = 400;

/// What an error says when what was asked is, or may be, done all the same.
const LATE: &[&str] = &["runabout log", "is in the book", "is copied to", "is there"];

#[test]
fn what_is_said_of_a_disk_that_fails_is_true() {
    let all = std::env::var_os("RUNABOUT_FAULTS").is_some();
    let tallies = in_turn(|number, writing| {
        let mut tally = Tally::of(writing.line);
        if !all && writing.weight == 0 {
            return tally;
        }
        let disk = FailingDisk::new();
        let calls = |on| disk.calls(&Place::with(writing.seed.yard()), &writing.words(), on);
        let (writes, reads) = (calls("writes"), calls("reads"));
        let of_way = |way: &Way| if way.on == "reads" { &reads } else { &writes };
        let each = |way: &Way| chosen(of_way(way), writing.weight > 1 && *way == FAILING[0]);
        let faults: Vec<(Way, usize)> =
            FAILING.iter().flat_map(|way| each(way).into_iter().map(|at| (*way, at))).collect();
        let some = if all { faults.len() } else { A_PART * writing.weight as usize };
        let trial = Trial::of(writing);
        for fault in spread(faults.len(), some) {
            // Not the same kinds of calls of each command.
            let (way, at) = faults[(fault + number) % faults.len()];
            fail(&trial, &disk, way, (at, of_way(&way)), &mut tally);
        }
        tally
    });
    Tally::tell("with one call that failed", &tallies);
}

/// The journal is gone, and with it the entry is in the book; that this is on the disk is not certain.
#[test]
fn an_entry_that_may_be_in_the_book_keeps_its_receipt() {
    let trial = Trial::of(WRITINGS.iter().find(|writing| writing.line.starts_with("receipt")).unwrap());
    let (disk, mut tally) = (FailingDisk::new(), Tally::of(trial.writing.line));
    let calls = disk.calls(&Place::with(trial.writing.seed.yard()), &trial.writing.words(), "writes");
    let ended = |call: &String| call.starts_with("unlink") && call.ends_with("yard.book-journal");
    let at = calls.iter().rposition(ended).unwrap() + 1;
    fail(&trial, &disk, FAILING[0], (at, &calls), &mut tally);
    assert_eq!((tally.acknowledged, tally.untold), (0, 1));
    Tally::tell("with the call that follows the commit", &[tally]);
}

/// Which calls go wrong: each, or of many of one kind in a row on one file the first, the last and each seventh
/// between.
fn chosen(calls: &[String], each: bool) -> Vec<usize> {
    let kind = |at: usize| calls.get(at).map(|call| (call.split(' ').next(), call.rsplit('/').next()));
    let alike = |at: usize| at > 0 && kind(at) == kind(at - 1) && kind(at) == kind(at + 1);
    let telling: Vec<usize> = (0..calls.len()).filter(|at| each || !alike(*at) || at % 7 == 0).collect();
    spread(telling.len(), MOST).map(|at| telling[at]).collect()
}

/// At most so many of the numbers below `count`, the first and the last among them.
fn spread(count: usize, most: usize) -> impl Iterator<Item = usize> {
    let some = count.min(most);
    (0..some).map(move |turn| if some == 1 { 0 } else { turn * (count - 1) / (some - 1) })
}

fn fail(trial: &Trial, disk: &FailingDisk, way: Way, (at, calls): (usize, &[String]), tally: &mut Tally) {
    let place = Place::with(trial.writing.seed.yard());
    let ended = disk.run(&place, &trial.writing.words(), way, at + 1);
    let when = format!("{} at call {}, {}: {ended:?}", way.how, at + 1, calls[at]);
    tally.failed += 1;
    tally.killed += u32::from(ended.code.is_none());
    tally.acknowledged += u32::from(ended.acknowledged);
    // What could not be taken away again, or was on a disk that is gone, is the next try's to remove.
    let not_removed = [at, at + usize::from(way.how == "short")].map(|at| calls.get(at));
    let removes = |call: &String| call.starts_with("unlink") || is_part(call);
    let not_removed = not_removed.into_iter().flatten().any(removes);
    let said_to_be_left = !trial.writing.follows.is_empty() && ended.err.contains("the same command again");
    let may_leave = not_removed || said_to_be_left || matches!(way.how, "gone" | "torn");
    let found = trial.hold(&place, &ended, may_leave);
    tally.untold += u32::from(!ended.acknowledged && found.came == Came::Through);
    if let Some(why) = untrue(way, &ended, found.came) {
        tally.wrong(format!("{when}: {why}"));
    }
    tally.take(&when, found);
}

/// Whether a call is on the folder of something unfinished, as it is to be emptied.
fn is_part(call: &str) -> bool {
    Path::new(call).extension().is_some_and(|ending| ending == "part")
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
