//! Where the book is, what day it is, and what the files named on the command line hold.

use crate::app::named_file;
use crate::app::sheet;
use crate::cli::Everywhere;
use crate::commands::Command;
use crate::commands::deal::bid::BidArgs;
use crate::commands::steps::context::{Attached, Context, Progress};
use crate::domain::book::fee_scale::FeeScale;
use crate::domain::law::own_rates;
use crate::domain::law::rate_table::Rates;
use crate::domain::value::control_chars::escape_control_chars;
use crate::env::Env;
use crate::error::Error;
use crate::store::look_for;
use std::ffi::OsString;
use std::io;
use std::path::{Path, PathBuf};
use std::rc::Rc;

/// The book's path, and what a command needs to know of the world beside it.
pub(super) fn beside_book(everywhere: &Everywhere, env: &Env) -> Result<(PathBuf, Context), Error> {
    let path = book_path(everywhere, env)?;
    look_for(&path)?;
    let mut context = context(everywhere, env, &path, typed(&env.arguments))?;
    context.rates = rates(everywhere, env, &path)?;
    Ok((path, context))
}

pub(super) fn context(everywhere: &Everywhere, env: &Env, path: &Path, typed: String) -> Result<Context, Error> {
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
pub(super) fn attached(command: &Command) -> Result<Attached, Error> {
    Ok(match command {
        Command::Bid(BidArgs { fees: Some(path), .. }) => Attached { fees: Some(fees(path)?), sheet: None },
        Command::Import(args) if !args.is_apart() => {
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

/// The statutory figures: those the program came with, and before them the lines of the file named
/// or, without one, of the file beside the book, if it is there.
pub(super) fn rates(everywhere: &Everywhere, env: &Env, book: &Path) -> Result<Rates, Error> {
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

pub(super) fn book_path(everywhere: &Everywhere, env: &Env) -> Result<PathBuf, Error> {
    everywhere
        .book
        .clone()
        .or_else(|| env.book.clone())
        .or_else(|| env.data_folder.as_ref().map(|folder| folder.join("runabout.book")))
        .ok_or(Error::NoFolder)
}

/// The command as typed, for the entry: one line, nothing unseen in it.
pub(super) fn typed(arguments: &[OsString]) -> String {
    let words: Vec<String> =
        arguments.iter().skip(1).map(|word| escape_control_chars(&word.to_string_lossy()).into_owned()).collect();
    shlex::try_join(words.iter().map(String::as_str)).unwrap_or_else(|_| words.join(" "))
}
