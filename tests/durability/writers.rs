//! Several writers at once.

use crate::common::Yard;
use crate::told::{TODAY, Told, spend};
use std::collections::BTreeSet;
use std::thread;

const WRITERS: u32 = 8;
const EACH: u32 = 40;

#[test]
fn eight_writers_at_once_lose_nothing_and_none_is_turned_away() {
    let yard = Yard::new(TODAY);
    yard.ok("pay-in 1000000");
    let amounts = |writer: u32| (0..EACH).map(move |number| 10_000 + writer * EACH + number);
    let answers: Vec<_> = thread::scope(|scope| {
        let write = |writer| {
            let yard = &yard;
            scope.spawn(move || {
                amounts(writer).map(|pence| (pence, spend(yard, pence).output().unwrap())).collect::<Vec<_>>()
            })
        };
        let writing: Vec<_> = (0..WRITERS).map(write).collect();
        writing.into_iter().flat_map(|writer| writer.join().unwrap()).collect()
    });
    let mut told = Told::default();
    for (pence, answer) in &answers {
        assert!(answer.status.success(), "turned away: {answer:?}");
        told.hear(*pence, answer);
    }
    let tried: BTreeSet<u32> = (0..WRITERS).flat_map(amounts).collect();
    assert_eq!(told.count(), tried.len());
    assert_eq!(told.hold_against(&yard, &tried, 100_000_000), 0);
}

#[test]
fn a_book_that_does_not_come_free_is_told_of_and_left_as_it_is() {
    let yard = Yard::new(TODAY);
    yard.ok("pay-in 1000000");
    let before = yard.dump();
    let other = rusqlite::Connection::open(yard.book()).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    let answer = spend(&yard, 500).output().unwrap();
    let said = String::from_utf8(answer.stderr).unwrap();
    assert_eq!((answer.status.code(), answer.stdout), (Some(4), Vec::new()), "{said}");
    assert!(said.replace("\n  ", " ").contains("being written by another program"), "{said}");
    drop(other);
    assert_eq!(yard.dump(), before);
    assert!(spend(&yard, 500).output().unwrap().status.success());
}
