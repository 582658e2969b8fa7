//! What is said where a car that may not be roadworthy is sold or offered, and what the pre-sale list says.

use crate::common::Yard;
use serde_json::{Value, json};

const OFFENCE: &str = "selling a car in an unroadworthy condition, or offering it for sale, is an offence (Road \
                       Traffic Act 1988 s.75); if in doubt ask an MOT tester or your local trading standards";

/// A yard with one car, whose MOT ends on `until`.
fn yard(until: &str) -> Yard {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 2000 --on 1/9/2026");
    yard.ok(&format!("buy TU12 RTO 385 --on 1/10/2026 --mot-until {until}"));
    yard
}

fn notes(yard: &Yard, line: &str) -> Vec<String> {
    let answer = yard.json(line);
    answer["notes"].as_array().unwrap().iter().map(|note| note.as_str().unwrap().to_owned()).collect()
}

/// Every command that puts a car up for sale or lets it go, and what it is typed with.
const OFFERING: &[&str] = &["ask 1 795", "offer 1 640", "deposit 1 55", "sell 1 780"];

#[test]
fn short_cover_is_no_offence_and_says_only_that_it_is_short() {
    let yard = yard("2027-02-20");
    yard.ok("settings set minimum-mot-days 90");
    for line in OFFERING {
        let said = notes(&yard, line).join("\n");
        assert!(!said.contains("offence") && !said.contains("No MOT"), "`{line}`: {said}");
        assert_eq!(said.contains("87 days of MOT left, less than the 90 you want"), line.starts_with("sell"), "{said}");
    }
    let offered = yard_on_offer("2027-02-20", &[]);
    for look in ["stock", "car 1"] {
        assert!(!offered.ok(look).err.contains("offence"), "`{look}`");
    }
    assert!(!offered.ok("page").out.contains("offence"));
}

#[test]
fn no_mot_and_every_defect_that_fails_one_is_cautioned_wherever_the_car_is_offered() {
    for (until, tests, why) in [
        ("2026-11-20", &[][..], "its MOT ran out on 20 Nov 2026"),
        ("2027-02-20", &["mot 1 fail --on 20/11"], "it failed its last test and has not passed since"),
        (
            "2027-02-20",
            &["mot 1 fail --on 20/11 --defect \"major:track rod\""],
            "its last test found a major defect, not passed since",
        ),
        (
            "2027-02-20",
            &["mot 1 fail --on 20/11 --defect \"dangerous:brake pipe\""],
            "its last test found a dangerous defect, and it may not be driven until repaired",
        ),
    ] {
        let yard = yard(until);
        for line in tests {
            yard.ok(line);
        }
        for line in OFFERING {
            let said = notes(&yard, line);
            let at = said.iter().position(|note| note == why).unwrap_or_else(|| panic!("`{line}`: {said:?}"));
            assert_eq!(said[at + 1], OFFENCE, "`{line}`");
        }
        // The sale was the last of them: what was offered before it is looked at without it.
        yard.ok("undo");
        let caution = format!("1 TU12 RTO is on offer: {why}. S{}", &OFFENCE[1..]);
        for look in ["stock", "car 1"] {
            let said = yard.ok(look).err;
            assert!(said.contains(&format!("note: {caution}")), "`{look}` does not say {caution}: {said}");
        }
        let page = yard.ok("page").out;
        assert!(page.contains(&format!("<p>{caution}.</p>")), "{page}");
    }
}

fn yard_on_offer(until: &str, lines: &[&str]) -> Yard {
    let yard = yard(until);
    yard.ok("ask 1 795");
    for line in lines {
        yard.ok(line);
    }
    yard
}

#[test]
fn a_car_that_is_not_on_offer_is_not_cautioned_about_and_one_that_passed_no_more() {
    let yard = yard("2026-11-20");
    for look in ["stock", "car 1"] {
        assert!(!yard.ok(look).err.contains("offence"), "`{look}` before it is offered");
    }
    let offered = yard_on_offer("2026-11-20", &["mot 1 fail --on 21/11 --defect \"major:track rod\""]);
    assert!(offered.ok("stock").err.contains("offence"));
    offered.ok("mot 1 pass --on 24/11");
    assert!(!offered.ok("stock").err.contains("offence"));
    assert!(!notes(&offered, "sell 1 780").join("\n").contains("offence"));
    assert!(!offered.ok("stock").err.contains("offence"), "a car sold");
}

#[test]
fn of_many_cars_on_offer_three_are_named() {
    let yard = Yard::new("2026-11-25");
    for n in 1..=5 {
        yard.ok(&format!("buy TU1{n} RTO 385 --on 1/10/2026 --mot-until 2026-11-20"));
        yard.ok(&format!("ask {n} 795"));
    }
    yard.ok("mot 1 fail --on 21/11 --defect \"major:track rod\"");
    let said = yard.ok("stock").err;
    let ended = "is on offer: its MOT ran out on 20 Nov 2026";
    let caution = format!(
        "note: 1 TU11 RTO {ended}; its last test found a major defect, not passed since. 2 TU12 RTO {ended}. \
         3 TU13 RTO {ended}. 2 more cars on offer have no MOT, or a defect that fails one. Selling a car"
    );
    assert!(said.contains(&caution), "{said}");
}

