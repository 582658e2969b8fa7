//! A copy put in the place of the book without losing what was there. All that can fail comes first; the
//! book itself is replaced last, in one step.

use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::fault::ReceiptFault;
use crate::store::files::part::COPY;
use crate::store::files::receipt_names::folder_of;
use crate::store::files::{FileError, Part, first_free, make_private_folder, new_private_file, sync_folder_of};
use crate::store::keep::backup::{read_through, stamped};
use crate::store::keep::receipt_copies::{Lacking, copy_receipts};
use crate::store::schema::opening::{connect_to_look, file_itself};
use chrono::{DateTime, Utc};
use rusqlite::Connection;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// How long a copy waits for somebody who is writing.
const WAIT: Duration = Duration::from_secs(5);

/// Files SQLite may have left beside a book that it could not open.
const BESIDE: [&str; 3] = ["-journal", "-wal", "-shm"];

/// What became of a restore.
#[derive(Debug)]
pub struct Restored {
    /// The file that is the book now.
    pub book: PathBuf,
    /// Where what it replaced is kept.
    pub kept_as: Option<PathBuf>,
    /// Receipts the copy names that are neither with it nor beside the book.
    pub lacking: Vec<Lacking>,
    /// The disk did not confirm it.
    pub unconfirmed: Option<FileError>,
}

/// Puts the copy at `from` in the place of `book`, after reading it through. What was there is kept beside it
/// under a name of its own.
pub fn restore(book: &Path, from: &Path, now: DateTime<Utc>) -> Result<Restored, BookError> {
    let at = |path: &Path| {
        let path = path.to_owned();
        move |source| BookError::CannotOpen { path, source }
    };
    if !from.try_exists().map_err(at(from))? {
        return Err(BookError::NotThere { path: from.to_owned() });
    }
    read_through(from).map_err(|error| match error {
        BookError::Early { found, oldest, .. } => BookError::Early { holds: "the copy is", found, oldest },
        other => other,
    })?;
    let from = file_itself(from)?;
    let is_there = book.try_exists().map_err(at(book))?;
    if !is_there && book.is_symlink() {
        return Err(FileError::LinkToNothing(book.to_owned()).into());
    }
    let book = if is_there { file_itself(book)? } else { book.to_owned() };
    if book == from {
        return Err(BookError::IsTheBook { path: from });
    }
    if let Some(folder) = book.parent().filter(|folder| !folder.as_os_str().is_empty()) {
        make_private_folder(folder).map_err(at(folder))?;
    }

    let part = Part::beside(&book).map_err(at(&book))?;
    let copy = part.path(COPY);
    Reader::on(&connect_to_look(&from)?, &from).copy_whole(&copy, &book)?;
    let named = Reader::on(&connect_to_look(&copy)?, &copy).named_receipts()?;
    let receipts = copy_receipts(&named, &folder_of(&from), &folder_of(&book))?;
    let unreadable = receipts
        .lacking()
        .iter()
        .find(|lacking| !lacking.is_there && matches!(lacking.fault, ReceiptFault::Unreadable(_)));
    if let Some(lacking) = unreadable {
        return Err(BookError::ReceiptUnreadable { receipt: lacking.receipt.clone(), fault: lacking.fault.clone() });
    }

    let (kept_as, unconfirmed) =
        replace(&book, &part, is_there, |nth| book.with_file_name(stamped(&book, "-replaced-", now, nth)))?;
    let (_, lacking) = receipts.keep();
    let lacking = lacking.into_iter().filter(|lacking| !lacking.is_there).collect();
    Ok(Restored { book, kept_as, lacking, unconfirmed })
}

