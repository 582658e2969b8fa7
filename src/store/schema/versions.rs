//! The schema by version: `user_version` counts the migrations applied, all pending ones run in
//! one exclusive transaction, and the book is copied beside itself before any of them touches it.

use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::schema::shape;
use rusqlite::Connection;
use std::path::Path;

/// `RUNA` in ASCII: says a SQLite file is one of ours.
pub const APPLICATION_ID: i64 = 0x5255_4E41;

/// Each file once shipped never changes; a change is a new file.
const MIGRATIONS: &[&str] = &[
    include_str!("../../../migrations/0001_book.sql"),
    include_str!("../../../migrations/0002_dates.sql"),
    include_str!("../../../migrations/0003_deals.sql"),
    include_str!("../../../migrations/0004_programme.sql"),
    include_str!("../../../migrations/0005_paperwork.sql"),
    include_str!("../../../migrations/0006_keeping.sql"),
    include_str!("../../../migrations/0007_finding.sql"),
];

/// The version this program writes.
pub fn newest() -> i64 {
    i64::try_from(MIGRATIONS.len()).unwrap_or(i64::MAX)
}

/// The version of an open book.
pub fn version(connection: &Connection) -> rusqlite::Result<i64> {
    connection.pragma_query_value(None, "user_version", |row| row.get(0))
}

/// Whether the file holds nothing at all yet.
pub fn is_blank(connection: &Connection) -> rusqlite::Result<bool> {
    let tables: i64 = connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    Ok(tables == 0 && version(connection)? == 0)
}

/// Brings the book up to this program's version.
pub fn migrate(connection: &Connection, path: &Path) -> Result<(), BookError> {
    let found = version(connection)?;
    if found == newest() {
        return Ok(());
    }
    if found > 0 {
        let names = |nth: u32| {
            let count = if nth > 1 { format!("-{nth}") } else { String::new() };
            path.with_extension(format!("before-version-{}{count}.book", newest()))
        };
        Reader::of(connection, path).keep_before_migrating(names, found)?;
    }
    connection.execute_batch("BEGIN EXCLUSIVE")?;
    let applied = apply(connection);
    match applied {
        Ok(()) => Ok(connection.execute_batch("COMMIT")?),
        Err(error) => {
            // After an error of the disk SQLite has rolled back already; the first error is the one to tell.
            let _ = connection.execute_batch("ROLLBACK");
            Err(error)
        }
    }
}

/// Makes the schema of a version in a file with nothing in it.
pub(crate) fn make(connection: &Connection, version: usize) -> Result<(), BookError> {
    for script in MIGRATIONS.iter().take(version) {
        connection.execute_batch(script)?;
    }
    Ok(())
}

/// Makes the schema of today's version in a file with nothing in it.
pub(crate) fn make_newest(connection: &Connection) -> Result<(), BookError> {
    make(connection, MIGRATIONS.len())
}

/// Takes every trigger away, and gives what makes them again.
pub(crate) fn drop_triggers(connection: &Connection) -> Result<Vec<String>, BookError> {
    let triggers: Vec<(String, String)> = connection
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")?
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect::<Result<_, _>>()?;
    for (name, _) in &triggers {
        connection.execute_batch(&format!("DROP TRIGGER {name}"))?;
    }
    Ok(triggers.into_iter().map(|(_, sql)| sql).collect())
}

fn apply(connection: &Connection) -> Result<(), BookError> {
    // Read again under the lock: another program may have migrated meanwhile.
    let found = usize::try_from(version(connection)?).unwrap_or(usize::MAX);
    for script in MIGRATIONS.iter().skip(found) {
        connection.execute_batch(script)?;
    }
    shape::check(connection, newest())?;
    let broken: i64 = connection.query_row("SELECT count(*) FROM pragma_foreign_key_check", [], |row| row.get(0))?;
    if broken > 0 {
        return Err(BookError::Damaged(format!("{broken} rows point at rows that are not there")));
    }
    connection.pragma_update(None, "application_id", APPLICATION_ID)?;
    connection.pragma_update(None, "user_version", newest())?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The history is only whole if every trigger names every column of its table.
    #[test]
    fn every_table_of_facts_keeps_the_whole_row_in_the_history() {
        let connection = Connection::open_in_memory().unwrap();
        connection.execute_batch(MIGRATIONS.concat().as_str()).unwrap();
        let mut tables = connection
            .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT IN ('entry', 'entry_car', 'history', 'open_departure', 'backup_made', 'line_total', 'movement_total', 'whereabouts', 'sqlite_sequence')")
            .unwrap();
        let tables: Vec<String> = tables.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect();
        assert!(tables.len() >= 15, "{tables:?}");
        for table in tables {
            let columns = connection
                .prepare(&format!("SELECT name FROM pragma_table_info('{table}')"))
                .unwrap()
                .query_map([], |row| row.get::<_, String>(0))
                .unwrap()
                .map(Result::unwrap)
                .collect::<Vec<_>>();
            for (event, rows) in [("added", &["NEW"][..]), ("changed", &["OLD", "NEW"]), ("removed", &["OLD"])] {
                let sql: String = connection
                    .query_row("SELECT sql FROM sqlite_schema WHERE name = ?1", [format!("{table}_{event}")], |row| {
                        row.get(0)
                    })
                    .unwrap_or_else(|_| panic!("{table} has no trigger {table}_{event}"));
                for row in rows {
                    for column in &columns {
                        assert!(
                            sql.contains(&format!("'{column}', {row}.{column}")),
                            "{table}_{event} leaves out {column}"
                        );
                    }
                }
            }
        }
    }

    /// Rows, their numbers and the next number are as they were, though the table is made anew.
    #[test]
    fn money_moved_before_deals_came_is_kept_with_its_numbers() {
        let connection = Connection::open_in_memory().unwrap();
        connection.execute_batch(MIGRATIONS[..2].concat().as_str()).unwrap();
        connection
            .execute_batch(
                "INSERT INTO entry (recorded_at, command, typed, summary) VALUES ('2026-01-01T12:00:00Z', 'draw', '', '');
                 INSERT INTO movement (entry_no, dated, pocket, amount, purpose) VALUES
                     (1, '2026-01-01', 'cash', -500, 'owner'), (1, '2026-01-02', 'bank', 900, 'owner');
                 DELETE FROM movement WHERE movement_no = 2;",
            )
            .unwrap();
        connection.execute_batch(MIGRATIONS[2]).unwrap();
        let moved =
            |sql: &str| -> (i64, i64) { connection.query_row(sql, [], |row| Ok((row.get(0)?, row.get(1)?))).unwrap() };
        assert_eq!(moved("SELECT movement_no, amount FROM movement"), (1, -500));
        connection
            .execute("INSERT INTO movement (entry_no, dated, pocket, amount, purpose) VALUES (1, '2026-01-03', 'cash', 7, 'owner')", [])
            .unwrap();
        assert_eq!(moved("SELECT max(movement_no), count(*) FROM movement"), (3, 2));
        assert_eq!(moved("SELECT count(*), max(row_no) FROM history WHERE table_name = 'movement'"), (4, 3));
    }
}
