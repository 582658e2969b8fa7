//! Completion: the script a shell loads, and what it is offered while a command is typed. It runs before
//! anything else, only reads, and on any error offers nothing: a key press is no place for a message.
//!
//! A completion script sets `RUNABOUT_COMPLETE`, and `app::run` answers before anything else (`app/completing.rs`).
//! The book is opened read-only, another's writing is waited for 50 ms at most, a book of another version is left
//! alone, and on any error nothing is offered. Marks are offered as one word; after the first half of one (`car
//! KX42 `) the second is. A name of two words is quoted for Bash and PowerShell, which do not do it themselves.
//! `tests/commands/line/completing.rs` asks the real program as each shell would, and loads the scripts in bash, zsh and
//! fish where they are there; PowerShell's is only read.

use crate::app::context::{book_path, context};
use crate::app::output::print;
use crate::app::reading::CarsKnown;
use crate::cli::words::accepted;
use crate::cli::{self, Detail, Everywhere};
use crate::commands::GRAMMAR;
use crate::commands::keep::completions::Shell;
use crate::commands::steps::context::{Attached, Context, Progress};
use crate::commands::{Offered, Wanted, offered};
use crate::domain::days::tax_year::TaxYear;
use crate::domain::law::rate_table::Rates;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::mark::Mark;
use crate::domain::value::words::Direction;
use crate::env::{COMPLETING, COMPLETING_WORD, Env};
use crate::error::Error;
use crate::store::open_to_complete;
use chrono::{DateTime, NaiveDate, Utc};
use clap::{Arg, Command, ValueEnum};
use clap_complete::engine::{ArgValueCompleter, CompletionCandidate};
use clap_complete::env::{Bash, EnvCompleter, Fish, Powershell, Zsh};
use std::any::TypeId;
use std::ffi::OsString;
use std::path::PathBuf;
use std::rc::Rc;
use std::sync::Arc;

/// Tax years offered: this one and those before it.
const TAX_YEARS: i32 = 6;

/// What a shell may leave at the front of a word.
const QUOTES: [char; 2] = ['"', '\''];

/// The line being typed, the book it is about and the day it is.
struct Line {
    shell: Shell,
    words: Vec<String>,
    /// Which of the words is being typed.
    at: usize,
    /// Whether the word being typed was begun with a quote, which the shell will close.
    is_quoted: bool,
    book: Option<PathBuf>,
    today: NaiveDate,
    real_today: NaiveDate,
    now: DateTime<Utc>,
}

/// Prints the script for a shell.
pub(super) fn script(shell: Shell, env: &mut Env) -> Result<(), Error> {
    let program = env.arguments.first().map(PathBuf::from).unwrap_or_default();
    // A name alone is found on the path whenever the script runs; a path must not hang on the folder.
    let program = match &env.folder {
        Some(folder) if program.components().count() > 1 => folder.join(program),
        _ => program,
    };
    let mut text = Vec::new();
    adapter(shell)
        .write_registration(COMPLETING, "runabout", "runabout", &program.to_string_lossy(), &mut text)
        .map_err(Error::Output)?;
    let asks = format!("{COMPLETING}=\"bash\" \\");
    let with_the_word = format!("{COMPLETING_WORD}=\"${{COMP_WORDS[COMP_CWORD]}}\" \\\n        {asks}");
    print(env, &String::from_utf8_lossy(&text).replace(&asks, &with_the_word))
}

/// Answers a shell that asks what could be typed next; the words so far stand after `--`.
pub(super) fn answer(shell: &str, env: &mut Env) -> u8 {
    let Some(shell) = Shell::from_str(shell, true).ok() else { return 0 };
    let mut words: Vec<OsString> = env.arguments.iter().skip_while(|word| *word != "--").skip(1).cloned().collect();
    if words.is_empty() {
        return u8::from(script(shell, env).is_err());
    }
    let at = env.completing_index.unwrap_or(words.len() - 1).min(words.len());
    let line = Arc::new(Line::typed(shell, &words, at, env));
    words.resize(at + 1, OsString::new());
    let begins_an_option = words.last().is_some_and(|word| word.to_string_lossy().starts_with('-'));
    let halves = line.second_halves();
    let mut command = if halves.is_empty() {
        words = joined(words, &CarsKnown::named_in(&env.arguments, env));
        completing_command(&line, !begins_an_option)
    } else {
        // Nothing but the half can be meant; shells count the words, so they stay as many as they were.
        let last = words.len() - 1;
        words[1..last].fill("x".into());
        halving_command(halves)
    };
    let mut text = Vec::new();
    if adapter(shell).write_complete(&mut command, words, env.folder.as_deref(), &mut text).is_ok() {
        // Nobody is there to be told that nothing could be told.
        let _ = print(env, &String::from_utf8_lossy(&text));
    }
    0
}

