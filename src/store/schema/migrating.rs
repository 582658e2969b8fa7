//! A book brought up to this program's version: all that is pending runs in one exclusive transaction, and the book
//! is copied beside itself before any of it touches it.

use crate::store::book::{APPLICATION_ID, Reader};
use crate::store::book_error::BookError;
use crate::store::schema::shape;
use crate::store::schema::versions::{Ladder, version};
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
        Reader::on(connection, path).keep_before_migrating(names, found)?;
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Book;
    use crate::store::schema::new_book::NewBook;
    use crate::store::schema::opening::{open_to_read_as, open_to_record_as};
    use crate::store::schema::versions::{LADDER, Version};
    use chrono::{DateTime, Utc};
    use std::path::PathBuf;
    use tempfile::TempDir;

    /// This program's versions and two that might follow: a column more, then a table more.
    fn followed() -> Ladder {
        let scripts = [
            "ALTER TABLE journey ADD COLUMN colour TEXT",
            "CREATE TABLE visit (visit_no INTEGER PRIMARY KEY AUTOINCREMENT,
                 entry_no INTEGER NOT NULL REFERENCES entry (entry_no), guest TEXT) STRICT",
        ];
        let mut versions = LADDER.0.to_vec();
        for script in scripts {
            let number = versions.last().unwrap().number + 1;
            versions.push(Version { number, script, shape: 0 });
            let made = Connection::open_in_memory().unwrap();
            Ladder(versions.clone().leak()).make(&made).unwrap();
            versions.last_mut().unwrap().shape = shape::sum(&made).unwrap();
        }
        Ladder(versions.leak())
    }

    fn column_more() -> Ladder {
        followed().up_to(LADDER.newest() + 1)
    }

    fn noon() -> DateTime<Utc> {
        "2026-11-25T12:00:00Z".parse().unwrap()
    }

    /// Records one entry that does what the SQL says.
    fn record(book: &mut Book, sql: &str) {
        let recording = book.begin("journey", "journey", noon()).unwrap();
        recording.transaction.execute(sql, [recording.entry()]).unwrap();
        recording.describe("drove", &[]).unwrap();
        recording.keep().unwrap();
    }

    /// A book of today's version with one journey in it.
    fn of_today() -> (TempDir, PathBuf) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("yard.book");
        let (mut book, _) = open_to_record_as(&path, LADDER).unwrap();
        record(
            &mut book,
            "INSERT INTO journey (entry_no, dated, tenths, purpose) VALUES (?1, '2026-11-20', 365, 'to see a van')",
        );
        (folder, path)
    }

    fn history(book: &Book) -> Vec<(Option<String>, Option<String>)> {
        let mut found = book.connection.prepare("SELECT before, after FROM history ORDER BY history_no").unwrap();
        found.query_map([], |row| Ok((row.get(0)?, row.get(1)?))).unwrap().map(Result::unwrap).collect()
    }

    fn all_is_well(book: &Book) {
        assert_eq!(book.read().replayed().unwrap(), []);
        assert_eq!(book.read().ledger_faults().unwrap(), []);
        assert_eq!(book.read().file_faults().unwrap(), [""; 0]);
    }

    fn beside(path: &Path) -> Vec<String> {
        let names = std::fs::read_dir(path.parent().unwrap()).unwrap();
        let mut names: Vec<String> =
            names.map(|file| file.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.retain(|name| name != "yard.book");
        names.sort();
        names
    }

    #[test]
    fn a_book_is_copied_beside_itself_and_brought_up_to_date() {
        let (_folder, path) = of_today();
        let as_it_was = std::fs::read(&path).unwrap();
        let next = column_more();
        drop(open_to_read_as(&path, next).unwrap());
        let copy = path.with_extension(format!("before-version-{}.book", next.newest()));
        assert_eq!(beside(&path), [copy.file_name().unwrap().to_string_lossy()]);
        let old = open_to_read_as(&copy, LADDER).unwrap();
        assert_eq!(history(&old).len(), 1);
        all_is_well(&old);
        drop(old);
        // The copy opens too, and is kept once however often the same book is brought up to date.
        for _ in 0..2 {
            std::fs::write(&path, &as_it_was).unwrap();
            let book = open_to_read_as(&path, next).unwrap();
            assert_eq!(version(&book.connection).unwrap(), next.newest());
            all_is_well(&book);
        }
        assert_eq!(beside(&path).len(), 1);
        // Another book of that name is another copy.
        let (mut other, _) = {
            std::fs::write(&path, &as_it_was).unwrap();
            open_to_record_as(&path, LADDER).unwrap()
        };
        record(&mut other, "UPDATE journey SET tenths = 400 WHERE ?1 > 0");
        drop(other);
        drop(open_to_read_as(&path, next).unwrap());
        assert_eq!(beside(&path).len(), 2);
        #[cfg(unix)]
        {
            let mode = std::os::unix::fs::PermissionsExt::mode(&std::fs::metadata(&copy).unwrap().permissions());
            assert_eq!(mode & 0o777, 0o600, "the copy holds names too");
        }
    }

    #[test]
    fn a_column_added_is_in_the_history_and_what_was_recorded_before_it_is_taken_back() {
        let (_folder, path) = of_today();
        let (mut book, _) = open_to_record_as(&path, column_more()).unwrap();
        all_is_well(&book);
        record(&mut book, "UPDATE journey SET colour = 'red' WHERE ?1 > 0");
        let (before, after) = history(&book).pop().unwrap();
        assert!(before.unwrap().ends_with("\"purpose\":\"to see a van\",\"colour\":null}"));
        assert!(after.unwrap().ends_with("\"purpose\":\"to see a van\",\"colour\":\"red\"}"));
        all_is_well(&book);
        for entry in [2, 1] {
            let recording = book.begin("undo", "undo", noon()).unwrap();
            recording.take_back_entry(entry).unwrap();
            recording.describe("took it back", &[]).unwrap();
            recording.keep().unwrap();
            all_is_well(&book);
        }
        let left: i64 = book.connection.query_row("SELECT count(*) FROM journey", [], |row| row.get(0)).unwrap();
        assert_eq!(left, 0);
    }

    #[test]
    fn a_table_added_has_its_history_and_versions_passed_over_are_made_one_after_the_other() {
        let (_folder, path) = of_today();
        let (mut book, _) = open_to_record_as(&path, followed()).unwrap();
        assert_eq!(version(&book.connection).unwrap(), LADDER.newest() + 2);
        record(&mut book, "INSERT INTO visit (entry_no, guest) VALUES (?1, 'D Farrow')");
        let (before, after) = history(&book).pop().unwrap();
        assert_eq!((before, after.as_deref()), (None, Some(r#"{"visit_no":1,"entry_no":2,"guest":"D Farrow"}"#)));
    }

    /// Stopped after however many steps, the book is of its version still, whole, and its copy is beside it.
    #[test]
    fn a_migration_that_is_stopped_leaves_the_book_as_it_was() {
        let (_folder, path) = of_today();
        let next = column_more();
        let as_it_was = std::fs::read(&path).unwrap();
        let mut stopped = 0;
        for steps in (1..).step_by(40) {
            let mut connection = Connection::open(&path).unwrap();
            let copied = path.with_extension(format!("before-version-{}.book", next.newest()));
            let mut left = steps;
            connection
                .progress_handler(
                    20,
                    Some(move || {
                        left -= 1;
                        left == 0
                    }),
                )
                .unwrap();
            let done = migrate(&connection, &path, next);
            drop(connection);
            if done.is_ok() {
                break;
            }
            stopped += 1;
            assert_eq!(std::fs::read(&path).unwrap(), as_it_was, "after {steps}");
            assert!(beside(&path).iter().all(|name| copied.ends_with(name)), "after {steps}: {:?}", beside(&path));
        }
        assert!(stopped >= 10, "{stopped}");
        all_is_well(&open_to_read_as(&path, next).unwrap());
    }

    #[test]
    fn a_migration_that_cannot_be_made_leaves_the_book_as_it_was() {
        let (_folder, path) = of_today();
        let as_it_was = std::fs::read(&path).unwrap();
        for script in [
            "ALTER TABLE journey ADD COLUMN colour TEXT; CREATE TABLE line (anything)",
            "ALTER TABLE journey ADD COLUMN colour TEXT; DELETE FROM entry",
        ] {
            let mut versions = column_more().0.to_vec();
            versions.last_mut().unwrap().script = script;
            assert!(open_to_read_as(&path, Ladder(versions.leak())).is_err(), "{script}");
            assert_eq!(std::fs::read(&path).unwrap(), as_it_was, "{script}");
            all_is_well(&open_to_read_as(&path, LADDER).unwrap());
        }
        all_is_well(&open_to_read_as(&path, column_more()).unwrap());
    }

    /// A trigger that went after the book was made is no matter for healing at the next opening.
    #[test]
    fn a_trigger_of_the_history_that_is_missing_is_seen_and_not_made_again() {
        let (_folder, path) = of_today();
        Connection::open(&path).unwrap().execute_batch("DROP TRIGGER journey_changed").unwrap();
        for ladder in [LADDER, followed()] {
            let refused = open_to_read_as(&path, ladder).unwrap_err().to_string();
            assert!(refused.contains("trigger 'journey_changed' is missing"), "{refused}");
            assert_eq!(beside(&path), [""; 0]);
        }
    }

    #[test]
    fn a_whole_book_of_an_earlier_version_is_filled_as_it_was_and_brought_up_to_date() {
        let (folder, path) = of_today();
        let old = open_to_read_as(&path, LADDER).unwrap();
        let target = folder.path().join("new.book");
        let next = column_more();
        let mut new = NewBook::begin_as(&target, next.up_to(LADDER.newest())).unwrap();
        let filling = new.book().begin_filling_as(next).unwrap();
        for table in filling.table_shapes().unwrap() {
            old.read()
                .each_row(&table, |row| {
                    filling.add_row(&table, row).unwrap();
                    Ok::<(), BookError>(())
                })
                .unwrap();
        }
        filling.finish().unwrap();
        new.finish().unwrap();
        let read = open_to_read_as(&target, next).unwrap();
        assert_eq!(history(&read), history(&old));
        all_is_well(&read);
        assert!(beside(&path).iter().all(|name| !name.contains("before-version")), "{:?}", beside(&path));
    }
}
