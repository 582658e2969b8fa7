//! `amend` with a fact's name inside a value, and with several facts at once.

use crate::common::Yard;

fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    for line in [
        "pay-in 2000 --on 1/9/2026",
        "buy TU12RTO 385 --on 3/10/2026 --make Brindle",
        "spend 15 parts --car 1 --on 5/10/2026 --to \"Hob Lane Spares\"",
        "spend 27.50 fuel --car 1 --on 6/10/2026",
    ] {
        yard.ok(line);
    }
    yard
}

#[test]
fn a_facts_name_inside_a_value_is_refused_in_a_script_with_both_readings() {
    let yard = yard();
    let said = yard.refused("amend 2 make Tamsin model Pike").err;
    for words in [
        "error: 'model' in 'Tamsin model Pike' could be part of the make, or another fact of entry 2\n",
        "several facts: `runabout amend 2 make Tamsin model Pike --pairs`\n",
        "one fact: `runabout amend 2 make \"Tamsin model Pike\"`\n",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    assert_eq!(yard.refused("amend 2 make Tamsin model Pike --yes").code, 1);
    // Both lines that are offered do what they say.
    yard.ok("amend 2 make Tamsin model Pike --pairs");
    assert_eq!(yard.json("car 1")["description"], "Tamsin Pike");
    yard.ok("amend 2 make \"Tamsin model Pike\"");
    assert_eq!(yard.json("car 1")["description"], "Tamsin model Pike Pike");
}

#[test]
fn a_facts_name_inside_a_value_is_asked_about_on_a_terminal() {
    let yard = yard();
    let asked = yard.run_answering("amend 2 make Tamsin model Pike", &["y"]);
    assert_eq!(asked.code, 0, "{}", asked.err);
    assert!(asked.err.contains("Are these 2 facts: make Tamsin, model Pike? [y/N] "), "{}", asked.err);
    assert_eq!(yard.json("car 1")["description"], "Tamsin Pike");
    let before = yard.dump();
    let left = yard.run_answering("amend 2 make Corvane model Lark", &["n"]);
    assert_eq!((left.code, yard.dump() == before), (1, true), "{}", left.err);
    assert!(left.err.contains("one fact: `runabout amend 2 make \"Corvane model Lark\"`"), "{}", left.err);
    // A name at the end has no value yet.
    let left = yard.run_answering("amend 2 make Corvane model", &[]);
    assert!(left.err.contains("make Corvane model VALUE --pairs"), "{}", left.err);
    assert!(!left.err.contains("[y/N]"), "{}", left.err);
}

#[test]
fn words_with_one_reading_are_taken_as_that() {
    let yard = yard();
    for (line, said) in [
        ("amend 2 price 420 on 2/10 make Tamsin colour blue --pairs", "price is now £420.00, was £385.00"),
        ("amend 2 price 430 on 1/10", "price is now £430.00, was £420.00; on is now 1 Oct 2026, was 2 Oct 2026"),
        ("amend 3 note taken to the garage on the bridge", "note is now taken to the garage on the bridge"),
        ("amend 3 to Hob Lane", "to is now Hob Lane, was Hob Lane Spares"),
        ("amend 3 amount 16 to Hob Lane", "amount is now £16.00, was £15.00; to is Hob Lane as before"),
    ] {
        let out = yard.ok(line).out.replace('\n', " ");
        assert!(out.contains(said), "`{line}`: {out}");
    }
    assert_eq!(yard.json("car 1")["lines"][0]["on"], "2026-10-01");
}

#[test]
fn several_facts_are_one_entry_and_all_or_none() {
    let yard = yard();
    let entries = || yard.json("log")["entries"].as_array().unwrap().len();
    let before = entries();
    yard.ok("amend 3 amount 16 on 4/10");
    assert_eq!(entries(), before + 1);
    yard.ok("undo");
    assert_eq!(yard.json("car 1")["lines"][1]["amount"], "15.00");
    for (line, said) in [
        ("amend 3 amount 16 on 31/13", "31/13"),
        ("amend 3 amount 16 heading zebra", "no heading 'zebra'"),
        ("amend 3 amount 16 amount 17", "amount is named twice"),
        ("amend 3 amount 15 to Hob Lane Spares --pairs", "nothing would change"),
        ("amend 3 amount x on 4/10", "amount 'x on 4/10'"),
    ] {
        let refused = yard.refused(line).err;
        assert!(refused.contains(said), "`{line}`: {refused}");
    }
}
