//! `demo`: an invented yard replayed from `demo/yard.txt` into a fresh book, each line through the
//! same parsing and the same commands as if typed on its day; then every main screen.

use crate::app::context::context;
use crate::app::output::{hint, print, show};
use crate::cli::{self, Everywhere};
use crate::commands::Command;
use crate::commands::steps::context::Context;
use crate::commands::{Cli, GRAMMAR};
use crate::env::Env;
use crate::error::Error;
use crate::store::{Book, NewBook, open_to_read};
use chrono::{NaiveDate, NaiveTime};
use std::ffi::OsString;
use std::path::PathBuf;

const YARD: &str = include_str!("../../demo/yard.txt");

/// The screens shown, in order, as typed.
const SCREENS: &[&str] = &["due", "stock", "month last", "results", "programme", "forecast"];

/// Columns that an error of the demo's own is written for.
const WIDTH: usize = 80;

/// One line of the script: a day and the words typed on it.
struct Typed {
    on: NaiveDate,
    words: Vec<String>,
}

pub fn run(everywhere: &Everywhere, env: &mut Env) -> Result<(), Error> {
    let path = fresh_path(everywhere, env)?;
    let script = script()?;
    let mut new = NewBook::begin(&path)?;
    let today = replay(new.book(), &script, everywhere, env)?;
    new.finish()?;
    print(
        env,
        &format!(
            "An invented yard, {} entries, as it stood on {}.\n",
            script.len() - 1,
            crate::domain::days::day::long(today)
        ),
    )?;
    let book = path.display().to_string();
    for screen in SCREENS {
        print(env, &format!("\n$ runabout {screen}\n\n"))?;
        let cli = parse(&screen.split(' ').map(str::to_owned).collect::<Vec<_>>())?;
        let context = context_on(today, screen, everywhere, env, &path)?;
        let Some(act) = cli.command.as_ref().and_then(Command::on_book) else { continue };
        show(&act.carry_out(&mut open_to_read(&path)?, &context)?, act.part(), everywhere, env)?;
    }
    let day = format!("--book {} --as-of {today}", shlex::try_quote(&book).unwrap_or(book.as_str().into()));
    hint(env, "");
    hint(env, &format!("This book is at {book}; try it as you like, it is yours to spoil:"));
    hint(env, &format!("  runabout {day}"));
    for next in ["page --out yard.html", "car 13", "cash", "log", "bid --sells-for 1,325", "mot 15 pass --fee 54.85"] {
        hint(env, &format!("  runabout {next} {day}"));
    }
    hint(env, "Your own book starts with: runabout pay-in 1,850");
    Ok(())
}

/// Where the demo goes: the file named, if there is none yet, else a folder of its own among what
/// need not last.
fn fresh_path(everywhere: &Everywhere, env: &Env) -> Result<PathBuf, Error> {
    let named = everywhere.book.clone().or_else(|| env.book.clone());
    let path = named.unwrap_or_else(|| {
        let folder = format!("runabout-demo-{}-{}", env.clock.format("%Y%m%d-%H%M%S"), std::process::id());
        env.temporary_folder.join(folder).join("yard.book")
    });
    if path.exists() { Err(Error::DemoBookExists(path)) } else { Ok(path) }
}

/// Records every line on its day and gives the day of the last, which records nothing.
fn replay(book: &mut Book, script: &[Typed], everywhere: &Everywhere, env: &Env) -> Result<NaiveDate, Error> {
    let mut today = None;
    for line in script {
        today = Some(line.on);
        if line.words == ["today"] {
            continue;
        }
        let typed = shlex::try_join(line.words.iter().map(String::as_str)).unwrap_or_else(|_| line.words.join(" "));
        let context = context_on(line.on, &typed, everywhere, env, &PathBuf::new())?;
        let cli = parse(&line.words)?;
        let Some(act) = cli.command.as_ref().and_then(Command::on_book) else { continue };
        act.carry_out(book, &context).map_err(|error| match error {
            Error::Book(error) => Error::Book(error),
            ours => Error::Ours(format!("the demo's line '{typed}' of {}: {ours}", line.on)),
        })?;
    }
    today.ok_or_else(|| Error::Ours("the demo is empty".into()))
}

/// The world as the demo sees it: its own day, nine in the morning of it.
fn context_on(
    on: NaiveDate,
    typed: &str,
    everywhere: &Everywhere,
    env: &Env,
    path: &std::path::Path,
) -> Result<Context, Error> {
    let real = context(everywhere, env, path, typed.to_owned())?;
    let nine = NaiveTime::from_hms_opt(9, 0, 0).unwrap_or_default();
    Ok(Context { today: on, standing_to: on, now: on.and_time(nine).and_utc(), ..real })
}

pub(super) fn parse(words: &[String]) -> Result<Cli, Error> {
    let words = std::iter::once("runabout".to_owned()).chain(words.iter().cloned()).map(OsString::from).collect();
    cli::read(&GRAMMAR, words, WIDTH, &|_| false)
        .map_err(|error| Error::Ours(format!("a command of the program's own does not parse: {error}")))
}

fn script() -> Result<Vec<Typed>, Error> {
    let bad = |line: &str| Error::Ours(format!("the demo has a line that is not a day and a command: {line}"));
    YARD.lines()
        .filter(|line| !line.is_empty() && !line.starts_with('#'))
        .map(|line| {
            let (day, command) = line.split_once(' ').ok_or_else(|| bad(line))?;
            let on = day.parse().map_err(|_| bad(line))?;
            Ok(Typed { on, words: shlex::split(command).ok_or_else(|| bad(line))? })
        })
        .collect()
}
