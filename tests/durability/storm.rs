//! Killed at random moments: every command that writes, by the clock anywhere from its start to a little after
//! its end, and at any of the calls by which it changes what is on the disk.
//!
//! `RUNABOUT_STORM=2000` in the environment says how many times in all; without it a part is done.

use crate::failing::{Ended, FailingDisk, KILLING, Place};
use crate::tally::{Tally, in_turn};
use crate::trial::{Came, Trial};
use crate::writing::{WRITINGS, Writing};
use rand_pcg::Pcg64;
use rand_pcg::rand_core::Rng;
use std::process::Stdio;
use std::thread;
use std::time::{Duration, Instant};

/// Kills when nothing is said.
const A_PART: u32 = 100;

/// A number below `count`, drawn at random.
fn one_of(count: usize, random: &mut Pcg64) -> usize {
    usize::try_from(random.next_u64() % count.max(1) as u64).unwrap()
}

#[test]
fn whoever_is_killed_loses_nothing_he_was_told_of_and_can_go_on() {
    let said = std::env::var("RUNABOUT_STORM").ok();
    let kills = said.as_ref().map_or(A_PART, |kills| kills.parse().expect("a number of kills"));
    let shares: u32 = WRITINGS.iter().map(|writing| writing.weight).sum();
    let tallies = in_turn(|number, writing| {
        if said.is_none() && writing.weight == 0 {
            return Tally::of(writing.line);
        }
        let share = (kills * writing.weight).div_ceil(shares).max(1);
        storm(writing, share, Pcg64::new(0x5354_4F52, number as u128))
    });
    Tally::tell("killed", &tallies);
}

fn storm(writing: &'static Writing, kills: u32, mut random: Pcg64) -> Tally {
    let mut tally = Tally::of(writing.line);
    let (trial, words, disk) = (Trial::of(writing), writing.words(), FailingDisk::new());
    let place = || Place::with(writing.seed.yard());
    let longest = longest(&place(), &words);
    while tally.killed < kills / 2 {
        let place = place();
        let mut child = place.program(&words).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        let moment = Duration::from_micros(one_of(longest, &mut random) as u64);
        thread::sleep(moment);
        child.kill().unwrap();
        let ended = Ended::of(child.wait_with_output().unwrap());
        judge(&trial, &place, &ended, &format!("after {moment:?}"), &mut tally);
    }
    let calls = KILLING.map(|way| disk.calls(&place(), &words, way.on));
    while tally.killed < kills {
        let way = one_of(KILLING.len(), &mut random);
        let at = one_of(calls[way].len(), &mut random);
        let (place, call) = (place(), &calls[way][at]);
        let ended = disk.run(&place, &words, KILLING[way], at + 1);
        judge(&trial, &place, &ended, &format!("{:?} at call {}, {call}", KILLING[way], at + 1), &mut tally);
    }
    tally
}

/// As long as it takes, and a fifth more, in microseconds.
fn longest(place: &Place, words: &[String]) -> usize {
    let begun = Instant::now();
    assert_eq!(place.run(words).code, Some(0));
    usize::try_from(begun.elapsed().as_micros()).unwrap() * 6 / 5
}

fn judge(trial: &Trial, place: &Place, ended: &Ended, when: &str, tally: &mut Tally) {
    let found = trial.hold(place, ended, true);
    tally.killed += u32::from(ended.code.is_none());
    tally.acknowledged += u32::from(ended.acknowledged);
    tally.untold += u32::from(!ended.acknowledged && found.came == Came::Through);
    if !matches!(ended.code, None | Some(0)) {
        tally.wrong(format!("{when}: {ended:?}"));
    }
    tally.take(when, found);
}
