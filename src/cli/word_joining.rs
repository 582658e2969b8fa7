//! Words a shell splits that belong together are made one before clap reads them: the halves of a
//! mark (`buy KX42 RTO 485`, `--car KX42 RTO`, `--part-exchange KX42 RTO=165`) and the words of a
//! date or month (`--on 21 Nov`, `--from sep 2026`).

use crate::domain::days::day::WrittenDay;
use crate::domain::days::month::WrittenMonth;
use crate::domain::value::digits::are_digits;
use crate::domain::value::mark::{MarkShape, joins};
use clap::Command;
use std::ffi::OsString;
use std::str::FromStr;

/// The positional and option ids that hold a car or a mark.
pub(super) const CAR_IDS: &[&str] = &["car", "mark"];

/// The positional and option id of a car that is in the book already, unlike a mark that is new to it.
const KNOWN_CAR: &str = "car";

/// The arguments with what belongs together joined; `is_car` says whether a word alone is a car of the book.
pub fn join_words(root: &Command, arguments: Vec<OsString>, is_car: &dyn Fn(&str) -> bool) -> Vec<OsString> {
    let Some(words) = arguments.iter().map(|word| word.to_str().map(str::to_owned)).collect::<Option<Vec<_>>>() else {
        return arguments;
    };
    let Some((at, command)) = subcommand(root, &words) else { return arguments };
    let mut joined: Vec<String> = words[..=at].to_vec();
    let mut rest = &words[at + 1..];
    let mut positional = 0;
    while let Some((word, after)) = rest.split_first() {
        joined.push(word.clone());
        rest = after;
        if word == "--" {
            break;
        }
        if word.starts_with('-') && word.len() > 1 {
            if let (Some(value_kind), Some((value, after))) =
                (option_with_value(command, root, word), rest.split_first())
            {
                joined.push(value.clone());
                rest = match value_kind {
                    Value::Car if make_a_mark(value, after, is_car) => absorb(&mut joined, after, ""),
                    Value::NewMark if make_a_mark(value, after, &|_| false) => absorb(&mut joined, after, ""),
                    Value::Pair if make_a_pair(value, after) => absorb(&mut joined, after, ""),
                    Value::Day => absorb_while::<WrittenDay>(&mut joined, after),
                    Value::Month => absorb_while::<WrittenMonth>(&mut joined, after),
                    _ => after,
                };
            }
            continue;
        }
        if is_mark_here(command, positional, word, rest, is_car) {
            rest = absorb(&mut joined, rest, "");
        }
        positional += 1;
    }
    joined.extend(rest.iter().cloned());
    joined.into_iter().map(OsString::from).collect()
}

fn absorb<'w>(joined: &mut [String], rest: &'w [String], between: &str) -> &'w [String] {
    if let (Some(last), Some((second, after))) = (joined.last_mut(), rest.split_first()) {
        last.push_str(between);
        last.push_str(second);
        return after;
    }
    rest
}

/// The longest a date or month gets: `3 days ago`, `21 Nov 2026`.
const WORDS_OF_A_DAY: usize = 3;

/// Takes in the most words that together with the last one still read as a `T`.
fn absorb_while<'w, T: FromStr>(joined: &mut [String], rest: &'w [String]) -> &'w [String] {
    let Some(first) = joined.last_mut() else { return rest };
    for more in (1..WORDS_OF_A_DAY).rev() {
        let Some(words) = rest.get(..more).filter(|words| words.iter().all(|word| !word.starts_with('-'))) else {
            continue;
        };
        let together = format!("{first} {}", words.join(" "));
        if together.parse::<T>().is_ok() {
            *first = together;
            return &rest[more..];
        }
    }
    rest
}

/// What an option's value is, as far as words of it may have come apart.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Value {
    Car,
    NewMark,
    /// `MARK=ALLOWANCE`, `TARGET=AMOUNT`.
    Pair,
    Day,
    Month,
    Other,
}

/// Where the subcommand stands and what it is, options before it passed over.
pub(super) fn subcommand<'c>(root: &'c Command, words: &[String]) -> Option<(usize, &'c Command)> {
    let at = first_word(root, words, 1)?;
    root.find_subcommand(&words[at]).map(|command| innermost(at, command, words))
}