fn adapter(shell: Shell) -> &'static dyn EnvCompleter {
    match shell {
        Shell::Bash => &Bash,
        Shell::Zsh => &Zsh,
        Shell::Fish => &Fish,
        Shell::Powershell => &Powershell,
    }
}

/// The halves of a mark before the word being typed made one, with a word that says nothing in the place of
/// the second, because shells count the words.
fn joined(words: Vec<OsString>, cars: &CarsKnown) -> Vec<OsString> {
    let Some((last, before)) = words.split_last() else { return words };
    let count = before.len();
    let mut joined = cli::join_words(&(GRAMMAR.root)(), before.to_vec(), &|word| cars.has(word));
    while joined.len() < count {
        joined.insert(1, "--yes".into());
    }
    joined.push(last.clone());
    joined
}

impl Line {
    fn typed(shell: Shell, words: &[OsString], at: usize, env: &Env) -> Self {
        let typed = words;
        let words: Vec<String> = typed.iter().map(|word| unquoted(&word.to_string_lossy(), env)).collect();
        let said = |option: &str| after(&words, option);
        let everywhere = Everywhere {
            book: said("--book").map(PathBuf::from),
            as_of: said("--as-of").and_then(|day| day.parse().ok()),
            ..Everywhere::default()
        };
        let book = book_path(&everywhere, env).ok();
        let days = context(&everywhere, env, &PathBuf::new(), String::new());
        let (today, real_today) = days.map_or((env.clock_day, env.clock_day), |it| (it.today, it.standing_to));
        let begun =
            env.completing_word.clone().or_else(|| typed.get(at).map(|word| word.to_string_lossy().into_owned()));
        let is_quoted = begun.is_some_and(|word| word.starts_with(QUOTES));
        Self { shell, book, today, real_today, now: env.clock, is_quoted, at, words }
    }

    /// What the book holds that could be meant; nothing when anything is wrong.
    fn look(&self, wanted: &Wanted, begun: &str) -> Vec<Offered> {
        let context = Context {
            today: self.today,
            standing_to: self.real_today,
            now: self.now,
            typed: String::new(),
            book: String::new(),
            attached: Attached::default(),
            progress: Progress(Rc::new(|_| {})),
            rates: Rates::default(),
        };
        let book = self.book.as_deref().and_then(|path| open_to_complete(path).ok());
        book.and_then(|book| offered(wanted, begun, &book, &context).ok()).unwrap_or_default()
    }

    /// What the word being typed could be the rest of, when the word before it is the first half of a mark.
    fn second_halves(&self) -> Vec<Offered> {
        let Some([.., first, begun]) = self.words.get(..=self.at) else { return Vec::new() };
        let found = self.look(&Wanted::AnyCar, &format!("{first}{begun}")).into_iter();
        let half = |offer: Offered| {
            let mark = offer.word.parse::<Mark>().ok()?.to_string();
            let (before, after) = mark.split_once(' ')?;
            let fits = before.eq_ignore_ascii_case(first) && offer.word.len() > first.len();
            let word = if begun.contains(char::is_lowercase) { after.to_lowercase() } else { after.to_owned() };
            fits.then_some(Offered { word, ..offer })
        };
        found.filter_map(half).collect()
    }

    /// A word as it can stand on the line: one of several words is quoted where the shell does not see to it.
    fn quoted(&self, word: &str) -> String {
        if !word.contains(|c: char| c.is_whitespace() || "'\"\\$`!&;()<>|*?".contains(c)) || self.is_quoted {
            return word.to_owned();
        }
        match self.shell {
            Shell::Bash => {
                word.chars().flat_map(|c| (!c.is_alphanumeric()).then_some('\\').into_iter().chain([c])).collect()
            }
            Shell::Powershell => format!("'{}'", word.replace('\'', "''")),
            Shell::Zsh | Shell::Fish => word.to_owned(),
        }
    }

    /// The entry that `amend` is about.
    fn entry(&self) -> Option<i64> {
        let after = self.words.iter().skip_while(|word| *word != "amend").skip(1);
        after.filter(|word| !word.starts_with('-')).find_map(|word| word.parse().ok())
    }
}

/// The value of an option on the line.
fn after(words: &[String], option: &str) -> Option<String> {
    let joined = words.iter().find_map(|word| word.strip_prefix(option)?.strip_prefix('=')).map(str::to_owned);
    joined.or_else(|| words.windows(2).find(|pair| pair[0] == option).map(|pair| pair[1].clone()))
}

