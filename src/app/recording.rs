//! Recording in the book, which is made when it is not there.

use crate::app::context::book_path;
use crate::app::output::hint;
use crate::cli::Everywhere;
use crate::commands::steps::act::Act;
use crate::commands::steps::context::Context;
use crate::env::Env;
use crate::error::Error;
use crate::report::Report;
use crate::store::{self, Book, open_to_record};
use std::path::Path;

/// Records in the book, which is made when it is not there; a book made for a recording that was
/// refused, or only tried, is taken away again.
pub(super) fn record(
    act: Act<'_>,
    path: &Path,
    context: &Context,
    dry_run: bool,
    env: &mut Env,
) -> Result<Report, Error> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty() && !folder.exists());
    let (book, new) = open_to_record(path)?;
    let mut book = book.with_rates(context.rates);
    let done = act.carry_out(&mut book, context);
    // Another program may have recorded in it meanwhile.
    let nothing_in_it = book.read().span_of_entries().is_ok_and(|span| span.is_none());
    if new || dry_run {
        drop(book);
    } else {
        close(book, env);
    }
    if new && nothing_in_it && (done.is_err() || dry_run) {
        // Nothing was recorded in it, so there is nothing to lose; failing to tidy is no failure.
        let _ = std::fs::remove_file(path);
        let _ = folder.map(std::fs::remove_dir);
    } else if new && done.is_ok() {
        hint(env, &format!("started a new book at {}", path.display()));
    }
    done
}

/// Closes a book that is done with; where the process ends next, only as far as others need.
pub(super) fn close(book: Book, env: &Env) {
    if env.process_ends {
        book.leave();
    }
}

/// An error about what the book holds says in which row it is.
pub(super) fn naming_the_row(everywhere: &Everywhere, error: Error, env: &Env) -> Error {
    match (error, book_path(everywhere, env)) {
        (Error::Book(error), Ok(path)) => Error::Book(store::naming_the_row(error, &path)),
        (error, _) => error,
    }
}