/// The innermost command typed, with the words that lead to it. A word is one only where commands stand:
/// `cash` after a word that is none is no command.
pub fn typed_command<'c>(root: &'c Command, words: &[String]) -> (Vec<String>, &'c Command) {
    let (mut path, mut command, mut at) = (Vec::new(), root, 1);
    while let Some(found) = first_word(root, words, at)
        && let Some(inner) = command.find_subcommand(&words[found])
    {
        path.push(words[found].clone());
        (command, at) = (inner, found + 1);
    }
    (path, command)
}

/// Where the first word from `at` on stands that is neither an option nor its value.
fn first_word(root: &Command, words: &[String], mut at: usize) -> Option<usize> {
    while let Some(word) = words.get(at) {
        if !word.starts_with('-') {
            return Some(at);
        }
        at += if option_with_value(root, root, word).is_some() { 2 } else { 1 };
    }
    None
}

/// The subcommand of a subcommand, where one is typed: `standing add`, `programme set`.
fn innermost<'c>(at: usize, command: &'c Command, words: &[String]) -> (usize, &'c Command) {
    match words.get(at + 1).and_then(|word| command.find_subcommand(word)) {
        Some(inner) => innermost(at + 1, inner, words),
        None => (at, command),
    }
}

/// For an option that takes its value from the next word: what that value is.
pub(super) fn option_with_value(command: &Command, root: &Command, word: &str) -> Option<Value> {
    if word.contains('=') {
        return None;
    }
    let found = command.get_arguments().chain(root.get_arguments()).find(|argument| match word.strip_prefix("--") {
        Some(long) => argument.get_long() == Some(long),
        None => argument.get_short().is_some_and(|short| word[1..].chars().eq([short])),
    })?;
    let name = found.get_value_names().and_then(<[_]>::first).map(clap::builder::Str::as_str);
    found.get_action().takes_values().then(|| match name {
        _ if found.get_id() == KNOWN_CAR => Value::Car,
        _ if CAR_IDS.contains(&found.get_id().as_str()) => Value::NewMark,
        Some("DATE") => Value::Day,
        Some("MONTH") => Value::Month,
        Some(pair) if pair.contains('=') => Value::Pair,
        _ => Value::Other,
    })
}

/// A mark of a shape that says its date, or an Irish one, cannot be anything else. A dateless one
/// (`ABC 123`) could be a mark and a price, so it is joined only when there are words to spare.
fn is_mark_here(
    command: &Command,
    positional: usize,
    word: &str,
    rest: &[String],
    is_car: &dyn Fn(&str) -> bool,
) -> bool {
    let Some(id) = command.get_positionals().nth(positional).map(|argument| argument.get_id().as_str()) else {
        return false;
    };
    let Some((second, shape)) = rest.first().and_then(|second| Some((second, joins(word, second)?))) else {
        return false;
    };
    if !CAR_IDS.contains(&id) || (id == KNOWN_CAR && is_car_alone(word, second, is_car)) {
        return false;
    }
    let wanted_after = command.get_positionals().count() - positional - 1;
    let words_after = rest.iter().take_while(|word| !word.starts_with('-')).count();
    certain(shape) || words_after > wanted_after
}

fn make_a_mark(first: &str, rest: &[String], is_car: &dyn Fn(&str) -> bool) -> bool {
    let second = rest.first().filter(|second| joins(first, second).is_some());
    second.is_some_and(|second| !is_car_alone(first, second, is_car))
}

/// Whether the first of two words is the car meant, though together they could be a mark: it is one of the
/// book, or digits alone, which are a stock number unless the two together are a car of the book.
fn is_car_alone(first: &str, second: &str, is_car: &dyn Fn(&str) -> bool) -> bool {
    is_car(first) || (are_digits(first) && !is_car(&format!("{first}{second}")))
}

/// `KX42` and `RTO=165`.
fn make_a_pair(first: &str, rest: &[String]) -> bool {
    rest.first().and_then(|second| second.split_once('=')).and_then(|(half, _)| joins(first, half)).is_some()
}

