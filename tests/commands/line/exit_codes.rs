//! Exit codes that are true everywhere, by rule: what cannot be read is 2, what cannot be carried out 1, a
//! book that cannot be used 4, whichever command and option it is and whichever layer finds it. The commands
//! and options are those of the program's own list.

use crate::common::Yard;
use crate::common::lines::{Leaf, Typist, leaves, with_files};
use runabout::domain::value::wording::Wording;
use std::any::TypeId;
use std::fs;
use std::path::PathBuf;

fn yard() -> Yard {
    let yard = Yard::filled();
    with_files(yard.folder());
    yard
}

/// The words of a line with another value for one of its parts.
fn with_value(leaf: &Leaf, least: &[String], argument: &clap::Arg, value: &str) -> Vec<String> {
    let mut words = least.to_vec();
    let after = leaf.path.len();
    match argument.get_long() {
        Some(long) => {
            let long = format!("--{long}");
            if let Some(at) = words.iter().position(|word| *word == long) {
                words.drain(at..(at + 2).min(words.len()));
            }
            words.extend([long, value.to_owned()]);
        }
        None => {
            let positionals: Vec<_> = leaf.command.get_positionals().map(|known| known.get_id().clone()).collect();
            let at = after + positionals.iter().position(|id| id == argument.get_id()).unwrap();
            words.truncate(words.len().max(at));
            if at < words.len() && !words[at].starts_with("--") {
                value.clone_into(&mut words[at]);
            } else {
                words.insert(at, value.to_owned());
            }
        }
    }
    words
}

/// The entry that recorded the first car bought.
fn purchase(yard: &Yard) -> i64 {
    let log = yard.json("log 1");
    let bought = log["entries"].as_array().unwrap().iter().find(|entry| entry["command"] == "buy").unwrap();
    bought["entry"].as_i64().unwrap()
}

/// A line of the command in which every part needed is such that only the part in question is wrong.
fn least(typist: &mut Typist, leaf: &Leaf, purchase: i64) -> Vec<String> {
    let amend = format!("amend {purchase} price 320");
    let line = match leaf.name().as_str() {
        "amend" => &amend,
        "settings set" => "settings set remind-days 21",
        "spend" => "spend 27.50 fuel",
        "receive" => "receive 15 wheels-sold",
        "deposit" => "deposit 15",
        "tax" => "tax 15",
        "close" => "close",
        "dispose" => "dispose 15 scrapped",
        "mot" => "mot 15 pass",
        "programme set" => "programme set",
        "take-back" => "take-back 3",
        _ => return typist.least(leaf),
    };
    shlex::split(line).unwrap()
}

