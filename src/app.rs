//! Parse, open, carry out, render, print, exit code. The one place where everything meets.

mod asking;
mod cars_known;
mod completing;
mod demo;
mod manual;
mod named_file;
mod sheet;
mod unheard;
mod usage;
mod whole_book;
mod written;
mod year_end;

use crate::app::asking::Asked;
use crate::app::cars_known::CarsKnown;
use crate::app::usage::say_usage;
use crate::app::written::Written;
use crate::cli::{self, Cli, Colour, Command, Everywhere, Format};
use crate::commands::deal::bid::BidArgs;
use crate::commands::{self, Attached, Context, Does, Progress};
use crate::domain::book::fee_scale::FeeScale;
use crate::domain::law::own_rates;
use crate::domain::law::rate_table::Rates;
use crate::domain::refusal::Refusal;
use crate::domain::value::unseen::written_out;
use crate::env::Env;
use crate::error::Error;
use crate::render;
use crate::render::text::TextStyle;
use crate::report::Report;
use crate::report::document::Document;
use crate::store::{self, BookError, look_for, open_to_read, open_to_record};
use anstyle::{AnsiColor, Style};
use std::ffi::OsString;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::rc::Rc;

/// Runs the program in `env` and gives its exit code.
pub fn run(env: &mut Env) -> u8 {
    if let Some(shell) = env.completing.clone() {
        return completing::answer(&shell, env);
    }
    let read = read_words(env.arguments.clone(), env);
    match asking::complete(&read, env) {
        Asked::Nothing => act(read, env),
        Asked::Everything => {
            let code = run_as_typed(env);
            asking::show_whole_line(env);
            code
        }
        Asked::Ended(code) => code,
    }
}

/// Reads words as a command line, beside the book it is about.
fn read_words(words: Vec<OsString>, env: &Env) -> Result<Cli, clap::Error> {
    let cars = CarsKnown::named_in(&words, env);
    cli::read(words, env.width, &|word| cars.has(word))
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

/// An error about what the book holds says in which row it is.
fn naming_the_row(everywhere: &Everywhere, error: Error, env: &Env) -> Error {
    match (error, book_path(everywhere, env)) {
        (Error::Book(error), Ok(path)) => Error::Book(store::naming_the_row(error, &path)),
        (error, _) => error,
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
    if let Some(misfit) = cli::fitting::misfit(cli) {
        return Err(misfit.into());
    }
    let Some(command) = &cli.command else {
        return morning(&cli.everywhere, env).map(|()| 0);
    };
    match command {
        Command::Demo(_) => return demo::run(&cli.everywhere, env).map(|()| 0),
        Command::Completions(args) => return completing::script(args.shell, env).map(|()| 0),
        Command::Manual(args) => {
            let book = book_path(&cli.everywhere, env).ok();
            return manual::run(args, book.as_deref(), env).map(|()| 0);
        }
        _ => {}
    }
    let path = book_path(&cli.everywhere, env)?;
    look_for(&path)?;
    let mut context = context(&cli.everywhere, env, &path, typed(&env.arguments))?;
    context.attached = attached(command)?;
    context.rates = rates(&cli.everywhere, env, &path)?;
    if let Command::Rates(args) = command {
        let report = commands::statutory_figures(args, &context)?;
        return show(&report, commands::part(command), &cli.everywhere, env).map(|()| 0);
    }
    if let Some(written) = Written::by(command) {
        return written.write(&open_to_read(&path)?.with_rates(context.rates), &context, env).map(|()| 0);
    }
    if let Some(report) = whole_file(command, &path, &context, env)? {
        let answered = show(&report, commands::part(command), &cli.everywhere, env);
        unheard::or_said_beside(answered, &report, env)?;
        return Ok(0);
    }
    let report = match commands::does(command) {
        Does::Looks => commands::run(command, &mut open_to_read(&path)?.with_rates(context.rates), &context)?,
        Does::Records { dry_run } => record(command, &path, &context, dry_run, env)?,
    };
    if let Report::Due(due) = &report
        && due.is_silent()
    {
        return Ok(0);
    }
    if let (Report::Invoice(invoice), Command::Invoice(args)) = (&report, command)
        && written::hand_over(invoice, args, &path, &cli.everywhere, env)?
    {
        return Ok(0);
    }
    let answered = show(&report, commands::part(command), &cli.everywhere, env);
    unheard::or_said_beside(answered, &report, env)?;
    Ok(if report.found() { FOUND } else { 0 })
}

/// The morning screen; without a book, what this is and how to begin. A program is not asked to begin.
fn morning(everywhere: &Everywhere, env: &mut Env) -> Result<(), Error> {
    let path = book_path(everywhere, env)?;
    look_for(&path)?;
    let mut context = context(everywhere, env, &path, typed(&env.arguments))?;
    context.rates = rates(everywhere, env, &path)?;
    match open_to_read(&path) {
        Ok(book) => {
            let report = commands::morning(&book.with_rates(context.rates), &context)?;
            show(&report, None, everywhere, env)
        }
        Err(BookError::NotThere { .. }) if everywhere.format == Format::Table => print(env, INTRODUCTION),
        Err(error) => Err(error.into()),
    }
}

/// Records in the book, which is made when it is not there; a book made for a recording that was
/// refused, or only tried, is taken away again.
fn record(command: &Command, path: &Path, context: &Context, dry_run: bool, env: &mut Env) -> Result<Report, Error> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty() && !folder.exists());
    let (book, new) = open_to_record(path)?;
    let mut book = book.with_rates(context.rates);
    let done = commands::run(command, &mut book, context);
    // Another program may have recorded in it meanwhile.
    let nothing_in_it = book.read().span_of_entries().is_ok_and(|span| span.is_none());
    drop(book);
    if new && nothing_in_it && (done.is_err() || dry_run) {
        // Nothing was recorded in it, so there is nothing to lose; failing to tidy is no failure.
        let _ = std::fs::remove_file(path);
        let _ = folder.map(std::fs::remove_dir);
    } else if new && done.is_ok() {
        hint(env, &format!("started a new book at {}", path.display()));
    }
    done
}