#[test]
fn a_car_that_fails_while_it_is_advertised_is_said_to_be_on_offer() {
    let offered = yard_on_offer("2027-02-20", &[]);
    let said = notes(&offered, "mot 1 fail --on 20/11 --defect \"major:track rod\"");
    assert!(said.contains(&format!("it is on offer: {OFFENCE}")), "{said:?}");
    assert!(!notes(&yard("2027-02-20"), "mot 1 fail --on 20/11").join("\n").contains("on offer"));
}

#[test]
fn a_car_too_new_for_a_test_needs_none() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy TU12 RTO 385 --on 1/10/2026 --first-registered 2024-03-01");
    for line in OFFERING {
        assert!(!notes(&yard, line).join("\n").contains("offence"), "`{line}`");
    }
}

fn item(yard: &Yard, car: u32, item: &str) -> Value {
    let checks = yard.json(&format!("car {car}"))["checks"].clone();
    assert_eq!(checks.as_array().unwrap().len(), 15, "{checks}");
    checks.as_array().unwrap().iter().find(|check| check["item"] == item).unwrap().clone()
}

#[test]
fn the_list_is_there_from_the_purchase_and_a_sale_reminds_of_it() {
    let yard = yard("2027-06-20");
    assert_eq!(item(&yard, 1, "finance"), json!({"item": "finance", "state": "not-done", "on": null, "note": null}));
    let shown = yard.ok("car 1").out.replace("\n              ", " ");
    assert!(
        shown.contains(
            "Checks before sale\nnot done yet  identity, finance, stolen, write-off, mileage, keepers, \
             service-history, recall, keys, mot, inspection, road-test, advert, v5c, purchase-record\n"
        ),
        "{shown}"
    );
    let said = notes(&yard, "sell 1 780 --dry-run").join("\n");
    assert!(said.contains("none of the 15 checks before sale is marked done: `runabout car 1` lists them"), "{said}");
    yard.ok("check 1 identity done");
    let said = notes(&yard, "sell 1 780 --dry-run").join("\n");
    assert!(said.contains("14 of the 15 checks before sale are not marked done: `runabout car 1` lists"), "{said}");
    let words =
        "finance stolen write-off mileage keepers service-history recall keys mot inspection road-test advert v5c";
    words.split(' ').for_each(|word| drop(yard.ok(&format!("check 1 {word} not-needed"))));
    let said = notes(&yard, "sell 1 780 --dry-run").join("\n");
    assert!(said.contains("1 of the 15 checks before sale is not marked done: `runabout car 1` lists"), "{said}");
    yard.ok("check 1 purchase-record done");
    assert!(!notes(&yard, "sell 1 780").join("\n").contains("checks before sale"));
    assert!(yard.ok("car 1").out.contains("recall           not needed on 25 Nov 2026\n"));
}

#[test]
fn a_pass_does_its_own_item_and_undoing_it_opens_the_item_again() {
    let yard = yard("2026-12-20");
    yard.ok("mot 1 pass --on 9/10 --fee 54.85");
    let done = json!({"item": "mot", "state": "done", "on": "2026-10-09", "note": "passed, until 8 Oct 2027"});
    assert_eq!(item(&yard, 1, "mot"), done);
    assert!(yard.ok("car 1").out.contains("mot           done on 9 Oct 2026: passed, until 8 Oct 2027\n"));
    yard.ok("undo");
    assert_eq!(item(&yard, 1, "mot")["state"], "not-done");
    yard.ok("undo 4");
    assert_eq!(item(&yard, 1, "mot"), done);
    yard.ok("mot 1 fail --on 12/10");
    assert_eq!(item(&yard, 1, "mot")["note"], "failed");
    yard.ok("mot 1 pass --on 13/10");
    // Nothing of it was written: it follows from the tests.
    assert!(!yard.dump().iter().any(|row| row.starts_with("car_check:")));
}

#[test]
fn a_car_brought_back_keeps_its_list_and_one_bought_again_begins_a_new_one() {
    let yard = yard("2026-12-20");
    for line in ["mot 1 pass --on 9/10", "check 1 identity done --on 9/10", "sell 1 780 --on 20/10"] {
        yard.ok(line);
    }
    yard.ok("take-back 1 --on 2/11");
    assert_eq!(["mot", "identity"].map(|word| item(&yard, 1, word)["state"].clone()), ["done", "done"]);
    yard.ok("sell 1 760 --on 5/11");
    yard.ok("buy TU12 RTO 420 --on 10/11/2026");
    assert_eq!(["mot", "identity"].map(|word| item(&yard, 2, word)["state"].clone()), ["not-done", "not-done"]);
    assert_eq!(item(&yard, 1, "mot")["state"], "done");
    yard.ok("mot 2 pass --on 20/11");
    assert_eq!(item(&yard, 2, "mot")["on"], "2026-11-20");
    assert_eq!(item(&yard, 1, "mot")["on"], "2026-10-09");
}
