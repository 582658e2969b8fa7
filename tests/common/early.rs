//! Books of versions from before the first that the program opens.

use rusqlite::Connection;
use std::fs;
use std::path::Path;

/// What `RUNA` in ASCII comes to: every book says it is one.
const APPLICATION_ID: i64 = 0x5255_4E41;

/// Makes a book of that version at `path`, with an entry in it: what such a book is known by, and a table that all
/// of them had.
pub fn made_by_version(version: i64, path: &Path) {
    let _ = fs::remove_file(path);
    let early = Connection::open(path).unwrap();
    early
        .execute_batch(
            "CREATE TABLE entry (entry_no INTEGER PRIMARY KEY AUTOINCREMENT, recorded_at TEXT NOT NULL,
                 command TEXT NOT NULL, typed TEXT NOT NULL, summary TEXT NOT NULL) STRICT;
             INSERT INTO entry (recorded_at, command, typed, summary)
                 VALUES ('2026-01-05T12:00:00Z', 'pay-in', 'pay-in 1840', 'paid in £1,840.00')",
        )
        .unwrap();
    early.pragma_update(None, "application_id", APPLICATION_ID).unwrap();
    early.pragma_update(None, "user_version", version).unwrap();
}
