//! What is said when the words typed are no command, and when help is asked for.

use crate::app::output::{print, say, say_error, wants_colour};
use crate::cli::{self, Detail};
use crate::commands::GRAMMAR;
use crate::commands::steps::lookup::near_words;
use crate::env::Env;
use clap::Command;
use clap::error::{ContextKind, ContextValue, ErrorKind};

/// Help goes to stdout and is no failure; a wrong command line is exit 2. An error quotes what was
/// typed, so it is made visible like everything else that is quoted.
pub(super) fn say_usage(env: &mut Env, error: &clap::Error) -> u8 {
    let code = u8::try_from(error.exit_code()).unwrap_or(2);
    if error.use_stderr() {
        say(env, &told(env, error));
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

/// What is wrong with a command line, and what to type next.
fn told(env: &Env, error: &clap::Error) -> Vec<String> {
    let mut root = cli::command(&GRAMMAR, Detail::Plain);
    root.build();
    let (path, command) = typed_command(&root, env);
    let name = path.join(" ");
    let mut lines = vec![format!("error: {}", cli::parse_errors::sentence(error, &name))];
    lines.extend(hint_for((&root, command), env, error).map(|hint| format!("hint: {hint}")));
    let meant = meant_instead(command, error);
    let shown = meant.first().and_then(|name| command.find_subcommand(name)).unwrap_or(command);
    match cli::examples(shown).into_iter().next() {
        Some(example) => lines.push(format!("for example: {example}")),
        None if path.is_empty() => lines.push("hint: `runabout help` lists the commands".to_owned()),
        None => {}
    }
    if !path.is_empty() {
        lines.push(format!("`runabout help {name}` tells all of it"));
    }
    lines
}

/// What was most likely meant.
fn hint_for((root, command): (&Command, &Command), env: &Env, error: &clap::Error) -> Option<String> {
    let words: Vec<String> = env.arguments.iter().map(|word| word.to_string_lossy().into_owned()).collect();
    let at = |kind| match error.get(kind) {
        Some(ContextValue::String(typed)) => words.iter().rposition(|word| word == typed || starts(word, typed)),
        _ => None,
    };
    match error.kind() {
        ErrorKind::UnknownArgument => {
            let at = at(ContextKind::InvalidArg);
            let whole = at.and_then(|at| hyphened(root, words.get(at.checked_sub(1)?)?, &words[at]));
            let belongs = || at.and_then(|at| cli::argument_hints::belongs(command, &words, at));
            whole
                .map(|whole| format!("did you mean '{whole}'?"))
                .or_else(belongs)
                .or_else(|| did_you_mean(&suggested(error, ContextKind::SuggestedArg)))
        }
        ErrorKind::InvalidSubcommand => {
            let split =
                at(ContextKind::InvalidSubcommand).and_then(|at| hyphened(root, &words[at], words.get(at + 1)?));
            did_you_mean(&split.map_or_else(|| meant_instead(command, error), |whole| vec![whole]))
        }
        ErrorKind::ValueValidation | ErrorKind::ArgumentConflict
            if cli::argument_hints::is_several_cars(command, error) =>
        {
            Some("`--share 1,2` shares it between cars".to_owned())
        }
        ErrorKind::InvalidValue => did_you_mean(&suggested(error, ContextKind::SuggestedValue)),
        _ => near_miss(command, error),
    }
}

/// The commands meant by a word that is none.
fn meant_instead(command: &Command, error: &clap::Error) -> Vec<String> {
    match error.get(ContextKind::InvalidSubcommand) {
        Some(ContextValue::String(word)) => {
            cli::meant::commands_meant(command, word, |word, words| near_words(word, words))
        }
        _ => Vec::new(),
    }
}

/// A command of two words, typed without the hyphen between them.
fn hyphened(root: &Command, first: &str, second: &str) -> Option<String> {
    let whole = format!("{first}-{second}");
    root.find_subcommand(&whole).map(|_| whole)
}

/// `--paid=cash` for `--paid`.
fn starts(word: &str, option: &str) -> bool {
    word.strip_prefix(option).is_some_and(|rest| rest.starts_with('='))
}

fn suggested(error: &clap::Error, kind: ContextKind) -> Vec<String> {
    match error.get(kind) {
        Some(ContextValue::String(word)) => vec![word.clone()],
        // The likest comes last.
        Some(ContextValue::Strings(words)) => words.iter().rev().cloned().collect(),
        _ => Vec::new(),
    }
}

fn did_you_mean(words: &[String]) -> Option<String> {
    let quoted: Vec<String> = words.iter().map(|word| format!("'{word}'")).collect();
    (!quoted.is_empty()).then(|| format!("did you mean {}?", quoted.join(" or ")))
}

/// The innermost command typed, with the words that lead to it.
fn typed_command<'c>(root: &'c Command, env: &Env) -> (Vec<String>, &'c Command) {
    let words: Vec<String> = env.arguments.iter().map(|word| word.to_string_lossy().into_owned()).collect();
    cli::typed_command(root, &words)
}

/// The word most like the one typed, of those its argument takes.
fn near_miss(command: &Command, error: &clap::Error) -> Option<String> {
    let (ContextValue::String(argument), ContextValue::String(typed)) =
        (error.get(ContextKind::InvalidArg)?, error.get(ContextKind::InvalidValue)?)
    else {
        return None;
    };
    if error.kind() != ErrorKind::ValueValidation {
        return None;
    }
    let argument = command.get_arguments().find(|known| known.to_string() == *argument)?;
    let words = cli::words::accepted(argument);
    let near = near_words(&typed.to_lowercase(), words.iter().map(String::as_str)).into_iter().next()?;
    Some(format!("did you mean '{near}'?"))
}
