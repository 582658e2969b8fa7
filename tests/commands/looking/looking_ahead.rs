//! A day typed without its year: in everything that tells the past the latest such day, in everything that may
//! lie ahead or begins something asked for on a terminal and refused otherwise. The options are those of the
//! program's own list, and each is told by what it does.

use crate::common::Yard;
use crate::common::lines::{Typist, leaves, with_files};

/// What a date option does with a day without its year, typed a fortnight before such a day comes.
#[derive(Debug, PartialEq, Eq)]
enum Takes {
    /// The latest such day.
    Past,
    /// Refused for want of its year.
    NeedsItsYear,
}

#[test]
fn every_date_option_is_of_one_of_two_kinds() {
    let mut yard = Yard::filled();
    yard.turn_to("2026-11-30");
    with_files(yard.folder());
    let mut typist = Typist::new(5, yard.folder());
    let before = yard.dump();
    let (mut found, mut wrong) = (Vec::new(), Vec::new());
    for leaf in leaves() {
        for argument in leaf.arguments() {
            let (Some(long), true) =
                (argument.get_long(), argument.get_value_names().is_some_and(|names| names[0] == "DATE"))
            else {
                continue;
            };
            if long == "tax-until" {
                continue;
            }
            let mut words = match leaf.name().as_str() {
                "tax" => vec!["tax", "15", "--months", "6"].into_iter().map(str::to_owned).collect(),
                "mot" => vec!["mot", "15", "pass"].into_iter().map(str::to_owned).collect(),
                "deposit" => vec!["deposit", "15", "36"].into_iter().map(str::to_owned).collect(),
                "spend" => vec!["spend", "36", "fuel", "--overhead"].into_iter().map(str::to_owned).collect(),
                _ => typist.least(&leaf),
            };
            if let Some(at) = words.iter().position(|word| *word == format!("--{long}")) {
                words.drain(at..at + 2);
            }
            let run = |day: &str| {
                let mut words = words.clone();
                words.extend([format!("--{long}"), day.to_owned()]);
                if leaf.records() {
                    words.push("--dry-run".to_owned());
                }
                yard.run_words(&words)
            };
            let (yearless, past, ahead) = (run("14 Dec"), run("14 Dec 2025"), run("14 Dec 2026"));
            let is_refused_ahead = ahead.code == 1 && ahead.err.contains("after today");
            let kind = if yearless.code == 2 && yearless.err.contains("has no year") {
                Takes::NeedsItsYear
            } else if (yearless.code, &yearless.out) == (past.code, &past.out) {
                Takes::Past
            } else {
                wrong.push(format!("{} --{long}: neither: {}{}", leaf.name(), yearless.out, yearless.err));
                continue;
            };
            // What records takes a day ahead only where it needs its year.
            if leaf.records() && (kind == Takes::NeedsItsYear) == is_refused_ahead {
                wrong.push(format!("{} --{long} is {kind:?}, and ahead: {}{}", leaf.name(), ahead.out, ahead.err));
            }
            found.push(format!("{} --{long} {kind:?}", leaf.name()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(yard.dump(), before);
    for (option, kind) in [
        ("standing add --from", Takes::NeedsItsYear),
        ("standing change --from", Takes::NeedsItsYear),
        ("standing stop --on", Takes::NeedsItsYear),
        ("standing skip --on", Takes::NeedsItsYear),
        ("tax --from", Takes::NeedsItsYear),
        ("buy --mot-until", Takes::NeedsItsYear),
        ("deposit --hold-until", Takes::NeedsItsYear),
        ("paper renew --until", Takes::NeedsItsYear),
        ("sell --delivered", Takes::NeedsItsYear),
        ("spend --on", Takes::Past),
        ("buy --on", Takes::Past),
        ("vat --from", Takes::Past),
    ] {
        assert!(found.contains(&format!("{option} {kind:?}")), "{option} is not {kind:?}: {found:?}");
    }
}

#[test]
fn what_begins_something_is_asked_its_year() {
    let yard = Yard::new("2026-02-02");
    let line = "standing add \"yard rent\" 95 --every month --from \"15 Feb\"";
    let refused = yard.refused(line);
    assert!(refused.code == 2 && refused.err.contains("write the year too, as in 15/2/2026"), "{}", refused.err);
    let asked = yard.run_answering(line, &[""]);
    assert!(asked.code == 0 && asked.err.contains("15 Feb in which year [2026]: "), "{}", asked.err);
    let standing = yard.json("standing list");
    assert_eq!(standing["standing"][0]["first_on"], "2026-02-15");
    // The nearest such day is what is offered, and it may lie behind.
    let asked = yard.run_answering("standing add phone 12.50 --every month --from 20/1", &[""]);
    assert!(asked.code == 0 && asked.err.contains("20/1 in which year [2026]: "), "{}", asked.err);
}
