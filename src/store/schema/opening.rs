//! Opening a book: what is refused, what is set on every connection, and creating a new one.

use crate::domain::law::rate_table::Rates;
use crate::store::book::{APPLICATION_ID, Book, Reader};
use crate::store::book_error::BookError;
use crate::store::fault::Fault;
use crate::store::schema::migrating::migrate;
use crate::store::schema::shape;
use crate::store::schema::versions::{self, LADDER, Ladder};
use rusqlite::config::DbConfig;
use rusqlite::{Connection, ErrorCode, OpenFlags};
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Memory SQLite may hold pages in while recording, in KiB.
const RECORDING_CACHE_KIB: i64 = 128 * 1024;

/// Statements kept prepared; a car's facts alone are a dozen.
const STATEMENTS_KEPT: usize = 64;

/// Whether a book can be at `path` at all: before anything is looked for beside it.
pub fn look_for(path: &Path) -> Result<(), BookError> {
    if path.file_name().is_none() || (is_there(path)? && !path.is_file()) {
        return Err(BookError::NotABook { path: path.to_owned() });
    }
    Ok(())
}

/// Opens an existing book for looking; never creates a file, and holds one snapshot throughout.
pub fn open_to_read(path: &Path) -> Result<Book, BookError> {
    open_to_read_as(path, LADDER)
}

/// The same where the versions known are told.
pub(crate) fn open_to_read_as(path: &Path, ladder: Ladder) -> Result<Book, BookError> {
    if !is_there(path)? {
        return Err(BookError::NotThere { path: path.to_owned() });
    }
    let connection = connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
    check(&connection, path, ladder)?;
    if versions::is_blank(&connection)? {
        return Err(BookError::NotThere { path: path.to_owned() });
    }
    harden(&connection)?;
    let path = file_itself(path)?;
    migrate(&connection, &path, ladder)?;
    connection.execute_batch("BEGIN")?;
    Ok(Book { connection, path, rates: Rates::default() })
}

/// Opens a book for recording, making it (and its folder) when it is not there. Says whether it
/// was made.
pub fn open_to_record(path: &Path) -> Result<(Book, bool), BookError> {
    open_to_record_as(path, LADDER)
}

/// The same where the versions known are told.
pub(crate) fn open_to_record_as(path: &Path, ladder: Ladder) -> Result<(Book, bool), BookError> {
    if !is_there(path)? {
        create_private(path).map_err(|source| BookError::CannotOpen { path: path.to_owned(), source })?;
    }
    let connection = connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
    check(&connection, path, ladder)?;
    let new = versions::is_blank(&connection)?;
    if new {
        make_private(path).map_err(|source| BookError::CannotOpen { path: path.to_owned(), source })?;
    }
    harden(&connection)?;
    let path = file_itself(path)?;
    migrate(&connection, &path, ladder)?;
    // Room for an import of 100,000 lines: pages that overflow it are written early, each time with a journal
    // flushed first. It is used only as it fills.
    connection.pragma_update(None, "cache_size", -RECORDING_CACHE_KIB)?;
    Ok((Book { connection, path, rates: Rates::default() }, new))
}

/// A book with nothing in it, kept nowhere: what there is to know before the first recording.
pub fn open_blank() -> Result<Book, BookError> {
    let connection = Connection::open_in_memory()?;
    migrate(&connection, Path::new(""), LADDER)?;
    Ok(Book { connection, path: PathBuf::new(), rates: Rates::default() })
}

/// The file a path leads to, links followed: what is kept beside a book is kept beside the file.
pub(crate) fn file_itself(path: &Path) -> Result<PathBuf, BookError> {
    // Elsewhere than on Unix a followed path is written in a form that people do not know.
    let followed = if cfg!(unix) || path.is_symlink() { path.canonicalize() } else { std::path::absolute(path) };
    followed.map_err(|source| BookError::CannotOpen { path: path.to_owned(), source })
}

impl Reader<'_> {
    /// What SQLite itself finds wrong with the file, in its words.
    pub fn file_faults(&self) -> Result<Vec<String>, BookError> {
        let mut found = self.connection.prepare("SELECT integrity_check FROM pragma_integrity_check")?;
        let faults: Vec<String> = found.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
        let mut faults: Vec<String> = faults.into_iter().filter(|fault| fault != "ok").collect();
        faults.extend(self.rows_pointing_nowhere()?.iter().map(ToString::to_string));
        Ok(faults)
    }

    /// Rows that point at rows that are not there.
    pub(crate) fn rows_pointing_nowhere(&self) -> Result<Vec<Fault>, BookError> {
        let mut found = self.connection.prepare("SELECT \"table\", rowid, parent FROM pragma_foreign_key_check")?;
        let faults = found
            .query_map([], |row| {
                let (table, parent): (String, String) = (row.get(0)?, row.get(2)?);
                Ok(Fault::new(
                    &table,
                    row.get::<_, Option<i64>>(1)?,
                    format!("it points at a {parent} that is not there"),
                ))
            })?
            .collect::<Result<_, _>>()?;
        Ok(faults)
    }
}