fn context(everywhere: &Everywhere, env: &Env, path: &Path, typed: String) -> Result<Context, Error> {
    let real_today = env.real_today().map_err(|error| Error::Today(error.to_string()))?;
    let today = match &everywhere.as_of {
        Some(typed) => typed.resolve_any(real_today)?,
        None => real_today,
    };
    Ok(Context {
        today,
        standing_to: today.min(real_today),
        now: env.clock,
        typed,
        book: path.display().to_string(),
        attached: Attached::default(),
        progress: Progress(Rc::clone(&env.progress)),
        rates: Rates::default(),
    })
}

/// The files a command names, read before the book is opened.
fn attached(command: &Command) -> Result<Attached, Error> {
    Ok(match command {
        Command::Bid(BidArgs { fees: Some(path), .. }) => Attached { fees: Some(fees(path)?), sheet: None },
        Command::Import(args) if !args.file.is_dir() => {
            Attached { fees: None, sheet: Some(Rc::new(sheet::read(&args.file)?)) }
        }
        _ => Attached::default(),
    })
}

fn fees(path: &Path) -> Result<FeeScale, Error> {
    named_file::read(path, named_file::LARGEST_LIST, None)?
        .parse()
        .map_err(|source| Error::NotFees { path: path.to_owned(), source })
}

/// What concerns the book's file as a whole: a copy put in its place, all of it written out or read in.
fn whole_file(command: &Command, path: &Path, context: &Context, env: &mut Env) -> Result<Option<Report>, Error> {
    Ok(match command {
        Command::Restore(args) => Some(commands::restored(args, path, context)?),
        Command::Export(args) => Some(match args.year {
            Some(year) => year_end::export(args, year, path, context)?.into(),
            None => whole_book::export(args, open_to_read(path)?.read(), context)?.into(),
        }),
        Command::Import(args) if args.file.is_dir() => {
            let read = whole_book::import(&args.file, path, context)?;
            hint(env, &format!("started a new book at {}", path.display()));
            Some(read.into())
        }
        _ => None,
    })
}

