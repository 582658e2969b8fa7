//! The pre-sale list of one car, whole from the day it is bought: what was said of each item, and the one an
//! MOT test answers by itself.

use crate::domain::book::dated_facts::{CarCheck, MotTest};
use crate::domain::book::facts::Car;
use crate::domain::book::stay::Left;
use crate::domain::days::day::long;
use crate::domain::value::checklist::{CheckState, ITEMS, Item};
use crate::domain::value::numbers::EntryNo;
use chrono::NaiveDate;

/// The item that a test answers.
const MOT: &str = "mot";

/// How an item stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ItemStanding {
    /// The item.
    pub item: &'static Item,
    /// Done, not needed, or not done, as each is at the start.
    pub state: CheckState,
    /// The day that was said or tested; none at the start.
    pub on: Option<NaiveDate>,
    /// A note.
    pub note: Option<String>,
}

impl ItemStanding {
    /// Whether it is still to be seen to.
    pub fn is_open(&self) -> bool {
        self.state == CheckState::NotDone
    }
}

/// What there is to go by for a car's list.
#[derive(Clone, Copy, Debug)]
pub struct Known<'k> {
    /// The car.
    pub car: &'k Car,
    /// The latest word on each item.
    pub said: &'k [CarCheck],
    /// Its vehicle's tests, oldest first.
    pub tests: &'k [MotTest],
    /// The last day of the certificate known.
    pub mot_until: Option<NaiveDate>,
    /// The fewest days of MOT that the trader wants a car sold with.
    pub minimum_mot_days: Option<i64>,
}

/// The list as it stands on `day`, in order, every item of it. A car bought again begins a new one; one that a
/// buyer brought back keeps its own.
pub fn whole_list(known: &Known<'_>, day: NaiveDate) -> Vec<ItemStanding> {
    let standing = |item: &'static Item| {
        let said = known.said.iter().find(|check| check.item == item.word).map(Word::from);
        let tested = if item.word == MOT { tested(known, day) } else { None };
        match said.into_iter().chain(tested).max_by_key(|word| (word.on, word.entry)) {
            Some(Word { state, on, note, .. }) => ItemStanding { item, state, on: Some(on), note },
            None => ItemStanding { item, state: CheckState::NotDone, on: None, note: None },
        }
    };
    ITEMS.iter().map(standing).collect()
}

/// Something that was said of an item, or that a test says.
struct Word {
    on: NaiveDate,
    entry: EntryNo,
    state: CheckState,
    note: Option<String>,
}

impl From<&CarCheck> for Word {
    fn from(check: &CarCheck) -> Self {
        Self { on: check.on, entry: check.entry, state: check.state, note: check.note.clone() }
    }
}

/// What the last test of this stay says: a pass that leaves a buyer long enough is the item done.
fn tested(known: &Known<'_>, day: NaiveDate) -> Option<Word> {
    // When it was sold is when it mattered: a certificate that ran out since takes nothing away.
    let day = known.car.left_by(day).map_or(day, Left::on);
    let of_this_stay =
        |test: &&MotTest| test.on <= day && (test.on, test.entry) >= (known.car.bought_on, known.car.entry);
    let last = known.tests.iter().rfind(of_this_stay)?;
    let (state, note) = match known.mot_until.filter(|_| last.passed) {
        None => (CheckState::NotDone, "failed".to_owned()),
        Some(until) if until < day => (CheckState::NotDone, format!("passed, and ran out on {}", long(until))),
        Some(until) => match known.minimum_mot_days {
            Some(minimum) if (until - day).num_days() < minimum => {
                (CheckState::NotDone, format!("passed, but only until {}", long(until)))
            }
            _ => (CheckState::Done, format!("passed, until {}", long(until))),
        },
    };
    Some(Word { on: last.on, entry: last.entry, state, note: Some(note) })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::fixture::{bought, day};

    fn test(entry: EntryNo, on: &str, until: Option<&str>) -> MotTest {
        MotTest {
            mot_test_no: entry,
            entry,
            on: day(on),
            passed: until.is_some(),
            until: until.map(day),
            miles: None,
            defects: Vec::new(),
        }
    }

    fn said(entry: EntryNo, state: CheckState, on: &str) -> CarCheck {
        CarCheck { item: MOT.into(), state, entry, on: day(on), note: None }
    }

    /// How the item of the MOT stands on a day of a car bought on the 1st of October by entry 1.
    fn mot(said: &[CarCheck], tests: &[MotTest], minimum_mot_days: Option<i64>, on: &str) -> (CheckState, String) {
        let car = bought(1, "2026-10-01", 385);
        let mot_until = tests.iter().rev().find_map(|test| test.until);
        let list = whole_list(&Known { car: &car, said, tests, mot_until, minimum_mot_days }, day(on));
        let item = list.into_iter().find(|standing| standing.item.word == MOT).unwrap();
        (item.state, item.note.unwrap_or_default())
    }

    #[test]
    fn every_item_is_on_it_from_the_start() {
        let car = bought(1, "2026-10-01", 385);
        let known = Known { car: &car, said: &[], tests: &[], mot_until: None, minimum_mot_days: None };
        let list = whole_list(&known, day("2026-10-01"));
        assert_eq!(list.len(), ITEMS.len());
        assert!(list.iter().all(|standing| standing.is_open() && standing.on.is_none()));
    }

    #[test]
    fn a_pass_of_this_stay_does_its_own_item_while_it_leaves_long_enough() {
        let passed = test(2, "2026-10-09", Some("2027-10-08"));
        for (minimum, on, wanted) in [
            (None, "2026-10-08", (CheckState::NotDone, "")),
            (None, "2026-10-09", (CheckState::Done, "passed, until 8 Oct 2027")),
            (None, "2027-10-08", (CheckState::Done, "passed, until 8 Oct 2027")),
            (None, "2027-10-09", (CheckState::NotDone, "passed, and ran out on 8 Oct 2027")),
            (Some(90), "2027-07-10", (CheckState::Done, "passed, until 8 Oct 2027")),
            (Some(90), "2027-07-11", (CheckState::NotDone, "passed, but only until 8 Oct 2027")),
        ] {
            let (state, note) = mot(&[], std::slice::from_ref(&passed), minimum, on);
            assert_eq!((state, note.as_str()), wanted, "{minimum:?} {on}");
        }
        let before_it_was_bought = test(0, "2026-10-01", Some("2027-09-30"));
        assert_eq!(mot(&[], &[before_it_was_bought], None, "2026-10-20").0, CheckState::NotDone);
    }

    #[test]
    fn of_a_test_and_what_was_said_the_later_counts() {
        let (passed, failed) = (test(2, "2026-10-09", Some("2027-10-08")), test(4, "2026-10-12", None));
        let tests = [passed, failed];
        let on = "2026-10-20";
        assert_eq!(mot(&[], &tests, None, on), (CheckState::NotDone, "failed".into()));
        for (entry, state, said_on, wanted) in [
            (3, CheckState::Done, "2026-10-10", CheckState::NotDone),
            (3, CheckState::Done, "2026-10-12", CheckState::NotDone),
            (5, CheckState::Done, "2026-10-12", CheckState::Done),
            (5, CheckState::NotNeeded, "2026-10-13", CheckState::NotNeeded),
        ] {
            assert_eq!(mot(&[said(entry, state, said_on)], &tests, None, on).0, wanted, "{entry} {said_on}");
        }
        let doubted = [said(3, CheckState::NotDone, "2026-10-09")];
        assert_eq!(mot(&doubted, &tests[..1], None, on).0, CheckState::NotDone);
    }
}
