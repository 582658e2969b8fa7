//! Two words typed after a command that together are a mark (`buy KX12 RTO 450`) are made one
//! before clap reads them; so are the two after `--car`.

use crate::cli::Cli;
use crate::domain::mark::{MarkShape, joins};
use clap::{Command, CommandFactory};
use std::ffi::OsString;

/// The positional and option ids that hold a car or a mark.
const CAR_IDS: &[&str] = &["car", "mark"];

/// The arguments with the halves of a mark joined.
pub fn join_marks(arguments: Vec<OsString>) -> Vec<OsString> {
    let Some(words) = arguments.iter().map(|word| word.to_str().map(str::to_owned)).collect::<Option<Vec<_>>>() else {
        return arguments;
    };
    let root = Cli::command();
    let Some((at, command)) = subcommand(&root, &words) else { return arguments };
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
            if let (Some(holds_car), Some((value, after))) =
                (option_with_value(command, &root, word), rest.split_first())
            {
                joined.push(value.clone());
                rest = after;
                if holds_car && make_a_mark(value, rest) {
                    rest = absorb(&mut joined, rest);
                }
            }
            continue;
        }
        if holds_car(command, positional) && is_mark_here(command, positional, word, rest) {
            rest = absorb(&mut joined, rest);
        }
        positional += 1;
    }
    joined.extend(rest.iter().cloned());
    joined.into_iter().map(OsString::from).collect()
}

fn absorb<'w>(joined: &mut [String], rest: &'w [String]) -> &'w [String] {
    if let (Some(last), Some((second, after))) = (joined.last_mut(), rest.split_first()) {
        last.push_str(second);
        return after;
    }
    rest
}

/// Where the subcommand stands and what it is, options before it passed over.
fn subcommand<'c>(root: &'c Command, words: &[String]) -> Option<(usize, &'c Command)> {
    let mut at = 1;
    while let Some(word) = words.get(at) {
        if word.starts_with('-') {
            at += if option_with_value(root, root, word).is_some() { 2 } else { 1 };
        } else {
            return root.find_subcommand(word).map(|command| (at, command));
        }
    }
    None
}

/// For an option that takes its value from the next word: whether that value is a car.
fn option_with_value(command: &Command, root: &Command, word: &str) -> Option<bool> {
    if word.contains('=') {
        return None;
    }
    let found = command.get_arguments().chain(root.get_arguments()).find(|argument| match word.strip_prefix("--") {
        Some(long) => argument.get_long() == Some(long),
        None => argument.get_short().is_some_and(|short| word[1..].chars().eq([short])),
    })?;
    found.get_action().takes_values().then(|| CAR_IDS.contains(&found.get_id().as_str()))
}

fn holds_car(command: &Command, positional: usize) -> bool {
    command.get_positionals().nth(positional).is_some_and(|argument| CAR_IDS.contains(&argument.get_id().as_str()))
}

/// A mark of a shape that says its date, or an Irish one, cannot be anything else. A dateless one
/// (`ABC 123`) could be a mark and a price, so it is joined only when there are words to spare.
fn is_mark_here(command: &Command, positional: usize, word: &str, rest: &[String]) -> bool {
    let Some(shape) = rest.first().and_then(|second| joins(word, second)) else { return false };
    let wanted_after = command.get_positionals().count() - positional - 1;
    let words_after = rest.iter().take_while(|word| !word.starts_with('-')).count();
    certain(shape) || words_after > wanted_after
}

fn make_a_mark(first: &str, rest: &[String]) -> bool {
    rest.first().and_then(|second| joins(first, second)).is_some()
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

    fn typed(line: &str) -> String {
        let words = std::iter::once("runabout").chain(line.split(' ')).map(OsString::from).collect();
        let joined: Vec<String> =
            join_marks(words).into_iter().skip(1).map(|word| word.into_string().unwrap()).collect();
        joined.join(" ")
    }

    #[test]
    fn the_halves_of_a_mark_become_one_word() {
        for (line, wanted) in [
            ("buy KX12 RTO 450", "buy KX12RTO 450"),
            ("buy kx12 rto 450 --on 3 days", "buy kx12rto 450 --on 3 days"),
            ("--book x.book sell A123 ABC 900", "--book x.book sell A123ABC 900"),
            ("car AAZ 1234", "car AAZ1234"),
            ("spend 40 mot --car KX12 RTO", "spend 40 mot --car KX12RTO"),
            ("spend 40 mot --car KX12 RTO --paid cash", "spend 40 mot --car KX12RTO --paid cash"),
            ("buy ABC 123 450", "buy ABC123 450"),
            ("sell --on 21/11 KX12 RTO 900", "sell --on 21/11 KX12RTO 900"),
        ] {
            assert_eq!(typed(line), wanted);
        }
    }

    #[test]
    fn other_words_are_left_alone() {
        for line in [
            "sell 7 1295",
            "spend 40 mot --overhead",
            "buy ABC 450",
            "ask 3 900 --lowest 800",
            "stock -f json",
            "month oct 2026",
        ] {
            assert_eq!(typed(line), line);
        }
    }
}
