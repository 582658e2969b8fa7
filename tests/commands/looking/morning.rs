//! `runabout` alone: five lines without a book, the morning screen with one.

use crate::common::{Yard, has_keys};

#[test]
fn without_a_book_five_lines_say_how_to_begin() {
    let yard = Yard::new("2026-11-25");
    let said = yard.ok("");
    assert_eq!(said.out.lines().count(), 5, "{}", said.out);
    assert!(said.out.lines().all(|line| line.len() <= 80));
    for begins in ["runabout pay-in 1,850", "runabout demo", "runabout help"] {
        assert!(said.out.contains(begins), "{begins}");
    }
    assert!(!yard.book().exists());
    // A program that asks is told that there is nothing to read.
    assert_eq!(yard.run("-f json").code, 4);
}

#[test]
fn the_morning_is_one_screen_and_agrees_with_the_commands_it_is_made_of() {
    let yard = Yard::filled();
    let shown = yard.run_at("", 80).out;
    assert!(shown.lines().count() <= 24, "{} lines:\n{shown}", shown.lines().count());
    let at = |what: &str| shown.find(what).unwrap_or_else(|| panic!("no {what} in\n{shown}"));
    assert!(at("11 dates, 4 overdue. 6 more: `runabout due`.") < at("2 cars in stock"));
    assert!(at("2 cars in stock") < at("The float is ") && at("The float is ") < at("The next slot, in Dec 2026"));
    let morning = yard.json("");
    has_keys(&morning, "report version as_of due stock cash next_slot");
    assert_eq!(morning["report"], "morning");
    for part in ["due", "stock", "cash"] {
        assert_eq!(morning[part], yard.json(part), "{part}");
    }
    assert_eq!(morning["next_slot"], yard.json("programme")["next_slot"]);
    // As a list it is what is due.
    assert_eq!(yard.ok("-f csv").out, yard.ok("due -f csv").out);
}

#[test]
fn a_full_yard_is_cut_to_the_screen_and_says_so() {
    let yard = Yard::new("2026-11-25");
    for (n, letter) in ('A'..='H').enumerate() {
        yard.ok(&format!(
            "buy AB91CD{letter} {}35 --on 1/10/2026 --make Brindle --model \"Harrow of a long name\"",
            n + 1
        ));
    }
    let shown = yard.run_at("", 80).out;
    let sentence = shown.replace('\n', " ");
    assert!(sentence.contains("8 cars in stock") && sentence.contains("; 4 more: `runabout stock`."), "{shown}");
    assert!(shown.lines().count() <= 24, "{} lines:\n{shown}", shown.lines().count());
}

#[test]
fn what_goes_out_by_itself_is_not_what_to_do_first() {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 500");
    yard.ok("standing add \"yard rent\" 95 --every month --from 1/12/2026");
    let shown = yard.ok("").out;
    assert!(shown.contains("£95.00 rent goes out by itself"), "{shown}");
    assert!(
        !shown.contains("First, yard rent") && shown.ends_with("`runabout buy MARK PRICE` records a car.\n"),
        "{shown}"
    );
}
