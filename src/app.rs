//! Parse, open, carry out, render, print, exit code. The one place where everything meets.

mod demo;

use crate::cli::word_joining::join_marks;
use crate::cli::{Cli, Colour, Command, Everywhere, Format};
use crate::commands::{self, Context, Does};
use crate::domain::refusal::Refusal;
use crate::domain::unseen::written_out;
use crate::env::Env;
use crate::error::Error;
use crate::render;
use crate::render::text::TextStyle;
use crate::report::Report;
use crate::store::{open_to_read, open_to_record};
use anstyle::{AnsiColor, Style};
use clap::Parser;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Runs the program in `env` and gives its exit code.
pub fn run(env: &mut Env) -> u8 {
    let arguments = join_marks(env.arguments.clone());
    let cli = match Cli::try_parse_from(&arguments) {
        Ok(cli) => cli,
        Err(error) => return say_usage(env, &error),
    };
    match carry_out(&cli, env) {
        Ok(code) => code,
        Err(error) => {
            // A reader that went away (`runabout log | head`) has what it wanted.
            if matches!(&error, Error::Output(source) if source.kind() == io::ErrorKind::BrokenPipe) {
                return 0;
            }
            say_error(env, &error);
            error.exit_code()
        }
    }
}

/// A check found something, by the contract's exit codes.
const FOUND: u8 = 3;

fn carry_out(cli: &Cli, env: &mut Env) -> Result<u8, Error> {
    let Some(command) = &cli.command else {
        return print(env, INTRODUCTION).map(|()| 0);
    };
    if let Command::Demo(_) = command {
        return demo::run(&cli.everywhere, env).map(|()| 0);
    }
    let path = book_path(&cli.everywhere, env)?;
    let context = context(&cli.everywhere, env, &path, typed(&env.arguments))?;
    if let Command::Calendar(args) = command {
        let agenda = commands::agenda(args, &open_to_read(&path)?, &context)?;
        let bytes = render::calendar::calendar(&agenda);
        return write_out(&bytes, args.out.as_deref(), "runabout.ics", env).map(|()| 0);
    }
    let report = match commands::does(command) {
        Does::Looks => commands::run(command, &mut open_to_read(&path)?, &context)?,
        Does::Records { dry_run } => record(command, &path, &context, dry_run, env)?,
    };
    if let Report::Due(due) = &report
        && due.is_silent()
    {
        return Ok(0);
    }
    show(&report, command, &cli.everywhere, env)?;
    Ok(if matches!(&report, Report::Due(due) if due.found()) { FOUND } else { 0 })
}

/// Writes what is for another program: to the file named; without one to standard output when that
/// is not a terminal, else to a file here, which is named.
fn write_out(bytes: &str, out: Option<&Path>, default: &str, env: &mut Env) -> Result<(), Error> {
    let path = match out {
        Some(path) => path,
        None if env.terminal => Path::new(default),
        None => return print(env, bytes),
    };
    std::fs::write(path, bytes).map_err(|source| Error::CannotWrite { path: path.to_owned(), source })?;
    hint(env, &format!("written to {}", path.display()));
    Ok(())
}

/// Records in the book, which is made when it is not there; a book made for a recording that was
/// refused, or only tried, is taken away again.
fn record(command: &Command, path: &Path, context: &Context, dry_run: bool, env: &mut Env) -> Result<Report, Error> {
    let (mut book, new) = open_to_record(path)?;
    let done = commands::run(command, &mut book, context);
    drop(book);
    if new && (done.is_err() || dry_run) {
        // Nothing was recorded in it, so there is nothing to lose; failing to tidy is no failure.
        let _ = std::fs::remove_file(path);
    } else if new {
        hint(env, &format!("started a new book at {}", path.display()));
    }
    done
}

fn context(everywhere: &Everywhere, env: &Env, path: &Path, typed: String) -> Result<Context, Error> {
    let real_today = env.real_today()?;
    let today = match &everywhere.as_of {
        Some(typed) => typed.resolve_any(real_today)?,
        None => real_today,
    };
    Ok(Context { today, standing_to: today.min(real_today), now: env.clock, typed, book: path.display().to_string() })
}

