//! What is wrong with a command line that could not be read, in one sentence of the program's own: what was
//! typed, and what would do.

use clap::error::{ContextKind, ContextValue, ErrorKind};
use std::error::Error as _;

/// The sentence; `command` is what the words typed so far name, empty before any.
pub fn sentence(error: &clap::Error, command: &str) -> String {
    let by = if command.is_empty() { "runabout" } else { command };
    let text = |kind| match error.get(kind) {
        Some(ContextValue::String(text)) => text.as_str(),
        _ => "",
    };
    let (argument, value) = (text(ContextKind::InvalidArg), text(ContextKind::InvalidValue));
    match error.kind() {
        ErrorKind::UnknownArgument if argument.starts_with('-') => format!("`{by}` has no option '{argument}'"),
        ErrorKind::UnknownArgument => format!("'{argument}' is a word more than `{by}` takes"),
        ErrorKind::InvalidSubcommand => {
            let whose = if command.is_empty() { "there is".to_owned() } else { format!("`{command}` has") };
            format!("{whose} no command '{}'", text(ContextKind::InvalidSubcommand))
        }
        ErrorKind::MissingRequiredArgument => format!("`{by}` needs {} too", listed(&plain(&strings(error)))),
        ErrorKind::InvalidValue if value.is_empty() => format!("{} is not followed by anything", shown(argument)),
        ErrorKind::InvalidValue => {
            let words = match error.get(ContextKind::ValidValue) {
                Some(ContextValue::Strings(words)) => either(words),
                _ => "another".to_owned(),
            };
            format!("{} '{value}' is not understood: write {words}", shown(argument))
        }
        ErrorKind::ValueValidation => {
            let why = error.source().map(ToString::to_string).unwrap_or_default();
            if argument.starts_with('-') { format!("{}: {why}", option_of(argument)) } else { why }
        }
        ErrorKind::ArgumentConflict => match error.get(ContextKind::PriorArg) {
            Some(ContextValue::String(prior)) if prior != argument => {
                format!("{} does not go with {}", shown(argument), shown(prior))
            }
            Some(ContextValue::Strings(prior)) => {
                format!("{} does not go with {}", shown(argument), listed(&plain(prior)))
            }
            _ => format!("{} is there more than once", option_of(argument)),
        },
        _ => first_line(error),
    }
}

/// What the reader itself says, without what it adds below.
fn first_line(error: &clap::Error) -> String {
    let said = error.render().to_string();
    let said = said.split("\n\n").next().unwrap_or_default();
    said.strip_prefix("error: ").unwrap_or(said).lines().map(str::trim).collect::<Vec<_>>().join(" ")
}

fn strings(error: &clap::Error) -> Vec<String> {
    match error.get(ContextKind::InvalidArg) {
        Some(ContextValue::Strings(arguments)) => arguments.clone(),
        Some(ContextValue::String(argument)) => vec![argument.clone()],
        _ => Vec::new(),
    }
}

fn plain(arguments: &[String]) -> Vec<String> {
    arguments.iter().map(|argument| shown(argument)).collect()
}

/// `--on DATE` for `--on <DATE>`, `MONTH` for `[MONTH]...`, `A or B` for `<A|B>`.
fn shown(argument: &str) -> String {
    argument.replace(['<', '>', '[', ']'], "").replace("...", "").replace('|', " or ")
}

fn option_of(argument: &str) -> &str {
    argument.split([' ', '=']).next().unwrap_or(argument)
}

fn listed(words: &[String]) -> String {
    joined(words, "and")
}

fn either(words: &[String]) -> String {
    joined(words, "or")
}

fn joined(words: &[String], before_last: &str) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} {before_last} {last}", first.join(", ")),
    }
}
