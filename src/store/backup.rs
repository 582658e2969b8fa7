//! Copies of the book that can be trusted: made while it is in use, read back before they count, and put
//! in its place without losing what was there.

use crate::store::opening::{check, connect_to_look, make_private};
use crate::store::receipt_files::folder_of;
use crate::store::{BookError, Reader, schema};
use chrono::{DateTime, Utc};
use rusqlite::{Connection, MAIN_DB, params};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// How long a copy waits for somebody who is writing.
const WAIT: Duration = Duration::from_secs(5);

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
    /// Copies the book to `to`, which must not be there, and reads the copy through.
    pub fn back_up(&self, to: &Path) -> Result<(), BookError> {
        let at = |source| BookError::CannotOpen { path: to.to_owned(), source };
        if to.try_exists().map_err(at)? {
            return Err(BookError::InTheWay { path: to.to_owned() });
        }
        if let Some(folder) = to.parent().filter(|folder| !folder.as_os_str().is_empty()) {
            make_private_folder(folder).map_err(at)?;
        }
        let part = part_of(to);
        let copied = self.copy_whole(&part).and_then(|()| fs::rename(&part, to).map_err(at));
        if copied.is_err() {
            // Half a copy is no copy; failing to tidy is no second failure.
            let _ = fs::remove_file(&part);
        }
        copied?;
        sync_folder(to).map_err(at)
    }

    /// Copies a book of version `found` to `to` before it is brought up to date, over a copy from a
    /// migration that was not finished. When another program migrated it meanwhile, that program's copy stays.
    pub(super) fn keep_before_migrating(&self, to: &Path, found: i64) -> Result<(), BookError> {
        let at = |source| BookError::CannotOpen { path: to.to_owned(), source };
        let part = part_of(to);
        let kept = self.copy_whole(&part).and_then(|()| {
            let copied = connect_to_look(&part)?;
            let is_old = schema::version(&copied)? == found;
            drop(copied);
            if is_old { fs::rename(&part, to).map_err(at) } else { fs::remove_file(&part).map_err(at) }
        });
        if kept.is_err() {
            let _ = fs::remove_file(&part);
        }
        kept?;
        sync_folder(to).map_err(at)
    }

    fn copy_whole(&self, part: &Path) -> Result<(), BookError> {
        self.connection.backup(MAIN_DB, part, None::<fn(rusqlite::backup::Progress)>)?;
        let at = |source| BookError::CannotOpen { path: part.to_owned(), source };
        make_private(part).map_err(at)?;
        read_through(part)?;
        fs::File::open(part).and_then(|file| file.sync_all()).map_err(at)
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

/// Reads a copy through: it must be a book, whole, and not from a later version.
pub fn read_through(path: &Path) -> Result<(), BookError> {
    let connection = connect_to_look(path)?;
    check(&connection, path)?;
    match Reader::of(&connection).file_faults()?.first() {
        Some(fault) => Err(BookError::Damaged(fault.clone())),
        None => Ok(()),
    }
}

/// Puts the copy at `from` in the place of `book`, after reading it through. What was there is kept as
/// `kept_as`; gives whether there was anything.
pub fn restore(book: &Path, from: &Path, kept_as: &Path) -> Result<bool, BookError> {
    let at = |path: &Path| {
        let path = path.to_owned();
        move |source| BookError::CannotOpen { path, source }
    };
    if !from.try_exists().map_err(at(from))? {
        return Err(BookError::NotThere { path: from.to_owned() });
    }
    read_through(from)?;
    let part = part_of(book);
    let copied = (|| {
        let source = connect_to_look(from)?;
        Reader::of(&source).copy_whole(&part)?;
        replace(book, &part, kept_as)
    })();
    if copied.is_err() {
        let _ = fs::remove_file(&part);
    }
    let there = copied?;
    sync_folder(book).map_err(at(book))?;
    Ok(there)
}

/// Renames `part` over `book`. What was there keeps a name throughout: at no moment is there no book.
fn replace(book: &Path, part: &Path, kept_as: &Path) -> Result<bool, BookError> {
    let at = |source| BookError::CannotOpen { path: book.to_owned(), source };
    let there = book.try_exists().map_err(at)?;
    if there {
        // Nobody may be writing, and a journal left by a crash is played back before the file is moved.
        let current = Connection::open(book)?;
        current.busy_timeout(WAIT)?;
        let closing = current.execute_batch("BEGIN EXCLUSIVE; ROLLBACK");
        drop(current);
        // A book that is damaged is kept as it is.
        if let Err(error) = closing
            && matches!(BookError::from(error), BookError::Locked)
        {
            return Err(BookError::Locked);
        }
        fs::hard_link(book, kept_as).or_else(|_| fs::copy(book, kept_as).map(|_| ())).map_err(at)?;
    }
    fs::rename(part, book).map_err(at)?;
    Ok(there)
}

/// The name something is written under before it is whole.
fn part_of(path: &Path) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".part");
    path.with_file_name(name)
}