fn book_path(everywhere: &Everywhere, env: &Env) -> Result<PathBuf, Error> {
    everywhere
        .book
        .clone()
        .or_else(|| env.book.clone())
        .or_else(|| env.data_folder.as_ref().map(|folder| folder.join("runabout.book")))
        .ok_or(Error::NoFolder)
}

/// The command as typed, for the entry: one line, nothing unseen in it.
fn typed(arguments: &[std::ffi::OsString]) -> String {
    let words: Vec<String> =
        arguments.iter().skip(1).map(|word| written_out(&word.to_string_lossy()).into_owned()).collect();
    shlex::try_join(words.iter().map(String::as_str)).unwrap_or_else(|_| words.join(" "))
}

/// Renders the report as asked and writes it.
fn show(report: &Report, command: &Command, everywhere: &Everywhere, env: &mut Env) -> Result<(), Error> {
    let ours = |error: &dyn std::error::Error| Error::Ours(format!("the answer could not be made: {error}"));
    match everywhere.format {
        Format::Json => print(env, &render::json::pretty(report).map_err(|error| ours(&error))?),
        Format::Csv => {
            let document = report.document();
            let part = commands::part(command);
            let table = document.part(part).ok_or_else(|| Refusal::NoSuchPart {
                part: part.unwrap_or("main").to_owned(),
                accepted: document.tables().map(|table| table.name).collect::<Vec<_>>().join(", "),
            })?;
            print(env, &render::csv::table_csv(table).map_err(|error| ours(&error))?)
        }
        Format::Table => {
            let rendered = render::text::text(&report.document(), text_style(everywhere, env));
            print(env, &format!("{}\n", rendered.out.trim_end()))?;
            for note in rendered.notes {
                hint(env, &format!("note: {note}"));
            }
            Ok(())
        }
    }
}

fn text_style(everywhere: &Everywhere, env: &Env) -> TextStyle {
    TextStyle { width: env.width, colour: colours(everywhere.color, env), unicode: env.unicode }
}

fn colours(colour: Colour, env: &Env) -> bool {
    match colour {
        Colour::Auto => env.colour,
        Colour::Always => true,
        Colour::Never => false,
    }
}

/// Writes an answer, whole or not at all.
fn print(env: &mut Env, text: &str) -> Result<(), Error> {
    env.out.write_all(text.as_bytes()).and_then(|()| env.out.flush()).map_err(Error::Output)
}

/// Writes a hint or caution; when even that cannot be written there is nobody to tell.
fn hint(env: &mut Env, text: &str) {
    let _ = writeln!(env.err, "{}", written_out(text));
}

fn say_error(env: &mut Env, error: &Error) {
    let mut lines = format!("{} {}\n", red_error(env.colour), written_out(&error.to_string()));
    let mut cause = std::error::Error::source(error);
    while let Some(source) = cause {
        lines += &format!("caused by: {}\n", written_out(&source.to_string()));
        cause = source.source();
    }
    if let Some(hint) = error.hint() {
        lines += &format!("hint: {}\n", written_out(&hint));
    }
    let _ = env.err.write_all(lines.as_bytes());
}

/// Help goes to stdout and is no failure; a wrong command line is exit 2. An error quotes what was
/// typed, so it is made visible like everything else that is quoted.
fn say_usage(env: &mut Env, error: &clap::Error) -> u8 {
    let code = u8::try_from(error.exit_code()).unwrap_or(2);
    if error.use_stderr() {
        let text = error.render().to_string();
        let text: Vec<_> = text.trim_end().lines().map(written_out).collect();
        let message = text.join("\n");
        let _ = writeln!(env.err, "{}{}", red_error(env.colour), message.strip_prefix("error:").unwrap_or(&message));
        return code;
    }
    let text = error.render();
    match print(env, &if env.colour { text.ansi().to_string() } else { text.to_string() }) {
        Ok(()) => code,
        Err(error) => error.exit_code(),
    }
}

fn red_error(colour: bool) -> String {
    let red = if colour { Style::new().bold().fg_color(Some(AnsiColor::Red.into())) } else { Style::new() };
    format!("{red}error:{red:#}")
}

const INTRODUCTION: &str = "\
Runabout keeps the book of a trader who buys one tired car a month.
Start with the money in hand and a car:   runabout pay-in 1500
                                          runabout buy KX12 RTO 450
See an invented yard with a year in it:   runabout demo
Every command, with examples:             runabout help
";
