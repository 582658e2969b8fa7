//! Copies of the book that can be trusted: made while it is in use, and read back before they count.

use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::files::part::COPY;
use crate::store::files::{
    FileError, NewFile, Over, Part, first_free, make_private_folder, new_private_file, sync_file,
};
use crate::store::schema::opening::{check, connect_to_look};
use crate::store::schema::versions::{LADDER, version};
use chrono::{DateTime, NaiveDateTime, Utc};
use rusqlite::{MAIN_DB, params};
use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};

/// The last copy made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BackupRow {
    /// When, UTC.
    pub made_at: String,
    /// Where it was put.
    pub file: String,
    /// The latest entry in it.
    pub last_entry: i64,
}

impl Reader<'_> {
    /// Copies the book, reads the copy through and brings it to the disk; it has its name `to` once it is
    /// finished. A book is never written over, another file with `replace`.
    pub fn back_up<'a>(&'a self, to: &'a Path, replace: bool) -> Result<NewFile<'a>, BookError> {
        if let Some(folder) = to.parent().filter(|folder| !folder.as_os_str().is_empty()) {
            make_private_folder(folder).map_err(|source| FileError::Failed { path: folder.to_owned(), source })?;
        }
        let new = NewFile::begin(to, Over { made: None, replace, book: Some(self.path) })?;
        self.copy_whole(&new.path(), to)?;
        Ok(new)
    }

    /// Copies a book of version `found` before it is brought up to date, to the first of the names that is
    /// free. A migration that was tried before left the same copy: one is enough. When another program migrated
    /// it meanwhile, that program's copy stays.
    pub(crate) fn keep_before_migrating(&self, names: impl Fn(u32) -> PathBuf, found: i64) -> Result<(), BookError> {
        let failed = |source| FileError::Failed { path: names(1), source };
        let part = Part::beside(&names(1)).map_err(failed)?;
        let copy = part.path(COPY);
        self.copy_whole(&copy, &names(1))?;
        let copied = connect_to_look(&copy)?;
        let is_old = version(&copied)? == found;
        drop(copied);
        if !is_old {
            return Ok(());
        }
        first_free(&names, |name| match part.place_new(COPY, name) {
            Err(FileError::InTheWay { .. }) if holds_the_same(&copy, name).map_err(failed)? => Ok(()),
            placed => placed,
        })?;
        Ok(())
    }

    /// Copies the book to a file that is not there yet, reads it through and brings it to the disk. `told` is
    /// what it is to be, for whoever has to be told that it failed.
    pub(crate) fn copy_whole(&self, to: &Path, told: &Path) -> Result<(), BookError> {
        let failed = |source| FileError::Failed { path: told.to_owned(), source };
        new_private_file(to).map_err(failed)?;
        self.connection.backup(MAIN_DB, to, None::<fn(rusqlite::backup::Progress)>)?;
        read_through(to)?;
        Ok(sync_file(to).map_err(failed)?)
    }

    /// The last copy made, if any.
    pub fn last_backup(&self) -> Result<Option<BackupRow>, BookError> {
        let mut found = self
            .connection
            .prepare_cached("SELECT made_at, file, last_entry FROM backup_made ORDER BY backup_made_no DESC LIMIT 1")?;
        let mut rows = found
            .query_map([], |row| Ok(BackupRow { made_at: row.get(0)?, file: row.get(1)?, last_entry: row.get(2)? }))?;
        Ok(rows.next().transpose()?)
    }

    /// The first and the latest entry, with when each was recorded; none for an empty book.
    pub fn span_of_entries(&self) -> Result<Option<(String, i64)>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT (SELECT recorded_at FROM entry ORDER BY entry_no LIMIT 1), max(entry_no) FROM entry",
        )?;
        Ok(found.query_row([], |row| Ok(row.get::<_, Option<String>>(0)?.zip(row.get(1)?)))?)
    }
}

impl crate::store::Book {
    /// Remembers that a copy was made. It is no fact of the trade and no entry.
    pub fn note_backup(&mut self, at: DateTime<Utc>, file: &Path, last_entry: i64) -> Result<(), BookError> {
        // What was read so far was read in one snapshot, which ends here.
        self.connection.execute_batch("COMMIT")?;
        self.connection.execute(
            "INSERT INTO backup_made (made_at, file, last_entry) VALUES (?1, ?2, ?3)",
            params![at.format("%Y-%m-%dT%H:%M:%SZ").to_string(), file.display().to_string(), last_entry],
        )?;
        Ok(self.connection.execute_batch("BEGIN")?)
    }
}

