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
    let mut random = Pcg64::new(0x5255_4E41, 7);
    let (mut told, mut tried) = (Told::default(), BTreeSet::new());
    let (mut kills, mut untold) = (0, 0);
    // The longest it is let run, in microseconds: drawn out or in so that about two in three are killed,
    // however fast the machine is and whatever else it does.
    let mut longest: u64 = 20_000;
    while kills < KILLS {
        let pence = 10_000 + u32::try_from(tried.len()).unwrap();
        tried.insert(pence);
        let mut child = spend(&yard, pence).stdout(Stdio::piped()).stderr(Stdio::null()).spawn().unwrap();
        thread::sleep(Duration::from_micros(random.next_u64() % longest));
        child.kill().unwrap();
        let answer = child.wait_with_output().unwrap();
        told.hear(pence, &answer);
        if answer.status.success() {
            longest = (longest - longest / 50).max(1_000);
            continue;
        }
        longest += longest / 100;
        kills += 1;
        if kills % LOOK_EVERY == 0 {
            untold = told.hold_against(&yard, &tried, 100_000_000);
        }
    }
    assert!(told.count() >= 30, "only {} entries in {} tries: too few to lose", told.count(), tried.len());
    // Killed between the commit and the answer: there, whole, and nobody was told.
    assert!(untold < tried.len() - told.count(), "no kill ever stopped an entry");
}