fn certain(shape: MarkShape) -> bool {
    matches!(
        shape,
        MarkShape::Current | MarkShape::Prefix | MarkShape::Suffix | MarkShape::NorthernIreland | MarkShape::Q
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::commands::Cli;
    use clap::CommandFactory;

    fn typed(line: &str) -> String {
        typed_knowing(line, &[])
    }

    /// The line as it is read beside a book with those cars in it.
    fn typed_knowing(line: &str, cars: &[&str]) -> String {
        let words = std::iter::once("runabout").chain(line.split(' ')).map(OsString::from).collect();
        let is_car = |word: &str| cars.contains(&word);
        let joined: Vec<String> = join_words(&Cli::command(), words, &is_car)
            .into_iter()
            .skip(1)
            .map(|word| word.into_string().unwrap())
            .collect();
        joined.join(" ")
    }

    #[test]
    fn the_halves_of_a_mark_become_one_word() {
        for (line, wanted) in [
            ("buy KX42 RTO 485", "buy KX42RTO 485"),
            ("buy kx42 rto 485 --on 3 days", "buy kx42rto 485 --on 3 days"),
            ("--book x.book sell A123 ABC 915", "--book x.book sell A123ABC 915"),
            ("car AAZ 1234", "car AAZ1234"),
            ("spend 54.85 mot --car KX42 RTO", "spend 54.85 mot --car KX42RTO"),
            ("spend 54.85 mot --car KX42 RTO --paid cash", "spend 54.85 mot --car KX42RTO --paid cash"),
            ("buy ABC 123 530", "buy ABC123 530"),
            ("sell --on 21/11 KX42 RTO 1,085", "sell --on 21/11 KX42RTO 1,085"),
            ("sell 1 985 --part-exchange AB91 CDE=165", "sell 1 985 --part-exchange AB91CDE=165"),
            (
                "spend 62.30 parts --split KX42 RTO=47.30 --split overhead=15",
                "spend 62.30 parts --split KX42RTO=47.30 --split overhead=15",
            ),
        ] {
            assert_eq!(typed(line), wanted);
        }
    }

    #[test]
    fn the_words_of_a_date_become_one() {
        for (line, wanted) in [
            ("spend 54.85 mot --car 1 --on 21 Nov", &["spend", "54.85", "mot", "--car", "1", "--on", "21 Nov"][..]),
            (
                "spend 54.85 mot --on 21 Nov 2026 --car 1",
                &["spend", "54.85", "mot", "--on", "21 Nov 2026", "--car", "1"],
            ),
            ("sell --on 3 days ago 7 865", &["sell", "--on", "3 days ago", "7", "865"]),
            ("stock --as-of 21 Nov", &["stock", "--as-of", "21 Nov"]),
            ("results --from sep 2026 --to nov", &["results", "--from", "sep 2026", "--to", "nov"]),
            ("sell --on yesterday 7 865", &["sell", "--on", "yesterday", "7", "865"]),
        ] {
            let words = std::iter::once("runabout").chain(line.split(' ')).map(OsString::from).collect();
            let joined: Vec<String> = join_words(&Cli::command(), words, &|_| false)
                .into_iter()
                .skip(1)
                .map(|word| word.into_string().unwrap())
                .collect();
            assert_eq!(joined, wanted);
        }
    }

    #[test]
    fn a_car_of_the_book_takes_in_no_word_after_it() {
        for (line, cars, wanted) in [
            ("note 8 new tyre ordered", &["8"][..], "note 8 new tyre ordered"),
            ("note 8 new tyre ordered", &[], "note 8 new tyre ordered"),
            ("note 8 new tyre ordered", &["8new"], "note 8new tyre ordered"),
            ("note 8 new tyre ordered", &["8", "8new"], "note 8 new tyre ordered"),
            ("car 1234 AB", &["1234AB"], "car 1234AB"),
            ("car 1234 AB", &[], "car 1234 AB"),
            ("note TU12 new tyre ordered", &["TU12"], "note TU12 new tyre ordered"),
            ("note TU12 new tyre ordered", &["TU12new"], "note TU12new tyre ordered"),
            ("note A1 new clutch", &["A1"], "note A1 new clutch"),
            ("spend 15 parts --car 8 new", &["8"], "spend 15 parts --car 8 new"),
            ("spend 15 parts --car TU42 RTO", &[], "spend 15 parts --car TU42RTO"),
            // A mark that is to be bought is in no book yet.
            ("buy 8 NEW 385", &["8"], "buy 8NEW 385"),
            ("buy TU42 RTO 385", &["TU12"], "buy TU42RTO 385"),
        ] {
            assert_eq!(typed_knowing(line, cars), wanted, "{line} {cars:?}");
        }
    }

    #[test]
    fn other_words_are_left_alone() {
        for line in [
            "sell 7 1295",
            "spend 54.85 mot --overhead",
            "buy ABC 530",
            "ask 3 965 --lowest 840",
            "stock -f json",
            "month oct 2026",
        ] {
            assert_eq!(typed(line), line);
        }
    }
}