/// The statutory figures: those the program came with, and before them the lines of the file named
/// or, without one, of the file beside the book, if it is there.
fn rates(everywhere: &Everywhere, env: &Env, book: &Path) -> Result<Rates, Error> {
    let named = everywhere.rates.as_ref().or(env.rates.as_ref());
    let path = named.cloned().unwrap_or_else(|| book.with_extension("rates"));
    let text = match named_file::read(&path, named_file::LARGEST_LIST, None) {
        Err(Error::NoSuchFile { .. }) if named.is_none() => return Ok(Rates::default()),
        // Nor can there be one where its name would be longer than any may be.
        Err(Error::CannotRead { source, .. }) if named.is_none() && source.kind() == io::ErrorKind::InvalidFilename => {
            return Ok(Rates::default());
        }
        read => read?,
    };
    // Read once and kept as long as the program runs, so that what holds them can be copied freely.
    let own = own_rates::read(text.leak()).map_err(|source| Error::NotRates { path: path.clone(), source })?;
    Ok(Rates::with_own(own.leak(), path.display().to_string().leak()))
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
fn typed(arguments: &[OsString]) -> String {
    let words: Vec<String> =
        arguments.iter().skip(1).map(|word| written_out(&word.to_string_lossy()).into_owned()).collect();
    shlex::try_join(words.iter().map(String::as_str)).unwrap_or_else(|_| words.join(" "))
}

/// Renders the report as asked, or one list of it, and writes it.
fn show(report: &Report, part: Option<&str>, everywhere: &Everywhere, env: &mut Env) -> Result<(), Error> {
    let ours = |error: &dyn std::error::Error| Error::Ours(format!("the answer could not be made: {error}"));
    let document = report.document();
    if part.is_some() && document.part(part).is_none() {
        return Err(no_such_part(part.unwrap_or_default(), &document));
    }
    match everywhere.format {
        Format::Json if part.is_some() => {
            let with = "--format json, which holds every list; --format csv gives one";
            Err(Refusal::DoesNotGoWith { what: "--part", with }.into())
        }
        Format::Json => print(env, &render::json::pretty(report).map_err(|error| ours(&error))?),
        Format::Csv => {
            let table = document.part(part).ok_or_else(|| no_such_part("main", &document))?;
            print(env, &render::csv::table_csv(table).map_err(|error| ours(&error))?)
        }
        Format::Table => {
            let shown = part.and_then(|part| document.only(part)).unwrap_or(document);
            let rendered = render::text::text(&shown, text_style(everywhere, env));
            print(env, &format!("{}\n", rendered.out.trim_end()))?;
            for note in rendered.notes {
                hint(env, &format!("note: {note}"));
            }
            Ok(())
        }
    }
}

fn no_such_part(part: &str, document: &Document) -> Error {
    let names = || document.tables().map(|table| table.name);
    let (near, accepted) = (commands::near_words(part, names()), names().collect::<Vec<_>>().join(", "));
    Refusal::NoSuchPart { part: part.to_owned(), near, accepted }.into()
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
    let _ = writeln!(env.err, "{}", aside(text, env.width));
}

/// What goes to standard error: nothing unseen in it, and no line wider than the terminal.
fn aside(text: &str, width: usize) -> String {
    render::folding::folded(&written_out(text), width)
}

fn say_error(env: &mut Env, error: &Error) {
    let mut lines = vec![format!("error: {error}")];
    if let Error::Refused(refusal) = error {
        lines.extend(refusal.details());
        lines.extend(usage::near_value(refusal));
    }
    let mut cause = std::error::Error::source(error);
    while let Some(source) = cause {
        lines.push(format!("caused by: {source}"));
        cause = source.source();
    }
    lines.extend(error.hint().map(|hint| format!("hint: {hint}")));
    say(env, &lines);
}

/// Writes the lines of an error, its first word in colour where that is wanted.
fn say(env: &mut Env, lines: &[String]) {
    let red = if wants_colour(env) { Style::new().bold().fg_color(Some(AnsiColor::Red.into())) } else { Style::new() };
    let text = lines.iter().map(|line| aside(line, env.width)).collect::<Vec<_>>().join("\n");
    let text = text.strip_prefix("error:").map_or_else(|| text.clone(), |rest| format!("{red}error:{red:#}{rest}"));
    let _ = writeln!(env.err, "{text}");
}

/// Whether errors and help are coloured: `--color` may not have been read yet when they are shown.
fn wants_colour(env: &Env) -> bool {
    let words: Vec<&str> = env.arguments.iter().filter_map(|word| word.to_str()).collect();
    let said = |when: &str| {
        words.iter().any(|word| *word == format!("--color={when}"))
            || words.windows(2).any(|pair| pair == ["--color", when])
    };
    (env.colour || said("always")) && !said("never")
}

const INTRODUCTION: &str = "\
Runabout keeps the book of a trader who buys one tired car a month.
Start with the money in hand and a car:   runabout pay-in 1,850
                                          runabout buy KX42 RTO 485
See an invented yard with a year in it:   runabout demo
Every command, with examples:             runabout help
";