/// Reads a copy through: it must be a book, whole, and of a version this program opens.
pub fn read_through(path: &Path) -> Result<(), BookError> {
    let connection = connect_to_look(path)?;
    check(&connection, path, LADDER)?;
    match Reader::on(&connection, path).file_faults()?.first() {
        Some(fault) => Err(BookError::Damaged(fault.clone())),
        None => Ok(()),
    }
}

/// Whether two files hold the same, byte for byte.
fn holds_the_same(one: &Path, other: &Path) -> std::io::Result<bool> {
    Ok(fs::metadata(one)?.len() == fs::metadata(other)?.len() && fs::read(one)? == fs::read(other)?)
}

/// How the time a dated copy was made is written in its name.
const STAMP: &str = "%Y%m%d-%H%M%S";

/// Where a dated copy goes: `yard.backups/yard-20261125-140531.book`, beside the book; the second of the same
/// second ends in `-2`.
pub fn dated_backup(book: &Path, at: DateTime<Utc>, nth: u32) -> PathBuf {
    book.with_extension("backups").join(stamped(book, "-", at, nth))
}

/// `yard-20261125-140531.book`, with something between the book's name and the time.
pub(crate) fn stamped(book: &Path, between: &str, at: DateTime<Utc>, nth: u32) -> PathBuf {
    let mut name = book.file_stem().unwrap_or_default().to_owned();
    name.push(between);
    name.push(at.format(STAMP).to_string());
    if nth > 1 {
        name.push(format!("-{nth}"));
    }
    name.push(".book");
    name.into()
}

/// The dated copies made beside a book, the oldest first. Whatever else lies there is somebody's own.
pub fn dated_backups(book: &Path) -> Result<Vec<PathBuf>, BookError> {
    let folder = book.with_extension("backups");
    let at = |source| BookError::CannotOpen { path: folder.clone(), source };
    let stem = book.file_stem().unwrap_or_default();
    let mut found = Vec::new();
    for file in fs::read_dir(&folder).map_err(at)? {
        let path = file.map_err(at)?.path();
        if let Some(order) = path.file_name().and_then(|name| dated(name, stem)) {
            found.push((order, path));
        }
    }
    found.sort();
    Ok(found.into_iter().map(|(_, path)| path).collect())
}

/// When a dated copy was made and which of that second it is, by its name.
fn dated(name: &OsStr, stem: &OsStr) -> Option<(NaiveDateTime, u32)> {
    let rest = name.as_encoded_bytes().strip_prefix(stem.as_encoded_bytes())?;
    let rest = std::str::from_utf8(rest).ok()?.strip_prefix('-')?.strip_suffix(".book")?;
    let (stamp, nth) = match rest.match_indices('-').nth(1) {
        Some((at, _)) => (rest.get(..at)?, rest.get(at + 1..)?.parse().ok()?),
        None => (rest, 1),
    };
    let is_stamp = stamp.len() == "20261125-140531".len();
    let at = NaiveDateTime::parse_from_str(stamp, STAMP).ok().filter(|_| is_stamp)?;
    Some((at, nth))
}

/// Takes a dated copy away, and the list of what it lacks.
pub fn remove_backup(path: &Path) -> Result<(), BookError> {
    for path in [path.to_owned(), lacking_beside(path)] {
        match fs::remove_file(&path) {
            Err(source) if source.kind() != std::io::ErrorKind::NotFound => {
                return Err(BookError::CannotOpen { path, source });
            }
            _ => {}
        }
    }
    Ok(())
}

/// Where it is said what a copy lacks: `stick.incomplete.txt`.
pub fn lacking_beside(copy: &Path) -> PathBuf {
    copy.with_extension("incomplete.txt")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dated_copies_are_told_from_what_somebody_put_beside_them() {
        let order = |name: &str| dated(OsStr::new(name), OsStr::new("yard"));
        let (first, second) = (order("yard-20261125-140531.book"), order("yard-20261125-140531-2.book"));
        assert!(first.is_some() && first < second && second < order("yard-20261125-140531-10.book"));
        assert!(second < order("yard-20261125-140532.book"));
        for other in [
            "yard-before-the-audit.book",
            "yard-20261125.book",
            "yard-20261325-140531.book",
            "yard-20261125-140531.book.part",
            "yard-20261125-140531-x.book",
            "yard-2-20261125-140531.book",
            "20261125-140531.book",
        ] {
            assert_eq!(order(other), None, "{other}");
        }
    }
}
