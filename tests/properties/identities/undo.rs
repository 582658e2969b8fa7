//! Undo puts every table back as it was; an undo can itself be undone.

use super::record_first;
use crate::common::Yard;
use crate::history::{Dice, What, any_history, history};
use proptest::prelude::*;

/// Tables that say what was typed and changed, and so go on growing.
const LOG: &[&str] = &["entry", "entry_car", "history", "sqlite_sequence"];

fn entries(yard: &Yard) -> i64 {
    let book = rusqlite::Connection::open(yard.book()).expect("the book opens");
    book.query_row("SELECT max(entry_no) FROM entry", [], |row| row.get(0)).expect("entries")
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, failure_persistence: None, ..ProptestConfig::default() })]

    /// Stepping back from the last command to the first finds the book at each step as it was
    /// before it; undoing the last undos, latest first, brings the first commands back.
    #[test]
    fn undo_steps_back_through_every_state((seed, commands) in any_history()) {
        let history = history(seed, commands);
        let yard = record_first(&history, 0);
        let mut states = Vec::new();
        for step in &history.steps {
            states.push(yard.dump_except(LOG));
            yard.ok(&step.line);
        }
        let whole = yard.dump_except(LOG);
        let mut last = whole.clone();
        for (step, before) in history.steps.iter().zip(&states).rev() {
            let ran = yard.run("undo");
            prop_assert_eq!(ran.code, 0, "undoing `{}`: {}\nafter\n{}", &step.line, ran.err, history.typed());
            let now = yard.dump_except(LOG);
            if before.is_empty() {
                prop_assert_eq!(nothing_but_headings(&now), Vec::<String>::new());
            } else {
                prop_assert_eq!(&now, before, "undoing `{}`\nafter\n{}", &step.line, history.typed());
            }
            last = now;
        }
        yard.refused("undo");
        // And forward again, each undo taken back, the latest first.
        let undone = entries(&yard);
        for entry in (undone - 5..=undone).rev() {
            yard.ok(&format!("undo {entry}"));
        }
        prop_assert_eq!(yard.dump_except(LOG), states.get(6).cloned().unwrap_or(whole));
        prop_assert_ne!(yard.dump_except(LOG), last);
        let checked = yard.run("verify");
        prop_assert_eq!(checked.code, 0, "{}\nafter\n{}", checked.out, history.typed());
    }

    /// Any entry either goes, and comes back when its undo is undone, or is refused with the later
    /// entry in its way named.
    #[test]
    fn any_entry_goes_and_comes_back_or_says_what_is_in_the_way((seed, commands) in any_history()) {
        let history = history(seed, commands);
        let yard = history.record();
        let whole = yard.dump_except(LOG);
        let mut dice = Dice::new(!seed);
        for _ in 0..8 {
            let entry = dice.between(1, i64::try_from(commands).expect("few"));
            let ran = yard.run(&format!("undo {entry}"));
            if ran.code == 0 {
                let step = &history.steps[usize::try_from(entry - 1).expect("an entry")];
                // A setting may have been set to what it was.
                let same = matches!(step.what, What::UsuallyPaid);
                prop_assert!(same || yard.dump_except(LOG) != whole, "undoing `{}` changed nothing", step.line);
                yard.ok(&format!("undo {}", entries(&yard)));
            } else {
                prop_assert_eq!(ran.code, 1, "{}", ran.err);
                let later = (entry + 1..=i64::try_from(commands).expect("few"))
                    .any(|other| ran.err.contains(&format!("entry {other}")));
                prop_assert!(later, "undo {}: {}\nafter\n{}", entry, ran.err, history.typed());
            }
            prop_assert_eq!(&yard.dump_except(LOG), &whole, "undo {} and back\nafter\n{}", entry, history.typed());
            let checked = yard.run("verify");
            prop_assert_eq!(checked.code, 0, "{}\nafter\n{}", checked.out, history.typed());
        }
    }
}

/// What is left of the book but the headings every book begins with.
fn nothing_but_headings(rows: &[String]) -> Vec<String> {
    rows.iter().filter(|row| !row.starts_with("heading: ")).cloned().collect()
}