/// A word as the shell would hand it over: shells give it as it stands on the line.
fn unquoted(word: &str, env: &Env) -> String {
    let word = match (word.strip_prefix("~/"), &env.home) {
        (Some(rest), Some(home)) => home.join(rest).to_string_lossy().into_owned(),
        _ => word.to_owned(),
    };
    shlex::split(&word).and_then(|words| words.into_iter().next()).unwrap_or(word)
}

/// A command that takes any words, the last of them one of these.
fn halving_command(halves: Vec<Offered>) -> Command {
    let offer = move |begun: &std::ffi::OsStr| {
        let begun = begun.to_string_lossy().into_owned();
        let fitting = halves.iter().filter(|half| half.word.starts_with(&begun));
        fitting.map(|half| CompletionCandidate::new(&half.word).help(Some(half.meaning.clone().into()))).collect()
    };
    let half = Arg::new("half").num_args(1..).add(ArgValueCompleter::new(offer));
    Command::new("runabout").disable_help_flag(true).arg(half)
}

/// The command with what each of its arguments could be. Options that were not begun are hidden, which is to
/// say offered where nothing else is.
fn completing_command(line: &Arc<Line>, hide_options: bool) -> Command {
    fn fill(command: Command, line: &Arc<Line>, hide_options: bool) -> Command {
        let name = command.get_name().to_owned();
        let command = command.disable_help_flag(hide_options);
        let filled = command.mut_args(|argument| {
            let hidden = hide_options && !argument.is_positional();
            let never_shown = argument.is_hide_set();
            offering(argument, &name, line).hide(hidden || never_shown)
        });
        filled.mut_subcommands(|inner| fill(inner, line, hide_options))
    }
    fill(cli::command(&GRAMMAR, Detail::Plain), line, hide_options)
}

/// An argument that offers what it could be.
fn offering(argument: Arg, command: &str, line: &Arc<Line>) -> Arg {
    let words = accepted(&argument);
    if !words.is_empty() {
        return argument.add(ArgValueCompleter::new(move |begun: &std::ffi::OsStr| {
            let begun = begun.to_string_lossy().to_lowercase();
            words.iter().filter(|word| word.starts_with(&begun)).map(CompletionCandidate::new).collect()
        }));
    }
    if argument.get_value_parser().type_id() == TypeId::of::<TaxYear>() {
        let this = TaxYear::containing(line.today);
        return argument.add(ArgValueCompleter::new(move |begun: &std::ffi::OsStr| {
            let begun = begun.to_string_lossy().into_owned();
            let years = (0..TAX_YEARS).map(|back| this.minus(back).to_string());
            years.filter(|year| year.starts_with(&begun)).map(CompletionCandidate::new).collect()
        }));
    }
    let Some(wanted) = wanted(&argument, command, line) else { return argument };
    let line = Arc::clone(line);
    argument.add(ArgValueCompleter::new(move |begun: &std::ffi::OsStr| {
        let typed = begun.to_string_lossy();
        let begun = typed.trim_start_matches(QUOTES).replace('\\', "");
        let found = line.look(&wanted, &begun).into_iter();
        found
            .map(|it| {
                let meaning = (!it.meaning.is_empty()).then(|| it.meaning.into());
                CompletionCandidate::new(line.quoted(&it.word)).help(meaning)
            })
            .collect()
    }))
}

/// What of the book an argument of a command stands for.
fn wanted(argument: &Arg, command: &str, line: &Line) -> Option<Wanted> {
    let takes_a_car = argument.get_value_parser().type_id() == TypeId::of::<CarRef>();
    Some(match (command, argument.get_id().as_str()) {
        ("take-back" | "write-off", _) if takes_a_car => Wanted::CarGone,
        ("car" | "log" | "note" | "invoice" | "spend" | "receive" | "mark", _) if takes_a_car => Wanted::AnyCar,
        _ if takes_a_car => Wanted::CarInStock,
        (_, "split") => Wanted::Target,
        ("receive", "heading") => Wanted::Heading(Direction::Receipt),
        (_, "heading") => Wanted::Heading(Direction::Cost),
        ("stop" | "change" | "skip", "name") => Wanted::Standing,
        ("renew" | "remove", "name") => Wanted::Paper,
        ("undo" | "amend" | "receipt", "entry") => Wanted::Entry,
        ("amend", "field") => Wanted::Field(line.entry()?),
        ("done", "items") => Wanted::DueItem,
        ("set", "key") => Wanted::SettingKey,
        ("buy" | "bid", "auction") => Wanted::Auction,
        _ => return None,
    })
}