/// A rename lasts once its folder is on the disk.
fn sync_folder(path: &Path) -> io::Result<()> {
    #[cfg(unix)]
    if let Some(folder) = path.parent() {
        let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
        fs::File::open(folder)?.sync_all()?;
    }
    #[cfg(not(unix))]
    let _ = path;
    Ok(())
}

/// The copies made beside a book, the oldest first; their names begin with the day.
pub fn dated_backups(book: &Path) -> Result<Vec<PathBuf>, BookError> {
    let folder = book.with_extension("backups");
    let at = |source| BookError::CannotOpen { path: folder.clone(), source };
    if !folder.try_exists().map_err(at)? {
        return Ok(Vec::new());
    }
    let stem = format!("{}-", book.file_stem().unwrap_or_default().to_string_lossy());
    let mut found = Vec::new();
    for file in fs::read_dir(&folder).map_err(at)? {
        let path = file.map_err(at)?.path();
        let ours = path.file_name().is_some_and(|name| name.to_string_lossy().starts_with(&stem));
        if ours && path.extension().is_some_and(|extension| extension == "book") {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}

/// Takes a copy away.
pub fn remove_backup(path: &Path) -> Result<(), BookError> {
    fs::remove_file(path).map_err(|source| BookError::CannotOpen { path: path.to_owned(), source })
}

/// Copies the receipts of one book beside another, those that are not there yet; gives how many.
pub fn copy_receipts(from: &Path, to: &Path) -> Result<usize, BookError> {
    copy_receipts_between(&folder_of(from), &folder_of(to))
}

/// Copies receipts from one folder to another, those that are not there yet; gives how many.
pub fn copy_receipts_between(from: &Path, to: &Path) -> Result<usize, BookError> {
    let at = |path: &Path| {
        let path = path.to_owned();
        move |source| BookError::CannotOpen { path, source }
    };
    if !from.try_exists().map_err(at(from))? {
        return Ok(0);
    }
    let mut copied = 0;
    for file in fs::read_dir(from).map_err(at(from))? {
        let source = file.map_err(at(from))?.path();
        let Some(name) = source.file_name().filter(|_| source.is_file()) else { continue };
        let target = to.join(name);
        if target.try_exists().map_err(at(&target))? {
            continue;
        }
        make_private_folder(to).map_err(at(to))?;
        let part = part_of(&target);
        fs::copy(&source, &part).map_err(at(&part))?;
        make_private(&part).map_err(at(&part))?;
        fs::File::open(&part).and_then(|file| file.sync_all()).map_err(at(&part))?;
        fs::rename(&part, &target).map_err(at(&target))?;
        copied += 1;
    }
    Ok(copied)
}

/// Makes a folder, and those it is in, that only its owner can look into.
pub(super) fn make_private_folder(folder: &Path) -> io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder)
}
