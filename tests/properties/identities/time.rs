//! What is dated after a day is not seen on that day.

use super::record_first;
use crate::common::Yard;
use crate::history::{Dice, Step, any_history, history};
use chrono::{Datelike, Days, NaiveDate};
use proptest::prelude::*;

/// Every report as of a day, byte for byte, refusals too.
fn reports(yard: &Yard, day: NaiveDate, cars: usize) -> Vec<String> {
    let month = day.with_day(1).expect("a first").pred_opt().expect("an eve").format("%Y-%m");
    let mut typed = vec!["stock".to_owned(), "cash".into(), "month".into(), format!("month {month}"), "results".into()];
    typed.push("tax-year".into());
    typed.extend((1..=cars).map(|car| format!("car {car}")));
    typed
        .iter()
        .map(|command| {
            let ran = yard.run(&format!("{command} --as-of {day} --format json"));
            format!("{command}: {} {}{}", ran.code, ran.out, ran.err)
        })
        .collect()
}

/// The longest run of commands from `first` on that are all dated after one day on or before
/// `latest`, and that day.
fn run_after(steps: &[Step], first: usize, latest: NaiveDate) -> (usize, NaiveDate) {
    let (mut end, mut day) = (first, latest);
    for step in &steps[first..] {
        let eve = step.on - Days::new(1);
        // A command recorded very late would push the day back before most of the book.
        if eve + Days::new(30) < latest {
            break;
        }
        day = day.min(eve);
        end += 1;
    }
    (end, day)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, failure_persistence: None, ..ProptestConfig::default() })]

    /// Reports as of a day are the same to the byte before and after things dated later are
    /// recorded.
    #[test]
    fn later_facts_never_change_an_earlier_day((seed, commands) in any_history()) {
        let history = history(seed, commands);
        let mut dice = Dice::new(!seed);
        let third = i64::try_from(commands / 3).expect("few");
        let first = usize::try_from(dice.between(third, 2 * third)).expect("an index");
        let (end, day) = run_after(&history.steps, first, history.steps[first].on - Days::new(1));
        prop_assert!(end > first);
        let yard = record_first(&history, first);
        // Cars that come in only later are not in the book yet: they are left out.
        let cars = stays_in(&yard);
        let before = reports(&yard, day, cars);
        for step in &history.steps[first..end] {
            yard.ok(&step.line);
        }
        let after = reports(&yard, day, cars);
        for (before, after) in before.iter().zip(&after) {
            let typed: Vec<&str> = history.steps[first..end].iter().map(|step| step.line.as_str()).collect();
            prop_assert_eq!(before, after, "as of {} after\n{}", day, typed.join("\n"));
        }
    }
}

fn stays_in(yard: &Yard) -> usize {
    let book = rusqlite::Connection::open(yard.book()).expect("the book opens");
    let cars: i64 = book.query_row("SELECT count(*) FROM car", [], |row| row.get(0)).expect("a count");
    usize::try_from(cars).expect("few")
}