#[test]
fn a_value_that_cannot_be_read_is_2_in_every_option_of_every_command() {
    let yard = yard();
    let mut typist = Typist::new(1, yard.folder());
    let before = yard.dump();
    let mut wrong = Vec::new();
    let mut tried = 0;
    for leaf in leaves() {
        let line = least(&mut typist, &leaf, purchase(&yard));
        for argument in leaf.arguments().filter(|argument| argument.get_action().takes_values()) {
            let id = argument.get_id().as_str();
            let kind = argument.get_value_parser().type_id();
            // A heading is one of the book's, any name is a file's, and an amended value is whatever its field is.
            if id == "heading" || kind == TypeId::of::<PathBuf>() {
                continue;
            }
            let is_words = kind == TypeId::of::<Wording>() || matches!(id, "text" | "purpose");
            let (unread, shown) = if is_words { ("a\u{7}b", "\\u{7}") } else { ("?!", "?!") };
            let words = with_value(&leaf, &line, argument, unread);
            let ran = yard.run_words(&words);
            tried += 1;
            if ran.code != 2 || !(ran.err.contains(shown) || ran.err.contains("tax") && id == "tax_until") {
                wrong.push(format!("{words:?} gave {}: {}{}", ran.code, ran.out, ran.err));
            }
        }
    }
    assert!(wrong.is_empty(), "{} of {tried}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(tried > 200, "{tried} is too few to be every option");
    assert_eq!(yard.dump(), before);
}

#[test]
fn an_option_or_word_there_is_not_is_2_and_so_is_a_part_left_out() {
    let yard = yard();
    let mut typist = Typist::new(2, yard.folder());
    let mut wrong = Vec::new();
    for leaf in leaves() {
        let line = least(&mut typist, &leaf, purchase(&yard));
        let mut lines = vec![[&line[..], &["--nonsense".to_owned()]].concat()];
        for argument in leaf.arguments().filter(|argument| argument.is_required_set()) {
            // Without one of its words, or without one of its options.
            let mut words = typist.least(&leaf);
            let at = match argument.get_long() {
                Some(long) => words.iter().position(|word| *word == format!("--{long}")).unwrap(),
                None => leaf.path.len(),
            };
            words.drain(at..at + argument.get_long().map_or(1, |_| 2));
            lines.push(words);
        }
        for words in lines {
            let ran = yard.run_words(&words);
            if ran.code != 2 {
                wrong.push(format!("{words:?} gave {}: {}{}", ran.code, ran.out, ran.err));
            }
        }
    }
    for line in ["nonsense", "standing nonsense", "stock nonsense", "--nonsense", "stock --as-of nonsense"] {
        let ran = yard.run(line);
        if ran.code != 2 {
            wrong.push(format!("{line:?} gave {}", ran.code));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What only the command could tell was left out, or does not go together on any book.
#[test]
fn what_a_line_lacks_or_holds_too_much_of_is_2_and_what_the_book_forbids_1() {
    let yard = yard();
    for (line, code) in [
        ("spend 40 labour --yes", 2),
        ("spend 40 balance", 2),
        ("receive 15 wheels-sold", 2),
        ("dispose 15 kept", 2),
        ("buy none 385", 2),
        ("programme set", 2),
        ("deposit 1", 2),
        ("move 15 cash cash", 2),
        ("move 15 cash own", 2),
        ("mot 15 fail --until 1/3/2027", 2),
        ("spend 0 fuel --overhead", 2),
        ("spend 15 vat --overhead", 2),
        ("dispose 15 scrapped --value 36", 2),
        ("buy QX10001 385 --via part-exchange", 2),
        ("check 15 nonsense done", 2),
        ("settings set nonsense 5", 2),
        ("settings set heading:dents nonsense", 2),
        ("manual nonsense", 2),
        ("month 12/11", 2),
        ("close nonsense", 2),
        ("amend BUY nonsense 5", 2),
        ("amend BUY on 31/2", 2),
        ("deposit 15 50 --hold-until 5/12", 2),
        ("month --part nonsense -f csv", 2),
        ("export year-end", 2),
        ("page -f json", 2),
        // Read, and the book or the day is against it.
        ("spend 15 fuel --overhead --on tomorrow", 1),
        ("month dec 2026", 1),
        ("car 99", 1),
        ("spend 15 nonsense --overhead", 1),
        ("amend 9999 price 5", 1),
        ("amend BUY hours 5", 1),
        ("sell 1 385", 1),
        ("undo 9999", 1),
        ("invoice 15", 1),
        ("close this", 1),
        ("tax 15 --months 6 --from 2026-01-01", 1),
    ] {
        let line = line.replace("BUY", &purchase(&yard).to_string());
        let ran = yard.refused(&line);
        assert_eq!(ran.code, code, "`{line}`: {}", ran.err);
    }
}

#[test]
fn a_day_that_is_none_in_the_environment_is_2_as_it_is_on_the_line() {
    let yard = yard();
    assert_eq!(yard.run("stock --as-of nonsense").code, 2);
    assert_eq!(yard.run_on_day("stock", "nonsense").code, 2);
}

#[test]
fn a_book_that_cannot_be_used_is_4_in_every_command() {
    let yard = yard();
    let mut typist = Typist::new(3, yard.folder());
    let missing = yard.folder().join("not-there.book");
    let other = yard.folder().join("letter.book");
    fs::write(&other, "Dear Sir, the car you sold me".repeat(200)).unwrap();
    let damaged = yard.folder().join("damaged.book");
    let mut bytes = fs::read(yard.book()).unwrap();
    bytes[100..2_000].fill(0x5A);
    fs::write(&damaged, bytes).unwrap();
    let mut wrong = Vec::new();
    for leaf in leaves() {
        let name = leaf.name();
        // They need no book, or are there for one that cannot be opened.
        if matches!(name.as_str(), "rates" | "completions" | "manual" | "demo" | "restore") {
            continue;
        }
        for (book, only_looked) in [(&missing, true), (&other, false), (&damaged, false)] {
            if only_looked && leaf.records() {
                continue;
            }
            let before = fs::read(book).ok();
            let mut words = typist.least(&leaf);
            // A file named on the line that is not there is refused for itself, before the book is looked at.
            while words.iter().any(|word| word.ends_with("not-there.csv")) {
                words = typist.least(&leaf);
            }
            words.extend(["--book".to_owned(), book.display().to_string()]);
            let ran = yard.run_words(&words);
            if ran.code != 4 || !ran.out.is_empty() {
                wrong.push(format!("{words:?} gave {}: {}{}", ran.code, ran.out, ran.err));
            }
            if fs::read(book).ok() != before {
                wrong.push(format!("{words:?} touched the file"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn global_options_are_taken_after_help_too() {
    let yard = yard();
    for line in ["help buy --color never", "help -f json standing add --yes", "help --book x.book", "--yes help"] {
        let plain = line.replace(" --color never", "").replace(" -f json", "").replace(" --yes", "");
        let plain = plain.replace(" --book x.book", "").replace("--yes ", "");
        assert_eq!(yard.ok(line).out, yard.ok(&plain).out, "{line}");
    }
    for line in ["help buy --nonsense", "help buy --color", "help nonsense"] {
        assert_eq!(yard.run(line).code, 2, "{line}");
    }
}
