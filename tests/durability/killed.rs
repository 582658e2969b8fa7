//! Killed at random moments while it records.

use crate::common::Yard;
use crate::told::{TODAY, Told, spend};
use rand_pcg::Pcg64;
use rand_pcg::rand_core::Rng;
use std::collections::BTreeSet;
use std::process::Stdio;
use std::thread;
use std::time::Duration;

/// How often it is killed before it is done.
const KILLS: u32 = 300;
/// Kills between two looks at the whole book.
const LOOK_EVERY: u32 = 25;

#[test]
fn no_entry_it_told_of_is_lost_and_none_is_there_by_half() {
    let yard = Yard::new(TODAY);
    yard.ok("pay-in 1000000");
    let journal = yard.folder().join("yard.book-journal");
    // Long, so that an entry is many pages and there is much to be cut in half.
    let note = "as agreed ".repeat(45);
    let mut random = Pcg64::new(0x5255_4E41, 7);
    let (mut told, mut tried) = (Told::default(), BTreeSet::new());
    let (mut kills, mut untold) = (0, 0);
    // The longest it is let run, in microseconds, from its start and from its journal: drawn out or in so that
    // about two in three are killed, however fast the machine is and whatever else it does.
    let mut longest = [20_000, 20_000];
    while kills < KILLS {
        let pence = 10_000 + u32::try_from(tried.len()).unwrap();
        let turn = tried.len() % 2;
        tried.insert(pence);
        let mut recording = spend(&yard, pence);
        recording.args(["--note", &note]).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = recording.spawn().unwrap();
        // Every other time its time begins with the journal, when it has begun to write.
        while turn == 0 && !journal.exists() && child.try_wait().unwrap().is_none() {
            thread::yield_now();
        }
        let longest: &mut u64 = &mut longest[turn];
        thread::sleep(Duration::from_micros(random.next_u64() % *longest));
        child.kill().unwrap();
        let answer = child.wait_with_output().unwrap();
        told.hear(pence, &answer);
        if answer.status.success() {
            *longest = (*longest - *longest / 25).max(1_000);
            continue;
        }
        assert_eq!(answer.status.code(), None, "refused: {answer:?}");
        *longest += *longest / 50;
        kills += 1;
        if kills % LOOK_EVERY == 0 {
            untold = told.hold_against(&yard, &tried, 100_000_000);
        }
    }
    assert!(told.count() >= 30, "only {} entries in {} tries: too few to lose", told.count(), tried.len());
    // Killed between the commit and the answer: there, whole, and nobody was told.
    assert!(untold < tried.len() - told.count(), "no kill ever stopped an entry");
}
