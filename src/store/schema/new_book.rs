//! A new book that is filled before it has its name: whole under it, or not there.

use crate::store::book::Book;
use crate::store::book_error::BookError;
use crate::store::files::part::COPY;
use crate::store::files::{FileError, Part, clear_beside, make_private_folder, sync_file};
use crate::store::schema::opening::{file_itself, open_to_record_as};
use crate::store::schema::versions::{LADDER, Ladder};
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// The book, and where it is to be. Dropped before `finish`, it was never there.
#[derive(Debug)]
pub struct NewBook {
    // Closed before the folder it is in goes.
    book: Book,
    part: Part,
    target: PathBuf,
}

impl NewBook {
    /// Begins one where there is nothing yet.
    pub fn begin(target: &Path) -> Result<Self, BookError> {
        Self::begin_as(target, LADDER)
    }

    /// Begins one of the version that a whole book written out is of, to be filled from that; nothing is made
    /// where it is of a version that this program does not read.
    pub fn begin_of_version(target: &Path, written: &str) -> Result<Self, BookError> {
        Self::begin_as(target, ladder_to(written, LADDER)?)
    }

    pub(crate) fn begin_as(target: &Path, ladder: Ladder) -> Result<Self, BookError> {
        let failed = |source| BookError::CannotOpen { path: target.to_owned(), source };
        clear_beside(target);
        match fs::symlink_metadata(target) {
            Err(error) if error.kind() == ErrorKind::NotFound => {}
            Err(source) => return Err(failed(source)),
            Ok(_) => {
                return Err(FileError::InTheWay { path: target.to_owned(), is_folder: target.is_dir() }.into());
            }
        }
        // SQLite would play it into the new book.
        let mut journal = target.as_os_str().to_owned();
        journal.push("-journal");
        if fs::symlink_metadata(&journal).is_ok() {
            return Err(FileError::InTheWay { path: journal.into(), is_folder: false }.into());
        }
        if let Some(folder) = target.parent().filter(|folder| !folder.as_os_str().is_empty()) {
            make_private_folder(folder).map_err(failed)?;
        }
        let part = Part::beside(target).map_err(failed)?;
        let (book, _) = open_to_record_as(&part.path(COPY), ladder)?;
        Ok(Self { book, part, target: target.to_owned() })
    }

    /// To be filled.
    pub fn book(&mut self) -> &mut Book {
        &mut self.book
    }

    /// Gives it its name, unless something has that by now; gives the file.
    pub fn finish(self) -> Result<PathBuf, BookError> {
        let Self { book, part, target } = self;
        drop(book);
        let failed = |source| BookError::CannotOpen { path: target.clone(), source };
        sync_file(&part.path(COPY)).map_err(failed)?;
        part.place_new(COPY, &target)?;
        file_itself(&target)
    }
}

/// The versions up to the one written down, if it is one of them.
fn ladder_to(written: &str, ladder: Ladder) -> Result<Ladder, BookError> {
    match written.parse() {
        Ok(found) if ladder.version(found).is_some() => Ok(ladder.up_to(found)),
        Ok(found) if found > 0 && found < ladder.oldest() => {
            Err(BookError::Early { holds: "the folder holds a book", found, oldest: ladder.oldest() })
        }
        _ => Err(BookError::OtherVersion { found: written.to_owned(), known: ladder.newest() }),
    }
}
