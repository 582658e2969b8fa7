//! What is said when the words typed are no command, and when help is asked for.

use crate::app::{print, say, say_error, wants_colour};
use crate::cli::{self, Detail};
use crate::commands::near_words;
use crate::domain::refusal::Refusal;
use crate::env::Env;
use clap::Command;
use clap::error::{ContextKind, ContextValue, ErrorKind};

/// Help goes to stdout and is no failure; a wrong command line is exit 2. An error quotes what was
/// typed, so it is made visible like everything else that is quoted.
pub(super) fn say_usage(env: &mut Env, error: &clap::Error) -> u8 {
    let code = u8::try_from(error.exit_code()).unwrap_or(2);
    if error.use_stderr() {
        let text = error.render().to_string();
        let mut lines: Vec<String> = text.trim_end().lines().map(str::to_owned).collect();
        lines.extend(hints(env, error));
        say(env, &lines);
        return code;
    }
    let text = error.render();
    match print(env, &if wants_colour(env) { text.ansi().to_string() } else { text.to_string() }) {
        Ok(()) => code,
        Err(error) => {
            say_error(env, &error);
            error.exit_code()
        }
    }
}

/// What to type next after a wrong command line.
fn hints(env: &Env, error: &clap::Error) -> Vec<String> {
    let mut hints = Vec::new();
    let stray = match error.get(ContextKind::InvalidArg) {
        Some(ContextValue::String(stray)) if error.kind() == ErrorKind::UnknownArgument => Some(stray.as_str()),
        _ => None,
    };
    // A number too many is no word of a name.
    if stray.is_some_and(|stray| stray.starts_with(char::is_alphabetic)) {
        hints.push("hint: words that belong together go in quotes, as in --from \"R Ashdown\"".to_owned());
    }
    let mut root = cli::command(Detail::Plain);
    root.build();
    let (path, command) = typed_command(&root, env);
    hints.extend(near_miss(command, error));
    if let Some(example) = cli::examples(command).into_iter().next() {
        hints.push(format!("for example: {example}"));
    } else if path.is_empty() {
        hints.push("hint: `runabout help` lists the commands".to_owned());
    }
    hints
}

/// The innermost command typed, with the words that lead to it.
fn typed_command<'c>(root: &'c Command, env: &Env) -> (Vec<String>, &'c Command) {
    let (mut path, mut command) = (Vec::new(), root);
    for word in env.arguments.iter().skip(1).filter_map(|word| word.to_str()) {
        if let Some(inner) = command.find_subcommand(word) {
            path.push(word.to_owned());
            command = inner;
        }
    }
    (path, command)
}

/// The word most like one that was read only once the command ran.
pub(super) fn near_value(refusal: &Refusal) -> Option<String> {
    let Refusal::Value(error) = refusal else { return None };
    let words = cli::words::of_kind(error.what()).iter().copied();
    let near = near_words(&error.given().to_lowercase(), words).into_iter().next()?;
    Some(format!("hint: did you mean '{near}'?"))
}

/// The word most like the one typed, of those its argument takes.
fn near_miss(command: &Command, error: &clap::Error) -> Option<String> {
    let (ContextValue::String(argument), ContextValue::String(typed)) =
        (error.get(ContextKind::InvalidArg)?, error.get(ContextKind::InvalidValue)?)
    else {
        return None;
    };
    // A closed set that clap knows of it has offered already.
    if error.kind() != ErrorKind::ValueValidation {
        return None;
    }
    let argument = command.get_arguments().find(|known| known.to_string() == *argument)?;
    let words = cli::words::accepted(argument);
    let near = near_words(&typed.to_lowercase(), words.iter().map(String::as_str)).into_iter().next()?;
    Some(format!("hint: did you mean '{near}'?"))
}
