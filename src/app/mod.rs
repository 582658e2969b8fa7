//! Parse, open, carry out, render, print, exit code. The one place where everything meets.

mod apart;
mod asking;
mod completing;
mod context;
mod demo;
mod failed_output;
mod manual;
mod named_file;
mod output;
mod reading;
mod recording;
mod sheet;
mod usage;
mod whole_book;
mod written;
mod year_end;

use crate::app::asking::LineOutcome;
use crate::app::context::{attached, beside_book};
use crate::app::output::{aside, print, say_error, show};
use crate::app::reading::read_words;
use crate::app::recording::{close, naming_the_row, record};
use crate::app::usage::say_usage;
use crate::cli::{Everywhere, Format};
use crate::commands::{self, Act, Cli, Command, Kind};
use crate::env::Env;
use crate::error::Error;
use crate::report::Report;
use crate::store::{BookError, open_to_read};
use std::io::{self, Write};

/// Runs the program in `env` and gives its exit code.
pub fn run(env: &mut Env) -> u8 {
    if let Some(shell) = env.completing.clone() {
        return completing::answer(&shell, env);
    }
    let read = read_words(env.arguments.clone(), env);
    match asking::complete(&read, env) {
        LineOutcome::AsTyped => act(read, env),
        LineOutcome::Completed => {
            let code = run_as_typed(env);
            asking::show_whole_line(env);
            code
        }
        LineOutcome::Ended(code) => code,
    }
}

fn run_as_typed(env: &mut Env) -> u8 {
    let read = read_words(env.arguments.clone(), env);
    act(read, env)
}

fn act(read: Result<Cli, clap::Error>, env: &mut Env) -> u8 {
    let cli = match read {
        Ok(cli) => cli,
        Err(error) => return say_usage(env, &error),
    };
    match carry_out(&cli, env) {
        Ok(code) => code,
        Err(error) if agrees(&cli, &error, env) || asking::gives_year(&cli, &error, env) => run_as_typed(env),
        Err(error) => {
            let error = naming_the_row(&cli.everywhere, error, env);
            // A reader that went away (`runabout log | head`) has what it wanted.
            if let Error::Output(source) = &error
                && source.kind() == io::ErrorKind::BrokenPipe
            {
                return 0;
            }
            say_error(env, &error);
            error.exit_code()
        }
    }
}

/// Asks what a refusal can be settled by; after a yes the command is typed again with the option that
/// says so. Nobody is asked in a script, or with `--yes`.
fn agrees(cli: &Cli, error: &Error, env: &mut Env) -> bool {
    let Error::Refused(refusal) = error else { return false };
    let Some((question, option)) = refusal.question().filter(|_| !cli.everywhere.yes) else { return false };
    if env.answer.is_none() {
        return false;
    }
    let _ = write!(env.err, "{} [y/N] ", aside(&question, env.width)).and_then(|()| env.err.flush());
    let answer = env.answer.as_mut().and_then(|answer| answer()).unwrap_or_default();
    let agreed = matches!(answer.to_lowercase().as_str(), "y" | "yes");
    if agreed {
        env.arguments.push(option.into());
    }
    agreed
}

/// A check found something, by the contract's exit codes.
const FOUND: u8 = 3;

fn carry_out(cli: &Cli, env: &mut Env) -> Result<u8, Error> {
    if let Some(misfit) = commands::misfit(cli) {
        return Err(misfit.into());
    }
    let Some(command) = &cli.command else {
        return morning(&cli.everywhere, env).map(|()| 0);
    };
    match command.kind() {
        Kind::Apart(apart) => apart::carry_out(&apart, &cli.everywhere, env).map(|()| 0),
        Kind::OnBook(act) => on_book(command, act, &cli.everywhere, env),
    }
}

/// Carries out a command on the book, shows its report, and gives the exit code.
fn on_book(command: &Command, act: Act<'_>, everywhere: &Everywhere, env: &mut Env) -> Result<u8, Error> {
    let (path, mut context) = beside_book(everywhere, env)?;
    context.attached = attached(command)?;
    let report = match act {
        Act::Looks(_) => {
            let mut book = open_to_read(&path)?.with_rates(context.rates);
            let report = act.carry_out(&mut book, &context);
            close(book, env);
            report?
        }
        Act::Records { dry_run, .. } => record(act, &path, &context, dry_run, env)?,
    };
    if let Report::Due(due) = &report
        && due.is_silent()
    {
        return Ok(0);
    }
    if let (Report::Invoice(invoice), Command::Invoice(args)) = (&report, command)
        && written::hand_over(invoice, args, &path, everywhere, env)?
    {
        return Ok(0);
    }
    let answered = show(&report, act.part(), everywhere, env);
    failed_output::or_tell_it_is_done(answered, &report, env)?;
    Ok(if report.found() { FOUND } else { 0 })
}

/// The morning screen; without a book, what this is and how to begin. A program is not asked to begin.
fn morning(everywhere: &Everywhere, env: &mut Env) -> Result<(), Error> {
    let (path, context) = beside_book(everywhere, env)?;
    match open_to_read(&path) {
        Ok(book) => {
            let book = book.with_rates(context.rates);
            let report = commands::morning::run(book.read(), &context);
            close(book, env);
            show(&report?.into(), None, everywhere, env)
        }
        Err(BookError::NotThere { .. }) if everywhere.format == Format::Table => print(env, INTRODUCTION),
        Err(error) => Err(error.into()),
    }
}

const INTRODUCTION: &str = "\
Runabout keeps the book of a trader who buys one tired car a month.
Start with the money in hand and a car:   runabout pay-in 1,850
                                          runabout buy KX42 RTO 485
See an invented yard with a year in it:   runabout demo
Every command, with examples:             runabout help
";