/// Opens a file only to look into it, nothing on it set or changed.
pub(crate) fn connect_to_look(path: &Path) -> Result<Connection, BookError> {
    connect(path, OpenFlags::SQLITE_OPEN_READ_ONLY)
}

fn connect(path: &Path, access: OpenFlags) -> Result<Connection, BookError> {
    if !path.is_file() || is_one_strange_byte(path) {
        return Err(BookError::NotABook { path: path.to_owned() });
    }
    let mut connection = Connection::open_with_flags(path, access | OpenFlags::SQLITE_OPEN_NO_MUTEX)?;
    connection.busy_handler(Some(wait_for_others))?;
    connection.set_prepared_statement_cache_capacity(STATEMENTS_KEPT);
    Ok(connection)
}

/// SQLite takes a file of one byte for an empty one, and would write over it: on some file systems it
/// begins its own files with an S.
fn is_one_strange_byte(path: &Path) -> bool {
    path.metadata().is_ok_and(|file| file.len() == 1) && std::fs::read(path).is_ok_and(|bytes| bytes != b"S")
}

/// Tries again every five milliseconds, for five seconds. SQLite's own waiting sleeps up to a tenth of a
/// second at a time, and of eight who write at once one comes too late every time.
fn wait_for_others(tried: i32) -> bool {
    std::thread::sleep(Duration::from_millis(5));
    tried < 1_000
}

/// Refuses a file that is not a book, is from a later version or one too early, or is not made as its version was,
/// before anything is set on it.
pub(crate) fn check(connection: &Connection, path: &Path, ladder: Ladder) -> Result<(), BookError> {
    // One snapshot: another program may be bringing the book up to date.
    let snapshot = connection.unchecked_transaction()?;
    let identity = snapshot
        .pragma_query_value(None, "application_id", |row| row.get::<_, i64>(0))
        .and_then(|id| Ok((id, versions::version(&snapshot)?, versions::is_blank(&snapshot)?)));
    match identity {
        Ok((0, _, true)) => Ok(()),
        Ok((id, _, _)) if id != APPLICATION_ID => Err(BookError::NotABook { path: path.to_owned() }),
        Ok((_, found, _)) if found > ladder.newest() => Err(BookError::Newer { found, known: ladder.newest() }),
        Ok((_, found, _)) if found > 0 && found < ladder.oldest() => {
            Err(BookError::Early { holds: "this book is", found, oldest: ladder.oldest() })
        }
        Ok((_, found, _)) => shape::check(&snapshot, ladder, found),
        Err(error) if error.sqlite_error_code() == Some(ErrorCode::NotADatabase) => {
            Err(BookError::NotABook { path: path.to_owned() })
        }
        Err(error) => Err(error.into()),
    }
}

/// What every connection sets, each read back: a rollback journal with EXTRA, because that pair
/// alone lost no acknowledged entry when power was cut in a simulation, and leaves one file at
/// rest; untrusted schema; foreign keys.
fn harden(connection: &Connection) -> Result<(), BookError> {
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true)?;
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA, false)?;
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_DQS_DML, false)?;
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_DQS_DDL, false)?;
    // Plans that do not look at the values bound: a statement whose plan might is prepared anew for each of them.
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true)?;
    connection.pragma_update(None, "cell_size_check", true)?;
    connection.pragma_update(None, "mmap_size", 0)?;
    connection.pragma_update(None, "recursive_triggers", true)?;
    connection.pragma_update(None, "synchronous", "EXTRA")?;
    connection.pragma_update(None, "foreign_keys", true)?;
    let on = |name: &'static str, wanted: i64| {
        let found: i64 = connection.pragma_query_value(None, name, |row| row.get(0))?;
        if found == wanted { Ok(()) } else { Err(BookError::Unsafe(name)) }
    };
    on("synchronous", 3)?;
    on("foreign_keys", 1)?;
    let journal: String = connection.pragma_query_value(None, "journal_mode", |row| row.get(0))?;
    if journal != "delete" {
        connection
            .pragma_update_and_check(None, "journal_mode", "DELETE", |row| row.get::<_, String>(0))
            .map_err(BookError::from)
            .and_then(|mode| if mode == "delete" { Ok(()) } else { Err(BookError::Unsafe("journal_mode")) })?;
    }
    Ok(())
}

/// Whether there is anything at `path`; a folder that cannot be looked into is an error, not a no.
fn is_there(path: &Path) -> Result<bool, BookError> {
    path.try_exists().map_err(|source| BookError::CannotOpen { path: path.to_owned(), source })
}

/// Lets only the owner read and write the file.
pub(crate) fn make_private(path: &Path) -> io::Result<()> {
    #[cfg(unix)]
    std::fs::set_permissions(path, std::os::unix::fs::PermissionsExt::from_mode(0o600))?;
    #[cfg(not(unix))]
    let _ = path;
    Ok(())
}

/// Makes an empty file only its owner can read, and the folder it goes in.
fn create_private(path: &Path) -> io::Result<()> {
    if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty() && !folder.exists()) {
        let mut builder = std::fs::DirBuilder::new();
        builder.recursive(true);
        #[cfg(unix)]
        std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
        builder.create(folder)?;
    }
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    match options.open(path) {
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Ok(()),
        made => made.map(|_| ()),
    }
}
