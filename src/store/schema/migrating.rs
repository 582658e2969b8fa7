//! A book brought up to this program's version: all that is pending runs in one exclusive transaction, and the book
//! is copied beside itself before any of it touches it.

use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::schema::shape;
use crate::store::schema::versions::{APPLICATION_ID, Ladder, version};
use rusqlite::Connection;
use std::path::Path;

/// Brings the book up to the newest version of the ladder.
pub(crate) fn migrate(connection: &Connection, path: &Path, ladder: Ladder) -> Result<(), BookError> {
    let found = version(connection)?;
    if found == ladder.newest() {
        return Ok(());
    }
    if found > 0 {
        let names = |nth: u32| {
            let count = if nth > 1 { format!("-{nth}") } else { String::new() };
            path.with_extension(format!("before-version-{}{count}.book", ladder.newest()))
        };
        Reader::of(connection, path).keep_before_migrating(names, found)?;
    }
    connection.execute_batch("BEGIN EXCLUSIVE")?;
    match apply(connection, ladder) {
        Ok(()) => Ok(connection.execute_batch("COMMIT")?),
        Err(error) => {
            // After an error of the disk SQLite has rolled back already; the first error is the one to tell.
            let _ = connection.execute_batch("ROLLBACK");
            Err(error)
        }
    }
}

/// Runs what is pending in the transaction that is open, and holds what came of it against the ladder.
pub(crate) fn apply(connection: &Connection, ladder: Ladder) -> Result<(), BookError> {
    // Read again under the lock: another program may have migrated meanwhile.
    let found = version(connection)?;
    if found < ladder.newest() {
        ladder.climb(connection, found)?;
    }
    shape::check(connection, ladder, ladder.newest())?;
    let broken: i64 = connection.query_row("SELECT count(*) FROM pragma_foreign_key_check", [], |row| row.get(0))?;
    if broken > 0 {
        return Err(BookError::Damaged(format!("{broken} rows point at rows that are not there")));
    }
    connection.pragma_update(None, "application_id", APPLICATION_ID)?;
    connection.pragma_update(None, "user_version", ladder.newest())?;
    Ok(())
}