/// Gives the copy the book's name. What was there keeps a name throughout: at no moment is there no book.
fn replace(
    book: &Path,
    part: &Part,
    is_there: bool,
    names: impl Fn(u32) -> PathBuf,
) -> Result<(Option<PathBuf>, Option<FileError>), BookError> {
    // Nobody may be writing, and a journal left by a crash is played back before the file is moved.
    let held = if is_there { hold_still(book)? } else { None };
    let kept_as = if is_there { Some(first_free(&names, |name| keep(book, name, part))?) } else { None };
    let moved = move_journals(book, kept_as.as_deref().unwrap_or(&names(1)));
    let placed = match &moved {
        Err(_) => Ok(()),
        Ok(_) if is_there => part.place_over(COPY, book),
        Ok(_) => part.place_new(COPY, book),
    };
    drop(held);
    let failed = match (moved, placed) {
        (Ok(_), Ok(())) => return Ok((kept_as, None)),
        (Ok(_), Err(unconfirmed @ FileError::NotConfirmed { .. })) => return Ok((kept_as, Some(unconfirmed))),
        (Ok(moved), Err(failed)) => {
            for (from, to) in moved {
                // Back to where they were; the failure is the one to tell.
                let _ = fs::rename(to, from);
            }
            failed
        }
        (Err(failed), _) => failed,
    };
    if let Some(kept) = kept_as {
        // It is the book still, under its own name.
        let _ = fs::remove_file(kept);
    }
    Err(failed.into())
}

/// Waits until nobody writes, and where an open file can be replaced keeps it so until the book is.
fn hold_still(book: &Path) -> Result<Option<Connection>, BookError> {
    let current = Connection::open(book)?;
    current.busy_timeout(WAIT)?;
    let held = current.execute_batch("BEGIN EXCLUSIVE");
    // A book that is damaged is kept as it is.
    if let Err(error) = held {
        let error = BookError::from(error);
        return if matches!(error, BookError::Locked) { Err(error) } else { Ok(None) };
    }
    let journal: Result<String, _> = current.pragma_query_value(None, "journal_mode", |row| row.get(0));
    if cfg!(unix) && journal.is_ok_and(|mode| mode == "delete") {
        return Ok(Some(current));
    }
    current.execute_batch("ROLLBACK")?;
    Ok(None)
}

/// Gives the book a second name that is not in use: its own content, or where there are no links a copy.
fn keep(book: &Path, name: &Path, part: &Part) -> Result<(), FileError> {
    let failed = |source| FileError::Failed { path: name.to_owned(), source };
    match fs::hard_link(book, name) {
        Ok(()) => sync_folder_of(name).map_err(|source| {
            let _ = fs::remove_file(name);
            failed(source)
        }),
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
            Err(FileError::InTheWay { path: name.to_owned(), is_folder: false })
        }
        Err(_) => {
            let path = part.path(KEPT);
            let copied = (|| {
                let _ = fs::remove_file(&path);
                let mut to = new_private_file(&path)?;
                io::copy(&mut fs::File::open(book)?, &mut to)?;
                to.sync_all()
            })();
            copied.map_err(failed)?;
            part.place_new(KEPT, name)
        }
    }
}

/// What was there is called so while it is copied.
const KEPT: &str = "kept";

/// A journal that could not be played back belongs to what was there: beside the new book SQLite would play it
/// into that. Gives what was moved where.
fn move_journals(book: &Path, kept_as: &Path) -> Result<Vec<(PathBuf, PathBuf)>, FileError> {
    let mut moved = Vec::new();
    for ending in BESIDE {
        let beside = |path: &Path| {
            let mut name = path.as_os_str().to_owned();
            name.push(ending);
            PathBuf::from(name)
        };
        let (from, to) = (beside(book), beside(kept_as));
        if fs::symlink_metadata(&from).is_err() {
            continue;
        }
        let done = if fs::symlink_metadata(&to).is_ok() {
            Err(io::Error::from(io::ErrorKind::AlreadyExists))
        } else {
            fs::rename(&from, &to)
        };
        match done {
            Ok(()) => moved.push((from, to)),
            Err(source) => {
                for (from, to) in moved {
                    // Back to where they were; the failure is the one to tell.
                    let _ = fs::rename(to, from);
                }
                return Err(FileError::Failed { path: from, source });
            }
        }
    }
    Ok(moved)
}
