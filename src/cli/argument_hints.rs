//! A word or an option too many: where it most likely belongs. People say what they know in the order
//! they think of it; this tells them how it is typed.

use crate::cli::help::examples;
use crate::domain::days::day::WrittenDay;
use crate::domain::law::mot::DefectLevel;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::mark::joins;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::PaidBy;
use clap::error::{ContextKind, ContextValue};
use clap::{Arg, Command};

/// What an option is called by people who have not looked it up: what they type, the part it is for, and how
/// that part is typed.
const CALLED: &[(&str, &str, &str)] = &[
    ("yard", "overhead", "--overhead"),
    ("cars", "share", "--share 1,2"),
    ("date", "on", "--on 21/11"),
    ("day", "on", "--on 21/11"),
    ("buyer", "to", "--to NAME"),
    ("seller", "from", "--from NAME"),
    ("mileage", "miles", "--miles 82,000"),
    ("mot", "mot_until", "--mot-until 21/3/2027"),
    ("min", "lowest", "--lowest AMOUNT"),
    ("part-ex", "part_exchange", "--part-exchange KX42RTO=165"),
    ("px", "part_exchange", "--part-exchange KX42RTO=165"),
];

/// How to type the word at `at` of `words`, which the command has no place for.
pub fn belongs(command: &Command, words: &[String], at: usize) -> Option<String> {
    let word = words.get(at)?.as_str();
    match word.strip_prefix("--") {
        Some(name) => option_meant(command, name.split('=').next().unwrap_or(name)),
        None => allowance(command, words, at).or_else(|| value_meant(command, word)),
    }
}

/// Whether `--car` was given more than one car, by a command that has `--share` for that.
pub fn is_several_cars(command: &Command, error: &clap::Error) -> bool {
    let text = |kind| match error.get(kind) {
        Some(ContextValue::String(text)) => text.as_str(),
        _ => "",
    };
    let is_car = |argument: &str| argument.starts_with("--car ");
    let several = text(ContextKind::InvalidValue).contains(',') || is_car(text(ContextKind::PriorArg));
    has(command, "share") && is_car(text(ContextKind::InvalidArg)) && several
}

fn option_meant(command: &Command, name: &str) -> Option<String> {
    if let Some(typed) = by_name(command, name) {
        return Some(typed);
    }
    let positional = command.get_positionals().any(|argument| argument.get_id() == name);
    let example = examples(command).into_iter().next().filter(|_| positional)?;
    Some(format!("it is typed without --{name}: `{example}`"))
}

/// What the name of an option, or of a value of one, is typed as.
fn by_name(command: &Command, name: &str) -> Option<String> {
    if has(command, "paid") && PaidBy::WORDS.contains(&name) {
        return Some(format!("how it was paid is `--paid {name}`"));
    }
    if has(command, "defect") && name.parse::<DefectLevel>().is_ok() {
        return Some(format!("a defect is `--defect \"{name}:brake hose perished\"`"));
    }
    let called = CALLED.iter().find(|(called, id, _)| *called == name && has(command, id));
    called.map(|(_, _, typed)| format!("that is `{typed}`"))
}

/// `--part-exchange KX42 RTO`: the mark alone came apart, for what it is allowed at is missing.
fn allowance(command: &Command, words: &[String], at: usize) -> Option<String> {
    let (option, first) = (words.get(at.checked_sub(2)?)?, words.get(at - 1)?);
    let pair = options(command).find(|argument| {
        option.strip_prefix("--").is_some_and(|name| argument.get_long() == Some(name)) && takes_a_pair(argument)
    })?;
    joins(first, &words[at])?;
    Some(format!("the amount goes with the mark: `--{} {first}{}=165`", pair.get_long()?, words[at]))
}

fn takes_a_pair(argument: &Arg) -> bool {
    argument.get_value_names().is_some_and(|names| names.iter().any(|name| name.contains('=')))
}

fn value_meant(command: &Command, word: &str) -> Option<String> {
    let lower = word.to_lowercase();
    if let Some(typed) = by_name(command, &lower) {
        return Some(typed);
    }
    if options(command).any(|argument| argument.get_long() == Some(&*lower)) {
        return Some(format!("an option has two dashes: `--{lower}`"));
    }
    if has(command, "on") && word.parse::<WrittenDay>().is_ok() {
        return Some(format!("the day is `--on {word}`"));
    }
    let number = word.parse::<Pence>().is_ok();
    if number {
        let asked = options(command).find(|argument| argument.is_required_set() && takes_an_amount(argument));
        if let Some(long) = asked.and_then(Arg::get_long) {
            return Some(format!("that is `--{long} {word}`"));
        }
    }
    if has(command, "car") && word.parse::<CarRef>().is_ok() && word.contains(|letter: char| letter.is_ascii_digit()) {
        return Some(format!("the car is `--car {word}`"));
    }
    // A number too many is no word of a name, unless it comes after one.
    let named = command.get_positionals().any(|argument| is_called(argument, "NAME"));
    (named || word.starts_with(char::is_alphabetic))
        .then(|| "words that belong together go in quotes, as in --from \"R Ashdown\"".to_owned())
}

fn takes_an_amount(argument: &Arg) -> bool {
    is_called(argument, "AMOUNT")
}

fn is_called(argument: &Arg, value: &str) -> bool {
    argument.get_value_names().is_some_and(|names| names.iter().any(|name| name == value))
}

/// The command's own, for nobody types those of every command without thinking of them.
fn options(command: &Command) -> impl Iterator<Item = &Arg> {
    command.get_arguments().filter(|argument| !argument.is_positional() && !argument.is_global_set())
}

fn has(command: &Command, id: &str) -> bool {
    options(command).any(|argument| argument.get_id() == id)
}
